//! Values as the trade writes them: quantities, tolerances, sizes, money and dates.
//!
//! [`read`] accepts every spelling a technician uses; printing a [`Value`]
//! gives the one canonical spelling. Reading the print gives the value back,
//! exactly: all arithmetic here is decimal and checked, none is binary.
//!
//! # Canonical spelling
//!
//! | what | rule | examples |
//! | --- | --- | --- |
//! | capacitance | pF below 1 nF, nF below 1 uF, uF below 1 F, else F | `33pF` `470nF` `2200uF` |
//! | resistance | mohm below 0.1 ohm, then ohm, kohm, Mohm, Gohm | `0.47ohm` `4.7kohm` |
//! | inductance | nH, uH, mH, H | `100uH` |
//! | voltage, direct and alternating | uV, mV below 0.1 V, V, kV | `24V` `50mV` `250VAC` |
//! | current | nA, uA, mA, A | `315mA` `2.4A` |
//! | power | uW, mW below 0.1 W, W, kW | `0.25W` |
//! | frequency | Hz, kHz, MHz, GHz | `50Hz` |
//! | time | h from one hour up in hundredths of an hour, min for whole minutes, else s, ms, us, ns | `2000h` `30min` `1.5s` |
//! | length | um below 0.1 mm, mm, m from 1 m | `38mm` |
//! | range | one unit for both ends, the larger end's | `7..36V` |
//! | tolerance | per cent, or the part's own unit | `±20%` `-10/+50%` `±0.25pF` |
//! | share or change, not a tolerance | signed per cent | `+5%` `-12.5%` |
//! | body | millimetres, no unit | `5x11` `7.2x2.5x6.5` |
//! | lead pitch | millimetres after `p` | `p7.5` |
//! | money | at least the currency's minor digits | `2.10 EUR` |
//! | date, time of day | ISO 8601 | `2026-10-02` `09:10` |
//!
//! No trailing zeros otherwise, and `u` for micro, since every keyboard has it.
//! A zero takes the unit without prefix (`0V`, `0F`).

mod bands;
mod body;
mod date;
mod dimension;
mod error;
mod exact;
mod letter_code;
mod marking;
mod money;
mod quantity;
mod read;
mod series;
mod tolerance;
pub mod unit;

use std::fmt;

pub use iso_currency::Currency;
pub use rust_decimal::Decimal;

pub use bands::{BandError, BandStatement, Banded, Colour, read_bands};
pub use body::Body;
pub use date::{Date, TimeOfDay};
pub use dimension::Dimension;
pub use error::{ValueError, ValueErrorKind};
pub use marking::{Marked, MarkingCode, MarkingOf, read_marking};
pub use money::Money;
pub use quantity::Quantity;
pub use read::read;
pub use series::Series;
pub use tolerance::Tolerance;
pub use unit::{UNITS, Unit, is_unit};

/// One value on a line.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Value {
    /// A number with a unit: `10uF`, `-15V`, `85°C`, and a signed percentage (`-12%`).
    Quantity(Quantity),
    /// Two ends of one dimension, low end first: `7..36V`.
    Range {
        /// The lower end.
        low: Quantity,
        /// The upper end, not below `low`.
        high: Quantity,
    },
    /// A bare number; what it counts is for the caller to ask.
    Number(Decimal),
    /// Two bare numbers, low end first: `1977..1981`.
    NumberRange {
        /// The lower end.
        low: Decimal,
        /// The upper end, not below `low`.
        high: Decimal,
    },
    /// How far a part may be off: `±20%`, `20%`, `-10/+50%`, `±0.25pF`.
    Tolerance(Tolerance),
    /// The outline of a part: `5x11`, `7.2x2.5x6.5`.
    Body(Body),
    /// Lead pitch in millimetres, above zero: `p2`, `p7.5`.
    Pitch(Decimal),
    /// An amount of money: `2.10 EUR`.
    Money(Money),
    /// A calendar day: `2026-10-02`.
    Date(Date),
    /// A time of day: `09:10`.
    Time(TimeOfDay),
    /// `?`: there is a value, but it cannot be read off the part or the paper.
    Unreadable,
}

impl Value {
    /// The share of one that a percentage states, signed (`-12%`) or not (`0.5%`).
    ///
    /// An unsigned percentage reads as a [`Tolerance`]; where the place asks for
    /// a share instead (distortion, a price break), this is the same figure.
    #[must_use]
    pub fn as_ratio(&self) -> Option<Decimal> {
        match self {
            Value::Quantity(quantity) if quantity.dimension == Dimension::Ratio => {
                Some(quantity.number)
            }
            Value::Tolerance(Tolerance::Relative { minus, plus }) if minus == plus => Some(*plus),
            _ => None,
        }
    }

    /// What kind of value this is, in words, for messages: "a capacitance", "a date".
    #[must_use]
    pub fn kind_in_words(&self) -> &'static str {
        match self {
            Value::Quantity(quantity) => quantity.dimension.with_article(),
            Value::Range { low, .. } => low.dimension.range_in_words(),
            Value::Number(_) => "a bare number",
            Value::NumberRange { .. } => "a range of bare numbers",
            Value::Tolerance(_) => "a tolerance",
            Value::Body(_) => "a body size",
            Value::Pitch(_) => "a lead pitch",
            Value::Money(_) => "an amount of money",
            Value::Date(_) => "a date",
            Value::Time(_) => "a time of day",
            Value::Unreadable => "an unreadable value",
        }
    }
}

impl fmt::Display for Value {
    /// The canonical spelling; [`read`] gives the same value back.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Value::Quantity(quantity) => quantity.fmt(f),
            Value::Range { low, high } => quantity::write_range(f, low, high),
            Value::Number(number) => exact::Exact::from(*number).fmt(f),
            Value::NumberRange { low, high } => {
                exact::Exact::from(*low).fmt(f)?;
                f.write_str("..")?;
                exact::Exact::from(*high).fmt(f)
            }
            Value::Tolerance(tolerance) => tolerance.fmt(f),
            Value::Body(body) => body.fmt(f),
            Value::Pitch(pitch) => body::write_pitch(f, *pitch),
            Value::Money(money) => money.fmt(f),
            Value::Date(date) => date.fmt(f),
            Value::Time(time) => time.fmt(f),
            Value::Unreadable => f.write_str("?"),
        }
    }
}
