//! A gate's answer for programs. The form is described in `syntax/output.md`; a
//! change that could break a reader raises [`VERSION`].

use crate::check::found::Texts;
use crate::check::json::{Missing, Range, Tally, range};
use crate::one_job::Names;
use retin::meaning::Case;
use retin::sources::Origin;
use retin::time::gate::{Gate, Verdict};
use serde::Serialize;
use std::io::{self, Write};

/// The version of the form.
const VERSION: u32 = 1;

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Document<'g> {
    form: &'static str,
    version: u32,
    gate: &'static str,
    verdict: &'static str,
    job: Job<'g>,
    stage: &'static str,
    obstacles: Vec<ObstacleValue<'g>>,
    counts: Counts,
    missing: Vec<Missing<'g>>,
    checks: Vec<Tally<'g>>,
    later: usize,
    questions: usize,
    cautions: &'g [&'static str],
}

#[derive(Serialize)]
struct Job<'g> {
    number: &'g str,
    title: &'g str,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Counts {
    passed: u32,
    failed: u32,
    accepted: u32,
    not_checked: u32,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct ObstacleValue<'g> {
    name: &'static str,
    is_rule: bool,
    fact: &'g str,
    consequence: &'g str,
    remedy: &'g str,
    subject: &'g str,
    places: Vec<String>,
    at: Range,
    related: Vec<Related<'g>>,
}

#[derive(Serialize)]
struct Related<'g> {
    text: &'g str,
    at: Range,
}

/// Prints one document.
pub(super) fn print(
    case: &Case<'_>,
    gate: &Gate,
    names: Names<'_>,
    out: &mut dyn Write,
) -> io::Result<()> {
    let texts = Texts::default();
    let name = |path: &str| names.of(path);
    let at = |origin: Origin| range(&texts.spot(case, origin), &name);
    let obstacles = gate.obstacles.iter().map(|obstacle| ObstacleValue {
        name: obstacle.name,
        is_rule: obstacle.is_rule,
        fact: &obstacle.fault.fact,
        consequence: &obstacle.fault.consequence,
        remedy: &obstacle.fault.remedy,
        subject: &obstacle.subject,
        places: obstacle
            .places
            .iter()
            .map(|place| case.name_of(*place))
            .collect(),
        at: at(obstacle.fault.origin),
        related: obstacle
            .fault
            .related
            .iter()
            .map(|label| Related {
                text: &label.text,
                at: at(label.origin),
            })
            .collect(),
    });
    let (number, title) = case
        .job
        .as_ref()
        .map_or(("", ""), |job| (job.number, job.title));
    let document = Document {
        form: "retin-gate",
        version: VERSION,
        gate: gate.stage.word(),
        verdict: match gate.verdict {
            Verdict::Go => "go",
            Verdict::NoGo => "no-go",
        },
        job: Job { number, title },
        stage: case.stage.word(),
        obstacles: obstacles.collect(),
        counts: Counts {
            passed: gate.sum(|tally| tally.passed),
            failed: gate.sum(|tally| tally.failed),
            accepted: gate.sum(|tally| tally.accepted),
            not_checked: gate.sum(|tally| tally.not_checked),
        },
        missing: gate.missing.iter().map(Missing::from).collect(),
        checks: gate.tallies.iter().map(Tally::from).collect(),
        later: gate.later,
        questions: gate.notes,
        cautions: &gate.cautions,
    };
    serde_json::to_writer_pretty(&mut *out, &document)?;
    writeln!(out)
}
