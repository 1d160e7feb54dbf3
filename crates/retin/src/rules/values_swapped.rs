//! Two places that hold each other's values.

use super::{Judge, Rule, value_mismatch};
use crate::check::{Answers, Choices, OnBoard, Share};
use crate::finding::{Edit, Fault, Fix, Verdict};
use crate::meaning::{Case, PlaceId};
use crate::replacement::{Chosen, Replacement};
use crate::sources::Origin;
use crate::stage::Stage;
use crate::swaps::{FoundPair, found_pairs};
use retin_syntax::tables::Property;

pub(super) const RULE: Rule = Rule {
    name: "values-swapped",
    at: Stage::Fit,
    summary: "two places that hold, or are planned to hold, each other's values",
    page: include_str!("values_swapped.md"),
    judge: Judge::BoardAndUnit(judge, planned_pairs),
};

fn judge(on: &OnBoard<'_, '_, '_>, share: &mut Share) {
    for one in on.new_parts().filter(|one| one.swapped_with.is_none()) {
        let is_judged = matches!(
            one.verdict_of(&value_mismatch::RULE, value_mismatch::judge),
            Verdict::Passed | Verdict::Failed(_)
        );
        if is_judged {
            let places: Vec<PlaceId> = one.places().collect();
            share.answer(&places, Verdict::Passed);
        }
    }
    for pair in found_pairs(on.case, on.board) {
        share.answer(&pair.places, Verdict::failed(found(on.case, &pair)));
    }
}

/// The planned ones, which may be on two boards.
fn planned_pairs(_: &Case<'_>, choices: &Choices<'_, '_, '_>, answers: &mut Answers<'_, '_>) {
    let chosen = choices.chosen;
    for (index, one) in chosen.iter().enumerate() {
        let Chosen::New(one) = one else { continue };
        let other = one.swapped_with.filter(|other| *other > index);
        if let Some(Chosen::New(other)) = other.and_then(|other| chosen.get(other)) {
            let places: Vec<PlaceId> = one.places().chain(other.places()).collect();
            answers.answer(&places, Verdict::failed(planned(one, other)));
        }
    }
}

fn planned(one: &Replacement<'_, '_>, other: &Replacement<'_, '_>) -> Fault {
    let (first, second) = names(one.case, one.place, other.place);
    let gets = |replacement: &Replacement<'_, '_>| {
        replacement
            .new
            .value()
            .map(|value| value.to_string())
            .unwrap_or_default()
    };
    let asks = |replacement: &Replacement<'_, '_>| {
        replacement
            .old_value()
            .map(|value| value.to_string())
            .unwrap_or_default()
    };
    let is_done = one.fitted.is_some() && other.fitted.is_some();
    let mut fault = Fault::new(
        one.new.origin,
        format!(
            "{{place}} {} each other's values: {first} {} {} in place of {}, {second} {} in place of {}",
            if is_done { "hold" } else { "would hold" },
            if is_done { "got" } else { "would get" },
            gets(one),
            asks(one),
            gets(other),
            asks(other),
        ),
        "both stages would be off, each in its own way, and a list checked by counting would look right",
        if is_done {
            "exchange the two parts on the board, and write what was done"
        } else {
            "exchange the two parts in the plan"
        },
    )
    .with(other.new.origin, format!("the part for {second}"));
    for replacement in [one, other] {
        if let Some((source, stated)) = replacement.old.get(Property::Value) {
            fault = fault.with(
                stated.origin,
                format!(
                    "what is asked for at {} is {}, by {}",
                    replacement.part.name,
                    asks(replacement),
                    source.phrase()
                ),
            );
        }
    }
    // A line that is about other places too cannot be changed for one of them.
    let is_alone = |replacement: &Replacement<'_, '_>| {
        replacement.line.selector.places.len() == replacement.copies.len()
    };
    let is_plan = one.fitted.is_none() && other.fitted.is_none();
    if is_plan && is_alone(one) && is_alone(other) {
        let text = |origin: Origin| {
            origin
                .span
                .of(&one.case.sources.file(origin.file).text)
                .to_owned()
        };
        fault = fault.fix(Fix {
            title: "exchange the two new parts".into(),
            edits: vec![
                Edit {
                    origin: one.new.origin,
                    text: text(other.new.origin),
                },
                Edit {
                    origin: other.new.origin,
                    text: text(one.new.origin),
                },
            ],
        });
    }
    fault.values(format!("{} and {} exchanged", gets(one), gets(other)))
}

fn found(case: &Case<'_>, pair: &FoundPair) -> Fault {
    let [one, other] = pair.places;
    let (first, second) = names(case, one, other);
    let stated = |place: PlaceId| {
        case.part(place.part)
            .facts
            .quantity(Property::Value)
            .map(|value| value.to_string())
            .unwrap_or_default()
    };
    let who = case.part(one.part).headline.phrase();
    Fault::new(
        pair.origins[0],
        format!(
            "{{place}} were found with each other's values: {first} held {} where {who} has {}, {second} held {} where it has {}",
            pair.found[0],
            stated(one),
            pair.found[1],
            stated(other),
        ),
        "an earlier repair exchanged them, and copying what was found would keep its mistake",
        "look at the circuit; if it is right, fit by it, and write `go by` with the source that you trust below both places",
    )
    .with(pair.origins[1], format!("what was found in {second}"))
    .with(case.part(one.part).line, format!("{first} as {who} has it"))
    .with(case.part(other.part).line, format!("{second} as {} has it", case.part(other.part).headline.phrase()))
    .values(format!("{} and {} exchanged", pair.found[0], pair.found[1]))
}

/// The two places by their own names, with the board where it is not the same.
fn names(case: &Case<'_>, one: PlaceId, other: PlaceId) -> (String, String) {
    if case.part(one.part).board == case.part(other.part).board {
        (
            case.part(one.part).name.clone(),
            case.part(other.part).name.clone(),
        )
    } else {
        (case.name_of(one), case.name_of(other))
    }
}
