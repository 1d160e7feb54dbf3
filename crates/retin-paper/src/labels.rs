//! Labels: what stands where on each, in millimetres.

use crate::PageSetting;
use crate::measure::{lines, width};
use retin::sheets::document::{Label, LabelCut, Labels};
use retin::sheets::labels::Letters;

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
    let letters = Letters::of(cut, setting.is_big);
    let mut set = Vec::new();
    let mut top = letters.top;
    let mut put = |text: String, size: f64, is_strong: bool| {
        let Some(base) = letters.base_line(top, size) else {
            return false;
        };
        set.push(Line {
            x: letters.left,
            y: base,
            size,
            is_strong,
            text,
        });
        top += Letters::LEADING * size;
        true
    };
    let title = letters.title_size(width(&label.title, true, 1.0));
    for line in lines(&label.title, true, title, letters.across) {
        put(line, title, true);
    }
    for text in &label.lines {
        let lines = lines(text, false, letters.line, letters.across);
        if !lines.into_iter().all(|line| put(line, letters.line, false)) {
            break;
        }
    }
    set
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use retin::meaning::Case;
    use retin::sheets::document::Block;
    use retin::sheets::labels::CUTS;
    use retin::sheets::{CheckedJob, FileRevision, Settings};
    use retin::sources::{SourceFile, Sources};
    use std::sync::Arc;

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

    /// A job with so many parts of one value, each with a name of its own.
    fn job(name: &str, parts: usize) -> String {
        let parts: String = (0..parts)
            .map(|part| format!("  {name}{} electrolytic 10uF\n", part * 2 + 1))
            .collect();
        format!(
            "model m1\nboard b1 \"Board\"\n{parts}\nshelf main\n  E-10 electrolytic 10uF\n\n\
             job 26-900 \"M-1 serial 1\"\n  model m1\n\nplan\n  replace every electrolytic with E-10\n"
        )
    }

    proptest! {
        #[test]
        fn every_reference_is_on_a_label(
            name in "[A-Z]{1,27}",
            parts in 1..90_usize,
            cut in 0..CUTS.len(),
            is_big in any::<bool>(),
        ) {
            let mut sources = Sources::new();
            let text = job(&name, parts);
            let root = sources.add(Arc::new(SourceFile::new("job.retin".into(), text)));
            let case = Case::build(&sources, root);
            let job = CheckedJob::of(&case, FileRevision::NotInGit).expect("the text holds a job");
            let settings = Settings { cut: Some(CUTS[cut].name.into()), paper: CUTS[cut].paper, is_big, ..Settings::default() };
            let document = retin::sheets::labels::labels(&[job], &settings).expect("the cut is known");
            let [Block::Labels(labels)] = document.blocks.as_slice() else {
                panic!("there are labels");
            };
            let setting = PageSetting { paper: CUTS[cut].paper, is_big };
            let told: String = pages(labels, setting)
                .iter()
                .flatten()
                .flat_map(|label| &label.lines)
                .map(|line| format!("{}, ", line.text))
                .collect::<String>()
                .replace(' ', "");
            for part in 0..parts {
                let reference = format!("{name}{}", part * 2 + 1);
                // A name that is wider than its line goes on in the next.
                prop_assert!(told.replace(',', "").contains(&reference), "{reference} in {told}");
            }
        }

        #[test]
        fn nothing_leaves_its_label(
            title in "[A-Za-z0-9 µ.-]{1,60}",
            lines in prop::collection::vec("[A-Za-z0-9 µ.-]{0,80}", 0..12),
            width in 20.0..100.0_f64,
            height in 8.0..60.0_f64,
        ) {
            let cut = LabelCut { width, height, ..CUT };
            let left = Letters::of(cut, false).left;
            for line in set(&Label { title, lines }, cut, PageSetting::default()) {
                let end = line.x + crate::measure::width(&line.text, line.is_strong, line.size);
                prop_assert!(end <= width - left + 1e-6);
                prop_assert!(line.y + 0.25 * line.size <= height);
            }
        }
    }
}
