//! Money with its ISO 4217 code.

use std::fmt;

use iso_currency::Currency;
use rust_decimal::Decimal;

use super::exact::Exact;

/// An amount of money.
///
/// Only currencies that can be paid in are read: not the codes for metals, tests
/// and funds, and not AWG, which on a bench is a wire gauge.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct Money {
    /// How much, in the major unit.
    pub amount: Decimal,
    /// Of which currency (ISO 4217).
    pub currency: Currency,
}

impl fmt::Display for Money {
    /// The amount with at least the currency's minor digits: `2.10 EUR`, `300 JPY`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let places = usize::from(self.currency.exponent().unwrap_or(0));
        Exact::from(self.amount).write_with_places(f, places)?;
        write!(f, " {}", self.currency.code())
    }
}

/// The currency a code names, if it is one that can be paid in.
///
/// The codes ISO 4217 keeps for metals, tests and funds are not, and
/// [`WIRE_GAUGE`] is left to the caller.
pub(super) fn currency(code: &str) -> Option<Currency> {
    Currency::from_code(code)
        .filter(|currency| !currency.is_special() && !currency.is_fund() && code != WIRE_GAUGE)
}

/// The American wire gauge, which shares its letters with the Aruban florin.
pub(super) const WIRE_GAUGE: &str = "AWG";

/// Whether a word after a number is to be read as a currency, or is the wire gauge.
pub(super) fn is_code(word: &str) -> bool {
    let has_form = word.len() == 3 && word.bytes().all(|byte| byte.is_ascii_uppercase());
    has_form && (word == WIRE_GAUGE || currency(word).is_some())
}

/// The currency a sign stands for where it stands for one only.
pub(super) fn of_sign(sign: char) -> Option<Currency> {
    match sign {
        '€' => Some(Currency::EUR),
        _ => None,
    }
}
