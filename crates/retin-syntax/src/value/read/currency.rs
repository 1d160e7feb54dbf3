//! Money, and what follows a number and is nothing known.

use iso_currency::Currency;

use super::plain::Plain;
use super::slips::similar_units;
use super::{canonical_each, whole};
use crate::value::Value;
use crate::value::error::{ValueError, ValueErrorKind as Kind};
use crate::value::exact::{self, Exact};
use crate::value::money::{self, Money};

/// Reads money, or says why what follows the number is nothing known.
pub(super) fn currency_or_unknown<'a>(
    text: &'a str,
    scanned: &exact::Scanned,
    unit: &str,
    touches: bool,
) -> Result<Plain<'a>, ValueError> {
    let unit_error = |kind| ValueError::new(kind, text.len() - unit.len(), text.len());
    let number_text = &text[..scanned.length];
    if unit == money::WIRE_GAUGE {
        return Err(unit_error(Kind::WireGauge));
    }
    if let Some(currency) = money::currency(unit) {
        return amount(scanned.number, currency)
            .map(Plain::Money)
            .map_err(|kind| ValueError::new(kind, 0, scanned.length));
    }
    let bad_currency = |suggestions| {
        unit_error(Kind::BadCurrency {
            currency: unit.to_owned(),
            suggestions,
        })
    };
    if let Some(sign) = currency_sign(unit) {
        return Err(bad_currency(with_currency(
            number_text,
            money::of_sign(sign),
        )));
    }
    let is_word = unit.chars().all(|letter| {
        letter.is_alphabetic() || matches!(letter, '°' | '%' | '~' | '"' | '\u{ba}' | '\u{b5}')
    });
    if !is_word {
        return Err(whole(Kind::NotAValue, text));
    }
    let suggestions = similar_units(number_text, unit);
    let sure_to_be_a_value = !touches || number_text.contains('.');
    if suggestions.is_empty() && sure_to_be_a_value && unit.len() == 3 {
        let upper = unit.to_ascii_uppercase();
        let meant = money::currency(&upper);
        if meant.is_some() || upper == unit {
            return Err(bad_currency(with_currency(number_text, meant)));
        }
    }
    if suggestions.is_empty() && !sure_to_be_a_value {
        return Err(whole(Kind::NotAValue, text));
    }
    Err(unit_error(Kind::UnknownUnit {
        unit: unit.to_owned(),
        suggestions,
    }))
}

fn amount(number: Exact, currency: Currency) -> Result<Money, Kind> {
    let amount = number.to_decimal()?;
    Ok(Money { amount, currency })
}

/// The amount with a code, as a suggestion.
fn with_currency(number: &str, currency: Option<Currency>) -> Vec<String> {
    canonical_each(currency.map(|currency| format!("{number} {}", currency.code())))
}

/// The sign of a currency, where a word is one.
fn currency_sign(word: &str) -> Option<char> {
    const SIGNS: &[char] = &['€', '$', '£', '¥'];
    let mut letters = word.chars();
    let sign = letters.next().filter(|sign| SIGNS.contains(sign))?;
    letters.next().is_none().then_some(sign)
}

/// `€2.10`: a currency by its sign, before the number.
pub(super) fn signed_currency(text: &str) -> Option<Result<Value, ValueError>> {
    let sign = text.chars().next()?;
    let rest = text[sign.len_utf8()..].trim_start();
    currency_sign(&text[..sign.len_utf8()])?;
    let scanned = exact::scan(rest)?.ok()?;
    if scanned.length != rest.len() {
        return None;
    }
    let kind = Kind::BadCurrency {
        currency: sign.to_string(),
        suggestions: with_currency(rest, money::of_sign(sign)),
    };
    Some(Err(ValueError::new(kind, 0, sign.len_utf8())))
}
