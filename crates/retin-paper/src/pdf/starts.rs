//! How much of a block stands at least on the page where it begins: what a heading, a
//! caution or a table before it needs to stay with it.

use super::height::{self, Height};
use crate::columns::{INSET, widths};
use crate::measure::lines_of;
use crate::{POINT, Sizes};
use retin::sheets::document::{Block, Group, Table, Words};
use retin::sheets::page::Extent;

/// How far boxes are set in below their row, in millimetres.
pub(super) const BELOW: f64 = 7.0;

/// The columns of a table.
pub(super) struct Columns {
    /// How wide each is, in millimetres.
    pub widths: Vec<f64>,
}

impl Columns {
    pub(super) fn of(table: &Table, sizes: Sizes, room: f64) -> Self {
        Columns {
            widths: widths(table, sizes, room),
        }
    }

    /// The room for words in a column.
    pub(super) fn inner(&self, index: usize) -> f64 {
        let width = self.widths.get(index);
        width.map_or(1.0, |width| width - 2.0 * INSET - 0.2)
    }

    /// The room for words that stand across all columns.
    pub(super) fn across(&self) -> f64 {
        self.widths.iter().sum::<f64>() - 2.0 * INSET - 0.2
    }

    pub(super) fn has_heads(table: &Table) -> bool {
        table.columns.iter().any(|column| !column.head.is_empty())
    }

    /// How high the rows of a group are, each with the boxes below it.
    pub(super) fn heights(&self, group: &Group, sizes: Sizes) -> Vec<(Height, Option<Height>)> {
        let inner = |index: usize| self.inner(index);
        let rows = group.rows.iter().map(|row| {
            (
                height::of_row(row, self.widths.len(), &inner, sizes),
                height::below(row, self.across() - BELOW, sizes),
            )
        });
        rows.collect()
    }

    /// How high rows are with the boxes below them, in millimetres.
    pub(super) fn whole(heights: &[(Height, Option<Height>)]) -> Vec<f64> {
        let whole = heights
            .iter()
            .map(|(row, below)| row.millimetres + below.map_or(0.0, |it| it.millimetres));
        whole.collect()
    }
}

/// Measures what stands at least on the page where a block begins.
#[derive(Clone, Copy)]
pub(super) struct Starts {
    pub sizes: Sizes,
    pub room: Extent,
}

impl Starts {
    /// The height of it with the space above, in millimetres: no less than the template
    /// makes it. Nothing for what has a page of its own and for photographs, which are
    /// not looked at here.
    pub(super) fn of(self, block: &Block) -> f64 {
        let size = self.sizes.text * POINT;
        let width = self.room.width;
        match block {
            Block::Heading { level, text } => {
                // The template sets it larger than the text, and so does the library, of
                // whose size the space is.
                let (above, larger) = match level {
                    0 | 1 => (1.3 * 1.4, 1.35),
                    2 => (1.1 * 1.2, 1.15),
                    _ => (1.1, 1.0),
                };
                let words = Words::strong(text);
                above * size + larger * self.words(&words, true, width / larger)
            }
            Block::Paragraph(words) => 0.75 * size + self.words(words, false, width),
            Block::Caution(words) => {
                let inner = width - 4.0 - size * 3.0;
                let lines = 1 + lines_of(words, false, size, inner);
                0.9 * size + 4.0 + self.lines(lines).max(1.95 * size)
            }
            Block::List(items) => {
                let all = if self.is_whole(items) { items.len() } else { 1 };
                0.75 * size
                    + items
                        .iter()
                        .take(all)
                        .map(|words| self.item(words))
                        .sum::<f64>()
            }
            Block::Facts(facts) => {
                let first = facts.first();
                let words = |(_, words): &(String, Words)| self.words(words, false, width * 0.6);
                0.75 * size + first.map_or(0.0, words)
            }
            Block::Table(table) => 0.9 * size + self.table(table),
            Block::Drawing { drawing, caption } => {
                let words = |words| 0.6 * size + self.words(words, false, width);
                0.9 * size + drawing.height + caption.as_ref().map_or(0.0, words)
            }
            Block::WriteIn { .. } => {
                let row = self.lines(1) + self.sizes.write + 4.0 * self.sizes.row;
                0.9 * size + row
            }
            Block::Photo { .. } | Block::Labels(_) | Block::NewPage => 0.0,
        }
    }

    /// Whether a list is so short that it is not parted: one line of it alone on the next
    /// page is read as if it belonged to what follows.
    pub(super) fn is_whole(self, items: &[Words]) -> bool {
        items.iter().map(|words| self.item(words)).sum::<f64>() < self.room.height / 3.0
    }

    /// An item of a list, with the space above it.
    fn item(self, words: &Words) -> f64 {
        let size = self.sizes.text * POINT;
        0.55 * size + self.words(words, false, self.room.width - size * 2.0)
    }

    /// The heads of a table, the heading of its first group, and the rows that stay
    /// with them.
    fn table(self, table: &Table) -> f64 {
        let columns = Columns::of(table, self.sizes, self.room.width);
        let around = 2.0 * self.sizes.row;
        let head = |(index, column): (usize, &retin::sheets::document::Column)| {
            let words = Words::strong(column.head.as_str());
            self.words(&words, true, columns.inner(index))
        };
        let mut height = 0.0;
        if Columns::has_heads(table) {
            let heads = table.columns.iter().enumerate().map(head);
            height += heads.fold(0.0, f64::max) + around;
        }
        let Some(group) = table.groups.first() else {
            return height;
        };
        if let Some(heading) = &group.heading {
            let larger = 1.08;
            let words = self.words(heading, true, columns.across() / larger);
            height += larger * words + 1.5 * self.sizes.text * POINT;
        }
        let whole = Columns::whole(&columns.heights(group, self.sizes));
        let kept = super::keep::group(group, &whole, 0.0, self.room.height);
        let first = kept.iter().skip(1).take_while(|kept| kept.with_next == 0);
        height + whole.iter().take(1 + first.count()).sum::<f64>()
    }

    fn words(self, words: &Words, is_strong: bool, column: f64) -> f64 {
        self.lines(lines_of(words, is_strong, self.sizes.text * POINT, column))
    }

    fn lines(self, count: usize) -> f64 {
        height::lines(count, true, self.sizes).millimetres
    }
}
