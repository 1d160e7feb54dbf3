//! Files that have to be read, and files with lines that must not be.
//!
//! In `syntax/corpus/reject` a comment `# wrong below: WORD` stands above each
//! line that cannot be read; WORD is what the error has to point at, or `end`
//! where the line ends too early. All other lines of the file have to be read.

use std::fmt::Write as _;
use std::path::PathBuf;

const CORPUS: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../syntax/corpus");

fn files(folder: &str) -> Vec<(PathBuf, String)> {
    let entries =
        std::fs::read_dir(PathBuf::from(CORPUS).join(folder)).expect("the corpus is there");
    let mut files: Vec<_> = entries
        .map(|entry| entry.expect("the folder can be listed").path())
        .filter(|path| {
            path.extension()
                .is_some_and(|extension| extension == "retin")
        })
        .map(|path| {
            let text = std::fs::read_to_string(&path).expect("the file can be read");
            (path, text)
        })
        .collect();
    files.sort();
    assert!(!files.is_empty(), "the corpus has no files in {folder}");
    files
}

/// What cannot be read: the line's number and what the error points at.
fn unread(text: &str) -> Vec<(usize, String)> {
    retin_syntax::parse(text)
        .errors
        .iter()
        .map(|error| {
            let line = text[..error.span.start as usize].matches('\n').count() + 1;
            let word = error.span.of(text).trim();
            (
                line,
                if word.is_empty() {
                    "end".to_owned()
                } else {
                    word.to_owned()
                },
            )
        })
        .collect()
}

#[test]
fn what_is_well_formed_is_read() {
    let mut wrong = String::new();
    for (path, text) in files("accept") {
        for (line, word) in unread(&text) {
            let _ = writeln!(wrong, "{}:{line}: at `{word}`", path.display());
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

#[test]
fn what_is_not_is_refused_at_its_place() {
    let mut wrong = String::new();
    for (path, text) in files("reject") {
        let wanted: Vec<(usize, String)> = text
            .lines()
            .enumerate()
            .filter_map(|(index, line)| {
                let word = line.trim().strip_prefix("# wrong below: ")?;
                Some((index + 2, word.to_owned()))
            })
            .collect();
        assert!(
            !wanted.is_empty(),
            "{} says of no line that it is wrong",
            path.display()
        );
        let found = unread(&text);
        for miss in wanted.iter().filter(|one| !found.contains(one)) {
            let _ = writeln!(
                wrong,
                "{}:{}: no error at `{}`",
                path.display(),
                miss.0,
                miss.1
            );
        }
        for extra in found.iter().filter(|one| !wanted.contains(one)) {
            let _ = writeln!(
                wrong,
                "{}:{}: an error at `{}`",
                path.display(),
                extra.0,
                extra.1
            );
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}
