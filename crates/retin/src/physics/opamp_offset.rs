//! Direct voltage at an op-amp's output with no signal.

use super::units::{Amps, Ohms, OutOfValidity, Quantity, Ratio, Volts};

/// What makes the offset: figures from the part's sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InputErrors {
    /// Input bias current.
    pub bias: Amps,
    /// Difference of the two input currents.
    pub offset_current: Amps,
    /// Input offset voltage.
    pub offset_voltage: Volts,
}

/// Worst output offset:
/// `A·(|RB1 − RB2|·Ibias + (RB1 + RB2)·Ioff/2 + Voff)`.
///
/// RB1 and RB2 are the resistances each input sees to ground. The three errors
/// are added without sign, as the worst case. Source: Malvino and Bates,
/// *Electronic Principles*, chapter 18, as reported.
///
/// # Errors
/// Refuses negative figures and gains outside 0.001 to 1 million.
pub fn output_offset(
    gain: Ratio,
    at_plus: Ohms,
    at_minus: Ohms,
    errors: InputErrors,
) -> Result<Volts, OutOfValidity> {
    let gain = gain.within("gain", 1e-3, 1e6)?.get();
    let bias = errors.bias.within("bias current", 0.0, 1.0)?.get();
    let offset_current = errors
        .offset_current
        .within("input offset current", 0.0, 1.0)?
        .get();
    let offset_voltage = errors
        .offset_voltage
        .within("input offset voltage", 0.0, 10.0)?
        .get();
    let from_bias = (at_plus.get() - at_minus.get()).abs() * bias;
    let from_difference = (at_plus.get() + at_minus.get()) * offset_current / 2.0;
    Volts::checked(
        "output offset",
        gain * (from_bias + from_difference + offset_voltage),
    )
}
