//! Paper: what stands on each kind of sheet, as data. One kind, one file, and a
//! row in [`SHEETS`].
//!
//! [`document`] says what a document is made of, [`drawing`] what a drawing is;
//! [`mod@text`] sets a document as plain text. PDF and HTML are set in `retin-paper`.

pub mod choice;
pub mod document;
pub mod drawing;
pub mod head;
pub mod job;
pub mod labels;
pub mod orders;
pub mod plot;
pub mod report;
pub mod settings;
pub mod text;
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
}

/// Makes a document of one job.
pub type OfOne = fn(&CheckedJob<'_, '_>, &Settings) -> Result<Document, Refusal>;
/// Makes one document of several jobs.
pub type OfSeveral = fn(&[CheckedJob<'_, '_>], &Settings) -> Result<Document, Refusal>;
/// Makes a document of two jobs, the old one first.
pub type OfTwo = fn([&CheckedJob<'_, '_>; 2], &Settings) -> Result<Document, Refusal>;

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
        name: "orders",
        title: orders::TITLE,
        says: "what to buy for one job or several, with spares, packs and price breaks",
        make: Make::Several(orders::orders),
    },
    Sheet {
        name: "labels",
        title: labels::TITLE,
        says: "labels for the bags of one job or several",
        make: Make::Several(labels::labels),
    },
    Sheet {
        name: "report",
        title: report::TITLE,
        says: "what was found, done and spent, for the owner, in plain words",
        make: Make::One(report::report),
    },
];

/// The sheet of this name.
pub fn find(name: &str) -> Option<&'static Sheet> {
    SHEETS.iter().find(|sheet| sheet.name == name)
}
