//! Hints between the words.

use crate::serve::room::Here;
use retin::editor::inlay::inlay;
use tower_lsp::lsp_types::{InlayHint, InlayHintLabel, InlayHintTooltip, Range};

/// The hints of the lines that a range touches.
pub fn answer(here: &Here<'_, '_, '_>, range: Range) -> Vec<InlayHint> {
    if !here.room.desk.settings.hints {
        return Vec::new();
    }
    inlay(here.snapshot, here.file, here.span(range))
        .into_iter()
        .map(|hint| InlayHint {
            position: here.position(hint.position.offset),
            label: InlayHintLabel::String(hint.label),
            kind: None,
            text_edits: None,
            tooltip: Some(InlayHintTooltip::String(hint.doc.to_owned())),
            padding_left: Some(true),
            padding_right: None,
            data: None,
        })
        .collect()
}
