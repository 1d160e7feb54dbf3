//! Steps that are written to come before what they have to wait for.

use super::{Judge, Rule};
use crate::check::Answers;
use crate::finding::{Fault, Verdict};
use crate::meaning::{BoardCopy, Case, Job, PlaceId, names};
use crate::stage::Stage;
use crate::time::done_early::{DoneEarly, done_early};
use crate::time::order::{Order, TooEarly, Why};
use retin_syntax::tables::StepVerb;

pub(super) const RULE: Rule = Rule {
    name: "step-too-early",
    at: Stage::Fit,
    summary: "a step that is written, or done, before what it has to wait for",
    page: include_str!("step_too_early.md"),
    judge: Judge::Steps(judge),
};

fn judge(case: &Case<'_>, job: &Job<'_>, order: &Order, answers: &mut Answers<'_, '_>) {
    for early in &order.too_early {
        let places = places(case, job, early.step);
        answers.answer(&places, Verdict::failed(written(job, early)));
    }
    let unread = case.unread_in_log();
    let is_on_unread_line =
        |board: &BoardCopy| unread.iter().any(|place| case.copy_of(*place) == *board);
    for early in done_early(case, job, order) {
        if early.boards.iter().any(is_on_unread_line) {
            let fact = "what a line of the log says of the board that cannot be read";
            answers.answer(&[], Verdict::lacks(fact));
            continue;
        }
        let fault = done(case, job, &early);
        // Whether there are pictures at all is for another rule to say.
        let is_silent = early.done_later.is_none();
        if is_silent && job.steps[early.waits_for].verb == StepVerb::Photograph {
            continue;
        }
        let places = &job.log[early.entry].subject.places;
        answers.answer(places, Verdict::failed(fault));
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

fn done(case: &Case<'_>, job: &Job<'_>, early: &DoneEarly) -> Fault {
    let (step, first) = (&job.steps[early.step], &job.steps[early.waits_for]);
    let boards = names::compress(early.boards.iter().map(|copy| case.name_of_copy(*copy)));
    let entry = &job.log[early.entry];
    let consequence = match early.why {
        Some(Why::Bench(precedence)) => precedence.because.to_owned(),
        _ => format!("{} waits for {} for a reason", step.name, first.name),
    };
    let past = first
        .verb
        .past()
        .and_then(|token| token.reserved_text())
        .unwrap_or("");
    let fault = match early.done_later {
        Some(later) => Fault::new(
            entry.origin,
            format!(
                "this does the work of {}, and {} was done at {boards} only afterwards",
                step.name, first.name
            ),
            consequence,
            format!(
                "look at what that has cost; where {} was done before, mend the log with `corrected`",
                first.name
            ),
        )
        .with(job.log[later].origin, format!("{} here", first.name)),
        None => Fault::new(
            entry.origin,
            format!(
                "this does the work of {}, and the log does not say that {} is finished at {boards}",
                step.name, first.name
            ),
            consequence,
            format!("finish {} first; where it is done, write what was {past}", first.name),
        )
        .question(),
    };
    fault.with(
        step.origin,
        format!("{} waits for {}", step.name, first.name),
    )
}
