//! A part planned for a place that the maker left empty.

use super::{Judge, Rule};
use crate::finding::{Fault, Verdict};
use crate::meaning::{Case, PlaceId};
use crate::stage::Stage;
use retin_syntax::tables::{PlanVerb, Property};

pub(super) const RULE: Rule = Rule {
    name: "empty-place-filled",
    at: Stage::Fit,
    summary: "a part planned for a place that the maker left empty",
    page: include_str!("empty_place_filled.md"),
    judge: Judge::Place(judge),
};

fn judge(case: &Case<'_>, place: PlaceId) -> Verdict {
    if !case.is_unfitted(place) {
        return Verdict::NotApplicable;
    }
    let Some(decision) = case.decision(place) else {
        return Verdict::Passed;
    };
    let line = case.plan_line(decision.line);
    let fills = matches!(
        line.verb,
        PlanVerb::Replace | PlanVerb::Add | PlanVerb::Socket
    );
    // `add` with a reason is no slip: somebody wanted a part where there was none.
    if !fills || (line.verb == PlanVerb::Add && line.because.is_some()) {
        return Verdict::Passed;
    }
    let part = case.part(place.part);
    let empty = part
        .exceptions
        .iter()
        .filter(|exception| exception.copies.contains(&place.copy))
        .find_map(|exception| exception.facts.origin(Property::Unfitted))
        .or_else(|| part.facts.origin(Property::Unfitted))
        .unwrap_or(part.line);
    Verdict::failed(
        Fault::new(
            line.selector.origin,
            "a part is planned for {place}, and the maker left that place empty",
            "the place belongs to another version of the unit, and a part in it changes the circuit",
            "take {place} out of the line, or write `add … because \"…\"` if a part is wanted there",
        )
        .with(empty, "unfitted in the model sheet"),
    )
}
