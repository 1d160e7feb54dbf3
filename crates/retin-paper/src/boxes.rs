//! Boxes to tick with their names beside them, equally wide, in lines.

use crate::measure::{SURELY, width};
use crate::{POINT, Sizes};
use retin::sheets::document::NamedBox;

/// Between a box and its name, in millimetres.
pub(crate) const GAP: f64 = 1.0;

/// Between a name and the next box, in millimetres.
const APART: f64 = 3.0;

/// How boxes are laid out in a cell.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Layout {
    /// How many stand beside one another.
    pub columns: usize,
    /// How wide a box with its name is, and what parts it from the next, in
    /// millimetres.
    pub width: f64,
    /// How much of it the name may take.
    pub name: f64,
}

/// How wide one box is with its widest name, in millimetres.
pub(crate) fn natural_width(boxes: &[NamedBox], sizes: Sizes) -> f64 {
    let widest = boxes
        .iter()
        .map(|named| width(&named.name, false, sizes.text * POINT))
        .fold(0.0, f64::max);
    sizes.tick_box + GAP + widest * SURELY + 0.4
}

/// Lays boxes out in a cell of this width, in millimetres.
pub(crate) fn layout(boxes: &[NamedBox], room: f64, sizes: Sizes) -> Layout {
    let one = natural_width(boxes, sizes);
    let columns = (((room + APART) / (one + APART)).floor() as usize).clamp(1, boxes.len().max(1));
    let width = (one + APART).min(room);
    Layout {
        columns,
        width,
        name: (one.min(room) - sizes.tick_box - GAP).max(1.0),
    }
}
