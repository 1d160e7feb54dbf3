//! A decision that needs a reason and has none.

use super::{Judge, Rule};
use crate::check::Answers;
use crate::finding::{Fault, Verdict};
use crate::meaning::Case;
use crate::sources::Origin;
use crate::stage::Stage;
use retin_syntax::tables::PlanVerb;

pub(super) const RULE: Rule = Rule {
    name: "because-missing",
    at: Stage::Order,
    summary: "an `accept`, `leave` or `remove` line without its reason",
    page: include_str!("because_missing.md"),
    judge: Judge::Case(judge),
};

fn judge(case: &Case<'_>, answers: &mut Answers<'_, '_>) {
    for line in &case.plan {
        let what = match line.verb {
            PlanVerb::Leave => "this leaves a part as it is and does not say why",
            PlanVerb::Remove => "this takes a part out for good and does not say why",
            _ => continue,
        };
        answers.answer(&[], verdict(line.origin, line.because, what));
    }
    for acceptance in &case.acceptances {
        let what = format!("this overrules {} and does not say why", acceptance.rule);
        answers.answer(&[], verdict(acceptance.origin, acceptance.because, &what));
    }
}

fn verdict(origin: Origin, because: Option<&str>, what: &str) -> Verdict {
    if because.is_some_and(|text| !text.trim().is_empty()) {
        return Verdict::Passed;
    }
    Verdict::failed(Fault::new(
        origin,
        what,
        "in ten years nobody can tell a decision from an oversight",
        "write the reason at the end of the line, `because \"…\"`",
    ))
}
