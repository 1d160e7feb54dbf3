//! Paper: what stands on each kind of sheet, as data. One kind, one file, and a
//! row in [`SHEETS`].
//!
//! [`document`] says what a document is made of, [`drawing`] what a drawing is,
//! [`page`] how much room there is; [`mod@text`] sets a document as plain text. PDF
//! and HTML are set in `retin-paper`.

pub mod card;
pub mod choice;
pub mod differences;
pub mod document;
pub mod drawing;
pub mod head;
pub mod job;
pub mod labels;
pub mod left;
pub mod map;
pub mod orders;
pub mod page;
pub mod plot;
pub mod report;
pub mod settings;
pub mod text;
pub mod ticks;
pub mod way_round;
pub mod width;

pub use document::Document;
pub use job::{CheckedJob, FileRevision};
pub use settings::Settings;

/// A kind of sheet.
#[derive(Clone, Copy, Debug)]
pub struct Sheet {
    /// Its name on the command line, in lower case.
    pub name: &'static str,
    /// Its title, as every page carries it.
    pub title: &'static str,
    /// What it is for, in one line.
    pub says: &'static str,
    /// How it is made, and of how many jobs.
    pub make: Make,
    /// Whether it can be narrowed to some steps, boards, zones, kinds or values.
    pub narrows: bool,
    /// Whether its rows can be sorted in other ways.
    pub sorts: bool,
    /// The same for a spreadsheet, as comma-separated values, where there is such.
    pub table: Option<TableOf>,
}

/// Makes a document of one job.
pub type OfOne = fn(&CheckedJob<'_, '_>, &Settings) -> Result<Document, Refusal>;
/// Makes one document of several jobs.
pub type OfSeveral = fn(&[CheckedJob<'_, '_>], &Settings) -> Result<Document, Refusal>;
/// Makes a document of two jobs, the old one first.
pub type OfTwo = fn([&CheckedJob<'_, '_>; 2], &Settings) -> Result<Document, Refusal>;

/// Makes a table for a spreadsheet of several jobs.
pub type TableOf = fn(&[CheckedJob<'_, '_>], &Settings) -> Result<String, Refusal>;

/// How a sheet is made.
#[derive(Clone, Copy, Debug)]
pub enum Make {
    /// Of one job.
    One(OfOne),
    /// Of one job or several.
    Several(OfSeveral),
    /// Of two jobs, or two revisions of one.
    Two(OfTwo),
}

/// Why a sheet cannot be made, as a sentence without a full stop: a name that is
/// asked for and that nothing has.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Refusal {
    /// The sentence.
    pub reason: String,
}

/// Every kind of sheet, in the order they are needed at the bench.
pub const SHEETS: &[Sheet] = &[
    Sheet {
        name: "ticks",
        title: ticks::TITLE,
        says: "every part of every step with a box to tick, the way round it goes, and where its bag is",
        make: Make::One(ticks::ticks),
        narrows: true,
        sorts: true,
        table: None,
    },
    Sheet {
        name: "map",
        title: map::TITLE,
        says: "every part at its place, both sides of each board, at true scale",
        make: Make::One(map::map),
        narrows: true,
        sorts: false,
        table: None,
    },
    Sheet {
        name: "card",
        title: card::TITLE,
        says: "the readings of first power in their order, with limits and room for what was read",
        make: Make::One(card::card),
        narrows: true,
        sorts: false,
        table: None,
    },
    Sheet {
        name: "orders",
        title: orders::TITLE,
        says: "what to buy for one job or several, with spares, packs and price breaks",
        make: Make::Several(orders::orders),
        narrows: true,
        sorts: false,
        table: Some(orders::orders_csv),
    },
    Sheet {
        name: "labels",
        title: labels::TITLE,
        says: "labels for the bags of one job or several",
        make: Make::Several(labels::labels),
        narrows: true,
        sorts: false,
        table: None,
    },
    Sheet {
        name: "left",
        title: left::TITLE,
        says: "what is left to do, by board and by step, with the hours",
        make: Make::One(left::left),
        narrows: true,
        sorts: false,
        table: None,
    },
    Sheet {
        name: "differences",
        title: differences::TITLE,
        says: "what differs between two revisions of a job, or two units",
        make: Make::Two(differences::differences),
        narrows: false,
        sorts: false,
        table: None,
    },
    Sheet {
        name: "report",
        title: report::TITLE,
        says: "what was found, done and spent, for the owner, in plain words",
        make: Make::One(report::report),
        narrows: false,
        sorts: false,
        table: None,
    },
];

/// The sheet of this name.
pub fn find(name: &str) -> Option<&'static Sheet> {
    SHEETS.iter().find(|sheet| sheet.name == name)
}

/// A sentence with a capital at its beginning and a full stop at its end.
pub(crate) fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let Some(first) = letters.next() else {
        return String::new();
    };
    let end = if text.ends_with(['.', '!', '?']) {
        ""
    } else {
        "."
    };
    format!("{}{}{end}", first.to_uppercase(), letters.as_str())
}
