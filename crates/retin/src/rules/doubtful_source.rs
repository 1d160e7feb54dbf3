//! A part that is often counterfeited, from nobody knows where.

use super::{Judge, Rule};
use crate::check::{OnBoard, Share};
use crate::finding::{Fault, Verdict};
use crate::meaning::{Act, Case, EntryId, Facts};
use crate::replacement::Replacement;
use crate::stage::Stage;
use retin_syntax::Token;
use retin_syntax::tables::Property;
use retin_syntax::value::Decimal;

pub(super) const RULE: Rule = Rule {
    name: "doubtful-source",
    at: Stage::Fit,
    summary: "a part that is often counterfeited, without maker and lot and without a sample tried",
    page: include_str!("doubtful_source.md"),
    judge: Judge::Board(judge),
};

/// Looks at what was chosen rather than at candidates: a doubtful part is still
/// the right type, and the doubt can be settled after it was ordered.
fn judge(on: &OnBoard<'_, '_, '_>, share: &mut Share) {
    for replacement in on.new_parts() {
        let verdict = one(on.case, replacement);
        if verdict != Verdict::NotApplicable {
            let places: Vec<_> = replacement.places().collect();
            share.answer(&places, verdict);
        }
    }
}

fn one(case: &Case<'_>, replacement: &Replacement<'_, '_>) -> Verdict {
    let facts = replacement.new.facts;
    let device = facts.word(Property::Device);
    let is_risky_type = device
        .and_then(|device| case.library.device(device))
        .is_some_and(|device| device.facts.is(Property::Feature, Token::Risky));
    if !is_risky_type && !facts.is(Property::Feature, Token::Risky) {
        return Verdict::NotApplicable;
    }
    if replacement.new.entry.is_none() {
        return Verdict::lacks("the shelf entry of the new part, with its maker and lot");
    }
    if is_traced(facts) || has_arrived_traced(case, replacement.new.entry) {
        return Verdict::Passed;
    }
    let called = replacement.new.called();
    let known = match (facts.has(Property::Maker), facts.has(Property::Lot)) {
        (true, false) => "its lot is not written down and no sample was tried",
        (false, true) => "its maker is not written down and no sample was tried",
        _ => "neither its maker and lot are written down nor a sample was tried",
    };
    let what = device.map_or_else(String::new, |device| format!(", {device},"));
    Verdict::failed(
        Fault::new(
            replacement.new.origin,
            format!("{called}{what} for {{place}} is of a type that is often counterfeited, and {known}"),
            "a copy with another die inside fails warm, at times with what is around it",
            "write `maker \"…\" lot \"…\"` on the shelf entry, or try some under load and write `sampled 2`",
        )
        .with(replacement.new.described, "the shelf entry"),
    )
}

/// Whether the log has the entry arrive with its maker and lot, or tried.
fn has_arrived_traced(case: &Case<'_>, entry: Option<EntryId>) -> bool {
    let mut arrivals = case.job.iter().flat_map(|job| job.happened());
    arrivals.any(|(_, arrival)| match &arrival.act {
        Act::Arrived { items, instead } => {
            instead.is_none()
                && items
                    .iter()
                    .any(|item| item.entry.is_some() && item.entry == entry)
                && is_traced(&arrival.facts)
        }
        _ => false,
    })
}

fn is_traced(facts: &Facts<'_>) -> bool {
    let is_sampled = facts
        .number(Property::Sampled)
        .is_some_and(|count| count >= Decimal::ONE);
    is_sampled || (facts.word(Property::Maker).is_some() && facts.word(Property::Lot).is_some())
}
