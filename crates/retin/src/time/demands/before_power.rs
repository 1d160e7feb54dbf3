//! What has to be done before first power.

use super::limits::limits_at;
use super::{Ask, Asked, boards_named};
use crate::finding::Fault;
use crate::meaning::{BoardCopy, BoardId, NetId, PlaceId, Step};
use crate::rules::limits::RAIL_SHORT;
use crate::time::bench_order::{supplies, supply_rails};
use crate::time::replay::PointReading;
use crate::time::step_progress::{is_joined, is_unpowered};
use retin_syntax::tables::{Property, StepVerb};
use retin_syntax::value::{Dimension, Quantity};

/// The last resistance to ground that was read of a rail.
fn ohms_read<'r, 'a>(ask: &Ask<'r, 'a>, rail: NetId) -> Option<&'r PointReading<'a>> {
    ask.replay.readings.iter().rfind(|reading| {
        is_joined(ask.case, reading.point, rail)
            && reading.is_against_ground(ask.case)
            && is_unpowered(&reading.reading)
            && ohms_of(reading).is_some()
    })
}

/// The rails that no resistance to ground was read of.
pub(super) fn unread(ask: &Ask<'_, '_>) -> Vec<NetId> {
    let rails = supply_rails(ask.case).into_iter();
    rails
        .filter(|rail| ohms_read(ask, *rail).is_none())
        .collect()
}

pub(super) fn ground_not_read(ask: &Ask<'_, '_>, asked: &mut Asked) {
    let case = ask.case;
    let rails = supply_rails(case);
    if rails.is_empty() {
        asked.lacks("which nets are rails: `rail` in the model sheet", "");
    }
    for rail in rails {
        let Some(reading) = ohms_read(ask, rail) else {
            continue;
        };
        let name = name_of(ask, rail);
        let board = case.nets.net(rail).board;
        if let Some((place, entry)) = worked_since(ask, board, reading.entry) {
            let mut fault = Fault::new(
                reading.reading.origin,
                format!("{name} was read against ground, and {{place}} worked on since"),
                "a bridge of the last joint is not in that reading",
                "read it again, and write it down",
            );
            if let Some(worked) = ask.job.log.get(entry) {
                fault = fault.with(worked.origin, "worked on here");
            }
            asked.fails(vec![place], fault);
            continue;
        }
        let Some(ohms) = ohms_of(reading) else {
            continue;
        };
        let limits = limits_at(ask, rail, Dimension::Resistance, false);
        match limits {
            Some((window, _)) if window.holds(ohms) == Some(true) => asked.passed(),
            Some((window, written)) => asked.fails(
                Vec::new(),
                Fault::new(
                    reading.reading.origin,
                    format!(
                        "{name} reads {ohms} to ground, and is to read {}",
                        window.in_words()
                    ),
                    "a rail that is nearly a short takes the supply with it",
                    "find what pulls it down: a bridge, a part the wrong way round, a broken one",
                )
                .with(written, "the target"),
            ),
            None if ohms.number < RAIL_SHORT => asked.fails(
                Vec::new(),
                Fault::new(
                    reading.reading.origin,
                    format!(
                        "{name} reads {ohms} to ground, less than {}",
                        Quantity::new(RAIL_SHORT, Dimension::Resistance)
                    ),
                    "a rail that is nearly a short takes the supply with it",
                    "find what pulls it down; where the circuit is like that, write a target that allows it",
                ),
            ),
            None => asked.passed(),
        }
    }
    let unread = unread(ask);
    let Some(first) = unread.first() else {
        return;
    };
    let origin = ask
        .job
        .targets
        .iter()
        .find(|target| {
            let is_unread = target.net.is_some_and(|net| unread.contains(&net));
            is_unread && target.facts.has(Property::Above) && target.is_against_ground(case)
        })
        .map_or(case.nets.net(*first).origin, |target| target.origin);
    let names: Vec<String> = unread.iter().map(|rail| name_of(ask, *rail)).collect();
    asked.fails(
        Vec::new(),
        Fault::new(
            origin,
            format!(
                "the log has no resistance to ground of {}",
                names.join(", ")
            ),
            "a short on a rail is found by the meter in a minute, or by the supply in a second",
            "with the power off and the charge gone, measure each to ground both ways, and write it down",
        ),
    );
}

fn ohms_of(reading: &PointReading<'_>) -> Option<Quantity> {
    reading
        .reading
        .quantity()
        .filter(|quantity| quantity.dimension == Dimension::Resistance)
}

fn name_of(ask: &Ask<'_, '_>, net: NetId) -> String {
    let net = ask.case.nets.net(net);
    format!("{}.{}", ask.case.board(net.board).name, net.name)
}

/// The place of a board that was worked on last, where that was after an entry.
fn worked_since(ask: &Ask<'_, '_>, board: BoardId, entry: usize) -> Option<(PlaceId, usize)> {
    let case = ask.case;
    case.copies_of(board)
        .flat_map(|(_, copy)| {
            let parts = case.board(board).parts.iter();
            parts.map(move |part| PlaceId { part: *part, copy })
        })
        .filter_map(|place| Some((place, ask.replay.state(case, place).worked()?)))
        .filter(|(_, worked)| *worked > entry)
        .max_by_key(|(place, worked)| (*worked, std::cmp::Reverse(*place)))
}

/// The step that gives the unit its first power; none once it has had power.
fn first_power<'c, 'a>(ask: &Ask<'c, 'a>) -> Option<&'c Step<'a>> {
    let sequence = ask.order.map(|order| &order.sequence);
    let in_order = sequence
        .into_iter()
        .flatten()
        .find(|step| ask.job.steps[**step].verb == StepVerb::Power);
    match in_order {
        Some(step) => Some(&ask.job.steps[*step]),
        None => ask
            .job
            .steps
            .iter()
            .find(|step| step.verb == StepVerb::Power),
    }
}

fn had_power(ask: &Ask<'_, '_>) -> bool {
    (0..ask.case.boards.len() as u32)
        .flat_map(|board| ask.case.copies_of(BoardId(board)))
        .any(|copy| ask.replay.board(copy).powered.is_some())
}

pub(super) fn supply_not_alone(ask: &Ask<'_, '_>, asked: &mut Asked) {
    let case = ask.case;
    let supplies = supplies(case);
    let is_printed = |board: &BoardId| !case.board(*board).is_wiring;
    let others = (0..case.boards.len() as u32)
        .map(BoardId)
        .filter(is_printed)
        .filter(|board| !supplies.contains(board))
        .count();
    if had_power(ask) || others == 0 {
        return;
    }
    if supplies.is_empty() {
        asked.lacks(
            "which board is the supply: its rectifier, `reservoir` or regulator in the model sheet",
            "",
        );
        return;
    }
    let Some(step) = first_power(ask) else {
        asked.lacks("how the unit gets its first power: a step `power`", "");
        return;
    };
    let beside: Vec<BoardCopy> = step
        .about
        .touched(case)
        .into_iter()
        .filter(|copy| is_printed(&copy.0) && !supplies.contains(&copy.0))
        .collect();
    if step.about.is_nothing() {
        asked.lacks(
            "which boards get power first: the step `power` names none",
            step.name,
        );
    } else if beside.is_empty() {
        asked.passed();
    } else {
        asked.fails(
            Vec::new(),
            Fault::new(
                step.line,
                format!(
                    "the step {} gives power to {} together with the supply, or before it",
                    step.name,
                    boards_named(case, &beside)
                ),
                "a fault of the supply then reaches every board it feeds",
                "power the supply alone first, with the other boards off it, and read its rails",
            ),
        );
    }
}

pub(super) fn no_limit(ask: &Ask<'_, '_>, asked: &mut Asked) {
    if had_power(ask) {
        return;
    }
    let Some(step) = first_power(ask) else {
        asked.lacks(
            "how first power is limited: a step `power` with a lamp or a current",
            "",
        );
        return;
    };
    if step.with.contains(&"lamp") || step.facts.has(Property::Current) {
        asked.passed();
        return;
    }
    asked.fails(
        Vec::new(),
        Fault::new(
            step.line,
            format!("the step {} has neither a lamp nor a limit of the current", step.name),
            "a short that was missed then gets all that the mains can give",
            "write `with lamp`, or the limit, such as `100mA`; a lamp suits neither every switcher nor every valve set",
        ),
    );
}
