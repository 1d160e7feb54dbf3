//! The language reference is run: every example is read and understood, every
//! table equals the code's, and every word of the language is mentioned.
//!
//! `UPDATE=1 cargo test -p retin-tests --test reference` rewrites the tables
//! between their markers, and formats the examples.

mod fences;
mod tables;

use fences::{Fence, Marked};
use retin::meaning::Case;
use retin::sources::{FileId, SourceFile, Sources};
use retin_syntax::tables::{ClaimSource, Direction, kinds, properties, verbs};
use retin_syntax::token::RESERVED;
use retin_syntax::value::UNITS;
use std::fmt::Write as _;
use std::sync::Arc;

/// Where the reference stands.
const REFERENCE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../syntax/reference.md");

/// The page that newcomers read first; it has examples too.
const READ_ME: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../README.md");

fn reference() -> String {
    std::fs::read_to_string(REFERENCE).expect("syntax/reference.md can be read")
}

/// What the code says is wrong with the file `root`, line by line.
fn complaints(sources: &Sources, root: FileId) -> String {
    let mut complaints = String::new();
    let case = Case::build(sources, root);
    for problem in &case.problems {
        let text = sources.text(problem.origin);
        let _ = writeln!(complaints, "    at `{text}`: {:?}", problem.kind);
    }
    complaints
}

/// The named files of the reference: its examples may `use` one another.
fn named_files(fences: &[Fence]) -> Vec<Arc<SourceFile>> {
    fences
        .iter()
        .filter_map(|fence| match &fence.marked {
            Marked::File { path: Some(path) } => {
                Some(Arc::new(SourceFile::new(path.clone(), fence.text.clone())))
            }
            _ => None,
        })
        .collect()
}

#[test]
fn the_example_of_the_first_page_is_read_understood_and_canonical() {
    let page = std::fs::read_to_string(READ_ME).expect("README.md can be read");
    let fences = fences::of(&page);
    assert!(!fences.is_empty(), "README.md has no example");
    for fence in &fences {
        let mut sources = Sources::new();
        let root = sources.add(Arc::new(SourceFile::new(
            "example.retin".into(),
            fence.whole(),
        )));
        assert_eq!(complaints(&sources, root), "");
        assert_eq!(formatted(fence), fence.text);
    }
}

#[test]
fn every_example_is_read_and_understood() {
    let fences = fences::of(&reference());
    assert!(
        fences.len() > 30,
        "only {} examples were found",
        fences.len()
    );
    let named = named_files(&fences);
    let mut wrong = String::new();
    for fence in &fences {
        let mut sources = Sources::new();
        for file in &named {
            sources.add(Arc::clone(file));
        }
        let root = match &fence.marked {
            Marked::File { path: Some(path) } => sources.find(path),
            _ => {
                let text = fence.whole();
                let file = SourceFile::new("example.retin".into(), text);
                Some(sources.add(Arc::new(file)))
            }
        };
        let complaints = complaints(&sources, root.expect("the file was added"));
        if !complaints.is_empty() {
            let _ = writeln!(wrong, "reference.md:{}\n{complaints}", fence.line);
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

/// The example as the formatter prints it where it stands.
fn formatted(fence: &Fence) -> String {
    let formatted = retin_syntax::format(&fence.whole()).text;
    fence.taken_from(&formatted)
}

#[test]
fn the_bench_file_is_canonical() {
    let bench = fences::bench();
    assert_eq!(retin_syntax::format(&bench).text, bench);
}

/// The tables made anew and the examples formatted.
fn brought_up_to_date(text: &str) -> String {
    let mut text = tables::rewritten(text);
    for fence in fences::of(&text.clone()) {
        text = text.replacen(&fence.text, &formatted(&fence), 1);
    }
    text
}

#[test]
fn every_table_and_example_is_up_to_date() {
    let text = reference();
    let updated = brought_up_to_date(&text);
    if std::env::var_os("UPDATE").is_some() && updated != text {
        std::fs::write(REFERENCE, &updated).expect("syntax/reference.md can be written");
        return;
    }
    for (there, wanted) in text.lines().zip(updated.lines()) {
        assert_eq!(
            there, wanted,
            "run UPDATE=1 cargo test -p retin-tests --test reference"
        );
    }
    assert_eq!(
        text.lines().count(),
        updated.lines().count(),
        "a table is too short or too long"
    );
}

/// The words between backticks in one cell of a table.
fn codes(cell: &str) -> Vec<String> {
    cell.split('`')
        .skip(1)
        .step_by(2)
        .map(str::to_owned)
        .collect()
}

#[test]
fn every_spelling_of_a_value_prints_as_it_says() {
    let text = reference();
    let rows: Vec<&str> = text
        .lines()
        .skip_while(|line| !line.starts_with("| you may write |"))
        .skip(2)
        .take_while(|line| line.starts_with('|'))
        .collect();
    assert!(rows.len() > 15, "only {} rows were found", rows.len());
    for row in rows {
        let cells: Vec<&str> = row.split(" | ").collect();
        let mut printed: Vec<String> = codes(cells[0])
            .iter()
            .map(|written| match retin_syntax::value::read(written) {
                Ok(value) => value.to_string(),
                Err(error) => panic!("{written}: {error}"),
            })
            .collect();
        printed.dedup();
        assert_eq!(printed, codes(cells[1]), "in {row}");
    }
}

#[test]
fn every_table_has_its_place() {
    let text = reference();
    for (name, _) in tables::TABLES {
        assert!(
            text.contains(&tables::opening(name)),
            "the reference lacks the table {name}"
        );
    }
}

#[test]
fn every_word_of_the_language_is_mentioned() {
    // The plain list of reserved words explains nothing, so it does not count.
    let text = tables::without(&reference(), "reserved");
    let mentioned = fences::code_words(&text);
    let mut words: Vec<&str> = RESERVED.iter().map(|row| row.0).collect();
    words.extend(UNITS.iter().map(|unit| unit.symbol));
    words.extend(properties::FUSE_SPEEDS);
    words.extend(properties::MAINS_CLASSES);
    words.extend(ClaimSource::all().filter_map(|row| row.1.reserved_text()));
    words.extend(Direction::all().map(Direction::word));
    words.extend(
        kinds::KINDS
            .iter()
            .filter_map(|row| row.token.reserved_text()),
    );
    words.extend(
        verbs::LOG_ONLY
            .iter()
            .filter_map(|row| row.0.reserved_text()),
    );
    let mut missing: Vec<&str> = words
        .into_iter()
        .filter(|word| !mentioned.iter().any(|there| there == word))
        .collect();
    missing.sort_unstable();
    missing.dedup();
    assert!(
        missing.is_empty(),
        "the reference does not mention {missing:?}"
    );
}
