//! The words that editors colour are those of the code.
//!
//! `UPDATE=1 cargo test -p retin-tests --test editors` rewrites them, in
//! `syntax/words.json` and in every grammar that keeps a place for them.

mod classes;
mod rewrite;
mod snippets;
mod sublime;
mod table;

use classes::Class;
use retin_syntax::token::RESERVED;
use std::path::{Path, PathBuf};

/// The files that keep places for words, from the top folder.
const FILES: &[&str] = &[
    "syntax/retin.tmLanguage.json",
    "editors/emacs/retin-mode.el",
    "editors/kate/retin.xml",
    "editors/sublime/Retin.sublime-syntax",
    "editors/vim/indent/retin.vim",
    "editors/vim/syntax/retin.vim",
    "editors/vscode/language-configuration.json",
];

fn top(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(path)
}

/// The classes of reserved words, and the units.
fn all_classes() -> Vec<Class> {
    let mut classes = classes::classes();
    classes.push(classes::headings());
    classes.push(Class {
        name: "units",
        words: table::units(),
    });
    classes
}

/// Compares a file with what it has to hold, or rewrites it.
fn hold(path: &str, wanted: &str) {
    let there = std::fs::read_to_string(top(path)).unwrap_or_default();
    if std::env::var_os("UPDATE").is_some() && there != wanted {
        std::fs::write(top(path), wanted).unwrap_or_else(|error| panic!("{path}: {error}"));
        return;
    }
    for (there, wanted) in there.lines().zip(wanted.lines()) {
        assert_eq!(
            there, wanted,
            "{path}: run UPDATE=1 cargo test -p retin-tests --test editors"
        );
    }
    assert_eq!(
        there.lines().count(),
        wanted.lines().count(),
        "{path}: run UPDATE=1 cargo test -p retin-tests --test editors"
    );
}

#[test]
fn the_table_of_words_is_that_of_the_code() {
    hold("syntax/words.json", &table::text());
}

#[test]
fn every_grammar_lists_the_words_of_the_code() {
    let classes = all_classes();
    for path in FILES {
        let text =
            std::fs::read_to_string(top(path)).unwrap_or_else(|error| panic!("{path}: {error}"));
        let extension = path.rsplit('.').next().unwrap_or("");
        hold(path, &rewrite::rewritten(&text, extension, &classes));
        assert!(
            text.contains("generated"),
            "{path} keeps no place for words"
        );
    }
}

#[test]
fn sublime_text_colours_the_example() {
    let grammar = std::fs::read_to_string(top("editors/sublime/Retin.sublime-syntax"))
        .expect("the grammar can be read");
    let wrong = sublime::mistakes(&grammar, &top("tests/clients/editors"));
    assert!(wrong.is_empty(), "{wrong}");
}

/// What Helix calls other than Neovim does.
const HELIX_NAMES: &[(&str, &str)] = &[
    ("@indent.begin", "@indent"),
    ("@number", "@constant.numeric"),
    ("@property", "@variable.other.member"),
];

#[test]
fn the_queries_of_helix_are_those_of_the_grammar() {
    for name in ["highlights.scm", "indents.scm"] {
        let mut text = std::fs::read_to_string(top("syntax/tree-sitter/queries").join(name))
            .expect("the queries can be read");
        for (neovim, helix) in HELIX_NAMES {
            text = text.replace(neovim, helix);
        }
        let made = format!("; Made from syntax/tree-sitter/queries/{name}.\n{text}");
        hold(&format!("editors/helix/queries/retin/{name}"), &made);
    }
}

#[test]
fn every_reserved_word_is_in_one_class() {
    let classes = classes::classes();
    let headings = classes::headings();
    for (word, token) in RESERVED {
        let times = classes
            .iter()
            .flat_map(|class| &class.words)
            .filter(|other| *other == *word)
            .count();
        let wanted =
            usize::from(times == 1 || !headings.words.iter().any(|heading| heading == word));
        assert_eq!(times, wanted, "{word} ({token:?})");
    }
}

#[test]
fn snippets_are_read_as_they_are_inserted() {
    let path = "editors/vscode/snippets.json";
    let text = std::fs::read_to_string(top(path)).expect("the snippets can be read");
    let snippets: serde_json::Map<String, serde_json::Value> =
        serde_json::from_str(&text).expect("the snippets are JSON");
    assert!(!snippets.is_empty());
    for (name, snippet) in &snippets {
        let inserted = snippets::placed(snippet);
        let tree = retin_syntax::parse(&inserted);
        assert!(
            tree.errors.is_empty(),
            "{name}: {:?} in\n{inserted}",
            tree.errors
        );
    }
}

#[test]
fn headings_are_what_a_file_may_begin_with() {
    let headings = classes::headings();
    for (word, _) in RESERVED {
        let tree = retin_syntax::parse(word);
        let is_refused_at_once = tree
            .errors
            .first()
            .is_some_and(|error| error.span.of(word) == *word);
        assert_eq!(
            !is_refused_at_once,
            headings.words.iter().any(|heading| heading == word),
            "{word}: {:?}",
            tree.errors
        );
    }
}
