//! How wide text comes out, and where it may be broken.

use crate::fonts::advance;
use retin::sheets::document::{Run, Words};
use retin::sheets::width::BREAKS;

/// Where a word may be broken although no space stands there.
const BREAK: char = '\u{200b}';

/// Holds the words on both sides of it together.
const NO_BREAK: char = '\u{a0}';

/// How much wider than measured a text may come out: pairs of letters that stand closer
/// or wider are not measured. An allowance, which the tests that no word leaves its place
/// hold.
pub(crate) const SURELY: f64 = 1.01;

/// How wide a text is, in the unit of `size`.
pub(crate) fn width(text: &str, is_strong: bool, size: f64) -> f64 {
    text.chars()
        .map(|sign| advance(sign, is_strong))
        .sum::<f64>()
        * size
}

/// How wide a run of words is, in the unit of `size`.
pub(crate) fn width_of(words: &Words, is_strong: bool, size: f64) -> f64 {
    words
        .runs
        .iter()
        .map(|run| width(&run.text, run.is_strong || is_strong, size))
        .sum()
}

/// How wide the widest word is, in the unit of `size`. Words that are held
/// together are one, as long as they are no wider than `most`.
pub(crate) fn widest_word(words: &Words, is_strong: bool, size: f64, most: f64) -> f64 {
    let whole = widest_piece(words, is_strong, size, &[' ']);
    if whole <= most {
        return whole;
    }
    widest_piece(words, is_strong, size, &[' ', NO_BREAK]).max(most)
}

fn widest_piece(words: &Words, is_strong: bool, size: f64, ends: &[char]) -> f64 {
    let mut widest: f64 = 0.0;
    let mut here = 0.0;
    for run in &words.runs {
        for sign in run.text.chars() {
            if ends.contains(&sign) {
                here = 0.0;
            } else {
                here += advance(sign, run.is_strong || is_strong) * size;
                widest = widest.max(here);
            }
        }
    }
    widest
}

/// How many lines a run of words takes in a column of this width.
pub(crate) fn lines_of(words: &Words, is_strong: bool, size: f64, column: f64) -> usize {
    let mut lines = 1;
    let mut here = 0.0;
    for run in &words.runs {
        for word in run.text.split_inclusive(' ') {
            let is_strong = run.is_strong || is_strong;
            let whole = width(word, is_strong, size);
            let seen = width(word.trim_end_matches(' '), is_strong, size);
            if here > 0.0 && here + seen > column {
                lines += 1;
                here = 0.0;
            }
            // A word wider than the column is broken.
            let over = (seen / column.max(1.0)).floor();
            lines += over as usize;
            here += whole - over * column;
        }
    }
    lines
}

/// The words with tabs and line ends as spaces, and with a place to break in
/// every word that is wider than the column.
pub(crate) fn broken(words: &Words, is_strong: bool, size: f64, column: f64) -> Words {
    Words {
        runs: words
            .runs
            .iter()
            .map(|run| Run {
                text: broken_text(&run.text, run.is_strong || is_strong, size, column),
                is_strong: run.is_strong,
            })
            .collect(),
    }
}

/// A text with tabs and line ends as spaces, and with a place to break in every
/// word that is wider than the column.
pub(crate) fn broken_text(text: &str, is_strong: bool, size: f64, column: f64) -> String {
    let text = clean(text);
    if width(&text, is_strong, size) <= column {
        return text;
    }
    // What is held together comes apart before words are cut to pieces.
    let held = |word: &str| width(word.trim_end_matches(' '), is_strong, size) > column;
    let text: String = text
        .split_inclusive(' ')
        .map(|word| {
            if held(word) {
                word.replace(NO_BREAK, " ")
            } else {
                word.to_owned()
            }
        })
        .collect();
    let mut out = String::with_capacity(text.len() + 8);
    for word in text.split_inclusive(' ') {
        if width(word.trim_end_matches(' '), is_strong, size) <= column {
            out.push_str(word);
            continue;
        }
        // After each sign that ends a piece of a name; a piece that is too wide
        // itself, before what would come to stand outside.
        for piece in word.split_inclusive(BREAKS) {
            let is_whole = width(piece.trim_end_matches(' '), is_strong, size) <= column;
            let mut here = 0.0;
            for sign in piece.chars() {
                let step = advance(sign, is_strong) * size;
                if !is_whole && here > 0.0 && here + step > column && step > 0.0 {
                    out.push(BREAK);
                    here = 0.0;
                }
                out.push(sign);
                here += step;
            }
            out.push(BREAK);
        }
        // None at the end of the word: a space, or nothing, stands there.
        out.pop();
    }
    out
}

/// A text cut into lines that are no wider than the column.
pub(crate) fn lines(text: &str, is_strong: bool, size: f64, column: f64) -> Vec<String> {
    let mut lines = vec![String::new()];
    let mut here = 0.0;
    let text = broken_text(text, is_strong, size, column);
    for piece in text.split_inclusive([' ', BREAK]) {
        let seen = width(piece.trim_end_matches([' ', BREAK]), is_strong, size);
        if here > 0.0 && here + seen > column {
            lines.push(String::new());
            here = 0.0;
        }
        here += width(piece, is_strong, size);
        if let Some(line) = lines.last_mut() {
            line.extend(piece.chars().filter(|sign| *sign != BREAK));
        }
    }
    for line in &mut lines {
        line.truncate(line.trim_end_matches(' ').len());
    }
    lines
}

/// A text with tabs and line ends as spaces, and with a sign that is seen in
/// place of every other one that steers a machine.
pub(crate) fn clean(text: &str) -> String {
    text.chars()
        .map(|sign| match sign {
            '\t' | '\n' | '\r' | '\u{b}' | '\u{c}' | '\u{85}' | '\u{2028}' | '\u{2029}' => ' ',
            _ if sign.is_control() => '\u{fffd}',
            _ => sign,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_word_too_wide_is_broken_after_its_pieces() {
        let broken = broken_text("RESERVOIR-CAPACITOR-A17", false, 10.0, 90.0);
        assert_eq!(
            broken.split(BREAK).collect::<Vec<_>>(),
            ["RESERVOIR-", "CAPACITOR-", "A17"]
        );
    }

    #[test]
    fn a_no_break_space_holds() {
        assert_eq!(
            lines("plus 47\u{a0}µF", false, 1.0, 4.0),
            ["plus", "47\u{a0}µF"]
        );
    }

    #[test]
    fn what_steers_a_machine_is_seen() {
        assert_eq!(clean("a\tb\nc\u{7}"), "a b c\u{fffd}");
    }

    proptest! {
        #[test]
        fn no_line_is_wider_than_its_column(text in "[a-zA-Z0-9 ./-]{0,60}", column in 3.0..40.0_f64) {
            for line in lines(&text, true, 1.0, column) {
                prop_assert!(width(&line, true, 1.0) <= column + 1e-9, "{line}");
            }
        }

        #[test]
        fn no_sign_is_lost(text in "\\PC{0,60}") {
            let kept: String = lines(&text, false, 1.0, 8.0).concat();
            let bare = |text: &str| text.chars().filter(|sign| !matches!(*sign, ' ' | NO_BREAK | BREAK)).collect::<String>();
            prop_assert_eq!(bare(&kept), bare(&clean(&text)));
        }
    }
}
