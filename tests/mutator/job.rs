//! A whole job as lines, and changes to them.

use retin::check::check;
use retin::meaning::Case;
use retin::sources::{SourceFile, Sources};
use retin_tests::whole_job::WholeJob;
use std::sync::Arc;

/// The model sheet.
pub const MODEL: usize = 0;
/// The shelf.
pub const SHELF: usize = 1;
/// The job.
pub const JOB: usize = 2;

/// A line: its file, and its number from 0.
pub type At = (usize, usize);

/// One change of text.
#[derive(Clone, Debug)]
pub enum Edit {
    /// The line reads so instead, and this is the mistake.
    Put(At, String),
    /// The line reads so instead; the mistake is elsewhere.
    Shift(At, String),
    /// The mistake is a new line behind this one.
    After(At, String),
    /// The line is gone.
    Take(At),
    /// The line stays, and the mistake is to be told there.
    Mark(At),
}

impl Edit {
    fn at(&self) -> At {
        match self {
            Self::Put(at, _)
            | Self::Shift(at, _)
            | Self::After(at, _)
            | Self::Take(at)
            | Self::Mark(at) => *at,
        }
    }
}

/// The lines of the three files.
#[derive(Clone, Debug)]
pub struct Lines(pub [Vec<String>; 3]);

/// A job with a mistake in it.
pub struct Mutant {
    /// The files.
    pub texts: [String; 3],
    /// The lines at which the mistake is to be told.
    pub planted: Vec<At>,
}

impl Lines {
    pub fn of(job: &WholeJob) -> Self {
        let lines = |text: &str| text.lines().map(str::to_owned).collect();
        Self([lines(&job.model), lines(&job.shelf), lines(&job.job)])
    }

    pub fn text(&self, (file, line): At) -> &str {
        &self.0[file][line]
    }

    /// The lines of a file that are as wanted.
    pub fn find(&self, file: usize, wanted: impl Fn(&str) -> bool) -> Vec<At> {
        let lines = self.0[file].iter().enumerate();
        lines
            .filter(|(_, text)| wanted(text))
            .map(|(line, _)| (file, line))
            .collect()
    }

    /// The text with one piece of a line exchanged for another.
    pub fn with(&self, at: At, from: &str, to: &str) -> String {
        self.text(at).replacen(from, to, 1)
    }

    pub fn change(&self, edits: &[Edit]) -> Mutant {
        let mut texts = [String::new(), String::new(), String::new()];
        let mut planted = Vec::new();
        for (file, lines) in self.0.iter().enumerate() {
            let mut number = 0;
            for (line, original) in lines.iter().enumerate() {
                let here = || edits.iter().filter(|edit| edit.at() == (file, line));
                let is_gone = here().any(|edit| matches!(edit, Edit::Take(_)));
                let mut text = original;
                for edit in here() {
                    match edit {
                        Edit::Put(_, other) => {
                            text = other;
                            planted.push((file, number));
                        }
                        Edit::Shift(_, other) => text = other,
                        Edit::Mark(_) => planted.push((file, number)),
                        Edit::After(..) | Edit::Take(_) => {}
                    }
                }
                if !is_gone {
                    texts[file].push_str(text);
                    texts[file].push('\n');
                    number += 1;
                }
                for edit in here() {
                    if let Edit::After(_, text) = edit {
                        texts[file].push_str(text);
                        texts[file].push('\n');
                        planted.push((file, number));
                        number += 1;
                    }
                }
            }
        }
        Mutant { texts, planted }
    }
}

/// One finding: what is told, and where.
#[derive(Debug)]
pub struct Found {
    pub rule: &'static str,
    pub at: At,
    pub is_question: bool,
    pub fact: String,
}

/// What is found in the three files, at the stage the log shows.
pub fn found(texts: &[String; 3]) -> Vec<Found> {
    let mut sources = Sources::new();
    let mut ids = Vec::new();
    for (path, text) in ["model.retin", "shelf.retin", "job.retin"].iter().zip(texts) {
        let file = SourceFile::new((*path).to_owned(), text.clone());
        ids.push(sources.add(Arc::new(file)));
    }
    let case = Case::build(&sources, ids[JOB]);
    let findings = check(&case).findings;
    findings
        .into_iter()
        .map(|finding| {
            let origin = finding.fault.origin;
            let file = ids.iter().position(|id| *id == origin.file).unwrap_or(JOB);
            let before = &texts[file][..origin.span.start as usize];
            Found {
                rule: finding.rule,
                at: (file, before.matches('\n').count()),
                is_question: finding.fault.is_question,
                fact: finding.fault.fact,
            }
        })
        .collect()
}
