//! What is not done part by part: boards, rails, links, and the unit as a whole.

use super::{TickSheet, Ticked, Work, foot, with_copies_below, without_empty_columns};
use crate::meaning::{BoardCopy, BoardId, Case, NetId, Step, Window, names};
use crate::sheets::document::{Cell, Column, Group, NamedBox, Row, Table, Width, Words};
use crate::time::step_progress::Piece;
use crate::typeset;
use retin_syntax::Token;
use retin_syntax::tables::{Property, StepVerb};
use retin_syntax::value::{Dimension, Value};

/// Room to write a reading in, in mm.
const READING: f64 = 30.0;
/// Room for boxes with the names of copies, in mm.
const COPIES: f64 = 90.0;

/// A table for each sort of piece that is there.
pub(super) fn tables(
    sheet: &TickSheet<'_, '_, '_>,
    work: &Work,
    step: Option<&Step<'_>>,
) -> Vec<Table> {
    let boards: Vec<(BoardCopy, bool)> = work.pieces.iter().filter_map(board).collect();
    let all = [
        boards_table(sheet.job.case, work.verb, step, &boards),
        nets_table(sheet.job.case, sheet, step, &work.pieces),
        links_table(sheet.job.case, &work.pieces),
        whole_table(work),
    ];
    all.into_iter()
        .filter(|table| table.groups.iter().any(|group| !group.rows.is_empty()))
        .map(|table| without_empty_columns(with_copies_below(table)))
        .collect()
}

fn board((piece, is_done): &Ticked) -> Option<(BoardCopy, bool)> {
    match piece {
        Piece::Board(board) => Some((*board, *is_done)),
        _ => None,
    }
}

fn column(head: &str, width: Width) -> Column {
    Column {
        head: head.to_owned(),
        width,
        is_right: false,
    }
}

fn one_group(rows: Vec<(Row, Vec<bool>)>) -> Vec<Group> {
    let ticked: Vec<bool> = rows.iter().flat_map(|row| row.1.clone()).collect();
    vec![Group {
        heading: None,
        foot: (!ticked.is_empty()).then(|| foot(ticked.into_iter())),
        rows: rows.into_iter().map(|row| row.0).collect(),
    }]
}

fn nothing() -> Cell {
    Cell::Words(Words::default())
}

/// What is written down of each board.
fn to_write(verb: StepVerb) -> Option<&'static str> {
    match verb {
        StepVerb::Photograph => Some("pictures"),
        StepVerb::Power => Some("current drawn"),
        StepVerb::Measure => Some("reading"),
        StepVerb::Adjust => Some("set to"),
        StepVerb::Test => Some("result"),
        _ => None,
    }
}

/// Boards: copies share a row where nothing is written down for each.
fn boards_table(
    case: &Case<'_>,
    verb: StepVerb,
    step: Option<&Step<'_>>,
    boards: &[(BoardCopy, bool)],
) -> Table {
    let is_inspection = verb == StepVerb::Inspect;
    let write = to_write(verb);
    let has_own_row = write.is_some() || is_inspection;
    let is_together =
        |one: &(BoardCopy, bool), other: &(BoardCopy, bool)| !has_own_row && one.0.0 == other.0.0;
    let limit = step.and_then(|step| step.facts.quantity(Property::Current));
    let row = |copies: &[(BoardCopy, bool)]| -> (Row, Vec<bool>) {
        let ticked: Vec<bool> = copies.iter().map(|copy| copy.1).collect();
        let title = |board: BoardId| case.board(board).title.to_owned();
        let is_alone = copies.len() == 1;
        let boxes = copies.iter().map(|(copy, is_ticked)| NamedBox {
            name: case.name_of_copy(*copy).to_owned(),
            is_ticked: *is_ticked,
        });
        // An entry that says nothing of sides may have been about either.
        let has_both = case.replay.board(copies[0].0).both_sides.is_some();
        let sides = ["component side", "solder side"].map(|name| NamedBox {
            name: name.to_owned(),
            is_ticked: has_both,
        });
        let named = names::compress(copies.iter().map(|copy| case.name_of_copy(copy.0)));
        let row = Row {
            cells: vec![
                if is_alone {
                    Cell::Box {
                        is_ticked: ticked[0],
                    }
                } else {
                    nothing()
                },
                Words::strong(named).into(),
                title(copies[0].0.0).into(),
                limit.map_or_else(nothing, |limit| {
                    format!("at most {}", typeset::quantity(limit)).into()
                }),
                if write.is_some() {
                    Cell::Blank
                } else {
                    nothing()
                },
                if is_inspection {
                    Cell::Boxes(sides.to_vec())
                } else if is_alone {
                    nothing()
                } else {
                    Cell::Boxes(boxes.collect())
                },
            ],
            is_done: ticked.iter().all(|is_done| *is_done),
            ..Row::default()
        };
        (row, ticked)
    };
    Table {
        columns: vec![
            column("", Width::Content),
            column("board", Width::Content),
            column("", Width::Share(2.0)),
            column("current", Width::Content),
            column(write.unwrap_or(""), Width::Millimetres(READING)),
            column(
                if is_inspection { "looked at" } else { "copies" },
                Width::Millimetres(COPIES),
            ),
        ],
        groups: one_group(boards.chunk_by(is_together).map(row).collect()),
    }
}

/// Rails and other nets, with what is expected there.
fn nets_table(
    case: &Case<'_>,
    sheet: &TickSheet<'_, '_, '_>,
    step: Option<&Step<'_>>,
    pieces: &[Ticked],
) -> Table {
    let is_off = step.is_some_and(|step| step.condition == Some(Token::Unpowered));
    let rows = pieces.iter().filter_map(|(piece, is_done)| {
        let Piece::Net(net, copy) = piece else {
            return None;
        };
        let board = (case.nets.net(*net).board, *copy);
        let name = format!("{}.{}", case.name_of_copy(board), case.nets.net(*net).name);
        let row = Row {
            cells: vec![
                Cell::Box {
                    is_ticked: *is_done,
                },
                Words::strong(name).into(),
                expected(sheet, *net, is_off).into(),
                Cell::Blank,
            ],
            is_done: *is_done,
            ..Row::default()
        };
        Some((row, vec![*is_done]))
    });
    Table {
        columns: vec![
            column("", Width::Content),
            column("point", Width::Content),
            column("expected", Width::Share(2.0)),
            column("got", Width::Millimetres(READING)),
        ],
        groups: one_group(rows.collect()),
    }
}

/// What is expected at a net: by the job's targets, else by the rail's line.
fn expected(sheet: &TickSheet<'_, '_, '_>, net: NetId, is_off: bool) -> String {
    let case = sheet.job.case;
    let targets = sheet.job.job.targets.iter().filter(|target| {
        let on = target.net.map(|other| case.nets.common(other));
        on == Some(case.nets.common(net))
    });
    for target in targets {
        let Some(window) = target.window() else {
            continue;
        };
        let limit = window.low.or(window.high);
        let is_ohms = limit.is_some_and(|limit| limit.dimension == Dimension::Resistance);
        if is_ohms == is_off {
            return typeset::window(&window);
        }
    }
    if is_off {
        let has_sisters = case.board(case.nets.net(net).board).copies.len() > 1;
        return if has_sisters {
            "no target: compare with its sisters".to_owned()
        } else {
            "no target".to_owned()
        };
    }
    let rail = case.nets.net(net).rail.as_ref();
    let volts = rail.and_then(|rail| {
        let (low, high) = rail.facts.range(Property::Volts)?;
        let volts = Window {
            low: Some(low),
            high: Some(high),
        };
        let tolerance = rail.facts.tolerance().map(Value::Tolerance);
        let tolerance = tolerance.map(|tolerance| typeset::value(&tolerance));
        let said = std::iter::once(typeset::window(&volts)).chain(tolerance);
        Some(said.collect::<Vec<_>>().join(" "))
    });
    volts.unwrap_or_else(|| "no target".to_owned())
}

fn links_table(case: &Case<'_>, pieces: &[Ticked]) -> Table {
    let rows = pieces.iter().filter_map(|(piece, is_done)| {
        let Piece::Link(link) = piece else {
            return None;
        };
        let link = case.link(*link);
        let boards = names::compress(link.boards.iter().map(|copy| case.name_of_copy(*copy)));
        let joints = link.joints.map_or_else(String::new, |joints| {
            format!("{}\u{a0}joints", joints.normalize())
        });
        let row = Row {
            cells: vec![
                Cell::Box {
                    is_ticked: *is_done,
                },
                Words::strong(link.name).into(),
                boards.into(),
                joints.into(),
            ],
            is_done: *is_done,
            ..Row::default()
        };
        Some((row, vec![*is_done]))
    });
    Table {
        columns: vec![
            column("", Width::Content),
            column("link", Width::Content),
            column("joins", Width::Share(2.0)),
            column("joints", Width::Content),
        ],
        groups: one_group(rows.collect()),
    }
}

/// A step that names nothing is one box.
fn whole_table(work: &Work) -> Table {
    let whole = work
        .pieces
        .iter()
        .filter(|(piece, _)| *piece == Piece::Whole);
    let rows = whole.map(|(_, is_done)| {
        let row = Row {
            cells: vec![
                Cell::Box {
                    is_ticked: *is_done,
                },
                work.heading.clone().into(),
                Cell::Blank,
            ],
            is_done: *is_done,
            ..Row::default()
        };
        (row, vec![*is_done])
    });
    Table {
        columns: vec![
            column("", Width::Content),
            column("what", Width::Share(1.0)),
            column("remarks", Width::Millimetres(2.0 * READING)),
        ],
        groups: one_group(rows.collect()),
    }
}
