//! Steps for programs; the form is described in syntax/output.md.

use super::Steps;
use retin::time::cautions::cautions;
use retin::time::order::Why;
use retin::time::working_order::{new_parts, working_order};
use retin_syntax::value::Decimal;
use serde::Serialize;
use std::io::{self, Write};

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Document<'s> {
    form: &'static str,
    version: u32,
    job: JobValue<'s>,
    seconds: u64,
    missing: Vec<&'s str>,
    steps: Vec<StepValue<'s>>,
    boards: Vec<BoardValue<'s>>,
    longest_chain: Chain<'s>,
    circles: Vec<Vec<&'s str>>,
    too_early: Vec<TooEarlyValue<'s>>,
}

#[derive(Serialize)]
struct JobValue<'s> {
    number: &'s str,
    title: &'s str,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct StepValue<'s> {
    name: &'s str,
    verb: &'static str,
    about: &'s str,
    with: &'s [&'s str],
    condition: Option<&'static str>,
    because: Option<&'s str>,
    seconds: u64,
    known_by: &'static str,
    missing: Option<&'s str>,
    boards: Vec<BoardValue<'s>>,
    after: Vec<After<'s>>,
    meanwhile: Vec<&'s str>,
    cautions: Vec<&'s str>,
}

#[derive(Serialize)]
struct BoardValue<'s> {
    board: &'s str,
    seconds: u64,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct After<'s> {
    step: &'s str,
    why: &'static str,
    #[serde(flatten)]
    bench: Option<Bench>,
}

#[derive(Serialize)]
struct Bench {
    earlier: &'static str,
    later: &'static str,
    because: &'static str,
}

#[derive(Serialize)]
struct Chain<'s> {
    seconds: u64,
    steps: Vec<&'s str>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct TooEarlyValue<'s> {
    step: &'s str,
    waits_for: &'s str,
    #[serde(flatten)]
    bench: Bench,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct OneDocument<'s> {
    form: &'static str,
    version: u32,
    job: JobValue<'s>,
    step: &'s str,
    seconds: u64,
    known_by: &'static str,
    cautions: Vec<&'s str>,
    bags: Vec<BagValue>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct BagValue {
    label: String,
    /// Exact, in mm, as text.
    height: Option<String>,
    places: Vec<String>,
}

/// Whole seconds.
fn whole(seconds: Decimal) -> u64 {
    u64::try_from(seconds.round()).unwrap_or(u64::MAX)
}

impl<'s> Steps<'s, '_> {
    fn known_by(&self, step: usize) -> &'static str {
        let duration = self.duration(step);
        match (duration.is_written, &duration.missing) {
            (true, _) => "written",
            (false, None) => "estimated",
            (false, Some(_)) => "unknown",
        }
    }

    fn all_cautions(&self, step: usize) -> Vec<&'s str> {
        let step = &self.job.steps[step];
        let usual = cautions(self.case, step);
        step.cautions.iter().copied().chain(usual).collect()
    }

    fn job_value(&self) -> JobValue<'s> {
        JobValue {
            number: self.job.number,
            title: self.job.title,
        }
    }

    fn step_value<'v>(&'v self, index: usize) -> StepValue<'v> {
        let step = &self.job.steps[index];
        let duration = self.duration(index);
        let after = self.order.waits_of(index).map(|edge| After {
            step: self.name(edge.earlier),
            why: match edge.why {
                Why::Written(_) => "written",
                Why::Bench(_) => "bench",
            },
            bench: match edge.why {
                Why::Written(_) => None,
                Why::Bench(precedence) => Some(Bench {
                    earlier: precedence.earlier,
                    later: precedence.later,
                    because: precedence.because,
                }),
            },
        });
        let boards = duration.by_board.iter().map(|(copy, seconds)| BoardValue {
            board: self.case.name_of_copy(*copy),
            seconds: whole(*seconds),
        });
        StepValue {
            name: step.name,
            verb: step.verb.word(),
            about: step.about.written,
            with: &step.with,
            condition: step.condition.and_then(|token| token.reserved_text()),
            because: step.because,
            seconds: whole(duration.seconds),
            known_by: self.known_by(index),
            missing: duration.missing.as_deref(),
            boards: boards.collect(),
            after: after.collect(),
            meanwhile: self.names(&self.order.meanwhile(self.job, index)),
            cautions: self.all_cautions(index),
        }
    }
}

/// Prints all steps in their order.
pub(super) fn all(steps: &Steps<'_, '_>, out: &mut dyn Write) -> io::Result<()> {
    let order = &steps.order;
    let by_board = steps.by_board();
    let document = Document {
        form: "retin-steps",
        version: 1,
        job: steps.job_value(),
        seconds: whole(order.total()),
        missing: steps.missing(),
        steps: order
            .sequence
            .iter()
            .map(|step| steps.step_value(*step))
            .collect(),
        boards: by_board
            .iter()
            .map(|(copy, seconds)| BoardValue {
                board: steps.case.name_of_copy(*copy),
                seconds: whole(*seconds),
            })
            .collect(),
        longest_chain: Chain {
            seconds: whole(order.critical_seconds()),
            steps: steps.names(&order.critical),
        },
        circles: order
            .circles
            .iter()
            .map(|circle| steps.names(&circle.steps))
            .collect(),
        too_early: order
            .too_early
            .iter()
            .map(|early| TooEarlyValue {
                step: steps.name(early.step),
                waits_for: steps.name(early.waits_for),
                bench: Bench {
                    earlier: early.because.earlier,
                    later: early.because.later,
                    because: early.because.because,
                },
            })
            .collect(),
    };
    serde_json::to_writer_pretty(&mut *out, &document)?;
    writeln!(out)
}

/// Prints the working order of one step.
pub(super) fn one(steps: &Steps<'_, '_>, step: usize, out: &mut dyn Write) -> io::Result<()> {
    let bags = working_order(
        steps.case,
        &new_parts(&steps.chosen),
        &steps.job.steps[step],
    );
    let document = OneDocument {
        form: "retin-step",
        version: 1,
        job: steps.job_value(),
        step: steps.name(step),
        seconds: whole(steps.duration(step).seconds),
        known_by: steps.known_by(step),
        cautions: steps.all_cautions(step),
        bags: bags
            .into_iter()
            .map(|bag| BagValue {
                label: bag.label,
                height: bag.height.map(|height| height.normalize().to_string()),
                places: bag
                    .places
                    .iter()
                    .map(|place| steps.case.name_of(*place))
                    .collect(),
            })
            .collect(),
    };
    serde_json::to_writer_pretty(&mut *out, &document)?;
    writeln!(out)
}
