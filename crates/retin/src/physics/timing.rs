//! Timing of the 555 and of resistors with capacitors.

use std::f64::consts::LN_2;

use super::units::{Farads, Hertz, Ohms, OutOfValidity, Percent, Quantity, Seconds, Volts};

/// What a free-running 555 does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Astable {
    /// Time the output stays high in each period.
    pub high: Seconds,
    /// Time the output stays low in each period.
    pub low: Seconds,
    /// Rate of repetition.
    pub frequency: Hertz,
    /// Share of the period with the output high.
    pub duty: Percent,
}

/// Free-running 555: `tH = ln2·(RA + RB)·C`, `tL = ln2·RB·C`.
///
/// Source: TI NE555 data sheet, which prints 0.693 for ln 2 and 1.44 for 1/ln 2
/// (published). Saturation and leakage of the part are left out.
///
/// # Errors
/// Refuses resistors below 1 Ω or above 1 GΩ and results beyond a bench.
pub fn astable(ra: Ohms, rb: Ohms, capacitance: Farads) -> Result<Astable, OutOfValidity> {
    let ra = ra.within("RA", 1.0, 1e9)?.get();
    let rb = rb.within("RB", 1.0, 1e9)?.get();
    let high = LN_2 * (ra + rb) * capacitance.get();
    let low = LN_2 * rb * capacitance.get();
    Ok(Astable {
        high: Seconds::checked("high time", high)?,
        low: Seconds::checked("low time", low)?,
        frequency: Hertz::checked("frequency", 1.0 / (high + low))?,
        duty: Percent::checked("duty", 100.0 * high / (high + low))?,
    })
}

/// Pulse of a triggered 555: `t = 1.1·RA·C`. Source: TI NE555 data sheet.
///
/// # Errors
/// Refuses resistors below 1 Ω or above 1 GΩ and results beyond a bench.
pub fn monostable(ra: Ohms, capacitance: Farads) -> Result<Seconds, OutOfValidity> {
    let ra = ra.within("RA", 1.0, 1e9)?;
    Seconds::checked("pulse", 1.1 * ra.get() * capacitance.get())
}

/// Passes a supply voltage that an NE555 is specified for: 4.5 to 16 V.
///
/// Source: TI NE555 data sheet (published).
///
/// # Errors
/// Refuses any other voltage.
pub fn supply_of_555(supply: Volts) -> Result<Volts, OutOfValidity> {
    supply.within("supply of the NE555", 4.5, 16.0)
}

/// How much longer a time set by R and C becomes when parts change, in per cent.
///
/// # Errors
/// Refuses results beyond a bench.
pub fn timing_shift(old: (Ohms, Farads), new: (Ohms, Farads)) -> Result<Percent, OutOfValidity> {
    let old = old.0.get() * old.1.get();
    let new = new.0.get() * new.1.get();
    Percent::checked("shift of the time", (new / old - 1.0) * 100.0)
}
