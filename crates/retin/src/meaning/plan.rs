//! Plans: which line decides what becomes of which place.

use super::build::{Reader, Section};
use super::problem::ProblemKind;
use super::shelf::EntryId;
use super::{BoardId, Case, Decision, Decisions, Facts, Part, PartId, PinOn, PlaceId, names};
use crate::sources::{FileId, Origin};
use retin_syntax::tables::{ClaimSource, Direction, Kind, PlanVerb, Property};
use retin_syntax::token::Token;
use retin_syntax::tree::{PlanLine, Record, Selector, SelectorChoice, WithPart, Word};

/// A line's place in `Case::plan`.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub struct PlanLineId(pub u32);

/// A line of the plan with its names looked up.
#[derive(Debug)]
pub struct PlanEntry<'a> {
    /// What is to be done.
    pub verb: PlanVerb,
    /// The whole line.
    pub origin: Origin,
    /// Which places it is about.
    pub selector: ReadSelector,
    /// Shelves to choose from, as indexes into `Case::shelves`.
    pub from: Vec<usize>,
    /// The new part or parts.
    pub with: Vec<NewPart<'a>>,
    /// `in series` or `in parallel`.
    pub mounting: Option<Token>,
    /// Which way a lead of the new part is to lie.
    pub orientation: Option<(&'a str, Direction, Origin)>,
    /// The reason.
    pub because: Option<&'a str>,
}

/// The places a selector chooses.
#[derive(Clone, Debug)]
pub struct ReadSelector {
    /// The selector as written.
    pub origin: Origin,
    /// The places, sorted.
    pub places: Vec<PlaceId>,
}

/// A part that a plan line puts in.
#[derive(Clone, PartialEq, Debug)]
pub enum NewPart<'a> {
    /// One from a shelf.
    Entry {
        /// Which.
        entry: EntryId,
        /// Where the plan names it.
        origin: Origin,
    },
    /// One that is on no shelf, described by its values.
    Described {
        /// Its kind, where the plan says another than the old part's.
        kind: Option<Kind>,
        /// Its values.
        facts: Facts<'a>,
        /// Where it is described.
        origin: Origin,
    },
}

impl<'a> NewPart<'a> {
    /// Its kind: as stated, else its type's; none where it is left to the old part's.
    pub fn kind(&self, case: &Case<'a>) -> Option<Kind> {
        let (kind, facts) = match self {
            NewPart::Entry { entry, .. } => {
                let entry = case.entry(*entry);
                (entry.kind, &entry.facts)
            }
            NewPart::Described { kind, facts, .. } => (*kind, facts),
        };
        kind.or_else(|| case.library.device(facts.word(Property::Device)?)?.kind)
    }

    /// Where the plan or the log names it.
    pub fn origin(&self) -> Origin {
        match self {
            NewPart::Entry { origin, .. } | NewPart::Described { origin, .. } => *origin,
        }
    }
}

/// An `accept` line.
#[derive(Debug)]
pub struct Acceptance<'a> {
    /// The rule it silences.
    pub rule: &'a str,
    /// Where the rule is named.
    pub rule_origin: Origin,
    /// The whole line.
    pub origin: Origin,
    /// On which places.
    pub selector: ReadSelector,
    /// The reason.
    pub because: Option<&'a str>,
    /// The values it was given for, blanks made single, with where they stand.
    pub values: Option<(String, Origin)>,
}

/// Reads a `plan` section.
pub(super) fn plan<'a>(reader: &mut Reader<'_, 'a>, section: Section<'_>) {
    let file = section.file;
    if let Some(job) = &mut reader.case.job {
        job.plan.get_or_insert(Origin {
            file,
            span: section.tree.line(section.id).span,
        });
    }
    for (id, line) in section.tree.children(section.id) {
        let origin = Origin {
            file,
            span: line.span,
        };
        match &line.record {
            Record::Plan(plan) => plan_line(reader, file, origin, plan),
            Record::Accept {
                rule,
                selector,
                because,
            } => {
                let values = section
                    .tree
                    .children(id)
                    .find_map(|(_, child)| match child.record {
                        Record::For { values } => {
                            let text: Vec<&str> =
                                values.of(reader.text(file)).split_whitespace().collect();
                            Some((text.join(" "), Origin { file, span: values }))
                        }
                        _ => None,
                    });
                let selector = reader.selector(file, selector);
                let name = reader.word(file, *rule);
                if crate::rules::find(name).is_none() {
                    let near =
                        super::build::near(name, crate::rules::RULES.iter().map(|rule| rule.name));
                    reader.problem(
                        file,
                        rule.span,
                        ProblemKind::UnknownName {
                            what: "rule",
                            name: name.to_owned(),
                            near,
                        },
                    );
                }
                reader.case.acceptances.push(Acceptance {
                    rule: name,
                    rule_origin: Origin {
                        file,
                        span: rule.span,
                    },
                    origin,
                    selector,
                    because: because.map(|text| reader.word(file, text)),
                    values,
                });
            }
            _ => {}
        }
    }
}

fn plan_line<'a>(reader: &mut Reader<'_, 'a>, file: FileId, origin: Origin, plan: &PlanLine) {
    let facts = reader.facts(file, &plan.facts, None);
    let facts = Facts::of(facts);
    let (selector, kind) = if plan.verb == PlanVerb::Add {
        (None, None)
    } else {
        let selector = reader.selector(file, &plan.selector);
        let kind = selector
            .places
            .first()
            .and_then(|place| reader.case.part(place.part).kind);
        (Some(selector), kind)
    };
    let mut with = Vec::with_capacity(plan.with.len());
    for part in &plan.with {
        with.extend(reader.new_part(file, part, kind));
    }
    let selector = selector.unwrap_or_else(|| added(reader, file, plan, &with));
    let mut from = Vec::new();
    for word in &plan.from {
        let name = reader.word(file, *word);
        match reader
            .case
            .shelves
            .iter()
            .position(|shelf| shelf.name == name)
        {
            Some(shelf) => from.push(shelf),
            None => {
                let near =
                    super::build::near(name, reader.case.shelves.iter().map(|shelf| shelf.name));
                reader.problem(
                    file,
                    word.span,
                    ProblemKind::UnknownName {
                        what: "shelf",
                        name: name.to_owned(),
                        near,
                    },
                );
            }
        }
    }
    if matches!(plan.verb, PlanVerb::Replace | PlanVerb::Add)
        && plan.with.is_empty()
        && plan.from.is_empty()
    {
        reader.problem(
            file,
            origin.span,
            ProblemKind::Misplaced {
                message: format!("this `{}` does not say what goes in", plan.verb.word()),
                consequence: "nothing is ordered for it, and at the bench the place stays empty",
                help: "name a shelf to choose from, `from main`, or the part, `with E-10-25`"
                    .into(),
            },
        );
    }
    reader.case.plan.push(PlanEntry {
        verb: plan.verb,
        origin,
        selector,
        from,
        with,
        mounting: facts.choice(Property::Mounting),
        orientation: facts.orientations().next(),
        because: facts.word(Property::Because),
    });
}

impl<'t, 'a> Reader<'t, 'a> {
    /// A shelf entry by its name, or a part described by its values.
    pub(super) fn new_part(
        &mut self,
        file: FileId,
        part: &WithPart,
        kind: Option<Kind>,
    ) -> Option<NewPart<'a>> {
        let origin = Origin {
            file,
            span: part.span,
        };
        if let [fact] = part.facts.as_slice()
            && fact.property.is_none()
            && let [word] = fact.words.as_slice()
        {
            let name = self.word(file, *word);
            if let Some(&entry) = self.case.entries_by_name.get(name) {
                return Some(NewPart::Entry { entry, origin });
            }
            if word.token == Token::Word && name.contains('-') {
                let near = super::build::near(
                    name,
                    self.case.entries.iter().map(|entry| entry.name.as_str()),
                );
                self.problem(
                    file,
                    word.span,
                    ProblemKind::UnknownName {
                        what: "shelf entry",
                        name: name.to_owned(),
                        near,
                    },
                );
                return None;
            }
        }
        let own_kind = part
            .facts
            .iter()
            .find(|fact| fact.property == Some(Property::Kind))
            .and_then(|fact| Kind::of(fact.words.first()?.token));
        let facts = self.facts(file, &part.facts, own_kind.or(kind));
        Some(NewPart::Described {
            kind: own_kind,
            facts: Facts::of(facts),
            origin,
        })
    }

    /// The places a selector chooses.
    pub(super) fn selector(&mut self, file: FileId, selector: &Selector) -> ReadSelector {
        let origin = Origin {
            file,
            span: selector.span,
        };
        let on = (!selector.on.is_empty()).then(|| self.board_copies(file, &selector.on));
        let mut places: Vec<PlaceId> = match &selector.choice {
            SelectorChoice::Names(words) => words
                .iter()
                .flat_map(|word| self.places(file, *word).places)
                .collect(),
            SelectorChoice::Everything => {
                let all = self.case.places();
                all.filter(|place| !self.case.is_unfitted(*place)).collect()
            }
            SelectorChoice::Every { kinds, facts } => self.every(file, kinds, facts),
        };
        if let Some(on) = on {
            places.retain(|place| on.contains(&(self.case.part(place.part).board, place.copy)));
        }
        for word in &selector.except {
            let text = self.word(file, *word);
            if self.is_board_or_net(text) && names::segments(text).len() == 1 {
                let boards = self.board_copies(file, &[*word]);
                places.retain(|place| {
                    !boards.contains(&(self.case.part(place.part).board, place.copy))
                });
                continue;
            }
            // A name without its board is looked for where the selector looks.
            let except = self.places(file, *word).places;
            places.retain(|place| !except.contains(place));
        }
        places.sort_unstable();
        places.dedup();
        ReadSelector { origin, places }
    }

    pub(super) fn every(
        &mut self,
        file: FileId,
        kinds: &[Word],
        facts: &retin_syntax::tree::Facts,
    ) -> Vec<PlaceId> {
        self.chooses_by_value |= !facts.is_empty();
        let mut places = Vec::new();
        // One reading of the wanted values for each kind, since the kind decides what a value is.
        let mut wanted: Vec<(Option<Kind>, Vec<super::Stated<'a>>)> = Vec::new();
        // Parts of a kind stand together.
        let mut last = (None, false);
        for index in 0..self.case.parts.len() {
            let kind = self.case.parts[index].kind;
            if kind != last.0 {
                let is_covered =
                    |kind: Kind| kinds.iter().any(|word| kind.is_covered_by(word.token));
                last = (kind, kind.is_some_and(is_covered));
            }
            if !last.1 {
                continue;
            }
            if !facts.is_empty() && !wanted.iter().any(|row| row.0 == kind) {
                let facts = self.facts(file, facts, kind);
                wanted.push((kind, facts));
            }
            let values = wanted
                .iter()
                .find(|row| row.0 == kind)
                .map_or(&[][..], |row| &row.1);
            let part = &self.case.parts[index];
            let matches = values.iter().all(|value| {
                part.facts
                    .all(value.property)
                    .any(|fact| fact.value == value.value)
            });
            if matches {
                let copies = self.case.board(part.board).copies.len() as u16;
                let all = (0..copies).map(|copy| PlaceId {
                    part: PartId(index as u32),
                    copy,
                });
                places.extend(all.filter(|place| !self.case.is_unfitted(*place)));
            }
        }
        places
    }
}

/// Makes places for parts that the maker did not have.
fn added<'a>(
    reader: &mut Reader<'_, 'a>,
    file: FileId,
    plan: &PlanLine,
    with: &[NewPart<'a>],
) -> ReadSelector {
    let origin = Origin {
        file,
        span: plan.selector.span,
    };
    let mut places = Vec::new();
    let SelectorChoice::Names(words) = &plan.selector.choice else {
        reader.problem(
            file,
            plan.selector.span,
            ProblemKind::Misplaced {
                message: "a part that is added needs a name of its own".into(),
                consequence: "there is no place for it, and it is on no list",
                help: "name it with its board, `add psu.C99 with E-100-50 (+ V24, - GND)`".into(),
            },
        );
        return ReadSelector { origin, places };
    };
    let kind = match with.first() {
        Some(NewPart::Entry { entry, .. }) => reader.case.entry(*entry).kind,
        Some(NewPart::Described { kind, .. }) => *kind,
        None => None,
    };
    for word in words {
        let text = reader.word(file, *word);
        let segments = names::segments(text);
        let [board_text, part_text] = segments[..] else {
            let name = text.to_owned();
            reader.problem(
                file,
                word.span,
                ProblemKind::UnknownName {
                    what: "board and part, written `psu.C99`,",
                    name,
                    near: None,
                },
            );
            continue;
        };
        let boards: Vec<String> = names::expand(board_text).unwrap_or_default();
        for name in names::expand(part_text).unwrap_or_default() {
            for board_name in &boards {
                let Some((board, copy)) = reader.case.boards_by_name.get(board_name).copied()
                else {
                    reader.unknown_board(file, word.span, board_name);
                    continue;
                };
                let part = match reader.case.part_named(board, &name) {
                    Some(part) => part,
                    None => add_part(reader, file, board, &name, *word, kind, plan),
                };
                match copy {
                    Some(copy) => places.push(PlaceId { part, copy }),
                    None => places.extend(
                        (0..reader.case.board(board).copies.len() as u16)
                            .map(|copy| PlaceId { part, copy }),
                    ),
                }
            }
        }
    }
    places.sort_unstable();
    places.dedup();
    ReadSelector { origin, places }
}

fn add_part<'a>(
    reader: &mut Reader<'_, 'a>,
    file: FileId,
    board: BoardId,
    name: &str,
    word: Word,
    kind: Option<Kind>,
    plan: &PlanLine,
) -> PartId {
    let part = PartId(reader.case.parts.len() as u32);
    let pins: Vec<PinOn<'a>> = reader.pins(file, board, &plan.pins, kind);
    let origin = Origin {
        file,
        span: word.span,
    };
    let of = (board, ClaimSource::Schematic);
    reader.case.parts.push(Part {
        name: name.to_owned(),
        is_added: true,
        ..Part::of_line(origin, of, kind, Facts::default(), pins)
    });
    reader.case.parts_by_name[board.0 as usize].insert(name.to_owned(), part);
    reader.case.boards[board.0 as usize].parts.push(part);
    part
}

/// Which line decides for each place: the one that chooses fewest places.
pub(super) fn decide(reader: &mut Reader<'_, '_>) {
    let case = &mut reader.case;
    let mut claims: Vec<(PlaceId, bool, usize, PlanLineId)> = Vec::new();
    for (index, line) in case.plan.iter().enumerate() {
        let width = line.selector.places.len();
        let is_socket = line.verb == PlanVerb::Socket;
        let id = PlanLineId(index as u32);
        claims.extend(
            line.selector
                .places
                .iter()
                .map(|place| (*place, is_socket, width, id)),
        );
    }
    // The places of each line are in order already.
    claims.sort();
    let mut decisions: Vec<Decision> = Vec::new();
    for same_place in claims.chunk_by(|one, other| one.0 == other.0) {
        let (main, sockets) = same_place.split_at(same_place.partition_point(|claim| !claim.1));
        let socket = sockets.first().map(|claim| claim.3);
        let Some(first) = main.first().or(sockets.first()) else {
            continue;
        };
        let rival = main
            .get(1)
            .filter(|second| second.2 == first.2)
            .map(|second| second.3);
        decisions.push(Decision {
            place: first.0,
            line: first.3,
            rival,
            socket,
        });
    }
    case.decisions = Decisions::of(decisions);
}
