//! What a value is, and whether it fits an input.

use crate::physics::catalogue::{Alternating, Input, InputKind};
use crate::physics::units::Dimension;
use retin_syntax::value::{self, Decimal, Value, ValueErrorKind, read};

const SECONDS_PER_HOUR: f64 = 3600.0;
const MICROSECONDS_PER_SECOND: f64 = 1e6;
const MONTHS_PER_YEAR: f64 = 12.0;

/// A value as it was said.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Reading {
    /// A value of the trade.
    Value(Value),
    /// A temperature difference in kelvins. `10K` is a resistance as well.
    Kelvins(f64),
    /// A time in years.
    Years(f64),
    /// Copper foil in ounces on a square foot.
    Ounces(f64),
    /// A word that one of the inputs knows.
    Word(&'static str),
}

/// Why a text is no value.
#[derive(Debug)]
pub(super) enum Unread {
    /// It is a word.
    Word,
    /// It sets out to be a value.
    Value(String),
}

impl Unread {
    pub(super) fn in_words(self) -> String {
        match self {
            Self::Word => "this is no value".to_owned(),
            Self::Value(reason) => reason,
        }
    }
}

/// Units of the computations that lines of a job do not have.
const KELVINS: &[&str] = &["K", "kelvin"];
const YEARS: &[&str] = &["years", "year", "y"];
const MONTHS: &[&str] = &["months", "month"];
const OUNCES: &[&str] = &["oz/ft²", "oz/ft2", "oz"];

/// Whether a word that stands after a number and a space is one of those units.
pub(super) fn is_own_unit(word: &str) -> bool {
    [KELVINS, YEARS, MONTHS, OUNCES]
        .iter()
        .any(|units| units.contains(&word))
}

/// Reads one value.
pub(super) fn read_value(text: &str) -> Result<Reading, Unread> {
    let number_before = |units: &[&str]| {
        let digits = units.iter().find_map(|unit| text.strip_suffix(unit))?;
        match read(digits) {
            Ok(Value::Number(number)) => Some(exact(number)),
            _ => None,
        }
    };
    if let Some(years) = number_before(YEARS) {
        return Ok(Reading::Years(years));
    }
    if let Some(months) = number_before(MONTHS) {
        return Ok(Reading::Years(months / MONTHS_PER_YEAR));
    }
    if let Some(ounces) = number_before(OUNCES) {
        return Ok(Reading::Ounces(ounces));
    }
    // `10K` stays a resistance until an input wants kelvins.
    match read(text) {
        Ok(value) => Ok(Reading::Value(value)),
        Err(_) if let Some(kelvins) = number_before(KELVINS) => Ok(Reading::Kelvins(kelvins)),
        Err(error) if error.kind == ValueErrorKind::NotAValue => Err(Unread::Word),
        Err(error) => Err(Unread::Value(error.to_string())),
    }
}

/// The number in the input's base unit, where a value fits the input.
///
/// `rise_is_clear`: no other input of the computation is a temperature or a
/// resistance, so that `10C` and `10K` can only be a rise.
pub(super) fn fitting(
    reading: &Reading,
    text: &str,
    input: &Input,
    rise_is_clear: bool,
) -> Option<f64> {
    let dimension = match input.kind {
        InputKind::Quantity(dimension) => dimension,
        InputKind::Whole => {
            return match reading {
                Reading::Value(Value::Number(number)) => Some(exact(*number)),
                _ => None,
            };
        }
        InputKind::Word(_) => return None,
    };
    match (reading, dimension) {
        (Reading::Kelvins(number), Dimension::TemperatureRise)
        | (Reading::Years(number), Dimension::StorageYears)
        | (Reading::Ounces(number), Dimension::CopperWeight) => Some(*number),
        (Reading::Value(value), _) => {
            fitting_value(value, text, dimension, input.alternating, rise_is_clear)
        }
        _ => None,
    }
}

fn fitting_value(
    value: &Value,
    text: &str,
    dimension: Dimension,
    alternating: Alternating,
    rise_is_clear: bool,
) -> Option<f64> {
    use value::Dimension as Written;
    if let Some(ratio) = value.as_ratio() {
        return match dimension {
            Dimension::Ratio => Some(exact(ratio)),
            Dimension::Percent => ratio.checked_mul(Decimal::ONE_HUNDRED).map(exact),
            _ => None,
        };
    }
    let quantity = match value {
        Value::Number(number) => {
            return (dimension == Dimension::Ratio).then(|| exact(*number));
        }
        Value::Quantity(quantity) => quantity,
        _ => return None,
    };
    let number = exact(quantity.number);
    match (quantity.dimension, dimension) {
        (Written::Capacitance, Dimension::Capacitance)
        | (Written::Resistance, Dimension::Resistance)
        | (Written::Voltage, Dimension::Voltage)
        | (Written::Current, Dimension::Current)
        | (Written::Power, Dimension::Power)
        | (Written::Energy, Dimension::Energy)
        | (Written::Time, Dimension::Time)
        | (Written::Temperature, Dimension::Temperature)
        | (Written::Frequency, Dimension::Frequency)
        | (Written::Length, Dimension::Length)
        | (Written::Level | Written::LevelU, Dimension::Level) => Some(number),
        (Written::AcVoltage, Dimension::Voltage) if alternating != Alternating::Refused => {
            Some(number)
        }
        (Written::Time, Dimension::ServiceHours) => Some(number / SECONDS_PER_HOUR),
        (Written::SlewRate, Dimension::SlewRate) => Some(number * MICROSECONDS_PER_SECOND),
        (Written::Temperature, Dimension::TemperatureRise) if rise_is_clear => Some(number),
        (Written::Resistance, Dimension::TemperatureRise) if rise_is_clear => {
            let digits = text.strip_suffix('K')?;
            match read(digits) {
                Ok(Value::Number(kelvins)) => Some(exact(kelvins)),
                _ => None,
            }
        }
        _ => None,
    }
}

/// Whether a value is an alternating voltage.
pub(super) fn is_alternating(reading: &Reading) -> bool {
    matches!(
        reading,
        Reading::Value(Value::Quantity(quantity))
            if quantity.dimension == value::Dimension::AcVoltage
    )
}

/// What a value is, in words: "a voltage".
pub(super) fn in_words(reading: &Reading) -> &'static str {
    match reading {
        Reading::Value(value) => value.kind_in_words(),
        Reading::Kelvins(_) => "a temperature difference",
        Reading::Years(_) => "a time in years",
        Reading::Ounces(_) => "a copper weight",
        Reading::Word(_) => "a word",
    }
}

/// The nearest binary number; its decimal digits are read anew, since scaling
/// would round twice.
fn exact(number: Decimal) -> f64 {
    number.to_string().parse().unwrap_or(f64::NAN)
}
