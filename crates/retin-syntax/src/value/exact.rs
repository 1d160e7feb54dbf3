//! Exact decimal numbers on the way in and out: digits and a power of ten.

use std::fmt;

use rust_decimal::Decimal;

use super::error::ValueErrorKind;

/// The largest whole number a [`Decimal`] holds.
const LARGEST: u128 = (1 << 96) - 1;
/// The most places after the point a [`Decimal`] holds.
const MOST_PLACES: i32 = 28;

/// `mantissa · 10^exponent`, with a sign.
///
/// The mantissa has no trailing zeros, so a shift by a power of ten never costs
/// a digit; a zero has exponent 0 and no sign.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Exact {
    negative: bool,
    mantissa: u128,
    exponent: i32,
}

impl Exact {
    /// Puts the parts into their one normal form.
    pub(super) fn new(negative: bool, mut mantissa: u128, mut exponent: i32) -> Self {
        if mantissa == 0 {
            return Exact {
                negative: false,
                mantissa: 0,
                exponent: 0,
            };
        }
        while mantissa.is_multiple_of(10) {
            mantissa /= 10;
            exponent = exponent.saturating_add(1);
        }
        Exact {
            negative,
            mantissa,
            exponent,
        }
    }

    /// The number times `multiplier · 10^exponent`.
    ///
    /// # Errors
    /// `TooManyDigits` when the digits outgrow what is kept exactly.
    pub(super) fn scaled(self, multiplier: u32, exponent: i32) -> Result<Self, ValueErrorKind> {
        let mantissa = self
            .mantissa
            .checked_mul(u128::from(multiplier))
            .ok_or(ValueErrorKind::TooManyDigits)?;
        Ok(Exact::new(
            self.negative,
            mantissa,
            self.exponent.saturating_add(exponent),
        ))
    }

    /// The number divided by `divisor`.
    ///
    /// # Errors
    /// `NotExact` when the quotient has no end, or more than a few places more.
    pub(super) fn divided(self, divisor: u32) -> Result<Self, ValueErrorKind> {
        /// Enough for every fraction of an inch in use: 1/64 has six places.
        const PLACES: u32 = 6;
        let widened = self
            .mantissa
            .checked_mul(10_u128.pow(PLACES))
            .ok_or(ValueErrorKind::TooManyDigits)?;
        let divisor = u128::from(divisor);
        if divisor == 0 || !widened.is_multiple_of(divisor) {
            return Err(ValueErrorKind::NotExact);
        }
        Ok(Exact::new(
            self.negative,
            widened / divisor,
            self.exponent.saturating_sub(PLACES as i32),
        ))
    }

    /// The same number as a [`Decimal`], exactly.
    ///
    /// # Errors
    /// `OutOfRange` when it is too large or too small to be held, and
    /// `TooManyDigits` when it has more digits than are kept.
    pub(super) fn to_decimal(self) -> Result<Decimal, ValueErrorKind> {
        if self.mantissa > LARGEST {
            return Err(ValueErrorKind::TooManyDigits);
        }
        let (whole, places) = if self.exponent >= 0 {
            let factor = 10_u128
                .checked_pow(self.exponent.unsigned_abs())
                .ok_or(ValueErrorKind::OutOfRange)?;
            let whole = self
                .mantissa
                .checked_mul(factor)
                .filter(|whole| *whole <= LARGEST)
                .ok_or(ValueErrorKind::OutOfRange)?;
            (whole, 0)
        } else if self.exponent >= -MOST_PLACES {
            (self.mantissa, self.exponent.unsigned_abs())
        } else {
            return Err(ValueErrorKind::OutOfRange);
        };
        let signed = i128::try_from(whole).map_err(|_| ValueErrorKind::OutOfRange)?;
        let signed = if self.negative { -signed } else { signed };
        Decimal::try_from_i128_with_scale(signed, places).map_err(|_| ValueErrorKind::OutOfRange)
    }

    /// The power of ten of the first figure: 2 for 470, -1 for 0.47.
    pub(super) fn leading_power(self) -> i32 {
        let figures = self.mantissa.checked_ilog10().unwrap_or(0);
        i32::try_from(figures).map_or(self.exponent, |figures| self.exponent + figures)
    }

    /// Whether the number is a whole multiple of `divisor`.
    pub(super) fn is_multiple_of(self, divisor: u32) -> bool {
        u32::try_from(self.exponent)
            .ok()
            .and_then(|exponent| 10_u128.checked_pow(exponent))
            .and_then(|factor| self.mantissa.checked_mul(factor))
            .is_some_and(|whole| whole.is_multiple_of(u128::from(divisor)))
    }

    /// Writes the number with at least `places` digits after the point.
    pub(super) fn write_with_places(
        self,
        f: &mut fmt::Formatter<'_>,
        places: usize,
    ) -> fmt::Result {
        let mut digits = self.mantissa.to_string();
        let mut after_point = 0;
        if self.exponent >= 0 {
            digits.extend(std::iter::repeat_n(
                '0',
                self.exponent.unsigned_abs() as usize,
            ));
        } else {
            after_point = self.exponent.unsigned_abs() as usize;
        }
        if after_point < places {
            digits.extend(std::iter::repeat_n('0', places - after_point));
            after_point = places;
        }
        if digits.len() <= after_point {
            let missing = after_point + 1 - digits.len();
            digits.insert_str(0, &"0".repeat(missing));
        }
        let (whole, fraction) = digits.split_at(digits.len() - after_point);
        if self.negative {
            f.write_str("-")?;
        }
        f.write_str(whole)?;
        if !fraction.is_empty() {
            write!(f, ".{fraction}")?;
        }
        Ok(())
    }
}

impl From<Decimal> for Exact {
    fn from(number: Decimal) -> Self {
        let places = i32::try_from(number.scale()).unwrap_or(MOST_PLACES);
        Exact::new(
            number.mantissa() < 0,
            number.mantissa().unsigned_abs(),
            -places,
        )
    }
}

impl fmt::Display for Exact {
    /// Plain digits, no trailing zeros: `0.47`, `-12000`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.write_with_places(f, 0)
    }
}

/// A number at the start of a text, and how many bytes it takes.
pub(super) struct Scanned {
    pub(super) number: Exact,
    pub(super) length: usize,
    /// Whether a sign is written, and whether it is minus; `-0` keeps its sign here.
    pub(super) signed: bool,
    pub(super) negative: bool,
}

/// The bytes a sign takes at the start of a text, and whether it is minus.
pub(super) fn sign(text: &str) -> Option<(usize, bool)> {
    match text.chars().next()? {
        '+' => Some((1, false)),
        '-' => Some((1, true)),
        minus @ '\u{2212}' => Some((minus.len_utf8(), true)),
        _ => None,
    }
}

/// Reads the number a text begins with: `10`, `-0.47`, `.01`, `1.5e-6`.
///
/// `None` when it does not begin with one.
///
/// # Errors
/// `TooManyDigits` or `OutOfRange`, with the bytes the number takes.
pub(super) fn scan(text: &str) -> Option<Result<Scanned, (ValueErrorKind, usize)>> {
    let (sign_length, negative) = sign(text).unwrap_or((0, false));
    let bytes = text.as_bytes();
    let mut at = sign_length;
    let mut mantissa: Option<u128> = Some(0);
    let mut zeros_held: u32 = 0;
    let mut places: i64 = 0;
    let mut digits = 0_usize;
    let mut after_point = false;
    while let Some(byte) = bytes.get(at) {
        match byte {
            b'0'..=b'9' => {
                digits += 1;
                places += i64::from(after_point);
                if *byte == b'0' {
                    zeros_held = zeros_held.saturating_add(1);
                } else {
                    mantissa = mantissa.and_then(|so_far| {
                        let shifted = if so_far == 0 {
                            0
                        } else {
                            so_far
                                .checked_mul(10_u128.checked_pow(zeros_held.saturating_add(1))?)?
                        };
                        shifted.checked_add(u128::from(byte - b'0'))
                    });
                    zeros_held = 0;
                }
            }
            b'.' if !after_point && bytes.get(at + 1).is_some_and(u8::is_ascii_digit) => {
                after_point = true;
            }
            _ => break,
        }
        at += 1;
    }
    if digits == 0 {
        return None;
    }
    let mut exponent = i64::from(zeros_held) - places;
    if let Some((power, length)) = power_of_ten(&text[at..]) {
        exponent = exponent.saturating_add(power);
        at += length;
    }
    let Some(mantissa) = mantissa else {
        return Some(Err((ValueErrorKind::TooManyDigits, at)));
    };
    let exponent = if mantissa == 0 { 0 } else { exponent };
    let Ok(exponent) = i32::try_from(exponent) else {
        return Some(Err((ValueErrorKind::OutOfRange, at)));
    };
    Some(Ok(Scanned {
        number: Exact::new(negative, mantissa, exponent),
        length: at,
        signed: sign_length > 0,
        negative,
    }))
}

/// The power of ten in `e-6`, and the bytes it takes.
fn power_of_ten(text: &str) -> Option<(i64, usize)> {
    let rest = text.strip_prefix('e')?;
    let (sign_length, negative) = sign(rest).unwrap_or((0, false));
    let digits = rest[sign_length..]
        .bytes()
        .take_while(u8::is_ascii_digit)
        .count();
    if digits == 0 {
        return None;
    }
    let length = 1 + sign_length + digits;
    let power = rest[sign_length..sign_length + digits]
        .parse::<i64>()
        .unwrap_or(i64::MAX / 2);
    Some((if negative { -power } else { power }, length))
}
