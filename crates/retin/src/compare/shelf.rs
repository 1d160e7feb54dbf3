//! What the shelves hold and what it costs.

use super::{Change, Side, Topic, parts, say};
use crate::meaning::{Case, Entry};
use std::collections::BTreeMap;

/// Compares the shelves of two cases.
pub(super) fn compare(old: &Case<'_>, new: &Case<'_>, changes: &mut Vec<Change>) {
    let before = entries(old);
    let after = entries(new);
    let mut names: Vec<&(String, String)> = before.keys().chain(after.keys()).collect();
    names.sort();
    names.dedup();
    for name in names {
        let about = |aspect: &str, old: Option<Side>, new: Option<Side>| Change {
            topic: Topic::Shelf,
            board: None,
            copies: Vec::new(),
            subjects: vec![name.1.clone()],
            aspect: aspect.into(),
            old,
            new,
        };
        match (before.get(name), after.get(name)) {
            (Some(old), Some(new)) => {
                let mut gone = parts::said_of(&old.facts);
                let kind = |entry: &Entry<'_>| {
                    entry.kind.map(|kind| Side {
                        text: kind.word().into(),
                        origin: entry.line,
                    })
                };
                if old.kind != new.kind {
                    changes.push(about("kind", kind(old), kind(new)));
                }
                for (key, side) in parts::said_of(&new.facts) {
                    let was = gone.remove(&key);
                    if was.as_ref().map(|was| &was.text) != Some(&side.text) {
                        changes.push(about(&key.1, was, Some(side)));
                    }
                }
                for (key, side) in gone {
                    changes.push(about(&key.1, Some(side), None));
                }
            }
            (old_entry, new_entry) => changes.push(about(
                "",
                old_entry.map(|entry| whole(old, entry, &name.0)),
                new_entry.map(|entry| whole(new, entry, &name.0)),
            )),
        }
    }
}

/// Entries by shelf and name; of those of one name the first.
fn entries<'c, 'a>(case: &'c Case<'a>) -> BTreeMap<(String, String), &'c Entry<'a>> {
    let mut entries = BTreeMap::new();
    for shelf in &case.shelves {
        for id in &shelf.entries {
            let entry = case.entry(*id);
            let name = (shelf.name.to_owned(), entry.name.clone());
            entries.entry(name).or_insert(entry);
        }
    }
    entries
}

fn whole(case: &Case<'_>, entry: &Entry<'_>, shelf: &str) -> Side {
    let line = say::written(case, entry.line);
    let facts = line.split_once(' ').map_or("", |split| split.1);
    Side {
        text: format!("{facts} on the shelf {shelf}"),
        origin: entry.line,
    }
}
