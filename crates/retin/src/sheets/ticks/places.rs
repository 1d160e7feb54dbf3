//! The parts of one step, a box for each place.

use super::{TickSheet, foot, with_copies_below, without_empty_columns};
use crate::meaning::{BoardCopy, BoardId, PartId, PlaceId, names};
use crate::sheets::document::{Cell, Column, Group, NamedBox, Row, Table, Width, Words};
use crate::sheets::settings::Sort;
use crate::time::working_order::{Bag, Item, along, bags, items};
use retin_syntax::tables::StepVerb;
use retin_syntax::value::Decimal;
use std::collections::BTreeMap;

/// How the places of a step are sorted where nobody asks: parts go in bag by bag,
/// and everything else is done board by board.
fn usual(verb: StepVerb) -> Sort {
    if verb == StepVerb::Fit {
        Sort::Value
    } else {
        Sort::Board
    }
}

/// What is written down at each place, and how wide the room for it is in mm.
fn to_write(verb: StepVerb) -> Option<&'static str> {
    match verb {
        StepVerb::Discharge => Some("volts left"),
        StepVerb::Measure => Some("reading"),
        StepVerb::Adjust => Some("set to"),
        StepVerb::Test => Some("result"),
        _ => None,
    }
}

/// Room to write a reading in, in mm.
const READING: f64 = 24.0;
/// Room for boxes with the names of copies, in mm.
const COPIES: f64 = 58.0;

/// Places that stand together.
struct Together {
    heading: Option<Words>,
    places: Vec<PlaceId>,
}

/// The table of the places of one step.
pub(super) fn table(
    sheet: &TickSheet<'_, '_, '_>,
    verb: StepVerb,
    ticked: &[(PlaceId, bool)],
) -> Table {
    let sort = sheet.sort.unwrap_or(usual(verb));
    let is_done: BTreeMap<PlaceId, bool> = ticked.iter().copied().collect();
    let places: Vec<PlaceId> = is_done.keys().copied().collect();
    let blocks = blocks(sheet, verb, sort, &places);
    let is_done = |place: &PlaceId| is_done.get(place).copied().unwrap_or(false);
    let groups = blocks.into_iter().map(|block| Group {
        heading: block.heading,
        foot: Some(foot(block.places.iter().map(is_done))),
        rows: rows(sheet, verb, sort, &block.places, &is_done),
    });
    let column = |head: &str, width| Column {
        head: head.to_owned(),
        width,
        is_right: false,
    };
    let is_fit = verb == StepVerb::Fit;
    without_empty_columns(with_copies_below(Table {
        columns: vec![
            column("", Width::Content),
            column("place", Width::Content),
            column(
                if is_fit {
                    "old → new"
                } else {
                    "what is there"
                },
                Width::Share(3.0),
            ),
            column("bag", Width::Share(2.0)),
            column("way round", Width::Share(3.0)),
            column("mind", Width::Share(3.0)),
            column(to_write(verb).unwrap_or(""), Width::Millimetres(READING)),
            column("copies", Width::Millimetres(COPIES)),
        ],
        groups: groups.collect(),
    }))
}

/// The places in the order and the groups that are asked for.
fn blocks(
    sheet: &TickSheet<'_, '_, '_>,
    verb: StepVerb,
    sort: Sort,
    places: &[PlaceId],
) -> Vec<Together> {
    let case = sheet.job.case;
    let mut items = items(case, &sheet.parts.new, verb, places);
    let name = |item: &Item| case.part(item.place.part).name.as_str();
    let by_name = |one: &Item, other: &Item| {
        names::in_order(name(one))
            .cmp(&names::in_order(name(other)))
            .then(one.board.cmp(&other.board))
    };
    match sort {
        Sort::Value => {
            let bags = bags(items).into_iter();
            return bags.map(|bag| bag_block(sheet, verb, bag)).collect();
        }
        // Copies of one board stand together, part by part.
        Sort::Board => items.sort_by(|one, other| {
            let boards = one.board.0.cmp(&other.board.0);
            boards.then(by_name(one, other))
        }),
        Sort::Zone => items.sort_by(|one, other| {
            let (board, zone, at, _) = along(one);
            let (other_board, other_zone, other_at, _) = along(other);
            (board.0, zone, at)
                .cmp(&(other_board.0, other_zone, other_at))
                .then(by_name(one, other))
        }),
        Sort::Height => items.sort_by(|one, other| {
            (one.height.is_none(), one.height)
                .cmp(&(other.height.is_none(), other.height))
                .then(one.board.0.cmp(&other.board.0))
                .then(by_name(one, other))
        }),
        Sort::Reference => items.sort_by(by_name),
    }
    let is_together = |one: &Item, other: &Item| match sort {
        Sort::Board => one.board.0 == other.board.0,
        Sort::Zone => (one.board.0, one.zone) == (other.board.0, other.zone),
        Sort::Height => one.height == other.height,
        Sort::Value | Sort::Reference => true,
    };
    items
        .chunk_by(is_together)
        .map(|items| Together {
            heading: heading(sheet, sort, items),
            places: items.iter().map(|item| item.place).collect(),
        })
        .collect()
}

fn heading(sheet: &TickSheet<'_, '_, '_>, sort: Sort, items: &[Item]) -> Option<Words> {
    let first = items.first()?;
    let boards = || {
        let mut copies: Vec<BoardCopy> = items.iter().map(|item| item.board).collect();
        copies.sort_unstable();
        copies.dedup();
        board_words(sheet, first.board.0, &copies)
    };
    match sort {
        Sort::Board => Some(boards()),
        Sort::Zone => {
            let zones = &sheet.job.case.board(first.board.0).zones;
            let zone = first.zone.and_then(|zone| zones.get(zone));
            Some(boards().and(match zone {
                Some((zone, _)) => format!(", zone {zone}"),
                None if zones.is_empty() => String::new(),
                None => ", in no zone".to_owned(),
            }))
        }
        Sort::Height => Some(Words::strong(height(first.height))),
        Sort::Value | Sort::Reference => None,
    }
}

fn board_words(sheet: &TickSheet<'_, '_, '_>, board: BoardId, copies: &[BoardCopy]) -> Words {
    let case = sheet.job.case;
    let names = names::compress(copies.iter().map(|copy| case.name_of_copy(*copy)));
    let title = case.board(board).title;
    let words = Words::strong(names);
    if title.is_empty() {
        words
    } else {
        words.and(format!(" {title}"))
    }
}

fn height(height: Option<Decimal>) -> String {
    height.map_or_else(
        || "height not known".to_owned(),
        |height| format!("{}\u{a0}mm high", height.normalize()),
    )
}

fn bag_block(sheet: &TickSheet<'_, '_, '_>, verb: StepVerb, bag: Bag) -> Together {
    let count = bag.places.len();
    let first = bag.places.first();
    let label = first.map_or_else(String::new, |place| sheet.parts.in_bag(verb, *place));
    let pieces = if count == 1 { "piece" } else { "pieces" };
    let mut says = vec![String::new()];
    says.push(format!("{count}\u{a0}{pieces}"));
    says.push(height(bag.height));
    says.extend(first.and_then(|place| sheet.parts.bag(verb, *place)));
    Together {
        heading: Some(Words::strong(label).and(says.join(", "))),
        places: bag.places,
    }
}

/// The rows of a group. Copies of a board of which the same is to be said share
/// one, unless something is written down for each.
fn rows(
    sheet: &TickSheet<'_, '_, '_>,
    verb: StepVerb,
    sort: Sort,
    places: &[PlaceId],
    is_done: &dyn Fn(&PlaceId) -> bool,
) -> Vec<Row> {
    let case = sheet.job.case;
    let mut shared: Vec<(PartId, [Words; 4], Vec<u16>)> = Vec::new();
    for place in places {
        let bag = if sort == Sort::Value {
            None
        } else {
            let entry = sheet.parts.entry(verb, *place).map(str::to_owned);
            let there = entry.into_iter().chain(sheet.parts.bag(verb, *place));
            Some(there.collect::<Vec<_>>().join(", "))
        };
        let says = [
            sheet.parts.change(verb, *place),
            Words::plain(bag.unwrap_or_default()),
            sheet.parts.way_round(verb, *place),
            sheet.parts.remarks(verb, *place),
        ];
        let same = shared
            .iter_mut()
            .find(|row| row.0 == place.part && row.1 == says && to_write(verb).is_none());
        match same {
            Some(row) => row.2.push(place.copy),
            None => shared.push((place.part, says, vec![place.copy])),
        }
    }
    let is_on_heading = matches!(sort, Sort::Board | Sort::Zone);
    let row = |(part, says, copies): (PartId, [Words; 4], Vec<u16>)| {
        let place = |copy: u16| PlaceId { part, copy };
        let board = case.board_of(part);
        let is_done: Vec<bool> = copies.iter().map(|copy| is_done(&place(*copy))).collect();
        let is_alone = copies.len() == 1;
        let boxes = copies.iter().zip(&is_done).map(|(copy, is_done)| NamedBox {
            name: board.copies[usize::from(*copy)].clone(),
            is_ticked: *is_done,
        });
        let name = if is_on_heading && (!is_alone || board.copies.len() == 1) {
            case.part(part).name.clone()
        } else {
            case.names_of(part, &copies)
        };
        let [change, bag, way_round, remarks] = says;
        Row {
            cells: vec![
                if is_alone {
                    Cell::Box {
                        is_ticked: is_done[0],
                    }
                } else {
                    Cell::Words(Words::default())
                },
                Words::strong(name).into(),
                change.into(),
                bag.into(),
                way_round.into(),
                remarks.into(),
                if to_write(verb).is_some() {
                    Cell::Blank
                } else {
                    Cell::Words(Words::default())
                },
                if is_alone {
                    Cell::Words(Words::default())
                } else {
                    Cell::Boxes(boxes.collect())
                },
            ],
            is_done: is_done.iter().all(|is_done| *is_done),
            ..Row::default()
        }
    };
    shared.into_iter().map(row).collect()
}
