//! Parts that came out before anybody took a picture.

use super::{Judge, Rule};
use crate::check::Answers;
use crate::finding::{Fault, Verdict};
use crate::meaning::{Act, BoardCopy, Case};
use crate::stage::Stage;
use rustc_hash::FxHashSet;

pub(super) const RULE: Rule = Rule {
    name: "not-photographed",
    at: Stage::Strip,
    summary: "a board from which parts came out before it was photographed",
    page: include_str!("not_photographed.md"),
    judge: Judge::Case(judge),
};

fn judge(case: &Case<'_>, answers: &mut Answers<'_, '_>) {
    let Some(job) = &case.job else {
        return;
    };
    let mut seen: FxHashSet<BoardCopy> = FxHashSet::default();
    let unread = case.unread_in_log();
    let is_on_unread_line =
        |board: BoardCopy| unread.iter().any(|place| case.copy_of(*place) == board);
    for (index, entry) in job.happened() {
        if !matches!(entry.act, Act::Removed) {
            continue;
        }
        let mut unseen: Vec<BoardCopy> = Vec::new();
        for place in &entry.subject.places {
            let board = case.copy_of(*place);
            if !seen.insert(board) {
                continue;
            }
            let is_photographed = case
                .replay
                .before(case, *place, index)
                .board
                .photographed
                .is_some();
            if is_photographed {
                answers.answer(&[], Verdict::Passed);
            } else if is_on_unread_line(board) {
                let fact = "what a line of the log says of the board that cannot be read";
                answers.answer(&[], Verdict::lacks(fact));
            } else {
                unseen.push(board);
            }
        }
        if !unseen.is_empty() {
            let names = unseen.iter().map(|board| case.name_of_copy(*board));
            let names = crate::meaning::names::compress(names);
            answers.answer(
                &[],
                Verdict::failed(Fault::new(
                    entry.origin,
                    format!("parts came out of {names}, and no photograph was taken before"),
                    "how the old parts sat, and where each wire went, is gone for good",
                    "photograph both sides now, before anything else comes out, and look for pictures of the same model",
                )),
            );
        }
    }
    let boards = (0..case.boards.len() as u32).map(crate::meaning::BoardId);
    let waiting = boards
        .flat_map(|board| case.copies_of(board))
        .filter(|board| !seen.contains(board))
        .filter(|board| case.replay.board(*board).photographed.is_none());
    for _ in waiting {
        answers.answer(
            &[],
            Verdict::lacks("a photograph of each board, before its first part comes out"),
        );
    }
}
