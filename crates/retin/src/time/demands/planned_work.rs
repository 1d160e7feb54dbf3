//! That there is a plan, and that its work is done.

use super::steps::planned_later;
use super::{Ask, Asked};
use crate::finding::Fault;
use crate::meaning::PlaceId;
use crate::sources::Origin;
use crate::stage::Stage;
use crate::time::accidents::{AccidentRecord, Status};
use crate::time::progress::Left;
use crate::time::state::Content;
use retin_syntax::tables::{Proof, StepVerb};
use std::collections::BTreeMap;

pub(super) fn nothing_planned(ask: &Ask<'_, '_>, asked: &mut Asked) {
    if !ask.case.plan.is_empty() {
        asked.passed();
        return;
    }
    asked.fails(
        Vec::new(),
        Fault::new(
            ask.job.origin,
            "the job has no plan",
            "nobody can tell what is to come out and what is to go in, and nothing was compared",
            "write what becomes of each part below `plan`",
        ),
    );
}

/// The sentences on an accident that is not done with.
pub(super) fn accident(ask: &Ask<'_, '_>, record: &AccidentRecord<'_>, consequence: &str) -> Fault {
    let told = ask.job.log.get(record.entry);
    let origin = told.map_or(ask.job.origin, |entry| entry.origin);
    let words = record
        .accident
        .map_or("an accident", |accident| accident.row().words);
    let at = told
        .and_then(|entry| entry.subject.origin)
        .map_or(String::new(), |origin| {
            format!(" at {}", ask.case.sources.text(origin))
        });
    let proof = match record.asks_for() {
        Proof::EndToEnd if record.is_plated => {
            "beep or measure the repair from end to end, on both sides, and write the reading down"
        }
        Proof::EndToEnd => "beep or measure the repair from end to end, and write the reading down",
        Proof::Apart => "measure that the two points are apart, or look at them, and write it down",
        Proof::Look => "inspect the place, and write it down",
        Proof::AnotherPart => "fit another part there",
        Proof::Reading => "measure the part, or fit another",
    };
    let too_high = record.too_high.map(|(_, ohms)| ohms);
    let (fact, remedy) = match (record.status(), too_high) {
        (Status::Open | Status::Proven, _) => (
            format!("{words}{at}: the log has no repair of it"),
            format!("repair it, then {proof}"),
        ),
        (Status::Repaired, Some(ohms)) => (
            format!("{words}{at}: repaired, but the reading from end to end is {ohms}"),
            "mend the repair, and measure it again".to_owned(),
        ),
        (Status::Repaired, None) if record.one_side.is_some() => (
            format!("{words}{at}: repaired, and read on one side of a plated board only"),
            proof.to_owned(),
        ),
        (Status::Repaired, None) => (
            format!("{words}{at}: repaired, and nothing in the log proves the repair"),
            proof.to_owned(),
        ),
    };
    Fault::new(origin, fact, consequence, remedy)
}

pub(super) fn accident_left(ask: &Ask<'_, '_>, asked: &mut Asked) {
    for record in &ask.replay.accidents {
        if record.status() == Status::Proven {
            asked.passed();
            continue;
        }
        let fault = accident(
            ask,
            record,
            "power finds a break or a bridge before you do, and takes parts with it",
        );
        asked.fails(record.place().into_iter().collect(), fault);
    }
}

/// Whether the plan wants a socket in a place, and none is in.
fn lacks_socket(ask: &Ask<'_, '_>, place: PlaceId) -> bool {
    ask.case.gets_socket(place) && ask.replay.place(place).socketed.is_none()
}

/// Whether a place is left empty on purpose until the rails are proven.
fn waits_for_rails(ask: &Ask<'_, '_>, place: PlaceId) -> bool {
    ask.stage < Stage::Close && ask.case.is_socketed(place) && !lacks_socket(ask, place)
}

pub(super) fn work_left(ask: &Ask<'_, '_>, asked: &mut Asked) {
    let later = planned_later(ask, &[StepVerb::Remove, StepVerb::Fit]);
    // By what is left, and whether it is the socket: the places.
    let mut left: BTreeMap<(Left, bool), Vec<PlaceId>> = BTreeMap::new();
    for place in ask.case.places() {
        match ask.replay.left_at(ask.case, place) {
            Some(Left::Inspect) | None => {
                if ask.case.decision(place).is_some() {
                    asked.passed();
                }
            }
            Some(_) if later.contains(&place) => {}
            Some(Left::Chip | Left::Fit | Left::Replace) if waits_for_rails(ask, place) => {}
            Some(what) => {
                let is_socket = matches!(what, Left::Fit | Left::Chip) && lacks_socket(ask, place);
                left.entry((what, is_socket)).or_default().push(place);
            }
        }
    }
    for ((what, is_socket), places) in left {
        let fault = unfinished(ask, what, is_socket, &places);
        asked.fails(places, fault);
    }
}

/// The sentences on places with the same thing left, with the lines that plan it.
fn unfinished(ask: &Ask<'_, '_>, what: Left, is_socket: bool, places: &[PlaceId]) -> Fault {
    let (fact, consequence, remedy) = match what {
        _ if is_socket => (
            "to get a socket, and none is fitted by the log: {place}",
            "a socket is soldered with the board out and without power",
            "fit the socket, and write it down: `fitted … with` and the socket's name",
        ),
        Left::Replace => (
            "to come out, and the old part is still in: {place}",
            "power stresses what is old, and what is new beside it",
            "replace them, or plan to keep them",
        ),
        Left::Remove => (
            "to come out for good, and still in: {place}",
            "the plan wants these parts out of the circuit",
            "remove them, or plan to keep them",
        ),
        Left::Fit => (
            "not fitted yet: {place}",
            "a circuit with a gap in it does not come up as it should, and its other parts pay for it",
            "fit what the plan wants there, or change the plan",
        ),
        Left::Chip => (
            "not in the socket yet: {place}",
            "the unit cannot work as a whole, and no reading is one of the whole",
            "put the chips in, once their rails are proven",
        ),
        Left::TakenOut | Left::Inspect => (
            "taken out by the log, and kept by the plan: {place}",
            "what was taken out to get at something else is easily left in the drawer",
            "fit them again, or say in the plan that they are removed",
        ),
    };
    let written = |place: &PlaceId| {
        let decision = ask.case.decision(*place)?;
        let line = match what {
            _ if is_socket => decision.socket.unwrap_or(decision.line),
            Left::TakenOut => return taken_out(ask, *place),
            _ => decision.line,
        };
        Some((ask.case.plan_line(line).origin, "planned here too"))
    };
    let mut lines: Vec<(Origin, &str)> = Vec::new();
    for place in places {
        if let Some(line) = written(place).or_else(|| taken_out(ask, *place))
            && !lines.contains(&line)
        {
            lines.push(line);
        }
    }
    lines.sort_unstable();
    let mut lines = lines.into_iter();
    let first = lines.next().map_or(ask.job.origin, |line| line.0);
    let fault = Fault::new(first, fact, consequence, remedy);
    lines.fold(fault, |fault, (origin, text)| fault.with(origin, text))
}

/// The entry that took a part out.
fn taken_out(ask: &Ask<'_, '_>, place: PlaceId) -> Option<(Origin, &'static str)> {
    let entry = ask.replay.place(place).removed?;
    Some((ask.job.log.get(entry)?.origin, "taken out here too"))
}

/// Places whose joints were worked on and not inspected since, each with the entry
/// that worked on them.
pub(super) fn unseen(ask: &Ask<'_, '_>) -> Vec<(PlaceId, usize)> {
    let worked = joints(ask);
    worked
        .filter(|(place, _)| ask.replay.state(ask.case, *place).inspected().is_none())
        .collect()
}

/// Places with joints that the log worked on, each with the last entry that did.
fn joints<'x>(ask: &'x Ask<'_, '_>) -> impl Iterator<Item = (PlaceId, usize)> + 'x {
    ask.case.places().filter_map(|place| {
        let state = ask.replay.state(ask.case, place);
        let has_joints = state.place.content == Content::New || state.place.socketed.is_some();
        let worked = state.worked().filter(|_| has_joints)?;
        Some((place, worked))
    })
}

pub(super) fn not_looked_at(ask: &Ask<'_, '_>, asked: &mut Asked) {
    let unseen = unseen(ask);
    asked.passed += (joints(ask).count() - unseen.len()) as u32;
    let mut entries: Vec<usize> = unseen.iter().map(|(_, entry)| *entry).collect();
    entries.sort_unstable();
    entries.dedup();
    let mut lines = entries
        .iter()
        .filter_map(|entry| ask.job.log.get(*entry))
        .map(|entry| entry.origin);
    let Some(first) = lines.next() else {
        return;
    };
    let fault = Fault::new(
        first,
        "soldered, and not inspected since: {place}",
        "a bridge is found by the fuse, and a joint that was forgotten when the unit is warm",
        "look at every joint through a lens, and write it down: `inspected`",
    );
    let fault = lines.fold(fault, |fault, line| fault.with(line, "soldered here too"));
    asked.fails(unseen.into_iter().map(|(place, _)| place).collect(), fault);
}
