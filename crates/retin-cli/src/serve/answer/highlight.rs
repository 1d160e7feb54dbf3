//! Uses of a name within its document.

use crate::serve::room::Here;
use retin::editor::mention::Role;
use retin::editor::navigate::highlight;
use tower_lsp::lsp_types::{DocumentHighlight, DocumentHighlightKind, Position};

/// Where the name at a position is used in this document.
pub fn answer(here: &Here<'_, '_, '_>, at: Position) -> Vec<DocumentHighlight> {
    highlight(here.snapshot, here.place(at))
        .into_iter()
        .map(|found| DocumentHighlight {
            range: here.range(found.origin.span),
            kind: Some(match found.role {
                Role::Declares => DocumentHighlightKind::WRITE,
                Role::Uses => DocumentHighlightKind::READ,
            }),
        })
        .collect()
}
