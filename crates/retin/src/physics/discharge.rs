//! What a charged capacitor holds and how long it takes to empty.

use super::units::{Coulombs, Farads, Joules, Ohms, OutOfValidity, Quantity, Seconds, Volts};

/// Energy held: `E = ½CV²`. Source: definition; Grob, *Basic Electronics*.
///
/// # Errors
/// Refuses results beyond a bench.
pub fn energy(capacitance: Farads, voltage: Volts) -> Result<Joules, OutOfValidity> {
    Joules::checked(
        "energy",
        0.5 * capacitance.get() * voltage.get() * voltage.get(),
    )
}

/// Charge held: `Q = CV`. Source: definition; Grob, *Basic Electronics*.
///
/// # Errors
/// Refuses a voltage below zero.
pub fn charge(capacitance: Farads, voltage: Volts) -> Result<Coulombs, OutOfValidity> {
    let voltage = voltage.within("voltage", 0.0, 1e7)?;
    Coulombs::checked("charge", capacitance.get() * voltage.get())
}

/// Time constant `τ = RC`.
///
/// # Errors
/// Refuses results beyond a bench.
pub fn time_constant(resistance: Ohms, capacitance: Farads) -> Result<Seconds, OutOfValidity> {
    Seconds::checked("time constant", resistance.get() * capacitance.get())
}

/// Time to fall from one voltage to another through a resistor:
/// `t = RC·ln(V0/V)`. Source: Grob, *Basic Electronics*.
///
/// A real electrolytic regains some voltage after it was emptied; measure again.
///
/// # Errors
/// Refuses a final voltage of zero or less (it is never reached) or above the
/// first one.
pub fn time_to_fall(
    resistance: Ohms,
    capacitance: Farads,
    from: Volts,
    to: Volts,
) -> Result<Seconds, OutOfValidity> {
    let from = from.within("voltage at the start", 1e-6, 1e7)?;
    let to = to.within("voltage at the end", 1e-6, 1e7)?.not_above(
        "voltage at the end",
        "the voltage at the start",
        from,
    )?;
    let constant = time_constant(resistance, capacitance)?;
    Seconds::checked(
        "discharge time",
        constant.get() * (from.get() / to.get()).ln(),
    )
}

/// Voltage left after a time: `V = V0·e^(−t/RC)`.
///
/// # Errors
/// Refuses a first voltage below zero and a time constant of nothing.
pub fn voltage_after(
    resistance: Ohms,
    capacitance: Farads,
    from: Volts,
    time: Seconds,
) -> Result<Volts, OutOfValidity> {
    let from = from.within("voltage at the start", 0.0, 1e7)?;
    let constant = time_constant(resistance, capacitance)?;
    Volts::checked(
        "voltage left",
        from.get() * (-time.get() / constant.get()).exp(),
    )
}

/// Greatest bleeder that empties a capacitor in time:
/// `R = t/(C·ln(V0/V))`, the inverse of [`time_to_fall`].
///
/// # Errors
/// As [`time_to_fall`]; the end voltage has to be below the start.
pub fn bleeder_for(
    capacitance: Farads,
    from: Volts,
    to: Volts,
    within: Seconds,
) -> Result<Ohms, OutOfValidity> {
    let to = to.within("voltage at the end", 1e-6, 1e7)?;
    let from = from.above("voltage at the start", "the voltage at the end", to)?;
    let within = within.within("discharge time", 1e-9, 1e9)?;
    Ohms::checked(
        "bleeder",
        within.get() / (capacitance.get() * (from.get() / to.get()).ln()),
    )
}
