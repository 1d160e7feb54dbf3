//! How high the rows of a table come out.
//!
//! The typesetting library finds the height of a row by setting all its cells once,
//! and then sets them again in that height. Where the height is known beforehand,
//! it sets them once.

use crate::fonts::{ASCENDER, is_set_sign_by_sign};
use crate::measure::{SURELY, lines_of, width, width_of};
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
pub(super) fn lines(count: usize, is_exact: bool, sizes: Sizes) -> Height {
    let count = count as f64;
    let parts = count * ASCENDER + (count - 1.0).max(0.0) * LEADING;
    Height {
        millimetres: parts * sizes.text * POINT,
        is_exact,
    }
}

/// Whether words stand in one line for certain; not known of scripts whose letters join.
fn is_one_line(words: &Words, size: f64, room: f64) -> bool {
    let mut signs = words.runs.iter().flat_map(|run| run.text.chars());
    width_of(words, false, size) * SURELY <= room && signs.all(is_set_sign_by_sign)
}

fn of_boxes(boxes: &[NamedBox], room: f64, sizes: Sizes) -> Height {
    let layout = boxes::layout(boxes, room, sizes);
    let lines = boxes.len().div_ceil(layout.columns) as f64;
    let fits = |named: &NamedBox| {
        width(&named.name, false, sizes.text * POINT) * SURELY <= layout.name
            && named.name.chars().all(is_set_sign_by_sign)
    };
    Height {
        millimetres: lines * sizes.tick_box + (lines - 1.0).max(0.0) * BETWEEN_BOXES,
        is_exact: boxes.iter().all(fits),
    }
}

#[cfg(test)]
mod tests {
    use super::super::pages;
    use super::super::values;
    use super::*;
    use crate::PageSetting;
    use retin::sheets::document::{Block, Column, Document, Group, Head, Table, Width};
    use typst::layout::{Frame, FrameItem};

    fn boxes(count: usize, more: &str) -> Vec<NamedBox> {
        let named = |index| NamedBox {
            name: format!("ch{index}{more}"),
            is_ticked: index % 2 == 1,
        };
        (1..=count).map(named).collect()
    }

    /// Rows of every kind of cell. With a sign more that is not seen their heights are
    /// not known for certain.
    fn rows(more: &str) -> Vec<Row> {
        let row = |cells: [Cell; 2], below| Row {
            cells: [format!("C1{more}").into()]
                .into_iter()
                .chain(cells)
                .collect(),
            below,
            is_done: false,
        };
        let lines = ["a".into(), Words::strong("g"), "\u{c5}".into()];
        vec![
            row(["plus\u{a0}east".into(), Cell::Blank], Vec::new()),
            row([Cell::Box { is_ticked: true }, Cell::Blank], Vec::new()),
            row(
                ["\u{c4}gj\u{b1}\u{3a9}".into(), "C2".into()],
                boxes(23, more),
            ),
            row(
                [Cell::Boxes(boxes(5, more)), Cell::Lines(lines.into())],
                Vec::new(),
            ),
        ]
    }

    fn document(rows: Vec<Row>) -> Document {
        let column = Column {
            head: String::new(),
            width: Width::Millimetres(50.0),
            is_right: false,
        };
        Document {
            head: Head::default(),
            blocks: vec![Block::Table(Table {
                columns: vec![column; 3],
                groups: vec![Group {
                    rows,
                    ..Group::default()
                }],
            })],
            is_landscape: false,
        }
    }

    /// Where the lines below the rows are, from above, in millimetres.
    fn rules(frame: &Frame, above: f64) -> Vec<f64> {
        let items = frame.items().flat_map(|(at, item)| {
            let here = above + at.y.to_mm();
            match item {
                FrameItem::Group(group) => rules(&group.frame, here),
                FrameItem::Shape(shape, _)
                    if shape
                        .stroke
                        .as_ref()
                        .is_some_and(|stroke| stroke.thickness.to_pt() < 0.4) =>
                {
                    vec![here]
                }
                _ => Vec::new(),
            }
        });
        let mut rules: Vec<f64> = items.collect();
        rules.sort_by(f64::total_cmp);
        rules.dedup_by(|one, other| (*one - *other).abs() < 1e-6);
        rules
    }

    #[test]
    fn the_library_finds_the_same_heights() {
        for is_big in [false, true] {
            let setting = PageSetting {
                is_big,
                ..PageSetting::default()
            };
            let room = |_| 50.0 - 2.6;
            let is_known = |row: &Row| of_row(row, 3, &room, Sizes::of(setting)).is_exact;
            assert!(rows("").iter().all(is_known));
            assert!(!rows("\u{200b}").iter().any(is_known));
            let rules_of = |more| {
                let (sheet, _) = values::sheet(&document(rows(more)), setting, &|_| None);
                let paged = pages(sheet).expect("it can be set");
                rules(&paged.pages()[0].frame, 0.0)
            };
            let (known, found) = (rules_of(""), rules_of("\u{200b}"));
            assert!(known.len() >= 4, "{known:?}");
            assert_eq!(known.len(), found.len());
            for (known, found) in known.iter().zip(&found) {
                assert!((known - found).abs() < 1e-3, "{known} is not {found}");
            }
        }
    }
}
