//! Text to tokens.

use crate::span::Span;
use crate::token::Token;
use crate::tree::Lexeme;
use crate::value;
use logos::Logos;

/// Cuts a text into tokens; every byte that is not blank belongs to one.
pub fn lex(text: &str) -> Vec<Lexeme> {
    let mut lexemes: Vec<Lexeme> = Vec::with_capacity(text.len() / 6);
    let mut lexer = Token::lexer(text);
    while let Some(result) = lexer.next() {
        let range = lexer.span();
        let span = Span::new(range.start as u32, range.end as u32);
        let mut token = result.unwrap_or(Token::Stray);
        match token {
            // A unit may stand apart from its number, as in `10 µF`.
            Token::Word
                if matches!(lexemes.last(), Some((Token::Number, _)))
                    && value::is_unit(lexer.slice()) =>
            {
                token = Token::Unit;
            }
            // Prose is a whole line; elsewhere the bar is out of place.
            Token::Prose if !matches!(lexemes.last(), None | Some((Token::Newline, _))) => {
                token = Token::Stray;
            }
            _ => {}
        }
        lexemes.push((token, span));
    }
    lexemes
}
