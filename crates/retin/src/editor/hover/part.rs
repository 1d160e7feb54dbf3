//! One place of the unit: what it was, what goes in, and how that is known.

use super::super::Snapshot;
use super::super::fit::{expected_life, why};
use super::super::index::mentions_of;
use super::super::mention::{Mention, Role, Subject};
use super::Block;
use super::things::{facts_in_words, potential};
use crate::meaning::{Case, PlaceId, Says};
use crate::polarity::evidence;
use crate::potentials::shown;
use crate::replacement::{Chosen, Replacement, objection, replacement_at};
use crate::sources::Origin;
use retin_syntax::tables::PlanVerb;
use retin_syntax::tables::properties::PROPERTIES;
use retin_syntax::tree::Record;

/// Most entries of the log, and most findings, that are shown.
const MOST_LINES: usize = 6;

/// What is known of a place; `mention` says of which copies of it.
pub(super) fn blocks(snapshot: &Snapshot<'_>, place: PlaceId, mention: &Mention) -> Vec<Block> {
    let case = snapshot.case;
    let part = case.part(place.part);
    let board = case.board_of(place.part);
    let kind = case.goes_by(place).kind;
    let all: Vec<u16> = (0..board.copies.len() as u16).collect();
    let copies = mention.copies.as_ref().unwrap_or(&all);
    let mut blocks = vec![Block::Title(format!(
        "{} – {}",
        case.names_of(place.part, copies),
        kind.map_or("kind not known", |kind| kind.word())
    ))];
    if !board.title.is_empty() {
        blocks.push(Block::Text(board.title.to_owned()));
    }
    blocks.push(Block::Row("the job goes by", goes_by(snapshot, place)));
    let claims = claims(snapshot, place);
    if !claims.is_empty() {
        blocks.push(Block::Rows("claims", claims));
    }
    blocks.extend(plan(snapshot, place));
    blocks.extend(way_round(case, place));
    let volts: Vec<String> = part
        .pins
        .iter()
        .map(|pin| {
            let net = case.nets.net(pin.net).name;
            format!("{} on {net}: {}", pin.lead, potential(snapshot, pin.net))
        })
        .collect();
    if !volts.is_empty() {
        blocks.push(Block::Rows("volts", volts));
    }
    blocks.extend(across(case, place));
    let findings: Vec<String> = snapshot
        .report
        .findings
        .iter()
        .filter(|finding| finding.places.contains(&place))
        .take(MOST_LINES)
        .map(|finding| format!("{}: {}", finding.severity.word(), finding.fault.fact))
        .collect();
    if !findings.is_empty() {
        blocks.push(Block::Rows("findings", findings));
    }
    let log = log(snapshot, place);
    if !log.is_empty() {
        blocks.push(Block::Rows("log", log));
    }
    blocks.extend(used(snapshot, place, mention));
    blocks
}

/// What the job goes by, each source with what it states.
fn goes_by(snapshot: &Snapshot<'_>, place: PlaceId) -> String {
    let old = snapshot.case.goes_by(place);
    let mut said: Vec<(&str, Vec<&str>)> = Vec::new();
    let mut seen = Vec::new();
    for row in PROPERTIES {
        if seen.contains(&row.property) {
            continue;
        }
        seen.push(row.property);
        let Some((source, fact)) = old.get(row.property) else {
            continue;
        };
        let text = snapshot.of(fact.origin);
        match said.iter_mut().find(|known| known.0 == source.phrase()) {
            Some(known) => known.1.push(text),
            None => said.push((source.phrase(), vec![text])),
        }
    }
    let texts: Vec<String> = said
        .iter()
        .map(|(source, texts)| format!("{} ({source})", texts.join(" ")))
        .collect();
    if texts.is_empty() {
        "nothing is written".into()
    } else {
        texts.join("; ")
    }
}

fn claims(snapshot: &Snapshot<'_>, place: PlaceId) -> Vec<String> {
    let case = snapshot.case;
    case.claims_on(place)
        .map(|claim| {
            let who = claim.source.phrase();
            match &claim.says {
                Says::Facts { facts, .. } => {
                    format!("{who}: {}", facts_in_words(snapshot, facts))
                }
                Says::Sounds { lead, net } => {
                    format!("{who}: {lead} sounds to {}", case.nets.net(*net).name)
                }
                Says::Reads { from, to, voltage } => {
                    format!("{who}: {voltage} from {from} to {to}")
                }
            }
        })
        .collect()
}

/// What the plan does with the place, and why that part.
fn plan(snapshot: &Snapshot<'_>, place: PlaceId) -> Vec<Block> {
    let case = snapshot.case;
    let Some(decision) = case.decision(place) else {
        return if case.job.as_ref().is_some_and(|job| job.plan.is_some()) {
            vec![Block::Row("plan", "says nothing of it".into())]
        } else {
            Vec::new()
        };
    };
    let line = case.plan_line(decision.line);
    let because = line
        .because
        .map(|because| format!(", because {because}"))
        .unwrap_or_default();
    let mut blocks = Vec::new();
    match replacement_at(case, place) {
        Some(Chosen::New(new)) => {
            blocks.push(Block::Row(
                "plan",
                format!("{}{because}", goes_in(snapshot, &new)),
            ));
            let compared = why(&new);
            let label = match objection(&new) {
                None => "why it fits",
                Some(objection) => {
                    blocks.push(Block::Row("does not fit", new.name_in(&objection)));
                    "compared"
                }
            };
            if !compared.is_empty() {
                blocks.push(Block::Row(label, compared.join("; ")));
            }
            let life = expected_life(case, &new.new);
            blocks.extend(life.map(|life| Block::Row("life to expect", life)));
        }
        Some(Chosen::Nothing { nearest, .. }) => {
            blocks.push(Block::Row("plan", "nothing on the shelves fits".into()));
            let nearest: Vec<String> = nearest
                .iter()
                .map(|(entry, objection)| format!("{}: {objection}", case.entry(*entry).name))
                .collect();
            if !nearest.is_empty() {
                blocks.push(Block::Rows("nearest", nearest));
            }
        }
        None => blocks.push(Block::Row("plan", format!("{}{because}", line.verb.word()))),
    }
    if decision.socket.is_some() && line.verb != PlanVerb::Socket {
        blocks.push(Block::Row("socket", "planned".into()));
    }
    blocks
}

fn goes_in(snapshot: &Snapshot<'_>, new: &Replacement<'_, '_>) -> String {
    let facts = facts_in_words(snapshot, new.new.facts);
    let second = if new.new.second.is_some() {
        ", two together"
    } else {
        ""
    };
    match new.new.name {
        Some(name) => format!("{} with {name}: {facts}{second}", new.line.verb.word()),
        None => format!("{} with {facts}{second}", new.line.verb.word()),
    }
}

/// The evidence of which way round it belongs, strongest first.
fn way_round(case: &Case<'_>, place: PlaceId) -> Vec<Block> {
    let Some(kind) = case.goes_by(place).kind else {
        return Vec::new();
    };
    let found = evidence(case, place, kind);
    if found.evidence.is_empty() {
        return Vec::new();
    }
    let lines = found
        .evidence
        .iter()
        .map(|evidence| {
            format!(
                "{}: {} (strength {})",
                evidence.who, evidence.says, evidence.strength
            )
        })
        .collect();
    let verdict = match found.conflict() {
        Some((one, other)) => format!("{} and {} contradict one another", one.who, other.who),
        None if found.agreeing() >= 2 => format!("{} sources agree", found.agreeing()),
        None => "not checked: a second source is missing".into(),
    };
    vec![
        Block::Row("way round", verdict),
        Block::Rows("evidence", lines),
    ]
}

/// What stands across a part of two leads.
fn across(case: &Case<'_>, place: PlaceId) -> Option<Block> {
    let [one, other] = case.part(place.part).pins.as_slice() else {
        return None;
    };
    let over = case.potentials.between(case, one.net, other.net)?;
    Some(Block::Row(
        "across it",
        format!(
            "{} V from {} to {} ({} to {} V)",
            shown(over.nominal),
            one.lead,
            other.lead,
            shown(over.low),
            shown(over.high)
        ),
    ))
}

/// The last entries of the log that are about the place.
fn log(snapshot: &Snapshot<'_>, place: PlaceId) -> Vec<String> {
    let entries = snapshot.case.job.iter().flat_map(|job| &job.log);
    let mut lines: Vec<String> = entries
        .rev()
        .filter(|entry| {
            let subject = &entry.subject;
            let has_pad = subject.pads.iter().any(|pad| pad.place == place);
            has_pad || subject.covers(snapshot.case, place)
        })
        .take(MOST_LINES)
        .map(|entry| with_day(snapshot, entry.origin))
        .collect();
    lines.reverse();
    lines
}

/// An entry of the log with the day it stands under.
fn with_day(snapshot: &Snapshot<'_>, entry: Origin) -> String {
    let words: Vec<&str> = snapshot.of(entry).split_whitespace().collect();
    let text = words.join(" ");
    let tree = snapshot.tree(entry.file);
    let at = tree
        .lines
        .partition_point(|line| line.span.start < entry.span.start);
    let day = tree
        .lines
        .get(at)
        .and_then(|line| line.parent)
        .map(|parent| tree.line(parent));
    match day.map(|day| (&day.record, day.span)) {
        Some((Record::Day { .. }, span)) => {
            format!("{} {text}", span.of(snapshot.text(entry.file)))
        }
        _ => text,
    }
}

/// Where else the files speak of it.
fn used(snapshot: &Snapshot<'_>, place: PlaceId, mention: &Mention) -> Option<Block> {
    let mut count = 0;
    let mut lines: Vec<String> = Vec::new();
    for found in mentions_of(snapshot, Subject::Part(place.part)) {
        let is_of_copy = found
            .copies
            .as_ref()
            .is_none_or(|copies| copies.contains(&place.copy));
        if found.role != Role::Uses || found.origin == mention.origin || !is_of_copy {
            continue;
        }
        count += 1;
        if lines.len() < MOST_LINES {
            lines.push(line_number(snapshot, found.origin));
        }
    }
    let more = if count > MOST_LINES { ", …" } else { "" };
    (count > 0).then(|| Block::Row("spoken of at", format!("{}{more}", lines.join(", "))))
}

/// A file and a line, as `job.retin:12`.
fn line_number(snapshot: &Snapshot<'_>, origin: Origin) -> String {
    let file = snapshot.sources.file(origin.file);
    let before = &file.text.as_bytes()[..origin.span.start as usize];
    let line = before.iter().filter(|byte| **byte == b'\n').count() + 1;
    format!("{}:{line}", file.path)
}
