//! Everything that is compared by its words: facts of the job and of headings,
//! nets, links, steps, targets, acceptances, packages, devices, prose; and
//! lines that differ in what could not be made sense of.

use super::parts::{Renames, with_new_names};
use super::say::typeset;
use super::{Change, Side, Topic};
use crate::meaning::{Case, ProblemKind};
use crate::merge::outline::{self, Node};
use crate::sources::{FileId, Origin};
use retin_syntax::format;
use retin_syntax::tree::{HeadingKind, Line, Record};
use std::collections::BTreeMap;

/// The files of a case as nodes.
pub(super) type Files<'t> = Vec<(FileId, Vec<Node<'t>>)>;

/// Reads the files of a case.
pub(super) fn files<'t>(case: &'t Case<'_>) -> Files<'t> {
    (0..case.sources.len() as u32)
        .map(FileId)
        .map(|id| {
            let text = &case.sources.file(id).text;
            (id, outline::read(text, &format(text).text, false))
        })
        .collect()
}

/// A record that is compared by its words.
struct Item {
    /// What it is about, among all records of the files.
    key: String,
    topic: Topic,
    board: Option<String>,
    subject: String,
    aspect: &'static str,
    side: Side,
    /// Its text as it compares with the new side.
    compared: String,
    /// Whether it only counts where nothing else tells its difference.
    is_rest: bool,
}

/// Compares the rest of two cases; `changes` holds what is told already.
pub(super) fn compare(
    old: &Case<'_>,
    new: &Case<'_>,
    renames: &Renames,
    files: [&Files<'_>; 2],
    changes: &mut Vec<Change>,
) {
    let (mut gone, mut come) = (items(old, files[0]), items(new, files[1]));
    cancel(&mut gone, &mut come);
    for item in &mut gone {
        item.key = with_new_names(&item.key, renames);
        item.compared = with_new_names(&item.compared, renames);
    }
    cancel(&mut gone, &mut come);
    let mut by_key: BTreeMap<String, (Vec<Item>, Vec<Item>)> = BTreeMap::new();
    let mut order: Vec<String> = Vec::new();
    for (items, is_new) in [(gone, false), (come, true)] {
        for item in items {
            let key = item.key.clone();
            let group = by_key.entry(key.clone()).or_insert_with(|| {
                order.push(key);
                Default::default()
            });
            let side = if is_new { &mut group.1 } else { &mut group.0 };
            side.push(item);
        }
    }
    let told: Vec<Change> = std::mem::take(changes);
    let mut found = Vec::new();
    for key in order {
        let Some((gone, come)) = by_key.remove(&key) else {
            continue;
        };
        let mut gone = gone.into_iter();
        let mut come = come.into_iter();
        loop {
            let (old_item, new_item) = (gone.next(), come.next());
            let Some(item) = new_item.as_ref().or(old_item.as_ref()) else {
                break;
            };
            let change = Change {
                topic: item.topic,
                board: item.board.clone(),
                copies: Vec::new(),
                subjects: Some(item.subject.clone())
                    .filter(|subject| !subject.is_empty())
                    .into_iter()
                    .collect(),
                aspect: item.aspect.to_owned(),
                old: None,
                new: None,
            };
            let is_rest = item.is_rest;
            let change = Change {
                old: old_item.map(|item| item.side),
                new: new_item.map(|item| item.side),
                ..change
            };
            // What is not understood is the rest even to the other records.
            let others: &[Change] = match change.topic {
                Topic::Unread => &found,
                _ => &[],
            };
            if !(is_rest && is_told(old, new, &change, told.iter().chain(others))) {
                found.push(change);
            }
        }
    }
    *changes = told;
    changes.extend(found);
}

/// Takes records that say the same of the same thing off both lists.
fn cancel(gone: &mut Vec<Item>, come: &mut Vec<Item>) {
    let mut count: BTreeMap<(String, String), usize> = BTreeMap::new();
    let name = |item: &Item| (item.key.clone(), item.compared.clone());
    for item in come.iter() {
        *count.entry(name(item)).or_default() += 1;
    }
    let mut taken: BTreeMap<(String, String), usize> = BTreeMap::new();
    let take = |left: &mut BTreeMap<(String, String), usize>, item: &Item| {
        let left = left.get_mut(&name(item)).filter(|left| **left > 0);
        left.map(|left| *left -= 1).is_some()
    };
    gone.retain(|item| {
        let is_same = take(&mut count, item);
        if is_same {
            *taken.entry(name(item)).or_default() += 1;
        }
        !is_same
    });
    come.retain(|item| !take(&mut taken, item));
}

/// Whether another change is written on the same line on either side.
fn is_told<'c>(
    old: &Case<'_>,
    new: &Case<'_>,
    change: &Change,
    mut told: impl Iterator<Item = &'c Change>,
) -> bool {
    let is_on = |case: &Case<'_>, mine: &Option<Side>, other: &Option<Side>| {
        let (Some(mine), Some(other)) = (mine, other) else {
            return false;
        };
        let tree = &case.sources.file(mine.origin.file).tree;
        mine.origin.file == other.origin.file
            && line_at(&tree.lines, mine.origin.span.start)
                == line_at(&tree.lines, other.origin.span.start)
    };
    told.any(|other| is_on(old, &change.old, &other.old) || is_on(new, &change.new, &other.new))
}

/// The index of the line that a byte lies on.
fn line_at(lines: &[Line], byte: u32) -> usize {
    lines
        .partition_point(|line| line.span.start <= byte)
        .saturating_sub(1)
}

fn items(case: &Case<'_>, files: &Files<'_>) -> Vec<Item> {
    let mut items = Vec::new();
    for (file, nodes) in files {
        for node in nodes {
            let walk = Walk {
                case,
                file: *file,
                heading: None,
                board: None,
            };
            walk.node(node, "", "", &mut items);
        }
    }
    problems(case, &mut items);
    items
}

/// Lines with something that could not be made sense of.
fn problems(case: &Case<'_>, items: &mut Vec<Item>) {
    let mut lines: Vec<(FileId, usize)> = case
        .problems
        .iter()
        .filter(|problem| {
            !matches!(
                problem.kind,
                ProblemKind::Unreadable { .. } | ProblemKind::Use { .. }
            )
        })
        .flat_map(|problem| {
            let is_unknown = matches!(problem.kind, ProblemKind::UnknownName { .. });
            let also = problem.also.iter().filter(move |_| is_unknown);
            std::iter::once(&problem.origin).chain(also)
        })
        .map(|origin| {
            let lines = &case.sources.file(origin.file).tree.lines;
            (origin.file, line_at(lines, origin.span.start))
        })
        .collect();
    lines.sort_unstable();
    lines.dedup();
    for (file, at) in lines {
        let Some(line) = case.sources.file(file).tree.lines.get(at) else {
            continue;
        };
        let origin = Origin {
            file,
            span: line.span,
        };
        let text = super::say::written(case, origin);
        items.push(Item {
            key: format!("problem {text}"),
            topic: Topic::Unread,
            board: None,
            subject: String::new(),
            aspect: "",
            compared: text.clone(),
            side: Side { text, origin },
            is_rest: true,
        });
    }
}

#[derive(Clone, Copy)]
struct Walk<'w> {
    case: &'w Case<'w>,
    file: FileId,
    heading: Option<HeadingKind>,
    board: Option<&'w str>,
}

impl<'w> Walk<'w> {
    fn node(mut self, node: &Node<'_>, above: &str, parent: &str, items: &mut Vec<Item>) {
        if node.is_comment() {
            return;
        }
        let tree = &self.case.sources.file(self.file).tree;
        let text = &self.case.sources.file(self.file).text;
        let Some(line) = tree.lines.get(line_at(&tree.lines, node.span.start)) else {
            return;
        };
        let mut path = format!("{above}/{}", node.identity.key);
        if let Record::Heading(heading) = &line.record {
            self.heading = Some(heading.kind);
            self.board = match heading.kind {
                HeadingKind::Board | HeadingKind::Wiring => {
                    heading.name.map(|name| name.text(text))
                }
                _ => None,
            };
            let is_of_job = matches!(
                heading.kind,
                HeadingKind::Job
                    | HeadingKind::Found
                    | HeadingKind::Plan
                    | HeadingKind::Steps
                    | HeadingKind::Targets
                    | HeadingKind::Log
            );
            // Only the job of the first file is read.
            if is_of_job && self.file != self.case.root {
                return;
            }
        }
        let words = typeset(&node.says);
        let origin = Origin {
            file: self.file,
            span: node.span,
        };
        if let Some((topic, subject, aspect, text)) = self.told_by_words(line, node, &words, parent)
        {
            items.push(Item {
                key: path.clone(),
                topic,
                board: self.board.map(str::to_owned),
                subject,
                aspect,
                compared: text.clone(),
                side: Side { text, origin },
                is_rest: topic == Topic::PlanLine,
            });
        }
        // A group is no more than what its parts say together.
        let is_library = matches!(
            self.heading,
            Some(HeadingKind::Packages | HeadingKind::Devices)
        );
        if matches!(line.record, Record::Group { .. }) && !is_library {
            path = above.to_owned();
        }
        let name = match &line.record {
            Record::Part { .. } => self.named(node.identity.key.trim_start_matches("part ")),
            _ => words,
        };
        for child in &node.children {
            self.node(child, &path, &name, items);
        }
    }

    /// The topic, subject, aspect and words of a record that is compared by its
    /// words; none where its meaning is compared elsewhere.
    fn told_by_words(
        self,
        line: &Line,
        node: &Node<'_>,
        words: &str,
        parent: &str,
    ) -> Option<(Topic, String, &'static str, String)> {
        let after_first = || words.split_once(' ').map_or("", |split| split.1).to_owned();
        let first = words.split(' ').next().unwrap_or("");
        let none = String::new;
        let whole = || words.to_owned();
        Some(match &line.record {
            Record::Prose => {
                let prose = words.trim_start_matches('|').trim().to_owned();
                (Topic::Prose, parent.to_owned(), "", prose)
            }
            Record::Broken | Record::Unresolved => (Topic::Unread, none(), "", whole()),
            Record::Heading(heading) => match heading.kind {
                HeadingKind::Job => (Topic::Job, none(), "job", after_first()),
                HeadingKind::Found
                | HeadingKind::Plan
                | HeadingKind::Steps
                | HeadingKind::Targets
                | HeadingKind::Log => {
                    if !node.children.is_empty() {
                        return None;
                    }
                    let subject = format!("{} section", whole());
                    (Topic::Job, subject, "", super::say::EMPTY.to_owned())
                }
                _ => (Topic::Sheet, none(), "", whole()),
            },
            Record::Setting { .. } => match self.heading {
                Some(HeadingKind::Job) if first == "agreed" => {
                    (Topic::Approval, none(), "", after_first())
                }
                Some(HeadingKind::Job) => (Topic::Job, first.to_owned(), "", after_first()),
                // Of a shelf's entry: one of its facts.
                Some(HeadingKind::Shelf) => return None,
                Some(HeadingKind::Model) => {
                    let subject = format!("{first} of the model sheet");
                    (Topic::Sheet, subject, "", after_first())
                }
                _ => {
                    let of = self.board.map(|board| format!(" of {board}"));
                    let subject = format!("{first}{}", of.unwrap_or_default());
                    (Topic::Sheet, subject, "", after_first())
                }
            },
            Record::Accept { .. } => {
                let values = node
                    .children
                    .iter()
                    .find(|child| child.identity.key == "for");
                let values = values.map_or(none(), |child| format!(", {}", child.says));
                (
                    Topic::Accepted,
                    none(),
                    "acceptance",
                    format!("{}{values}", after_first()),
                )
            }
            Record::Step { .. } => (Topic::Step, format!("step {first}"), "", after_first()),
            Record::Target { point, to, .. } => {
                let text = &self.case.sources.file(self.file).text;
                let mut subject = point.text(text).to_owned();
                if let Some(to) = to {
                    subject.push_str(" to ");
                    subject.push_str(to.text(text));
                }
                let rest = words.strip_prefix(&subject).unwrap_or(words);
                (Topic::Target, subject, "target", rest.trim().to_owned())
            }
            Record::Caution { .. } => {
                let step = parent.split(' ').next().unwrap_or("");
                (
                    Topic::Step,
                    format!("step {step}"),
                    "caution",
                    after_first(),
                )
            }
            Record::Plan(_) => (Topic::PlanLine, "plan".into(), "", whole()),
            Record::Rail { .. } | Record::Net { .. } | Record::Zone { .. } => {
                let mut split = words.splitn(3, ' ').skip(1);
                let subject = self.named(split.next().unwrap_or(""));
                let rest = format!("{first} {}", split.next().unwrap_or(""));
                (Topic::Sheet, subject, "", rest.trim_end().to_owned())
            }
            Record::Use { .. } => (Topic::Sheet, none(), "", whole()),
            Record::Changed { .. } | Record::Join { .. } => (Topic::Sheet, none(), "", whole()),
            Record::Part { .. } | Record::Group { .. } => match self.heading {
                Some(HeadingKind::Packages | HeadingKind::Devices) => {
                    (Topic::Sheet, none(), "", whole())
                }
                _ => return None,
            },
            _ => return None,
        })
    }

    /// A name with its board.
    fn named(self, name: &str) -> String {
        match self.board {
            Some(board) => format!("{board}.{name}"),
            None => name.to_owned(),
        }
    }
}
