//! Hover.

use super::{markdown, plain};
use crate::serve::room::Here;
use retin::editor::hover;
use tower_lsp::lsp_types::{Hover, HoverContents, Position};

/// What is known of the word at a position.
pub fn answer(here: &Here<'_, '_, '_>, at: Position, reads_markdown: bool) -> Option<Hover> {
    let found = hover::hover(here.snapshot, here.place(at))?;
    let text = hover::markdown(&found);
    Some(Hover {
        contents: HoverContents::Markup(if reads_markdown {
            markdown(text)
        } else {
            plain(text)
        }),
        range: Some(here.range(found.origin.span)),
    })
}
