//! Findings for programs. The form is described in `syntax/output.md`; a change
//! that could break a reader raises [`VERSION`].

use super::found::{Checked, Found, Outcome, Spot};
use super::workspace::Workspace;
use crate::select::shown;
use retin::finding::Severity;
use serde::Serialize;
use std::io::{self, Write};
use std::path::Path;

/// The version of the form.
const VERSION: u32 = 1;

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Document<'o> {
    form: &'static str,
    version: u32,
    tool: Tool,
    counts: Counts,
    checked: Vec<CheckedFile<'o>>,
    findings: Vec<Finding<'o>>,
    unreadable: Vec<Unreadable<'o>>,
}

#[derive(Serialize)]
struct Tool {
    name: &'static str,
    version: &'static str,
}

#[derive(Serialize)]
struct Counts {
    errors: usize,
    warnings: usize,
    notes: usize,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct CheckedFile<'o> {
    file: String,
    job: Option<Job<'o>>,
    stage: &'static str,
    places: usize,
    rules: Vec<Tally<'o>>,
}

#[derive(Serialize)]
struct Job<'o> {
    number: &'o str,
    title: &'o str,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Tally<'o> {
    rule: &'static str,
    passed: u32,
    failed: u32,
    accepted: u32,
    not_checked: u32,
    missing: Vec<Missing<'o>>,
}

#[derive(Serialize)]
struct Missing<'o> {
    fact: &'o str,
    count: u32,
    example: &'o str,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Finding<'o> {
    rule: &'static str,
    severity: &'static str,
    is_question: bool,
    fact: &'o str,
    consequence: &'o str,
    remedy: &'o str,
    subject: &'o str,
    places: &'o [String],
    values: Option<&'o str>,
    at: Range,
    related: Vec<Related<'o>>,
    fix: Option<Fix<'o>>,
    found_for: Vec<String>,
}

/// A place in a file, for programs.
#[derive(Serialize)]
pub struct Range {
    file: String,
    start: Position,
    end: Position,
}

#[derive(Serialize)]
struct Position {
    byte: u32,
    line: u32,
    column: u32,
}

#[derive(Serialize)]
struct Related<'o> {
    text: &'o str,
    at: Range,
}

#[derive(Serialize)]
struct Fix<'o> {
    title: &'o str,
    edits: Vec<Edit<'o>>,
}

#[derive(Serialize)]
struct Edit<'o> {
    at: Range,
    text: &'o str,
}

#[derive(Serialize)]
struct Unreadable<'o> {
    file: &'o str,
    reason: &'o str,
}

/// Prints one document.
///
/// # Errors
/// When the output cannot be written.
pub fn print(
    outcome: &Outcome,
    workspace: &Workspace,
    here: &Path,
    out: &mut impl Write,
) -> io::Result<()> {
    let name = |path: &str| shown(&workspace.root.join(path), here);
    let document = Document {
        form: "retin-check",
        version: VERSION,
        tool: Tool {
            name: "retin",
            version: env!("CARGO_PKG_VERSION"),
        },
        counts: Counts {
            errors: outcome.count(Severity::Error),
            warnings: outcome.count(Severity::Warning),
            notes: outcome.count(Severity::Note),
        },
        checked: outcome
            .checked
            .iter()
            .map(|checked| checked_file(checked, &name))
            .collect(),
        findings: outcome
            .found
            .iter()
            .map(|found| finding(found, outcome, &name))
            .collect(),
        unreadable: outcome
            .unreadable
            .iter()
            .map(|unreadable| Unreadable {
                file: &unreadable.path,
                reason: &unreadable.reason,
            })
            .collect(),
    };
    serde_json::to_writer_pretty(&mut *out, &document)?;
    writeln!(out)
}

fn checked_file<'o>(checked: &'o Checked, name: &dyn Fn(&str) -> String) -> CheckedFile<'o> {
    CheckedFile {
        file: name(&checked.path),
        job: checked
            .job
            .as_ref()
            .map(|(number, title)| Job { number, title }),
        stage: checked.stage.word(),
        places: checked.places,
        rules: checked
            .tallies
            .iter()
            .map(|tally| Tally {
                rule: tally.rule,
                passed: tally.passed,
                failed: tally.failed,
                accepted: tally.accepted,
                not_checked: tally.not_checked,
                missing: tally
                    .missing
                    .iter()
                    .map(|missing| Missing {
                        fact: &missing.fact,
                        count: missing.count,
                        example: &missing.example,
                    })
                    .collect(),
            })
            .collect(),
    }
}

fn finding<'o>(found: &'o Found, outcome: &Outcome, name: &dyn Fn(&str) -> String) -> Finding<'o> {
    Finding {
        rule: found.rule,
        severity: found.severity.word(),
        is_question: found.is_question,
        fact: &found.fact,
        consequence: &found.consequence,
        remedy: &found.remedy,
        subject: &found.subject,
        places: &found.places,
        values: found.values.as_deref(),
        at: range(&found.at, name),
        related: found
            .related
            .iter()
            .map(|(spot, text)| Related {
                text,
                at: range(spot, name),
            })
            .collect(),
        fix: found.fix.as_ref().map(|fix| Fix {
            title: &fix.title,
            edits: fix
                .edits
                .iter()
                .map(|(spot, text)| Edit {
                    at: range(spot, name),
                    text,
                })
                .collect(),
        }),
        found_for: found
            .found_for
            .iter()
            .filter_map(|index| outcome.checked.get(*index))
            .map(|checked| name(&checked.path))
            .collect(),
    }
}

/// A place with its file called by `name`.
pub fn range(spot: &Spot, name: &dyn Fn(&str) -> String) -> Range {
    let position = |offset| {
        let at = spot.text.position(offset);
        Position {
            byte: at.byte,
            line: at.line,
            column: at.column,
        }
    };
    Range {
        file: name(&spot.text.path),
        start: position(spot.span.start),
        end: position(spot.span.end),
    }
}
