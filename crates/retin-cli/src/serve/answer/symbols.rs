//! The outline of a document, and a search for names.

use crate::serve::room::{Here, Room};
use retin::editor::symbols::{self, Symbol, What};
use tower_lsp::lsp_types::{DocumentSymbol, SymbolInformation, SymbolKind};

/// The outline of a document.
pub fn outline(here: &Here<'_, '_, '_>) -> Vec<DocumentSymbol> {
    symbols::outline(here.snapshot, here.file)
        .into_iter()
        .map(|symbol| document_symbol(here, symbol))
        .collect()
}

/// Names in all that is open, and in the files those use.
pub fn search(room: &Room<'_, '_>, query: &str) -> Vec<SymbolInformation> {
    let mut found: Vec<SymbolInformation> = Vec::new();
    for index in 0..room.roots().len() {
        if !room.speaks_for_itself(index) {
            continue;
        }
        let here = room.file(index, room.roots()[index].file);
        for symbol in symbols::search(here.snapshot, query) {
            let Some(location) = here.location(symbol.origin) else {
                continue;
            };
            if found.iter().any(|known| known.location == location) {
                continue;
            }
            #[allow(deprecated, reason = "the protocol's type still has the old field")]
            found.push(SymbolInformation {
                name: symbol.name,
                kind: kind(symbol.what),
                tags: None,
                deprecated: None,
                location,
                container_name: Some(symbol.container),
            });
        }
    }
    found
}

fn document_symbol(here: &Here<'_, '_, '_>, symbol: Symbol) -> DocumentSymbol {
    let children: Vec<DocumentSymbol> = symbol
        .children
        .into_iter()
        .map(|child| document_symbol(here, child))
        .collect();
    #[allow(deprecated, reason = "the protocol's type still has the old field")]
    DocumentSymbol {
        name: symbol.name,
        detail: (!symbol.detail.is_empty()).then_some(symbol.detail),
        kind: kind(symbol.what),
        tags: None,
        deprecated: None,
        range: here.range(symbol.whole.span),
        selection_range: here.range(symbol.origin.span),
        children: (!children.is_empty()).then_some(children),
    }
}

fn kind(what: What) -> SymbolKind {
    match what {
        What::Section(_) => SymbolKind::MODULE,
        What::Group => SymbolKind::CLASS,
        What::Part => SymbolKind::FIELD,
        What::Entry => SymbolKind::CONSTANT,
        What::Net => SymbolKind::INTERFACE,
        What::Plan => SymbolKind::METHOD,
        What::Step => SymbolKind::EVENT,
        What::Target => SymbolKind::NUMBER,
        What::Day => SymbolKind::NAMESPACE,
        What::Done => SymbolKind::EVENT,
    }
}
