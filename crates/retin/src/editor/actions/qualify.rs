//! Writes a part's name with its board.

use super::super::mention::{self, Role, Subject};
use super::{Action, At, Sort, write};
use crate::meaning::BoardId;
use retin_syntax::Span;
use retin_syntax::tree::Record;

pub(super) fn qualify(at: &At<'_, '_>, found: &mut Vec<Action>) {
    // On a model sheet names are those of the board they stand below.
    if !matches!(
        at.record(),
        Some(
            Record::Plan(_)
                | Record::Accept { .. }
                | Record::Step { .. }
                | Record::Survey { .. }
                | Record::SurveyGoBy { .. }
                | Record::Target { .. }
                | Record::Entry { .. }
                | Record::Changed { .. }
        )
    ) {
        return;
    }
    let Some(mention) = mention::at(at.snapshot, &at.caret) else {
        return;
    };
    let case = at.snapshot.case;
    let before = &at.caret.text[..mention.origin.span.start as usize];
    if mention.role == Role::Declares || before.ends_with('.') {
        return;
    }
    let mut boards: Vec<BoardId> = mention
        .subjects
        .iter()
        .filter_map(|subject| match subject {
            Subject::Part(part) => Some(case.part(*part).board),
            _ => None,
        })
        .collect();
    boards.dedup();
    let start = mention.origin.span.start;
    for board in boards {
        let name = case.board(board).name;
        let written = at.snapshot.of(mention.origin);
        let edit = at.edit(Span::new(start, start), format!("{name}."));
        found.push(write(
            format!("write `{name}.{written}`"),
            Sort::Rewrites,
            vec![edit],
        ));
    }
}
