//! Folding.

use crate::serve::room::Here;
use retin::editor::folding::{What, folding};
use tower_lsp::lsp_types::{FoldingRange, FoldingRangeKind};

/// What can be folded away.
pub fn answer(here: &Here<'_, '_, '_>) -> Vec<FoldingRange> {
    folding(here.snapshot, here.file)
        .into_iter()
        .map(|fold| {
            let range = here.range(fold.origin.span);
            FoldingRange {
                start_line: range.start.line,
                end_line: range.end.line,
                kind: match fold.what {
                    What::Lines => None,
                    What::Comment | What::Prose => Some(FoldingRangeKind::Comment),
                    What::Uses => Some(FoldingRangeKind::Imports),
                },
                ..FoldingRange::default()
            }
        })
        .collect()
}
