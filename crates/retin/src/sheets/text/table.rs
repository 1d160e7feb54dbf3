//! Tables as text.

use super::Page;
use super::wrap::{padded, shown, width, wrapped};
use crate::sheets::document::{Cell, Column, Group, NamedBox, Row, Table, Width};

/// Blanks between two columns.
const BETWEEN: usize = 2;
/// How far rows below a heading are set in.
const INDENT: usize = 2;
/// How far boxes are set in below their row.
const BELOW: usize = 4;
/// Widest word for which a column is kept wide.
const KEPT_WORD: usize = 20;
/// Columns of a place to write in.
const BLANK: usize = 10;
/// Most boxes on one line, where there is room for more.
const BOXES: usize = 8;
/// Boxes for which a column is kept wide.
const KEPT_BOXES: usize = 4;
/// Narrowest column.
const NARROWEST: usize = 2;

/// A cell with its signs made ready, before it is broken into lines.
enum Ready {
    Lines(Vec<String>),
    Boxes(Vec<String>),
    Blank,
}

/// How many columns something takes: as little as can be, and as it likes best.
#[derive(Clone, Copy, Default)]
struct Wants {
    least: usize,
    best: usize,
}

impl Wants {
    fn and(self, other: Wants) -> Wants {
        Wants {
            least: self.least.max(other.least),
            best: self.best.max(other.best),
        }
    }
}

impl Ready {
    fn of(cell: &Cell, is_plain: bool) -> Ready {
        match cell {
            Cell::Words(words) => Ready::Lines(vec![shown(&words.text(), is_plain)]),
            Cell::Lines(lines) => Ready::Lines(
                lines
                    .iter()
                    .map(|words| shown(&words.text(), is_plain))
                    .collect(),
            ),
            Cell::Box { is_ticked } => {
                Ready::Lines(vec![tick_box(*is_ticked, is_plain).replace(' ', "\u{a0}")])
            }
            Cell::Boxes(boxes) => Ready::Boxes(named_boxes(boxes, is_plain)),
            Cell::Blank => Ready::Blank,
        }
    }

    fn wants(&self, column: &Column) -> Wants {
        match self {
            Ready::Lines(lines) => lines
                .iter()
                .map(|line| of_text(line))
                .fold(Wants::default(), Wants::and),
            Ready::Boxes(boxes) => {
                let one = boxes.iter().map(|one| width(one)).max().unwrap_or(0);
                let wide = |most: usize| {
                    let across = boxes.len().min(most);
                    (across * (one + BETWEEN)).saturating_sub(BETWEEN)
                };
                Wants {
                    least: wide(KEPT_BOXES),
                    best: wide(BOXES),
                }
            }
            Ready::Blank => {
                // A sign of a terminal is about two millimetres wide.
                let best = match column.width {
                    Width::Millimetres(wide) => (wide / 2.0).round().clamp(4.0, 40.0) as usize,
                    Width::Content | Width::Share(_) => BLANK,
                };
                Wants {
                    least: best.min(6),
                    best,
                }
            }
        }
    }

    fn set(&self, room: usize) -> Vec<String> {
        match self {
            Ready::Lines(lines) => lines.iter().flat_map(|line| wrapped(line, room)).collect(),
            Ready::Boxes(boxes) => {
                let one = boxes.iter().map(|one| width(one)).max().unwrap_or(0);
                if one > room {
                    return boxes.iter().flat_map(|text| wrapped(text, room)).collect();
                }
                let across = ((room + BETWEEN) / (one + BETWEEN)).max(1);
                let line = |boxes: &[String]| {
                    let padded: Vec<String> =
                        boxes.iter().map(|text| padded(text, one, false)).collect();
                    padded.join("  ")
                };
                boxes.chunks(across).map(line).collect()
            }
            Ready::Blank => vec!["_".repeat(room)],
        }
    }
}

fn of_text(text: &str) -> Wants {
    let words = text.split(' ').map(width).max().unwrap_or(0);
    Wants {
        least: words.min(KEPT_WORD),
        best: width(text),
    }
}

fn tick_box(is_ticked: bool, is_plain: bool) -> &'static str {
    match (is_plain, is_ticked) {
        (true, true) => "[x]",
        (true, false) => "[ ]",
        (false, true) => "☑",
        (false, false) => "☐",
    }
}

fn named_boxes(boxes: &[NamedBox], is_plain: bool) -> Vec<String> {
    boxes
        .iter()
        .map(|one| {
            let name = shown(&one.name, is_plain);
            format!("{} {name}", tick_box(one.is_ticked, is_plain))
        })
        .collect()
}

/// Sets a table.
pub(super) fn set(page: &mut Page, table: &Table) {
    let is_plain = page.look.is_plain;
    let heads: Vec<String> = table
        .columns
        .iter()
        .map(|column| shown(&column.head, is_plain))
        .collect();
    let groups: Vec<Vec<Vec<Ready>>> = table
        .groups
        .iter()
        .map(|group| group.rows.iter().map(|row| ready(row, is_plain)).collect())
        .collect();
    let has_headings = table.groups.iter().any(|group| group.heading.is_some());
    let indent = if has_headings { INDENT } else { 0 };
    let widths = widths(page, table, &heads, &groups, indent);
    let mut is_first = true;
    if heads.iter().any(|head| !head.is_empty()) {
        let cells: Vec<Vec<String>> = heads
            .iter()
            .zip(&widths)
            .map(|(head, width)| wrapped(head, *width))
            .collect();
        row(page, table, &cells, &widths, indent);
        let whole = widths.iter().sum::<usize>() + BETWEEN * widths.len().saturating_sub(1);
        let rule = page.rule(whole + indent, false);
        page.line(&rule);
    }
    for (group, ready) in table.groups.iter().zip(&groups) {
        if !is_first && (group.heading.is_some() || has_foot_before(table, group)) {
            page.gap();
        }
        is_first = false;
        if let Some(heading) = &group.heading {
            page.set_in("", "", &heading.text());
        }
        for (line, cells) in group.rows.iter().zip(ready) {
            let cells: Vec<Vec<String>> = cells
                .iter()
                .zip(&widths)
                .map(|(cell, width)| cell.set(*width))
                .collect();
            row(page, table, &cells, &widths, indent);
            below(page, line, indent);
        }
        if let Some(foot) = &group.foot {
            let indent = " ".repeat(indent);
            page.set_in(&indent, &indent, &foot.text());
        }
    }
}

fn ready(row: &Row, is_plain: bool) -> Vec<Ready> {
    row.cells
        .iter()
        .map(|cell| Ready::of(cell, is_plain))
        .collect()
}

/// Prints the boxes that stand below a row.
fn below(page: &mut Page, row: &Row, indent: usize) {
    if row.below.is_empty() {
        return;
    }
    let boxes = Ready::Boxes(named_boxes(&row.below, page.look.is_plain));
    let indent = indent + BELOW;
    for line in boxes.set(page.look.width.saturating_sub(indent).max(1)) {
        page.line(&format!("{:indent$}{line}", ""));
    }
}

/// Whether the group before this one ends with a foot.
fn has_foot_before(table: &Table, group: &Group) -> bool {
    table
        .groups
        .iter()
        .take_while(|other| !std::ptr::eq(*other, group))
        .last()
        .is_some_and(|before| before.foot.is_some())
}

/// How wide each column is: as it likes best, where there is room; else the
/// widest give way first, down to their longest word.
fn widths(
    page: &Page,
    table: &Table,
    heads: &[String],
    groups: &[Vec<Vec<Ready>>],
    indent: usize,
) -> Vec<usize> {
    let mut wants: Vec<Wants> = heads.iter().map(|head| of_text(head)).collect();
    // A head is broken between words before a column is made wide for it.
    for want in &mut wants {
        want.best = want.best.min(want.least.max(KEPT_WORD));
    }
    for cells in groups.iter().flatten() {
        for ((want, cell), column) in wants.iter_mut().zip(cells).zip(&table.columns) {
            *want = want.and(cell.wants(column));
        }
    }
    let between = BETWEEN * wants.len().saturating_sub(1);
    let room = page.look.width.saturating_sub(indent + between);
    let mut widths: Vec<usize> = wants.iter().map(|want| want.best).collect();
    let least = |index: usize, is_last_resort: bool| {
        if is_last_resort {
            NARROWEST
        } else {
            wants[index].least
        }
    };
    for is_last_resort in [false, true] {
        while widths.iter().sum::<usize>() > room {
            let can_give = |index: &usize| widths[*index] > least(*index, is_last_resort);
            // The widest gives way; of several, the last.
            let Some(widest) = (0..widths.len())
                .filter(can_give)
                .max_by_key(|index| widths[*index])
            else {
                break;
            };
            widths[widest] -= 1;
        }
    }
    widths
}

/// Prints a row of cells that are broken into lines already.
fn row(page: &mut Page, table: &Table, cells: &[Vec<String>], widths: &[usize], indent: usize) {
    let height = cells.iter().map(Vec::len).max().unwrap_or(0);
    for index in 0..height {
        let texts: Vec<String> = cells
            .iter()
            .zip(widths)
            .zip(&table.columns)
            .map(|((lines, width), column)| {
                let text = lines.get(index).map_or("", String::as_str);
                padded(text, *width, column.is_right)
            })
            .collect();
        let line = format!("{:indent$}{}", "", texts.join("  "));
        page.line(&line);
    }
}
