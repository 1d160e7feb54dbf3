//! Steps that wait for one another.

use super::{Judge, Rule};
use crate::check::Answers;
use crate::finding::{Fault, Verdict};
use crate::meaning::{Case, Job};
use crate::stage::Stage;
use crate::time::order::{Circle, Order};
use crate::words::listed;

pub(super) const RULE: Rule = Rule {
    name: "steps-in-a-circle",
    at: Stage::Fit,
    summary: "steps that wait for one another, so that none of them can begin",
    page: include_str!("steps_in_a_circle.md"),
    judge: Judge::Steps(judge),
};

fn judge(_case: &Case<'_>, job: &Job<'_>, order: &Order, answers: &mut Answers<'_, '_>) {
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
    let (fact, consequence, remedy) = match circle.steps[..] {
        [step] => (
            format!("{} waits for itself", name(step)),
            "it can never begin, so the printed order passes over this wait",
            "take its own name out of its `after`, or name the step that is meant",
        ),
        _ => (
            listed(&waits),
            "each holds up the other, so the printed order has to break one of these waits, perhaps the wrong one",
            "settle which comes first at the bench, and take the other name out of its `after`",
        ),
    };
    let mut fault = Fault::new(circle.origin, fact, consequence, remedy);
    for step in circle.steps.iter().skip(1).take(4) {
        fault = fault.with(job.steps[*step].origin, name(*step));
    }
    fault
}
