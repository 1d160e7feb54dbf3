//! What has to be done before the first part comes out.

use super::steps::{next_behind, planned_later};
use super::{Ask, Asked, boards_named};
use crate::finding::Fault;
use crate::meaning::{BoardCopy, BoardId, PlaceId, Step};
use crate::time::progress::Left;
use crate::time::step_progress::Piece;
use retin_syntax::tables::StepVerb;
use rustc_hash::FxHashSet;

pub(super) fn no_picture(ask: &Ask<'_, '_>, asked: &mut Asked) {
    let case = ask.case;
    let later = strictly_later(ask);
    let mut unseen: Vec<BoardCopy> = Vec::new();
    for board in (0..case.boards.len() as u32).map(BoardId) {
        for copy in case.copies_of(board) {
            let left = ask.replay.progress(case, copy).left;
            let comes_out = left.iter().any(|(place, what)| {
                matches!(what, Left::Replace | Left::Remove) && !later.contains(place)
            });
            if ask.replay.board(copy).photographed.is_some() {
                asked.passed();
            } else if comes_out {
                unseen.push(copy);
            }
        }
    }
    let Some(first) = unseen.first() else {
        return;
    };
    let origin = case.board(first.0).origin;
    let is_taken = |step: &&Step<'_>| step.verb == StepVerb::Photograph;
    let origin = ask
        .job
        .steps
        .iter()
        .find(is_taken)
        .map_or(origin, |step| step.line);
    asked.fails(
        Vec::new(),
        Fault::new(
            origin,
            format!("the log has no picture of {}", boards_named(case, &unseen)),
            "there is no second chance to see which way a part sat and where a wire went",
            "photograph both sides, and write it down: `photographed`",
        ),
    );
}

/// Places that come out by a later step than the next one.
fn strictly_later(ask: &Ask<'_, '_>) -> FxHashSet<PlaceId> {
    let mut later = planned_later(ask, &[StepVerb::Remove]);
    if let Some(next) = next_behind(ask) {
        for piece in &ask.steps[next].left {
            if let Piece::Place(place) = piece {
                later.remove(place);
            }
        }
    }
    later
}
