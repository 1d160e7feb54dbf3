//! `syntax/words.json`: the words as the tree-sitter grammar and the tests of
//! the editors read them.

use super::classes;
use retin_syntax::limits;
use retin_syntax::tables::properties::{ARGUMENTS, CHOICES, PROPERTIES, Property};
use retin_syntax::tables::{ClaimSource, Direction, Place, PropertyRow, Takes, kinds, verbs};
use retin_syntax::token::{RESERVED, Token};
use retin_syntax::value::unit::{ASKED_SPELLINGS, PREFIXES};
use retin_syntax::value::{UNITS, is_unit};
use serde_json::{Map, Value, json};
use std::collections::BTreeSet;

/// The whole file, ending in a newline.
pub fn text() -> String {
    let tokens = |tokens: &[Token]| -> Value {
        tokens
            .iter()
            .filter_map(|token| token.reserved_text())
            .collect()
    };
    let mut classes_by_name = Map::new();
    for class in classes::classes() {
        classes_by_name.insert(class.name.into(), json!(class.words));
    }
    let conditions: Vec<Token> = CHOICES
        .iter()
        .filter(|row| row.1 == Property::Condition)
        .map(|row| row.0)
        .collect();
    let table = json!({
        "headings": tokens(classes::HEADINGS),
        "kinds": tokens(&kinds::KINDS.iter().map(|row| row.token).collect::<Vec<_>>()),
        "families": tokens(
            &kinds::FAMILIES
                .iter()
                .map(|family| family.token)
                .chain([Token::Part])
                .collect::<Vec<_>>()
        ),
        "choices": tokens(&CHOICES.iter().map(|row| row.0).collect::<Vec<_>>()),
        "conditions": tokens(&conditions),
        "directions": Direction::all().map(Direction::word).collect::<Vec<_>>(),
        "sources": tokens(&ClaimSource::all().map(|row| row.1).collect::<Vec<_>>()),
        "planVerbs": tokens(&verbs::PLAN_VERBS.iter().map(|row| row.token).collect::<Vec<_>>()),
        "stepVerbs": tokens(&verbs::STEP_VERBS.iter().map(|row| row.0.token).collect::<Vec<_>>()),
        "logVerbs": tokens(
            &verbs::STEP_VERBS
                .iter()
                .map(|row| row.1)
                .chain(verbs::LOG_ONLY.iter().map(|row| row.0))
                .collect::<Vec<_>>()
        ),
        "properties": properties(),
        "units": units(),
        "depth": limits::DEPTH,
        "reserved": RESERVED.iter().map(|row| row.0).collect::<Vec<_>>(),
        "classes": classes_by_name,
    });
    let mut text = serde_json::to_string_pretty(&table).expect("words are written as JSON");
    text.push('\n');
    text
}

/// By place, the words that state a property there and what follows each.
fn properties() -> Value {
    let mut places = Map::new();
    for (place, name) in [
        (Place::Model, "model"),
        (Place::Board, "board"),
        (Place::Part, "part"),
        (Place::Shelf, "shelf"),
        (Place::Packages, "packages"),
        (Place::Devices, "devices"),
        (Place::Link, "link"),
        (Place::Job, "job"),
        (Place::Plan, "plan"),
        (Place::Steps, "steps"),
        (Place::Targets, "targets"),
        (Place::Log, "log"),
    ] {
        let mut words = Map::new();
        for row in PROPERTIES.iter().filter(|row| row.belongs_in(place)) {
            let Some(word) = row.token.and_then(Token::reserved_text) else {
                continue;
            };
            // The first row of a word is the one that the parser takes.
            words.entry(word).or_insert_with(|| takes(row));
        }
        places.insert(name.into(), Value::Object(words));
    }
    Value::Object(places)
}

fn takes(row: &PropertyRow) -> Value {
    let arguments = ARGUMENTS
        .iter()
        .filter(|argument| argument.0 == row.property)
        .flat_map(|argument| argument.1)
        .filter_map(|token| token.reserved_text())
        .collect::<Vec<_>>();
    let takes = match row.takes {
        Takes::Nothing => "nothing",
        Takes::Value => "value",
        Takes::Word if !arguments.is_empty() => return json!({ "choice": arguments }),
        Takes::Word => "word",
        Takes::Text => "text",
        Takes::Point => "point",
        Takes::Size => "size",
        Takes::WithNames => "with names",
        Takes::Names => "names",
    };
    json!(takes)
}

/// Every unit that may stand apart from its number, currencies among them.
pub fn units() -> Vec<String> {
    let prefixes: Vec<String> = [String::new()]
        .into_iter()
        .chain(PREFIXES.iter().flat_map(|prefix| {
            [prefix.symbol]
                .into_iter()
                .chain(prefix.spellings.iter().copied())
                .map(String::from)
        }))
        .collect();
    let spelled = UNITS.iter().flat_map(|unit| {
        [unit.symbol]
            .into_iter()
            .chain(unit.spellings.iter().copied())
    });
    let mut units: BTreeSet<String> = spelled
        .flat_map(|spelling| {
            prefixes
                .iter()
                .map(move |prefix| format!("{prefix}{spelling}"))
        })
        .chain(ASKED_SPELLINGS.iter().map(|asked| asked.written.to_owned()))
        .collect();
    // Currencies are three capital letters; those that can be paid in are read.
    for first in 'A'..='Z' {
        for second in 'A'..='Z' {
            for third in 'A'..='Z' {
                units.insert(format!("{first}{second}{third}"));
            }
        }
    }
    units.retain(|unit| is_unit(unit) && RESERVED.iter().all(|row| row.0 != unit));
    units.into_iter().collect()
}
