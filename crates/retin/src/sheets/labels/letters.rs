//! How large the letters on a label are. Whoever shares out the references and
//! whoever sets the label both ask here, so that what was shared out has room.

use crate::sheets::document::LabelCut;

/// One point, in millimetres.
const POINT: f64 = 25.4 / 72.0;

/// Free at the left and right edge of a label: no printer hits the cut exactly.
/// *Common practice, no source.*
const SIDE: f64 = 2.0;

/// Free at the upper and lower edge of a label.
const EDGE: f64 = 1.5;

/// What a printer leaves blank at the edges of the paper. *Common practice, no source.*
const UNPRINTED: f64 = 4.2;

/// The letters of one cut, in millimetres.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Letters {
    /// From the left edge of the label to its lines.
    pub left: f64,
    /// From the upper edge of the label to its first line.
    pub top: f64,
    /// The width of a line.
    pub across: f64,
    /// The lowest that a letter may reach, from the upper edge of the label.
    pub bottom: f64,
    /// The size of a title that is short.
    pub title: f64,
    /// The smallest size of a title; a longer one takes several lines of it.
    pub least_title: f64,
    /// The size of the lines below the title.
    pub line: f64,
}

impl Letters {
    /// From one base line to the next, in parts of the font's size.
    pub const LEADING: f64 = 1.2;
    /// How high capitals are above the base line, in parts of the font's size, with
    /// a little to spare for accents.
    pub const ASCENT: f64 = 0.8;
    /// How far letters reach below the base line, in parts of the font's size.
    pub const DESCENT: f64 = 0.25;

    /// The letters on labels of this cut: lines of 7 points at least, or 9 in big
    /// print.
    pub fn of(cut: LabelCut, is_big: bool) -> Letters {
        let (title, least, most) = if is_big {
            (22.0, 9.0, 12.0)
        } else {
            (16.0, 7.0, 9.0)
        };
        let left = SIDE.max(UNPRINTED - cut.left);
        let top = EDGE.max(UNPRINTED - cut.top);
        let title = (title * POINT).min((cut.height - 2.0 * top) * 0.45);
        Letters {
            left,
            top,
            across: cut.width - 2.0 * left,
            bottom: cut.height - top.min(cut.height / 4.0) + EDGE / 2.0,
            title,
            least_title: (6.0 * POINT).min(title),
            line: (cut.height * 0.085).clamp(least * POINT, most * POINT),
        }
    }

    /// The size of a title that would be this wide at a size of 1 mm: as large as it
    /// has room in one line, and never below the least.
    pub fn title_size(&self, width: f64) -> f64 {
        let in_one_line = self.across / width.max(f64::MIN_POSITIVE);
        self.title.min(in_one_line).max(self.least_title)
    }

    /// Where a line of letters of this size stands whose upper edge is at `top`;
    /// none where it would reach below the label.
    pub fn base_line(&self, top: f64, size: f64) -> Option<f64> {
        let base = top + Self::ASCENT * size;
        (base + Self::DESCENT * size <= self.bottom).then_some(base)
    }
}
