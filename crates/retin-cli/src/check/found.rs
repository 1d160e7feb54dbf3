//! Findings that stand on their own: the files they were found in may be gone.

use retin::check::Tally;
use retin::finding::Severity;
use retin::meaning::Case;
use retin::shop::Shortage;
use retin::sources::{Origin, SourceFile};
use retin::stage::Stage;
use retin_syntax::{Span, Token};
use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

/// The text of a file, with what is needed to tell lines.
#[derive(Debug)]
pub struct Text {
    /// Path from the workspace's root.
    pub path: String,
    /// The text.
    pub text: String,
    /// Offsets at which lines begin.
    line_starts: Vec<u32>,
}

/// A place in a text as an editor shows it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Position {
    /// Offset in bytes, from 0.
    pub byte: u32,
    /// Line, from 1.
    pub line: u32,
    /// Column in characters (code points), from 1.
    pub column: u32,
}

impl Text {
    /// The text of a file that was read.
    pub fn of(file: &SourceFile) -> Self {
        let ends = file
            .tree
            .lexemes
            .iter()
            .filter(|lexeme| lexeme.0 == Token::Newline);
        let line_starts = std::iter::once(0)
            .chain(ends.map(|lexeme| lexeme.1.end))
            .collect();
        Text {
            path: file.path.clone(),
            text: file.text.clone(),
            line_starts,
        }
    }

    /// Where an offset is; moved to the start of its character, and into the text.
    pub fn position(&self, offset: u32) -> Position {
        let byte = self.text.floor_char_boundary(offset as usize);
        let line = self
            .line_starts
            .partition_point(|start| *start as usize <= byte);
        let start = self.line_starts[line - 1] as usize;
        Position {
            byte: byte as u32,
            line: line as u32,
            column: self.text[start..byte].chars().count() as u32 + 1,
        }
    }
}

/// A place in a file.
#[derive(Clone, Debug)]
pub struct Spot {
    /// The file.
    pub text: Arc<Text>,
    /// Where in it.
    pub span: Span,
}

/// A change to the files that mends a finding.
#[derive(Clone, Debug)]
pub struct Fix {
    /// What it does.
    pub title: String,
    /// What is replaced, and by what.
    pub edits: Vec<(Spot, String)>,
}

/// A finding of one check, or the same one of several.
#[derive(Clone, Debug)]
pub struct Found {
    /// The rule's name.
    pub rule: &'static str,
    /// How much it weighs; of several, the most.
    pub severity: Severity,
    /// The places it is about, as the sentences name them.
    pub subject: String,
    /// The places one by one.
    pub places: Vec<String>,
    /// One sentence of fact.
    pub fact: String,
    /// One sentence: what comes of it.
    pub consequence: String,
    /// One sentence: what to do.
    pub remedy: String,
    /// Whether it asks rather than states.
    pub is_question: bool,
    /// The values an overruling would be given for.
    pub values: Option<String>,
    /// Where it is best mended.
    pub at: Spot,
    /// Other places that have to do with it.
    pub related: Vec<(Spot, String)>,
    /// An edit that mends it.
    pub fix: Option<Fix>,
    /// The checked files it was found for, as indexes into [`Outcome::checked`].
    pub found_for: Vec<usize>,
}

/// A file that was checked with all it uses.
#[derive(Clone, Debug)]
pub struct Checked {
    /// Its path from the workspace's root.
    pub path: String,
    /// Number and title of the job in it; none where it is a sheet.
    pub job: Option<(String, String)>,
    /// How far the job has come.
    pub stage: Stage,
    /// How many places the unit has.
    pub places: usize,
    /// How each rule answered.
    pub tallies: Vec<Tally>,
}

/// The texts that findings lie in, each kept once.
#[derive(Default)]
pub struct Texts(Mutex<HashMap<String, Arc<Text>>>);

impl Texts {
    /// A place in a file of a case.
    pub fn spot(&self, case: &Case<'_>, origin: Origin) -> Spot {
        Spot {
            text: self.of(case.sources.file(origin.file)),
            span: origin.span,
        }
    }

    fn of(&self, file: &SourceFile) -> Arc<Text> {
        let mut texts = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        texts
            .entry(file.path.clone())
            .or_insert_with(|| Arc::new(Text::of(file)))
            .clone()
    }
}

/// Takes what was found out of the case it was found in.
pub fn keep(case: &Case<'_>, finding: retin::finding::Finding, texts: &Texts) -> Found {
    let spot = |origin: Origin| texts.spot(case, origin);
    let fault = finding.fault;
    Found {
        rule: finding.rule,
        severity: finding.severity,
        places: finding
            .places
            .iter()
            .map(|place| case.name_of(*place))
            .collect(),
        subject: finding.subject,
        fact: fault.fact,
        consequence: fault.consequence,
        remedy: fault.remedy,
        is_question: fault.is_question,
        values: fault.values,
        at: spot(fault.origin),
        related: fault
            .related
            .into_iter()
            .map(|label| (spot(label.origin), label.text))
            .collect(),
        fix: fault.fix.map(|fix| Fix {
            title: fix.title,
            edits: fix
                .edits
                .into_iter()
                .map(|edit| (spot(edit.origin), edit.text))
                .collect(),
        }),
        found_for: Vec::new(),
    }
}

/// What several jobs want of one shelf entry together, as a finding at the entry.
///
/// The jobs' files stand in `places` until they are known by their index.
pub fn keep_shortage(shortage: &Shortage, shelf: &SourceFile, texts: &Texts) -> Found {
    Found {
        rule: Shortage::RULE,
        severity: Severity::Error,
        subject: shortage.entry.clone(),
        places: shortage.jobs.iter().map(|job| job.1.clone()).collect(),
        fact: shortage.fact(),
        consequence: shortage.consequence().to_owned(),
        remedy: shortage.remedy(),
        is_question: false,
        values: None,
        at: Spot {
            text: texts.of(shelf),
            span: shortage.span,
        },
        related: Vec::new(),
        fix: None,
        found_for: Vec::new(),
    }
}

/// Sorts findings by file and place, and makes one of those that several
/// checks share.
pub fn merge(mut found: Vec<Found>) -> Vec<Found> {
    found.sort_by(|one, other| {
        key(one)
            .cmp(&key(other))
            .then(other.severity.cmp(&one.severity))
    });
    found.dedup_by(|later, kept| {
        let is_same = key(later) == key(kept);
        if is_same {
            kept.found_for.append(&mut later.found_for);
        }
        is_same
    });
    for finding in &mut found {
        finding.found_for.sort_unstable();
        finding.found_for.dedup();
    }
    found
}

fn key(found: &Found) -> (&str, (u32, u32), &str, &str) {
    (
        &found.at.text.path,
        (found.at.span.start, found.at.span.end),
        found.rule,
        &found.fact,
    )
}

/// Everything a run of the checker found.
#[derive(Debug)]
pub struct Outcome {
    /// The files that were checked, by path.
    pub checked: Vec<Checked>,
    /// What was found, by file and place.
    pub found: Vec<Found>,
    /// What could not be read: path from the current folder, and why.
    pub unreadable: Vec<crate::select::Unreadable>,
}

impl Outcome {
    /// How many findings weigh this much.
    pub fn count(&self, severity: Severity) -> usize {
        self.found
            .iter()
            .filter(|found| found.severity == severity)
            .count()
    }
}
