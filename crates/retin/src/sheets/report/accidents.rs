//! Accidents during the work, how each was mended, and what proves it.

use super::{Telling, heading, paragraph, table};
use crate::meaning::Act;
use crate::rules::limits::CONTINUITY;
use crate::sheets::document::{Block, Cell, Width, Words};
use crate::sheets::sentence;
use crate::time::{AccidentRecord, Mended, Status};
use crate::typeset;
use retin_syntax::tables::{Proof, Repair};
use retin_syntax::value::{Dimension, Quantity};

pub(super) fn accidents(telling: &Telling<'_, '_, '_>, blocks: &mut Vec<Block>) {
    let records = &telling.replay.accidents;
    blocks.push(heading(1, "Accidents and their repair"));
    if records.is_empty() {
        blocks.push(paragraph("None are written down."));
        return;
    }
    let rows = records.iter().map(|record| row(telling, record)).collect();
    blocks.push(table(
        &[
            ("no.", Width::Content, true),
            ("what happened", Width::Share(1.0), false),
            ("how it was repaired", Width::Share(1.0), false),
            ("what shows it", Width::Share(1.0), false),
        ],
        rows,
    ));
}

fn row(telling: &Telling<'_, '_, '_>, record: &AccidentRecord<'_>) -> Vec<Cell> {
    let what = record
        .accident
        .map_or("something happened", |accident| accident.row().doc);
    let spot = match telling.job.told(record.entry).map(|told| &told.act) {
        Some(Act::Damaged {
            at: Some((x, y)), ..
        }) => format!(
            ", at {},{}{}mm",
            x.normalize(),
            y.normalize(),
            typeset::NO_BREAK
        ),
        _ => String::new(),
    };
    let at = record
        .point
        .map(|point| Words::strong(telling.case.name_of_point(point)).and(spot));
    let mut happened: Vec<Words> = at.into_iter().collect();
    happened.push(dated(telling, record.entry, what));
    vec![
        record.number.to_string().into(),
        Cell::Lines(happened),
        repaired(telling, record).into(),
        shown(telling, record).into(),
    ]
}

fn repaired(telling: &Telling<'_, '_, '_>, record: &AccidentRecord<'_>) -> Words {
    let Some(mended) = record.mended else {
        return Words::strong("Not repaired.");
    };
    dated(telling, mended.entry, &how(telling, &mended))
}

/// A sentence with the day before it.
fn dated(telling: &Telling<'_, '_, '_>, entry: usize, says: &str) -> Words {
    match telling.day(entry) {
        Some(day) => format!("{day}: {says}."),
        None => sentence(says),
    }
    .into()
}

fn how(telling: &Telling<'_, '_, '_>, mended: &Mended<'_>) -> String {
    let gauge = match telling.job.told(mended.entry).map(|told| &told.act) {
        Some(Act::Repaired { gauge, .. }) => *gauge,
        _ => None,
    };
    match (mended.how, gauge) {
        (Some(Repair::Wire), gauge) => {
            let gauge = gauge.map_or(String::new(), |gauge| {
                let gauge = typeset::quantity(Quantity::new(gauge, Dimension::Length));
                format!(" of {gauge}")
            });
            let to = mended.to.map_or(String::new(), |to| {
                format!(" to {}", telling.case.name_of_point(to))
            });
            format!("a wire{gauge}{to}")
        }
        (Some(how), _) => how.row().doc.to_owned(),
        (None, _) => "repaired".to_owned(),
    }
}

fn shown(telling: &Telling<'_, '_, '_>, record: &AccidentRecord<'_>) -> Words {
    let Some(proof) = record.proof else {
        return match record.status() {
            Status::Open => Words::plain(""),
            _ => Words::strong("Nothing yet: it is not proven."),
        };
    };
    let Some(entry) = telling.job.told(proof) else {
        return Words::plain("");
    };
    let sides = if entry.both_sides {
        ", on both sides of the board"
    } else {
        ""
    };
    let reading = entry.readings.iter().find_map(|reading| reading.quantity());
    let says = match (record.asks_for(), reading) {
        (Proof::AnotherPart, _) => "another part is in its place".to_owned(),
        (Proof::EndToEnd, Some(reading)) => format!(
            "measured from end to end: {}{sides}; {} or less shows the connection",
            typeset::quantity(reading),
            typeset::quantity(Quantity::new(CONTINUITY, Dimension::Resistance))
        ),
        (_, Some(reading)) => format!("measured: {}{sides}", typeset::quantity(reading)),
        (_, None) if matches!(entry.act, Act::Measured { beeps: true }) => {
            format!("the two ends sound to each other{sides}")
        }
        (_, None) => format!("looked at{sides}"),
    };
    dated(telling, proof, &says)
}
