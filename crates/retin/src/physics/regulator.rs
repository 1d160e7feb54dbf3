//! Adjustable and fixed three-terminal regulators.

use super::units::{Amps, Ohms, OutOfValidity, Quantity, Volts, Watts};

/// Nominal reference of the LM317, in volts.
const REFERENCE: f64 = 1.25;

/// Output of an LM317-like regulator: `V = 1.25·(1 + R2/R1) + IADJ·R2`.
///
/// R1 stands from output to ADJ, R2 from ADJ to ground. The reference is 1.20 to
/// 1.30 V from part to part. Source: Fairchild KA317, 2013 (published).
///
/// # Errors
/// Refuses R1 outside 10 Ω to 10 kΩ, R2 above 1 MΩ, an adjust current outside 0
/// to 100 µA, and outputs above 40 V.
pub fn adjustable_output(r1: Ohms, r2: Ohms, adjust: Amps) -> Result<Volts, OutOfValidity> {
    let r1 = r1.within("R1", 10.0, 10e3)?.get();
    let r2 = r2.within("R2", 1e-3, 1e6)?.get();
    let adjust = adjust.within("adjust current", 0.0, 100e-6)?.get();
    Volts::checked(
        "regulator output",
        REFERENCE * (1.0 + r2 / r1) + adjust * r2,
    )?
    .within("regulator output", REFERENCE, 40.0)
}

/// R2 for a wished output: `R2 = (V − 1.25)/(1.25/R1 + IADJ)`; inverse of
/// [`adjustable_output`].
///
/// # Errors
/// Refuses an output at or below 1.25 V or above 40 V, and R1 as above.
pub fn r2_for(output: Volts, r1: Ohms, adjust: Amps) -> Result<Ohms, OutOfValidity> {
    let r1 = r1.within("R1", 10.0, 10e3)?.get();
    let adjust = adjust.within("adjust current", 0.0, 100e-6)?.get();
    let output = output.within("regulator output", 1.2501, 40.0)?.get();
    Ohms::checked("R2", (output - REFERENCE) / (REFERENCE / r1 + adjust))
}

/// What is left above output and dropout at the lowest input: negative means
/// that the regulator falls out of regulation in the valleys of the ripple.
///
/// The dropout comes from the sheet: 2 V typical at 1 A for 78xx and 79xx
/// (Fairchild, Contek; published). Magnitudes are meant for negative regulators.
///
/// # Errors
/// Refuses a dropout outside 0 to 10 V.
pub fn headroom(
    lowest_input: Volts,
    output: Volts,
    dropout: Volts,
) -> Result<Volts, OutOfValidity> {
    let input = lowest_input
        .within("lowest input voltage", 0.0, 100.0)?
        .get();
    let output = output.within("output voltage", 0.0, 100.0)?.get();
    let dropout = dropout.within("dropout", 0.0, 10.0)?.get();
    Volts::checked("headroom", input - output - dropout)
}

/// Heat in a series regulator: `P = (Vin − Vout)·I`.
///
/// # Errors
/// Refuses an output above the input and a current below zero.
pub fn dissipation(input: Volts, output: Volts, load: Amps) -> Result<Watts, OutOfValidity> {
    let output = output.not_above("output voltage", "the input voltage", input)?;
    let load = load.within("load current", 0.0, 1e3)?;
    Watts::checked(
        "regulator dissipation",
        (input.get() - output.get()) * load.get(),
    )
}
