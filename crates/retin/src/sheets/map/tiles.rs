//! A board that is larger than a page, cut into pieces that are.

use super::geometry::Rectangle;
use super::view::RULE;
use crate::sheets::page::Extent;

/// How far neighbouring pieces overlap, in millimetres on paper.
pub(super) const OVERLAP: f64 = 20.0;

/// Around the board on every page.
const EDGE: f64 = 1.0;

/// Cuts a piece of a board, in its own millimetres, into pieces that have room
/// on a page at this scale: row by row from the upper left one.
pub(super) fn tiles(cut: Rectangle, scale: f64, room: Extent) -> Vec<Rectangle> {
    let wide = pieces(
        cut.width(),
        (room.width - 2.0 * EDGE) / scale,
        OVERLAP / scale,
    );
    let high = pieces(
        cut.height(),
        (room.height - RULE - 2.0 * EDGE) / scale,
        OVERLAP / scale,
    );
    let mut tiles = Vec::with_capacity(wide.len() * high.len());
    for (from, to) in high.iter().rev() {
        for (left, right) in &wide {
            tiles.push(Rectangle {
                left: cut.left + left,
                right: cut.left + right,
                top: cut.top + from,
                bottom: cut.top + to,
            });
        }
    }
    tiles
}

/// Pieces of a length, equally long and not longer than `most`, each reaching
/// `overlap` into the next.
fn pieces(length: f64, most: f64, overlap: f64) -> Vec<(f64, f64)> {
    if length <= most || most <= overlap {
        return vec![(0.0, length)];
    }
    let count = ((length - overlap) / (most - overlap)).ceil().min(50.0);
    let piece = (length - overlap) / count + overlap;
    (0..count as usize)
        .map(|index| {
            let from = index as f64 * (piece - overlap);
            (from, from + piece)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pieces_cover_all_and_overlap() {
        assert_eq!(pieces(100.0, 120.0, 20.0), [(0.0, 100.0)]);
        let cut = pieces(300.0, 180.0, 20.0);
        assert_eq!(cut, [(0.0, 160.0), (140.0, 300.0)]);
        for (length, most) in [(181.0, 180.0), (900.0, 250.0), (260.0, 90.0)] {
            let cut = pieces(length, most, 20.0);
            assert!(cut.iter().all(|(from, to)| to - from <= most + 1e-9));
            assert!(
                cut.windows(2)
                    .all(|pair| (pair[0].1 - pair[1].0 - 20.0).abs() < 1e-9)
            );
            assert!((cut[cut.len() - 1].1 - length).abs() < 1e-9);
        }
    }
}
