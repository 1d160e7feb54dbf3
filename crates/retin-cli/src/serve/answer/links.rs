//! Paths that lead to other files.

use crate::serve::room::Here;
use retin::editor::links::links;
use tower_lsp::lsp_types::{DocumentLink, Url};

/// The links of a document.
pub fn answer(here: &Here<'_, '_, '_>) -> Vec<DocumentLink> {
    links(here.snapshot, here.file)
        .into_iter()
        .filter_map(|link| {
            let target = here.root.folder.join(link.target);
            Some(DocumentLink {
                range: here.range(link.origin.span),
                target: Some(Url::from_file_path(target).ok()?),
                tooltip: None,
                data: None,
            })
        })
        .collect()
}
