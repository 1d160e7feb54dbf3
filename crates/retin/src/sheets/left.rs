//! What is left: board by board, step by step, the accidents, the readings and the
//! hours.

use super::choice::Choice;
use super::document::{Block, Cell, Column, Document, Group, Row, Table, Width, Words};
use super::head::head;
use super::job::CheckedJob;
use super::settings::Settings;
use super::{Refusal, sentence};
use crate::meaning::{PartId, PlaceId};
use crate::time::left::words::{Wording, to_do};
use crate::time::left::{BoardLeft, How, StepLeft, WhatIsLeft, what_is_left};
use crate::time::readings_wanted::Wanted;

/// What every page of it is headed.
pub const TITLE: &str = "What is left";

/// Makes the sheet of what is left of a job.
///
/// # Errors
/// When something is asked for by a name that nothing has.
pub fn left(job: &CheckedJob<'_, '_>, settings: &Settings) -> Result<Document, Refusal> {
    let choice = Choice::of(job, &settings.wanted)?;
    let case = job.case;
    let words = Wording {
        case,
        job: job.job,
        replay: &case.replay,
    };
    let mut blocks = Vec::new();
    let is_whole = settings.wanted.is_everything();
    if !is_whole {
        let only = format!("Shown here: only {}.", settings.wanted.in_words());
        blocks.push(Block::Paragraph(only.into()));
    }
    if let Some(left) = what_is_left(case, &case.replay, job.order.as_ref()) {
        if !choice.names_steps() {
            boards(words, &left, &choice, &mut blocks);
        }
        steps(words, &left, &choice, &mut blocks);
        // Accidents, readings and hours are those of the whole job.
        if is_whole {
            accidents(words, &left, &mut blocks);
            readings(words, &left, &mut blocks);
            hours(&left, &mut blocks);
        }
    }
    Ok(Document {
        head: head(TITLE, &[job]),
        blocks,
        is_landscape: false,
    })
}

fn heading(text: &str, blocks: &mut Vec<Block>) {
    blocks.push(Block::Heading {
        level: 1,
        text: text.to_owned(),
    });
}

fn column(head: &str, width: Width) -> Column {
    Column {
        head: head.to_owned(),
        width,
        is_right: false,
    }
}

fn one_table(columns: Vec<Column>, rows: Vec<Row>) -> Block {
    Block::Table(Table {
        columns,
        groups: vec![Group {
            heading: None,
            rows,
            foot: None,
        }],
    })
}

/// A board with what is left of it: one group for each sort of work.
fn boards(words: Wording<'_, '_>, left: &WhatIsLeft, choice: &Choice, blocks: &mut Vec<Block>) {
    heading("Boards", blocks);
    let case = words.case;
    let row = |board: &BoardLeft| -> Option<Row> {
        let mut board = board.clone();
        board.copies.retain(|copy| choice.takes_board(*copy));
        let first = *board.copies.first()?;
        let is_wanted = |part: &PartId| {
            let place = PlaceId {
                part: *part,
                copy: first.1,
            };
            choice.takes_place(case, place)
        };
        board.done.retain(is_wanted);
        for (_, parts) in &mut board.left {
            parts.retain(is_wanted);
        }
        board.left.retain(|(_, parts)| !parts.is_empty());
        if board.work() == 0 {
            return None;
        }
        if choice.is_of_places() {
            board.beside = None;
        }
        let mut lines: Vec<Words> = board
            .left
            .iter()
            .map(|(what, parts)| {
                Words::strong(to_do(*what)).and(format!(" {}", words.parts(parts)))
            })
            .collect();
        lines.extend(words.beside(&board).into_iter().map(Words::plain));
        Some(Row {
            cells: vec![
                Cell::Box {
                    is_ticked: board.left.is_empty(),
                },
                Words::strong(words.copies(&board.copies)).into(),
                words.done(&board).into(),
                Cell::Lines(lines),
            ],
            is_done: board.left.is_empty(),
            ..Row::default()
        })
    };
    let rows: Vec<Row> = left.boards.iter().filter_map(row).collect();
    if rows.is_empty() {
        blocks.push(Block::Paragraph("The plan works on no part.".into()));
        return;
    }
    let columns = vec![
        column("", Width::Content),
        column("board", Width::Content),
        column("done", Width::Share(1.0)),
        column("left", Width::Share(3.0)),
    ];
    blocks.push(one_table(columns, rows));
}

fn steps(words: Wording<'_, '_>, left: &WhatIsLeft, choice: &Choice, blocks: &mut Vec<Block>) {
    heading("Steps", blocks);
    if left.steps.is_empty() {
        blocks.push(Block::Paragraph("The job has no steps.".into()));
        return;
    }
    let is_wanted = |step: &&StepLeft| {
        let pieces = step.progress.left.iter().chain(&step.progress.done);
        let mut wanted = pieces.filter(|piece| choice.takes_piece(words.case, **piece));
        choice.takes_step(step.step) && wanted.next().is_some()
    };
    let row = |step: &StepLeft| {
        let mut lines = Vec::new();
        if step.how == How::Begun {
            let mut step = step.clone();
            step.progress
                .left
                .retain(|piece| choice.takes_piece(words.case, *piece));
            lines.push(Words::strong("left ").and(words.pieces(&step)));
            let waits = words.waits_for(&step);
            if !waits.is_empty() {
                lines.push(Words::plain(format!("still to come first: {waits}")));
            }
        }
        Row {
            cells: vec![
                Cell::Box {
                    is_ticked: step.how == How::Done,
                },
                Words::strong(words.step(step.step)).into(),
                words.state(step).into(),
                Cell::Lines(lines),
            ],
            is_done: step.how == How::Done,
            ..Row::default()
        }
    };
    let columns = vec![
        column("", Width::Content),
        column("step", Width::Content),
        column("how far", Width::Share(2.0)),
        column("", Width::Share(3.0)),
    ];
    let rows = left.steps.iter().filter(is_wanted).map(row).collect();
    blocks.push(one_table(columns, rows));
}

fn accidents(words: Wording<'_, '_>, left: &WhatIsLeft, blocks: &mut Vec<Block>) {
    if words.replay.accidents.is_empty() {
        return;
    }
    heading("Accidents", blocks);
    let count = sentence(&words.accidents(left.accidents.len()));
    blocks.push(Block::Paragraph(count.into()));
    let items = left.accidents.iter().map(|accident| {
        let record = &words.replay.accidents[*accident];
        let what = words.accident(record);
        Words::plain(format!(
            "{}. {what}: {}",
            record.number,
            words.status(record)
        ))
    });
    let items: Vec<Words> = items.collect();
    if !items.is_empty() {
        blocks.push(Block::List(items));
    }
}

fn readings(words: Wording<'_, '_>, left: &WhatIsLeft, blocks: &mut Vec<Block>) {
    if words.job.targets.is_empty() {
        return;
    }
    heading("Readings", blocks);
    if left.readings.is_empty() {
        blocks.push(Block::Paragraph("Every target has its reading.".into()));
        return;
    }
    let row = |wanted: &Wanted| Row {
        cells: vec![
            Cell::Box { is_ticked: false },
            wanted.in_words(words.job).into(),
        ],
        is_done: false,
        ..Row::default()
    };
    let columns = vec![
        column("", Width::Content),
        column("missing", Width::Share(1.0)),
    ];
    blocks.push(one_table(columns, left.readings.iter().map(row).collect()));
}

fn hours(left: &WhatIsLeft, blocks: &mut Vec<Block>) {
    heading("Hours", blocks);
    blocks.push(Block::Facts(vec![
        ("spent".to_owned(), left.hours.spent_in_words().into()),
        ("to go".to_owned(), left.hours.to_go_in_words().into()),
    ]));
}
