//! The bring-up card: what is read, and in which order, while a unit gets its
//! power back, with room for what the meter shows.

mod advice;
mod rows;

use super::Refusal;
use super::choice::Choice;
use super::document::{Block, Cell, Column, Document, Group, Row, Table, Width, Words};
use super::head::head;
use super::job::CheckedJob;
use super::settings::Settings;
use crate::check::check_chosen;
use crate::stage::Stage;
use crate::time::cautions::{CHIPS, MAINS, POWER, STORED_CHARGE, has_mains};
use crate::time::gate::{Verdict, gate};
use rows::{Reading, Rows};

/// What every page of it is headed.
pub const TITLE: &str = "Bring-up card";

/// A section of the card, in the order of the work.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) enum Section {
    /// Resistance to ground, with the power off.
    Ground,
    /// First power, through a lamp or a current limit.
    Power,
    /// The rails.
    Rails,
    /// What is to be at no volts.
    Offsets,
    /// Ripple.
    Ripple,
    /// Working points and adjustments.
    Bias,
    /// Whether it works.
    Signal,
}

impl Section {
    const ALL: [Section; 7] = [
        Section::Ground,
        Section::Power,
        Section::Rails,
        Section::Offsets,
        Section::Ripple,
        Section::Bias,
        Section::Signal,
    ];

    fn title(self) -> &'static str {
        match self {
            Section::Ground => "Resistance to ground, no power",
            Section::Power => "First power, limited",
            Section::Rails => "Rails",
            Section::Offsets => "Offsets",
            Section::Ripple => "Ripple",
            Section::Bias => "Bias and adjustments",
            Section::Signal => "Signal",
        }
    }
}

/// Makes the bring-up card of a job.
///
/// # Errors
/// When something is asked for by a name that nothing has, or steps are asked for.
pub fn card(job: &CheckedJob<'_, '_>, settings: &Settings) -> Result<Document, Refusal> {
    let choice = Choice::of(job, &settings.wanted)?;
    if choice.names_steps() {
        return Err(Refusal {
            reason: "the bring-up card has an order of its own; narrow it by boards".to_owned(),
        });
    }
    let rows = Rows { job, choice };
    let mut blocks = Vec::new();
    if !settings.wanted.is_everything() {
        let only = format!("Shown here: only {}.", settings.wanted.in_words());
        blocks.push(Block::Paragraph(only.into()));
    }
    blocks.push(Block::Paragraph(Words::plain(
        "From the top to the bottom. A reading out of its limits stops the work: switch \
         off, find the cause, and begin that section again. What is written here is typed \
         into the log later.",
    )));
    if has_mains(job.case) {
        blocks.push(Block::Caution(MAINS.into()));
    }
    let mut sections: Vec<(Section, Vec<Reading>)> = Section::ALL
        .into_iter()
        .map(|section| (section, rows.of(section)))
        .collect();
    let has_power = |(section, readings): &(Section, Vec<Reading>)| {
        *section > Section::Power && !readings.is_empty()
    };
    if sections.iter().any(has_power) {
        // What is read under power comes after first power, whether a step says so or not.
        for (section, readings) in &mut sections {
            if *section == Section::Power && readings.is_empty() {
                readings.push(rows::first_power());
            }
        }
    }
    sections.retain(|(_, readings)| !readings.is_empty());
    if sections.is_empty() {
        blocks.push(Block::Paragraph(Words::plain(
            "There is nothing to read: the job has no targets, and its model sheet no rails.",
        )));
    }
    let mut waits_for_chips = job.case.places().any(|place| job.case.is_socketed(place));
    for (number, (section, readings)) in sections.iter().enumerate() {
        blocks.push(Block::Heading {
            level: 1,
            text: format!("{}. {}", number + 1, section.title()),
        });
        if waits_for_chips && *section >= Section::Offsets {
            waits_for_chips = false;
            chips(job, &mut blocks);
        }
        before(job, *section, &mut blocks);
        blocks.push(Block::Table(table(*section, readings)));
        blocks.push(Block::Heading {
            level: 3,
            text: "Out of limits".to_owned(),
        });
        let advice = advice::of(*section).iter().map(|text| Words::plain(*text));
        blocks.push(Block::List(advice.collect()));
    }
    if !sections.is_empty() {
        if waits_for_chips {
            chips(job, &mut blocks);
        }
        blocks.push(Block::Paragraph(asked(job, Stage::Close)));
    }
    Ok(Document {
        head: head(TITLE, &[job]),
        blocks,
        is_landscape: false,
    })
}

/// What stands before the readings of a section: gates and cautions.
fn before(job: &CheckedJob<'_, '_>, section: Section, blocks: &mut Vec<Block>) {
    match section {
        Section::Ground => blocks.push(Block::Caution(STORED_CHARGE.into())),
        Section::Power => {
            blocks.push(Block::Paragraph(asked(job, Stage::Power)));
            blocks.push(Block::Caution(POWER.into()));
        }
        Section::Rails | Section::Offsets | Section::Ripple | Section::Bias | Section::Signal => {
            blocks.push(Block::Caution(POWER.into()));
        }
    }
}

/// What stands where chips go in: once the rails are read, before anything that they do.
fn chips(job: &CheckedJob<'_, '_>, blocks: &mut Vec<Block>) {
    blocks.push(Block::Paragraph(asked(job, Stage::Chips)));
    blocks.push(Block::Caution(CHIPS.into()));
}

/// What a gate answers, as the job stands.
fn asked(job: &CheckedJob<'_, '_>, stage: Stage) -> Words {
    let report = check_chosen(job.case, Some(stage), &job.chosen);
    let answer = gate(job.case, report, &job.case.replay, job.order.as_ref());
    let Some(gate) = answer else {
        return Words::default();
    };
    let verdict = Words::strong(format!(
        "Gate {}: {}. ",
        stage.phrase(),
        gate.verdict.word()
    ));
    let not_checked = gate.sum(|tally| tally.not_checked);
    let says = match (gate.verdict, gate.obstacles.len()) {
        (Verdict::Go, _) => {
            format!("Nothing that was checked stands in the way; {not_checked} not checked.")
        }
        (Verdict::NoGo, 1) => "One thing stands in the way.".to_owned(),
        (Verdict::NoGo, count) => format!("{count} things stand in the way."),
    };
    verdict.and(format!(
        "{says} That is as the file stands: ask again, retin gate {stage}, before you go on."
    ))
}

fn table(section: Section, readings: &[Reading]) -> Table {
    let column = |head: &str, width| Column {
        head: head.to_owned(),
        width,
        is_right: false,
    };
    let has_found = readings.iter().any(|reading| reading.found.is_some());
    let mut columns = vec![
        column("", Width::Content),
        column(
            if section == Section::Power {
                "step"
            } else {
                "point"
            },
            Width::Share(2.0),
        ),
        column("expected", Width::Share(2.0)),
        column("got", Width::Millimetres(30.0)),
        column("initials", Width::Millimetres(16.0)),
    ];
    if has_found {
        columns.insert(3, column("in the log", Width::Share(2.0)));
    }
    let row = |reading: &Reading| {
        let is_done = matches!(reading.found, Some((_, Some(true))));
        let mut cells = vec![
            Cell::Box { is_ticked: is_done },
            Words::strong(&reading.point).into(),
            Cell::from(reading.expected.as_str()),
            Cell::Blank,
            Cell::Blank,
        ];
        if has_found {
            let words = match &reading.found {
                Some((text, Some(false))) => Words::plain(text).and_strong(" out of limits"),
                Some((text, _)) => Words::plain(text),
                None => Words::default(),
            };
            cells.insert(3, words.into());
        }
        Row {
            cells,
            is_done,
            ..Row::default()
        }
    };
    Table {
        columns,
        groups: vec![Group {
            heading: None,
            rows: readings.iter().map(row).collect(),
            foot: None,
        }],
    }
}
