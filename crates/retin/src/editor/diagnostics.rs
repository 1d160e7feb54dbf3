//! The findings of one file.

use super::Snapshot;
use crate::finding::{Finding, Severity};
use crate::sources::{FileId, Origin};

/// How an editor may show a finding beyond its severity.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Tag {
    /// The text can go: nothing comes of it.
    Unnecessary,
    /// The text holds no more: what it was written for has changed.
    Deprecated,
}

/// A finding as an editor shows it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Diagnostic {
    /// Where it is best mended.
    pub origin: Origin,
    /// How much it weighs.
    pub severity: Severity,
    /// The rule's name, which is also that of its page.
    pub rule: &'static str,
    /// What is wrong, what comes of it and what to do, a sentence a line.
    pub message: String,
    /// Other places that have to do with it, each with what stands there.
    pub related: Vec<(Origin, String)>,
    /// How it may be shown.
    pub tags: Vec<Tag>,
    /// The finding's place in the report, for those who ask for its fix.
    pub finding: usize,
}

/// What was found in a file, in the order of its text.
pub fn diagnostics(snapshot: &Snapshot<'_>, file: FileId) -> Vec<Diagnostic> {
    snapshot
        .report
        .findings
        .iter()
        .enumerate()
        .filter(|(_, finding)| finding.fault.origin.file == file)
        .map(|(index, finding)| diagnostic(index, finding))
        .collect()
}

fn diagnostic(index: usize, finding: &Finding) -> Diagnostic {
    let fault = &finding.fault;
    let sentences = [&fault.fact, &fault.consequence, &fault.remedy];
    let message: Vec<String> = sentences
        .into_iter()
        .filter(|sentence| !sentence.is_empty())
        .map(|text| sentence(text))
        .collect();
    let tags = match finding.rule {
        "accept-unused" => vec![Tag::Unnecessary],
        "accept-stale" => vec![Tag::Deprecated],
        _ => Vec::new(),
    };
    Diagnostic {
        origin: fault.origin,
        severity: finding.severity,
        rule: finding.rule,
        message: message.join("\n"),
        related: fault
            .related
            .iter()
            .map(|label| (label.origin, label.text.clone()))
            .collect(),
        tags,
        finding: index,
    }
}

/// A sentence with its capital and its full stop. A name keeps its small letter.
fn sentence(text: &str) -> String {
    let ends = text.ends_with(['.', '?', '!']);
    let stop = if ends { "" } else { "." };
    let first_word = text.split_whitespace().next().unwrap_or("");
    let is_name = first_word.contains(['.', '`', '_', '-'])
        || first_word.chars().any(|letter| letter.is_ascii_digit());
    let mut letters = text.chars();
    match letters.next() {
        Some(first) if first.is_ascii_lowercase() && !is_name => {
            format!("{}{}{stop}", first.to_ascii_uppercase(), letters.as_str())
        }
        _ => format!("{text}{stop}"),
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{mixer, with};
    use super::{Tag, diagnostics, sentence};
    use crate::sources::FileId;

    #[test]
    fn findings_are_those_of_the_file() {
        let fixture = mixer("with E-2200-50\n", "with E-2200-5\n");
        let text = with(&fixture, |snapshot, _| {
            let mut out = Vec::new();
            for file in snapshot.files() {
                for found in diagnostics(snapshot, file) {
                    assert_eq!(found.origin.file, file);
                    out.push(format!(
                        "{} {:?} {} at `{}`\n{}\nrelated {}",
                        snapshot.sources.file(file).path,
                        found.severity,
                        found.rule,
                        snapshot.of(found.origin),
                        found.message,
                        found.related.len()
                    ));
                }
            }
            out.join("\n\n")
        });
        insta::assert_snapshot!(text);
    }

    #[test]
    fn an_overruling_that_silences_nothing_can_go() {
        with(super::super::fixture::MIXER, |snapshot, _| {
            let found = diagnostics(snapshot, FileId(0));
            let unused = found.iter().find(|found| found.rule == "accept-unused");
            assert_eq!(
                unused.map(|found| found.tags.clone()),
                Some(vec![Tag::Unnecessary])
            );
        });
    }

    #[test]
    fn broken_lines_and_odd_files_have_theirs() {
        let rules = |text: &str| {
            with(text, |snapshot, _| {
                diagnostics(snapshot, FileId(0))
                    .into_iter()
                    .map(|found| found.rule)
                    .collect::<Vec<_>>()
            })
        };
        assert_eq!(rules(""), Vec::<&str>::new());
        assert_eq!(rules("# µ\n\n"), Vec::<&str>::new());
        assert_eq!(rules("\u{feff}  µ"), ["cannot-read"]);
        assert_eq!(rules("plan\n  keep (("), ["out-of-place", "cannot-read"]);
    }

    #[test]
    fn sentences_begin_and_end_as_sentences() {
        assert_eq!(sentence("it is wrong"), "It is wrong.");
        assert_eq!(sentence("psu.C1 is wrong?"), "psu.C1 is wrong?");
        assert_eq!(sentence("µA flow"), "µA flow.");
        assert_eq!(sentence(""), ".");
    }
}
