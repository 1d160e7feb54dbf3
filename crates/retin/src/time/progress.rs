//! How far the work on a board has come: what is done, and what is left.

use super::accidents::{AccidentRecord, Status};
use super::replay::Replay;
use super::state::Content;
use crate::meaning::{BoardCopy, Case, PlaceId};
use retin_syntax::tables::PlanVerb;

/// What is left to do at a place.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Left {
    /// The old part has to come out, and a new one go in.
    Replace,
    /// The old part has to come out.
    Remove,
    /// The old part is out, and the new one is not in.
    Fit,
    /// The chip is not back in its socket.
    Chip,
    /// Something was taken out that the plan does not speak of.
    TakenOut,
    /// Its joints were worked on and not looked at.
    Inspect,
}

/// How far a board has come.
#[derive(Clone, Default, PartialEq, Debug)]
pub struct Progress {
    /// Places with nothing left to do, of those that the plan works on.
    pub done: Vec<PlaceId>,
    /// Places with something left to do.
    pub left: Vec<(PlaceId, Left)>,
    /// Accidents that are not proven mended, as indexes into [`Replay::accidents`].
    pub open: Vec<usize>,
}

impl Replay<'_> {
    /// What is left to do at a place; none where nothing is.
    pub fn left_at(&self, case: &Case<'_>, place: PlaceId) -> Option<Left> {
        let state = self.state(case, place);
        let decision = case.decision(place);
        let verb = decision.map(|decision| case.plan_line(decision.line).verb);
        let has_socket = decision.is_some_and(|decision| decision.socket.is_some());
        let work = match (verb, state.place.content) {
            (Some(PlanVerb::Replace), Content::Old) => Some(Left::Replace),
            (Some(PlanVerb::Replace | PlanVerb::Add), Content::Empty) => Some(Left::Fit),
            (Some(PlanVerb::Remove), Content::Old | Content::New) => Some(Left::Remove),
            (Some(PlanVerb::Socket), Content::Empty) => Some(Left::Chip),
            (Some(PlanVerb::Socket), Content::Old) => Some(Left::Replace),
            (Some(PlanVerb::Keep | PlanVerb::Leave) | None, Content::Empty) => {
                state.place.removed.map(|_| {
                    if has_socket {
                        Left::Chip
                    } else {
                        Left::TakenOut
                    }
                })
            }
            (Some(PlanVerb::Keep), Content::Old) if has_socket => Some(Left::Replace),
            _ => None,
        };
        let is_worked = state.place.content == Content::New && state.worked().is_some();
        work.or_else(|| (is_worked && state.inspected().is_none()).then_some(Left::Inspect))
    }

    /// How far the work on one copy of a board has come.
    pub fn progress(&self, case: &Case<'_>, board: BoardCopy) -> Progress {
        let mut progress = Progress::default();
        for &part in &case.board(board.0).parts {
            let place = PlaceId {
                part,
                copy: board.1,
            };
            let is_work = case.decision(place).is_some_and(|decision| {
                matches!(
                    case.plan_line(decision.line).verb,
                    PlanVerb::Replace | PlanVerb::Add | PlanVerb::Remove | PlanVerb::Socket
                ) || decision.socket.is_some()
            });
            match self.left_at(case, place) {
                Some(left) => progress.left.push((place, left)),
                None if is_work => progress.done.push(place),
                None => {}
            }
        }
        let open = |record: &&AccidentRecord<'_>| record.status() != Status::Proven;
        let indexes = self.accidents_on(case, board).filter(open);
        progress.open = indexes.map(|record| record.number - 1).collect();
        progress
    }
}
