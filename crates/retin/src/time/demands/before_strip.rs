//! What has to be done before the first part comes out.

use super::{Ask, Asked, boards_named};
use crate::finding::Fault;
use crate::meaning::{BoardCopy, BoardId};
use crate::time::progress::Left;

pub(super) fn no_picture(ask: &Ask<'_, '_>, asked: &mut Asked) {
    let case = ask.case;
    let mut unseen: Vec<BoardCopy> = Vec::new();
    for board in (0..case.boards.len() as u32).map(BoardId) {
        for copy in case.copies_of(board) {
            let left = ask.replay.progress(case, copy).left;
            let comes_out = left
                .iter()
                .any(|(_, what)| matches!(what, Left::Replace | Left::Remove));
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
    let is_taken =
        |step: &&crate::meaning::Step<'_>| step.verb == retin_syntax::tables::StepVerb::Photograph;
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
