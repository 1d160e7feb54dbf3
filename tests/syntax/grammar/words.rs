//! The word lists of the grammar, made from the tables of the code.

use retin_syntax::tables::accidents::ACCIDENTS;
use retin_syntax::tables::properties::{ARGUMENTS, CHOICES, PROPERTIES};
use retin_syntax::tables::repairs::REPAIRS;
use retin_syntax::tables::{ClaimSource, Direction, Place, PropertyRow, Takes, kinds, verbs};
use retin_syntax::token::{RESERVED, Token};
use retin_syntax::value::UNITS;
use std::fmt::Write as _;

const OPENING: &str = "/* generated: words */\n";
const CLOSING: &str = "/* end of generated */\n";

/// The grammar with every list made anew.
pub fn rewritten(text: &str) -> String {
    let (before, rest) = text
        .split_once(OPENING)
        .expect("the grammar has a place for words");
    let (_, after) = rest
        .split_once(CLOSING)
        .expect("the place for words is closed");
    format!("{before}{OPENING}{}{CLOSING}{after}", lists())
}

fn lists() -> String {
    let mut text = String::new();
    list(
        &mut text,
        "kind",
        kinds::KINDS.iter().map(|row| literal(row.token)),
    );
    let families = kinds::FAMILIES.iter().map(|family| literal(family.token));
    list(&mut text, "family", families.chain([literal(Token::Part)]));
    list(
        &mut text,
        "choice",
        CHOICES.iter().map(|row| literal(row.0)),
    );
    list(
        &mut text,
        "direction",
        Direction::all().map(|direction| quoted(direction.word())),
    );
    list(
        &mut text,
        "claim-source",
        ClaimSource::all().map(|row| literal(row.1)),
    );
    list(
        &mut text,
        "plan-verb",
        verbs::PLAN_VERBS.iter().map(|row| literal(row.token)),
    );
    list(
        &mut text,
        "step-verb",
        verbs::STEP_VERBS.iter().map(|row| literal(row.0.token)),
    );
    let log_verbs = verbs::STEP_VERBS
        .iter()
        .map(|row| row.1)
        .chain(verbs::LOG_ONLY.iter().map(|row| row.0));
    list(&mut text, "log-verb", log_verbs.map(literal));
    let phrases = |words: &'static str| words.split(' ').map(quoted).collect::<Vec<_>>().join(" ");
    list(
        &mut text,
        "accident",
        ACCIDENTS.iter().map(|row| phrases(row.words)),
    );
    // A wire is written as a property, with its diameter.
    let repairs = REPAIRS.iter().filter(|row| row.words != "wire");
    list(&mut text, "repair", repairs.map(|row| phrases(row.words)));
    for (place, name) in [
        (Place::Model, "model"),
        (Place::Board, "board"),
        (Place::Part, "part"),
        (Place::Packages, "packages"),
        (Place::Devices, "devices"),
        (Place::Shelf, "shelf"),
        (Place::Job, "job"),
        (Place::Plan, "plan"),
        (Place::Targets, "targets"),
        (Place::Log, "log"),
    ] {
        let rows = PROPERTIES.iter().filter(|row| row.belongs_in(place));
        list(
            &mut text,
            &format!("{name}-property"),
            rows.filter_map(|row| property(row, place)),
        );
    }
    list(
        &mut text,
        "UNIT",
        units().into_iter().map(|unit| quoted(&unit)),
    );
    list(
        &mut text,
        "reserved",
        RESERVED.iter().map(|row| quoted(row.0)),
    );
    text
}

fn literal(token: Token) -> String {
    quoted(token.reserved_text().unwrap_or(""))
}

/// A literal; one that holds a double quote stands in single ones.
fn quoted(word: &str) -> String {
    if word.contains('"') {
        format!("'{word}'")
    } else {
        format!("\"{word}\"")
    }
}

fn list(text: &mut String, name: &str, words: impl Iterator<Item = String>) {
    let mut line = format!("{name:<11} ::= ");
    let mut is_first = true;
    for word in words {
        if !is_first && line.chars().count() + word.chars().count() + 3 > 100 {
            let _ = writeln!(text, "{}", line.trim_end());
            line = "              ".into();
        }
        if !is_first {
            line.push_str("| ");
        }
        line.push_str(&word);
        line.push(' ');
        is_first = false;
    }
    let _ = writeln!(text, "{}", line.trim_end());
}

/// What a property's row allows in a place.
fn property(row: &PropertyRow, place: Place) -> Option<String> {
    let word = literal(row.token?);
    let value = if place == Place::Targets {
        "limit"
    } else {
        "value"
    };
    Some(match row.takes {
        Takes::Nothing => word,
        Takes::Value => format!("{word} {value}"),
        Takes::Word => {
            let arguments = ARGUMENTS.iter().find(|argument| argument.0 == row.property);
            match arguments {
                Some((_, tokens)) => {
                    let tokens: Vec<String> = tokens.iter().copied().map(literal).collect();
                    format!("{word} ({})", tokens.join(" | "))
                }
                None => format!("{word} name"),
            }
        }
        Takes::Text => format!("{word} TEXT"),
        Takes::Point => format!("{word} value \",\" value"),
        Takes::Size => format!("{word} value (\"x\" value)?"),
        // A comma behind it goes on with the names, so it has a rule of its own.
        Takes::WithNames => return None,
        Takes::Names => format!("{word} names"),
    })
}

/// Every unit with every prefix, in every spelling that may stand apart, and
/// two of the currencies.
fn units() -> Vec<String> {
    let mut units = Vec::new();
    for unit in UNITS {
        for spelling in [unit.symbol]
            .into_iter()
            .chain(unit.spellings.iter().copied())
        {
            units.push(spelling.to_owned());
            units.extend(
                unit.prefixes
                    .chars()
                    .map(|prefix| format!("{prefix}{spelling}")),
            );
        }
    }
    units.extend(["EUR".to_owned(), "USD".to_owned()]);
    units
}
