//! The shipped examples are found exactly as their own comments say: a line
//! with `# finds RULE` is found by that rule, and no other line is found.

use retin::check::check;
use retin::finding::Severity;
use retin::meaning::Case;
use retin::sources::{SourceFile, Sources};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

fn examples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../examples")
}

/// Every Retin file of the examples, as a path from the folder.
fn paths() -> Vec<String> {
    let mut folders = vec![examples()];
    let mut paths = Vec::new();
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(&folder).expect("the examples can be listed") {
            let path = entry.expect("an entry can be read").path();
            if path.is_dir() {
                folders.push(path);
            } else if path
                .extension()
                .is_some_and(|extension| extension == "retin")
            {
                let relative = path.strip_prefix(examples()).expect("below the folder");
                paths.push(relative.to_string_lossy().replace('\\', "/"));
            }
        }
    }
    paths.sort();
    paths
}

fn read(path: &str) -> Arc<SourceFile> {
    let text = std::fs::read_to_string(examples().join(path)).expect("an example can be read");
    Arc::new(SourceFile::new(path.to_owned(), text))
}

fn line_of(text: &str, offset: u32) -> usize {
    text[..offset as usize].matches('\n').count() + 1
}

/// What a check of one file finds: path, line and rule; and whether it holds a job.
fn found(root: &str) -> (BTreeSet<(String, usize, String)>, bool, Vec<Severity>) {
    let mut sources = Sources::new();
    let id = sources.add(read(root));
    while let Some(path) = sources.wanted().map(str::to_owned) {
        sources.add(read(&path));
    }
    let case = Case::build(&sources, id);
    let report = check(&case);
    let lines = report
        .findings
        .iter()
        .map(|finding| {
            let file = sources.file(finding.fault.origin.file);
            let line = line_of(&file.text, finding.fault.origin.span.start);
            (file.path.clone(), line, finding.rule.to_owned())
        })
        .collect();
    let severities = report
        .findings
        .iter()
        .map(|finding| finding.severity)
        .collect();
    (lines, case.job.is_some(), severities)
}

fn expected() -> BTreeSet<(String, usize, String)> {
    let mut expected = BTreeSet::new();
    for path in paths() {
        for (number, line) in read(&path).text.lines().enumerate() {
            if let Some((_, rules)) = line.split_once("# finds ") {
                for rule in rules.split(", ") {
                    expected.insert((path.clone(), number + 1, rule.trim().to_owned()));
                }
            }
        }
    }
    expected
}

#[test]
fn every_planted_mistake_is_found_and_nothing_else() {
    let mut all = BTreeSet::new();
    for path in paths() {
        let (lines, is_job, _) = found(&path);
        if is_job {
            all.extend(lines);
        }
    }
    let expected = expected();
    assert!(expected.len() >= 12, "a dozen mistakes are promised");
    let missed: Vec<_> = expected.difference(&all).collect();
    let surplus: Vec<_> = all.difference(&expected).collect();
    assert!(
        missed.is_empty() && surplus.is_empty(),
        "missed {missed:#?}\nsurplus {surplus:#?}"
    );
}

#[test]
fn the_mistakes_are_of_a_dozen_kinds_and_all_errors() {
    let kinds: BTreeSet<String> = expected().into_iter().map(|row| row.2).collect();
    assert!(kinds.len() >= 12, "{kinds:?}");
    for path in paths().iter().filter(|path| path.starts_with("jobs/")) {
        let (lines, _, severities) = found(path);
        assert_eq!(lines.len() >= 12, path.contains("26-019"), "{path}");
        assert!(
            severities
                .iter()
                .all(|severity| *severity == Severity::Error),
            "{path}"
        );
    }
}

#[test]
fn the_unit_is_as_large_as_a_real_one() {
    let mut sources = Sources::new();
    let id = sources.add(read("jobs/26-014.retin"));
    while let Some(path) = sources.wanted().map(str::to_owned) {
        sources.add(read(&path));
    }
    let case = Case::build(&sources, id);
    assert!(case.boards.len() >= 3);
    assert!(case.parts.len() >= 150, "{} parts", case.parts.len());
    assert!(case.boards.iter().any(|board| board.copies.len() > 1));
}

#[test]
fn every_example_is_in_canonical_form() {
    for path in paths() {
        let text = &read(&path).text;
        assert_eq!(&retin_syntax::format(text).text, text, "{path}");
    }
}
