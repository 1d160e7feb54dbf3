//! Ripple on a reservoir capacitor and the surge when it is first charged.

use super::units::{Amps, Farads, Hertz, Ohms, OutOfValidity, Percent, Quantity, Volts};

/// How the mains is rectified.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rectifier {
    /// One charge in each mains period.
    HalfWave,
    /// Two charges in each mains period: bridge, or centre tap and two diodes.
    FullWave,
}

impl Rectifier {
    fn charges_per_period(self) -> f64 {
        match self {
            Self::HalfWave => 1.0,
            Self::FullWave => 2.0,
        }
    }
}

/// Ripple, peak to peak: `ΔV = I/(f·C)`, with f the rate of charging.
///
/// Takes the load current as constant and the charging as instant, so it
/// overstates the ripple when that is a large part of the voltage.
/// Source: Malvino and Bates, *Electronic Principles*, chapter 4, as reported.
///
/// # Errors
/// Refuses a load current below zero and a mains frequency outside 1 Hz to 1 MHz.
pub fn ripple(
    load: Amps,
    capacitance: Farads,
    mains: Hertz,
    rectifier: Rectifier,
) -> Result<Volts, OutOfValidity> {
    let load = load.within("load current", 0.0, 1e4)?;
    let mains = mains.within("mains frequency", 1.0, 1e6)?;
    Volts::checked(
        "ripple",
        load.get() / (mains.get() * rectifier.charges_per_period() * capacitance.get()),
    )
}

/// Capacitance that keeps the ripple at a wished voltage; inverse of [`ripple`].
///
/// # Errors
/// Refuses a load current or ripple of zero or less.
pub fn capacitance_for_ripple(
    load: Amps,
    ripple: Volts,
    mains: Hertz,
    rectifier: Rectifier,
) -> Result<Farads, OutOfValidity> {
    let load = load.within("load current", 1e-9, 1e4)?;
    let ripple = ripple.within("ripple", 1e-9, 1e6)?;
    let mains = mains.within("mains frequency", 1.0, 1e6)?;
    Farads::checked(
        "capacitance",
        load.get() / (mains.get() * rectifier.charges_per_period() * ripple.get()),
    )
}

/// Peak of a sine from its effective value: `Vp = √2·V`.
///
/// # Errors
/// Refuses negative voltages.
pub fn peak_of_sine(effective: Volts) -> Result<Volts, OutOfValidity> {
    let effective = effective.within("effective voltage", 0.0, 1e6)?;
    Volts::checked("peak voltage", effective.get() * std::f64::consts::SQRT_2)
}

/// Worst surge on switching on: `I = Vp/R`.
///
/// Assumes that the mains is at its peak, that the reservoir is empty, and that
/// only the stated resistance (winding, wiring, limiter, series resistance of
/// the capacitor) holds the current back. The size of the reservoir does not
/// enter: it sets how long the surge lasts. Source: Ohm's law.
///
/// # Errors
/// Refuses a peak of zero or less.
pub fn worst_inrush(peak: Volts, source_resistance: Ohms) -> Result<Amps, OutOfValidity> {
    let peak = peak.within("peak voltage", 1e-3, 1e6)?;
    Amps::checked("inrush current", peak.get() / source_resistance.get())
}

/// How much more charge a larger reservoir takes at switch-on, in per cent.
///
/// # Errors
/// Refuses ratios beyond a bench.
pub fn reservoir_growth(old: Farads, new: Farads) -> Result<Percent, OutOfValidity> {
    Percent::checked("reservoir growth", (new.get() / old.get() - 1.0) * 100.0)
}
