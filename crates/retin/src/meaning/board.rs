//! Model sheets: the model, its boards and their parts.

use super::build::{Reader, Section};
use super::passed_over::{boards_of, meant};
use super::problem::ProblemKind;
use super::told_once::Taken;
use super::{
    Board, BoardId, Change, Claim, Exception, FactValue, Facts, Model, NetId, Part, PartId, PinOn,
    Says, Stated, names,
};
use crate::sources::{FileId, Origin};
use retin_syntax::Span;
use retin_syntax::tables::{ClaimSource, Kind, Property};
use retin_syntax::tree::{self, LineId, Record, Word};
use retin_syntax::value::{self, Decimal, Dimension, Value};
use rustc_hash::{FxHashMap, FxHashSet};
use std::collections::hash_map::Entry;
use std::sync::Arc;

/// Reads a `model` section.
pub(super) fn model<'a>(reader: &mut Reader<'_, 'a>, section: Section<'_>) {
    let Some(name) = section.heading.name else {
        return;
    };
    let origin = Origin {
        file: section.file,
        span: name.span,
    };
    if let Some(first) = &reader.case.model {
        let first = first.origin;
        let name = reader.word(section.file, name).to_owned();
        reader.passed_over.note(&name);
        reader.passed_over.has_taken = true;
        reader.problem(
            section.file,
            origin.span,
            ProblemKind::DuplicateName {
                what: "model sheet",
                name,
                first,
            },
        );
        return;
    }
    let mut own = Vec::new();
    let mut changes = Vec::new();
    for (_, line) in section.tree.children(section.id) {
        match &line.record {
            Record::Setting { facts } => own.extend(reader.facts(section.file, facts, None)),
            Record::Changed {
                revision,
                names,
                text,
            } => {
                if let Some(Value::Number(revision)) = reader.value(section.file, revision.span) {
                    changes.push(Change {
                        revision,
                        names: names
                            .iter()
                            .map(|word| reader.word(section.file, *word))
                            .collect(),
                        text: reader.word(section.file, *text),
                        origin: Origin {
                            file: section.file,
                            span: line.span,
                        },
                    });
                }
            }
            _ => {}
        }
    }
    reader.case.model = Some(Model {
        name: reader.word(section.file, name),
        origin,
        title: section
            .heading
            .title
            .map_or("", |title| reader.word(section.file, title)),
        facts: Facts::of(own),
        changes,
    });
}

/// What a group passes down to its parts.
#[derive(Clone, Default)]
pub(crate) struct Group<'a> {
    pub(crate) kind: Option<Kind>,
    pub(crate) facts: Option<Arc<Vec<Stated<'a>>>>,
}

impl Group<'_> {
    /// A group whose line cannot be read: what it would pass down is not known, but
    /// for the kind that it begins with, or was meant to.
    pub(crate) fn unread(tree: &tree::Tree, line: &tree::Line) -> Self {
        Group {
            kind: meant(tree, line).and_then(Kind::of),
            facts: None,
        }
    }
}

impl<'t, 'a> Reader<'t, 'a> {
    /// Reads a group line; `above` is what the section itself passes down.
    pub(crate) fn group(&mut self, file: FileId, kind: Word, facts: &tree::Facts) -> Group<'a> {
        let kind = Kind::of(kind.token);
        let facts = self.facts(file, facts, kind);
        Group {
            kind,
            facts: Some(Arc::new(facts)),
        }
    }

    /// The names a list of words stands for, ranges counted out.
    pub(super) fn expand(&mut self, file: FileId, word: Word) -> Vec<String> {
        let text = self.word(file, word);
        match names::expand(text) {
            Ok(names) => names,
            Err(problem) => {
                self.problem(
                    file,
                    word.span,
                    ProblemKind::BadRange {
                        message: range_problem(text, &problem),
                    },
                );
                Vec::new()
            }
        }
    }
}

pub(super) fn range_problem(text: &str, problem: &names::RangeProblem) -> String {
    match problem {
        names::RangeProblem::NotCountable => format!(
            "`{text}` cannot be counted: both ends need the same letters and a number, or one last letter, as in `C1..C12` or `C7a..C7d`"
        ),
        names::RangeProblem::Backwards => format!("`{text}` counts backwards"),
        names::RangeProblem::TooMany => format!(
            "`{text}` stands for more than {} names",
            retin_syntax::limits::RANGE_MEMBERS
        ),
    }
}

/// Reads a `board` or `wiring` section.
pub(super) fn board<'a>(reader: &mut Reader<'_, 'a>, section: Section<'_>) {
    let Some(name) = section.heading.name else {
        return;
    };
    let file = section.file;
    let origin = Origin {
        file,
        span: name.span,
    };
    let name = reader.word(file, name);
    let id = BoardId(reader.case.boards.len() as u32);
    let mut copies: Vec<String> = Vec::new();
    for word in &section.heading.copies {
        copies.extend(reader.expand(file, *word));
    }
    if copies.is_empty() {
        copies.push(name.to_owned());
    }
    if let Some(&(first, _)) = reader.case.boards_by_name.get(name) {
        let first = reader.case.board(first).origin;
        reader.problem(
            file,
            origin.span,
            ProblemKind::DuplicateName {
                what: "board",
                name: name.to_owned(),
                first,
            },
        );
        reader.pass_over(section, &boards_of(reader.text(file), section.heading));
        return;
    }
    let mut taken: Vec<(String, BoardId)> = Vec::new();
    let mut seen: FxHashSet<String> = FxHashSet::default();
    copies.retain(|copy| {
        let first = match reader.case.boards_by_name.get(copy) {
            Some((first, _)) => *first,
            None if seen.insert(copy.clone()) => return true,
            None => id,
        };
        taken.push((copy.clone(), first));
        false
    });
    if copies.is_empty() {
        copies.push(name.to_owned());
    }
    let whole = if copies.len() == 1 { Some(0) } else { None };
    reader
        .case
        .boards_by_name
        .insert(name.to_owned(), (id, whole));
    for (index, copy) in copies.iter().enumerate().filter(|copy| copy.1 != name) {
        let place = (id, Some(index as u16));
        reader.case.boards_by_name.insert(copy.clone(), place);
    }
    if let Some((_, first)) = taken.first() {
        let first = match *first == id {
            true => origin,
            false => reader.case.board(*first).origin,
        };
        let taken: Vec<String> = taken.into_iter().map(|(copy, _)| copy).collect();
        reader.problem(
            file,
            origin.span,
            ProblemKind::DuplicateName {
                what: "board",
                name: names::compress(taken.iter().map(String::as_str)),
                first,
            },
        );
        reader.pass_over(section, &taken);
    }
    reader.case.boards.push(Board {
        name,
        origin,
        title: section
            .heading
            .title
            .map_or("", |title| reader.word(file, title)),
        copies,
        is_wiring: section.heading.kind == tree::HeadingKind::Wiring,
        facts: Facts::default(),
        zones: Vec::new(),
        zone_corners: Vec::new(),
        parts: Vec::new(),
    });
    reader.case.parts_by_name.push(FxHashMap::default());
    lines(reader, section, id);
}

/// Reads below a heading that is as it was.
pub(super) fn again<'a>(reader: &mut Reader<'_, 'a>, section: Section<'_>, id: BoardId) {
    let board = &mut reader.case.boards[id.0 as usize];
    board.zones.clear();
    board.zone_corners.clear();
    board.parts.clear();
    lines(reader, section, id);
}

fn lines(reader: &mut Reader<'_, '_>, section: Section<'_>, board: BoardId) {
    let file = section.file;
    let mut settings = Vec::new();
    // Rails first: parts may name them before they are declared.
    for (_, line) in section.tree.children(section.id) {
        match &line.record {
            Record::Setting { facts } => settings.extend(reader.facts(file, facts, None)),
            Record::Rail { name, facts } => {
                let told = reader.case.problems.len();
                let facts = reader.facts(file, facts, None);
                let is_told = reader.case.problems.len() > told;
                let origin = Origin {
                    file,
                    span: name.span,
                };
                let name = reader.word(file, *name);
                super::nets::rail(reader, board, name, origin, facts, is_told);
            }
            Record::Net { name, .. } => {
                let origin = Origin {
                    file,
                    span: name.span,
                };
                let name = reader.word(file, *name);
                reader.case.nets.declare(board, name, origin);
            }
            Record::Zone { name, corners } => {
                let origin = Origin {
                    file,
                    span: name.span,
                };
                let name = reader.word(file, *name);
                let corners = corners.map(|corner| length(reader.word(file, corner)));
                let board = &mut reader.case.boards[board.0 as usize];
                board.zones.push((name, origin));
                board.zone_corners.push(match corners {
                    [Some(left), Some(lower), Some(right), Some(upper)] => {
                        Some([left, lower, right, upper])
                    }
                    _ => None,
                });
            }
            _ => {}
        }
    }
    let mut sounds: Vec<Sounds<'_>> = Vec::new();
    let headline = source_of(&settings).unwrap_or(ClaimSource::Schematic);
    reader.case.boards[board.0 as usize].facts = Facts::of(settings);
    for (id, line) in section.tree.children(section.id) {
        match &line.record {
            Record::Group { kind, facts } => {
                let group = reader.group(file, *kind, facts);
                let headline = group
                    .facts
                    .as_deref()
                    .and_then(|facts| source_of(facts))
                    .unwrap_or(headline);
                for (id, _) in section.tree.children(id) {
                    part(reader, section, (board, headline), id, &group, &mut sounds);
                }
            }
            Record::Part { .. } => part(
                reader,
                section,
                (board, headline),
                id,
                &Group::default(),
                &mut sounds,
            ),
            // The group's own line could not be read: its parts still are.
            Record::Broken => {
                let group = Group::unread(section.tree, line);
                for (id, _) in section.tree.children(id) {
                    part(reader, section, (board, headline), id, &group, &mut sounds);
                }
            }
            _ => {}
        }
    }
    // By now every net of the board is named.
    for Sounds {
        part,
        source,
        claim,
        origin,
    } in sounds
    {
        let kind = reader.case.part(part).kind;
        if let Some(says) = reader.says(file, board, kind, claim) {
            reader.case.parts[part.0 as usize].claims.push(Claim {
                source,
                says,
                origin,
                copy: None,
            });
        }
    }
}

/// What a claim says of a net that no line above it names.
struct Sounds<'a> {
    part: PartId,
    source: ClaimSource,
    claim: &'a tree::Claim,
    origin: Origin,
}

/// A length in mm, with or without its unit.
fn length(text: &str) -> Option<Decimal> {
    match value::read(text).ok()? {
        Value::Number(number) => Some(number),
        Value::Quantity(quantity) if quantity.dimension == Dimension::Length => {
            Some(quantity.number)
        }
        _ => None,
    }
}

/// Whose claims the headlines are, where a `per` says so.
fn source_of(facts: &[Stated<'_>]) -> Option<ClaimSource> {
    facts
        .iter()
        .find(|fact| fact.property == Property::Per)
        .and_then(|fact| match fact.value {
            FactValue::Choice(token) => ClaimSource::of(token),
            _ => None,
        })
}

fn part<'s, 'a>(
    reader: &mut Reader<'_, 'a>,
    section: Section<'s>,
    (board, headline): (BoardId, ClaimSource),
    id: LineId,
    group: &Group<'a>,
    sounds: &mut Vec<Sounds<'s>>,
) {
    let file = section.file;
    let line = section.tree.line(id);
    let Record::Part {
        names,
        kind,
        facts,
        pins,
    } = &line.record
    else {
        return;
    };
    let kind = kind.and_then(|word| Kind::of(word.token)).or(group.kind);
    let mut own = reader.facts(file, facts, kind);
    let whole = Origin {
        file,
        span: line.span,
    };
    let is_section = |line: &tree::Line| matches!(line.record, Record::Section { .. });
    let has_sections = section.tree.children(id).any(|child| is_section(child.1));
    let mut wholes: Vec<String> = Vec::new();
    for (index, word) in names.iter().enumerate() {
        let is_last_word = index + 1 == names.len();
        let expanded = reader.expand(file, *word);
        let count = expanded.len();
        let mut taken: Vec<(String, PartId)> = Vec::new();
        for (index, name) in expanded.into_iter().enumerate() {
            let origin = Origin {
                file,
                span: word.span,
            };
            let part = PartId(reader.case.parts.len() as u32);
            match reader.case.parts_by_name[board.0 as usize].entry(name.clone()) {
                Entry::Vacant(slot) => {
                    slot.insert(part);
                }
                Entry::Occupied(first) => {
                    taken.push((name, *first.get()));
                    continue;
                }
            }
            if has_sections {
                wholes.push(name.clone());
            }
            let pins = reader.pins(file, board, pins, kind);
            let facts = if is_last_word && index + 1 == count {
                std::mem::take(&mut own)
            } else {
                own.clone()
            };
            let facts = Reader::inheriting(facts, group.facts.as_ref());
            let mut read = Part {
                name,
                origin,
                ..Part::of_line(whole, (board, headline), kind, facts, pins)
            };
            for (_, child) in section.tree.children(id) {
                below(reader, section, (board, part), &mut read, child, sounds);
            }
            reader.case.parts.push(read);
            reader.case.boards[board.0 as usize].parts.push(part);
        }
        if let Some((_, first)) = taken.first() {
            let first = reader.case.part(*first).origin;
            let names = taken.iter().map(|(name, _)| name.as_str());
            let kind = ProblemKind::DuplicateName {
                what: "part",
                name: names::compress(names),
                first,
            };
            reader.problem(file, word.span, kind);
            reader.taken.push(Taken {
                board,
                origin: Origin {
                    file,
                    span: word.span,
                },
            });
            let boards = boards_of(reader.text(file), section.heading);
            reader.pass_over_line(section, id, &boards);
        }
    }
    for (_, child) in section.tree.children(id) {
        let Record::Section { name, facts, pins } = &child.record else {
            continue;
        };
        let letter = reader.word(file, *name);
        let origin = Origin {
            file,
            span: child.span,
        };
        for whole_name in &wholes {
            let name = format!("{whole_name}.{letter}");
            let part = PartId(reader.case.parts.len() as u32);
            match reader.case.parts_by_name[board.0 as usize].entry(name.clone()) {
                Entry::Vacant(slot) => {
                    slot.insert(part);
                }
                Entry::Occupied(first) => {
                    let first = reader.case.parts[first.get().0 as usize].line;
                    let what = "section";
                    let kind = ProblemKind::DuplicateName { what, name, first };
                    reader.problem(file, child.span, kind);
                    continue;
                }
            }
            let own = reader.facts(file, facts, kind);
            let pins = reader.pins(file, board, pins, kind);
            let facts = Reader::inheriting(own, group.facts.as_ref());
            reader.case.parts.push(Part {
                name,
                ..Part::of_line(origin, (board, headline), kind, facts, pins)
            });
            reader.case.boards[board.0 as usize].parts.push(part);
        }
    }
}

/// A part whose line was read by itself, and where that line names each net.
pub(super) struct Alone<'a> {
    pub(super) part: Part<'a>,
    pub(super) nets: Vec<(NetId, Origin)>,
}

/// Reads the line of one part by itself, which was read as the part `was` before. None
/// where it is of another kind or on other nets now, or more has to be read than the
/// line; then nothing is noted.
pub(super) fn part_alone<'a>(
    reader: &mut Reader<'_, 'a>,
    section: Section<'_>,
    id: LineId,
    was: PartId,
) -> Option<Alone<'a>> {
    let file = section.file;
    let line = section.tree.line(id);
    let Record::Part {
        names,
        kind,
        facts,
        pins,
    } = &line.record
    else {
        return None;
    };
    let &[word] = names.as_slice() else {
        return None;
    };
    let above = line.parent?;
    let of_group = match &section.tree.line(above).record {
        Record::Group { kind, .. } => Kind::of(kind.token),
        _ if above == section.id => None,
        _ => return None,
    };
    let kind = kind.and_then(|word| Kind::of(word.token)).or(of_group);
    if section.tree.children(id).next().is_some() || kind != reader.case.part(was).kind {
        return None;
    }
    let told = reader.case.problems.len();
    let own = reader.facts(file, facts, kind);
    let mut expanded = reader.expand(file, word);
    if reader.case.problems.len() > told {
        reader.case.problems.truncate(told);
        return None;
    }
    let name = expanded.pop().filter(|_| expanded.is_empty())?;
    let old = reader.case.part(was);
    let leads_alike = |(old, new): (&PinOn<'_>, &tree::Pin)| {
        let text = reader.text(file);
        old.lead == new.lead.text(text) && reader.case.nets.net(old.net).name == new.net.text(text)
    };
    if old.pins.len() != pins.len() || !old.pins.iter().zip(pins).all(leads_alike) {
        return None;
    }
    let here = |span: Span| Origin { file, span };
    let pairs = || old.pins.iter().zip(pins);
    let facts = Reader::inheriting(own, old.facts.inherited.as_ref());
    let pins = pairs().map(|(old, new)| PinOn {
        origin: here(new.lead.span.to(new.net.span)),
        ..*old
    });
    let of = (old.board, old.headline);
    let part = Part {
        name,
        origin: here(word.span),
        ..Part::of_line(here(line.span), of, kind, facts, pins.collect())
    };
    let nets = pairs().map(|(old, new)| (old.net, here(new.net.span)));
    Some(Alone {
        nets: nets.collect(),
        part,
    })
}

/// A line below a part: a claim, a choice of source, an exception.
fn below<'s, 'a>(
    reader: &mut Reader<'_, 'a>,
    section: Section<'s>,
    (board, id): (BoardId, PartId),
    part: &mut Part<'a>,
    line: &'s tree::Line,
    sounds: &mut Vec<Sounds<'s>>,
) {
    let file = section.file;
    let origin = Origin {
        file,
        span: line.span,
    };
    match &line.record {
        Record::Claim { source, claim } => {
            if let tree::Claim::Sounds { net, .. } = claim
                && let net = reader.word(file, *net)
                && reader.case.nets.find(board, net).is_none()
            {
                sounds.push(Sounds {
                    part: id,
                    source: *source,
                    claim,
                    origin,
                });
                return;
            }
            if let Some(says) = reader.says(file, board, part.kind, claim) {
                part.claims.push(Claim {
                    source: *source,
                    says,
                    origin,
                    copy: None,
                });
            }
        }
        Record::GoBy { source } => {
            if let Some((_, first)) = part.go_by {
                reader.problem(
                    file,
                    line.span,
                    ProblemKind::DuplicateName {
                        what: "`go by` line of the part",
                        name: part.name.clone(),
                        first,
                    },
                );
                return;
            }
            part.go_by = Some((*source, origin));
        }
        Record::Exception { copies, facts } => {
            let mut indexes = Vec::new();
            for word in copies {
                for name in reader.expand(file, *word) {
                    match reader.case.boards_by_name.get(&name) {
                        Some(&(of, Some(copy))) if of == board => indexes.push(copy),
                        _ => reader.unknown_board(file, word.span, &name),
                    }
                }
            }
            let facts = Facts::of(reader.facts(file, facts, part.kind));
            part.exceptions.push(Exception {
                copies: indexes,
                facts,
                origin,
            });
        }
        _ => {}
    }
}

impl<'t, 'a> Reader<'t, 'a> {
    /// Leads and nets in brackets.
    pub(super) fn pins(
        &mut self,
        file: FileId,
        board: BoardId,
        pins: &[tree::Pin],
        kind: Option<Kind>,
    ) -> Vec<PinOn<'a>> {
        let mut on = Vec::with_capacity(pins.len());
        for pin in pins {
            let lead = self.word(file, pin.lead);
            let leads = kind.map_or(&[][..], |kind| kind.row().leads.names());
            if !leads.is_empty() && !leads.contains(&lead) {
                let name = lead.to_owned();
                let near = Some(leads.join(", "));
                self.problem(
                    file,
                    pin.lead.span,
                    ProblemKind::UnknownName {
                        what: "lead",
                        name,
                        near,
                    },
                );
                continue;
            }
            let origin = Origin {
                file,
                span: pin.lead.span.to(pin.net.span),
            };
            let net = self.word(file, pin.net);
            let net = self.case.nets.join(
                board,
                net,
                Origin {
                    file,
                    span: pin.net.span,
                },
            );
            if let Some(first) = on.iter().find(|first: &&PinOn<'_>| first.lead == lead) {
                let kind = ProblemKind::DuplicateName {
                    what: "lead",
                    name: lead.to_owned(),
                    first: first.origin,
                };
                self.problem(file, origin.span, kind);
                continue;
            }
            on.push(PinOn { lead, net, origin });
        }
        on
    }

    /// What a claim says of a part of this kind.
    pub(super) fn says(
        &mut self,
        file: FileId,
        board: BoardId,
        kind: Option<Kind>,
        claim: &tree::Claim,
    ) -> Option<Says<'a>> {
        match claim {
            tree::Claim::Facts { facts, pins } => {
                let other = facts
                    .iter()
                    .find(|fact| fact.property == Some(Property::Kind))
                    .and_then(|fact| Kind::of(fact.words.first()?.token));
                let facts = self.facts(file, facts, other.or(kind));
                let pins = self.pins(file, board, pins, other.or(kind));
                Some(Says::Facts {
                    facts: Facts::of(facts),
                    kind: other,
                    pins,
                })
            }
            tree::Claim::Sounds { lead, net } => {
                let text = self.word(file, *net);
                let Some(net) = self.case.nets.find(board, text) else {
                    let near = self.case.nets.near(board, text);
                    self.problem(
                        file,
                        net.span,
                        ProblemKind::UnknownName {
                            what: "net",
                            name: text.to_owned(),
                            near,
                        },
                    );
                    return None;
                };
                Some(Says::Sounds {
                    lead: self.word(file, *lead),
                    net,
                })
            }
            tree::Claim::Reads { from, to, value } => match self.value(file, value.span)? {
                Value::Quantity(voltage) if voltage.dimension == Dimension::Voltage => {
                    Some(Says::Reads {
                        from: self.word(file, *from),
                        to: self.word(file, *to),
                        voltage,
                    })
                }
                found => {
                    let kind = ProblemKind::WrongDimension {
                        what: "a reading from one lead to another".into(),
                        expected: "a voltage".into(),
                        found: format!("{found} is {}", found.kind_in_words()),
                    };
                    self.problem(file, value.span, kind);
                    None
                }
            },
        }
    }
}
