//! What is planned, place by place.

use super::parts::Renames;
use super::{Change, Side, Topic, say};
use crate::meaning::{Case, NewPart, PlaceId, PlanEntry};
use crate::replacement::{Chosen, replacements};
use retin_syntax::tables::PlanVerb;
use std::collections::BTreeMap;

/// A place by names: board, part, copy of the board.
type Name = (String, String, String);

/// What a plan says of one place: what becomes of the part, and its socket.
#[derive(Default)]
struct Planned {
    what: Option<Side>,
    socket: Option<Side>,
}

/// Compares what two cases plan.
pub(super) fn compare(
    old: &Case<'_>,
    new: &Case<'_>,
    renames: &Renames,
    changes: &mut Vec<Change>,
) {
    let mut before: BTreeMap<Name, Planned> = BTreeMap::new();
    for ((board, part, copy), planned) in planned(old) {
        let renamed = renames.get(&(board.clone(), part.clone())).cloned();
        before.insert((board, renamed.unwrap_or(part), copy), planned);
    }
    let after = planned(new);
    let places = |case: &Case<'_>| -> Vec<Name> {
        let mut places: Vec<PlaceId> = case.places().collect();
        places.sort_by_key(|place| (case.part(place.part).board, place.part, place.copy));
        places.iter().map(|place| name(case, *place)).collect()
    };
    let mut order = places(new);
    for (board, part, copy) in places(old) {
        let renamed = renames.get(&(board.clone(), part.clone())).cloned();
        let name = (board, renamed.unwrap_or(part), copy);
        if !after.contains_key(&name) && !order.contains(&name) {
            order.push(name);
        }
    }
    let nothing = Planned::default();
    // By part and what differs: on which copies.
    let mut found: Vec<Change> = Vec::new();
    for name in order {
        let was = before.get(&name).unwrap_or(&nothing);
        let is = after.get(&name).unwrap_or(&nothing);
        for (aspect, was, is) in [
            ("", &was.what, &is.what),
            ("socket", &was.socket, &is.socket),
        ] {
            let text = |side: &Option<Side>| side.as_ref().map(|side| side.text.clone());
            if text(was) == text(is) {
                continue;
            }
            let (board, part, copy) = &name;
            let same = found.iter_mut().rev().take_while(|change| {
                change.board.as_ref() == Some(board) && change.subjects[0] == *part
            });
            let mut same = same.filter(|change| {
                change.aspect == aspect
                    && text(&change.old) == text(was)
                    && text(&change.new) == text(is)
            });
            match same.next() {
                Some(change) => change.copies.push(copy.clone()),
                None => found.push(Change {
                    topic: Topic::Plan,
                    board: Some(board.clone()),
                    copies: vec![copy.clone()],
                    subjects: vec![part.clone()],
                    aspect: aspect.into(),
                    old: was.clone(),
                    new: is.clone(),
                }),
            }
        }
    }
    changes.extend(found);
}

fn name(case: &Case<'_>, place: PlaceId) -> Name {
    let board = case.board_of(place.part);
    (
        board.name.to_owned(),
        case.part(place.part).name.clone(),
        board.copies[place.copy as usize].clone(),
    )
}

fn planned(case: &Case<'_>) -> BTreeMap<Name, Planned> {
    let mut chosen: BTreeMap<PlaceId, String> = BTreeMap::new();
    for one in replacements(case) {
        match one {
            Chosen::New(replacement) => {
                let text = new_part(case, replacement.line, replacement.new.name);
                for place in replacement.places() {
                    chosen.insert(place, text.clone());
                }
            }
            Chosen::Nothing {
                place,
                copies,
                line,
                ..
            } => {
                let text = match &line.with[..] {
                    [] => say::NOTHING_FITS.to_owned(),
                    _ => new_part(case, line, None),
                };
                for copy in copies {
                    let part = place.part;
                    chosen.insert(PlaceId { part, copy }, text.clone());
                }
            }
        }
    }
    let mut planned = BTreeMap::new();
    for decision in case.decisions.iter() {
        let line = case.plan_line(decision.line);
        let because = line
            .because
            .map_or(String::new(), |reason| format!(", because “{reason}”"));
        let with = || {
            chosen
                .get(&decision.place)
                .cloned()
                .unwrap_or_else(|| new_part(case, line, None))
        };
        let what = match line.verb {
            PlanVerb::Replace => format!("replaced with {}", with()),
            PlanVerb::Add => format!("added, {}", with()),
            PlanVerb::Remove => "taken out and not replaced".into(),
            PlanVerb::Keep => "kept".into(),
            PlanVerb::Leave => "left".into(),
            PlanVerb::Absent => "absent from this unit".into(),
            PlanVerb::Socket => format!("put in a socket, {}", with()),
        };
        // Where nothing else is planned, the socket is what is planned.
        let socket = decision.socket.filter(|socket| *socket != decision.line);
        let socket = socket.map(|socket| {
            let line = case.plan_line(socket);
            Side {
                text: new_part(case, line, None),
                origin: line.origin,
            }
        });
        planned.insert(
            name(case, decision.place),
            Planned {
                what: Some(Side {
                    text: format!("{what}{because}"),
                    origin: line.origin,
                }),
                socket,
            },
        );
    }
    planned
}

/// What a line puts in: the part that was chosen from a shelf, or what the line names.
fn new_part(case: &Case<'_>, line: &PlanEntry<'_>, chosen: Option<&str>) -> String {
    let parts: Vec<String> = line
        .with
        .iter()
        .map(|part| match part {
            NewPart::Entry { entry, .. } => case.entry(*entry).name.clone(),
            NewPart::Described { origin, .. } => say::written(case, *origin),
        })
        .collect();
    let mut text = match (parts.is_empty(), chosen) {
        (true, Some(chosen)) => chosen.to_owned(),
        (true, None) => "an unnamed part".into(),
        (false, _) => parts.join(" and "),
    };
    if let Some(word) = line.mounting.and_then(|token| token.reserved_text()) {
        text.push_str(" in ");
        text.push_str(word);
    }
    if let Some((lead, direction, _)) = line.orientation {
        text.push_str(&format!(", {lead} {}", direction.word()));
    }
    text
}
