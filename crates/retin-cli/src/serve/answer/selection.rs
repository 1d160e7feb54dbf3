//! Growing selections.

use crate::serve::room::Here;
use retin::editor::selection::selection;
use tower_lsp::lsp_types::{Position, SelectionRange};

/// For each position, what grows around it.
pub fn answer(here: &Here<'_, '_, '_>, positions: &[Position]) -> Vec<SelectionRange> {
    positions
        .iter()
        .map(|at| {
            let spans = selection(here.snapshot, here.place(*at));
            let outermost = spans.into_iter().rev().fold(None, |parent, span| {
                Some(SelectionRange {
                    range: here.range(span),
                    parent: parent.map(Box::new),
                })
            });
            // Each position needs an answer; where nothing grows it is itself.
            outermost.unwrap_or(SelectionRange {
                range: here.range(retin_syntax::Span::new(here.offset(*at), here.offset(*at))),
                parent: None,
            })
        })
        .collect()
}
