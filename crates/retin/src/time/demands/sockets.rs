//! Sockets that the plan wants.

use super::steps::planned_later;
use super::{Ask, Asked};
use crate::finding::Fault;
use crate::meaning::PlaceId;
use crate::time::progress::Left;
use retin_syntax::tables::StepVerb;

pub(super) fn no_socket(ask: &Ask<'_, '_>, asked: &mut Asked) {
    let later = planned_later(ask, &[StepVerb::Remove, StepVerb::Fit]);
    let mut without: Vec<PlaceId> = Vec::new();
    for place in ask.case.places() {
        if !ask.case.gets_socket(place) {
            continue;
        }
        if ask.replay.place(place).socketed.is_some() {
            asked.passed();
        } else if ask.replay.left_at(ask.case, place) == Some(Left::Chip) && !later.contains(&place)
        {
            without.push(place);
        }
    }
    let Some(line) = without.first().and_then(|place| {
        let decision = ask.case.decision(*place)?;
        Some(decision.socket.unwrap_or(decision.line))
    }) else {
        return;
    };
    asked.fails(
        without,
        Fault::new(
            ask.case.plan_line(line).origin,
            "to get a socket, and none is fitted by the log: {place}",
            "a socket is soldered with the board out and without power",
            "fit the socket, and write it down: `fitted … with` and the socket's name",
        ),
    );
}
