//! That what keeps a charge was emptied since the unit last had power.

use super::{Ask, Asked};
use crate::finding::Fault;
use crate::meaning::{Act, Case, PlaceId, Point};
use crate::rules::limits::DISCHARGED;
use crate::time::cautions::has_mains;
use crate::time::replay::PointReading;
use crate::time::state::Content;
use retin_syntax::tables::{Property, StepVerb};
use retin_syntax::token::Token;
use retin_syntax::value::{Dimension, Quantity};

/// Reservoirs, and what a step wants discharged.
fn keepers(ask: &Ask<'_, '_>) -> Vec<PlaceId> {
    let is_reservoir = |place: &PlaceId| {
        let part = ask.case.part(place.part);
        part.facts.is(Property::Role, Token::Reservoir) && !ask.case.is_unfitted(*place)
    };
    let steps = ask.job.steps.iter();
    let named = steps
        .filter(|step| step.verb == StepVerb::Discharge)
        .flat_map(|step| step.about.places.iter().copied());
    let mut places: Vec<PlaceId> = ask.case.places().filter(is_reservoir).collect();
    places.extend(named);
    places.sort_unstable();
    places.dedup();
    places
}

/// What the log shows of a charge.
enum Charge {
    /// Emptied, and read.
    Gone,
    /// Never emptied since it may have been charged.
    Kept,
    /// Emptied, and no reading shows it.
    Unread,
    /// Emptied, and still there.
    Read(Quantity),
}

fn charge(ask: &Ask<'_, '_>, place: PlaceId) -> Charge {
    let case = ask.case;
    let powered = ask.replay.board(case.copy_of(place)).powered_last;
    let is_emptied = |entry: &crate::meaning::LogEntry<'_>| {
        matches!(entry.act, Act::Discharged)
            && (entry.subject.is_everything
                || entry.subject.covers(case, place)
                || entry.subject.pads.iter().any(|pad| pad.place == place))
    };
    let emptied = ask
        .job
        .happened()
        .filter(|(index, entry)| powered.is_none_or(|power| *index > power) && is_emptied(entry))
        .map(|(index, _)| index)
        .last();
    let Some(emptied) = emptied else {
        return Charge::Kept;
    };
    let volts = ask
        .replay
        .readings
        .iter()
        .filter(|reading| reading.entry >= emptied && is_of_charge(case, reading, place))
        .filter_map(|reading| reading.reading.quantity())
        .rfind(|quantity| {
            matches!(
                quantity.dimension,
                Dimension::Voltage | Dimension::AcVoltage
            )
        });
    match volts {
        None => Charge::Unread,
        Some(volts) if volts.number.abs() <= DISCHARGED => Charge::Gone,
        Some(volts) => Charge::Read(volts),
    }
}

/// Whether a reading tells what lies across a part: from one of its leads to the
/// other, or to ground.
fn is_of_charge(case: &Case<'_>, reading: &PointReading<'_>, place: PlaceId) -> bool {
    let is_other_end = match reading.to {
        None => !case.is_at_ground(reading.point),
        Some(to) => {
            let nets = [reading.point, to].map(|point| case.net_of(point));
            let is_same = to == reading.point || (nets[0].is_some() && nets[0] == nets[1]);
            !is_same && (case.is_at_ground(to) || is_across(case, to, place))
        }
    };
    is_other_end && is_across(case, reading.point, place)
}

/// Whether a point is on a part, on its pads or on its nets.
fn is_across(case: &Case<'_>, point: Point<'_>, place: PlaceId) -> bool {
    match point {
        Point::Place(other) => other == place,
        Point::Pad(pad) => pad.place == place,
        Point::Net(net, copy) => {
            let pins = case.part(place.part).pins.iter();
            copy == place.copy && pins.into_iter().any(|pin| pin.net == net)
        }
        Point::Board(_) => false,
    }
}

pub(super) fn charge_left(ask: &Ask<'_, '_>, asked: &mut Asked) {
    let places = keepers(ask);
    if places.is_empty() && has_mains(ask.case) {
        asked.lacks(
            "which parts keep a charge: `reservoir` on their lines in the model sheet",
            "",
        );
        return;
    }
    let mut kept = Vec::new();
    let mut unread = Vec::new();
    for place in places {
        let state = ask.replay.state(ask.case, place);
        let may_be_charged = match state.place.content {
            Content::Empty => false,
            Content::Old => true,
            Content::New => state.has_had_power(),
        };
        if !may_be_charged {
            continue;
        }
        match charge(ask, place) {
            Charge::Gone => asked.passed(),
            Charge::Kept => kept.push(place),
            Charge::Unread => unread.push(place),
            Charge::Read(volts) => {
                let origin = ask.case.part(place.part).origin;
                asked.fails(
                    vec![place],
                    Fault::new(
                        origin,
                        format!("{{place}} was discharged, and {volts} were read across it afterwards"),
                        "a charge that came back, or never went, bites the hand and the meter",
                        format!("discharge it again through a resistor, and measure until it stays below {}", limit()),
                    ),
                );
            }
        }
    }
    let was_powered = kept
        .iter()
        .any(|place| ask.replay.state(ask.case, *place).has_had_power())
        && ask
            .job
            .happened()
            .any(|(_, entry)| matches!(entry.act, Act::Discharged));
    let since = if was_powered {
        " since the unit last had power"
    } else {
        ""
    };
    tell(
        ask,
        asked,
        kept,
        &format!("the log does not discharge {{place}}{since}"),
        format!(
            "discharge through a resistor, measure below {}, and write both down",
            limit()
        ),
    );
    tell(
        ask,
        asked,
        unread,
        "the log discharges {place}, and has no voltage read afterwards",
        format!(
            "measure each one, and write the reading down; below {} it is empty",
            limit()
        ),
    );
}

fn limit() -> Quantity {
    Quantity::new(DISCHARGED, Dimension::Voltage)
}

fn tell(ask: &Ask<'_, '_>, asked: &mut Asked, places: Vec<PlaceId>, fact: &str, remedy: String) {
    let Some(first) = places.first() else {
        return;
    };
    let origin = ask.case.part(first.part).origin;
    asked.fails(
        places,
        Fault::new(
            origin,
            fact,
            "a reservoir keeps its charge long after the plug is out, enough to kill or to burn a part",
            remedy,
        ),
    );
}
