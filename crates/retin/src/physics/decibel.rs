//! Levels in decibels.

use super::units::{Decibels, OutOfValidity, Quantity, Ratio, Volts, Watts};

/// Volts of 0 dBu: one milliwatt into 600 Ω, printed as 0.775 V.
const DBU_REFERENCE: f64 = 0.774_596_669_241_483_4;

/// Voltage gain: `20·log10(Vout/Vin)`. Source: definition.
///
/// # Errors
/// Refuses voltages of zero or less.
pub fn voltage_gain(output: Volts, input: Volts) -> Result<Decibels, OutOfValidity> {
    let output = output.within("output voltage", 1e-12, 1e7)?;
    let input = input.within("input voltage", 1e-12, 1e7)?;
    Decibels::checked("gain", 20.0 * (output.get() / input.get()).log10())
}

/// Power gain: `10·log10(Pout/Pin)`. Source: definition.
///
/// # Errors
/// Refuses powers of zero.
pub fn power_gain(output: Watts, input: Watts) -> Result<Decibels, OutOfValidity> {
    let output = output.within("output power", 1e-15, 1e12)?;
    let input = input.within("input power", 1e-15, 1e12)?;
    Decibels::checked("gain", 10.0 * (output.get() / input.get()).log10())
}

/// Voltage ratio of a level: `10^(dB/20)`.
///
/// # Errors
/// None within ±240 dB; the constructor is shared.
pub fn voltage_ratio(level: Decibels) -> Result<Ratio, OutOfValidity> {
    Ratio::checked("voltage ratio", 10_f64.powf(level.get() / 20.0))
}

/// Power ratio of a level: `10^(dB/10)`.
///
/// # Errors
/// Refuses levels beyond ±120 dB.
pub fn power_ratio(level: Decibels) -> Result<Ratio, OutOfValidity> {
    Ratio::checked("power ratio", 10_f64.powf(level.get() / 10.0))
}

/// Level against 0.775 V: dBu.
///
/// # Errors
/// Refuses voltages of zero or less.
pub fn dbu(effective: Volts) -> Result<Decibels, OutOfValidity> {
    voltage_gain(effective, Volts::new(DBU_REFERENCE)?)
}

/// Voltage of a level in dBu.
///
/// # Errors
/// Refuses levels that leave the range of voltages.
pub fn volts_of_dbu(level: Decibels) -> Result<Volts, OutOfValidity> {
    Volts::checked("voltage", DBU_REFERENCE * voltage_ratio(level)?.get())
}

/// Level against one volt: dBV.
///
/// # Errors
/// Refuses voltages of zero or less.
pub fn dbv(effective: Volts) -> Result<Decibels, OutOfValidity> {
    voltage_gain(effective, Volts::new(1.0)?)
}
