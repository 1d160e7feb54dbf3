//! What differs between two revisions of a job, or two units of one model, in
//! the words of the bench.
//!
//! [`compare`] looks at what the files mean: a part is the same part wherever
//! its line stands and however its values are spelled. Comments, order and
//! layout are no differences. Exchanging the two sides exchanges
//! [`Change::old`] and [`Change::new`] and nothing else.

mod log;
mod parts;
mod plan;
mod records;
mod say;
mod shelf;

use crate::meaning::Case;
use crate::sources::Origin;
use std::collections::BTreeMap;

/// What a difference is about.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Topic {
    /// A fact of the job: owner, complaint, serial number.
    Job,
    /// What the owner approved.
    Approval,
    /// An entry of the log.
    Log,
    /// Work that the log of only one of two units tells.
    Done,
    /// A part that is on one side only.
    Part,
    /// A part that has another name.
    Renamed,
    /// A fact of a part.
    Fact,
    /// A claim of another source about a part.
    Claim,
    /// What is planned for a place.
    Plan,
    /// A line of the plan whose difference changes no decision: a reason, a
    /// line that a narrower one overrules.
    PlanLine,
    /// A judgement overruled in writing.
    Accepted,
    /// A step.
    Step,
    /// A reading to expect.
    Target,
    /// An entry of a shelf.
    Shelf,
    /// Model sheet, boards, nets, links, packages, devices.
    Sheet,
    /// Prose.
    Prose,
    /// A line that cannot be read.
    Unread,
}

impl Topic {
    /// The topic's name, for programs.
    pub fn word(self) -> &'static str {
        match self {
            Topic::Job => "job",
            Topic::Approval => "approval",
            Topic::Log => "log",
            Topic::Done => "done",
            Topic::Part => "part",
            Topic::Renamed => "renamed",
            Topic::Fact => "fact",
            Topic::Claim => "claim",
            Topic::Plan => "plan",
            Topic::PlanLine => "planLine",
            Topic::Accepted => "accepted",
            Topic::Step => "step",
            Topic::Target => "target",
            Topic::Shelf => "shelf",
            Topic::Sheet => "sheet",
            Topic::Prose => "prose",
            Topic::Unread => "unread",
        }
    }
}

/// What one side says.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Side {
    /// In words.
    pub text: String,
    /// Where it is written, in the sources of that side.
    pub origin: Origin,
}

/// One difference. At least one side is there.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Change {
    /// What it is about.
    pub topic: Topic,
    /// The board, where it is about one.
    pub board: Option<String>,
    /// The copies of the board it is true of; the board's own name where it has none.
    pub copies: Vec<String>,
    /// Names of parts on the board; else what it is about: a step, a point, a
    /// property.
    pub subjects: Vec<String>,
    /// Which of its facts differs; of the log, the verb.
    pub aspect: String,
    /// The old side; none where it says nothing.
    pub old: Option<Side>,
    /// The new side; none where it says nothing.
    pub new: Option<Side>,
}

impl Change {
    /// What it is about, as a technician writes it: `ch1..ch8.C1, ch1..ch8.C5`.
    pub fn subject(&self) -> String {
        let names = crate::meaning::names::compress(self.subjects.iter().map(String::as_str));
        if self.copies.is_empty() {
            return names;
        }
        let copies = crate::meaning::names::compress(self.copies.iter().map(String::as_str));
        if names.is_empty() {
            return copies;
        }
        if copies.contains(", ") {
            return format!("{names} on {copies}");
        }
        let names: Vec<String> = names
            .split(", ")
            .map(|name| format!("{copies}.{name}"))
            .collect();
        names.join(", ")
    }

    /// What it is told below: its board, the shelves, or the whole unit.
    pub fn title(&self) -> &str {
        match (&self.board, self.topic) {
            (Some(board), _) => board,
            (None, Topic::Shelf) => "the shelves",
            (None, _) => "the whole unit",
        }
    }

    /// The difference as a sentence without a full stop.
    pub fn sentence(&self) -> String {
        say::sentence(self)
    }
}

/// Compares what two cases say; their order is old, new.
pub fn compare(old: &Case<'_>, new: &Case<'_>) -> Vec<Change> {
    let renames = parts::renames(old, new);
    let mut changes = Vec::new();
    parts::compare(old, new, &renames, &mut changes);
    plan::compare(old, new, &renames, &mut changes);
    let (before, after) = (records::files(old), records::files(new));
    log::compare(old, new, &renames, [&before, &after], &mut changes);
    shelf::compare(old, new, &mut changes);
    records::compare(old, new, &renames, [&before, &after], &mut changes);
    arranged(old, new, changes)
}

/// Changes that are alike but for the part taken together: those of the whole
/// unit, then the shelves, then board by board.
fn arranged(old: &Case<'_>, new: &Case<'_>, changes: Vec<Change>) -> Vec<Change> {
    let place = |change: &Change| {
        let Some(board) = &change.board else {
            return (change.topic == Topic::Shelf, None);
        };
        let find = |case: &Case<'_>| case.boards.iter().position(|it| it.name == board.as_str());
        let at = find(new).or_else(|| find(old).map(|at| at + new.boards.len()));
        (true, Some(at))
    };
    let mut order = Vec::new();
    let mut together: Vec<Change> = Vec::new();
    let mut alike: BTreeMap<Alike, usize> = BTreeMap::new();
    for change in changes {
        let key = Alike::of(&change);
        if let Some(at) = key.as_ref().and_then(|key| alike.get(key)) {
            together[*at].subjects.extend(change.subjects);
            continue;
        }
        if let Some(key) = key {
            alike.insert(key, together.len());
        }
        order.push((place(&change), change.topic));
        together.push(change);
    }
    let mut indexes: Vec<usize> = (0..together.len()).collect();
    indexes.sort_by_key(|at| order[*at]);
    let mut together: Vec<Option<Change>> = together.into_iter().map(Some).collect();
    indexes
        .into_iter()
        .filter_map(|at| together[at].take())
        .collect()
}

/// What two changes have in common that are told as one.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Alike {
    topic: Topic,
    board: String,
    copies: Vec<String>,
    aspect: String,
    old: Option<String>,
    new: Option<String>,
}

impl Alike {
    fn of(change: &Change) -> Option<Alike> {
        let is_of_parts = matches!(
            change.topic,
            Topic::Plan | Topic::Fact | Topic::Claim | Topic::Part
        );
        Some(Alike {
            topic: change.topic,
            board: change.board.clone().filter(|_| is_of_parts)?,
            copies: change.copies.clone(),
            aspect: change.aspect.clone(),
            old: change.old.as_ref().map(|side| side.text.clone()),
            new: change.new.as_ref().map(|side| side.text.clone()),
        })
    }
}

#[cfg(test)]
mod tests;
