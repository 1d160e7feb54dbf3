//! What the report says in short.

use super::money::Bill;
use super::{Telling, heading, paragraph, prose};
use crate::sheets::document::{Block, Words};
use crate::stage::Stage;
use crate::time::Content;
use crate::time::Status;
use crate::typeset;
use crate::words::counted;
use retin_syntax::tables::Property;
use retin_syntax::tree::HeadingKind;

pub(super) fn summary(telling: &Telling<'_, '_, '_>, blocks: &mut Vec<Block>) {
    let facts = &telling.job.facts;
    let mut told: Vec<(String, Words)> = Vec::new();
    let mut tell = |name: &str, says: String| {
        if !says.is_empty() {
            told.push((name.to_owned(), says.into()));
        }
    };
    let word = |property| facts.word(property).unwrap_or("").to_owned();
    let date = |property| {
        facts
            .get(property)
            .and_then(|fact| typeset::fact(&fact.value))
            .unwrap_or_default()
    };
    tell("owner", word(Property::Owner));
    tell("came in", date(Property::Arrived));
    let complaint = facts
        .word(Property::Complaint)
        .map_or("not written down".to_owned(), |complaint| {
            format!("“{complaint}”")
        });
    tell("complaint", complaint);
    tell("state", state(telling));
    tell("work", work(telling));
    tell("accidents", accidents(telling));
    tell("money", Bill::of(telling).in_short(telling));
    tell("left to do", left(telling));
    tell(
        "not checked",
        match telling.checked.not_checked() {
            0 => "no check is open for want of a fact".to_owned(),
            not_checked => counted(
                not_checked,
                "check could not be made for want of a fact",
                "checks could not be made for want of a fact",
            ),
        },
    );
    let errors = telling.checked.errors();
    if errors > 0 {
        tell(
            "mistakes",
            counted(
                errors,
                "mistake is open by the check of the job's file",
                "mistakes are open by the check of the job's file",
            ),
        );
    }
    blocks.push(heading(1, "In short"));
    blocks.push(Block::Facts(told));
    for text in prose::prose(telling, &[HeadingKind::Job]) {
        blocks.push(paragraph(text));
    }
}

fn state(telling: &Telling<'_, '_, '_>) -> String {
    let last = telling
        .job
        .happened()
        .filter_map(|(index, _)| telling.day(index))
        .max();
    let as_of = last.map_or(String::new(), |day| format!(", as of {day}"));
    let state = match telling.case.stage {
        Stage::List => "nothing is planned yet",
        Stage::Order => "planned, and no part is out yet",
        Stage::Strip => "in work: old parts are coming out",
        Stage::Fit => "in work: new parts are going in",
        Stage::Power => "in work: it has had power",
        Stage::Chips => "in work: it has had power, and the chips are in",
        Stage::Close => "back with the owner",
    };
    format!("{state}{as_of}")
}

fn work(telling: &Telling<'_, '_, '_>) -> String {
    let (mut out, mut fitted) = (0, 0);
    for place in telling.case.places() {
        let state = telling.replay.place(place);
        out += usize::from(state.removed.is_some());
        fitted += usize::from(state.content == Content::New && state.fitted.is_some());
    }
    match (out, fitted) {
        (0, 0) => "no part was changed".to_owned(),
        _ => format!(
            "{} taken out, {} put in",
            counted(out, "part was", "parts were"),
            counted(fitted, "part was", "parts were")
        ),
    }
}

fn accidents(telling: &Telling<'_, '_, '_>) -> String {
    let all = telling.replay.accidents.len();
    let of = |status: Status| {
        let records = telling.replay.accidents.iter();
        records.filter(|record| record.status() == status).count()
    };
    if all == 0 {
        return "none are written down".to_owned();
    }
    let mut told = Vec::new();
    for (count, what) in [
        (of(Status::Proven), "repaired and proven"),
        (of(Status::Repaired), "repaired and not proven yet"),
        (of(Status::Open), "not repaired"),
    ] {
        if count > 0 {
            told.push(format!("{count} {what}"));
        }
    }
    format!("{all} during the work: {}", told.join(", "))
}

fn left(telling: &Telling<'_, '_, '_>) -> String {
    let Some(left) = &telling.left else {
        return String::new();
    };
    let parts: usize = left
        .boards
        .iter()
        .map(|board| {
            let each: usize = board.left.iter().map(|(_, parts)| parts.len()).sum();
            each * board.copies.len()
        })
        .sum();
    let mut told = Vec::new();
    if parts > 0 {
        told.push(counted(parts, "part", "parts"));
    }
    let readings = left.readings.len();
    if readings > 0 {
        told.push(counted(readings, "reading", "readings"));
    }
    if !left.accidents.is_empty() {
        told.push(counted(left.accidents.len(), "accident", "accidents"));
    }
    if told.is_empty() {
        "nothing that the plan and the targets ask for".to_owned()
    } else {
        told.join(", ")
    }
}
