//! Loss factor (tan δ) and equivalent series resistance of electrolytics.

use std::f64::consts::PI;

use super::units::{Farads, Hertz, Ohms, OutOfValidity, Quantity, Ratio, ValidityRule, Volts};

/// `ESR = tan δ/(2πfC)`.
///
/// Source: definition of the loss factor, reported by the technical notes of
/// capacitor makers. Valid at the one frequency the loss factor was measured at.
///
/// # Errors
/// Refuses a loss factor outside 0.00001 to 100 and results beyond a bench.
pub fn series_resistance(
    loss: Ratio,
    capacitance: Farads,
    frequency: Hertz,
) -> Result<Ohms, OutOfValidity> {
    let loss = loss.within("loss factor", 1e-5, 100.0)?;
    Ohms::checked(
        "series resistance",
        loss.get() / (2.0 * PI * frequency.get() * capacitance.get()),
    )
}

/// `tan δ = 2πfC·ESR`, the inverse of [`series_resistance`].
///
/// # Errors
/// Refuses results beyond a bench.
pub fn loss_factor(
    series_resistance: Ohms,
    capacitance: Farads,
    frequency: Hertz,
) -> Result<Ratio, OutOfValidity> {
    Ratio::checked(
        "loss factor",
        2.0 * PI * frequency.get() * capacitance.get() * series_resistance.get(),
    )
}

/// A published table of greatest loss factors by rated voltage.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LossSeries {
    /// Lelon RGA at 120 Hz and 20 °C (published).
    LelonRga,
    /// Keltron radial at 100 Hz and 27 °C (published).
    KeltronRadial,
}

impl LossSeries {
    /// Every table known.
    pub const ALL: [Self; 2] = [Self::LelonRga, Self::KeltronRadial];

    /// Name to choose the table by.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::LelonRga => "lelon-rga",
            Self::KeltronRadial => "keltron-radial",
        }
    }

    /// Frequency the table is stated at.
    ///
    /// # Errors
    /// None for the known tables; the constructor is shared.
    pub fn frequency(self) -> Result<Hertz, OutOfValidity> {
        Hertz::new(match self {
            Self::LelonRga => 120.0,
            Self::KeltronRadial => 100.0,
        })
    }

    /// Rated volts and greatest loss factor, both as printed.
    fn table(self) -> (&'static [(f64, f64)], &'static str) {
        match self {
            Self::LelonRga => (
                &[
                    (6.3, 0.23),
                    (10.0, 0.20),
                    (16.0, 0.16),
                    (25.0, 0.14),
                    (35.0, 0.12),
                    (50.0, 0.10),
                    (63.0, 0.09),
                    (100.0, 0.08),
                    (160.0, 0.12),
                    (200.0, 0.14),
                    (250.0, 0.17),
                    (350.0, 0.20),
                    (400.0, 0.25),
                    (450.0, 0.25),
                ],
                "6.3, 10, 16, 25, 35, 50, 63, 100, 160, 200, 250, 350, 400 and 450 V",
            ),
            Self::KeltronRadial => (
                &[
                    (6.3, 0.20),
                    (10.0, 0.16),
                    (16.0, 0.14),
                    (25.0, 0.12),
                    (35.0, 0.11),
                    (50.0, 0.10),
                    (63.0, 0.09),
                    (100.0, 0.08),
                    (160.0, 0.11),
                    (250.0, 0.11),
                    (350.0, 0.14),
                    (400.0, 0.13),
                    (450.0, 0.12),
                ],
                "6.3, 10, 16, 25, 35, 50, 63, 100, 160, 250, 350, 400 and 450 V",
            ),
        }
    }
}

/// Greatest loss factor of a new part by the table of a series.
///
/// Both tables add 0.02 for each 1000 µF above 1000 µF; whole thousands are
/// counted, which is the stricter reading.
/// Source: Lelon RGA and Keltron radial data sheets (published).
///
/// # Errors
/// Refuses a rated voltage the table has no column for, and more than 1 F.
pub fn loss_limit(
    series: LossSeries,
    rated: Volts,
    capacitance: Farads,
) -> Result<Ratio, OutOfValidity> {
    let capacitance = capacitance.within("capacitance", 1e-8, 1.0)?;
    let (table, list) = series.table();
    let column = table
        .iter()
        .find(|(volts, _)| (volts - rated.get()).abs() < 1e-9)
        .ok_or(OutOfValidity {
            input: "rated voltage",
            value: rated.get(),
            unit: "V",
            rule: ValidityRule::Listed { list },
        })?;
    // A microfarad count that is a hair under a whole thousand is that thousand.
    let thousands = (capacitance.get() * 1e3 - 1.0 + 1e-9).floor().max(0.0);
    Ratio::checked("loss factor", column.1 + 0.02 * thousands)
}

/// Greatest series resistance of a new part by the table of a series, at the
/// frequency of that table.
///
/// # Errors
/// As [`loss_limit`].
pub fn series_resistance_limit(
    series: LossSeries,
    rated: Volts,
    capacitance: Farads,
) -> Result<Ohms, OutOfValidity> {
    series_resistance(
        loss_limit(series, rated, capacitance)?,
        capacitance,
        series.frequency()?,
    )
}
