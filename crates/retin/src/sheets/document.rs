//! What stands on paper, as data: it knows no page, no font and no file. The
//! same document is set as text, as HTML and as PDF.

use super::drawing::Drawing;

/// One document.
#[derive(Clone, PartialEq, Debug)]
pub struct Document {
    /// What every page carries.
    pub head: Head,
    /// What it says, from the top to the bottom.
    pub blocks: Vec<Block>,
    /// Whether its pages lie on their side.
    pub is_landscape: bool,
}

/// What every page carries beside its number.
#[derive(Clone, PartialEq, Eq, Default, Debug)]
pub struct Head {
    /// What kind of paper it is: "Tick sheet".
    pub title: String,
    /// The job or jobs: "26-014".
    pub job: String,
    /// The unit and its serial number.
    pub unit: String,
    /// The serial number, where one is written and [`unit`](Self::unit) does not say it.
    pub serial: Option<String>,
    /// The revision of the model that the job is about, where one is written.
    pub model_revision: Option<String>,
    /// The revision of the job's file and its date, as the shell knows them: a
    /// commit, or that there is none. Never the time of printing.
    pub file_revision: String,
    /// How many checks could not be made for want of a fact.
    pub not_checked: usize,
    /// How many mistakes are open, so that nobody works from a sheet whose job
    /// does not check.
    pub errors: usize,
}

/// A piece of a document.
#[derive(Clone, PartialEq, Debug)]
pub enum Block {
    /// A heading. It stays with what follows.
    Heading {
        /// 1 for a part of the document, 2 below; 3 for a lead, which belongs to what
        /// stands above it as well.
        level: u8,
        /// What it says.
        text: String,
    },
    /// A paragraph.
    Paragraph(Words),
    /// A warning of harm, framed, with a sign that is no colour.
    Caution(Words),
    /// A list of items.
    List(Vec<Words>),
    /// Names and what they say, in two columns.
    Facts(Vec<(String, Words)>),
    /// A table.
    Table(Table),
    /// A drawing at true scale. It is never scaled.
    Drawing {
        /// The drawing.
        drawing: Drawing,
        /// What stands below it.
        caption: Option<Words>,
    },
    /// A photograph, by its path from the workspace's root.
    Photo {
        /// The path.
        path: String,
        /// What stands below it.
        caption: Words,
    },
    /// Lines to write on, each with what is asked for before it.
    WriteIn {
        /// What is asked for on every line, as heads of the columns.
        heads: Vec<String>,
        /// How many lines.
        lines: usize,
    },
    /// A sheet of labels. It takes pages of its own, without head and foot.
    Labels(Labels),
    /// A new page.
    NewPage,
}

/// A run of words.
#[derive(Clone, PartialEq, Eq, Default, Debug)]
pub struct Words {
    /// The runs, one after the other.
    pub runs: Vec<Run>,
}

/// A piece of text in one weight.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Run {
    /// What it says. A no-break space stands between a number and its unit.
    pub text: String,
    /// Whether it is bold.
    pub is_strong: bool,
}

impl Words {
    /// Words in the usual weight.
    pub fn plain(text: impl Into<String>) -> Self {
        Self::default().and(text)
    }

    /// Words in bold.
    pub fn strong(text: impl Into<String>) -> Self {
        Self::default().and_strong(text)
    }

    /// More words in the usual weight.
    #[must_use]
    pub fn and(mut self, text: impl Into<String>) -> Self {
        self.runs.push(Run {
            text: text.into(),
            is_strong: false,
        });
        self
    }

    /// More words in bold.
    #[must_use]
    pub fn and_strong(mut self, text: impl Into<String>) -> Self {
        self.runs.push(Run {
            text: text.into(),
            is_strong: true,
        });
        self
    }

    /// The words without their weights.
    pub fn text(&self) -> String {
        self.runs.iter().map(|run| run.text.as_str()).collect()
    }

    /// Whether there is nothing to read.
    pub fn is_empty(&self) -> bool {
        self.runs.iter().all(|run| run.text.is_empty())
    }
}

impl<T: Into<String>> From<T> for Words {
    fn from(text: T) -> Self {
        Self::plain(text)
    }
}

/// A table. Its heads stand again on every page it runs over.
#[derive(Clone, PartialEq, Debug)]
pub struct Table {
    /// The columns.
    pub columns: Vec<Column>,
    /// The groups of rows.
    pub groups: Vec<Group>,
}

/// A column.
#[derive(Clone, PartialEq, Debug)]
pub struct Column {
    /// What stands above it.
    pub head: String,
    /// How wide it is.
    pub width: Width,
    /// Whether it is set to the right, as numbers are.
    pub is_right: bool,
}

/// How wide a column is.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Width {
    /// As wide as what stands in it.
    Content,
    /// This many millimetres.
    Millimetres(f64),
    /// A share of what the others leave.
    Share(f64),
}

/// Rows that belong together. A group keeps its heading with its first row and
/// its foot with its last.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Group {
    /// What stands above it, across all columns.
    pub heading: Option<Words>,
    /// The rows. A row is never broken over two pages.
    pub rows: Vec<Row>,
    /// What stands below it: "left: 7".
    pub foot: Option<Words>,
}

/// A row.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Row {
    /// Its cells, one for each column.
    pub cells: Vec<Cell>,
    /// Boxes to tick for the row as a whole, one for each copy of a board: they stand
    /// below its cells, over the whole width of the table.
    pub below: Vec<NamedBox>,
    /// Whether it is done with: it is set in grey with its box ticked.
    pub is_done: bool,
}

/// A cell.
#[derive(Clone, PartialEq, Debug)]
pub enum Cell {
    /// Words.
    Words(Words),
    /// Several lines of words.
    Lines(Vec<Words>),
    /// A box to tick.
    Box {
        /// Whether it is ticked already.
        is_ticked: bool,
    },
    /// Boxes to tick, one for each copy of a board, each with its name beside it.
    /// They are equally wide and flow on to further lines, so that those of rows
    /// below one another stand in columns; a box is never parted from its name.
    Boxes(Vec<NamedBox>),
    /// Room to write in.
    Blank,
}

/// A box to tick with its name.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct NamedBox {
    /// The name: "ch3".
    pub name: String,
    /// Whether it is ticked already.
    pub is_ticked: bool,
}

impl<T: Into<Words>> From<T> for Cell {
    fn from(words: T) -> Self {
        Self::Words(words.into())
    }
}

/// Labels, row by row.
#[derive(Clone, PartialEq, Debug)]
pub struct Labels {
    /// How the sheet is cut.
    pub cut: LabelCut,
    /// How many labels of the first sheet are used already.
    pub used: usize,
    /// The labels.
    pub labels: Vec<Label>,
}

/// How a sheet of labels is cut, in millimetres.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct LabelCut {
    /// Labels beside one another.
    pub columns: usize,
    /// Labels below one another.
    pub rows: usize,
    /// The width of a label.
    pub width: f64,
    /// The height of a label.
    pub height: f64,
    /// From the left edge of the page to the first label.
    pub left: f64,
    /// From the upper edge of the page to the first label.
    pub top: f64,
    /// Between two labels beside one another.
    pub gap_across: f64,
    /// Between two labels below one another.
    pub gap_down: f64,
}

/// One label.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Label {
    /// The largest line: a value.
    pub title: String,
    /// The lines below it, the most needed first; what has no room is left out
    /// from the end, never cut.
    pub lines: Vec<String>,
}
