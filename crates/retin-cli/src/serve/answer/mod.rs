//! What the core says, in the words of the protocol. One feature is one file.

pub mod actions;
pub mod completion;
pub mod diagnostics;
pub mod folding;
pub mod format;
pub mod highlight;
pub mod hover;
pub mod inlay;
pub mod lens;
pub mod linked;
pub mod links;
pub mod navigate;
pub mod rename;
pub mod selection;
pub mod signature;
pub mod symbols;
pub mod tokens;

use super::room::Here;
use retin::finding::Fix;
use retin_syntax::value::{Date, TimeOfDay};
use std::collections::HashMap;
use tower_lsp::lsp_types::{MarkupContent, MarkupKind, TextEdit, Url, WorkspaceEdit};

/// The date and the time of day, by the clock of this machine.
fn now() -> (Date, TimeOfDay) {
    let now = jiff::ZonedDateTime::now();
    let time = TimeOfDay {
        hour: now.hour().unsigned_abs(),
        minute: now.minute().unsigned_abs(),
    };
    (Date(now.date()), time)
}

/// Text that is Markdown.
fn markdown(value: String) -> MarkupContent {
    MarkupContent {
        kind: MarkupKind::Markdown,
        value,
    }
}

/// Text that is just text.
fn plain(value: String) -> MarkupContent {
    MarkupContent {
        kind: MarkupKind::PlainText,
        value,
    }
}

/// The edits of a fix, over all files they touch.
fn workspace_edit(here: &Here<'_, '_, '_>, fix: &Fix) -> Option<WorkspaceEdit> {
    let mut changes: HashMap<Url, Vec<TextEdit>> = HashMap::new();
    for edit in &fix.edits {
        let location = here.location(edit.origin)?;
        changes.entry(location.uri).or_default().push(TextEdit {
            range: location.range,
            new_text: edit.text.clone(),
        });
    }
    Some(WorkspaceEdit {
        changes: Some(changes),
        ..WorkspaceEdit::default()
    })
}
