//! What has to be done before the unit goes back.

use super::{Ask, Asked, boards_named};
use crate::finding::Fault;
use crate::meaning::{BoardCopy, BoardId, names};
use crate::time::readings_wanted::{What, wanted};

pub(super) fn reading_left(ask: &Ask<'_, '_>, asked: &mut Asked) {
    let wanted = wanted(ask.case, ask.job, ask.replay);
    for (index, target) in ask.job.targets.iter().enumerate() {
        let mut is_whole = true;
        for missing in wanted.iter().filter(|missing| missing.target == index) {
            is_whole = false;
            let what = match missing.what {
                What::Value => "",
                What::Ripple => "the ripple of ",
            };
            let against = target
                .to
                .map_or(String::new(), |(to, _)| format!(" to {to}"));
            let on = if missing.copies.is_empty() || missing.is_on_all {
                String::new()
            } else {
                let copies = names::compress(missing.copies.iter().map(String::as_str));
                format!(", on {copies}")
            };
            asked.fails(
                Vec::new(),
                Fault::new(
                    target.origin,
                    format!(
                        "the log has no reading of {what}{}{against}{on}",
                        target.point
                    ),
                    "what was never read was never shown to be right, and nothing can be compared later",
                    "take the reading in the condition the target asks for, and write it down",
                ),
            );
        }
        if is_whole {
            asked.passed();
        }
    }
    if ask.job.targets.is_empty() {
        asked.lacks("which readings show that the unit is right: `targets`", "");
    }
}

pub(super) fn not_tried(ask: &Ask<'_, '_>, asked: &mut Asked) {
    let case = ask.case;
    let mut untried: Vec<BoardCopy> = Vec::new();
    for board in (0..case.boards.len() as u32).map(BoardId) {
        for copy in case.copies_of(board) {
            let progress = ask.replay.progress(case, copy);
            if progress.done.is_empty() && progress.left.is_empty() {
                continue;
            }
            if ask.replay.board(copy).tested.is_some() {
                asked.passed();
            } else {
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
