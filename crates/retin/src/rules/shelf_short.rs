//! More parts planned than the shelf has.

use super::{Judge, Rule};
use crate::check::{Answers, Choices};
use crate::finding::{Fault, Verdict};
use crate::meaning::{Case, FactValue};
use crate::shop;
use crate::stage::Stage;
use retin_syntax::tables::Property;
use retin_syntax::value::{Decimal, Value};

pub(super) const RULE: Rule = Rule {
    name: "shelf-short",
    at: Stage::Order,
    summary: "more of a part planned than there are in the drawer and on their way",
    page: include_str!("shelf_short.md"),
    judge: Judge::Choice(judge),
};

/// Judges this job alone; what several jobs want together is for [`shop::short`].
fn judge(case: &Case<'_>, choices: &Choices<'_, '_, '_>, answers: &mut Answers<'_, '_>) {
    if shop::is_closed(case) {
        return;
    }
    for need in choices.needs() {
        let entry = case.entry(need.entry);
        let wanted = Decimal::from(need.count);
        let verdict = match entry.have() {
            None => Verdict::lacks(
                match entry.facts.get(Property::Have).map(|fact| &fact.value) {
                    Some(FactValue::Value(Value::Unreadable)) => {
                        "a readable count of what the shelf has"
                    }
                    _ => "how many the shelf has, `have 12`",
                },
            ),
            Some(have) => {
                let coming = entry.facts.number(Property::Coming).unwrap_or_default();
                if wanted <= have.saturating_add(coming) {
                    Verdict::Passed
                } else {
                    let there = shop::there(have, coming);
                    let mut fault = Fault::new(
                        need.origin,
                        format!("the plan uses {wanted} of {} for {{place}}, and {there}", entry.name),
                        "the job stops half done, or the last ones are taken from another job's bag",
                        format!("order {} more, or count the drawer again", wanted.saturating_sub(have.saturating_add(coming)).normalize()),
                    )
                    .values(format!("{wanted} of {}", have.saturating_add(coming).normalize()));
                    if let Some(origin) = entry.facts.origin(Property::Have) {
                        fault = fault.with(origin, "what the shelf has");
                    }
                    Verdict::failed(fault)
                }
            }
        };
        answers.answer(&need.places, verdict);
    }
}
