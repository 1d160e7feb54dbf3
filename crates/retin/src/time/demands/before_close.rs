//! What has to be done before the unit goes back.

use super::{Ask, Asked, boards_named};
use crate::finding::Fault;
use crate::meaning::{BoardCopy, BoardId};
use crate::time::step_progress::Piece;
use retin_syntax::tables::StepVerb;

pub(super) fn not_tried(ask: &Ask<'_, '_>, asked: &mut Asked) {
    let case = ask.case;
    // A step that tries it, and is not done, is told as a step.
    let is_step_left = |copy: BoardCopy| {
        let steps = ask.job.steps.iter().zip(ask.steps);
        let mut tests = steps.filter(|(step, _)| step.verb == StepVerb::Test);
        tests.any(|(_, progress)| progress.left.contains(&Piece::Board(copy)))
    };
    let mut untried: Vec<BoardCopy> = Vec::new();
    for board in (0..case.boards.len() as u32).map(BoardId) {
        if case.board(board).is_wiring {
            continue;
        }
        for copy in case.copies_of(board) {
            let progress = ask.replay.progress(case, copy);
            if progress.done.is_empty() && progress.left.is_empty() {
                continue;
            }
            if ask.replay.board(copy).tested.is_some() {
                asked.passed();
            } else if !is_step_left(copy) {
                untried.push(copy);
            }
        }
    }
    if untried.is_empty() {
        return;
    }
    asked.fails(
        Vec::new(),
        Fault::new(
            ask.job.origin,
            format!(
                "the log does not try the functions of {}",
                boards_named(case, &untried)
            ),
            "what was not tried at the bench is tried by the owner",
            "try every function that passes through it, and write it down: `tested`",
        ),
    );
}
