//! How much a label holds, and references shared out over as many labels as they need.

use super::letters::Letters;
use crate::sheets::document::LabelCut;
use crate::sheets::width::{lines_of, width};

/// What goes on a label at the sizes that labels are set in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Room {
    letters: Letters,
}

impl Room {
    /// The room on a label.
    pub(super) fn of(cut: LabelCut, is_big: bool) -> Room {
        Room {
            letters: Letters::of(cut, is_big),
        }
    }

    /// How many lines stand below a title. A long one is set smaller, and then in
    /// several lines.
    pub(super) fn below(self, title: &str) -> usize {
        let letters = self.letters;
        let size = letters.title_size(width(title, true, 1.0));
        let above = lines_of(title, true, size, letters.across);
        let mut top = letters.top + Letters::LEADING * size * above as f64;
        let mut lines = 0;
        while letters.base_line(top, letters.line).is_some() {
            lines += 1;
            top += Letters::LEADING * letters.line;
        }
        lines.max(1)
    }

    /// How many lines a text takes.
    pub(super) fn lines_of(self, text: &str) -> usize {
        lines_of(text, false, self.letters.line, self.letters.across)
    }

    /// Joins words with commas into lines that hold.
    fn joined(self, words: &[String]) -> Vec<String> {
        let mut lines: Vec<String> = Vec::new();
        for word in words {
            let is_room = lines.last().is_some_and(|line| {
                let line = format!("{line}, {word},");
                width(&line, false, self.letters.line) <= self.letters.across
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
