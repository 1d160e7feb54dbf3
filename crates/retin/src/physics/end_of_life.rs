//! When a measured electrolytic counts as worn out.

use super::units::{Farads, Ohms, OutOfValidity, Percent, Quantity};

/// What a measured part has lost.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wear {
    /// Capacitance left, in per cent of nominal.
    pub capacitance_left: Percent,
    /// Series resistance against new, in per cent.
    pub resistance_grown_to: Percent,
    /// Less than 70 % of the capacitance is left.
    pub capacitance_spent: bool,
    /// The series resistance is more than twice that of a new part.
    pub resistance_spent: bool,
}

/// Compares a measured part with a new one: worn out below 70 % of its
/// capacitance or above twice its series resistance.
///
/// Good capacitance alone says little: leakage can read as capacitance.
/// Source: restoration pages, as reported; common practice.
///
/// # Errors
/// Refuses ratios beyond a bench.
pub fn wear(
    nominal: Farads,
    measured: Farads,
    new_resistance: Ohms,
    measured_resistance: Ohms,
) -> Result<Wear, OutOfValidity> {
    let left = 100.0 * measured.get() / nominal.get();
    let grown = 100.0 * measured_resistance.get() / new_resistance.get();
    Ok(Wear {
        capacitance_left: Percent::checked("capacitance left", left)?,
        resistance_grown_to: Percent::checked("series resistance", grown)?,
        capacitance_spent: left < 70.0,
        resistance_spent: grown > 200.0,
    })
}
