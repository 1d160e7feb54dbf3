//! The job itself: its heading, what was found, its steps, targets and log.

use super::build::{Reader, Section};
use super::log::LogEntry;
use super::problem::ProblemKind;
use super::targets::Target;
use super::{Claim, Facts};
use crate::sources::Origin;
use retin_syntax::tables::Property;
use retin_syntax::tree::{self, Record, Selector, SelectorChoice, Word};
use retin_syntax::value::{self, Date, Dimension, Money, Quantity, Value};

/// A job: one unit on the bench.
#[derive(Debug)]
pub struct Job<'a> {
    /// Its number.
    pub number: &'a str,
    /// Where the number is written.
    pub origin: Origin,
    /// Its title: unit and serial number.
    pub title: &'a str,
    /// Facts below the heading.
    pub facts: Facts<'a>,
    /// What was found to differ, line by line.
    pub found: Vec<Origin>,
    /// Where its plan begins, where it has one.
    pub plan: Option<Origin>,
    /// The steps.
    pub steps: Vec<Step<'a>>,
    /// The readings to expect.
    pub targets: Vec<Target<'a>>,
    /// The log, entry by entry.
    pub log: Vec<LogEntry<'a>>,
}

/// What the owner approved.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Approval {
    /// How much.
    pub money: Money,
    /// When, where that is written.
    pub on: Option<Date>,
    /// Where it is written.
    pub origin: Origin,
}

/// A step.
#[derive(Debug)]
pub struct Step<'a> {
    /// Its name.
    pub name: &'a str,
    /// Where the name is written.
    pub origin: Origin,
    /// How long it takes, where that is written.
    pub time: Option<(Quantity, Origin)>,
}

impl Job<'_> {
    /// What the owner approved last.
    pub fn approval(&self) -> Option<Approval> {
        let mut last = None;
        for fact in self.facts.iter() {
            match (fact.property, &fact.value) {
                (Property::Agreed, super::FactValue::Value(Value::Money(money))) => {
                    last = Some(Approval {
                        money: *money,
                        on: None,
                        origin: fact.origin,
                    });
                }
                // A date belongs to the approval it stands behind.
                (Property::On, super::FactValue::Value(Value::Date(date))) => {
                    if let Some(approval) = &mut last {
                        approval.on = Some(*date);
                    }
                }
                _ => {}
            }
        }
        last
    }
}

/// Reads a `job` section.
pub(super) fn job<'a>(reader: &mut Reader<'a>, section: Section<'a>) {
    let Some(name) = section.heading.name else {
        return;
    };
    let file = section.file;
    let origin = Origin {
        file,
        span: name.span,
    };
    let number = reader.word(file, name);
    if let Some(first) = &reader.case.job {
        let first = first.origin;
        reader.problem(
            file,
            name.span,
            ProblemKind::DuplicateName {
                what: "job of the file",
                name: number.to_owned(),
                first,
            },
        );
        return;
    }
    let mut own = Vec::new();
    for (_, line) in section.tree.children(section.id) {
        if let Record::Setting { facts } = &line.record {
            own.extend(reader.facts(file, facts, None));
        }
    }
    let facts = Facts::of(own);
    if let Some(model) = facts.get(Property::Model)
        && let Some(wanted) = facts.word(Property::Model)
        && reader
            .case
            .model
            .as_ref()
            .is_none_or(|model| model.name != wanted)
    {
        let near = reader
            .case
            .model
            .as_ref()
            .map(|model| model.name.to_owned());
        let span = model.origin.span;
        reader.problem(
            file,
            span,
            ProblemKind::UnknownName {
                what: "model sheet",
                name: wanted.to_owned(),
                near,
            },
        );
    }
    reader.case.job = Some(Job {
        number,
        origin,
        title: section
            .heading
            .title
            .map_or("", |title| reader.word(file, title)),
        facts,
        found: Vec::new(),
        plan: None,
        steps: Vec::new(),
        targets: Vec::new(),
        log: Vec::new(),
    });
}

/// Reads a `found` section: claims about this unit's own parts.
pub(super) fn found<'a>(reader: &mut Reader<'a>, section: Section<'a>) {
    let file = section.file;
    for (_, line) in section.tree.children(section.id) {
        let Record::Survey {
            names,
            source,
            claim,
        } = &line.record
        else {
            continue;
        };
        let origin = Origin {
            file,
            span: line.span,
        };
        for word in names {
            for place in reader.places(file, *word).places {
                let part = reader.case.part(place.part);
                let (board, kind) = (part.board, part.kind);
                if let Some(says) = reader.says(file, board, kind, claim) {
                    let claim = Claim {
                        source: *source,
                        says,
                        origin,
                        copy: Some(place.copy),
                    };
                    reader.case.parts[place.part.0 as usize].claims.push(claim);
                }
            }
        }
        if let Some(job) = &mut reader.case.job {
            job.found.push(origin);
        }
    }
}

/// Reads a `steps` section.
pub(super) fn steps<'a>(reader: &mut Reader<'a>, section: Section<'a>) {
    let file = section.file;
    let mut steps: Vec<Step<'a>> = Vec::new();
    let mut after: Vec<Word> = Vec::new();
    for (_, line) in section.tree.children(section.id) {
        let Record::Step {
            name,
            selector,
            after: before,
            facts,
            ..
        } = &line.record
        else {
            continue;
        };
        let origin = Origin {
            file,
            span: name.span,
        };
        let text = reader.word(file, *name);
        if let Some(first) = steps.iter().find(|step| step.name == text) {
            let first = first.origin;
            reader.problem(
                file,
                name.span,
                ProblemKind::DuplicateName {
                    what: "step",
                    name: text.to_owned(),
                    first,
                },
            );
        }
        let (selector, mut own) = match selector {
            Some(selector) => {
                let (selector, times) = without_times(reader.text(file), selector);
                (Some(selector), times)
            }
            None => (None, Vec::new()),
        };
        if let Some(selector) = &selector {
            reader.looked_up(file, selector);
        }
        after.extend(before);
        own.extend(facts.iter().cloned());
        let facts = Facts::of(reader.facts(file, &own, None));
        let time = facts.iter().find_map(|fact| match fact.value {
            super::FactValue::Value(Value::Quantity(quantity))
                if quantity.dimension == Dimension::Time =>
            {
                Some((quantity, fact.origin))
            }
            _ => None,
        });
        steps.push(Step {
            name: text,
            origin,
            time,
        });
    }
    for word in after {
        let name = reader.word(file, word);
        if !steps.iter().any(|step| step.name == name) {
            let near = super::build::near(name, steps.iter().map(|step| step.name));
            reader.problem(
                file,
                word.span,
                ProblemKind::UnknownName {
                    what: "step",
                    name: name.to_owned(),
                    near,
                },
            );
        }
    }
    if let Some(job) = &mut reader.case.job {
        job.steps = steps;
    }
}

/// A step's selector without the times at its end: in `fit every electrolytic 90min`
/// no part is chosen by the time, the step takes so long.
fn without_times(text: &str, selector: &Selector) -> (Selector, tree::Facts) {
    let mut selector = selector.clone();
    let mut times = Vec::new();
    if let SelectorChoice::Every { facts, .. } = &mut selector.choice {
        let is_time = |fact: &tree::Fact| {
            fact.property.is_none()
                && matches!(
                    value::read(fact.span.of(text)),
                    Ok(Value::Quantity(quantity)) if quantity.dimension == Dimension::Time
                )
        };
        let (of_step, of_parts) = std::mem::take(facts).into_iter().partition(is_time);
        times = of_step;
        *facts = of_parts;
    }
    (selector, times)
}

impl<'a> Reader<'a> {
    /// Looks up what a step is about, which may be boards and rails as well as parts.
    fn looked_up(&mut self, file: crate::sources::FileId, selector: &Selector) {
        let SelectorChoice::Names(words) = &selector.choice else {
            self.selector(file, selector);
            return;
        };
        for word in words {
            if !self.is_board_or_net(self.word(file, *word)) {
                self.places(file, *word);
            }
        }
    }
}
