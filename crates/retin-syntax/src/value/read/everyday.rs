//! The spellings that nearly every value has, read in one pass: `10uF`, `4.7kohm`,
//! `20%`, `5x11`, `p2.5`, `300`.
//!
//! A sheet of ten thousand parts holds fifty thousand values, and trying every form
//! on each of them costs more than all else. What this reads it reads exactly as
//! [`read_spelling`](super::read_spelling) does; all else it leaves to it.

use rust_decimal::Decimal;
use rustc_hash::FxHashMap;
use std::sync::LazyLock;

use crate::value::Value;
use crate::value::body::{self, Body};
use crate::value::dimension::Dimension;
use crate::value::quantity::Quantity;
use crate::value::tolerance::Tolerance;
use crate::value::unit::{self, Spelled};

/// What a unit with its prefix is worth.
#[derive(Clone, Copy)]
struct Worth {
    dimension: Dimension,
    multiplier: u64,
    exponent: i32,
}

/// Every unit in its canonical spelling, prefix included.
static WORTH: LazyLock<FxHashMap<String, Worth>> = LazyLock::new(|| {
    let worth = |spelling: String| match unit::find(&spelling, true) {
        Some(Spelled::Known {
            unit,
            prefix_exponent,
        }) => Some((
            spelling,
            Worth {
                dimension: unit.dimension,
                multiplier: u64::from(unit.multiplier),
                exponent: unit.exponent + prefix_exponent,
            },
        )),
        _ => None,
    };
    unit::canonical_spellings().filter_map(worth).collect()
});

/// The value of a text in an everyday spelling; none where it is written otherwise,
/// or is no value.
pub(super) fn everyday(text: &str) -> Option<Value> {
    if let Some(pitch) = text.strip_prefix('p') {
        let number = Figures::at_start(pitch)?;
        let is_plain = number.length == pitch.len()
            && number.whole > 0
            && !pitch.starts_with('0')
            && !body::looks_like_a_letter_code(pitch);
        return is_plain
            .then(|| number.worth(1, 0).map(Value::Pitch))
            .flatten();
    }
    let number = Figures::at_start(text)?;
    let rest = &text[number.length..];
    if rest.is_empty() {
        return number.worth(1, 0).map(Value::Number);
    }
    if rest.starts_with('x') {
        return body(&number, rest).map(Value::Body);
    }
    let worth = WORTH.get(rest)?;
    let number = number.worth(worth.multiplier, worth.exponent)?;
    Some(match worth.dimension {
        Dimension::Ratio => Value::Tolerance(Tolerance::relative(number)),
        dimension => Value::Quantity(Quantity::new(number, dimension)),
    })
}

/// Two or three sides with a cross between, none of them zero.
fn body(first: &Figures, rest: &str) -> Option<Body> {
    let side = |figures: &Figures| (figures.whole > 0).then(|| figures.worth(1, 0)).flatten();
    let rest = rest.strip_prefix('x')?;
    let second = Figures::at_start(rest)?;
    let rest = &rest[second.length..];
    let (first, second_side) = (side(first)?, side(&second)?);
    if rest.is_empty() {
        return Some(Body::Round {
            diameter: first,
            length: second_side,
        });
    }
    let last = rest.strip_prefix('x')?;
    let third = Figures::at_start(last)?;
    (third.length == last.len()).then_some(Body::Box {
        length: first,
        width: second_side,
        height: side(&third)?,
    })
}

/// The figures a text begins with, without a sign or a power of ten.
struct Figures {
    /// The figures as one whole number, noughts at its end left out.
    whole: u64,
    /// The power of ten it is to be taken with.
    exponent: i32,
    /// How many bytes they take.
    length: usize,
}

impl Figures {
    /// More figures than these are left to the slower way.
    const MOST: usize = 12;

    /// `10`, `4.7`; none where there are none, a point has no figure on either
    /// side of it, or there is a second point.
    fn at_start(text: &str) -> Option<Figures> {
        let bytes = text.as_bytes();
        let (mut whole, mut places, mut length) = (0_u64, 0, 0);
        let mut point = None;
        while let Some(byte) = bytes.get(length) {
            match byte {
                b'0'..=b'9' => {
                    whole = whole * 10 + u64::from(byte - b'0');
                    places += i32::from(point.is_some());
                }
                b'.' if point.is_none() && length > 0 => point = Some(length),
                _ => break,
            }
            length += 1;
            if length > Figures::MOST {
                return None;
            }
        }
        let is_whole = length > 0 && point != Some(length - 1) && bytes.get(length) != Some(&b'.');
        // A letter `e` may begin a power of ten.
        if !is_whole || bytes.get(length) == Some(&b'e') {
            return None;
        }
        let mut figures = Figures {
            whole,
            exponent: -places,
            length,
        };
        figures.strip();
        Some(figures)
    }

    fn strip(&mut self) {
        if self.whole == 0 {
            self.exponent = 0;
            return;
        }
        while self.whole.is_multiple_of(10) {
            self.whole /= 10;
            self.exponent += 1;
        }
    }

    /// The number times `multiplier · 10^exponent`; none where it takes more care.
    fn worth(&self, multiplier: u64, exponent: i32) -> Option<Decimal> {
        let mut scaled = Figures {
            whole: self.whole.checked_mul(multiplier)?,
            exponent: self.exponent + exponent,
            length: self.length,
        };
        scaled.strip();
        let (whole, places) = match u32::try_from(scaled.exponent) {
            Ok(exponent) => (scaled.whole.checked_mul(10_u64.checked_pow(exponent)?)?, 0),
            Err(_) => (scaled.whole, scaled.exponent.unsigned_abs()),
        };
        (places <= Decimal::MAX_SCALE)
            .then(|| i64::try_from(whole).ok())
            .flatten()
            .map(|whole| Decimal::new(whole, places))
    }
}

#[cfg(test)]
mod tests {
    use super::super::read_spelling;
    use super::*;
    use proptest::prelude::*;

    /// Whether what is read quickly is read the same slowly, to the last nought.
    fn agrees(text: &str) -> bool {
        everyday(text).is_none_or(|quick| {
            read_spelling(text).is_ok_and(|slow| format!("{slow:?}") == format!("{quick:?}"))
        })
    }

    #[test]
    fn everyday_spellings_are_read_quickly() {
        for text in [
            "10uF",
            "4.7kohm",
            "20%",
            "5x11",
            "p2.5",
            "300",
            "85°C",
            "24V",
            "0V",
            "0.25W",
            "5000h",
            "6.3x11",
            "7.2x2.5x6.5",
            "47Mohm",
            "2.54mm",
            "100000",
            "0",
        ] {
            assert!(everyday(text).is_some(), "{text}");
            assert!(agrees(text), "{text}");
        }
    }

    #[test]
    fn what_is_written_otherwise_is_left() {
        for text in [
            "", "p", "p0", "p33", "4k7", "1.5e-6", "..", "1..2V", "5x", "0x11", "±5%", "-15V", "x",
            "1.", ".5", "2N3904", "?", "1.2.3", "10u", "5x11x", "100n", "1/4W",
        ] {
            assert_eq!(everyday(text), None, "{text}");
        }
    }

    proptest! {
        #[test]
        fn quick_and_slow_read_the_same(
            text in "p?[0-9]{0,5}(\\.[0-9]{0,4})?(x[0-9]{0,3}(\\.[0-9]{0,2})?){0,3}[a-zA-Zµ°%./~-]{0,4}"
        ) {
            prop_assert!(agrees(&text), "{text}");
        }

        #[test]
        fn every_unit_is_worth_the_same(
            number in "[0-9]{1,13}(\\.[0-9]{1,12})?",
            unit in proptest::sample::select(unit::canonical_spellings().collect::<Vec<String>>()),
        ) {
            let text = format!("{number}{unit}");
            prop_assert!(agrees(&text), "{text}");
        }
    }
}
