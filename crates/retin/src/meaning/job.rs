//! The job itself: its heading, what was found, its steps, targets and log.

use super::build::{Reader, Section};
use super::log::LogEntry;
use super::problem::ProblemKind;
use super::steps::Step;
use super::targets::Target;
use super::{Claim, Facts};
use crate::sources::Origin;
use retin_syntax::tables::{ClaimSource, Property};
use retin_syntax::tree::{Record, Word};
use retin_syntax::value::{Date, Money, Value};

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
pub(super) fn job<'a>(reader: &mut Reader<'_, 'a>, section: Section<'_>) {
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
pub(super) fn found<'a>(reader: &mut Reader<'_, 'a>, section: Section<'_>) {
    let file = section.file;
    for (_, line) in section.tree.children(section.id) {
        let origin = Origin {
            file,
            span: line.span,
        };
        let (names, source, claim) = match &line.record {
            Record::Survey {
                names,
                source,
                claim,
            } => (names, source, claim),
            Record::SurveyGoBy { names, source } => {
                settle(reader, origin, names, *source);
                continue;
            }
            _ => continue,
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

/// Notes what the job goes by at some places of this unit.
fn settle(reader: &mut Reader<'_, '_>, origin: Origin, names: &[Word], source: ClaimSource) {
    for word in names {
        for place in reader.places(origin.file, *word).places {
            let name = reader.case.name_of(place);
            let part = &mut reader.case.parts[place.part.0 as usize];
            let said = part.go_by_here.iter().find(|row| row.0 == place.copy);
            if let Some((_, _, first)) = said {
                let kind = ProblemKind::DuplicateName {
                    what: "`go by` line for the part",
                    name,
                    first: *first,
                };
                reader.problem(origin.file, origin.span, kind);
                continue;
            }
            part.go_by_here.push((place.copy, source, origin));
        }
    }
}
