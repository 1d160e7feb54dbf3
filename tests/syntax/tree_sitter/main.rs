//! The tree-sitter grammar: its generated parser is up to date, reads what the
//! program reads and refuses what the program refuses, and its queries work.
//!
//! `UPDATE=1 cargo test -p retin-tests --test tree_sitter` generates the parser
//! anew from `grammar.js`; that needs Node.js.

mod cases;
mod queries;

use serde_json::{Value, json};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::process::Command;

/// What the generator writes, below `src`.
const GENERATED: &[&str] = &[
    "grammar.json",
    "node-types.json",
    "parser.c",
    "tree_sitter/alloc.h",
    "tree_sitter/array.h",
    "tree_sitter/parser.h",
];

/// The newest form of parsers, which has reserved words.
const ABI: usize = 15;

fn top() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn grammar() -> PathBuf {
    top().join("syntax/tree-sitter")
}

/// Compiles the parser into a library of this name.
fn library(name: &str) -> PathBuf {
    let target = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("{name}.so"));
    let source = grammar().join("src");
    let output = Command::new("cc")
        .args([
            "-O1", "-Wall", "-Wextra", "-Werror", "-shared", "-fPIC", "-I",
        ])
        .arg(&source)
        .arg("-o")
        .arg(&target)
        .args([source.join("parser.c"), source.join("scanner.c")])
        .output()
        .expect("a C compiler is there");
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    target
}

#[test]
fn the_generated_parser_is_that_of_the_grammar() {
    let fresh = tempfile::tempdir().expect("a folder for the parser");
    let mut diagnostics = Vec::new();
    tree_sitter_generate::generate_parser_in_directory(
        grammar(),
        Some(fresh.path()),
        None::<PathBuf>,
        ABI,
        None,
        Some("node"),
        true,
        tree_sitter_generate::OptLevel::default(),
        &mut diagnostics,
    )
    .unwrap_or_else(|error| panic!("the grammar cannot be generated: {error}"));
    assert!(diagnostics.is_empty(), "{diagnostics:?}");
    for name in GENERATED {
        let new = std::fs::read_to_string(fresh.path().join(name)).expect("the file was written");
        let path = grammar().join("src").join(name);
        let old = std::fs::read_to_string(&path).unwrap_or_default();
        if old == new {
            continue;
        }
        assert!(
            std::env::var_os("UPDATE").is_some(),
            "syntax/tree-sitter/src/{name} is not that of grammar.js: \
             run UPDATE=1 cargo test -p retin-tests --test tree_sitter"
        );
        std::fs::write(&path, new).expect("the file can be written");
    }
}

/// Whether the program refuses a text.
fn is_refused(text: &str) -> bool {
    !retin_syntax::parse(text).errors.is_empty()
}

/// Both parsers say the same of every text.
fn compare(name: &str, texts: &[String]) {
    let request = json!({ "library": library(name), "texts": texts });
    let answer = retin_tests::python::run(include_str!("verdicts.py"), &request.to_string());
    let verdicts: Vec<bool> = serde_json::from_str(&answer).expect("Python prints a list");
    assert_eq!(verdicts.len(), texts.len());
    let mut wrong = String::new();
    let mut count = 0;
    for (text, there) in texts.iter().zip(verdicts) {
        let here = is_refused(text);
        if here != there {
            count += 1;
            let _ = writeln!(
                wrong,
                "the program {} and tree-sitter {}:\n{text}",
                if here { "refuses" } else { "reads" },
                if there { "refuses" } else { "reads" }
            );
        }
    }
    assert_eq!(count, 0, "of {} texts:\n{wrong}", texts.len());
}

#[test]
fn whole_files_are_read_alike() {
    let texts: Vec<String> = cases::files(&top())
        .into_iter()
        .map(|file| file.1)
        .collect();
    compare("files", &texts);
}

#[test]
fn outlines_are_read_alike() {
    let texts: Vec<String> = cases::OUTLINES.iter().map(|text| (*text).into()).collect();
    compare("outlines", &texts);
}

#[test]
fn what_the_formal_grammar_derives_is_read_alike() {
    compare("derived", &cases::derived(&top()));
}

#[test]
fn single_lines_are_read_alike_and_refused_alike() {
    let files = cases::files(&top());
    let derived = cases::derived(&top());
    let texts: Vec<&str> = files
        .iter()
        .map(|file| file.1.as_str())
        .chain(derived.iter().take(40).map(String::as_str))
        .collect();
    let lines: Vec<String> = cases::lines(&texts).into_iter().collect();
    let refused = lines.iter().filter(|line| is_refused(line)).count();
    assert!(
        refused > 500 && lines.len() - refused > 500,
        "{refused} of {} lines are refused",
        lines.len()
    );
    compare("lines", &lines);
}

/// What the query program answers for every file of queries.
fn captured() -> Value {
    let mut queries = serde_json::Map::new();
    for (name, _) in queries::FILES {
        let text = std::fs::read_to_string(top().join(name))
            .unwrap_or_else(|error| panic!("{name}: {error}"));
        queries.insert((*name).to_owned(), text.into());
    }
    let texts: Vec<String> = cases::files(&top())
        .into_iter()
        .filter(|file| !is_refused(&file.1))
        .map(|file| file.1)
        .collect();
    let request = json!({ "library": library("queries"), "queries": queries, "texts": texts });
    let answer = retin_tests::python::run(include_str!("queries.py"), &request.to_string());
    serde_json::from_str(&answer).expect("Python prints JSON")
}

#[test]
fn the_queries_match_under_names_that_editors_know() {
    queries::judge(&captured());
}
