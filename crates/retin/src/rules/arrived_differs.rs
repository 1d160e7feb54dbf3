//! What came is not what was planned.

use super::{Judge, Rule};
use crate::check::{Answers, Choices};
use crate::finding::{Fault, Verdict};
use crate::meaning::{Act, Case, NewPart, Ordered};
use crate::replacement::{Chosen, NewSide, objection};
use crate::stage::Stage;

pub(super) const RULE: Rule = Rule {
    name: "arrived-differs",
    at: Stage::Fit,
    summary: "what came in place of an ordered part does not suit the places it was ordered for",
    page: include_str!("arrived_differs.md"),
    judge: Judge::Choice(judge),
};

fn judge(case: &Case<'_>, choices: &Choices<'_, '_, '_>, answers: &mut Answers<'_, '_>) {
    let chosen = choices.chosen;
    let Some(job) = &case.job else {
        return;
    };
    for (_, entry) in job.happened() {
        let Act::Arrived { items, instead } = &entry.act else {
            continue;
        };
        let Some(instead) = instead else {
            for _ in items.iter().filter(|item| item.entry.is_some()) {
                answers.answer(&[], Verdict::Passed);
            }
            continue;
        };
        for item in items {
            one(case, chosen, item, instead, answers);
        }
    }
}

fn one<'a>(
    case: &Case<'a>,
    chosen: &[Chosen<'_, 'a>],
    item: &Ordered,
    instead: &NewPart<'a>,
    answers: &mut Answers<'_, '_>,
) {
    let Some(ordered) = item.entry else {
        answers.answer(&[], Verdict::lacks("the shelf entry of what was ordered"));
        return;
    };
    let wanted = chosen.iter().filter_map(|chosen| match chosen {
        Chosen::New(replacement) if replacement.new.entry == Some(ordered) => Some(replacement),
        _ => None,
    });
    let mut is_wanted = false;
    for replacement in wanted {
        is_wanted = true;
        let places: Vec<_> = replacement.places().collect();
        let candidate = replacement.with_new(NewSide::of(case, instead, case.entry(ordered).kind));
        let verdict = match objection(&candidate) {
            None => Verdict::Passed,
            Some(objection) => Verdict::failed(
                Fault::new(
                    instead.origin(),
                    format!(
                        "{} was ordered, and what came does not suit {{place}}: {objection}",
                        case.entry(ordered).name
                    ),
                    "fitted as if it were what was planned, it would be found when the unit fails, or not at all",
                    "send it back, or plan another part for these places",
                )
                .with(case.entry(ordered).line, "what was ordered"),
            ),
        };
        answers.answer(&places, verdict);
    }
    if !is_wanted {
        answers.answer(&[], Verdict::Passed);
    }
}
