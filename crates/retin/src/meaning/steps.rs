//! Steps: what is done to what, with what, and after which others.

use super::build::{Reader, Section, near};
use super::problem::ProblemKind;
use super::{BoardCopy, Case, FactValue, Facts, LinkId, NetId, PlaceId, names, nets};
use crate::sources::{FileId, Origin};
use retin_syntax::tables::{PlanVerb, Property, StepVerb};
use retin_syntax::token::Token;
use retin_syntax::tree::{self, Record, Selector, SelectorChoice, Word};
use retin_syntax::value::{self, Dimension, Quantity, Value};
use rustc_hash::FxHashMap;

/// A step.
#[derive(Debug)]
pub struct Step<'a> {
    /// Its name.
    pub name: &'a str,
    /// Where the name is written.
    pub origin: Origin,
    /// The whole line.
    pub line: Origin,
    /// What is done.
    pub verb: StepVerb,
    /// To what.
    pub about: About<'a>,
    /// Tools and means.
    pub with: Vec<&'a str>,
    /// The steps it waits for, in the order written.
    pub after: Vec<Waits>,
    /// How long it takes, where that is written.
    pub time: Option<(Quantity, Origin)>,
    /// `unpowered`, `cold` or `warm`, where that is written.
    pub condition: Option<Token>,
    /// The reason.
    pub because: Option<&'a str>,
    /// What the technician warns of.
    pub cautions: Vec<&'a str>,
    /// Everything else that its line says: a limit of the current.
    pub facts: Facts<'a>,
}

impl Step<'_> {
    /// What it does, as its line says it: `fit every pot with tweezers`.
    pub fn does(&self) -> String {
        let mut words = vec![self.verb.word()];
        if !self.about.written.is_empty() {
            words.push(self.about.written);
        }
        let with = self.with.join(", ");
        if !with.is_empty() {
            words.extend(["with", &with]);
        }
        if let Some(condition) = self.condition.and_then(|token| token.reserved_text()) {
            words.push(condition);
        }
        words.join(" ")
    }
}

/// One name behind `after`.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Waits {
    /// The step that comes first, as an index into the job's steps.
    pub step: usize,
    /// Where it is named.
    pub origin: Origin,
}

/// What a step is about.
#[derive(Clone, Default, PartialEq, Eq, Debug)]
pub struct About<'a> {
    /// As written; empty where the step names nothing.
    pub written: &'a str,
    /// The places, sorted.
    pub places: Vec<PlaceId>,
    /// The copies of boards, sorted.
    pub boards: Vec<BoardCopy>,
    /// The nets, each with the copy of its board; sorted.
    pub nets: Vec<(NetId, u16)>,
    /// The links, sorted.
    pub links: Vec<LinkId>,
    /// Whether it is about the whole unit.
    pub is_everything: bool,
    /// Whether places were chosen by their kind, and not by name.
    pub is_by_kind: bool,
}

impl About<'_> {
    /// Every copy of a board that it touches, sorted.
    pub fn touched(&self, case: &Case<'_>) -> Vec<BoardCopy> {
        let mut touched = self.boards.clone();
        touched.extend(self.places.iter().map(|place| case.copy_of(*place)));
        touched.extend(
            self.nets
                .iter()
                .map(|(net, copy)| (case.nets.net(*net).board, *copy)),
        );
        for link in &self.links {
            touched.extend(&case.link(*link).boards);
        }
        touched.sort_unstable();
        touched.dedup();
        touched
    }

    /// Whether it names nothing.
    pub fn is_nothing(&self) -> bool {
        self.places.is_empty()
            && self.boards.is_empty()
            && self.nets.is_empty()
            && self.links.is_empty()
    }
}

impl<'a> Case<'a> {
    /// The link with this id.
    pub fn link(&self, id: LinkId) -> &super::Link<'a> {
        &self.links[id.0 as usize]
    }

    /// Whether the chip at a place sits in a socket, or will.
    pub fn is_socketed(&self, place: PlaceId) -> bool {
        self.part(place.part)
            .facts
            .is(Property::Feature, Token::Socketed)
            || self.gets_socket(place)
    }

    /// Whether the plan puts the chip at a place in a socket.
    pub fn gets_socket(&self, place: PlaceId) -> bool {
        self.decision(place).is_some_and(|decision| {
            decision.socket.is_some() || self.plan_line(decision.line).verb == PlanVerb::Socket
        })
    }
}

/// Reads the `steps` sections of a file.
pub(super) fn steps<'s, 'a>(
    reader: &mut Reader<'_, 'a>,
    sections: impl Iterator<Item = Section<'s>>,
) {
    let mut steps: Vec<Step<'a>> = Vec::new();
    let mut waits: Vec<(usize, FileId, Word)> = Vec::new();
    let mut by_name: FxHashMap<&'a str, usize> = FxHashMap::default();
    let lines = sections.flat_map(|section| {
        let lines = section.tree.children(section.id);
        lines.map(move |(id, line)| (section, id, line))
    });
    for (section, id, line) in lines {
        let file = section.file;
        let Record::Step {
            name,
            verb,
            selector,
            with,
            after,
            facts,
        } = &line.record
        else {
            continue;
        };
        let origin = |span| Origin { file, span };
        let text = reader.word(file, *name);
        if let Some(first) = by_name.get(text) {
            let kind = ProblemKind::DuplicateName {
                what: "step",
                name: text.to_owned(),
                first: steps[*first].origin,
            };
            reader.problem(file, name.span, kind);
        }
        let (about, mut own) = match selector {
            Some(selector) => {
                let (selector, times) = without_times(reader.text(file), selector);
                (reader.about(file, &selector), times)
            }
            None => (About::default(), Vec::new()),
        };
        own.extend(facts.iter().cloned());
        let facts = Facts::of(reader.facts(file, &own, None));
        let time = facts.iter().find_map(|fact| match fact.value {
            FactValue::Value(Value::Quantity(quantity))
                if quantity.dimension == Dimension::Time =>
            {
                Some((quantity, fact.origin))
            }
            _ => None,
        });
        let cautions = section.tree.children(id);
        let cautions = cautions.filter_map(|(_, line)| match &line.record {
            Record::Caution { text } => Some(reader.word(file, *text)),
            _ => None,
        });
        waits.extend(after.iter().map(|word| (steps.len(), file, *word)));
        by_name.entry(text).or_insert(steps.len());
        steps.push(Step {
            name: text,
            origin: origin(name.span),
            line: origin(line.span),
            verb: *verb,
            about,
            with: with.iter().map(|word| reader.word(file, *word)).collect(),
            after: Vec::new(),
            time,
            condition: facts.choice(Property::Condition),
            because: facts.word(Property::Because),
            cautions: cautions.collect(),
            facts,
        });
    }
    for (waiting, file, word) in waits {
        let name = reader.word(file, word);
        let origin = Origin {
            file,
            span: word.span,
        };
        match by_name.get(name) {
            Some(&step) => steps[waiting].after.push(Waits { step, origin }),
            None => {
                let kind = ProblemKind::UnknownName {
                    what: "step",
                    name: name.to_owned(),
                    near: near(name, steps.iter().map(|step| step.name)),
                };
                reader.problem(file, word.span, kind);
            }
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
        let (of_step, of_parts): (tree::Facts, tree::Facts) =
            std::mem::take(facts).into_iter().partition(is_time);
        if let Some(first) = of_step.first().map(|fact| fact.span.start)
            && of_parts.iter().all(|fact| fact.span.start < first)
        {
            selector.span.end = selector.span.end.min(first);
        }
        times = of_step;
        *facts = of_parts;
    }
    (selector, times)
}

impl<'t, 'a> Reader<'t, 'a> {
    /// Looks up what a step is about: boards, nets and links as well as parts.
    fn about(&mut self, file: FileId, selector: &Selector) -> About<'a> {
        let mut about = About {
            written: self.keep(selector.span.of(self.text(file)).trim()),
            ..About::default()
        };
        match &selector.choice {
            SelectorChoice::Names(words) => {
                let on = self.on(file, selector);
                for word in words {
                    self.named_in_step(file, *word, &mut about);
                }
                if let Some(on) = &on {
                    self.case.keep_on(&mut about, |copy| on.contains(&copy));
                }
                self.without(file, selector, &mut about);
            }
            SelectorChoice::Every { kinds, .. }
                if kinds.iter().any(|word| is_no_part(word.token)) =>
            {
                let on = self.on(file, selector);
                for word in kinds {
                    self.case.every_no_part(word.token, &mut about);
                }
                if kinds.iter().any(|word| !is_no_part(word.token)) {
                    about.is_by_kind = true;
                    about.places = self.selector(file, selector).places;
                }
                if let Some(on) = &on {
                    self.case.keep_on(&mut about, |copy| on.contains(&copy));
                }
                self.without(file, selector, &mut about);
            }
            SelectorChoice::Every { .. } | SelectorChoice::Everything => {
                about.is_by_kind = true;
                about.is_everything = selector.choice == SelectorChoice::Everything
                    && selector.on.is_empty()
                    && selector.except.is_empty();
                about.places = self.selector(file, selector).places;
            }
        }
        about.places.sort_unstable();
        about.places.dedup();
        about.boards.sort_unstable();
        about.boards.dedup();
        about.nets.sort_unstable();
        about.nets.dedup();
        about.links.sort_unstable();
        about.links.dedup();
        about
    }

    fn on(&mut self, file: FileId, selector: &Selector) -> Option<Vec<BoardCopy>> {
        (!selector.on.is_empty()).then(|| self.board_copies(file, &selector.on))
    }

    fn named_in_step(&mut self, file: FileId, word: Word, about: &mut About<'a>) {
        let text = self.word(file, word);
        if self.is_board_or_net(text) {
            match nets::split_board(text) {
                None => about.boards.extend(self.copies_named(text)),
                Some((boards, net)) => {
                    for (board, copy) in self.copies_named(boards) {
                        if let Some(net) = self.case.nets.find(board, net) {
                            about.nets.push((net, copy));
                        }
                    }
                }
            }
            return;
        }
        let wanted = names::expand(text).unwrap_or_default();
        let links: Option<Vec<LinkId>> = wanted
            .iter()
            .map(|name| {
                let links = &self.case.links;
                let index = links.iter().position(|link| link.name == name)?;
                Some(LinkId(index as u32))
            })
            .collect();
        match links {
            Some(links) if !links.is_empty() => about.links.extend(links),
            _ => about.places.extend(self.places(file, word).places),
        }
    }

    /// Takes out what stands behind `except`.
    fn without(&mut self, file: FileId, selector: &Selector, about: &mut About<'a>) {
        for word in &selector.except {
            let mut out = About::default();
            self.named_in_step(file, *word, &mut out);
            about.places.retain(|place| !out.places.contains(place));
            about.nets.retain(|net| !out.nets.contains(net));
            about.links.retain(|link| !out.links.contains(link));
            self.case.keep_on(about, |copy| !out.boards.contains(&copy));
        }
    }
}

/// Whether the word behind `every` names no kind of part.
fn is_no_part(token: Token) -> bool {
    matches!(token, Token::Board | Token::Rail | Token::Link)
}

impl Case<'_> {
    fn every_no_part(&self, token: Token, about: &mut About<'_>) {
        let boards = (0..self.boards.len() as u32).map(super::BoardId);
        match token {
            Token::Board => {
                let boards = boards.filter(|board| !self.board(*board).is_wiring);
                about
                    .boards
                    .extend(boards.flat_map(|board| self.copies_of(board)));
            }
            Token::Rail => {
                // Between ground and ground there is nothing to read.
                let is_read =
                    |net: &super::Net<'_>| net.rail.as_ref().is_some_and(|rail| !rail.is_ground());
                for (id, net) in self.nets.iter().filter(|(_, net)| is_read(net)) {
                    let copies = self.copies_of(net.board);
                    about.nets.extend(copies.map(|(_, copy)| (id, copy)));
                }
            }
            Token::Link => {
                let links = 0..self.links.len() as u32;
                about.links.extend(links.map(LinkId));
            }
            _ => {}
        }
    }

    /// Keeps what lies on wanted copies of boards; a link is kept where one of its ends does.
    fn keep_on(&self, about: &mut About<'_>, wanted: impl Fn(BoardCopy) -> bool) {
        about.places.retain(|place| wanted(self.copy_of(*place)));
        about.boards.retain(|copy| wanted(*copy));
        about
            .nets
            .retain(|(net, copy)| wanted((self.nets.net(*net).board, *copy)));
        about
            .links
            .retain(|link| self.link(*link).boards.iter().any(|copy| wanted(*copy)));
    }
}
