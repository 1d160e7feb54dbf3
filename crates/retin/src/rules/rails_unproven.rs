//! Power without a look at the rails before it.

use super::{Judge, Rule};
use crate::check::Answers;
use crate::finding::{Fault, Verdict};
use crate::meaning::{BoardCopy, BoardId, Case, NetId, PlaceId, Point};
use crate::stage::Stage;
use retin_syntax::Token;
use retin_syntax::tables::{Kind, Property, Stop};
use retin_syntax::value::Dimension;

pub(super) const RULE: Rule = Rule {
    name: "rails-unproven",
    at: Stage::Chips,
    summary: "power without the rails read to ground before it, full power or chips without the rails read under limited power, bias trimmers not at minimum",
    page: include_str!("rails_unproven.md"),
    judge: Judge::Case(judge),
};

fn judge(case: &Case<'_>, answers: &mut Answers<'_, '_>) {
    if case.job.is_none() {
        return;
    }
    let readings = net_readings(case);
    for board in (0..case.boards.len() as u32).map(BoardId) {
        let rails = rails_of(case, board);
        if rails.is_empty() {
            continue;
        }
        for copy in case.copies_of(board) {
            for verdict in one(case, &readings, &rails, copy) {
                answers.answer(&[], verdict);
            }
        }
    }
    trimmers(case, answers);
    chips(case, &readings, answers);
}

/// The rails of a board that are not ground.
fn rails_of(case: &Case<'_>, board: BoardId) -> Vec<NetId> {
    case.nets
        .on(board)
        .filter(|(_, net)| net.rail.as_ref().is_some_and(|rail| !rail.is_ground()))
        .map(|(id, _)| id)
        .collect()
}

/// A reading of a net, without a word that says what else it is.
struct NetReading {
    entry: usize,
    net: NetId,
    copy: u16,
    dimension: Dimension,
}

/// The readings of nets, in the order of the log.
fn net_readings(case: &Case<'_>) -> Vec<NetReading> {
    let all = case.replay.readings.iter();
    all.filter_map(|reading| {
        let (net, copy) = net_of(case, reading.point)?;
        let quantity = reading.reading.quantity()?;
        // From one point of a rail to another: it proves a repair, not the rail.
        let to = reading.to.and_then(|to| net_of(case, to));
        if to.is_some_and(|(to, _)| case.nets.common(to) == case.nets.common(net)) {
            return None;
        }
        reading.reading.property.is_none().then_some(NetReading {
            entry: reading.entry,
            net,
            copy,
            dimension: quantity.dimension,
        })
    })
    .collect()
}

/// The net of a point, with the copy of its board.
fn net_of(case: &Case<'_>, point: Point<'_>) -> Option<(NetId, u16)> {
    match point {
        Point::Net(net, copy) => Some((net, copy)),
        Point::Pad(pad) => {
            let pins = &case.part(pad.place.part).pins;
            let pin = pins.iter().find(|pin| pin.lead == pad.lead)?;
            Some((pin.net, pad.place.copy))
        }
        Point::Place(_) | Point::Board(_) => None,
    }
}

/// Whether a rail, or a net that links join with it, was read among these entries.
fn read(
    case: &Case<'_>,
    readings: &[NetReading],
    (rail, copy): (NetId, u16),
    entries: std::ops::Range<usize>,
    dimension: Dimension,
) -> bool {
    let from = readings.partition_point(|reading| reading.entry < entries.start);
    let to = readings.partition_point(|reading| reading.entry < entries.end);
    let common = case.nets.common(rail);
    let readings = readings.get(from..to).unwrap_or_default();
    readings.iter().any(|reading| {
        let is_own = reading.net == rail && reading.copy == copy;
        let is_joined = reading.net != rail && case.nets.common(reading.net) == common;
        reading.dimension == dimension && (is_own || is_joined)
    })
}

fn listed(case: &Case<'_>, rails: &[NetId], board: BoardCopy) -> String {
    let names: Vec<String> = rails
        .iter()
        .map(|rail| format!("{}.{}", case.name_of_copy(board), case.nets.net(*rail).name))
        .collect();
    names.join(", ")
}

fn one(
    case: &Case<'_>,
    readings: &[NetReading],
    rails: &[NetId],
    board: BoardCopy,
) -> Vec<Verdict> {
    let state = case.replay.board(board);
    let Some(job) = &case.job else {
        return Vec::new();
    };
    let Some(powered) = state.powered else {
        return vec![Verdict::lacks(
            "the rails' resistance to ground, before power",
        )];
    };
    let mut verdicts = Vec::new();
    let name = case.name_of_copy(board);
    let unread: Vec<NetId> = rails
        .iter()
        .copied()
        .filter(|rail| {
            !read(
                case,
                readings,
                (*rail, board.1),
                0..powered,
                Dimension::Resistance,
            )
        })
        .collect();
    let origin = |index: usize| job.told(index).map(|entry| entry.origin);
    match (unread.is_empty(), origin(powered)) {
        (false, Some(origin)) => verdicts.push(Verdict::failed(Fault::new(
            origin,
            format!(
                "{name} had power, and nothing shows what {} read to ground before",
                listed(case, &unread, board)
            ),
            "a bridge or a part the wrong way round is found by smoke instead of by the meter",
            "switch off, discharge, and measure each rail to ground both ways; write `measured … to GND … unpowered`",
        ))),
        _ => verdicts.push(Verdict::Passed),
    }
    let Some(full) = state.unlimited else {
        return verdicts;
    };
    let limited = state.limited.filter(|limited| *limited < full);
    let fault = match limited {
        None => Some((
            format!("{name} had full power, and never limited power before"),
            "the first fault takes all the current there is",
            "next time begin with a lamp in series or a current limit, and write it: `powered … with lamp`",
        )),
        Some(limited) => {
            let unread: Vec<NetId> = rails
                .iter()
                .copied()
                .filter(|rail| {
                    !read(
                        case,
                        readings,
                        (*rail, board.1),
                        limited..full,
                        Dimension::Voltage,
                    )
                })
                .collect();
            (!unread.is_empty()).then(|| {
                (
                    format!(
                        "{name} had full power, and nobody read {} under limited power before",
                        listed(case, &unread, board)
                    ),
                    "a rail that is too high takes every chip on it, and a rail that is low hides a short",
                    "read each rail with the lamp or the limit in, before full power",
                )
            })
        }
    };
    match (fault, origin(full)) {
        (Some((fact, consequence, remedy)), Some(origin)) => {
            verdicts.push(Verdict::failed(Fault::new(
                origin,
                fact,
                consequence,
                remedy,
            )));
        }
        _ => verdicts.push(Verdict::Passed),
    }
    verdicts
}

/// A trimmer that is set under power stands at its minimum before the first power.
fn trimmers(case: &Case<'_>, answers: &mut Answers<'_, '_>) {
    let Some(job) = &case.job else {
        return;
    };
    let mut boards = (0..case.boards.len() as u32).map(BoardId);
    let is_powered = |board| case.replay.board(board).powered.is_some();
    if !boards.any(|board| case.copies_of(board).any(is_powered)) {
        return;
    }
    for place in case.places() {
        if case.part(place.part).kind.map(Kind::token) != Some(Token::Trimmer) {
            continue;
        }
        let Some(history) = case.replay.history(place) else {
            continue;
        };
        let Some(powered) = case.replay.board(case.copy_of(place)).powered else {
            continue;
        };
        let set = history.changes().iter().find_map(|(index, state)| {
            let (at, _) = state.adjusted.filter(|(at, _)| at == index)?;
            (at > powered).then_some(at)
        });
        let Some(entry) = set.and_then(|index| job.told(index)) else {
            continue;
        };
        let before = history.before(powered).adjusted;
        let verdict = if matches!(before, Some((_, Some(Stop::Minimum)))) {
            Verdict::Passed
        } else {
            let mut fault = Fault::new(
                entry.origin,
                "{place} is set under power, and was not at its minimum before the first power",
                "where it sets a bias, its current at switch-on looks like a fault, or makes one",
                "turn such a trimmer to its minimum before power and write `adjusted … to minimum`; if this one sets no bias, leave it",
            )
            .question();
            if let Some(power) = job.told(powered) {
                fault = fault.with(power.origin, "first power here");
            }
            Verdict::failed(fault)
        };
        answers.answer(&[place], verdict);
    }
}

/// Chips go in after the rails of their board were read under power.
fn chips(case: &Case<'_>, readings: &[NetReading], answers: &mut Answers<'_, '_>) {
    let Some(job) = &case.job else {
        return;
    };
    if case.replay.first_chip.is_none() {
        return;
    }
    for place in case.places() {
        let Some(fitted) = chip_fitted(case, place) else {
            continue;
        };
        let board = case.copy_of(place);
        let rails: Vec<NetId> = {
            let own = case.part(place.part).pins.iter().map(|pin| pin.net);
            let all = rails_of(case, board.0);
            let own: Vec<NetId> = own.filter(|net| all.contains(net)).collect();
            if own.is_empty() { all } else { own }
        };
        if rails.is_empty() {
            continue;
        }
        let unread: Vec<NetId> = rails
            .into_iter()
            .filter(|rail| {
                !read(
                    case,
                    readings,
                    (*rail, board.1),
                    0..fitted,
                    Dimension::Voltage,
                )
            })
            .collect();
        let Some(entry) = job.told(fitted).filter(|_| !unread.is_empty()) else {
            answers.answer(&[place], Verdict::Passed);
            continue;
        };
        answers.answer(
            &[place],
            Verdict::failed(Fault::new(
                entry.origin,
                format!(
                    "{{place}} went into the socket, and nobody had read {} under power",
                    listed(case, &unread, board)
                ),
                "a rail that is wrong takes every chip at once, and some of them cannot be had any more",
                "pull it, read the rails with the socket empty, and put it back",
            )),
        );
    }
}

/// The entry that put a chip into its socket, where the log did.
fn chip_fitted(case: &Case<'_>, place: PlaceId) -> Option<usize> {
    let state = case.replay.place(place);
    let is_socketed = state.socketed.is_some()
        || case
            .part(place.part)
            .facts
            .is(Property::Feature, Token::Socketed)
        || case
            .decision(place)
            .is_some_and(|decision| decision.socket.is_some());
    state.fitted.filter(|_| is_socketed)
}
