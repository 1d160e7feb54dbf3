//! What has to be done before chips go into their sockets.

use super::limits::limits_at;
use super::{Ask, Asked};
use crate::finding::Fault;
use crate::meaning::{NetId, PlaceId};
use crate::time::progress::Left;
use crate::time::replay::PointReading;
use crate::time::step_progress::is_joined;
use retin_syntax::tables::Property;
use retin_syntax::value::Dimension;
use std::collections::BTreeMap;

pub(super) fn rail_not_read(ask: &Ask<'_, '_>, asked: &mut Asked) {
    let case = ask.case;
    // By the one net that stands for all that are joined: a rail, and its chips.
    let mut rails: BTreeMap<NetId, (NetId, Vec<PlaceId>)> = BTreeMap::new();
    for place in case.places() {
        let is_to_go_in = matches!(
            ask.replay.left_at(case, place),
            Some(Left::Chip | Left::Fit | Left::Replace)
        );
        if !case.is_socketed(place) || !is_to_go_in {
            continue;
        }
        let mut is_fed = false;
        for pin in &case.part(place.part).pins {
            let Some(rail) = rail_of(ask, pin.net) else {
                continue;
            };
            is_fed = true;
            let fed = rails
                .entry(case.nets.common(rail))
                .or_insert((rail, Vec::new()));
            if !fed.1.contains(&place) {
                fed.1.push(place);
            }
        }
        if !is_fed {
            asked.lacks(
                "which rails feed the chip: its supply pins and their nets in the model sheet",
                case.name_of(place),
            );
        }
    }
    for (rail, chips) in rails.into_values() {
        judge(ask, asked, rail, chips);
    }
}

/// The rail that a net is, or that links join with it; none for ground.
fn rail_of(ask: &Ask<'_, '_>, net: NetId) -> Option<NetId> {
    let nets = &ask.case.nets;
    let is_rail = |id: &NetId| {
        nets.common(*id) == nets.common(net)
            && nets.net(*id).rail.is_some()
            && !ask.case.is_ground(*id)
    };
    nets.iter().map(|(id, _)| id).find(is_rail)
}

fn judge(ask: &Ask<'_, '_>, asked: &mut Asked, rail: NetId, chips: Vec<PlaceId>) {
    let case = ask.case;
    let net = case.nets.net(rail);
    let name = format!("{}.{}", case.board(net.board).name, net.name);
    let powered = (0..case.boards.len() as u32)
        .flat_map(|board| case.copies_of(crate::meaning::BoardId(board)))
        .filter_map(|copy| ask.replay.board(copy).powered)
        .min();
    let is_volts = |reading: &&PointReading<'_>| {
        powered.is_some_and(|powered| reading.entry >= powered)
            && is_joined(case, reading.point, rail)
            && reading.is_against_ground(case)
            && reading
                .reading
                .property
                .is_none_or(|property| property != Property::Ripple)
            && reading
                .reading
                .quantity()
                .is_some_and(|quantity| quantity.dimension == Dimension::Voltage)
    };
    let last = ask.replay.readings.iter().rfind(is_volts);
    let limits = limits_at(ask, rail, Dimension::Voltage, true);
    let origin = limits.map_or(net.origin, |limits| limits.1);
    let Some(reading) = last else {
        asked.fails(
            chips,
            Fault::new(
                origin,
                format!("the log has no reading of {name} under power; it feeds {{place}}"),
                "no protection of a chip is cheaper than a rail that is known to be right",
                "power the supply without the chips, read the rail, and write it down",
            ),
        );
        return;
    };
    let Some(volts) = reading.reading.quantity() else {
        return;
    };
    match limits {
        None => asked.lacks("what the rail may read: its voltage and tolerance", name),
        Some((window, _)) if window.holds(volts) == Some(true) => asked.passed(),
        Some((window, written)) => asked.fails(
            chips,
            Fault::new(
                reading.reading.origin,
                format!(
                    "{name} reads {volts}, and is to read {}; it feeds {{place}}",
                    window.in_words()
                ),
                "a rail out of its limits can cost every chip on it",
                "find out why before a chip goes in, and read it again",
            )
            .with(written, "the limits"),
        ),
    }
}
