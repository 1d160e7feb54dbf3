//! Steps that wait for one another.

use super::{Judge, Rule};
use crate::check::Answers;
use crate::finding::{Fault, Verdict};
use crate::meaning::{Case, Job};
use crate::replacement::Chosen;
use crate::stage::Stage;
use crate::time::order::{Circle, MOST_STEPS, order};

pub(super) const RULE: Rule = Rule {
    name: "steps-in-a-circle",
    at: Stage::Fit,
    summary: "steps that wait for one another, so that none of them can begin",
    page: include_str!("steps_in_a_circle.md"),
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
    for circle in &order.circles {
        answers.answer(&[], Verdict::failed(fault(job, circle)));
    }
    if order.circles.is_empty() {
        answers.answer(&[], Verdict::Passed);
    }
}

fn fault(job: &Job<'_>, circle: &Circle) -> Fault {
    let name = |step: usize| job.steps[step].name;
    let last = circle.steps[0];
    let waits: Vec<String> = circle
        .steps
        .iter()
        .zip(circle.steps[1..].iter().chain([&last]))
        .map(|(step, next)| format!("{} waits for {}", name(*step), name(*next)))
        .collect();
    let fact = match circle.steps[..] {
        [step] => format!("{} waits for itself", name(step)),
        _ => waits.join(", "),
    };
    let mut fault = Fault::new(
        circle.origin,
        fact,
        "none of them can begin, and the order that is printed follows one of them wrongly",
        "take one of these names out of its `after`",
    );
    for step in circle.steps.iter().skip(1).take(4) {
        fault = fault.with(job.steps[*step].origin, name(*step));
    }
    fault
}
