//! Parts that have to be alike, and read too far apart.

use super::{Judge, Rule, limits};
use crate::check::{OnBoard, Share};
use crate::finding::{Fault, Verdict};
use crate::meaning::{BoardId, Case, FactValue, PartId, PlaceId, Point};
use crate::sources::Origin;
use crate::stage::Stage;
use crate::time::Content;
use retin_syntax::tables::{Kind, PlanVerb, Property};
use retin_syntax::token::Token;
use retin_syntax::value::{Decimal, Dimension, Quantity};

pub(super) const RULE: Rule = Rule {
    name: "matched-group",
    at: Stage::Fit,
    summary: "parts that have to be alike, and whose readings lie too far apart",
    page: include_str!("matched_group.md"),
    judge: Judge::Board(judge),
};

fn judge(on: &OnBoard<'_, '_, '_>, share: &mut Share) {
    let case = on.case;
    if case.job.is_none() {
        return;
    }
    for group in groups(case, on.board) {
        let Some(first) = group.first() else {
            continue;
        };
        for copy in 0..case.board_of(*first).copies.len() as u16 {
            let places: Vec<PlaceId> = group
                .iter()
                .map(|part| PlaceId { part: *part, copy })
                .collect();
            if places.iter().any(|place| is_new(case, *place)) {
                for verdict in one(case, &places) {
                    share.answer(&places, verdict);
                }
            }
        }
    }
}

/// The groups that `matched with` makes, each part in one of them.
fn groups(case: &Case<'_>, board: BoardId) -> Vec<Vec<PartId>> {
    let mut groups: Vec<Vec<PartId>> = Vec::new();
    let on_board = &case.board(board).parts;
    for &own in on_board {
        let Some(fact) = case.part(own).facts.get(Property::Matched) else {
            continue;
        };
        let FactValue::Names(names) = &fact.value else {
            continue;
        };
        let others = on_board.iter().copied().filter(|other| {
            let name = case.part(*other).name.as_str();
            names.iter().any(|wanted| {
                *wanted == name
                    || crate::meaning::names::expand(wanted)
                        .is_ok_and(|all| all.iter().any(|one| one == name))
            })
        });
        let mut members: Vec<PartId> = std::iter::once(own).chain(others).collect();
        let touching = groups
            .iter()
            .position(|group| group.iter().any(|part| members.contains(part)));
        if let Some(known) = touching {
            members.extend(groups.remove(known));
        }
        members.sort_unstable();
        members.dedup();
        groups.push(members);
    }
    groups.retain(|group| group.len() > 1);
    groups
}

/// Whether the place holds a new part, or is to get one.
fn is_new(case: &Case<'_>, place: PlaceId) -> bool {
    let verb = case
        .decision(place)
        .map(|decision| case.plan_line(decision.line).verb);
    case.replay.place(place).content == Content::New || verb == Some(PlanVerb::Replace)
}

/// The last reading of a place that is a number of this sort.
fn last(case: &Case<'_>, place: PlaceId, what: What) -> Option<(Decimal, Origin)> {
    case.replay.readings.iter().rev().find_map(|reading| {
        if reading.point != Point::Place(place) {
            return None;
        }
        let read = &reading.reading;
        let number = match what {
            What::Gain => (read.property == Some(Property::Gain)).then(|| read.number())?,
            What::Vbe => (read.property == Some(Property::Vbe))
                .then(|| read.quantity())?
                .map(|quantity| quantity.number),
            What::Value(dimension) => read
                .quantity()
                .filter(|quantity| read.property.is_none() && quantity.dimension == dimension)
                .map(|quantity| quantity.number),
        }?;
        Some((number, read.origin))
    })
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum What {
    Gain,
    Vbe,
    Value(Dimension),
}

fn one(case: &Case<'_>, places: &[PlaceId]) -> Vec<Verdict> {
    let kind = places.first().and_then(|place| case.part(place.part).kind);
    let whats: Vec<What> = match kind {
        Some(kind) if kind.is_covered_by(Token::Transistor) => vec![What::Gain, What::Vbe],
        Some(kind) => kind.row().value.map(What::Value).into_iter().collect(),
        None => Vec::new(),
    };
    let mut verdicts = Vec::new();
    for what in whats {
        let read: Vec<(PlaceId, Decimal, Origin)> = places
            .iter()
            .filter_map(|place| {
                let (number, origin) = last(case, *place, what)?;
                Some((*place, number, origin))
            })
            .collect();
        if read.len() == places.len() {
            verdicts.push(spread(case, what, &read));
        }
    }
    if verdicts.is_empty() {
        verdicts.push(Verdict::lacks(match kind.map(Kind::token) {
            Some(_) if kind.is_some_and(|kind| kind.is_covered_by(Token::Transistor)) => {
                "the gain or the base-emitter voltage of each of a matched group"
            }
            _ => "a reading of each of a matched group",
        }));
    }
    verdicts
}

fn spread(case: &Case<'_>, what: What, read: &[(PlaceId, Decimal, Origin)]) -> Verdict {
    let (Some(least), Some(most)) = (
        read.iter().min_by_key(|row| row.1),
        read.iter().max_by_key(|row| row.1),
    ) else {
        return Verdict::NotApplicable;
    };
    let apart = most.1 - least.1;
    let share = apart.checked_div(least.1);
    let (is_within, limit, name) = match what {
        What::Gain => (
            share.is_some_and(|share| share <= limits::MATCHED_GAIN),
            "10%".to_owned(),
            "gain",
        ),
        What::Vbe => (
            apart <= limits::MATCHED_VBE,
            Quantity::new(limits::MATCHED_VBE, Dimension::Voltage).to_string(),
            "base-emitter voltage",
        ),
        What::Value(_) => (
            share.is_some_and(|share| share <= limits::MATCHED_VALUE),
            "1%".to_owned(),
            "value",
        ),
    };
    if is_within {
        return Verdict::Passed;
    }
    let written = |number: Decimal| match what {
        What::Gain => number.normalize().to_string(),
        What::Vbe => Quantity::new(number, Dimension::Voltage).to_string(),
        What::Value(dimension) => Quantity::new(number, dimension).to_string(),
    };
    Verdict::failed(
        Fault::new(
            most.2,
            format!(
                "{{place}} have to be alike, and their {name} runs from {} in {} to {} in {}, more than {limit} apart",
                written(least.1),
                case.part(least.0.part).name,
                written(most.1),
                case.part(most.0.part).name
            ),
            "the stage is out of balance: offset, distortion, and a trimmer at its stop",
            "pick others that lie closer together, measured at the same current and temperature",
        )
        .with(least.2, "the lowest reading")
        .values(format!("{} to {}", written(least.1), written(most.1))),
    )
}
