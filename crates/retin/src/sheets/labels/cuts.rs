//! Sheets of labels, by the measure of one label.

use crate::sheets::Refusal;
use crate::sheets::document::LabelCut;
use crate::sheets::settings::{Paper, Settings};

/// A sheet of labels.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Cut {
    /// Its name on the command line: width and height of a label in mm.
    pub name: &'static str,
    /// The paper.
    pub paper: Paper,
    /// How it is cut.
    pub cut: LabelCut,
}

const fn row(
    name: &'static str,
    paper: Paper,
    (columns, rows): (usize, usize),
    (width, height): (f64, f64),
    (left, top): (f64, f64),
    (gap_across, gap_down): (f64, f64),
) -> Cut {
    Cut {
        name,
        paper,
        cut: LabelCut {
            columns,
            rows,
            width,
            height,
            left,
            top,
            gap_across,
            gap_down,
        },
    }
}

use Paper::{A4, Letter};

/// Every cut; the first of a paper is taken where none is asked for.
///
/// *Common practice, no source* but for two: 63.5 x 38.1 as reported by
/// printreadykit.pages.dev, and 66.7 x 25.4 (2 5/8 in by 1 in) as reported by
/// wiki.trackandtrace.tools.
#[rustfmt::skip]
pub const CUTS: &[Cut] = &[
    row("70x37",      A4,     (3, 8),  (70.0, 37.0),     (0.0, 0.5),      (0.0, 0.0)),
    row("63.5x38.1",  A4,     (3, 7),  (63.5, 38.1),     (7.2, 15.15),    (2.5, 0.0)),
    row("105x37",     A4,     (2, 8),  (105.0, 37.0),    (0.0, 0.5),      (0.0, 0.0)),
    row("48.5x25.4",  A4,     (4, 10), (48.5, 25.4),     (8.0, 21.5),     (0.0, 0.0)),
    row("66.7x25.4",  Letter, (3, 10), (66.675, 25.4),   (4.7625, 12.7),  (3.175, 0.0)),
    row("101.6x50.8", Letter, (2, 5),  (101.6, 50.8),    (3.96875, 12.7), (4.7625, 0.0)),
];

/// The cut that is asked for, or the first of the paper.
///
/// # Errors
/// When there is no cut of this name for the paper.
pub(super) fn asked(settings: &Settings) -> Result<&'static Cut, Refusal> {
    let mut of_paper = CUTS.iter().filter(|cut| cut.paper == settings.paper);
    let found = match &settings.cut {
        None => of_paper.next(),
        Some(name) => of_paper.find(|cut| cut.name == name),
    };
    found.ok_or_else(|| {
        let there = CUTS.iter().filter(|cut| cut.paper == settings.paper);
        let names: Vec<&str> = there.map(|cut| cut.name).collect();
        let paper = settings.paper.name();
        Refusal {
            reason: format!(
                "no sheet of labels on {paper} is cut {}; there are {}",
                settings.cut.as_deref().unwrap_or(""),
                names.join(", ")
            ),
        }
    })
}

#[cfg(test)]
mod tests {
    use super::CUTS;

    /// What is cut fills the sheet: as much is free on the right as on the left,
    /// and at the bottom as at the top, to half a millimetre.
    #[test]
    fn every_cut_fills_its_paper() {
        for row in CUTS {
            let (cut, (width, height)) = (row.cut, row.paper.size());
            let across = cut.columns as f64 * cut.width + (cut.columns - 1) as f64 * cut.gap_across;
            let down = cut.rows as f64 * cut.height + (cut.rows - 1) as f64 * cut.gap_down;
            let right = width - cut.left - across;
            let bottom = height - cut.top - down;
            assert!(
                (right - cut.left).abs() <= 0.5 && right >= 0.0,
                "{}: {right}",
                row.name
            );
            assert!(
                (bottom - cut.top).abs() <= 0.5 && bottom >= 0.0,
                "{}: {bottom}",
                row.name
            );
        }
    }

    #[test]
    fn every_cut_is_named_after_its_measure() {
        for row in CUTS {
            let (width, height) = row.name.split_once('x').unwrap();
            let is = |named: &str, size: f64| (named.parse::<f64>().unwrap() - size).abs() < 0.05;
            assert!(
                is(width, row.cut.width) && is(height, row.cut.height),
                "{}",
                row.name
            );
        }
    }
}
