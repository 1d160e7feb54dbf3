//! Rows of cells, and the columns they line up in.

use crate::tables::Property;

/// A column of a row; the numbers rise from left to right.
pub(super) type Column = u8;

/// The keyword, or the names a line begins with.
pub(super) const HEAD: Column = 0;
/// What follows the keyword.
pub(super) const NAME: Column = 1;
/// The first bare property; each has a column of its own from here on.
const BARE: Column = 2;
/// Properties written with their name.
const NAMED: Column = 100;
/// Counts of a drawer.
const STOCK: Column = 101;
/// Prices.
const PRICES: Column = 102;
/// The drawer itself.
const BIN: Column = 103;
/// Leads and nets.
pub(super) const PINS: Column = 104;
/// Where on the board, and which way round.
const PLACE: Column = 105;
/// The steps a step comes after.
pub(super) const AFTER: Column = PLACE;
/// All that follows.
pub(super) const TAIL: Column = 106;

/// The column a property is printed in. Rises with the property's order.
pub(super) fn column_of(property: Property) -> Column {
    let order = property.order();
    if order <= Property::Speed.order() {
        BARE + order as Column
    } else if order < Property::Have.order() {
        NAMED
    } else if order < Property::Price.order() {
        STOCK
    } else if order == Property::Price.order() {
        PRICES
    } else if order < Property::Zone.order() {
        BIN
    } else if order <= Property::Orientation.order() {
        PLACE
    } else {
        TAIL
    }
}

/// How the rows of one kind of record line up.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Table {
    /// One blank between words.
    Plain,
    /// A keyword in a column of fixed width, so that a new line moves no other.
    Keyword,
    /// `for`, which stands one level below the verbs of its plan and lines up with them.
    For,
    /// Parts, shelf entries, packages and devices.
    Parts,
    /// Rails of a board.
    Rails,
    /// What a unit was found to hold.
    Survey,
    /// Plan lines.
    Plan,
    /// Steps.
    Steps,
    /// Targets.
    Targets,
    /// Log entries: fixed columns only, since the log grows line by line.
    Entries,
    /// Log entries with initials between time and verb.
    SignedEntries,
    /// Log entries without a time.
    TimelessEntries,
}

/// How one column of a table is set.
#[derive(Clone, Copy, Debug)]
struct Style {
    /// It is never narrower than this.
    least: u32,
    /// A wider cell juts out instead of widening the column.
    most: u32,
    /// Numbers are set to the right.
    right: bool,
    /// Widens the others only where at least half of the rows have it.
    needs_half: bool,
    /// Two blanks part one family of columns from the next, one blank parts its members.
    family: u8,
}

/// Width of keywords: `complaint` and `schematic` are the longest usual ones.
const KEYWORD: u32 = 9;

impl Table {
    /// Whether the rows of a run share their widths.
    pub(super) fn is_shared(self) -> bool {
        !matches!(
            self,
            Table::Plain
                | Table::Keyword
                | Table::For
                | Table::Entries
                | Table::SignedEntries
                | Table::TimelessEntries
        )
    }

    fn style(self, column: Column) -> Style {
        let style = Style {
            least: 0,
            most: 40,
            right: false,
            needs_half: false,
            family: column,
        };
        match (self, column) {
            (Table::Plain, _) => Style { family: 0, ..style },
            (Table::Keyword | Table::Plan | Table::Steps | Table::Rails, HEAD)
            | (Table::Entries, NAME)
            | (Table::SignedEntries, BARE)
            | (Table::TimelessEntries, HEAD) => Style {
                least: KEYWORD,
                most: 16,
                ..style
            },
            (Table::For, HEAD) => Style {
                least: KEYWORD - 2,
                ..style
            },
            (Table::Entries | Table::SignedEntries, HEAD) => Style { least: 5, ..style },
            (Table::SignedEntries, NAME) => style,
            (
                Table::Keyword | Table::Entries | Table::SignedEntries | Table::TimelessEntries,
                _,
            ) => Style { most: 0, ..style },
            (Table::Parts | Table::Rails | Table::Survey, HEAD | NAME) => {
                Style { most: 16, ..style }
            }
            (_, BARE..NAMED) => Style {
                most: 16,
                right: is_set_right(column),
                family: if column < column_of(Property::Package) {
                    BARE
                } else {
                    BARE + 1
                },
                ..style
            },
            (_, NAMED..=BIN) => Style {
                needs_half: true,
                ..style
            },
            _ => style,
        }
    }
}

/// Whether a column holds numbers.
fn is_set_right(column: Column) -> bool {
    let between =
        |first: Property, last: Property| (column_of(first)..=column_of(last)).contains(&column);
    between(Property::Value, Property::Tolerance)
        || column == column_of(Property::Body)
        || column == column_of(Property::Temperature)
}

/// One cell: where its text stands in [`Sheet::text`].
#[derive(Clone, Copy, Debug)]
struct Cell {
    column: Column,
    start: u32,
    end: u32,
    /// Characters.
    width: u32,
}

/// One row: which cells it has.
#[derive(Clone, Copy, Debug)]
pub(super) struct Row {
    pub(super) table: Table,
    first: u32,
    end: u32,
}

impl Row {
    /// The same cells with one blank between them.
    pub(super) fn unaligned(self) -> Row {
        Row {
            table: Table::Plain,
            ..self
        }
    }
}

/// The cells of a file, row after row.
#[derive(Default)]
pub(super) struct Sheet {
    text: String,
    cells: Vec<Cell>,
    row_start: u32,
}

impl Sheet {
    /// Adds a word to the row, in its column's cell.
    pub(super) fn word(&mut self, column: Column, word: &str) {
        let start = self.text.len() as u32;
        let continued = self.cells.len() as u32 > self.row_start
            && self.cells.last().is_some_and(|cell| cell.column == column);
        if continued {
            self.glue(" ");
            self.glue(word);
        } else {
            self.text.push_str(word);
            self.cells.push(Cell {
                column,
                start,
                end: self.text.len() as u32,
                width: word.chars().count() as u32,
            });
        }
    }

    /// Adds to the row's last cell, without a blank.
    pub(super) fn glue(&mut self, text: &str) {
        self.text.push_str(text);
        if let Some(cell) = self.cells.last_mut() {
            cell.end += text.len() as u32;
            cell.width += text.chars().count() as u32;
        }
    }

    /// Drops what was added since the last row ended.
    pub(super) fn abandon_row(&mut self) {
        if let Some(cell) = self.cells.get(self.row_start as usize) {
            self.text.truncate(cell.start as usize);
        }
        self.cells.truncate(self.row_start as usize);
    }

    /// Ends the row.
    pub(super) fn end_row(&mut self, table: Table) -> Row {
        let first = self.row_start;
        self.row_start = self.cells.len() as u32;
        Row {
            table,
            first,
            end: self.row_start,
        }
    }

    fn cells(&self, row: Row) -> &[Cell] {
        &self.cells[row.first as usize..row.end as usize]
    }

    /// Bytes of the row with one blank between its cells.
    pub(super) fn least_bytes(&self, row: Row) -> usize {
        self.cells(row)
            .iter()
            .map(|cell| (cell.end - cell.start) as usize + 1)
            .sum::<usize>()
            .saturating_sub(1)
    }

    /// Appends the row to `out`, lined up in `columns`, and returns its width in characters.
    pub(super) fn write(&self, row: Row, columns: &Columns, out: &mut String) -> u32 {
        let mut at = 0;
        let mut before: Option<Style> = None;
        let mut known = columns.0.iter();
        for cell in self.cells(row) {
            let style = row.table.style(cell.column);
            let column = known.find(|known| known.column == cell.column);
            let start = column.map_or(0, |column| {
                let slack = column.width.saturating_sub(cell.width);
                column.start + if style.right { slack } else { 0 }
            });
            let wanted = match before {
                Some(before) => start.max(at + gap(before, style)),
                None => 0,
            };
            for _ in at..wanted {
                out.push(' ');
            }
            out.push_str(&self.text[cell.start as usize..cell.end as usize]);
            at = wanted + cell.width;
            before = Some(style);
        }
        at
    }
}

fn gap(before: Style, style: Style) -> u32 {
    if before.family == style.family { 1 } else { 2 }
}

/// The widths that a run of rows needs.
pub(super) struct Run {
    table: Table,
    rows: u32,
    /// By column, from left to right.
    needs: Vec<Need>,
}

#[derive(Clone, Copy)]
struct Need {
    column: Column,
    width: u32,
    rows: u32,
}

impl Run {
    /// A run that has no rows yet.
    pub(super) fn new(table: Table) -> Self {
        Run {
            table,
            rows: 0,
            needs: Vec::new(),
        }
    }

    /// Takes a row into the run.
    pub(super) fn add(&mut self, sheet: &Sheet, row: Row) {
        self.rows += 1;
        for cell in sheet.cells(row) {
            let style = self.table.style(cell.column);
            let width = if cell.width > style.most {
                style.least
            } else {
                cell.width.max(style.least)
            };
            match self
                .needs
                .binary_search_by_key(&cell.column, |need| need.column)
            {
                Ok(at) => {
                    let need = &mut self.needs[at];
                    need.width = need.width.max(width);
                    need.rows += 1;
                }
                Err(at) => self.needs.insert(
                    at,
                    Need {
                        column: cell.column,
                        width,
                        rows: 1,
                    },
                ),
            }
        }
    }

    /// Where the run's columns begin.
    pub(super) fn columns(&self) -> Columns {
        let mut columns = Vec::with_capacity(self.needs.len());
        let mut before: Option<(Style, u32)> = None;
        for need in &self.needs {
            let style = self.table.style(need.column);
            let start = before.map_or(0, |(before, end)| end + gap(before, style));
            columns.push(Placed {
                column: need.column,
                start,
                width: need.width,
            });
            if !style.needs_half || need.rows * 2 >= self.rows {
                before = Some((style, start + need.width));
            }
        }
        Columns(columns)
    }
}

/// Where columns begin, and how wide they are.
pub(super) struct Columns(Vec<Placed>);

#[derive(Clone, Copy)]
struct Placed {
    column: Column,
    start: u32,
    width: u32,
}

impl Columns {
    /// One blank between cells and nothing lined up.
    pub(super) const NONE: Columns = Columns(Vec::new());
}
