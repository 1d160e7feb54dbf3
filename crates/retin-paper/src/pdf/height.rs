//! How high the rows of a table come out.
//!
//! The typesetting library finds the height of a row by setting all its cells once,
//! and then sets them again in that height. Where the height is known beforehand,
//! it sets them once.

use crate::fonts::{CAPITAL, is_set_sign_by_sign};
use crate::measure::{lines_of, width, width_of};
use crate::{POINT, Sizes, boxes};
use retin::sheets::document::{Cell, NamedBox, Row, Words};

/// Between two lines of words, in parts of the font's size: the leading of the
/// template.
pub(super) const LEADING: f64 = 0.45;

/// Between two lines of boxes, in millimetres.
pub(super) const BETWEEN_BOXES: f64 = 1.5;

/// Above the boxes that stand below a row, in millimetres.
pub(super) const ABOVE_BOXES: f64 = 0.4;

/// How high something is.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Height {
    /// In millimetres.
    pub millimetres: f64,
    /// Whether it is set in just this height. Else the library breaks lines where it
    /// sees fit, and it may be another.
    pub is_exact: bool,
}

impl Height {
    /// Where it is known how high it is set, this height.
    pub(super) fn exact(self) -> Option<f64> {
        self.is_exact.then_some(self.millimetres)
    }

    fn with_around(self, around: f64) -> Height {
        Height {
            millimetres: self.millimetres + around,
            ..self
        }
    }
}

/// The height of the cells of a row; `inner` gives the room in a column, in
/// millimetres.
pub(super) fn of_row(
    row: &Row,
    columns: usize,
    inner: &dyn Fn(usize) -> f64,
    sizes: Sizes,
) -> Height {
    let mut highest = Height {
        millimetres: 0.0,
        is_exact: true,
    };
    for index in 0..columns {
        let height = row.cells.get(index).map_or(lines(0, true, sizes), |cell| {
            of_cell(cell, inner(index), sizes)
        });
        highest.millimetres = highest.millimetres.max(height.millimetres);
        highest.is_exact &= height.is_exact;
    }
    highest.with_around(2.0 * sizes.row)
}

/// The height of the boxes below a row, none where there are none; `across` is the
/// room for them, in millimetres.
pub(super) fn below(row: &Row, across: f64, sizes: Sizes) -> Option<Height> {
    let has_boxes = !row.below.is_empty();
    has_boxes.then(|| of_boxes(&row.below, across, sizes).with_around(ABOVE_BOXES + sizes.row))
}

fn of_cell(cell: &Cell, room: f64, sizes: Sizes) -> Height {
    let size = sizes.text * POINT;
    let many = |words: &Words| match is_one_line(words, size, room) {
        true => (1, true),
        false => (lines_of(words, false, size, room), false),
    };
    match cell {
        Cell::Words(words) => {
            let (count, is_exact) = many(words);
            lines(count, is_exact, sizes)
        }
        Cell::Lines(of_cell) => {
            let all = of_cell.iter().map(many);
            let (count, is_exact) = all.fold((0, true), |(count, is_exact), (more, is_one)| {
                (count + more, is_exact && is_one)
            });
            lines(count, is_exact, sizes)
        }
        Cell::Box { .. } => Height {
            millimetres: sizes.tick_box,
            is_exact: true,
        },
        Cell::Boxes(boxes) => of_boxes(boxes, room, sizes),
        Cell::Blank => lines(0, true, sizes),
    }
}

/// So many lines of words.
fn lines(count: usize, is_exact: bool, sizes: Sizes) -> Height {
    let count = count as f64;
    let parts = count * CAPITAL + (count - 1.0).max(0.0) * LEADING;
    Height {
        millimetres: parts * sizes.text * POINT,
        is_exact,
    }
}

/// Whether words stand in one line for certain. Pairs of letters that stand closer
/// or wider are not measured, nor are scripts whose letters join.
fn is_one_line(words: &Words, size: f64, room: f64) -> bool {
    let mut signs = words.runs.iter().flat_map(|run| run.text.chars());
    width_of(words, false, size) * 1.01 <= room && signs.all(is_set_sign_by_sign)
}

fn of_boxes(boxes: &[NamedBox], room: f64, sizes: Sizes) -> Height {
    let layout = boxes::layout(boxes, room, sizes);
    let lines = boxes.len().div_ceil(layout.columns) as f64;
    let fits = |named: &NamedBox| {
        width(&named.name, false, sizes.text * POINT) * 1.01 <= layout.name
            && named.name.chars().all(is_set_sign_by_sign)
    };
    Height {
        millimetres: lines * sizes.tick_box + (lines - 1.0).max(0.0) * BETWEEN_BOXES,
        is_exact: boxes.iter().all(fits),
    }
}
