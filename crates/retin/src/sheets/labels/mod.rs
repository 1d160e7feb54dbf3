//! Labels for bags: one for each job, board and value; more where the references
//! need the room.
//!
//! Without a step, they are for the new parts that are not in yet. With steps, for
//! what these have in hand: the old parts that come out, the new ones that go in.

mod cuts;
mod fill;
mod letters;

pub use cuts::{CUTS, Cut};
pub use letters::Letters;

use super::choice::Choice;
use super::document::{Block, Document, Label, Labels};
use super::head::head;
use super::settings::Settings;
use super::{CheckedJob, Refusal};
use crate::meaning::{BoardId, Case, FactValue, PartId, PlaceId, Step, names};
use crate::shop::{Piece, PiecePart, is_closed, pieces};
use crate::time::minutes::places_worked_on;
use crate::typeset;
use fill::Room;
use retin_syntax::tables::{Kind, Property, StepVerb};
use std::collections::BTreeMap;

/// The title of the sheet.
pub const TITLE: &str = "Labels";

/// What is in a bag, for one board.
#[derive(Clone, Debug)]
struct Bag {
    board: BoardId,
    /// The largest line.
    title: String,
    /// What is in it beside that, behind the count: "× E-10-50, bin A3", "taken out".
    inside: String,
    /// One for each part in the bag.
    places: Vec<PlaceId>,
}

/// Makes labels for the bags of one job or several.
///
/// # Errors
/// When something is wanted that a job does not have, or a sheet of labels that
/// nobody cuts.
pub fn labels(jobs: &[CheckedJob<'_, '_>], settings: &Settings) -> Result<Document, Refusal> {
    let cut = cuts::asked(settings)?;
    let room = Room::of(cut.cut, settings.is_big);
    let mut labels = Vec::new();
    for job in jobs {
        let choice = Choice::of(job, &settings.wanted)?;
        let mut bags = if settings.wanted.steps.is_empty() {
            new_parts(job)
        } else {
            of_steps(job, &choice)?
        };
        for bag in &mut bags {
            bag.places
                .retain(|place| choice.takes_place(job.case, *place));
        }
        bags.retain(|bag| !bag.places.is_empty());
        bags.sort_by_key(|bag| bag.board);
        labels.extend(bags.iter().flat_map(|bag| labelled(job, bag, room)));
    }
    let jobs: Vec<&CheckedJob<'_, '_>> = jobs.iter().collect();
    let block = if labels.is_empty() {
        Block::Paragraph("There is nothing to put into bags.".into())
    } else {
        Block::Labels(Labels {
            cut: cut.cut,
            used: settings.used,
            labels,
        })
    };
    Ok(Document {
        head: head(TITLE, &jobs),
        blocks: vec![block],
        is_landscape: false,
    })
}

/// Bags while they are filled: what has the same words on one board goes into one.
#[derive(Default)]
struct Bags {
    bags: Vec<Bag>,
    known: BTreeMap<(BoardId, String, String), usize>,
}

impl Bags {
    fn put(&mut self, case: &Case<'_>, place: PlaceId, title: String, inside: String) {
        let board = case.part(place.part).board;
        let key = (board, title.clone(), inside.clone());
        let at = *self.known.entry(key).or_insert(self.bags.len());
        match self.bags.get_mut(at) {
            Some(bag) => bag.places.push(place),
            None => self.bags.push(Bag {
                board,
                title,
                inside,
                places: vec![place],
            }),
        }
    }
}

/// The new parts that are not in yet.
fn new_parts(job: &CheckedJob<'_, '_>) -> Vec<Bag> {
    let mut bags = Bags::default();
    if !is_closed(job.case) {
        for piece in pieces(job.case, &job.chosen) {
            new_part(job.case, &piece, &mut bags);
        }
    }
    bags.bags
}

fn new_part(case: &Case<'_>, piece: &Piece<'_, '_>, bags: &mut Bags) {
    let old = case.goes_by(piece.place);
    let (title, inside) = match &piece.part {
        PiecePart::Entry(id, _) => {
            let entry = case.entry(*id);
            let facts = &entry.facts;
            let bin = facts.word(Property::Bin);
            let bin = bin.map_or(String::new(), |bin| format!(", bin {bin}"));
            (
                value(entry.kind, |property| Some(&facts.get(property)?.value)),
                format!("× {}{bin}", entry.name),
            )
        }
        PiecePart::Described(kind, facts) => (
            value(kind.or(old.kind), |property| {
                Some(&facts.get(property)?.value)
            }),
            "on no shelf".to_owned(),
        ),
        PiecePart::Nothing(..) => (
            value(old.kind, |property| Some(&old.get(property)?.1.value)),
            "still to be found".to_owned(),
        ),
    };
    bags.put(case, piece.place, title, inside);
}

/// What some steps have in hand.
fn of_steps(job: &CheckedJob<'_, '_>, choice: &Choice) -> Result<Vec<Bag>, Refusal> {
    let mut bags = Bags::default();
    for (index, step) in job.job.steps.iter().enumerate() {
        if choice.takes_step(index) {
            of_step(job, step, &mut bags)?;
        }
    }
    Ok(bags.bags)
}

fn of_step(job: &CheckedJob<'_, '_>, step: &Step<'_>, bags: &mut Bags) -> Result<(), Refusal> {
    let case = job.case;
    let places = places_worked_on(case, step);
    match step.verb {
        StepVerb::Remove => {
            for place in places {
                let old = case.goes_by(place);
                let title = value(old.kind, |property| Some(&old.get(property)?.1.value));
                bags.put(case, place, title, "taken out".to_owned());
            }
        }
        StepVerb::Fit => {
            for piece in pieces(case, &job.chosen) {
                if places.contains(&piece.place) {
                    new_part(case, &piece, bags);
                }
            }
        }
        _ => {
            return Err(Refusal {
                reason: format!(
                    "the step {} has nothing in bags; labels are for steps that remove or fit parts",
                    step.name
                ),
            });
        }
    }
    Ok(())
}

/// The largest line of a label: the type or the value, and its rating.
fn value<'f, 'a: 'f>(
    kind: Option<Kind>,
    stated: impl Fn(Property) -> Option<&'f FactValue<'a>>,
) -> String {
    const TOLD: &[Property] = &[
        Property::Device,
        Property::Value,
        Property::Current,
        Property::Volts,
        Property::AcVolts,
        Property::FuseSpeed,
        Property::MainsClass,
        Property::Taper,
    ];
    let told = |properties: &[Property]| -> Vec<String> {
        properties
            .iter()
            .filter_map(|property| typeset::fact(stated(*property)?))
            .collect()
    };
    let words = told(TOLD);
    let words = if words.is_empty() {
        told(&[Property::Package])
    } else {
        words
    };
    match kind {
        Some(kind) if words.is_empty() => kind.word().to_owned(),
        None if words.is_empty() => "?".to_owned(),
        // A package alone does not say that it is a socket.
        Some(kind) if told(TOLD).is_empty() => format!("{} {}", kind.word(), words.join(" ")),
        _ => words.join(" "),
    }
}

/// The labels of one bag: as many as its references need.
fn labelled(job: &CheckedJob<'_, '_>, bag: &Bag, room: Room) -> Vec<Label> {
    let case = job.case;
    let (copies, references) = references(case, bag);
    let words: Vec<String> = references.iter().map(|(word, _)| word.clone()).collect();
    let board = case.board(bag.board);
    let place = if board.copies.len() > 1 {
        format!("{}, {} {copies}", job.job.number, board.name)
    } else {
        format!("{}, {}", job.job.number, board.name)
    };
    let count = format!("{} {}", bag.places.len(), bag.inside);
    let left = |fixed: usize| {
        room.below(&bag.title)
            .saturating_sub(fixed + room.lines_of(&place))
            .max(1)
    };
    let mut shares = room.share(&words, left(room.lines_of(&count)));
    if shares.len() > 1 {
        let longest = format!("label 99 of 99: {} of {count}", bag.places.len());
        shares = room.share(&words, left(room.lines_of(&longest)));
    }
    let several = shares.len();
    let mut done = 0;
    shares
        .into_iter()
        .enumerate()
        .map(|(index, share)| {
            let here: usize = references[done..done + share.words]
                .iter()
                .map(|(_, count)| count)
                .sum();
            done += share.words;
            let mut lines = vec![place.clone()];
            // Before the count: what stands last goes first where names are very long.
            lines.extend(share.lines);
            lines.push(if several > 1 {
                format!("label {} of {several}: {here} of {count}", index + 1)
            } else {
                count.clone()
            });
            lines.push(job.job.title.to_owned());
            lines.retain(|line| !line.is_empty());
            Label {
                title: bag.title.clone(),
                lines,
            }
        })
        .collect()
}

/// The copies of the board that a bag is for, and its references, runs taken
/// together, each with how many parts it stands for: "C1..C4" on all of these
/// copies, "C9 on ch1..ch3" on some.
fn references(case: &Case<'_>, bag: &Bag) -> (String, Vec<(String, usize)>) {
    let board = case.board(bag.board);
    let named = |copies: &[u16]| {
        let mut copies = copies.to_vec();
        copies.sort_unstable();
        // Two parts at one place stand there twice.
        copies.dedup();
        let names = copies
            .iter()
            .map(|copy| board.copies[usize::from(*copy)].as_str());
        names::compress(names).replace(", ", " ")
    };
    let all: Vec<u16> = bag.places.iter().map(|place| place.copy).collect();
    let all = named(&all);
    let mut copies_of: BTreeMap<PartId, Vec<u16>> = BTreeMap::new();
    for place in &bag.places {
        copies_of.entry(place.part).or_default().push(place.copy);
    }
    let mut runs: Vec<(Vec<u16>, Vec<PartId>)> = Vec::new();
    for (part, copies) in copies_of {
        match runs.iter_mut().find(|run| run.0 == copies) {
            Some(run) => run.1.push(part),
            None => runs.push((copies, vec![part])),
        }
    }
    let mut words = Vec::new();
    for (copies, parts) in runs {
        let some = named(&copies);
        let on = if some == all {
            String::new()
        } else {
            format!(" on {some}")
        };
        let run = names::compress(parts.iter().map(|part| case.part(*part).name.as_str()));
        for run in run.split(", ") {
            let members = names::expand(run).map_or(1, |members| members.len());
            words.push((format!("{run}{on}"), members * copies.len()));
        }
    }
    (all, words)
}
