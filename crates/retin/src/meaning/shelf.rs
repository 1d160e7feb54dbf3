//! Shelves: what the shop has and what it costs.

use super::board::Group;
use super::build::{Reader, Section};
use super::problem::ProblemKind;
use super::{FactValue, Facts};
use crate::sources::Origin;
use retin_syntax::tables::{Kind, Property};
use retin_syntax::tree::{LineId, Record};
use retin_syntax::value::{Decimal, Money};

/// An entry's place in `Case::entries`.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub struct EntryId(pub u32);

/// A shelf.
#[derive(Debug)]
pub struct Shelf<'a> {
    /// Its name.
    pub name: &'a str,
    /// Where the name is written.
    pub origin: Origin,
    /// Its entries.
    pub entries: Vec<EntryId>,
}

/// A part the shop stocks or can order.
#[derive(Debug)]
pub struct Entry<'a> {
    /// Its name on the shelf.
    pub name: String,
    /// Where the name is written.
    pub origin: Origin,
    /// The whole line.
    pub line: Origin,
    /// Its kind.
    pub kind: Option<Kind>,
    /// What is known of it.
    pub facts: Facts<'a>,
}

/// A price from a quantity on.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Price {
    /// From how many.
    pub quantity: Decimal,
    /// For one.
    pub money: Money,
}

impl Entry<'_> {
    /// The prices, in the order written.
    pub fn prices(&self) -> impl Iterator<Item = Price> {
        self.facts.iter().filter_map(|fact| match fact.value {
            FactValue::Price { quantity, money } => Some(Price { quantity, money }),
            _ => None,
        })
    }

    /// How many are in the drawer; none where nobody wrote it.
    pub fn have(&self) -> Option<Decimal> {
        self.facts.number(Property::Have)
    }
}

/// Reads a `shelf` section.
pub(super) fn shelf<'a>(reader: &mut Reader<'_, 'a>, section: Section<'_>) {
    let Some(name) = section.heading.name else {
        return;
    };
    let origin = Origin {
        file: section.file,
        span: name.span,
    };
    let name = reader.word(section.file, name);
    if let Some(first) = reader.case.shelves.iter().find(|shelf| shelf.name == name) {
        let first = first.origin;
        reader.problem(
            section.file,
            origin.span,
            ProblemKind::DuplicateName {
                what: "shelf",
                name: name.to_owned(),
                first,
            },
        );
        reader.pass_over(section, &[]);
        return;
    }
    let mut entries = Vec::new();
    for (id, line) in section.tree.children(section.id) {
        match &line.record {
            Record::Group { kind, facts } => {
                let group = reader.group(section.file, *kind, facts);
                for (id, _) in section.tree.children(id) {
                    entry(reader, section, id, &group, &mut entries);
                }
            }
            Record::Part { .. } => entry(reader, section, id, &Group::default(), &mut entries),
            Record::Broken => {
                let group = Group::unread(section.tree, line);
                for (id, _) in section.tree.children(id) {
                    entry(reader, section, id, &group, &mut entries);
                }
            }
            _ => {}
        }
    }
    reader.case.shelves.push(Shelf {
        name,
        origin,
        entries,
    });
}

fn entry<'a>(
    reader: &mut Reader<'_, 'a>,
    section: Section<'_>,
    id: LineId,
    group: &Group<'a>,
    entries: &mut Vec<EntryId>,
) {
    let file = section.file;
    let line = section.tree.line(id);
    let Record::Part {
        names, kind, facts, ..
    } = &line.record
    else {
        return;
    };
    let kind = kind.and_then(|word| Kind::of(word.token)).or(group.kind);
    let mut own = reader.facts(file, facts, kind);
    for (_, child) in section.tree.children(id) {
        if let Record::Setting { facts } = &child.record {
            own.extend(reader.facts(file, facts, kind));
        }
    }
    for word in names {
        let name = reader.word(file, *word).to_owned();
        if let Some(first) = reader.case.entries_by_name.get(&name) {
            let first = reader.case.entry(*first).origin;
            reader.problem(
                file,
                word.span,
                ProblemKind::DuplicateName {
                    what: "shelf entry",
                    name,
                    first,
                },
            );
            continue;
        }
        let id = EntryId(reader.case.entries.len() as u32);
        reader.case.entries_by_name.insert(name.clone(), id);
        reader.case.entries.push(Entry {
            name,
            origin: Origin {
                file,
                span: word.span,
            },
            line: Origin {
                file,
                span: line.span,
            },
            kind,
            facts: Reader::inheriting(own.clone(), group.facts.as_ref()),
        });
        entries.push(id);
    }
}
