//! The codes printed on parts, read only where a text is said to be a marking.
//!
//! Three kinds are read: the letter code of IEC 60062 (`4n7K`, `R47J`), digit
//! codes (`104J`) and EIA-96 (`68X`). A tolerance letter may follow the first
//! two. Where published sources disagree, the letter is refused with the reason.

use rust_decimal::Decimal;

use super::dimension::Dimension;
use super::error::{ValueError, ValueErrorKind as Kind};
use super::exact::Exact;
use super::letter_code::{self, Place};
use super::quantity::Quantity;
use super::series::Series;
use super::tolerance::Tolerance;

/// What kind of part bears the marking; the same code means different things.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum MarkingOf {
    /// Digit codes count in picofarads.
    Capacitor,
    /// Digit codes count in ohms.
    Resistor,
}

/// Which code a marking turned out to be.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum MarkingCode {
    /// IEC 60062: a letter at the decimal point.
    Letter,
    /// Significant figures and a power of ten, or picofarads in one or two figures.
    Digits,
    /// The number of an E96 value and a letter for the power of ten.
    Eia96,
}

/// A marking, read.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Marked {
    /// The nominal value.
    pub value: Quantity,
    /// The tolerance, where a letter or the code itself says it.
    pub tolerance: Option<Tolerance>,
    /// The code it was written in.
    pub code: MarkingCode,
}

/// Reads the marking of a part: `104J`, `4n7`, `R47K`, `68X`.
///
/// # Errors
/// [`NotAMarking`](Kind::NotAMarking) when it is none of the codes;
/// [`Ambiguous`](Kind::Ambiguous) when two codes fit; a tolerance letter that
/// sources disagree on, or that says nothing certain here.
pub fn read_marking(text: &str, of: MarkingOf) -> Result<Marked, ValueError> {
    let trimmed = text.trim();
    let skipped = text.len() - text.trim_start().len();
    read_trimmed(trimmed, of)
        .map_err(|kind| ValueError::new(kind, 0, trimmed.len()).shifted(skipped))
}

fn read_trimmed(text: &str, of: MarkingOf) -> Result<Marked, Kind> {
    let letter = text.chars().next_back().filter(char::is_ascii_uppercase);
    let bare = letter.map(|letter| text[..text.len() - letter.len_utf8()].trim_end());
    let alone = code(text, of);
    let before_letter = bare.and_then(|bare| code(bare, of));
    match (alone, before_letter, letter) {
        (Some(alone), Some(before), Some(letter)) if is_tolerance_letter(letter) => {
            // `473K` is 473 kohm in letters, and 47 kohm within 10 % in digits.
            let suggestions = [alone?.0, before?.0].map(|value| value.to_string()).into();
            Err(Kind::Ambiguous { suggestions })
        }
        (Some(alone), _, _) => {
            let (value, code) = alone?;
            let tolerance = match code {
                // Parts of this code are 1 % parts (common practice, no source).
                MarkingCode::Eia96 => Series::E96.tolerance().map(Tolerance::relative),
                MarkingCode::Letter | MarkingCode::Digits => None,
            };
            Ok(Marked {
                value,
                tolerance,
                code,
            })
        }
        (None, Some(before), Some(letter)) if is_tolerance_letter(letter) => {
            let (value, code) = before?;
            if code == MarkingCode::Eia96 {
                return Err(Kind::NotAMarking);
            }
            let tolerance = Some(tolerance_of_letter(letter, of, value)?);
            Ok(Marked {
                value,
                tolerance,
                code,
            })
        }
        _ => Err(Kind::NotAMarking),
    }
}

/// The value of a code without a tolerance letter; `None` when it is no code.
fn code(text: &str, of: MarkingOf) -> Option<Result<(Quantity, MarkingCode), Kind>> {
    let wanted = dimension(of);
    if let Some(read) = letter_code::read(text, Place::Marking) {
        let read = match (read, of) {
            // On a capacitor the R is a decimal point: `2R2` is 2.2 pF.
            (Ok(quantity), MarkingOf::Capacitor) if text.contains('R') => {
                counted(Exact::from(quantity.number), of)
            }
            (read, _) => read,
        };
        return match read {
            Ok(quantity) if quantity.dimension != wanted => None,
            Ok(quantity) => Some(Ok((quantity, MarkingCode::Letter))),
            Err(kind) => Some(Err(kind)),
        };
    }
    let read = digits(text, of).map(|read| (read, MarkingCode::Digits));
    let read = read.or_else(|| eia_96(text, of).map(|read| (read, MarkingCode::Eia96)))?;
    Some(read.0.map(|quantity| (quantity, read.1)))
}

fn dimension(of: MarkingOf) -> Dimension {
    match of {
        MarkingOf::Capacitor => Dimension::Capacitance,
        MarkingOf::Resistor => Dimension::Resistance,
    }
}

/// So many picofarads, or ohms.
fn counted(number: Exact, of: MarkingOf) -> Result<Quantity, Kind> {
    let exponent = match of {
        MarkingOf::Capacitor => -12,
        MarkingOf::Resistor => 0,
    };
    let number = number.scaled(1, exponent)?.to_decimal()?;
    Ok(Quantity::new(number, dimension(of)))
}

/// `104`: two figures and a power of ten; on capacitors 8 and 9 make hundredths
/// and tenths (av-info.eu, capacitors), and one or two figures are picofarads.
/// On resistors four figures are three and a power of ten (common practice, no
/// source).
fn digits(text: &str, of: MarkingOf) -> Option<Result<Quantity, Kind>> {
    if !text.bytes().all(|byte| byte.is_ascii_digit()) || text.starts_with('0') {
        return None;
    }
    let figures = match (text.len(), of) {
        (1 | 2, MarkingOf::Capacitor) => {
            let number = text.parse().ok()?;
            return Some(counted(Exact::new(false, number, 0), of));
        }
        (3, _) | (4, MarkingOf::Resistor) => text.len() - 1,
        _ => return None,
    };
    let number = text[..figures].parse().ok()?;
    let exponent = match (&text[figures..], of) {
        ("8", MarkingOf::Capacitor) => -2,
        ("9", MarkingOf::Capacitor) => -1,
        ("8" | "9", MarkingOf::Resistor) => return None,
        (power, _) => power.parse().ok()?,
    };
    Some(counted(Exact::new(false, number, exponent), of))
}

/// `68X`: the 68th value of E96 and a letter for the power of ten.
///
/// Only the letters that mean one thing everywhere are read.
fn eia_96(text: &str, of: MarkingOf) -> Option<Result<Quantity, Kind>> {
    if of != MarkingOf::Resistor || text.len() != 3 {
        return None;
    }
    let (number, letter) = text.split_at_checked(2)?;
    let exponent = match letter {
        "Z" => -3,
        "Y" => -2,
        "X" => -1,
        "A" => 0,
        "B" => 1,
        "C" => 2,
        "D" => 3,
        "E" => 4,
        "F" => 5,
        _ => return None,
    };
    if !number.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let index = number.parse::<usize>().ok()?.checked_sub(1)?;
    let figures = Series::E96.figures().get(index)?;
    Some(counted(
        Exact::new(false, u128::from(*figures), exponent),
        of,
    ))
}

/// Whether a letter is one that states a tolerance somewhere.
fn is_tolerance_letter(letter: char) -> bool {
    matches!(
        letter,
        'B' | 'C'
            | 'D'
            | 'F'
            | 'G'
            | 'J'
            | 'K'
            | 'M'
            | 'N'
            | 'P'
            | 'Q'
            | 'S'
            | 'T'
            | 'V'
            | 'W'
            | 'X'
            | 'Y'
            | 'Z'
    )
}

/// The tolerance a letter states.
///
/// Sources: Sanyo service manual DP19649 p. 41 (C D J K M P T Z on capacitors),
/// a maker's order table for leaded electrolytics (Q), the Samwha SD part-number
/// list (V), bcc.edu capacitor coding (Y), an electro-tech-online list (S);
/// several published lists for F G J K M and for the resistor letters.
fn tolerance_of_letter(letter: char, of: MarkingOf, value: Quantity) -> Result<Tolerance, Kind> {
    let percent = |below: u32, above: u32| Tolerance::Relative {
        minus: thousandths(10 * below),
        plus: thousandths(10 * above),
    };
    let symmetric = |thousandth_parts| Tolerance::relative(thousandths(thousandth_parts));
    let unclear = Kind::LetterUnclear { letter };
    Ok(match (letter, of) {
        ('J', _) => percent(5, 5),
        ('K', _) => percent(10, 10),
        ('M', _) => percent(20, 20),
        // ±30 % (Sanyo DP19649) against ±0.05 % (av-info.eu).
        ('N', _) => return Err(Kind::LetterInConflict { letter }),
        ('B' | 'C' | 'D' | 'F' | 'G', MarkingOf::Capacitor) => {
            let is_small = value.number < Decimal::from_parts(1, 0, 0, false, 11);
            let picofarads = |hundredths| {
                Tolerance::absolute(Quantity::new(
                    Decimal::from_parts(hundredths, 0, 0, false, 14),
                    Dimension::Capacitance,
                ))
            };
            match (letter, is_small) {
                ('B', true) => picofarads(10),
                ('C', true) => picofarads(25),
                ('D', true) => picofarads(50),
                ('F', false) => percent(1, 1),
                ('G', false) => percent(2, 2),
                // Below 10 pF the letters count picofarads, from there on per
                // cent; a letter of the other kind is no certain statement.
                _ => return Err(unclear),
            }
        }
        ('P', MarkingOf::Capacitor) => percent(0, 100),
        ('Q', MarkingOf::Capacitor) => percent(10, 30),
        ('S' | 'Y', MarkingOf::Capacitor) => percent(20, 50),
        ('T', MarkingOf::Capacitor) => percent(10, 50),
        ('V', MarkingOf::Capacitor) => percent(10, 20),
        ('Z', MarkingOf::Capacitor) => percent(20, 80),
        ('B', MarkingOf::Resistor) => symmetric(1),
        ('C', MarkingOf::Resistor) => Tolerance::relative(Decimal::from_parts(25, 0, 0, false, 4)),
        ('D', MarkingOf::Resistor) => symmetric(5),
        ('F', MarkingOf::Resistor) => percent(1, 1),
        ('G', MarkingOf::Resistor) => percent(2, 2),
        _ => return Err(unclear),
    })
}

const fn thousandths(count: u32) -> Decimal {
    Decimal::from_parts(count, 0, 0, false, 3)
}

#[cfg(test)]
mod tests {
    use super::{Kind, Marked, MarkingCode, MarkingOf, read_marking};

    fn print(text: &str, of: MarkingOf) -> String {
        match read_marking(text, of) {
            Ok(Marked {
                value,
                tolerance: Some(tolerance),
                ..
            }) => format!("{value} {tolerance}"),
            Ok(Marked { value, .. }) => value.to_string(),
            Err(error) => error.to_string(),
        }
    }

    #[test]
    fn a_letter_stands_for_picofarads_on_one_part_and_per_cent_on_the_other() {
        assert_eq!(print("2R2C", MarkingOf::Capacitor), "2.2pF ±0.25pF");
        assert_eq!(print("2R2C", MarkingOf::Resistor), "2.2ohm ±0.25%");
        assert_eq!(
            read_marking("104C", MarkingOf::Capacitor).unwrap_err().kind,
            Kind::LetterUnclear { letter: 'C' }
        );
    }

    #[test]
    fn two_codes_that_fit_are_asked_about() {
        for (text, of, readings) in [
            ("473K", MarkingOf::Resistor, ["473kohm", "47kohm"]),
            ("102M", MarkingOf::Resistor, ["102Mohm", "1kohm"]),
            ("47F", MarkingOf::Capacitor, ["47F", "47pF"]),
        ] {
            let error = read_marking(text, of).unwrap_err();
            assert!(matches!(error.kind, Kind::Ambiguous { .. }), "{text}");
            assert_eq!(error.suggestions(), readings, "{text}");
        }
    }

    #[test]
    fn each_code_says_which_it_is() {
        for (text, of, code) in [
            ("104J", MarkingOf::Capacitor, MarkingCode::Digits),
            ("47", MarkingOf::Capacitor, MarkingCode::Digits),
            ("4n7K", MarkingOf::Capacitor, MarkingCode::Letter),
            ("p33", MarkingOf::Capacitor, MarkingCode::Letter),
            ("68X", MarkingOf::Resistor, MarkingCode::Eia96),
            ("1002", MarkingOf::Resistor, MarkingCode::Digits),
        ] {
            assert_eq!(read_marking(text, of).map(|marked| marked.code), Ok(code));
        }
    }

    #[test]
    fn what_is_no_code_is_refused() {
        for text in [
            "", " ", "J", "104Ä", "abc", "1044J", "97A", "00A", "000", "4K7", "µ",
        ] {
            let read = read_marking(text, MarkingOf::Capacitor);
            assert_eq!(read.unwrap_err().kind, Kind::NotAMarking, "{text}");
        }
        for text in ["4n7", "47", "97A", "00A", "000", "228", "68XJ"] {
            let read = read_marking(text, MarkingOf::Resistor);
            assert_eq!(read.unwrap_err().kind, Kind::NotAMarking, "{text}");
        }
    }
}
