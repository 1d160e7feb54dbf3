//! Steps that are written to come before what they have to wait for.

use super::{Judge, Rule};
use crate::check::Answers;
use crate::finding::{Fault, Verdict};
use crate::meaning::{Case, Job, PlaceId};
use crate::replacement::Chosen;
use crate::stage::Stage;
use crate::time::order::{MOST_STEPS, TooEarly, order};

pub(super) const RULE: Rule = Rule {
    name: "step-too-early",
    at: Stage::Fit,
    summary: "a step that is written, or done, before what it has to wait for",
    page: include_str!("step_too_early.md"),
    judge: Judge::Choice(judge),
};

fn judge(case: &Case<'_>, chosen: &[Chosen<'_, '_>], answers: &mut Answers<'_, '_>) {
    let Some(job) = case.job.as_ref().filter(|job| !job.steps.is_empty()) else {
        return;
    };
    let Some(order) = order(case, job, chosen) else {
        let fact = format!("the order of no more than {MOST_STEPS} steps");
        answers.answer(&[], Verdict::lacks(fact));
        return;
    };
    for early in &order.too_early {
        let places = places(case, job, early.step);
        answers.answer(&places, Verdict::failed(written(job, early)));
    }
    for _ in 0..order.kept {
        answers.answer(&[], Verdict::Passed);
    }
}

/// The places that a step is about, those of its boards where it names no part:
/// an overruling names them.
fn places(case: &Case<'_>, job: &Job<'_>, step: usize) -> Vec<PlaceId> {
    let about = &job.steps[step].about;
    if !about.places.is_empty() {
        return about.places.clone();
    }
    let touched = about.touched(case);
    case.places()
        .filter(|place| touched.contains(&case.copy_of(*place)))
        .collect()
}

fn written(job: &Job<'_>, early: &TooEarly) -> Fault {
    let name = |step: usize| job.steps[step].name;
    let (step, first) = (name(early.step), name(early.waits_for));
    let by_way: Vec<&str> = early.written[1..early.written.len() - 1]
        .iter()
        .map(|step| name(*step))
        .collect();
    let by_way = if by_way.is_empty() {
        String::new()
    } else {
        format!(" (by way of {})", by_way.join(", "))
    };
    let because = early.because;
    let fault = Fault::new(
        early.origin,
        format!(
            "{first} waits for {step}{by_way}, and {} comes before {}",
            because.earlier, because.later
        ),
        because.because,
        format!(
            "let {step} come after {first}: take {} out of the `after` of {}",
            name(early.mend.0),
            name(early.mend.1)
        ),
    )
    .with(job.steps[early.step].origin, format!("{step} is too early"))
    .with(
        job.steps[early.waits_for].origin,
        format!("{first} has to come first"),
    )
    .values(format!("{step} before {first}"));
    if early.is_indirect {
        fault.question()
    } else {
        fault
    }
}
