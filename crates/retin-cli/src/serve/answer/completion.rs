//! Completion.

use super::now;
use crate::serve::room::Here;
use retin::editor::completion::{Insert, What, completion_at};
use tower_lsp::lsp_types::{
    CompletionItem, CompletionItemKind, CompletionTextEdit, Documentation, InsertTextFormat,
    Position, TextEdit,
};

/// Letters that ask for a list as soon as they are typed.
pub const TRIGGERS: [&str; 3] = [".", "(", "\""];

/// What may be written at a position, likeliest first.
pub fn answer(here: &Here<'_, '_, '_>, at: Position, takes_snippets: bool) -> Vec<CompletionItem> {
    completion_at(here.snapshot, here.place(at), Some(now()))
        .into_iter()
        .map(|found| {
            let (new_text, format) = match &found.insert {
                Insert::Text(text) => (text.clone(), InsertTextFormat::PLAIN_TEXT),
                Insert::Snippet(snippet) if takes_snippets => {
                    (snippet.dollars(), InsertTextFormat::SNIPPET)
                }
                Insert::Snippet(snippet) => (snippet.plain(), InsertTextFormat::PLAIN_TEXT),
            };
            CompletionItem {
                kind: Some(kind(found.what)),
                detail: (!found.detail.is_empty()).then_some(found.detail),
                // A plain text is what every editor can show.
                documentation: (!found.doc.is_empty()).then_some(Documentation::String(found.doc)),
                // The order is ours: what fits best stands first.
                sort_text: Some(format!("{:05}", found.rank)),
                filter_text: Some(found.label.clone()),
                label: found.label,
                insert_text_format: Some(format),
                text_edit: Some(CompletionTextEdit::Edit(TextEdit {
                    range: here.range(found.replaces.span),
                    new_text,
                })),
                ..CompletionItem::default()
            }
        })
        .collect()
}

fn kind(what: What) -> CompletionItemKind {
    match what {
        What::Keyword => CompletionItemKind::KEYWORD,
        What::Section => CompletionItemKind::MODULE,
        What::Kind => CompletionItemKind::CLASS,
        What::Property => CompletionItemKind::PROPERTY,
        What::Unit => CompletionItemKind::UNIT,
        What::Part => CompletionItemKind::FIELD,
        What::Board => CompletionItemKind::STRUCT,
        What::Net => CompletionItemKind::INTERFACE,
        What::Shelf => CompletionItemKind::CONSTANT,
        What::Rule => CompletionItemKind::OPERATOR,
        What::Step => CompletionItemKind::EVENT,
        What::Name => CompletionItemKind::VARIABLE,
    }
}
