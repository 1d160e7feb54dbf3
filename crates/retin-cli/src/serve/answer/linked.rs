//! Names that change together as one of them is typed.

use crate::serve::room::Here;
use retin::editor::linked::linked;
use tower_lsp::lsp_types::{LinkedEditingRanges, Position};

/// The name at a position and its other uses; none where one would be left behind.
pub fn answer(here: &Here<'_, '_, '_>, at: Position) -> Option<LinkedEditingRanges> {
    let found = linked(here.snapshot, here.place(at));
    (!found.is_empty()).then(|| LinkedEditingRanges {
        ranges: found
            .into_iter()
            .map(|origin| here.range(origin.span))
            .collect(),
        word_pattern: None,
    })
}
