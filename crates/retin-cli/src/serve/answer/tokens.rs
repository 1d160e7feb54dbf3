//! Semantic colours.

use crate::serve::room::Here;
use retin::editor::tokens::{Class, Coloured, delta, tokens};
use retin_syntax::Span;
use tower_lsp::lsp_types::{
    SemanticToken, SemanticTokenModifier, SemanticTokenType, SemanticTokensEdit,
    SemanticTokensLegend,
};

/// The words for the classes; the standard's own where it has one that fits.
pub fn legend() -> SemanticTokensLegend {
    SemanticTokensLegend {
        token_types: Class::ALL.iter().map(|class| kind(*class)).collect(),
        token_modifiers: vec![SemanticTokenModifier::DECLARATION],
    }
}

fn kind(class: Class) -> SemanticTokenType {
    match class {
        Class::Heading => SemanticTokenType::NAMESPACE,
        Class::Keyword => SemanticTokenType::KEYWORD,
        Class::Verb => SemanticTokenType::FUNCTION,
        Class::Kind => SemanticTokenType::TYPE,
        Class::Property => SemanticTokenType::PROPERTY,
        Class::Source => SemanticTokenType::MODIFIER,
        Class::Value => SemanticTokenType::NUMBER,
        Class::Text | Class::Prose => SemanticTokenType::STRING,
        Class::Comment => SemanticTokenType::COMMENT,
        Class::Part => SemanticTokenType::VARIABLE,
        Class::Board => SemanticTokenType::STRUCT,
        Class::Net => SemanticTokenType::INTERFACE,
        Class::Lead => SemanticTokenType::PARAMETER,
        Class::Shelf => SemanticTokenType::ENUM_MEMBER,
        Class::Rule => SemanticTokenType::MACRO,
        Class::Step => SemanticTokenType::EVENT,
        Class::Device => SemanticTokenType::CLASS,
        Class::Name => SemanticTokenType::VARIABLE,
    }
}

/// The colours of a document, or of the lines that a span touches.
pub fn answer(here: &Here<'_, '_, '_>, span: Option<Span>) -> Vec<SemanticToken> {
    let mut line = 0;
    let mut start = 0;
    tokens(here.snapshot, here.file, span)
        .into_iter()
        .map(|word| {
            let range = here.range(word.span);
            let delta_line = range.start.line - line;
            if delta_line > 0 {
                start = 0;
            }
            let token = SemanticToken {
                delta_line,
                delta_start: range.start.character - start,
                length: range.end.character - range.start.character,
                token_type: number(&word),
                token_modifiers_bitset: u32::from(word.declares),
            };
            line = range.start.line;
            start = range.start.character;
            token
        })
        .collect()
}

fn number(word: &Coloured) -> u32 {
    Class::ALL
        .iter()
        .position(|class| *class == word.class)
        .unwrap_or_default() as u32
}

/// What has to be done to `old` to make it `new`; the protocol counts the five
/// numbers of each token.
pub fn edits(old: &[SemanticToken], new: &[SemanticToken]) -> Vec<SemanticTokensEdit> {
    delta(old, new)
        .into_iter()
        .map(|change| SemanticTokensEdit {
            start: change.start as u32 * 5,
            delete_count: change.removed as u32 * 5,
            data: Some(change.inserted),
        })
        .collect()
}
