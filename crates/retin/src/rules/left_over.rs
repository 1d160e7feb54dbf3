//! What was planned, taken out and put in does not add up.

use super::{Judge, Rule};
use crate::check::{OnBoard, Share};
use crate::finding::{Fault, Verdict};
use crate::meaning::{Case, PlaceId};
use crate::stage::Stage;
use crate::time::{Content, Left};
use retin_syntax::tables::PlanVerb;

pub(super) const RULE: Rule = Rule {
    name: "left-over",
    at: Stage::Power,
    summary: "what the plan wants, what came out and what went in do not add up",
    page: include_str!("left_over.md"),
    judge: Judge::Board(judge),
};

fn judge(on: &OnBoard<'_, '_, '_>, share: &mut Share) {
    if on.case.job.is_some() {
        share.answer_by_cause(on.places().map(|place| (place, one(on, place))));
    }
}

fn one(on: &OnBoard<'_, '_, '_>, place: PlaceId) -> Verdict {
    let case = on.case;
    let decision = case.decision(place);
    let line = decision.map(|decision| case.plan_line(decision.line));
    let state = case.replay.place(place);
    let is_planned = line.is_some_and(|line| {
        matches!(
            line.verb,
            PlanVerb::Replace | PlanVerb::Add | PlanVerb::Remove | PlanVerb::Socket
        )
    });
    if let Some(unplanned) = unplanned(case, place) {
        return unplanned;
    }
    let left = case.replay.left_at(case, place);
    let is_left = matches!(
        left,
        Some(Left::Replace | Left::Remove | Left::Fit | Left::Chip | Left::TakenOut)
    );
    if !is_left {
        return if is_planned || state.removed.is_some() {
            Verdict::Passed
        } else {
            Verdict::NotApplicable
        };
    }
    // Chips wait outside until the rails are read.
    let gate = if left == Some(Left::Chip) || is_socketed_out(case, place) {
        Stage::Close
    } else {
        Stage::Power
    };
    if !on.has_reached(gate, case.copy_of(place)) {
        return Verdict::lacks("the end of the work on this place");
    }
    let job = case.job.as_ref();
    let removal = state
        .removed
        .and_then(|index| job.and_then(|job| job.told(index)));
    let origin = line
        .map(|line| line.origin)
        .or(removal.map(|entry| entry.origin));
    let Some(origin) = origin else {
        return Verdict::NotApplicable;
    };
    let (fact, remedy) = match left {
        Some(Left::Replace) => (
            "by the plan a new part goes into {place}, and the log has the old one still in",
            "replace it, or say in the plan why it stays",
        ),
        Some(Left::Remove) => (
            "by the plan the part in {place} comes out, and the log has it still in",
            "take it out, or say in the plan why it stays",
        ),
        Some(Left::Chip) => (
            "the chip is out at {place}, and the log does not put it back",
            "put it in once the rails are read, and write `fitted`",
        ),
        Some(Left::TakenOut) => (
            "a part came out at {place}, and nothing went in; the plan does not take it out",
            "put it back, or plan what becomes of the place",
        ),
        _ => (
            "{place is} empty, and the plan wants a new part there",
            "fit it, or say in the plan why the place stays empty",
        ),
    };
    let mut fault = Fault::new(
        origin,
        fact,
        "the board has power with something missing on it, and what does not work then looks like another fault",
        remedy,
    );
    if let (Some(removal), true) = (removal, line.is_some()) {
        fault = fault.with(removal.origin, "taken out here");
    }
    Verdict::failed(fault)
}

fn is_socketed_out(case: &Case<'_>, place: PlaceId) -> bool {
    use retin_syntax::Token;
    use retin_syntax::tables::Property;
    let is_out = case.replay.place(place).content == Content::Empty;
    let facts = &case.part(place.part).facts;
    is_out && facts.is(Property::Feature, Token::Socketed)
}

fn ages(case: &Case<'_>, place: PlaceId) -> bool {
    let kind = case.part(place.part).kind;
    kind.is_some_and(|kind| kind.row().ages) && !case.is_unfitted(place)
}

/// A part that went in where the plan has none go in.
fn unplanned(case: &Case<'_>, place: PlaceId) -> Option<Verdict> {
    let state = case.replay.place(place);
    let entry = case.job.as_ref()?.told(state.fitted?)?;
    if state.content != Content::New {
        return None;
    }
    let verb = case
        .decision(place)
        .map(|decision| case.plan_line(decision.line).verb);
    let wants = match verb {
        // Without a plan the log is the only record.
        None if case.plan.is_empty() => return None,
        // Of a kind that ages, `not-dealt-with` tells that the plan forgets it.
        None if ages(case, place) => return None,
        None => "the plan does not speak of it",
        Some(PlanVerb::Keep | PlanVerb::Leave) => {
            // A chip that is kept goes back into its socket; a part, after its accident.
            let is_back = entry.because.is_some()
                || case
                    .replay
                    .accidents
                    .iter()
                    .any(|record| record.is_of_part(place));
            let names_part = case
                .job
                .as_ref()
                .and_then(|job| job.fitted_with(state.fitted?))
                .is_some_and(|(with, _)| !with.is_empty());
            if is_back || !names_part {
                return None;
            }
            "by the plan the old one stays"
        }
        Some(PlanVerb::Remove | PlanVerb::Absent) => "by the plan the place stays empty",
        Some(PlanVerb::Replace | PlanVerb::Add | PlanVerb::Socket) => return None,
    };
    if verb.is_none() && entry.because.is_some() {
        return None;
    }
    Some(Verdict::failed(
        Fault::new(
            entry.origin,
            format!("a part was fitted in {{place}}, and {wants}"),
            "either it sits in the wrong place, or the report and the bill will not have it",
            "look whether it is in the right place; if so, bring the plan up to date",
        )
        .question(),
    ))
}
