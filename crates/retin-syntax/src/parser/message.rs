//! What a technician is told when a line cannot be read.

use super::records::Shape;
use super::why::{Expected, Why};
use crate::span::Span;
use crate::tables::properties::{PROPERTIES, Place};
use crate::tables::{kinds, verbs};
use crate::token::Token;
use crate::tree::SyntaxError;

/// The words that may stand at the left margin.
pub(super) const HEADINGS: &[Token] = &[
    Token::Model,
    Token::Board,
    Token::Wiring,
    Token::Link,
    Token::Shelf,
    Token::Packages,
    Token::Devices,
    Token::Minutes,
    Token::Job,
    Token::Found,
    Token::Plan,
    Token::Steps,
    Token::Targets,
    Token::Log,
];

/// The reserved word nearest to what was typed, if it is near.
pub(super) fn nearest(
    typed: &str,
    words: impl Iterator<Item = &'static str>,
) -> Option<&'static str> {
    words
        .map(|word| {
            (
                strsim::damerau_levenshtein(&typed.to_lowercase(), word),
                word,
            )
        })
        .filter(|(distance, word)| *distance <= 1 + word.len() / 5 && *distance < word.len())
        .min()
        .map(|(_, word)| word)
}

fn texts(tokens: &[Token]) -> impl Iterator<Item = &'static str> + Clone + '_ {
    tokens.iter().filter_map(|token| token.reserved_text())
}

fn unknown_word(
    at: Span,
    text: &str,
    whose: &str,
    words: impl Iterator<Item = &'static str>,
    otherwise: String,
) -> SyntaxError {
    let typed = at.of(text);
    let is_heading = texts(HEADINGS).any(|word| word == typed);
    let (help, edits) = match is_heading {
        true => (
            format!("`{typed}` opens a section: take away the blanks before it"),
            Vec::new(),
        ),
        false => suggestion(at, nearest(typed, words), || otherwise),
    };
    SyntaxError {
        span: at,
        message: format!("`{typed}` is not a word that {whose} begins with"),
        help: Some(help),
        edits,
    }
}

/// The help for a word that is spelled nearly like one that could stand there.
fn suggestion(
    at: Span,
    word: Option<&'static str>,
    otherwise: impl FnOnce() -> String,
) -> (String, Vec<(Span, String)>) {
    match word {
        Some(word) => (
            format!("did you mean `{word}`?"),
            vec![(at, word.to_owned())],
        ),
        None => (otherwise(), Vec::new()),
    }
}

pub(super) fn not_a_heading(at: Span, text: &str) -> SyntaxError {
    let words = texts(HEADINGS).chain(["use"]);
    let all: Vec<_> = words.clone().map(|word| format!("`{word}`")).collect();
    unknown_word(
        at,
        text,
        "a line at the left margin",
        words,
        format!(
            "at the left margin stand {}; what belongs to one of them is indented below it",
            all.join(", ")
        ),
    )
}

fn property_words(place: Place) -> impl Iterator<Item = &'static str> {
    PROPERTIES
        .iter()
        .filter(move |row| row.belongs_in(place))
        .filter_map(|row| row.token?.reserved_text())
}

pub(super) fn not_a_property(at: Span, place: Place, text: &str) -> SyntaxError {
    let all: Vec<_> = property_words(place)
        .map(|word| format!("`{word}`"))
        .collect();
    unknown_word(
        at,
        text,
        "a line here",
        property_words(place),
        format!("here may stand {}", all.join(", ")),
    )
}

pub(super) fn not_a_board_line(at: Span, text: &str) -> SyntaxError {
    let kinds = kinds::KINDS
        .iter()
        .filter_map(|row| row.token.reserved_text());
    let words = property_words(Place::Board)
        .chain(["rail", "net", "zone"])
        .chain(kinds);
    unknown_word(
        at,
        text,
        "a line of a board",
        words,
        "a part stands in a group of its kind, or names its kind: `C5 electrolytic 10uF 25V`"
            .into(),
    )
}

/// The kind that the first word of a line is nearly, where it is likely to be no name:
/// in names of parts there are figures, and a short word is soon like another.
pub(super) fn nearly_a_kind(first: Token, at: Span, text: &str) -> Option<&'static str> {
    let typed = at.of(text);
    let is_name = first != Token::Word || typed.bytes().any(|byte| byte.is_ascii_digit());
    if is_name {
        return None;
    }
    let typed = typed.to_lowercase();
    let kinds = kinds::KINDS
        .iter()
        .filter_map(|row| row.token.reserved_text());
    kinds
        .filter(|kind| kind.len() >= 4)
        .map(|kind| (strsim::damerau_levenshtein(&typed, kind), kind))
        .filter(|(distance, kind)| *distance <= kind.len() / 4)
        .min()
        .map(|(_, kind)| kind)
}

pub(super) fn not_a_group(at: Span, kind: &'static str, text: &str) -> SyntaxError {
    let typed = at.of(text);
    SyntaxError {
        span: at,
        message: format!("`{typed}` is not a kind of part"),
        help: Some(format!(
            "did you mean `{kind}`? a part that is called so has its name in quotes"
        )),
        edits: vec![(at, kind.to_owned())],
    }
}

pub(super) fn not_a_claim(at: Span, text: &str) -> SyntaxError {
    let words = crate::tables::ClaimSource::all()
        .filter_map(|row| row.1.reserved_text())
        .chain(["go by", "section", "on"]);
    let all: Vec<_> = words.clone().map(|word| format!("`{word}`")).collect();
    unknown_word(
        at,
        text,
        "a line below a part",
        words,
        format!(
            "below a part stand claims and what the job goes by: {}",
            all.join(", ")
        ),
    )
}

pub(super) fn not_a_plan_verb(at: Span, text: &str) -> SyntaxError {
    let words = verbs::PLAN_VERBS
        .iter()
        .filter_map(|row| row.token.reserved_text())
        .chain(["accept"]);
    let all: Vec<_> = words.clone().map(|word| format!("`{word}`")).collect();
    unknown_word(
        at,
        text,
        "a plan line",
        words,
        format!("a plan line begins with {}", all.join(", ")),
    )
}

pub(super) fn not_a_step_verb(at: Span, text: &str) -> SyntaxError {
    let words = verbs::STEP_VERBS
        .iter()
        .filter_map(|row| row.0.token.reserved_text());
    let all: Vec<_> = words.clone().map(|word| format!("`{word}`")).collect();
    unknown_word(
        at,
        text,
        "a line of minutes",
        words,
        format!("a line of minutes begins with {}", all.join(", ")),
    )
}

/// An entry whose verb is none, or stands in the imperative.
pub(super) fn not_a_log_verb(
    first: (Token, Span),
    second: Option<(Token, Span)>,
    text: &str,
) -> SyntaxError {
    for (token, at) in [Some(first), second].into_iter().flatten() {
        if let Some(past) = verbs::past_of(token) {
            return SyntaxError {
                span: at,
                message: format!("the log is in the past tense: `{past}`"),
                help: Some(format!("write `{past}` for `{}`", at.of(text))),
                edits: vec![(at, past.to_owned())],
            };
        }
        if token == Token::Word
            && let Some(near) = nearest(at.of(text), log_words())
        {
            return SyntaxError {
                span: at,
                message: format!("`{}` is not a word that says what was done", at.of(text)),
                help: Some(format!("did you mean `{near}`?")),
                edits: vec![(at, near.to_owned())],
            };
        }
    }
    let all: Vec<_> = log_words().map(|word| format!("`{word}`")).collect();
    SyntaxError {
        span: first.1,
        message: format!(
            "`{}` is not a word that says what was done",
            first.1.of(text)
        ),
        help: Some(format!(
            "an entry is a time, who did it, and what was done: {}",
            all.join(", ")
        )),
        edits: Vec::new(),
    }
}

fn log_words() -> impl Iterator<Item = &'static str> {
    verbs::LogVerb::tokens().filter_map(Token::reserved_text)
}

/// A verb of the log where a plan or a step says what is to be done.
pub(super) fn past_in_a_plan(verb: Token, at: Span, text: &str) -> SyntaxError {
    let typed = at.of(text);
    match verbs::imperative_of(verb) {
        Some(imperative) => SyntaxError {
            span: at,
            message: format!("plans and steps are in the imperative: `{imperative}`"),
            help: Some(format!(
                "write `{imperative}` for `{typed}`; what was done stands in the log"
            )),
            edits: vec![(at, imperative.to_owned())],
        },
        None => SyntaxError {
            span: at,
            message: format!("`{typed}` stands in the log only"),
            help: Some("move the line below a day of the log".into()),
            edits: Vec::new(),
        },
    }
}

pub(super) fn property_below_group(at: Span, text: &str) -> SyntaxError {
    let typed = at.of(text);
    SyntaxError {
        span: at,
        message: format!(
            "`{typed}` is a property, and a line below a group begins with a part's name"
        ),
        help: Some(format!(
            "write the property on the group's own line; if a part is called {typed}, put the name in quotes"
        )),
        edits: Vec::new(),
    }
}

/// A sentence for the first error of a line's grammar.
pub(super) fn describe(shape: Shape, why: &Why, text: &str) -> SyntaxError {
    let typed = why.span.of(text).trim();
    let mut expected: Vec<String> = why.expected().filter_map(phrase).collect();
    expected.sort();
    expected.dedup();
    let found = if typed.is_empty() {
        "the line ends too early".to_owned()
    } else {
        format!("`{typed}` cannot stand here")
    };
    let wanted = match expected.as_slice() {
        [] => String::new(),
        [one] => format!(": {one} was expected"),
        [many @ .., last] => format!(": {} or {last} was expected", many.join(", ")),
    };
    let words = why.expected().filter_map(|expected| match expected {
        Expected::Token(token) => token.reserved_text(),
        Expected::Sort(_) => None,
    });
    let (help, edits) = match typed.starts_with(PRINTED_QUOTES) {
        true => {
            let text = typed.trim_matches(PRINTED_QUOTES);
            let help = format!("these quotes are for print; write `\"{text}\"`");
            (help, vec![(why.span, format!("\"{text}\""))])
        }
        false => suggestion(why.span, nearest(typed, words), || {
            format!("{} is written `{}`", whole(shape).0, whole(shape).1)
        }),
    };
    SyntaxError {
        span: why.span,
        message: format!("{found}{wanted}"),
        help: Some(help),
        edits,
    }
}

/// Quotes that text processors put for plain ones.
const PRINTED_QUOTES: [char; 8] = [
    '\u{201c}', '\u{201d}', '\u{201e}', '\u{201f}', '\u{ab}', '\u{bb}', '\u{2018}', '\u{2019}',
];

fn phrase(expected: Expected) -> Option<String> {
    Some(match expected {
        Expected::Token(Token::Comma) => "a comma".into(),
        Expected::Token(Token::Open) => "`(`".into(),
        Expected::Token(Token::Close) => "`)`".into(),
        Expected::Token(token) => format!("`{}`", token.reserved_text()?),
        Expected::Sort(sort) => sort.phrase().into(),
    })
}

/// What a line of this shape is called, with an example of one.
fn whole(shape: Shape) -> (&'static str, &'static str) {
    match shape {
        Shape::Use => ("a file to read", "use \"models/lm8.retin\""),
        Shape::Heading => ("a heading", "board psu \"Power supply\""),
        Shape::Setting(_) => ("a property", "headroom 38mm"),
        Shape::Rail => ("a rail", "rail V24 24V ±5%"),
        Shape::Net => ("a net", "net BIAS \"output bias\""),
        Shape::Zone => ("a zone", "zone A 0,0 to 60,40"),
        Shape::Changed => (
            "a change of the model sheet",
            "changed 4 psu.C1 \"corrected from the list\"",
        ),
        Shape::Group(_) => ("a group", "electrolytic 85°C radial"),
        Shape::Part(Place::Shelf) => (
            "a shelf entry",
            "E-10-25 10uF 25V 5x11 p2 have 40 1 at 0.12 EUR",
        ),
        Shape::Part(Place::Packages) => ("a package", "TO-92 leads 3 p1.27"),
        Shape::Part(Place::Devices) => ("a device", "2N3904 TO-92 leads E-B-C"),
        Shape::Part(_) => ("a part", "C1 10uF 25V 5x11 p2 (+ V24, - GND) at 30,40"),
        Shape::Claim => ("a claim", "found 22uF 16V"),
        Shape::GoBy => ("what the job goes by", "go by found"),
        Shape::Section => ("a section", "section a 8uF 450V (+ B+, - GND)"),
        Shape::Exception => ("an exception", "on ch8 22uF because \"factory change\""),
        Shape::Pace => (
            "how long something takes",
            "remove integrated-circuit 15s per lead",
        ),
        Shape::Join => ("a link line", "psu.V24 to ch1..ch8.V24"),
        Shape::Survey => ("a line of what was found", "psu.C1 3300uF 35V"),
        Shape::Plan => (
            "a plan line",
            "replace every electrolytic on ch1..ch8 except ch3.C12 from main",
        ),
        Shape::Accept => (
            "an overruling",
            "accept value-mismatch on psu.C1 because \"…\"",
        ),
        Shape::For => (
            "what an overruling was given for",
            "for 22uF in place of 10uF",
        ),
        Shape::Step => (
            "a step",
            "strip remove every electrolytic after photos 90min",
        ),
        Shape::Caution => ("a caution", "caution \"the reservoir holds its charge\""),
        Shape::Target => ("a target", "psu.V24 24V ±2% ripple below 5mV"),
        Shape::Day => ("a day of the log", "2026-11-03"),
        Shape::Entry => (
            "an entry of the log",
            "09:40 measured psu.C1 1840uF, esr 0.62ohm",
        ),
    }
}
