//! Power without a look at the rails before it.

use super::{Judge, Rule};
use crate::check::Answers;
use crate::finding::{Fault, Verdict};
use crate::meaning::{BoardCopy, BoardId, Case, NetId, PlaceId};
use crate::stage::Stage;
use crate::time::PointReading;
use retin_syntax::Token;
use retin_syntax::tables::{Kind, Property, Stop};
use retin_syntax::value::Dimension;
use std::ops::Range;

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
struct NetReading<'c, 'a> {
    entry: usize,
    net: NetId,
    copy: u16,
    dimension: Dimension,
    /// The reading, where it was taken against another point than ground.
    elsewhere: Option<&'c PointReading<'a>>,
}

/// The readings of nets, in the order of the log.
fn net_readings<'c, 'a>(case: &'c Case<'a>) -> Vec<NetReading<'c, 'a>> {
    let all = case.replay.readings.iter();
    all.filter_map(|reading| {
        let (net, copy) = case.net_of(reading.point)?;
        let quantity = reading.reading.quantity()?;
        reading.reading.property.is_none().then_some(NetReading {
            entry: reading.entry,
            net,
            copy,
            dimension: quantity.dimension,
            elsewhere: Some(reading).filter(|reading| !reading.is_against_ground(case)),
        })
    })
    .collect()
}

/// The readings among these entries of a rail, or of a net that links join with it.
fn of_rail<'r, 'c, 'a>(
    case: &'r Case<'_>,
    readings: &'r [NetReading<'c, 'a>],
    (rail, copy): (NetId, u16),
    entries: Range<usize>,
    dimension: Dimension,
) -> impl Iterator<Item = &'r NetReading<'c, 'a>> {
    let from = readings.partition_point(|reading| reading.entry < entries.start);
    let to = readings.partition_point(|reading| reading.entry < entries.end);
    let common = case.nets.common(rail);
    let readings = readings.get(from..to).unwrap_or_default();
    readings.iter().filter(move |reading| {
        let is_own = reading.net == rail && reading.copy == copy;
        let is_joined = reading.net != rail && case.nets.common(reading.net) == common;
        reading.dimension == dimension && (is_own || is_joined)
    })
}

/// The rails that none of these entries reads against ground.
fn unread(
    case: &Case<'_>,
    readings: &[NetReading<'_, '_>],
    rails: &[NetId],
    copy: u16,
    (entries, dimension): (Range<usize>, Dimension),
) -> Vec<NetId> {
    let is_read = |rail: &NetId| {
        of_rail(case, readings, (*rail, copy), entries.clone(), dimension)
            .any(|reading| reading.elsewhere.is_none())
    };
    rails
        .iter()
        .copied()
        .filter(|rail| !is_read(rail))
        .collect()
}

/// Points at what was read of these rails and does not count, the last of each.
fn with_elsewhere(
    case: &Case<'_>,
    readings: &[NetReading<'_, '_>],
    rails: &[NetId],
    copy: u16,
    (entries, dimension): (Range<usize>, Dimension),
    mut fault: Fault,
) -> Fault {
    for rail in rails {
        let last = of_rail(case, readings, (*rail, copy), entries.clone(), dimension).last();
        let Some(reading) = last.and_then(|reading| reading.elsewhere) else {
            continue;
        };
        let Some(to) = reading.to else { continue };
        let text = format!(
            "{} was read against {} here, and no line says that this is ground",
            case.name_of_point(reading.point),
            case.name_of_point(to)
        );
        fault = fault.with(reading.reading.origin, text);
    }
    fault
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
    readings: &[NetReading<'_, '_>],
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
    let before = (0..powered, Dimension::Resistance);
    let not_to_ground = unread(case, readings, rails, board.1, before.clone());
    let origin = |index: usize| job.told(index).map(|entry| entry.origin);
    match (not_to_ground.is_empty(), origin(powered)) {
        (false, Some(origin)) => {
            let fault = Fault::new(
                origin,
                format!(
                    "{name} had power, and nothing shows what {} read to ground before",
                    listed(case, &not_to_ground, board)
                ),
                "a bridge or a part the wrong way round is found by smoke instead of by the meter",
                "switch off, discharge, and measure each rail to ground both ways; write `measured … to GND … unpowered`",
            );
            let fault = with_elsewhere(case, readings, &not_to_ground, board.1, before, fault);
            verdicts.push(Verdict::failed(fault));
        }
        _ => verdicts.push(Verdict::Passed),
    }
    let Some(full) = state.unlimited else {
        return verdicts;
    };
    let limited = state.limited.filter(|limited| *limited < full);
    let under_limit = (limited.unwrap_or(full)..full, Dimension::Voltage);
    let not_limited = unread(case, readings, rails, board.1, under_limit.clone());
    let fault = match limited {
        None => Some((
            format!("{name} had full power, and never limited power before"),
            "the first fault takes all the current there is",
            "next time begin with a lamp in series or a current limit, and write it: `powered … with lamp`",
        )),
        Some(_) => (!not_limited.is_empty()).then(|| {
            (
                format!(
                    "{name} had full power, and nobody read {} under limited power before",
                    listed(case, &not_limited, board)
                ),
                "a rail that is too high takes every chip on it, and a rail that is low hides a short",
                "read each rail with the lamp or the limit in, before full power",
            )
        }),
    };
    match (fault, origin(full)) {
        (Some((fact, consequence, remedy)), Some(origin)) => {
            let fault = Fault::new(origin, fact, consequence, remedy);
            let fault = with_elsewhere(case, readings, &not_limited, board.1, under_limit, fault);
            verdicts.push(Verdict::failed(fault));
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
fn chips(case: &Case<'_>, readings: &[NetReading<'_, '_>], answers: &mut Answers<'_, '_>) {
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
        let before = (0..fitted, Dimension::Voltage);
        let unread = unread(case, readings, &rails, board.1, before.clone());
        let Some(entry) = job.told(fitted).filter(|_| !unread.is_empty()) else {
            answers.answer(&[place], Verdict::Passed);
            continue;
        };
        let fault = Fault::new(
            entry.origin,
            format!(
                "{{place}} went into the socket, and nobody had read {} under power",
                listed(case, &unread, board)
            ),
            "a rail that is wrong takes every chip at once, and some of them cannot be had any more",
            "pull it, read the rails with the socket empty, and put it back",
        );
        let fault = with_elsewhere(case, readings, &unread, board.1, before, fault);
        answers.answer(&[place], Verdict::failed(fault));
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
