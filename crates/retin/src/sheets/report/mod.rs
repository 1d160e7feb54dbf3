//! The report for the owner: what was wrong, what was found and done, what it
//! cost, and what was not done or not checked, in plain words. It calls nothing
//! safe.

mod accidents;
mod closing;
mod done;
mod fitted;
mod found;
mod kinds;
mod money;
mod not_done;
mod photos;
mod prose;
mod pulled;
mod readings;
mod summary;

use super::document::{Block, Cell, Column, Document, Group, Row, Table, Width, Words};
use super::head::head;
use super::plot::{RowPlot, Size, draw};
use super::settings::Settings;
use super::{CheckedJob, Refusal};
use crate::meaning::{Case, Job};
use crate::replacement::Chosen;
use crate::time::Replay;
use crate::time::left::{WhatIsLeft, what_is_left};
use crate::time::working_order::{NewParts, new_parts};
use retin_syntax::value::Date;

/// The title of the sheet.
pub const TITLE: &str = "Report";

/// What every part of the report looks at.
struct Telling<'j, 'c, 'a> {
    checked: &'j CheckedJob<'c, 'a>,
    case: &'c Case<'a>,
    job: &'c Job<'a>,
    replay: &'c Replay<'a>,
    new: NewParts<'j, 'a>,
    left: Option<WhatIsLeft>,
    settings: &'j Settings,
}

/// Makes the report on a job.
///
/// # Errors
/// When less than the whole job is wanted: a report leaves nothing out.
pub fn report(job: &CheckedJob<'_, '_>, settings: &Settings) -> Result<Document, Refusal> {
    if !settings.wanted.is_everything() {
        return Err(Refusal {
            reason: format!(
                "a report is on the whole job, and not on {} alone",
                settings.wanted.in_words()
            ),
        });
    }
    let chosen: &[Chosen<'_, '_>] = &job.chosen;
    let telling = Telling {
        checked: job,
        case: job.case,
        job: job.job,
        replay: &job.case.replay,
        new: new_parts(chosen),
        left: what_is_left(job.case, &job.case.replay, job.order.as_ref()),
        settings,
    };
    let mut blocks = Vec::new();
    for part in [
        summary::summary,
        found::found,
        done::done,
        fitted::fitted,
        accidents::accidents,
        readings::readings,
        photos::photos,
        money::money,
        not_done::not_done,
        closing::closing,
    ] {
        part(&telling, &mut blocks);
    }
    Ok(Document {
        head: head(TITLE, &[job]),
        blocks,
        is_landscape: false,
    })
}

impl Telling<'_, '_, '_> {
    /// The day of an entry of the log, where it is known.
    fn day(&self, entry: usize) -> Option<Date> {
        self.job.log.get(entry)?.date
    }

    /// The day of an entry as the end of a sentence: " on 2026-09-15".
    fn on_day(&self, entry: usize) -> String {
        self.day(entry)
            .map_or(String::new(), |day| format!(" on {day}"))
    }

    /// A plot with its caption, as many drawings as it needs.
    fn plot(&self, plot: &RowPlot, caption: &str, blocks: &mut Vec<Block>) {
        let (width, height) = self.settings.paper.size();
        let is_big = self.settings.is_big;
        // What is left free at the sides, and for the head and the foot of a page.
        let size = Size {
            width: width - 36.0,
            height: height - if is_big { 120.0 } else { 90.0 },
            text: if is_big { 4.6 } else { 2.9 },
        };
        for (index, drawing) in draw(plot, size).into_iter().enumerate() {
            let caption = if index == 0 {
                caption.to_owned()
            } else {
                format!("{caption}, continued")
            };
            blocks.push(Block::Drawing {
                drawing,
                caption: Some(caption.into()),
            });
        }
    }
}

fn heading(level: u8, text: &str) -> Block {
    Block::Heading {
        level,
        text: text.to_owned(),
    }
}

fn paragraph(text: impl Into<Words>) -> Block {
    Block::Paragraph(text.into())
}

/// A table of one group.
fn table(heads: &[(&str, Width, bool)], rows: Vec<Vec<Cell>>) -> Block {
    Block::Table(Table {
        columns: heads
            .iter()
            .map(|(head, width, is_right)| Column {
                head: (*head).to_owned(),
                width: *width,
                is_right: *is_right,
            })
            .collect(),
        groups: vec![Group {
            heading: None,
            rows: rows
                .into_iter()
                .map(|cells| Row {
                    cells,
                    is_done: false,
                    ..Row::default()
                })
                .collect(),
            foot: None,
        }],
    })
}
