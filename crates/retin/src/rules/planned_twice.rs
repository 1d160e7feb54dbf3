//! Two lines of the plan that want different things of one place.

use super::{Judge, Rule};
use crate::check::{OnBoard, Share};
use crate::finding::{Fault, Verdict};
use crate::meaning::{NewPart, PlanEntry};
use crate::stage::Stage;

pub(super) const RULE: Rule = Rule {
    name: "planned-twice",
    at: Stage::Order,
    summary: "two plan lines, equally narrow, that want different things of one part",
    page: include_str!("planned_twice.md"),
    judge: Judge::Board(judge),
};

fn judge(on: &OnBoard<'_, '_, '_>, share: &mut Share) {
    let case = on.case;
    for decision in on.decisions() {
        let verdict = match decision.rival {
            Some(rival) if !want_the_same(case.plan_line(decision.line), case.plan_line(rival)) => {
                let (first, second) = (case.plan_line(decision.line), case.plan_line(rival));
                let text = |line: &PlanEntry<'_>| {
                    let words: Vec<&str> =
                        case.sources.text(line.origin).split_whitespace().collect();
                    words.join(" ")
                };
                Verdict::failed(
                    Fault::new(
                        second.origin,
                        format!("`{}` and `{}` both decide {{place}}, and neither is narrower", text(second), text(first)),
                        "the earlier line counts and this one does not, which may be the wrong way round",
                        "take {place} out of one of the two with `except`, or strike one",
                    )
                    .with(first.origin, "this line counts"),
                )
            }
            _ => Verdict::Passed,
        };
        share.answer(&[decision.place], verdict);
    }
}

fn want_the_same(one: &PlanEntry<'_>, other: &PlanEntry<'_>) -> bool {
    one.verb == other.verb
        && one.from == other.from
        && one.mounting == other.mounting
        && one.with.len() == other.with.len()
        && one.with.iter().zip(&other.with).all(|pair| match pair {
            (NewPart::Entry { entry: one, .. }, NewPart::Entry { entry: other, .. }) => {
                one == other
            }
            _ => false,
        })
}
