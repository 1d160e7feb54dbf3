//! The steps that come before the next one behind the gate.

use super::before_power::unread;
use super::{Ask, Asked, boards_named};
use crate::check::subject;
use crate::finding::Fault;
use crate::meaning::{BoardCopy, Case, PlaceId};
use crate::stage::Stage;
use crate::time::order::Why;
use crate::time::state::Content;
use crate::time::step_progress::Piece;
use retin_syntax::tables::StepVerb;
use rustc_hash::FxHashSet;

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
        Stage::Fit => &[StepVerb::Discharge, StepVerb::Remove, StepVerb::Clean],
        Stage::Power => &[StepVerb::Remove, StepVerb::Fit],
        Stage::Chips => &[StepVerb::Discharge, StepVerb::Remove, StepVerb::Fit],
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
    let next = next_behind(ask);
    let passed = || {
        let mut sequence = order.sequence.iter().copied();
        sequence.find(|step| is_behind(ask, *step))
    };
    let comes_before = |step: usize| match (ask.stage, next) {
        (Stage::Close, _) => true,
        (_, next) => next
            .or_else(passed)
            .is_some_and(|next| order.is_before(step, next)),
    };
    let mut left = Vec::new();
    for &step in order.sequence.iter().filter(|step| comes_before(**step)) {
        if ask.steps[step].is_done() {
            asked.passed();
        } else if !is_told(ask.stage, ask.job.steps[step].verb) && !is_told_by_piece(ask, step) {
            left.push(step);
        }
    }
    if !left.is_empty() {
        asked.fails(Vec::new(), not_done(ask, &left, next));
    }
}

fn not_done(ask: &Ask<'_, '_>, left: &[usize], next: Option<usize>) -> Fault {
    let works: Vec<String> = left.iter().map(|step| work(ask, *step)).collect();
    let fact = match &works[..] {
        [one] => format!("a step that comes first is not done: {one}"),
        _ => format!("steps that come first are not done: {}", works.join("; ")),
    };
    let consequence = match next {
        Some(next) => {
            let reasons = ask.order.into_iter().flat_map(|order| order.waits_of(next));
            let why = reasons
                .filter(|edge| left.contains(&edge.earlier))
                .find_map(|edge| match edge.why {
                    Why::Bench(row) => Some(row.because),
                    Why::Written(_) => None,
                });
            let name = ask.job.steps[next].name;
            match why {
                Some(why) => format!("the step {name} waits for that: {why}"),
                None => format!("the step {name} waits for that"),
            }
        }
        None => "what was planned and not done is missed by the owner".to_owned(),
    };
    let remedy = "do it and write it down, or take out of `steps` what is not wanted";
    let lines = left.iter().map(|step| ask.job.steps[*step].line);
    let mut fault = Fault::new(ask.job.origin, fact, consequence, remedy);
    for (index, line) in lines.enumerate() {
        if index == 0 {
            fault.origin = line;
        } else {
            fault = fault.with(
                line,
                format!("the step {}", ask.job.steps[left[index]].name),
            );
        }
    }
    fault
}

/// Whether each piece that is left of a step is told already, by a rule or a demand:
/// joints that nobody looked at, rails that nobody read.
fn is_told_by_piece(ask: &Ask<'_, '_>, step: usize) -> bool {
    let left = &ask.steps[step].left;
    match (ask.job.steps[step].verb, ask.stage) {
        (StepVerb::Inspect, Stage::Power | Stage::Chips | Stage::Close) => {
            let unseen = unseen(ask);
            let has_unseen = |board: &BoardCopy| {
                let mut places = unseen.iter();
                places.any(|place| ask.case.copy_of(*place) == *board)
            };
            let mut left = left.iter();
            left.all(|piece| match piece {
                Piece::Board(board) => has_unseen(board),
                Piece::Place(place) => unseen.contains(place),
                Piece::Net(..) | Piece::Link(_) | Piece::Whole => false,
            })
        }
        (StepVerb::Measure, Stage::Power) => {
            let unread = unread(ask);
            let nets = &ask.case.nets;
            let is_unread = |net| {
                let mut unread = unread.iter();
                unread.any(|other| nets.common(*other) == nets.common(net))
            };
            let mut left = left.iter();
            left.all(|piece| matches!(piece, Piece::Net(net, _) if is_unread(*net)))
        }
        _ => false,
    }
}

/// Places whose joints were worked on and not inspected since, which a rule tells.
fn unseen(ask: &Ask<'_, '_>) -> Vec<PlaceId> {
    let is_unseen = |place: &PlaceId| {
        let state = ask.replay.state(ask.case, *place);
        let has_part = state.place.content != Content::Empty;
        has_part && state.worked().is_some() && state.inspected().is_none()
    };
    ask.case.places().filter(is_unseen).collect()
}

/// What is left of a step: "look (inspect ch1..ch8)".
fn work(ask: &Ask<'_, '_>, step: usize) -> String {
    let (row, progress) = (&ask.job.steps[step], &ask.steps[step]);
    let about = if progress.is_begun() && !progress.done.is_empty() {
        pieces_named(ask.case, &progress.left)
    } else {
        row.about.written.to_owned()
    };
    if about.is_empty() {
        format!("{} ({})", row.name, row.verb.word())
    } else {
        format!("{} ({} {about})", row.name, row.verb.word())
    }
}

/// The first step behind the gate that is not done.
pub(super) fn next_behind(ask: &Ask<'_, '_>) -> Option<usize> {
    let mut sequence = ask.order?.sequence.iter().copied();
    sequence.find(|step| is_behind(ask, *step) && !ask.steps[*step].is_done())
}

/// Whether the job's own steps put a step behind the gate: it comes after the next
/// one there, or is that one.
pub(super) fn is_planned_later(ask: &Ask<'_, '_>, step: usize) -> bool {
    let (Some(order), Some(next)) = (ask.order, next_behind(ask)) else {
        return false;
    };
    step == next || order.is_before(next, step)
}

/// Places that the steps work on behind the gate only, as far as steps with these
/// verbs are not done.
pub(crate) fn planned_later(ask: &Ask<'_, '_>, verbs: &[StepVerb]) -> FxHashSet<PlaceId> {
    let mut later: FxHashSet<PlaceId> = FxHashSet::default();
    let mut sooner: FxHashSet<PlaceId> = FxHashSet::default();
    for (step, progress) in ask.steps.iter().enumerate() {
        if !verbs.contains(&ask.job.steps[step].verb) {
            continue;
        }
        let set = if is_planned_later(ask, step) {
            &mut later
        } else {
            &mut sooner
        };
        set.extend(places_of(&progress.left));
    }
    later.retain(|place| !sooner.contains(place));
    later
}

/// Pieces of work as a technician writes them: `psu, ch1..ch8.C1, master.+15`.
pub fn pieces_named(case: &Case<'_>, pieces: &[Piece]) -> String {
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
