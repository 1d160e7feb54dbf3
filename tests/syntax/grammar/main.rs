//! The formal grammar against the parser: every file that can be derived from
//! `syntax/grammar.ebnf` is read, and its lists of words are the code's.
//!
//! `UPDATE=1 cargo test -p retin-tests --test grammar` rewrites the lists.

mod words;

use retin_syntax::token::RESERVED;
use retin_syntax::tree::Record;
use retin_tests::derive::Derivation;
use retin_tests::ebnf::Grammar;

/// Where the grammar stands.
const GRAMMAR: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../syntax/grammar.ebnf");

fn grammar_text() -> String {
    std::fs::read_to_string(GRAMMAR).expect("syntax/grammar.ebnf can be read")
}

#[test]
fn the_lists_of_words_are_those_of_the_code() {
    let text = grammar_text();
    let updated = words::rewritten(&text);
    if std::env::var_os("UPDATE").is_some() && updated != text {
        std::fs::write(GRAMMAR, &updated).expect("syntax/grammar.ebnf can be written");
        return;
    }
    for (there, wanted) in text.lines().zip(updated.lines()) {
        assert_eq!(
            there, wanted,
            "run UPDATE=1 cargo test -p retin-tests --test grammar"
        );
    }
    assert_eq!(
        text.lines().count(),
        updated.lines().count(),
        "a list is too short or too long"
    );
}

#[test]
fn every_rule_is_defined_and_used() {
    let grammar = Grammar::read(&grammar_text());
    let used = grammar.used();
    for name in &used {
        assert!(
            grammar.rule(name).is_some() || matches!(name.as_str(), "INDENT" | "DEDENT"),
            "{name} is not defined"
        );
    }
    for name in grammar.names() {
        let is_used = used.iter().any(|used| used == name);
        assert!(
            is_used || matches!(name, "file" | "COMMENT"),
            "{name} is used nowhere"
        );
    }
}

/// The list `reserved` would make this true of any word, so it does not count.
#[test]
fn every_reserved_word_has_its_place() {
    let grammar = Grammar::read(&grammar_text());
    let literals = grammar.literals_but_of("reserved");
    for (word, _) in RESERVED {
        assert!(
            literals.contains(*word),
            "no rule of the grammar says where `{word}` stands"
        );
    }
}

#[test]
fn what_the_grammar_derives_is_read() {
    let grammar = Grammar::read(&grammar_text());
    let mut lines = 0;
    for seed in 1..=2000 {
        let text = Derivation::new(&grammar, seed).file();
        let tree = retin_syntax::parse(&text);
        lines += tree.lines.len();
        if let Some(error) = tree.errors.first() {
            let start = text[..error.span.start as usize]
                .rfind('\n')
                .map_or(0, |at| at + 1);
            let line = text[start..].lines().next().unwrap_or("");
            panic!(
                "seed {seed}: {} at {:?} of\n{line}\nin\n{text}",
                error.message,
                error.span.of(&text)
            );
        }
        assert!(tree.lines.iter().all(|line| line.record != Record::Broken));
        assert_eq!(tree.lines.len(), text.lines().count(), "seed {seed}");
    }
    assert!(lines > 5_000, "only {lines} lines were derived");
}
