//! The steps that come before the next one behind the gate.

use super::{Ask, Asked, boards_named};
use crate::check::subject;
use crate::finding::Fault;
use crate::meaning::{Act, BoardCopy, Job, PlaceId};
use crate::stage::Stage;
use crate::time::order::Why;
use crate::time::step_progress::{Piece, StepProgress};
use retin_syntax::tables::StepVerb;

/// Whether a step belongs behind the gate before a stage.
fn is_behind(ask: &Ask<'_, '_>, step: usize) -> bool {
    let row = &ask.job.steps[step];
    let fits_chips = || {
        let progress = &ask.steps[step];
        let mut places = places_of(&progress.left)
            .chain(places_of(&progress.done))
            .peekable();
        places.peek().is_some() && places.all(|place| ask.case.is_socketed(place))
    };
    match ask.stage {
        Stage::Strip => row.verb == StepVerb::Remove,
        Stage::Fit => row.verb == StepVerb::Fit && !fits_chips(),
        Stage::Power => row.verb == StepVerb::Power,
        Stage::Chips => row.verb == StepVerb::Fit && fits_chips(),
        Stage::List | Stage::Order | Stage::Close => false,
    }
}

fn places_of(pieces: &[Piece]) -> impl Iterator<Item = PlaceId> {
    pieces.iter().filter_map(|piece| match piece {
        Piece::Place(place) => Some(*place),
        _ => None,
    })
}

/// Whether the gate asks for the work of such a step by another demand.
fn is_told(stage: Stage, verb: StepVerb) -> bool {
    let told: &[StepVerb] = match stage {
        Stage::List | Stage::Order => &[],
        Stage::Strip => &[StepVerb::Photograph, StepVerb::Discharge],
        Stage::Fit => &[StepVerb::Discharge, StepVerb::Remove],
        Stage::Power | Stage::Chips => &[StepVerb::Remove, StepVerb::Fit],
        Stage::Close => &[StepVerb::Remove, StepVerb::Fit],
    };
    told.contains(&verb)
}

pub(super) fn step_left(ask: &Ask<'_, '_>, asked: &mut Asked) {
    if ask.job.steps.is_empty() {
        asked.lacks("in which order the work is to go: `steps`", "");
        return;
    }
    let Some(order) = ask.order else {
        asked.lacks("an order of the steps: there are too many", "");
        return;
    };
    let behind: Vec<usize> = order
        .sequence
        .iter()
        .copied()
        .filter(|step| is_behind(ask, *step))
        .collect();
    let next = behind
        .iter()
        .copied()
        .find(|step| !ask.steps[*step].is_done());
    let comes_before = |step: usize| match (ask.stage, next) {
        (Stage::Close, _) => true,
        (_, Some(next)) => order.is_before(step, next),
        (_, None) => behind
            .first()
            .is_some_and(|first| order.is_before(step, *first)),
    };
    for &step in order.sequence.iter().filter(|step| comes_before(**step)) {
        let progress = &ask.steps[step];
        if progress.is_done() {
            asked.passed();
            continue;
        }
        if is_told(ask.stage, ask.job.steps[step].verb) {
            continue;
        }
        asked.fails(Vec::new(), left(ask, step, next));
    }
}

fn left(ask: &Ask<'_, '_>, step: usize, next: Option<usize>) -> Fault {
    let row = &ask.job.steps[step];
    let progress = &ask.steps[step];
    let fact = if progress.is_begun() && !progress.done.is_empty() {
        format!(
            "the step {} is not done: left to {}: {}",
            row.name,
            row.verb.word(),
            in_words(ask, progress)
        )
    } else {
        format!(
            "the step {} is not done: {} {}",
            row.name,
            row.verb.word(),
            row.about.written
        )
        .trim_end()
        .to_owned()
    };
    let consequence = match next {
        Some(next) => {
            let why = ask.order.and_then(|order| {
                order.waits_of(next).find_map(|edge| match edge.why {
                    Why::Bench(row) if edge.earlier == step => Some(row.because),
                    _ => None,
                })
            });
            let name = ask.job.steps[next].name;
            match why {
                Some(why) => format!("the step {name} waits for it: {why}"),
                None => format!("the step {name} waits for it"),
            }
        }
        None => "what was planned and not done is missed by the owner".to_owned(),
    };
    let has_entries = has_entry(ask.job);
    let remedy = if has_entries {
        "do it and write it down, or take the step out if it is not wanted"
    } else {
        "do it, and write it down below `log`"
    };
    Fault::new(row.line, fact, consequence, remedy)
}

fn has_entry(job: &Job<'_>) -> bool {
    job.happened()
        .any(|(_, entry)| !matches!(entry.act, Act::Noted))
}

/// What is left of a step, as a technician writes it.
fn in_words(ask: &Ask<'_, '_>, progress: &StepProgress) -> String {
    pieces_named(ask.case, &progress.left)
}

/// Pieces of work as a technician writes them: `psu, ch1..ch8.C1, master.+15`.
pub fn pieces_named(case: &crate::meaning::Case<'_>, pieces: &[Piece]) -> String {
    let places: Vec<PlaceId> = places_of(pieces).collect();
    let boards: Vec<BoardCopy> = pieces
        .iter()
        .filter_map(|piece| match piece {
            Piece::Board(board) => Some(*board),
            _ => None,
        })
        .collect();
    let mut words = Vec::new();
    if !boards.is_empty() {
        words.push(boards_named(case, &boards));
    }
    if !places.is_empty() {
        words.push(subject(case, &places));
    }
    words.extend(pieces.iter().filter_map(|piece| match piece {
        Piece::Net(net, copy) => {
            let net = case.nets.net(*net);
            let board = case.name_of_copy((net.board, *copy));
            Some(format!("{board}.{}", net.name))
        }
        Piece::Link(link) => Some(case.link(*link).name.to_owned()),
        Piece::Whole => Some("all of it".to_owned()),
        Piece::Place(_) | Piece::Board(_) => None,
    }));
    words.join(", ")
}
