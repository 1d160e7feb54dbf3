//! Facts in their one order, each in its one spelling.

use crate::lexer::may_take_unit;
use crate::span::Span;
use crate::tables::properties::{FUSE_SPEEDS, MAINS_CLASSES, PROPERTIES};
use crate::tables::{Kind, Property, Takes};
use crate::token::Token;
use crate::tree::{Fact, Word};
use crate::value::{self, Value};
use std::sync::LazyLock;

/// A fact, ready to be printed.
#[derive(Debug)]
pub(super) struct Piece {
    /// What it is sorted and placed by. A fact that could not be understood
    /// goes with the one before it.
    pub property: Property,
    /// Its canonical spelling.
    pub text: String,
    /// Where it was typed.
    pub span: Span,
    /// Whether it is a single word, neither reserved nor in quotes.
    is_word: bool,
    /// Whether it would be read as the unit of a number before it.
    may_be_unit: bool,
}

/// In which order facts are printed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Order {
    /// The order of the table of properties; facts of one property as typed.
    OfProperties,
    /// As typed.
    AsTyped,
}

/// The facts as they are to be printed.
///
/// `None` where they would be read otherwise in that order or spelling: a word
/// like `F` or `V` would come to stand behind a bare number and be its unit,
/// or a sign stands alone, which means something only where it stands.
pub(super) fn arrange<'f>(
    text: &str,
    facts: impl IntoIterator<Item = &'f Fact>,
    kind: Option<Kind>,
    order: Order,
) -> Option<Vec<Piece>> {
    let mut words = BareWords::new(kind);
    let mut before = Property::Kind;
    let mut pieces = Vec::new();
    for fact in facts {
        let mut piece = piece(text, fact, before, kind, &mut words)?;
        if order == Order::AsTyped {
            piece.property = fact.property.unwrap_or(Property::Value);
        }
        before = piece.property;
        pieces.push(piece);
    }
    if order == Order::OfProperties {
        pieces.sort_by_key(|piece| piece.property.order());
    }
    let joins = |pair: &[Piece]| {
        let (first, second) = (&pair[0], &pair[1]);
        let as_unit = second.may_be_unit && may_take_unit(last_word(&first.text));
        // `size 120, foo 80` would become one size without its comma.
        let as_size = second.is_word && first.property == Property::Size;
        as_unit || as_size
    };
    (!pieces.windows(2).any(joins)).then_some(pieces)
}

fn last_word(text: &str) -> &str {
    text.rsplit(' ').next().unwrap_or(text)
}

fn piece(
    text: &str,
    fact: &Fact,
    before: Property,
    kind: Option<Kind>,
    words: &mut BareWords,
) -> Option<Piece> {
    let made = |property: Property, text: String| Piece {
        property,
        text,
        span: fact.span,
        is_word: false,
        may_be_unit: false,
    };
    if let Some(property) = fact.property {
        return Some(made(property, named(text, fact, property)));
    }
    let [word] = fact.words[..] else {
        return Some(made(before, typed(fact.span.of(text))));
    };
    let spelling = typed(word.span.of(text));
    // A sign that stands alone means something only where it stands.
    if word.token != Token::Text && spelling != "?" && !spelling.chars().any(char::is_alphanumeric)
    {
        return None;
    }
    if matches!(word.token, Token::Text | Token::Unit) {
        let property = words.property_of(&spelling);
        return Some(Piece {
            is_word: word.token == Token::Unit,
            may_be_unit: word.token == Token::Unit,
            ..made(property, spelling)
        });
    }
    match value::read(&spelling) {
        // `7805` and `0017` may be types: only a number with a unit has another spelling.
        Ok(Value::Number(_)) => Some(made(Property::Value, spelling)),
        Ok(value) => {
            let property = Property::of_bare_value(&value, kind).unwrap_or(before);
            Some(made(property, value.to_string()))
        }
        Err(error) if error.kind.is_just_a_word() => Some(Piece {
            is_word: true,
            may_be_unit: value::is_unit(&spelling),
            ..made(words.property_of(&spelling), spelling)
        }),
        // It sets out to be a value: it stays where it is until it is mended.
        Err(_) => Some(made(before, spelling)),
    }
}

/// A fact that a reserved word introduces, or whose form says what it is.
fn named(text: &str, fact: &Fact, property: Property) -> String {
    let Some((first, last)) = fact.words.first().zip(fact.words.last()) else {
        return typed(fact.span.of(text));
    };
    let introduction = Span::new(fact.span.start, first.span.start).of(text);
    let mut out = typed(introduction);
    if !out.is_empty() {
        out.push(' ');
    }
    let is_named = first.span.start > fact.span.start;
    let has_values = property == Property::Price
        || (is_named && !matches!(takes_of(property), Some(Takes::Word | Takes::WithNames)));
    if property == Property::Size && fact.words.len() == 1 {
        out.push_str(&board_size(first.span.of(text)));
        return out;
    }
    let between = match property {
        Property::Matched => ", ",
        Property::At => ",",
        Property::Price => " at ",
        Property::Size => &size_separator(Span::new(first.span.end, last.span.start).of(text)),
        _ => " ",
    };
    for (index, word) in fact.words.iter().enumerate() {
        if index > 0 {
            out.push_str(between);
        }
        // What is no length makes no size: it stays as typed, to be asked about.
        let is_odd_size = property == Property::Size && !is_length(word.span.of(text));
        if has_values && word.token == Token::Number && !is_odd_size {
            out.push_str(&spell(text, *word));
        } else {
            out.push_str(word.span.of(text));
        }
    }
    out
}

fn is_length(text: &str) -> bool {
    match value::read(text) {
        Ok(Value::Number(_)) => true,
        Ok(Value::Quantity(quantity)) => quantity.dimension == value::Dimension::Length,
        _ => false,
    }
}

/// `120x80` as `120 x 80`.
fn board_size(text: &str) -> String {
    match value::read(text) {
        Ok(Value::Body(body @ value::Body::Round { .. })) => body.to_string().replace('x', " x "),
        Ok(value) => value.to_string(),
        Err(_) => typed(text),
    }
}

fn size_separator(between: &str) -> String {
    match typed(between).as_str() {
        "x" | "X" | "×" => " x ".to_owned(),
        other => format!(" {other} "),
    }
}

/// What follows the word that introduces a property.
fn takes_of(property: Property) -> Option<Takes> {
    static TAKES: LazyLock<[Option<Takes>; 256]> = LazyLock::new(|| {
        let mut table = [None; 256];
        for row in PROPERTIES.iter().filter(|row| row.token.is_some()) {
            table[row.property.order()] = Some(row.takes);
        }
        table
    });
    TAKES[property.order()]
}

/// A word in its canonical spelling where it is a value, else as typed.
pub(super) fn spell(text: &str, word: Word) -> String {
    let spelling = typed(word.span.of(text));
    if word.token != Token::Number {
        return spelling;
    }
    match value::read(&spelling) {
        Ok(value) => value.to_string(),
        Err(_) => spelling,
    }
}

/// The text as typed, blanks made single.
pub(super) fn typed(text: &str) -> String {
    if !text.contains(['\t', ' ']) || text.starts_with('"') {
        return text.to_owned();
    }
    let mut out = String::with_capacity(text.len());
    for word in text.split([' ', '\t', ',']).filter(|word| !word.is_empty()) {
        if !out.is_empty() {
            out.push(' ');
        }
        out.push_str(word);
    }
    out
}

/// Tells devices from packages among the bare words of a line, never
/// exchanging two of them: once a word is taken for a package, so are all
/// that follow.
struct BareWords {
    kind: Option<Kind>,
    any: bool,
    packages: bool,
}

impl BareWords {
    fn new(kind: Option<Kind>) -> Self {
        BareWords {
            kind,
            any: false,
            packages: false,
        }
    }

    fn property_of(&mut self, word: &str) -> Property {
        match self.kind.map(Kind::token) {
            Some(Token::Fuse) if FUSE_SPEEDS.contains(&word) => return Property::FuseSpeed,
            Some(Token::MainsCapacitor) if MAINS_CLASSES.contains(&word) => {
                return Property::MainsClass;
            }
            _ => {}
        }
        self.packages |= self.any || looks_like_package(word);
        self.any = true;
        if self.packages {
            Property::Package
        } else {
            Property::Device
        }
    }
}

/// Letters, a hyphen and a digit, as in `TO-92` and `DIP-14`.
fn looks_like_package(word: &str) -> bool {
    let word = word.strip_prefix('"').unwrap_or(word);
    word.split_once('-').is_some_and(|(letters, rest)| {
        !letters.is_empty()
            && letters.bytes().all(|byte| byte.is_ascii_alphabetic())
            && rest.starts_with(|first: char| first.is_ascii_digit())
    })
}
