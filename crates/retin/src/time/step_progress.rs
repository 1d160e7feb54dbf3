//! How much of each step the log shows done.

use crate::meaning::{
    Act, BoardCopy, Case, Job, LinkId, LogEntry, NetId, PlaceId, Point, Reading, Step, Subject,
};
use crate::time::done_early::verb_of;
use crate::time::minutes::{boards_worked_on, places_worked_on};
use crate::time::order::Order;
use crate::time::replay::Replay;
use crate::time::state::Content;
use retin_syntax::tables::StepVerb;
use retin_syntax::token::Token;
use retin_syntax::value::Dimension;

/// One piece of a step's work.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Piece {
    /// A place.
    Place(PlaceId),
    /// A board.
    Board(BoardCopy),
    /// A net on one copy of its board.
    Net(NetId, u16),
    /// A link.
    Link(LinkId),
    /// The step as a whole, where its line names nothing.
    Whole,
}

/// How much of a step is done.
#[derive(Clone, Default, PartialEq, Eq, Debug)]
pub struct StepProgress {
    /// What is done of it.
    pub done: Vec<Piece>,
    /// What is left of it.
    pub left: Vec<Piece>,
    /// The first entry of the log that did something of it.
    pub begun: Option<usize>,
}

impl StepProgress {
    /// Whether nothing of it is left.
    pub fn is_done(&self) -> bool {
        self.left.is_empty()
    }

    /// Whether something of it is done.
    pub fn is_begun(&self) -> bool {
        self.begun.is_some() || !self.done.is_empty()
    }
}

/// How much of each step is done, by the job's steps.
///
/// An entry counts for a step from the first entry on that did something of a
/// step it waits for: pictures taken before the first cut are none of the
/// pictures that a later step asks for. Of two steps that fit one place, where the
/// plan puts the chip in a socket, the earlier one is the socket's.
pub fn step_progress(
    case: &Case<'_>,
    job: &Job<'_>,
    replay: &Replay<'_>,
    order: Option<&Order>,
) -> Vec<StepProgress> {
    let mut sequence: Vec<usize> = order.map_or_else(Vec::new, |order| order.sequence.clone());
    let mut is_listed = vec![false; job.steps.len()];
    for step in &sequence {
        is_listed[*step] = true;
    }
    sequence.extend((0..job.steps.len()).filter(|step| !is_listed[*step]));
    let mut all: Vec<StepProgress> = vec![StepProgress::default(); job.steps.len()];
    // By step: the entry from which on entries count for what waits for it.
    let mut from: Vec<usize> = vec![0; job.steps.len()];
    let mut position = vec![0; job.steps.len()];
    for (at, step) in sequence.iter().enumerate() {
        position[*step] = at;
    }
    for &index in &sequence {
        let step = &job.steps[index];
        let bound = step.after.iter().map(|waits| from[waits.step]).max();
        let bound = bound.unwrap_or(0);
        let is_for_socket = |place: PlaceId| {
            let mut later = position[index]..job.steps.len();
            step.verb == StepVerb::Fit
                && case.gets_socket(place)
                && later.any(|at| {
                    let other = sequence[at];
                    other != index
                        && job.steps[other].verb == StepVerb::Fit
                        && places_worked_on(case, &job.steps[other]).contains(&place)
                })
        };
        let progress = progress_of(case, job, replay, step, bound, &is_for_socket);
        from[index] = progress.begun.unwrap_or(bound);
        all[index] = progress;
    }
    all
}

fn progress_of(
    case: &Case<'_>,
    job: &Job<'_>,
    replay: &Replay<'_>,
    step: &Step<'_>,
    bound: usize,
    is_for_socket: &dyn Fn(PlaceId) -> bool,
) -> StepProgress {
    let entries: Vec<(usize, &LogEntry<'_>)> = job
        .happened()
        .filter(|(index, entry)| {
            *index >= bound && verb_of(&entry.act) == Some(step.verb) && is_as_asked(step, entry)
        })
        .collect();
    let mut progress = StepProgress::default();
    for piece in pieces(case, step) {
        let first = entries
            .iter()
            .find(|(_, entry)| covers(case, entry, piece))
            .map(|(index, _)| *index);
        let has_socket = match piece {
            Piece::Place(place) => replay.place(place).socketed.is_some() && is_for_socket(place),
            _ => false,
        };
        if has_socket || is_done(case, replay, step.verb, piece, first.is_some()) {
            progress.done.push(piece);
        } else {
            progress.left.push(piece);
        }
        progress.begun = match (progress.begun, first) {
            (Some(known), Some(first)) => Some(known.min(first)),
            (known, first) => known.or(first),
        };
    }
    progress
}

/// What a step is made of.
fn pieces(case: &Case<'_>, step: &Step<'_>) -> Vec<Piece> {
    if step.about.is_nothing() {
        return vec![Piece::Whole];
    }
    let boards = boards_worked_on(case, step);
    let places = if boards.is_empty() || !step.about.is_everything {
        places_worked_on(case, step)
    } else {
        Vec::new()
    };
    // The potential of ground against itself is no reading.
    let is_read = |net: NetId| step.verb != StepVerb::Measure || !case.is_ground(net);
    let nets = step.about.nets.iter().filter(|(net, _)| is_read(*net));
    let boards = boards.into_iter().map(Piece::Board);
    let places = places.into_iter().map(Piece::Place);
    let nets = nets.map(|(net, copy)| Piece::Net(*net, *copy));
    let links = step.about.links.iter().map(|link| Piece::Link(*link));
    boards.chain(places).chain(nets).chain(links).collect()
}

/// Whether readings were taken in the condition that the step asks for.
fn is_as_asked(step: &Step<'_>, entry: &LogEntry<'_>) -> bool {
    let Act::Measured { beeps } = entry.act else {
        return true;
    };
    match step.condition {
        Some(Token::Unpowered) => beeps || entry.readings.iter().any(is_unpowered),
        Some(condition) => entry
            .readings
            .iter()
            .any(|reading| reading.condition == Some(condition)),
        None => true,
    }
}

/// Whether a reading was taken with the power off: it says so, or is a resistance.
pub fn is_unpowered(reading: &Reading) -> bool {
    reading.condition == Some(Token::Unpowered)
        || reading
            .quantity()
            .is_some_and(|quantity| quantity.dimension == Dimension::Resistance)
}

/// Whether an entry is about a piece of work.
fn covers(case: &Case<'_>, entry: &LogEntry<'_>, piece: Piece) -> bool {
    let subject = &entry.subject;
    let is_of_all = subject.is_everything
        || (subject.origin.is_none()
            && subject.is_nothing()
            && matches!(
                entry.act,
                Act::Cleaned { .. } | Act::Powered { .. } | Act::Tested
            ));
    if is_of_all {
        return true;
    }
    match piece {
        Piece::Whole => true,
        Piece::Place(place) => {
            subject.covers(case, place) || subject.pads.iter().any(|pad| pad.place == place)
        }
        Piece::Board(board) => {
            let is_named = subject.boards.binary_search(&board).is_ok();
            is_named || is_by_nets(case, entry, board)
        }
        Piece::Net(net, _) => {
            touches_net(case, subject, &entry.to, net) && !is_read_elsewhere(case, entry, net)
        }
        Piece::Link(link) => {
            let mut ends = case.link(link).boards.iter();
            // The joints of a board are also those of the links that end on it.
            subject.links.binary_search(&link).is_ok()
                || ends.any(|board| subject.boards.binary_search(board).is_ok())
        }
    }
}

/// Whether an entry reads a rail against another point than ground, which does not
/// tell what the rail is at.
fn is_read_elsewhere(case: &Case<'_>, entry: &LogEntry<'_>, net: NetId) -> bool {
    let mut ends = entry.subject.points().chain(entry.to.iter().copied());
    matches!(entry.act, Act::Measured { .. })
        && case.potentials.rail(&case.nets, net).is_some()
        && !entry.to.is_empty()
        && !ends.any(|point| case.is_at_ground(point))
}

/// Whether a board was powered, or read, by way of its nets and parts.
fn is_by_nets(case: &Case<'_>, entry: &LogEntry<'_>, board: BoardCopy) -> bool {
    let subject = &entry.subject;
    let has_net = || {
        let mut nets = subject.nets.iter();
        nets.any(|(net, copy)| (case.nets.net(*net).board, *copy) == board)
    };
    match entry.act {
        Act::Powered { .. } => has_net(),
        Act::Measured { .. } => {
            let places = subject.places.iter().copied();
            let pads = subject.pads.iter().map(|pad| pad.place);
            has_net() || places.chain(pads).any(|place| case.copy_of(place) == board)
        }
        _ => false,
    }
}

/// Whether a subject, or the other end, lies on a net or on one that links join with it.
fn touches_net(case: &Case<'_>, subject: &Subject<'_>, to: &[Point<'_>], net: NetId) -> bool {
    subject
        .points()
        .chain(to.iter().copied())
        .any(|point| is_joined(case, point, net))
}

/// Whether a point lies on a net or on one that links join with it.
pub fn is_joined(case: &Case<'_>, point: Point<'_>, net: NetId) -> bool {
    case.net_of(point)
        .is_some_and(|(other, _)| case.nets.common(other) == case.nets.common(net))
}

/// Whether a piece of work is done; for what the log only tells of, whether it does.
fn is_done(
    case: &Case<'_>,
    replay: &Replay<'_>,
    verb: StepVerb,
    piece: Piece,
    is_told: bool,
) -> bool {
    match (verb, piece) {
        (StepVerb::Remove, Piece::Place(place)) => {
            let state = replay.place(place);
            state.content != Content::Old || state.removed.is_some()
        }
        (StepVerb::Fit, Piece::Place(place)) => replay.place(place).content == Content::New,
        (StepVerb::Inspect, Piece::Place(place)) => replay.state(case, place).inspected().is_some(),
        (StepVerb::Inspect, Piece::Board(board)) => {
            let mut worked = false;
            for part in &case.board(board.0).parts {
                let place = PlaceId {
                    part: *part,
                    copy: board.1,
                };
                let state = replay.state(case, place);
                if state.place.content == Content::Empty || state.worked().is_none() {
                    continue;
                }
                if state.inspected().is_none() {
                    return false;
                }
                worked = true;
            }
            is_told || worked
        }
        _ => is_told,
    }
}
