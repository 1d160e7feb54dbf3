//! How wide the columns of a table come out.

use crate::{POINT, PageSetting, Sizes, boxes, measure};
use retin::sheets::document::{Block, Cell, Document, Table, Width, Words};

/// Between the edge of a cell and what stands in it, in millimetres.
pub(crate) const INSET: f64 = 1.2;

/// The least that is left for a column that shares what is left, in
/// millimetres: room for some words.
const LEAST_SHARE: f64 = 24.0;

/// What a column asks for, in millimetres.
struct Asks {
    /// To hold its widest word.
    least: f64,
    /// To hold each of its cells in one line.
    wish: f64,
    /// Its part of what is left.
    share: f64,
}

/// The widths of a table's columns, in millimetres, that fill `room` at most.
///
/// Each column gets what it needs for lines that are not broken, and those by share
/// what is left; where there is less, each gives way in proportion to what it can
/// spare. Where not even the widest words have room, all give way, and words are
/// broken.
pub(crate) fn widths(table: &Table, sizes: Sizes, room: f64) -> Vec<f64> {
    let mut asks: Vec<Asks> = (0..table.columns.len())
        .map(|index| ask(table, index, sizes, room))
        .collect();
    let wishes: f64 = asks.iter().map(|ask| ask.wish).sum();
    if wishes <= room {
        let shares: f64 = asks.iter().map(|ask| ask.share).sum();
        if shares > 0.0 {
            share_out(&mut asks, room);
        }
        return asks.iter().map(|ask| ask.wish).collect();
    }
    let leasts: f64 = asks.iter().map(|ask| ask.least).sum();
    if leasts <= room {
        let spare = (room - leasts) / (wishes - leasts);
        return asks
            .iter()
            .map(|ask| ask.least + (ask.wish - ask.least) * spare)
            .collect();
    }
    // A narrow column keeps its width; the wide ones give way.
    let mut limit = room;
    for _ in 0..asks.len() {
        let (narrow, wide): (Vec<&Asks>, Vec<&Asks>) =
            asks.iter().partition(|ask| ask.least <= limit);
        if wide.is_empty() {
            limit *= 0.8;
            continue;
        }
        let taken: f64 = narrow.iter().map(|ask| ask.least).sum();
        let fair = (room - taken) / wide.len() as f64;
        if fair >= limit {
            break;
        }
        limit = fair.max(room / (asks.len() as f64 * 2.0));
    }
    let capped: Vec<f64> = asks.iter().map(|ask| ask.least.min(limit)).collect();
    let sum: f64 = capped.iter().sum();
    let scale = (room / sum).min(1.0);
    capped.iter().map(|width| width * scale).collect()
}

/// Whether a document is better set on pages that lie on their side: in big print,
/// where a table has no room for its lines on upright ones. What is drawn was drawn
/// for the page it asks for.
pub(crate) fn lies_on_its_side(document: &Document, setting: PageSetting) -> bool {
    let sizes = Sizes::of(setting);
    let room = setting.room(false).width;
    let is_drawn = |block: &Block| matches!(block, Block::Drawing { .. } | Block::Labels(_));
    let is_wide = |block: &Block| match block {
        Block::Table(table) => {
            let wishes = (0..table.columns.len()).map(|index| ask(table, index, sizes, room).wish);
            wishes.sum::<f64>() > room
        }
        _ => false,
    };
    document.is_landscape
        || setting.is_big
            && !document.blocks.iter().any(is_drawn)
            && document.blocks.iter().any(is_wide)
}

/// Gives what is left to the columns that share it, by their shares, so that
/// none gets less than it needs.
fn share_out(asks: &mut [Asks], room: f64) {
    let mut open: Vec<usize> = (0..asks.len()).filter(|at| asks[*at].share > 0.0).collect();
    loop {
        let taken: f64 = (0..asks.len())
            .filter(|at| !open.contains(at))
            .map(|at| asks[at].wish)
            .sum();
        let shares: f64 = open.iter().map(|at| asks[*at].share).sum();
        let unit = (room - taken) / shares;
        let too_small = open
            .iter()
            .position(|at| asks[*at].share * unit < asks[*at].wish);
        match too_small {
            Some(position) => {
                open.remove(position);
            }
            None => {
                for at in open {
                    asks[at].wish = asks[at].share * unit;
                }
                return;
            }
        }
    }
}

fn ask(table: &Table, index: usize, sizes: Sizes, room: f64) -> Asks {
    let column = &table.columns[index];
    let size = sizes.text * POINT;
    // A number and its unit may part before they take more of the page.
    let most = room * 0.22;
    let head = Words::strong(column.head.as_str());
    let mut least = measure::widest_word(&head, true, size, most);
    let mut wish = measure::width_of(&head, true, size);
    let cells = table
        .groups
        .iter()
        .flat_map(|group| &group.rows)
        .filter_map(|row| row.cells.get(index));
    for cell in cells {
        match cell {
            Cell::Words(words) => take(words, (size, most), &mut least, &mut wish),
            Cell::Lines(lines) => {
                for words in lines {
                    take(words, (size, most), &mut least, &mut wish);
                }
            }
            Cell::Box { .. } => {
                least = least.max(sizes.tick_box);
                wish = wish.max(sizes.tick_box);
            }
            Cell::Boxes(boxes) => {
                let one = boxes::natural_width(boxes, sizes);
                least = least.max(one);
                // Several beside one another, as long as they leave room for words.
                let several = one * boxes.len() as f64 * 1.2;
                wish = wish.max(several.min(room / 4.0)).max(one);
            }
            Cell::Blank => {}
        }
    }
    let around = 2.0 * INSET + 0.4;
    let (least, wish) = (
        least * measure::SURELY + around,
        wish * measure::SURELY + around,
    );
    match column.width {
        Width::Content => Asks {
            least,
            wish,
            share: 0.0,
        },
        Width::Millimetres(asked) => {
            let asked = if asked.is_finite() {
                asked.max(0.0)
            } else {
                0.0
            };
            let width = (asked * sizes.factor).max(least).min(room);
            Asks {
                least: width,
                wish: width,
                share: 0.0,
            }
        }
        Width::Share(share) => {
            let least = least.max((LEAST_SHARE * sizes.factor).min(room / 4.0));
            Asks {
                least,
                // A long remark may run over several lines.
                wish: wish.min(room * 0.4).max(least),
                share: if share.is_finite() {
                    share.max(0.01)
                } else {
                    1.0
                },
            }
        }
    }
}

fn take(words: &Words, (size, most): (f64, f64), least: &mut f64, wish: &mut f64) {
    *least = least.max(measure::widest_word(words, false, size, most));
    *wish = wish.max(measure::width_of(words, false, size));
}

/// The widths of columns to write in, in millimetres: the last takes what the
/// heads of the others leave.
pub(crate) fn write_in(heads: &[String], sizes: Sizes, room: f64) -> Vec<f64> {
    let count = heads.len();
    let Some(others) = count.checked_sub(1) else {
        return Vec::new();
    };
    let wishes: Vec<f64> = heads[..others]
        .iter()
        .map(|head| {
            let head = measure::width(head, true, sizes.text * POINT);
            (head * measure::SURELY + 2.0 * INSET + 0.4).max(LEAST_SHARE * sizes.factor)
        })
        .collect();
    let taken: f64 = wishes.iter().sum();
    if taken > room * 0.7 {
        return vec![room / count as f64; count];
    }
    wishes.into_iter().chain([room - taken]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use retin::sheets::document::{Column, Group, Row};

    fn table(columns: &[(&str, Width, &str)]) -> Table {
        Table {
            columns: columns
                .iter()
                .map(|(head, width, _)| Column {
                    head: (*head).into(),
                    width: *width,
                    is_right: false,
                })
                .collect(),
            groups: vec![Group {
                rows: vec![Row {
                    cells: columns.iter().map(|column| column.2.into()).collect(),
                    is_done: false,
                    ..Row::default()
                }],
                ..Group::default()
            }],
        }
    }

    #[test]
    fn shares_take_what_is_left() {
        let table = table(&[
            ("", Width::Millimetres(8.0), ""),
            ("where", Width::Content, "psu.C1"),
            ("a", Width::Share(1.0), "x"),
            ("b", Width::Share(2.0), "x"),
        ]);
        let widths = widths(&table, Sizes::of(PageSetting::default()), 183.0);
        assert_eq!(widths[0], 8.0);
        assert!((widths.iter().sum::<f64>() - 183.0).abs() < 1e-6);
        assert!((widths[3] / widths[2] - 2.0).abs() < 1e-6);
    }

    #[test]
    fn a_name_of_thirty_letters_leaves_room_for_the_others() {
        let long = "RESERVOIRCAPACITORPOSITIVERAIL";
        let table = table(&[
            ("where", Width::Content, long),
            ("old", Width::Content, long),
            ("new", Width::Content, long),
            ("remark", Width::Share(1.0), "stands on its side"),
        ]);
        let big = PageSetting {
            is_big: true,
            ..PageSetting::default()
        };
        let widths = widths(&table, Sizes::of(big), 183.0);
        assert!(widths.iter().all(|width| *width > 24.0), "{widths:?}");
        assert!(widths.iter().sum::<f64>() <= 183.0 + 1e-6);
    }

    proptest! {
        #[test]
        fn a_table_is_never_wider_than_its_page(
            columns in prop::collection::vec((0..3_usize, "[A-Za-z ]{0,40}", 0.1..90.0_f64), 1..9),
        ) {
            let columns: Vec<(&str, Width, &str)> = columns.iter().map(|(kind, text, number)| {
                let width = match kind {
                    0 => Width::Content,
                    1 => Width::Millimetres(*number),
                    _ => Width::Share(*number),
                };
                ("head", width, text.as_str())
            }).collect();
            let widths = widths(&table(&columns), Sizes::of(PageSetting::default()), 183.0);
            prop_assert!(widths.iter().sum::<f64>() <= 183.0 + 1e-6, "{:?}", widths);
            prop_assert!(widths.iter().all(|width| *width > 1.0), "{:?}", widths);
        }
    }
}
