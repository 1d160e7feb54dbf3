//! Labels: what stands where on each, in millimetres.

use crate::measure::{lines, width};
use crate::{POINT, PageSetting};
use retin::sheets::document::{Label, LabelCut, Labels};

/// A label on its page.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Placed {
    /// From the left edge of the page.
    pub x: f64,
    /// From the upper edge of the page.
    pub y: f64,
    /// What stands on it.
    pub lines: Vec<Line>,
}

/// A line on a label.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Line {
    /// From the left edge of the label.
    pub x: f64,
    /// From the upper edge of the label to the base line.
    pub y: f64,
    /// The size of the font.
    pub size: f64,
    /// Whether it is bold.
    pub is_strong: bool,
    /// What it says.
    pub text: String,
}

/// Free at the left and right edge of a label: no printer hits the cut exactly.
/// *Common practice, no source.*
const SIDE: f64 = 2.0;

/// Free at the upper and lower edge of a label.
const EDGE: f64 = 1.5;

/// The smallest title, in points.
const LEAST_TITLE: f64 = 6.0;

/// From one base line to the next, in parts of the font's size.
const LEADING: f64 = 1.2;

/// How high capitals are above the base line, in parts of the font's size, with
/// a little to spare for accents.
const ASCENT: f64 = 0.8;

/// The labels of each page.
pub(crate) fn pages(labels: &Labels, setting: PageSetting) -> Vec<Vec<Placed>> {
    let cut = labels.cut;
    let on_page = cut.columns.max(1) * cut.rows.max(1);
    let mut pages: Vec<Vec<Placed>> = Vec::new();
    for (index, label) in labels.labels.iter().enumerate() {
        let position = labels.used % on_page + index;
        if index == 0 || position.is_multiple_of(on_page) {
            pages.push(Vec::new());
        }
        let (row, column) = (
            position % on_page / cut.columns.max(1),
            position % cut.columns.max(1),
        );
        let placed = Placed {
            x: cut.left + column as f64 * (cut.width + cut.gap_across),
            y: cut.top + row as f64 * (cut.height + cut.gap_down),
            lines: set(label, cut, setting),
        };
        if let Some(page) = pages.last_mut() {
            page.push(placed);
        }
    }
    pages
}

/// What stands on one label: the title as large as it can be, then the lines as
/// long as there is room.
fn set(label: &Label, cut: LabelCut, setting: PageSetting) -> Vec<Line> {
    let (room, bottom) = (cut.width - 2.0 * SIDE, cut.height - EDGE);
    let (largest, least, most) = if setting.is_big {
        (22.0, 9.0, 12.0)
    } else {
        (16.0, 7.0, 9.0)
    };
    let largest = (largest * POINT).min((bottom - EDGE) * 0.45);
    let one_line = largest.min(room / width(&label.title, true, 1.0).max(f64::MIN_POSITIVE));
    let title = one_line.max((LEAST_TITLE * POINT).min(largest));
    let mut set = Vec::new();
    let mut top = EDGE;
    let mut put = |text: String, size: f64, is_strong: bool| {
        let base = top + ASCENT * size;
        // Letters reach down a quarter of their size below the line.
        if base + 0.25 * size > bottom + EDGE / 2.0 {
            return false;
        }
        set.push(Line {
            x: SIDE,
            y: base,
            size,
            is_strong,
            text,
        });
        top += LEADING * size;
        true
    };
    for line in lines(&label.title, true, title, room) {
        put(line, title, true);
    }
    let small = (cut.height * 0.085).clamp(least * POINT, most * POINT);
    for text in &label.lines {
        let lines = lines(text, false, small, room);
        if !lines.into_iter().all(|line| put(line, small, false)) {
            break;
        }
    }
    set
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const CUT: LabelCut = LabelCut {
        columns: 3,
        rows: 7,
        width: 63.5,
        height: 38.1,
        left: 7.2,
        top: 15.1,
        gap_across: 2.5,
        gap_down: 0.0,
    };

    fn label(title: &str, lines: &[&str]) -> Label {
        Label {
            title: title.into(),
            lines: lines.iter().map(|line| (*line).into()).collect(),
        }
    }

    #[test]
    fn used_labels_are_passed_over() {
        let labels = Labels {
            cut: CUT,
            used: 20,
            labels: vec![label("47 µF", &[]), label("10 µF", &[])],
        };
        let pages = pages(&labels, PageSetting::default());
        assert_eq!(pages.len(), 2);
        assert_eq!(
            (pages[0][0].x, pages[0][0].y),
            (7.2 + 2.0 * 66.0, 15.1 + 6.0 * 38.1)
        );
        assert_eq!((pages[1][0].x, pages[1][0].y), (7.2, 15.1));
    }

    proptest! {
        #[test]
        fn nothing_leaves_its_label(
            title in "[A-Za-z0-9 µ.-]{1,60}",
            lines in prop::collection::vec("[A-Za-z0-9 µ.-]{0,80}", 0..12),
            width in 20.0..100.0_f64,
            height in 8.0..60.0_f64,
        ) {
            let cut = LabelCut { width, height, ..CUT };
            for line in set(&Label { title, lines }, cut, PageSetting::default()) {
                let end = line.x + crate::measure::width(&line.text, line.is_strong, line.size);
                prop_assert!(end <= width - SIDE + 1e-6);
                prop_assert!(line.y + 0.25 * line.size <= height);
            }
        }
    }
}
