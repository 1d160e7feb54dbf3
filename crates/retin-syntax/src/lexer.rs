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
                if matches!(lexemes.last(), Some((Token::Number, number)) if lacks_unit(number.of(text)))
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

/// Whether a number still wants its unit: it has none, or a prefix only. The
/// `F` behind `1A` is a fuse's speed and not a second unit.
fn lacks_unit(number: &str) -> bool {
    let letters = number
        .chars()
        .filter(|letter| !letter.is_ascii_digit() && !matches!(letter, '.' | '+' | '-' | '±' | '/'));
    let mut count = 0;
    for letter in letters {
        count += 1;
        if count > 1
            || !matches!(letter, 'p' | 'n' | 'u' | 'µ' | 'μ' | 'm' | 'k' | 'K' | 'M' | 'G' | 'R' | 'e' | 'E')
        {
            return false;
        }
    }
    true
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tokens(text: &str) -> Vec<Token> {
        lex(text).into_iter().map(|lexeme| lexeme.0).collect()
    }

    #[test]
    fn a_unit_may_stand_apart_from_its_number() {
        for text in ["10 µF", "4.7k ohm", "2n2 F", "7..36 V", "±20 %", "1e-6 F"] {
            assert_eq!(tokens(text), [Token::Number, Token::Unit], "{text}");
        }
    }

    #[test]
    fn a_fuse_speed_is_no_second_unit() {
        for text in ["1A F", "250VAC F", "5x20 F"] {
            assert_ne!(tokens(text), [Token::Number, Token::Unit], "{text}");
        }
    }
}
