//! How fast an amplifier's output can move.

use std::f64::consts::PI;

use super::units::{Hertz, OutOfValidity, Quantity, Seconds, Volts, VoltsPerSecond};

/// Highest sine of a given peak without slewing: `f = SR/(2π·Vp)`.
///
/// Source: definition of full-power bandwidth; Malvino and Bates.
///
/// # Errors
/// Refuses a peak outside 1 mV to 1 kV.
pub fn full_power_frequency(slew: VoltsPerSecond, peak: Volts) -> Result<Hertz, OutOfValidity> {
    let peak = usual_peak(peak)?;
    Hertz::checked("full-power frequency", slew.get() / (2.0 * PI * peak.get()))
}

/// Slew rate a sine needs: `SR = 2π·f·Vp`; inverse of [`full_power_frequency`].
///
/// # Errors
/// Refuses a peak outside 1 mV to 1 kV.
pub fn slew_needed(frequency: Hertz, peak: Volts) -> Result<VoltsPerSecond, OutOfValidity> {
    let peak = usual_peak(peak)?;
    VoltsPerSecond::checked("slew rate", 2.0 * PI * frequency.get() * peak.get())
}

/// Slew rate from a measured step: `ΔV/Δt`.
///
/// # Errors
/// Refuses a time of zero.
pub fn slew_of_step(step: Volts, time: Seconds) -> Result<VoltsPerSecond, OutOfValidity> {
    let time = time.within("time of the step", 1e-12, 1e6)?;
    VoltsPerSecond::checked("slew rate", step.get().abs() / time.get())
}

fn usual_peak(peak: Volts) -> Result<Volts, OutOfValidity> {
    peak.within("peak voltage", 1e-3, 1e3)
}
