//! Documents set as pages: PDF and standalone HTML.
//!
//! What stands on a page is decided in `retin::sheets`; here it is only set. No
//! disk, no clock: fonts and templates are in the program, photographs are asked
//! for by their path.

mod boxes;
mod columns;
mod fonts;
mod head;
mod html;
mod labels;
mod measure;
mod pdf;
mod photo;
mod signs;
mod svg;

pub use html::html;
pub use pdf::pdf;
pub use retin::sheets::page::PageSetting;

/// What setting a document gives.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Pdf {
    /// The file.
    pub bytes: Vec<u8>,
    /// How many pages it has.
    pub pages: usize,
    /// Signs of the document that the fonts do not have, each once, in the order
    /// of their numbers: they stand on the page as empty frames.
    pub missing_signs: Vec<char>,
    /// Photographs that could not be had or read, by their paths.
    pub missing_photos: Vec<String>,
}

/// Why a document could not be set: a defect of the program, since every document
/// can be.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Error(String);

impl std::fmt::Display for Error {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(formatter, "the document could not be set: {}", self.0)
    }
}

impl std::error::Error for Error {}

/// The sizes of what is set.
#[derive(Clone, Copy, PartialEq, Debug)]
struct Sizes {
    /// Of the text, in points.
    text: f64,
    /// Of the text in head and foot, in points.
    head: f64,
    /// Of the side of a box to tick, in millimetres.
    tick_box: f64,
    /// Above and below what stands in a row, in millimetres.
    row: f64,
    /// Of a line to write on, in millimetres.
    write: f64,
    /// How much larger than usual everything is.
    factor: f64,
}

impl Sizes {
    fn of(setting: PageSetting) -> Self {
        if setting.is_big {
            Sizes {
                text: 16.0,
                head: 16.0,
                tick_box: 6.5,
                row: 1.8,
                write: 10.0,
                factor: 16.0 / 9.5,
            }
        } else {
            Sizes {
                text: 9.5,
                head: 9.0,
                tick_box: 4.2,
                row: 1.3,
                write: 7.0,
                factor: 1.0,
            }
        }
    }
}

/// One point in millimetres: 1/72 of an inch.
const POINT: f64 = 25.4 / 72.0;
