//! A whole job as lines, and changes to them.

use retin::check::check;
use retin::meaning::Case;
use retin::sources::{Origin, SourceFile, Sources};
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
#[derive(Debug)]
pub struct Lines(pub [Vec<String>; 3], [Arc<SourceFile>; 3]);

const PATHS: [&str; 3] = ["model.retin", "shelf.retin", "job.retin"];

fn parsed(file: usize, text: &str) -> Arc<SourceFile> {
    Arc::new(SourceFile::new(PATHS[file].to_owned(), text.to_owned()))
}

/// A job with a mistake in it.
pub struct Mutant {
    /// The files.
    pub texts: [String; 3],
    /// The lines at which the mistake is to be told.
    pub planted: Vec<At>,
}

impl Lines {
    pub fn of(job: &WholeJob) -> Self {
        let texts = [&job.model, &job.shelf, &job.job];
        Self(
            texts.map(|text| text.lines().map(str::to_owned).collect()),
            [MODEL, SHELF, JOB].map(|file| parsed(file, texts[file])),
        )
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

    /// The job with a mistake in it.
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

/// The job before the work: its log is gone.
pub fn without_log(lines: &Lines) -> Vec<Edit> {
    let job = &lines.0[JOB];
    let from = job
        .iter()
        .position(|line| line == "log")
        .unwrap_or(job.len());
    (from..job.len())
        .map(|line| Edit::Take((JOB, line)))
        .collect()
}

/// One finding: what is told, and where.
#[derive(Debug)]
pub struct Found {
    pub rule: &'static str,
    pub at: At,
    /// The second places it points at.
    pub beside: Vec<At>,
    pub is_question: bool,
    pub fact: String,
}

impl Lines {
    /// What is found in a job that was made of this one, at the stage its log shows.
    pub fn found(&self, mutant: &Mutant) -> Vec<Found> {
        let mut sources = Sources::new();
        let ids = [MODEL, SHELF, JOB].map(|file| {
            let text = &mutant.texts[file];
            let same = Some(&self.1[file]).filter(|original| original.text == *text);
            sources.add(same.cloned().unwrap_or_else(|| parsed(file, text)))
        });
        let case = Case::build(&sources, ids[JOB]);
        let at = |origin: Origin| {
            let file = ids.iter().position(|id| *id == origin.file).unwrap_or(JOB);
            let before = &mutant.texts[file][..origin.span.start as usize];
            (file, before.matches('\n').count())
        };
        let findings = check(&case).findings.into_iter();
        findings
            .map(|finding| Found {
                rule: finding.rule,
                at: at(finding.fault.origin),
                beside: finding
                    .fault
                    .related
                    .iter()
                    .map(|label| at(label.origin))
                    .collect(),
                is_question: finding.fault.is_question,
                fact: finding.fault.fact,
            })
            .collect()
    }
}
