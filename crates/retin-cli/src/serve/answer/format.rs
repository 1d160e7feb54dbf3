//! Formatting.

use crate::serve::room::Here;
use retin::editor::format;
use tower_lsp::lsp_types::{Position, Range, TextEdit};

/// The whole document in its canonical form.
pub fn document(here: &Here<'_, '_, '_>) -> Vec<TextEdit> {
    here.text_edits(&format::document(here.snapshot, here.file))
}

/// The lines of a range in their canonical form.
pub fn range(here: &Here<'_, '_, '_>, range: Range) -> Vec<TextEdit> {
    here.text_edits(&format::range(here.snapshot, here.file, here.span(range)))
}

/// The indentation of a line that was just begun.
pub fn after_newline(here: &Here<'_, '_, '_>, at: Position) -> Vec<TextEdit> {
    here.text_edits(&format::after_newline(here.snapshot, here.place(at)))
}
