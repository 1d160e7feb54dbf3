//! Counts above lines.

use crate::serve::room::Here;
use retin::editor::lens::lenses;
use tower_lsp::lsp_types::{CodeLens, Command};

/// What is said above the lines of a document.
pub fn answer(here: &Here<'_, '_, '_>) -> Vec<CodeLens> {
    lenses(here.snapshot, here.file)
        .into_iter()
        .map(|lens| CodeLens {
            range: here.range(lens.origin.span),
            // No command: it is there to be read.
            command: Some(Command {
                title: lens.title,
                command: String::new(),
                arguments: None,
            }),
            data: None,
        })
        .collect()
}
