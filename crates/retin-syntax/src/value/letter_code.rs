//! The letter codes of IEC 60062: the letter stands at the decimal point.

use super::dimension::Dimension;
use super::error::ValueErrorKind;
use super::exact::{self, Exact};
use super::quantity::Quantity;

/// What one letter of the code stands for.
struct Letter {
    letter: char,
    dimension: Dimension,
    exponent: i32,
    /// May begin a code in a job file, where names look alike otherwise
    /// (`K1` is a relay, `p5` a pitch).
    leads: bool,
    /// Most digits after it, and in all, in a job file: longer ones are device
    /// numbers (`78L05`, `74F00`, `2n3904`).
    most_after: usize,
    most_digits: usize,
}

const fn ohms(letter: char, exponent: i32) -> Letter {
    Letter {
        letter,
        dimension: Dimension::Resistance,
        exponent,
        leads: false,
        most_after: 2,
        most_digits: 3,
    }
}

const fn farads(letter: char, exponent: i32) -> Letter {
    Letter {
        letter,
        dimension: Dimension::Capacitance,
        exponent,
        leads: false,
        most_after: 2,
        most_digits: 4,
    }
}

impl Letter {
    const fn leading(mut self) -> Letter {
        self.leads = true;
        self
    }

    const fn digits(mut self, after: usize, all: usize) -> Letter {
        self.most_after = after;
        self.most_digits = all;
        self
    }
}

const LETTERS: &[Letter] = &[
    ohms('L', -3).leading(),
    ohms('R', 0).leading().digits(3, 5),
    ohms('K', 3).digits(3, 5),
    ohms('k', 3).digits(3, 5),
    ohms('M', 6),
    ohms('G', 9),
    farads('p', -12),
    farads('n', -9).leading(),
    farads('u', -6).leading(),
    farads('\u{b5}', -6).leading(),
    farads('\u{3bc}', -6).leading(),
    farads('m', -3),
    farads('F', 0).digits(2, 3),
];

/// Where a code is read.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Place {
    /// In a line, among names.
    Line,
    /// Where the text is known to be a marking.
    Marking,
}

/// Reads a whole word as a letter code: `4k7`, `R47`, `2n2`, `470R`.
///
/// `None` when it is none. In a line a code needs digits after the letter, or
/// touches it as a suffix that [`suffix`] knows.
pub(super) fn read(text: &str, place: Place) -> Option<Result<Quantity, ValueErrorKind>> {
    let (before, letter, after) = split(text)?;
    if place == Place::Line {
        let too_long =
            after.len() > letter.most_after || before.len() + after.len() > letter.most_digits;
        if after.is_empty() || too_long || (before.is_empty() && !letter.leads) {
            return None;
        }
    }
    Some(
        number(before, after)?
            .map_err(|(kind, _)| kind)
            .and_then(|scanned| make(scanned.number, letter)),
    )
}

/// Reads the letter that closes a number: the `k` of `4.7k`, the `n` of `100n`.
///
/// `F`, `R` and `m` are left to the table of units.
pub(super) fn suffix(number: Exact, rest: &str) -> Option<Result<Quantity, ValueErrorKind>> {
    const SUFFIXES: &[char] = &['k', 'K', 'M', 'G', 'p', 'n', 'u', '\u{b5}', '\u{3bc}'];
    let mut letters = rest.chars();
    let (Some(first), None) = (letters.next(), letters.next()) else {
        return None;
    };
    if !SUFFIXES.contains(&first) {
        return None;
    }
    let letter = LETTERS.iter().find(|letter| letter.letter == first)?;
    Some(make(number, letter))
}

/// The number of a digit string with its point: `4` and `7` give 4.7.
pub(super) fn number(
    before: &str,
    after: &str,
) -> Option<Result<exact::Scanned, (ValueErrorKind, usize)>> {
    if after.is_empty() {
        exact::scan(before)
    } else {
        exact::scan(&format!("{before}.{after}"))
    }
}

/// The digits before the letter, the letter, and the digits after it.
fn split(text: &str) -> Option<(&str, &'static Letter, &str)> {
    let at = text.find(|letter: char| !letter.is_ascii_digit())?;
    let found = text[at..].chars().next()?;
    let letter = LETTERS.iter().find(|letter| letter.letter == found)?;
    let (before, after) = (&text[..at], &text[at + found.len_utf8()..]);
    let digits = after.bytes().all(|byte| byte.is_ascii_digit());
    (digits && !(before.is_empty() && after.is_empty())).then_some((before, letter, after))
}

fn make(number: Exact, letter: &Letter) -> Result<Quantity, ValueErrorKind> {
    let number = number.scaled(1, letter.exponent)?.to_decimal()?;
    Ok(Quantity::new(number, letter.dimension))
}
