//! How much a label holds, and references shared out over as many labels as they need.

use crate::sheets::document::LabelCut;
use crate::sheets::width::width;

/// One point, in millimetres.
const POINT: f64 = 25.4 / 72.0;
/// Free at the left and the right of a label, in millimetres.
const SIDE: f64 = 2.0;
/// Free at the top and the bottom of a label, in millimetres.
const EDGE: f64 = 1.5;
/// From one line to the next, in parts of the font's size.
const LEADING: f64 = 1.2;
/// The smallest size of a title, in points.
const LEAST_TITLE: f64 = 6.0;
/// The largest share of a label's height that a short title takes.
const TITLE_SHARE: f64 = 0.45;

/// What goes on a label at the sizes that labels are set in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Room {
    /// The width of a line, in millimetres.
    across: f64,
    /// The size of its letters, in millimetres.
    size: f64,
    /// The height for the title and the lines, in millimetres.
    down: f64,
    /// The size of the title's letters where it is short, in millimetres.
    title: f64,
}

impl Room {
    /// The room on a label: a title of 16 points and lines of 7, or 22 and 9 in
    /// big print.
    pub(super) fn of(cut: LabelCut, is_big: bool) -> Room {
        let (title, size) = if is_big { (22.0, 9.0) } else { (16.0, 7.0) };
        let (title, size) = (title * POINT, size * POINT);
        let down = cut.height - 2.0 * EDGE;
        Room {
            across: cut.width - 2.0 * SIDE,
            size,
            down,
            title: title.min(down * TITLE_SHARE),
        }
    }

    /// How many lines stand below a title. A long one is set smaller, and then in
    /// several lines.
    pub(super) fn below(self, title: &str) -> usize {
        let least = LEAST_TITLE * POINT;
        let lines = (width(title, true, least) / self.across).ceil();
        let title = if lines <= 1.0 {
            self.title
        } else {
            self.title.max(lines * least)
        };
        let lines = (self.down - LEADING * title) / (LEADING * self.size);
        lines.max(1.0) as usize
    }

    /// How many lines a text takes.
    pub(super) fn lines_of(self, text: &str) -> usize {
        let lines = width(text, false, self.size) / self.across;
        lines.ceil().max(1.0) as usize
    }

    /// Joins words with commas into lines that hold.
    fn joined(self, words: &[String]) -> Vec<String> {
        let mut lines: Vec<String> = Vec::new();
        for word in words {
            let is_room = lines.last().is_some_and(|line| {
                width(&format!("{line}, {word},"), false, self.size) <= self.across
            });
            match lines.last_mut().filter(|_| is_room) {
                Some(line) => {
                    line.push_str(", ");
                    line.push_str(word);
                }
                None => {
                    if let Some(line) = lines.last_mut() {
                        line.push(',');
                    }
                    lines.push(word.clone());
                }
            }
        }
        lines
    }

    /// Shares words out over labels, of which each has room for so many lines
    /// of them. Every word is on one label; a label has one word at least.
    pub(super) fn share(self, words: &[String], lines: usize) -> Vec<Share> {
        let mut labels: Vec<Share> = Vec::new();
        let mut first = 0;
        for end in 1..=words.len() {
            let is_last = end == words.len();
            let takes = |words: &[String]| -> usize {
                let lines = self.joined(words);
                lines.iter().map(|line| self.lines_of(line)).sum()
            };
            if is_last || takes(&words[first..=end]) > lines {
                labels.push(Share {
                    words: end - first,
                    lines: self.joined(&words[first..end]),
                });
                first = end;
            }
        }
        labels
    }
}

/// What stands on one of several labels.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Share {
    /// How many of the words.
    pub(super) words: usize,
    /// The lines that they make.
    pub(super) lines: Vec<String>,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheets::labels::CUTS;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn every_word_is_on_one_label(
            words in prop::collection::vec("[A-Z]{1,3}[0-9]{1,4}", 0..120),
            lines in 0_usize..9,
            cut in 0..CUTS.len(),
            is_big in any::<bool>(),
        ) {
            let room = Room::of(CUTS[cut].cut, is_big);
            let labels = room.share(&words, lines);
            let told: Vec<String> = labels
                .iter()
                .flat_map(|label| label.lines.join(" ").split(", ").map(str::to_owned).collect::<Vec<_>>())
                .collect();
            prop_assert_eq!(&told, &words);
            prop_assert_eq!(labels.iter().map(|label| label.words).sum::<usize>(), words.len());
            for label in labels {
                prop_assert!(label.lines.len() <= lines.max(1));
            }
        }
    }

    #[test]
    fn even_the_smallest_label_has_room_for_four_lines() {
        for cut in CUTS {
            let lines = Room::of(cut.cut, false).below("100 µF 25 V");
            assert!(lines >= 4, "{}", cut.name);
        }
    }
}
