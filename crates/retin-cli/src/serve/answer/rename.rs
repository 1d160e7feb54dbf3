//! A new name.

use super::workspace_edit;
use crate::serve::room::Here;
use retin::editor::rename::{prepare, rename};
use tower_lsp::lsp_types::{Position, PrepareRenameResponse, WorkspaceEdit};

/// The name that would change.
///
/// # Errors
/// The reason why none can, as a sentence.
pub fn prepared(here: &Here<'_, '_, '_>, at: Position) -> Result<PrepareRenameResponse, String> {
    prepare(here.snapshot, here.place(at))
        .map(|origin| PrepareRenameResponse::Range(here.range(origin.span)))
        .map_err(|refusal| refusal.0)
}

/// The edits that change it.
///
/// # Errors
/// The reason why it cannot, as a sentence.
pub fn answer(
    here: &Here<'_, '_, '_>,
    at: Position,
    name: &str,
) -> Result<Option<WorkspaceEdit>, String> {
    rename(here.snapshot, here.place(at), name)
        .map(|fix| workspace_edit(here, &fix))
        .map_err(|refusal| refusal.0)
}
