//! Values as print sets them: `10uF` as 10 µF, with a no-break space between the
//! number and its unit, so that no line ends between them.

use crate::meaning::{FactValue, Window};
use retin_syntax::value::{Money, Quantity, Value};

/// The space between a number and its unit.
pub const NO_BREAK: char = '\u{a0}';

/// A value, as print sets it.
pub fn value(value: &Value) -> String {
    match value {
        Value::Body(body) => format!(
            "{}{NO_BREAK}mm",
            body.to_string().replace('x', "\u{a0}×\u{a0}")
        ),
        Value::Pitch(pitch) => format!("pitch{NO_BREAK}{}{NO_BREAK}mm", pitch.normalize()),
        Value::Money(money) => self::money(*money),
        Value::Quantity(_) | Value::Range { .. } | Value::Tolerance(_) => {
            with_units(&value.to_string())
        }
        Value::NumberRange { .. } => value.to_string().replace("..", " to "),
        Value::Number(_) | Value::Date(_) | Value::Time(_) | Value::Unreadable => value.to_string(),
    }
}

/// A quantity, as print sets it.
pub fn quantity(quantity: Quantity) -> String {
    value(&Value::Quantity(quantity))
}

/// An amount of money, as print sets it.
pub fn money(money: Money) -> String {
    money.to_string().replace(' ', "\u{a0}")
}

/// Limits, as print sets them: 23.5 to 24.5 V, above 200 Ω.
pub fn window(window: &Window) -> String {
    match (window.low, window.high) {
        (Some(low), Some(high)) if low == high => quantity(low),
        (Some(low), Some(high)) => value(&Value::Range { low, high }),
        (Some(low), None) => format!("above {}", quantity(low)),
        (None, Some(high)) => format!("below {}", quantity(high)),
        (None, None) => String::new(),
    }
}

/// A fact that stands for itself: a value, a name or a reserved word.
pub fn fact(fact: &FactValue<'_>) -> Option<String> {
    match fact {
        FactValue::Value(one) => Some(value(one)),
        _ => fact.in_words(),
    }
}

/// Sets a space before each unit, and the units in their own signs.
fn with_units(written: &str) -> String {
    let mut set = String::with_capacity(written.len() + 4);
    for (index, end) in written.split("..").enumerate() {
        if index > 0 {
            set.push_str(" to ");
        }
        let unit = end.rfind(|sign: char| sign.is_ascii_digit());
        let (number, unit) = end.split_at(unit.map_or(0, |last| last + 1));
        set.push_str(number);
        if !unit.is_empty() {
            set.push(NO_BREAK);
            set.push_str(&sign_of(unit));
        }
    }
    set
}

/// A unit of the language in its own signs: `kohm` is kΩ.
fn sign_of(unit: &str) -> String {
    let unit = unit.replace("ohm", "Ω").replace("VAC", "V\u{a0}AC");
    let unit = unit.replace("/us", "/µs");
    match unit.strip_prefix('u') {
        Some(rest) => format!("µ{rest}"),
        None => unit,
    }
}

#[cfg(test)]
mod tests {
    use super::value;
    use retin_syntax::value::read;

    #[test]
    fn values_are_set_with_their_units() {
        for (written, set) in [
            ("10uF", "10 µF"),
            ("4k7", "4.7 kΩ"),
            ("0R47", "0.47 Ω"),
            ("250VAC", "250 V AC"),
            ("13V/us", "13 V/µs"),
            ("105C", "105 °C"),
            ("-28..-20V", "-28 to -20 V"),
            ("±20%", "±20 %"),
            ("-10/+50%", "-10/+50 %"),
            ("±0.25pF", "±0.25 pF"),
            ("6.3x11", "6.3 × 11 mm"),
            ("7.2x2.5x6.5", "7.2 × 2.5 × 6.5 mm"),
            ("p2.5", "pitch 2.5 mm"),
            ("2.1 EUR", "2.10 EUR"),
            ("1977..1981", "1977 to 1981"),
            ("2000h", "2000 h"),
            ("?", "?"),
        ] {
            let read = read(written).unwrap();
            assert_eq!(value(&read).replace('\u{a0}', " "), set, "{written}");
        }
    }
}
