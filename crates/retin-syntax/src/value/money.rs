//! Money with its ISO 4217 code.

use std::fmt;

use iso_currency::Currency;
use rust_decimal::Decimal;

use super::exact::Exact;

/// An amount of money.
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
/// The codes ISO 4217 keeps for metals, tests and funds are not.
pub(super) fn currency(code: &str) -> Option<Currency> {
    Currency::from_code(code).filter(|currency| !currency.is_special() && !currency.is_fund())
}

/// Whether a word is the code of a currency that can be paid in.
pub(super) fn is_code(word: &str) -> bool {
    word.len() == 3 && currency(word).is_some()
}

/// The currency a sign stands for where it stands for one only.
pub(super) fn of_sign(sign: char) -> Option<Currency> {
    match sign {
        '€' => Some(Currency::EUR),
        _ => None,
    }
}
