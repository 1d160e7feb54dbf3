//! `# finds RULE` at the end of a line: what a text says is found, and what is.

use retin::check::check;
use retin::meaning::Case;
use retin::sources::{SourceFile, Sources};
use std::sync::Arc;

/// What the text says is found, and what is: `line: rule` each, sorted.
pub fn expected_and_found(text: &str) -> (Vec<String>, Vec<String>, Case<'static>) {
    let mut sources = Sources::new();
    let root = sources.add(Arc::new(SourceFile::new(
        "example.retin".into(),
        text.into(),
    )));
    let sources: &'static Sources = Box::leak(Box::new(sources));
    let case = Case::build(sources, root);
    let mut expected = Vec::new();
    for (number, line) in text.lines().enumerate() {
        if let Some((_, rules)) = line.split_once("# finds ") {
            expected.extend(
                rules
                    .split(", ")
                    .map(|rule| format!("{}: {}", number + 1, rule.trim())),
            );
        }
    }
    let mut found: Vec<String> = check(&case)
        .findings
        .iter()
        .map(|finding| {
            let start = finding.fault.origin.span.start as usize;
            format!(
                "{}: {}",
                text[..start].matches('\n').count() + 1,
                finding.rule
            )
        })
        .collect();
    expected.sort();
    found.sort();
    found.dedup();
    (expected, found, case)
}
