//! Corner frequency of a resistor and a capacitor, and reactance.

use std::f64::consts::PI;

use super::units::{Degrees, Farads, Hertz, Ohms, OutOfValidity, Percent, Quantity, Volts};

/// Corner `f = 1/(2πRC)`. Source: Grob, *Basic Electronics*, chapter 26.
///
/// # Errors
/// Refuses results beyond a bench.
pub fn corner(resistance: Ohms, capacitance: Farads) -> Result<Hertz, OutOfValidity> {
    Hertz::checked(
        "corner frequency",
        1.0 / (2.0 * PI * resistance.get() * capacitance.get()),
    )
}

/// Capacitance for a wished corner with a given resistance.
///
/// # Errors
/// Refuses results beyond a bench.
pub fn capacitance_for(corner: Hertz, resistance: Ohms) -> Result<Farads, OutOfValidity> {
    Farads::checked(
        "capacitance",
        1.0 / (2.0 * PI * resistance.get() * corner.get()),
    )
}

/// Reactance of a capacitor: `X = 1/(2πfC)`.
///
/// # Errors
/// Refuses results beyond a bench.
pub fn reactance(capacitance: Farads, frequency: Hertz) -> Result<Ohms, OutOfValidity> {
    Ohms::checked(
        "reactance",
        1.0 / (2.0 * PI * frequency.get() * capacitance.get()),
    )
}

/// How far a corner or a time constant moves when parts are changed, in per
/// cent of the old corner: `(R·C)old/(R·C)new − 1`.
///
/// # Errors
/// Refuses results beyond a bench.
pub fn corner_shift(old: (Ohms, Farads), new: (Ohms, Farads)) -> Result<Percent, OutOfValidity> {
    let old_corner = corner(old.0, old.1)?;
    let new_corner = corner(new.0, new.1)?;
    Percent::checked(
        "shift of the corner",
        (new_corner.get() / old_corner.get() - 1.0) * 100.0,
    )
}

/// Amplitude and phase after a resistor and a capacitor to ground:
/// `V/√(1 + (f/fc)²)`, `−atan(f/fc)`. No load is taken into account.
///
/// # Errors
/// Refuses a negative input amplitude.
pub fn after_low_pass(
    input: Volts,
    resistance: Ohms,
    capacitance: Farads,
    frequency: Hertz,
) -> Result<(Volts, Degrees), OutOfValidity> {
    let input = input.within("input amplitude", 0.0, 1e7)?;
    let share = frequency.get() / corner(resistance, capacitance)?.get();
    let output = Volts::checked("output amplitude", input.get() / share.hypot(1.0))?;
    let phase = Degrees::checked("phase", -share.atan().to_degrees())?;
    Ok((output, phase))
}
