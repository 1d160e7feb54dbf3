//! The log: what was done since.

use super::parts::{Renames, with_new_names};
use super::records::Files;
use super::say::typeset;
use super::{Change, Side, Topic};
use crate::meaning::{BoardId, Case, LogEntry};
use crate::merge::outline::Node;
use crate::sources::{FileId, Origin};
use crate::time::replay;
use retin_syntax::tree::{HeadingKind, Record};
use std::collections::{BTreeMap, BTreeSet};

/// An entry as it is compared.
struct Entry {
    /// The day, the time and the initials, as far as they are written.
    when: String,
    /// The past-tense verb.
    verb: String,
    /// Whether it shows that a repair holds.
    is_proof: bool,
    /// What follows the verb, in canonical words.
    rest: String,
    /// The same as it compares with the new side.
    compared: String,
    /// The board, where it is about one.
    board: Option<String>,
    origin: Origin,
}

impl Entry {
    /// The difference of an entry that stands on one side, or differs.
    fn side(&self, is_dated: bool) -> Side {
        let rest = match self.rest.as_str() {
            "" => "the unit",
            rest => rest,
        };
        let text = if is_dated && !self.when.is_empty() {
            format!("{rest} ({})", self.when)
        } else {
            rest.to_owned()
        };
        Side {
            text,
            origin: self.origin,
        }
    }
}

/// Compares the logs of two cases. Of one job every entry counts with its day
/// and time; of two units only what was done counts.
pub(super) fn compare(
    old: &Case<'_>,
    new: &Case<'_>,
    renames: &Renames,
    files: [&Files<'_>; 2],
    changes: &mut Vec<Change>,
) {
    let number = |case: &Case<'_>| case.job.as_ref().map(|job| job.number.to_owned());
    let is_one_job = number(old) == number(new);
    let mut gone = entries(old, files[0]);
    let mut come = entries(new, files[1]);
    let key = |entry: &Entry| {
        let when = if is_one_job { &*entry.when } else { "" };
        format!("{when} {} {}", entry.verb, entry.compared)
    };
    cancel(&mut gone, &mut come, key);
    for entry in &mut gone {
        entry.compared = with_new_names(&entry.rest, renames);
    }
    cancel(&mut gone, &mut come, key);
    let mut edited = Vec::new();
    if is_one_job {
        // An entry at the same time with the same verb, or with the same words
        // at another time, is the same entry, changed.
        for key in [
            (|entry: &Entry| format!("{} {}", entry.when, entry.verb)) as fn(&Entry) -> String,
            |entry: &Entry| format!("{} {}", entry.verb, entry.compared),
        ] {
            edited.extend(cancel(&mut gone, &mut come, key));
        }
    }
    let about = |entry: &Entry| Change {
        topic: if is_one_job { Topic::Log } else { Topic::Done },
        board: entry.board.clone(),
        copies: Vec::new(),
        subjects: Vec::new(),
        aspect: match entry.is_proof {
            true => "proven".into(),
            false => entry.verb.clone(),
        },
        old: None,
        new: None,
    };
    for (was, is) in &edited {
        let side = |entry: &Entry| {
            let side = entry.side(true);
            Side {
                text: format!("{} {}", entry.verb, side.text),
                ..side
            }
        };
        changes.push(Change {
            board: match (&was.board, &is.board) {
                (Some(was), Some(is)) if was != is => None,
                (was, is) => is.clone().or_else(|| was.clone()),
            },
            old: Some(side(was)),
            new: Some(side(is)),
            ..about(is)
        });
    }
    for entry in &gone {
        changes.push(Change {
            old: Some(entry.side(is_one_job)),
            ..about(entry)
        });
    }
    for entry in &come {
        changes.push(Change {
            new: Some(entry.side(is_one_job)),
            ..about(entry)
        });
    }
}

/// Takes entries with equal keys off both lists, pair by pair.
fn cancel(
    gone: &mut Vec<Entry>,
    come: &mut Vec<Entry>,
    key: impl Fn(&Entry) -> String,
) -> Vec<(Entry, Entry)> {
    let mut by_key: BTreeMap<String, Vec<Entry>> = BTreeMap::new();
    for entry in come.drain(..).rev() {
        by_key.entry(key(&entry)).or_default().push(entry);
    }
    let mut pairs = Vec::new();
    let mut left = Vec::new();
    for entry in gone.drain(..) {
        match by_key.get_mut(&key(&entry)).and_then(Vec::pop) {
            Some(partner) => pairs.push((entry, partner)),
            None => left.push(entry),
        }
    }
    *gone = left;
    come.extend(by_key.into_values().flatten());
    come.sort_by_key(|entry| entry.origin);
    pairs
}

fn entries(case: &Case<'_>, files: &Files<'_>) -> Vec<Entry> {
    let mut entries = Vec::new();
    let Some(job) = &case.job else {
        return entries;
    };
    let proofs: BTreeSet<usize> = replay(case)
        .accidents
        .iter()
        .filter_map(|accident| accident.proof)
        .collect();
    let log = job.log.iter().enumerate();
    let by_origin: BTreeMap<Origin, usize> = log.map(|(at, entry)| (entry.origin, at)).collect();
    for (day, date) in days(case, files) {
        for line in &day.children {
            let origin = Origin {
                file: case.root,
                span: line.span,
            };
            let Some(&at) = by_origin.get(&origin) else {
                continue;
            };
            let verb = job.log[at].verb.reserved_text().unwrap_or("");
            let words = line.says.split(' ').skip_while(|word| *word != verb);
            let rest: Vec<&str> = words.skip(1).collect();
            let when: Vec<&str> = [date, line.identity.when.as_deref(), job.log[at].by]
                .into_iter()
                .flatten()
                .collect();
            let rest = typeset(&rest.join(" "));
            entries.push(Entry {
                when: when.join(" "),
                verb: verb.to_owned(),
                is_proof: proofs.contains(&at),
                compared: rest.clone(),
                rest,
                board: board(case, &job.log[at]),
                origin,
            });
        }
    }
    entries
}

/// The days of the log with their dates.
fn days<'n>(
    case: &Case<'_>,
    files: &'n Files<'_>,
) -> impl Iterator<Item = (&'n Node<'n>, Option<&'n str>)> {
    let tree = &case.sources.file(case.root).tree;
    let is_log = |node: &&Node<'_>| {
        tree.lines
            .iter()
            .find(|line| line.span == node.span)
            .is_some_and(|line| {
                matches!(&line.record, Record::Heading(heading) if heading.kind == HeadingKind::Log)
            })
    };
    let root: FileId = case.root;
    let nodes: Vec<&Node<'_>> = files
        .iter()
        .filter(|(file, _)| *file == root)
        .flat_map(|(_, nodes)| nodes)
        .filter(is_log)
        .collect();
    nodes.into_iter().flat_map(|log| {
        log.children
            .iter()
            .map(|day| (day, day.identity.when.as_deref()))
    })
}

/// The one board that an entry is about.
fn board(case: &Case<'_>, entry: &LogEntry<'_>) -> Option<String> {
    let subject = &entry.subject;
    let places = subject.places.iter().map(|place| place.part);
    let pads = subject.pads.iter().map(|pad| pad.place.part);
    let of_parts = places.chain(pads).map(|part| case.part(part).board);
    let of_boards = subject.boards.iter().map(|copy| copy.0);
    let of_nets = subject.nets.iter().map(|net| case.nets.net(net.0).board);
    let boards: BTreeSet<BoardId> = of_parts.chain(of_boards).chain(of_nets).collect();
    let mut boards = boards.into_iter();
    match (boards.next(), boards.next()) {
        (Some(board), None) => Some(case.board(board).name.to_owned()),
        _ => None,
    }
}
