//! The grammar of Sublime Text, run by a library that reads such grammars.

use serde_json::Value;
use std::path::Path;
use syntect::parsing::{ParseState, ScopeStack, SyntaxDefinition, SyntaxSetBuilder};

/// The scope of each thing that `tests/clients/editors/expected.json` names.
const SCOPES: &[(&str, &[&str])] = &[
    ("heading", &["keyword.control.heading.retin"]),
    ("section", &["entity.name.section.retin"]),
    ("kind", &["storage.type.kind.retin"]),
    (
        "name",
        &["entity.name.tag.retin", "variable.other.net.retin"],
    ),
    ("property", &["support.type.property-name.retin"]),
    ("choice", &["constant.language.choice.retin"]),
    ("direction", &["constant.language.direction.retin"]),
    ("source", &["keyword.other.source.retin"]),
    ("verb", &["keyword.other.verb.retin"]),
    ("line", &["keyword.other.line.retin"]),
    ("joining", &["keyword.operator.word.retin"]),
    (
        "number",
        &["constant.numeric.retin", "constant.numeric.moment.retin"],
    ),
    ("unknown", &["constant.language.unknown.retin"]),
    ("text", &["string.quoted.double.retin"]),
    ("prose", &["string.unquoted.prose.retin"]),
    ("comment", &["comment.line.number-sign.retin"]),
];

/// What is wrong, a line each; nothing where all is as expected.
///
/// # Panics
/// When the grammar cannot be read or run.
pub fn mistakes(grammar: &str, folder: &Path) -> String {
    let definition = SyntaxDefinition::load_from_str(grammar, true, None)
        .unwrap_or_else(|error| panic!("the grammar of Sublime Text: {error}"));
    let mut builder = SyntaxSetBuilder::new();
    builder.add(definition);
    let set = builder.build();
    let syntax = set
        .find_syntax_by_extension("retin")
        .expect("the grammar is for .retin files");
    let read = |name: &str| {
        std::fs::read_to_string(folder.join(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
    };
    let example = read("example.retin");
    let expected: Value = serde_json::from_str(&read("expected.json")).expect("JSON");
    let mut state = ParseState::new(syntax);
    let mut stack = ScopeStack::new();
    let mut wrong = String::new();
    for (index, line) in example.lines().enumerate() {
        let line = format!("{line}\n");
        let operations = state.parse_line(&line, &set).expect("the line is parsed");
        // The innermost scope of each byte.
        let mut scopes = vec![String::new(); line.len()];
        let mut operations = operations.iter().peekable();
        for (at, scope) in scopes.iter_mut().enumerate() {
            while let Some((_, operation)) = operations.next_if(|(start, _)| *start <= at) {
                stack.apply(operation).expect("scopes nest");
            }
            if let Some(innermost) = stack.as_slice().last() {
                *scope = innermost.build_string();
            }
        }
        for (_, operation) in operations {
            stack.apply(operation).expect("scopes nest");
        }
        let places = expected["places"].as_array().expect("a list of places");
        for place in places.iter().filter(|place| place["line"] == index + 1) {
            let word = place["word"].as_str().expect("a word");
            let is = place["is"].as_str().expect("what it is");
            let at = line.find(word).expect("the line holds the word");
            let wanted = SCOPES.iter().find(|row| row.0 == is).expect("a scope").1;
            if !wanted.contains(&scopes[at].as_str()) {
                wrong += &format!("{}: {word} is {}, not {wanted:?}\n", index + 1, scopes[at]);
            }
        }
    }
    wrong
}
