//! A place for which the shelves hold nothing that fits.

use super::{Judge, Rule};
use crate::check::{OnBoard, Share};
use crate::finding::{Fault, Verdict};
use crate::meaning::{Case, EntryId, PlaceId, PlanEntry};
use crate::replacement::Chosen;
use crate::stage::Stage;
use retin_syntax::tables::Property;

pub(super) const RULE: Rule = Rule {
    name: "nothing-fits",
    at: Stage::Order,
    summary: "a place whose new part is left to a shelf that holds nothing suitable",
    page: include_str!("nothing_fits.md"),
    judge: Judge::Board(judge),
};

fn judge(on: &OnBoard<'_, '_, '_>, share: &mut Share) {
    let case = on.case;
    for chosen in on.chosen {
        match chosen {
            Chosen::New(replacement) => {
                let places: Vec<PlaceId> = replacement.places().collect();
                let is_chosen = replacement.line.with.is_empty();
                share.answer(
                    &places,
                    if is_chosen {
                        Verdict::Passed
                    } else {
                        Verdict::NotApplicable
                    },
                );
            }
            Chosen::Nothing {
                place,
                copies,
                line,
                nearest,
            } => {
                let places: Vec<PlaceId> = copies
                    .iter()
                    .map(|copy| PlaceId {
                        copy: *copy,
                        ..*place
                    })
                    .collect();
                share.answer(&places, nothing(case, *place, line, nearest));
            }
        }
    }
}

fn nothing(
    case: &Case<'_>,
    place: PlaceId,
    line: &PlanEntry<'_>,
    nearest: &[(EntryId, String)],
) -> Verdict {
    if line.from.is_empty() {
        return Verdict::lacks("what goes in: a shelf or a part that exists");
    }
    let old = case.goes_by(place);
    let Some(kind) = old.kind else {
        return Verdict::lacks("the kind of the old part, to choose by");
    };
    let value = old.get(Property::Value).map(|(_, fact)| fact.origin);
    let device = old.word(Property::Device);
    if kind.row().value.is_some() && device.is_none() && old.quantity(Property::Value).is_none() {
        return Verdict::lacks("the old part's value, to choose by");
    }
    let mut from = line.from.iter().map(|shelf| &case.shelves[*shelf]);
    if !from.all(|shelf| case.is_shelf_read_whole(shelf)) {
        return Verdict::lacks("the lines of the shelf that cannot be read");
    }
    let shelves: Vec<&str> = line
        .from
        .iter()
        .map(|shelf| case.shelves[*shelf].name)
        .collect();
    let shelves = shelves.join(" and ");
    let wanted = match (
        old.quantity(Property::Value),
        old.quantity(Property::Volts),
        device,
    ) {
        (Some(value), Some(volts), _) => format!("{}, {value} {volts}", kind.with_article()),
        (Some(value), None, _) => format!("{}, {value}", kind.with_article()),
        (None, _, Some(device)) => format!("{}, {device}", kind.with_article()),
        (None, _, None) => kind.with_article(),
    };
    let remedy = if nearest.is_empty() {
        format!("put a suitable part on the shelf {shelves}, or name one in the plan with `with`")
    } else {
        "order one of the right value and rating, or name a part in the plan with `with` and accept what speaks against it".into()
    };
    let mut fault = Fault::new(
        line.origin,
        format!("nothing on the shelf {shelves} fits {{place}}; {wanted} is asked for"),
        "the order list would lack it, and the job would stop at an empty place",
        remedy,
    );
    fault = fault.with(
        value.unwrap_or(case.part(place.part).line),
        "what {place asks} for",
    );
    for (entry, objection) in nearest {
        let entry = case.entry(*entry);
        let is_named = objection.starts_with(&entry.name);
        fault = fault.with(
            entry.line,
            if is_named {
                objection.clone()
            } else {
                format!("{}: {objection}", entry.name)
            },
        );
    }
    Verdict::failed(fault.values(format!("nothing for {wanted}")))
}
