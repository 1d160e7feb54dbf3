//! Every reserved word in the one class that editors colour it by.
//!
//! A word that may stand for several things is listed once, under the meaning
//! it has most often; a heading is told from its other meaning by its place at
//! the left margin.

use retin_syntax::tables::properties::{ARGUMENTS, CHOICES, PROPERTIES};
use retin_syntax::tables::{ClaimSource, Direction, kinds, verbs};
use retin_syntax::token::{RESERVED, Token};

/// What the words of one class are called in the grammars, and the words.
#[derive(Debug)]
pub struct Class {
    /// The name after `generated:`.
    pub name: &'static str,
    /// The words, in the order of the tables.
    pub words: Vec<String>,
}

/// Words that begin a line of their own and are no property of a part.
const LINES: &[Token] = &[
    Token::Changed,
    Token::Rail,
    Token::Net,
    Token::Zone,
    Token::Section,
    Token::Go,
    Token::Accept,
    Token::For,
    Token::Caution,
];

/// Words that join the slots of a line, though a table has them for more.
const JOINING: &[Token] = &[Token::On, Token::Because, Token::By];

/// Words that open a section at the left margin.
pub const HEADINGS: &[Token] = &[
    Token::Use,
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

/// Every class but the headings, each reserved word in one of them at most.
pub fn classes() -> Vec<Class> {
    let mut seen: Vec<Token> = Vec::new();
    let mut classes = Vec::new();
    let mut add = |name: &'static str, tokens: Vec<Token>| {
        let mut words = Vec::new();
        for token in tokens {
            if !seen.contains(&token) {
                seen.push(token);
                words.extend(token.reserved_text().map(str::to_owned));
            }
        }
        classes.push(Class { name, words });
    };
    add("joining", JOINING.to_vec());
    add("lines", LINES.to_vec());
    add("kinds", kinds::KINDS.iter().map(|row| row.token).collect());
    add(
        "families",
        kinds::FAMILIES
            .iter()
            .map(|family| family.token)
            .chain([Token::Part])
            .collect(),
    );
    add(
        "verbs",
        verbs::PLAN_VERBS
            .iter()
            .map(|row| row.token)
            .chain(
                verbs::STEP_VERBS
                    .iter()
                    .flat_map(|row| [row.0.token, row.1]),
            )
            .chain(verbs::LOG_ONLY.iter().map(|row| row.0))
            .collect(),
    );
    add("sources", ClaimSource::all().map(|row| row.1).collect());
    add(
        "directions",
        RESERVED
            .iter()
            .map(|row| row.1)
            .filter(|token| Direction::of(*token).is_some())
            .collect(),
    );
    add(
        "choices",
        CHOICES
            .iter()
            .map(|row| row.0)
            .chain(ARGUMENTS.iter().flat_map(|row| row.1.iter().copied()))
            .collect(),
    );
    add(
        "properties",
        PROPERTIES.iter().filter_map(|row| row.token).collect(),
    );
    add(
        "joining",
        RESERVED
            .iter()
            .map(|row| row.1)
            .filter(|token| !HEADINGS.contains(token))
            .collect(),
    );
    // What was set apart first and what is left over join alike.
    let rest = classes.pop().map(|class| class.words).unwrap_or_default();
    classes[0].words.extend(rest);
    classes
}

/// The headings, as a class of their own.
pub fn headings() -> Class {
    Class {
        name: "headings",
        words: HEADINGS
            .iter()
            .filter_map(|token| token.reserved_text())
            .map(str::to_owned)
            .collect(),
    }
}
