//! The lines that most of every sheet is made of, parts and shelf entries, read
//! without the parsing library.
//!
//! Its rich errors cost several times the reading. So a line that is written as it
//! should be is read here, and one that is not goes to its grammar, which says
//! what is wrong with it. Both read a line the same.

use super::grammar::is_direction_of;
use super::records::{Shape, part_record};
use crate::span::Span;
use crate::tables::kinds;
use crate::tables::properties::{Place, Property, Takes, takes};
use crate::token::Token;
use crate::tree::{Fact, Facts, Lexeme, Pin, Record, Word};
use smallvec::{SmallVec, smallvec};

/// The record of a line of this shape; none where its grammar has to look at it.
pub(super) fn everyday(shape: Shape, tokens: &[Lexeme]) -> Option<Record> {
    let Shape::Part(place) = shape else {
        return None;
    };
    let mut line = Cursor {
        tokens,
        at: 0,
        place,
    };
    let names = line.names()?;
    let kind = match line.next_if(kinds::is_kind) {
        Some(kind) => {
            line.next_if(|token| token == Token::Comma);
            Some(kind)
        }
        None => None,
    };
    let mut facts = line.facts()?;
    let pins = match line.next_if(|token| token == Token::Open) {
        Some(_) => line.pins()?,
        None => Vec::new(),
    };
    if line.peek().is_some() {
        facts.extend(line.facts()?);
    }
    (line.at == tokens.len()).then(|| part_record(names, kind, facts, pins))
}

/// The tokens of a line, and how far they are read.
struct Cursor<'t> {
    tokens: &'t [Lexeme],
    at: usize,
    place: Place,
}

impl Cursor<'_> {
    fn peek(&self) -> Option<Token> {
        self.tokens.get(self.at).map(|lexeme| lexeme.0)
    }

    fn next_if(&mut self, accepts: impl Fn(Token) -> bool) -> Option<Word> {
        let &(token, span) = self.tokens.get(self.at)?;
        accepts(token).then(|| {
            self.at += 1;
            Word { span, token }
        })
    }

    fn wordlike(&mut self) -> Option<Word> {
        self.next_if(Token::is_wordlike)
    }

    fn names(&mut self) -> Option<Vec<Word>> {
        let mut names = vec![self.wordlike()?];
        while self.next_if(|token| token == Token::Comma).is_some() {
            names.push(self.wordlike()?);
        }
        Some(names)
    }

    /// What stands between the brackets, and the closing one.
    fn pins(&mut self) -> Option<Vec<Pin>> {
        let mut pins = Vec::with_capacity(2);
        loop {
            let lead = self.wordlike()?;
            let net = self.wordlike()?;
            pins.push(Pin { lead, net });
            let has_more = self.next_if(|token| token == Token::Comma).is_some();
            if self.next_if(|token| token == Token::Close).is_some() {
                return Some(pins);
            }
            if !has_more {
                return None;
            }
        }
    }

    /// Facts up to the brackets or to the end of the line.
    fn facts(&mut self) -> Option<Facts> {
        let mut facts = Vec::with_capacity(self.tokens.len().saturating_sub(self.at));
        while self.peek().is_some_and(|token| token != Token::Open) {
            facts.push(self.fact()?);
            self.next_if(|token| token == Token::Comma);
        }
        Some(facts)
    }

    /// A number with its unit, where that stands apart.
    fn value(&mut self) -> Option<Word> {
        let number = self.next_if(|token| token == Token::Number)?;
        let unit = self.next_if(|token| token == Token::Unit);
        Some(Word {
            span: unit.map_or(number.span, |unit| number.span.to(unit.span)),
            token: Token::Number,
        })
    }

    fn fact(&mut self) -> Option<Fact> {
        let begin = self.at;
        let first = self.next_if(|_| true)?;
        let token = first.token;
        let (property, words): (_, SmallVec<[Word; 2]>) =
            if let Some(row) = takes(token, self.place) {
                (Some(row.property), self.argument(row.takes)?)
            } else if let Some(direction) = self.next_if(|next| is_direction_of(token, next)) {
                (Some(Property::Orientation), smallvec![first, direction])
            } else if token == Token::Number {
                self.at = begin;
                let value = self.value()?;
                match self.price() {
                    Some(money) => (Some(Property::Price), smallvec![value, money]),
                    None => (None, smallvec![value]),
                }
            } else if kinds::is_kind(token) {
                (Some(Property::Kind), smallvec![first])
            } else {
                let property = Property::of_choice(token);
                if property.is_none() && !matches!(token, Token::Word | Token::Text | Token::Unit) {
                    return None;
                }
                (property, smallvec![first])
            };
        let last = self.tokens.get(self.at - 1)?.1;
        Some(Fact {
            span: Span::new(first.span.start, last.end),
            property,
            words,
        })
    }

    /// What follows the word of a property, where that is one value, one word, text or a point.
    fn argument(&mut self, wanted: Takes) -> Option<SmallVec<[Word; 2]>> {
        match wanted {
            Takes::Nothing => Some(smallvec![]),
            Takes::Value => {
                let coded = |line: &mut Self| line.next_if(|token| token == Token::Word);
                self.value()
                    .or_else(|| coded(self))
                    .map(|word| smallvec![word])
            }
            Takes::Word => self.wordlike().map(|word| smallvec![word]),
            Takes::Text => self
                .next_if(|token| token == Token::Text)
                .map(|word| smallvec![word]),
            Takes::Point => {
                let x = self.value()?;
                self.next_if(|token| token == Token::Comma)?;
                Some(smallvec![x, self.value()?])
            }
            Takes::Size | Takes::WithNames | Takes::Names => None,
        }
    }

    /// The money behind a quantity on a shelf, `10 at 1.72 EUR`.
    fn price(&mut self) -> Option<Word> {
        let before = self.at;
        let money = (self.place == Place::Shelf)
            .then(|| self.next_if(|token| token == Token::At))
            .flatten()
            .and_then(|_| self.value());
        if money.is_none() {
            self.at = before;
        }
        money
    }
}

#[cfg(test)]
mod tests {
    use super::super::records::Grammar;
    use super::*;
    use crate::lexer::lex;
    use chumsky::prelude::*;
    use proptest::prelude::*;

    const PLACES: [Place; 4] = [Place::Part, Place::Shelf, Place::Devices, Place::Packages];

    /// Whether a line that is read quickly is read the same by its grammar.
    fn agrees(text: &str) -> bool {
        let tokens = lex(text);
        let Some(end) = tokens.last().map(|lexeme| lexeme.1.end) else {
            return true;
        };
        let grammar = Grammar::new();
        PLACES.into_iter().all(|place| {
            let shape = Shape::Part(place);
            everyday(shape, &tokens).is_none_or(|quick| {
                let input = tokens.split_token_span(Span::new(end, end));
                grammar.rule(shape).parse(input).into_result() == Ok(quick)
            })
        })
    }

    #[test]
    fn parts_and_entries_are_read_quickly() {
        for text in [
            "C1, C3..C5  10 uF 25V  20%  5x11 p2  (+ V24, - GND)  at 30,40  + east",
            "R1 4k7 1% code R47 (1 n1, 2 GND,) because \"selected\"",
            "E-10-50 10uF 50V life 5000h have 3 1 at 0.20 EUR, 100 at 0.11 EUR bin A3",
            "Q1 npn TO-92, BC547 leads E-B-C",
        ] {
            let tokens = lex(text);
            let place = if text.starts_with('E') {
                Place::Shelf
            } else {
                Place::Part
            };
            assert!(everyday(Shape::Part(place), &tokens).is_some(), "{text}");
            assert!(agrees(text), "{text}");
        }
    }

    proptest! {
        #[test]
        fn quick_and_slow_read_a_line_the_same(words in proptest::collection::vec(
            proptest::sample::select(vec![
                "C1", "C2..C9", "10uF", "25V", "10", "uF", "µF", "20%", "5x11", "p2", "(", ")", "+", "-",
                "V24", "GND", ",", "at", "30", "40", "east", "west", "K", "radial", "electrolytic", "npn",
                "film", "code", "104J", "life", "5000h", "have", "EUR", "1.72", "bin", "\"text\"", "marked",
                "because", "mains", "across", "unfitted", "matched", "with", "and", "in", "series", "on",
                "size", "120", "x", "log", "?", "shaft", "6mm", "leads", "E-B-C", "device", "R47", "every",
                "board", "to", "lot", "sampled", "solder-side", "zone", "pack",
            ]),
            1..14,
        )) {
            let text = words.join(" ");
            prop_assert!(agrees(&text), "{text}");
        }
    }
}
