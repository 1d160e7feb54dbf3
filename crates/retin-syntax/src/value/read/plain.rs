//! A number alone, or with its unit.

use rust_decimal::Decimal;

use super::currency::currency_or_unknown;
use super::{canonical_each, slips, whole};
use crate::value::dimension::Dimension;
use crate::value::error::{ValueError, ValueErrorKind as Kind};
use crate::value::letter_code::{self, Place};
use crate::value::money::Money;
use crate::value::quantity::{self, Quantity};
use crate::value::tolerance::Tolerance;
use crate::value::unit::{self, Spelled};
use crate::value::{Value, exact};

/// A number alone, or with what it counts.
pub(super) enum Plain<'a> {
    Number(Decimal),
    Quantity {
        quantity: Quantity,
        /// The unit as written; empty in a letter code.
        unit: &'a str,
        signed: bool,
    },
    Money(Money),
}

impl Plain<'_> {
    pub(super) fn into_value(self) -> Value {
        match self {
            Plain::Number(number) => Value::Number(number),
            Plain::Quantity {
                quantity,
                signed: false,
                ..
            } if quantity.dimension == Dimension::Ratio => {
                Value::Tolerance(Tolerance::relative(quantity.number))
            }
            Plain::Quantity { quantity, .. } => Value::Quantity(quantity),
            Plain::Money(money) => Value::Money(money),
        }
    }
}

/// Reads a number with its unit, a letter code, an amount of money or a bare number.
pub(super) fn plain(text: &str) -> Result<Plain<'_>, ValueError> {
    if let Some(read) = letter_code::read(text, Place::Line) {
        return read
            .map(|quantity| Plain::Quantity {
                quantity,
                unit: "",
                signed: false,
            })
            .map_err(|kind| whole(kind, text));
    }
    let scanned = match exact::scan(text) {
        None => return Err(whole(Kind::NotAValue, text)),
        Some(Err((kind, length))) => return Err(ValueError::new(kind, 0, length)),
        Some(Ok(scanned)) => scanned,
    };
    let rest = &text[scanned.length..];
    let unit = rest.trim_start();
    let unit_at = text.len() - unit.len();
    let touches = unit.len() == rest.len();
    let number_error = |kind| ValueError::new(kind, 0, scanned.length);
    let unit_error = |kind| ValueError::new(kind, unit_at, text.len());
    if unit.is_empty() {
        return scanned
            .number
            .to_decimal()
            .map(Plain::Number)
            .map_err(number_error);
    }
    let quantity = |quantity: Quantity| Plain::Quantity {
        quantity,
        unit,
        signed: scanned.signed,
    };
    if touches {
        if let Some(error) = slips::decimal_comma(text, rest) {
            return Err(error);
        }
        if let Some(read) = fraction(&scanned, text, rest) {
            return read.map(quantity);
        }
        if let Some(error) = slips::e_for_ohm(text) {
            return Err(error);
        }
        if let Some(read) = letter_code::suffix(scanned.number, rest) {
            return read.map(quantity).map_err(number_error);
        }
    }
    let number_text = &text[..scanned.length];
    match unit::find(unit, touches) {
        Some(Spelled::Known {
            unit: known,
            prefix_exponent,
        }) => {
            let made =
                quantity::of_unit(scanned.number, known, prefix_exponent).map_err(number_error)?;
            if unit == "C" && !is_plausible_temperature(made) {
                return Err(whole(Kind::NotAValue, text));
            }
            Ok(quantity(made))
        }
        Some(Spelled::Asked(asked)) => {
            let suggestions = canonical_each(
                asked
                    .meanings
                    .iter()
                    .map(|meaning| format!("{number_text}{meaning}")),
            );
            Err(unit_error(Kind::OldSpelling { suggestions }))
        }
        Some(Spelled::WrongPrefix {
            unit: known,
            prefix,
        }) => Err(unit_error(slips::wrong_prefix(
            number_text,
            known,
            prefix.symbol,
        ))),
        None => currency_or_unknown(text, &scanned, unit, touches),
    }
}

/// A bare `C` after a number is a temperature only where parts live: `741C` is a chip.
fn is_plausible_temperature(quantity: Quantity) -> bool {
    quantity.number >= Decimal::from(-100) && quantity.number <= Decimal::from(275)
}

/// `1/4W`: a fraction in a unit where fractions are usual.
///
/// `None` when what follows the number is no fraction with a unit.
fn fraction(
    numerator: &exact::Scanned,
    text: &str,
    rest: &str,
) -> Option<Result<Quantity, ValueError>> {
    let below = rest.strip_prefix('/')?;
    let digits = below.bytes().take_while(u8::is_ascii_digit).count();
    let unit_text = below[digits..].trim_start();
    let touches = unit_text.len() == below.len() - digits;
    if digits == 0 {
        return None;
    }
    let Some(Spelled::Known {
        unit,
        prefix_exponent,
    }) = unit::find(unit_text, touches)
    else {
        return None;
    };
    let read = || {
        let above: u32 = text[..numerator.length]
            .parse()
            .map_err(|_| Kind::Fraction)?;
        let divisor: u32 = below[..digits].parse().map_err(|_| Kind::Fraction)?;
        let usual = matches!(
            unit.dimension,
            Dimension::Power | Dimension::Current | Dimension::Length
        );
        if !usual || above == 0 || above >= divisor {
            return Err(Kind::Fraction);
        }
        let number = numerator.number.divided(divisor)?;
        quantity::of_unit(number, unit, prefix_exponent)
    };
    Some(read().map_err(|kind| whole(kind, text)))
}
