//! Text to tokens.

use crate::span::Span;
use crate::tables::Direction;
use crate::token::Token;
use crate::tree::Lexeme;
use crate::value;
use logos::Logos;

/// The mark that some editors put before the first character of a file.
pub const BYTE_ORDER_MARK: char = '\u{feff}';

/// Where the text begins, a byte order mark left out.
pub(crate) fn first_byte(text: &str) -> u32 {
    if text.starts_with(BYTE_ORDER_MARK) {
        BYTE_ORDER_MARK.len_utf8() as u32
    } else {
        0
    }
}

/// Cuts a text into tokens; every byte that is not blank belongs to one, but
/// for a byte order mark at the start, which belongs to none.
pub fn lex(text: &str) -> Vec<Lexeme> {
    lex_part(text, 0, text.len() as u32)
}

/// Cuts the whole lines from one offset to another into tokens.
pub(crate) fn lex_part(text: &str, from: u32, to: u32) -> Vec<Lexeme> {
    let from = from.max(first_byte(text).min(to));
    let part = Span::new(from, to).of(text);
    let mut lexemes: Vec<Lexeme> = Vec::with_capacity(part.len() / 6);
    let mut lexer = Token::lexer(part);
    while let Some(result) = lexer.next() {
        let range = lexer.span();
        let span = Span::new(from + range.start as u32, from + range.end as u32);
        let mut token = result.unwrap_or(Token::Stray);
        match token {
            // A unit may stand apart from its number, as in `10 µF`.
            Token::Word
                if matches!(lexemes.last(), Some((Token::Number, number))
                    if may_take_unit(number.of(text)))
                    && value::is_unit(lexer.slice()) =>
            {
                token = Token::Unit;
            }
            // Prose is a whole line; elsewhere the bar is out of place.
            Token::Prose if !matches!(lexemes.last(), None | Some((Token::Newline, _))) => {
                token = Token::Stray;
            }
            // In `at 30,40 K east` the letter is a lead, not a unit.
            _ if Direction::of(token).is_some() => {
                if let Some((before @ Token::Unit, _)) = lexemes.last_mut() {
                    *before = Token::Word;
                }
            }
            _ => {}
        }
        lexemes.push((token, span));
    }
    lexemes
}

/// Whether a number may have its unit after a blank: it has none of its own,
/// and is not a type such as `2N3904`.
///
/// So `2A F` is a fuse's current and its speed, and never farads.
pub(crate) fn may_take_unit(number: &str) -> bool {
    number.ends_with(|last: char| last.is_ascii_digit() || last == '.')
        && number.chars().all(|letter| {
            letter.is_ascii_digit()
                || matches!(
                    letter,
                    '.' | '+' | '-' | '\u{2212}' | '±' | '/' | '…' | 'x' | 'X' | '×' | 'e'
                )
        })
}
