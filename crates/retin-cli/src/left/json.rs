//! What is left for programs. The form is described in `syntax/output.md`; a
//! change that could break a reader raises [`VERSION`].

use super::Printed;
use crate::check::found::Texts;
use crate::check::json::{Range, range};
use crate::one_job::Names;
use retin::meaning::{BoardCopy, PartId};
use retin::time::Status;
use retin::time::left::{BoardLeft, How, LeftParts, StepLeft};
use retin::time::progress::Left;
use retin::time::readings_wanted::What;
use retin_syntax::value::Decimal;
use serde::Serialize;
use std::io::{self, Write};

/// The version of the form.
const VERSION: u32 = 1;

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Document<'p> {
    form: &'static str,
    version: u32,
    job: Job<'p>,
    stage: &'static str,
    boards: Vec<BoardValue<'p>>,
    steps: Vec<StepValue<'p>>,
    accidents: Vec<AccidentValue>,
    readings: Vec<ReadingValue<'p>>,
    hours: HoursValue,
}

#[derive(Serialize)]
struct Job<'p> {
    number: &'p str,
    title: &'p str,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct BoardValue<'p> {
    boards: Vec<&'p str>,
    done: Vec<&'p str>,
    left: Vec<LeftValue<'p>>,
    behind: Vec<LeftValue<'p>>,
    ahead: Vec<&'p str>,
}

#[derive(Serialize)]
struct LeftValue<'p> {
    what: &'static str,
    parts: Vec<&'p str>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct StepValue<'p> {
    name: &'p str,
    state: &'static str,
    done: usize,
    left: usize,
    remaining: String,
    waits_for: Vec<&'p str>,
    accidents: Vec<usize>,
    seconds_to_go: String,
    missing: Option<&'p str>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct AccidentValue {
    number: usize,
    what: String,
    is_repaired: bool,
    at: Option<Range>,
}

#[derive(Serialize)]
struct ReadingValue<'p> {
    target: String,
    what: &'static str,
    copies: &'p [String],
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct HoursValue {
    minutes_spent: u64,
    seconds_to_go: Option<String>,
    steps_unknown: usize,
}

/// Prints one document.
pub(super) fn print(
    printed: &Printed<'_, '_>,
    names: Names<'_>,
    out: &mut dyn Write,
) -> io::Result<()> {
    let texts = Texts::default();
    let name = |path: &str| names.of(path);
    let accidents = printed.left.accidents.iter().map(|accident| {
        let record = &printed.replay.accidents[*accident];
        let entry = printed.job.log.get(record.entry);
        AccidentValue {
            number: record.number,
            what: printed.words.accident(record),
            is_repaired: record.status() != Status::Open,
            at: entry.map(|entry| range(&texts.spot(printed.case, entry.origin), &name)),
        }
    });
    let readings = printed.left.readings.iter().map(|wanted| {
        let target = &printed.job.targets[wanted.target];
        ReadingValue {
            target: match target.to {
                Some((to, _)) => format!("{} to {to}", target.point),
                None => target.point.to_owned(),
            },
            what: match wanted.what {
                What::Value => "value",
                What::Ripple => "ripple",
            },
            copies: &wanted.copies,
        }
    });
    let hours = printed.left.hours;
    let document = Document {
        form: "retin-left",
        version: VERSION,
        job: Job {
            number: printed.job.number,
            title: printed.job.title,
        },
        stage: printed.case.stage.word(),
        boards: printed
            .left
            .boards
            .iter()
            .map(|board| printed.board_value(board))
            .collect(),
        steps: printed
            .left
            .steps
            .iter()
            .map(|step| printed.step_value(step))
            .collect(),
        accidents: accidents.collect(),
        readings: readings.collect(),
        hours: HoursValue {
            minutes_spent: hours.spent,
            seconds_to_go: hours.to_go.map(seconds),
            steps_unknown: hours.unknown,
        },
    };
    serde_json::to_writer_pretty(&mut *out, &document)?;
    writeln!(out)
}

/// Seconds as an exact decimal number.
fn seconds(seconds: Decimal) -> String {
    seconds.round_dp(3).normalize().to_string()
}

/// What is left to do, for programs.
fn key(what: Left) -> &'static str {
    match what {
        Left::Replace => "replace",
        Left::Remove => "remove",
        Left::Fit => "fit",
        Left::Chip => "chip",
        Left::TakenOut => "taken-out",
        Left::Inspect => "inspect",
    }
}

impl<'a> Printed<'_, 'a> {
    fn board_value(&self, board: &BoardLeft) -> BoardValue<'_> {
        let copies = board.copies.iter();
        let beside = board.beside.as_ref();
        BoardValue {
            boards: copies
                .map(|copy: &BoardCopy| self.case.name_of_copy(*copy))
                .collect(),
            done: self.part_names(&board.done),
            left: self.left_values(&board.left),
            behind: beside.map_or_else(Vec::new, |beside| self.left_values(&beside.behind)),
            ahead: beside.map_or_else(Vec::new, |beside| self.part_names(&beside.ahead)),
        }
    }

    fn part_names(&self, parts: &[PartId]) -> Vec<&str> {
        let parts = parts.iter();
        parts
            .map(|part| self.case.part(*part).name.as_str())
            .collect()
    }

    fn left_values(&self, left: &LeftParts) -> Vec<LeftValue<'_>> {
        left.iter()
            .map(|(what, parts)| LeftValue {
                what: key(*what),
                parts: self.part_names(parts),
            })
            .collect()
    }

    fn step_value<'s>(&'s self, step: &'s StepLeft) -> StepValue<'s> {
        StepValue {
            name: self.words.step(step.step),
            state: match step.how {
                How::Done => "done",
                How::Begun => "begun",
                How::Free => "can-begin",
                How::Waits => "waits",
            },
            done: step.progress.done.len(),
            left: step.progress.left.len(),
            remaining: self.words.pieces(step),
            waits_for: step
                .waits_for
                .iter()
                .map(|step| self.words.step(*step))
                .collect(),
            accidents: step.accidents.iter().map(|index| index + 1).collect(),
            seconds_to_go: seconds(step.seconds),
            missing: step.missing.as_deref(),
        }
    }
}
