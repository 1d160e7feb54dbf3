//! What differs between two revisions of a job, or two units, with a box to tick
//! for each difference.

use super::Refusal;
use super::document::{Block, Cell, Column, Document, Group, Row, Table, Width, Words};
use super::head::head;
use super::job::CheckedJob;
use super::settings::Settings;
use crate::compare::{Change, compare};

/// What every page of it is headed.
pub const TITLE: &str = "Differences";

/// Makes the sheet of what differs, the old one first.
///
/// # Errors
/// Never; other sheets do.
pub fn differences(
    [old, new]: [&CheckedJob<'_, '_>; 2],
    _settings: &Settings,
) -> Result<Document, Refusal> {
    let changes = compare(old.case, new.case);
    let side = |job: &CheckedJob<'_, '_>| {
        let said = format!("{} {}", job.job.number, job.job.title);
        Words::strong(said.trim_end()).and(format!(", {}", job.revision))
    };
    let mut blocks = vec![Block::Facts(vec![
        ("old".to_owned(), side(old)),
        ("new".to_owned(), side(new)),
    ])];
    if changes.is_empty() {
        blocks.push(Block::Paragraph(
            "No difference. Comments, order and layout are none.".into(),
        ));
    } else {
        blocks.push(Block::Table(table(&changes)));
    }
    // One job's two revisions are not two jobs.
    let jobs: &[&CheckedJob<'_, '_>] = if old.job.number == new.job.number {
        &[new]
    } else {
        &[old, new]
    };
    Ok(Document {
        head: head(TITLE, jobs),
        blocks,
        is_landscape: false,
    })
}

fn table(changes: &[Change]) -> Table {
    let is_together = |one: &Change, other: &Change| one.title() == other.title();
    let group = |changes: &[Change]| {
        let count = changes.len();
        let differences = if count == 1 {
            "difference"
        } else {
            "differences"
        };
        Group {
            heading: changes.first().map(|change| {
                Words::strong(change.title()).and(format!(": {count} {differences}"))
            }),
            rows: changes.iter().map(row).collect(),
            foot: None,
        }
    };
    Table {
        columns: vec![
            Column {
                head: String::new(),
                width: Width::Content,
                is_right: false,
            },
            Column {
                head: String::new(),
                width: Width::Share(1.0),
                is_right: false,
            },
        ],
        groups: changes.chunk_by(is_together).map(group).collect(),
    }
}

fn row(change: &Change) -> Row {
    Row {
        cells: vec![
            Cell::Box { is_ticked: false },
            Cell::from(change.sentence()),
        ],
        is_done: false,
        ..Row::default()
    }
}
