//! One mistake is told once: what only follows from it is no finding of its own.

#[path = "support/shipped.rs"]
mod shipped;

use retin::meaning::{Case, ProblemKind};
use retin::sources::{FileId, Origin, SourceFile, Sources};
use shipped::SHIPPED;
use std::fmt::Write as _;
use std::sync::Arc;

/// What of the job with these texts makes no sense: file, line from 1, problem.
fn senseless(texts: &[String]) -> Vec<(usize, usize, ProblemKind)> {
    let mut sources = Sources::new();
    for ((path, _), text) in SHIPPED.iter().zip(texts) {
        sources.add(Arc::new(SourceFile::new((*path).to_owned(), text.clone())));
    }
    let problems = Case::build(&sources, FileId(0)).problems.into_iter();
    let told = problems.map(|problem| {
        let Origin { file, span } = problem.origin;
        let before = &sources.file(file).text[..span.start as usize];
        let line = before.matches('\n').count() + 1;
        (file.0 as usize, line, problem.kind)
    });
    told.collect()
}

fn texts() -> Vec<String> {
    SHIPPED.iter().map(|file| file.1.to_owned()).collect()
}

/// The texts with one line exchanged.
fn with_line(file: usize, line: usize, new: &str) -> Vec<String> {
    let mut texts = texts();
    let mut lines: Vec<&str> = texts[file].lines().collect();
    lines[line] = new;
    texts[file] = lines.join("\n");
    texts
}

fn is_record(line: &str) -> bool {
    let line = line.trim_start();
    !(line.is_empty() || line.starts_with('#') || line.starts_with('|'))
}

/// Every line of the sound job, spoilt so that it cannot be read: nothing else becomes
/// senseless by it, neither what stands below it nor what names it.
#[test]
fn a_line_that_cannot_be_read_is_told_once() {
    assert_eq!(senseless(&texts()), []);
    let mut spoilt = 0;
    let mut wrong = String::new();
    for (file, (path, text)) in SHIPPED.iter().enumerate() {
        for (number, line) in text.lines().enumerate().filter(|line| is_record(line.1)) {
            for broken in [format!("{line} )))"), misspelt(line)] {
                let told = senseless(&with_line(file, number, &broken));
                let is_here = |told: &&(usize, usize, ProblemKind)| {
                    (told.0, told.1) == (file, number + 1)
                        && matches!(told.2, ProblemKind::Unreadable { .. })
                };
                // A name may be spelt like that, and then the line reads.
                if !told.iter().any(|told| is_here(&told)) {
                    continue;
                }
                spoilt += 1;
                for (of, at, what) in told.iter().filter(|told| !is_here(told)) {
                    let of = SHIPPED[*of].0;
                    let _ = writeln!(
                        wrong,
                        "{path}:{}: {broken}\n    {of}:{at}: {what:?}",
                        number + 1
                    );
                }
            }
        }
    }
    assert!(spoilt > 500, "only {spoilt} lines could be spoilt");
    assert!(wrong.is_empty(), "\n{wrong}");
}

/// The line with its first word spelt wrongly.
fn misspelt(line: &str) -> String {
    let start = line.len() - line.trim_start().len();
    let end = line[start..].find(' ').map_or(line.len(), |at| start + at);
    format!("{}q{}", &line[..end], &line[end..])
}

/// Every line written twice: that is told there, if at all, and nowhere else.
#[test]
fn a_line_that_stands_twice_is_told_where_it_stands() {
    let mut doubled = 0;
    let mut wrong = String::new();
    for (file, (path, text)) in SHIPPED.iter().enumerate() {
        for (number, line) in text.lines().enumerate().filter(|line| is_record(line.1)) {
            let told = senseless(&with_line(file, number, &format!("{line}\n{line}")));
            doubled += usize::from(!told.is_empty());
            let is_here = |told: &&(usize, usize, ProblemKind)| {
                told.0 == file && (number + 1..=number + 2).contains(&told.1)
            };
            for (of, at, what) in told.iter().filter(|told| !is_here(told)) {
                let of = SHIPPED[*of].0;
                let _ = writeln!(
                    wrong,
                    "{path}:{}: {line}\n    {of}:{at}: {what:?}",
                    number + 1
                );
            }
        }
    }
    assert!(doubled > 150, "only {doubled} lines name something");
    assert!(wrong.is_empty(), "\n{wrong}");
}
