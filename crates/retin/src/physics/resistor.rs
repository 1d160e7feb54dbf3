//! Heat in resistors, derating, and dividers.

use super::units::{Amps, Celsius, Ohms, OutOfValidity, Percent, Quantity, Volts, Watts};

/// Heat from the voltage across a resistor: `P = V²/R`. Source: Joule's law.
///
/// # Errors
/// Refuses results beyond a bench.
pub fn dissipation_from_voltage(across: Volts, resistance: Ohms) -> Result<Watts, OutOfValidity> {
    Watts::checked(
        "dissipation",
        across.get() * across.get() / resistance.get(),
    )
}

/// Heat from the current through a resistor: `P = I²R`. Source: Joule's law.
///
/// # Errors
/// Refuses results beyond a bench.
pub fn dissipation_from_current(through: Amps, resistance: Ohms) -> Result<Watts, OutOfValidity> {
    Watts::checked(
        "dissipation",
        through.get() * through.get() * resistance.get(),
    )
}

/// Share of a power rating in use, in per cent.
///
/// # Errors
/// Refuses a rating below 1 mW.
pub fn share_of_rating(dissipation: Watts, rating: Watts) -> Result<Percent, OutOfValidity> {
    let rating = rating.within("power rating", 1e-3, 1e6)?;
    Percent::checked(
        "share of the rating",
        100.0 * dissipation.get() / rating.get(),
    )
}

/// Straight-line derating as resistor sheets draw it: full power up to one
/// temperature, none at a second. Both temperatures come from the part's sheet.
///
/// # Errors
/// Refuses a no-power temperature that is not above the full-power one.
pub fn derated_power(
    rating: Watts,
    full_power_up_to: Celsius,
    no_power_at: Celsius,
    ambient: Celsius,
) -> Result<Watts, OutOfValidity> {
    let no_power = no_power_at.above(
        "no-power temperature",
        "the full-power temperature",
        full_power_up_to,
    )?;
    let share = (no_power.get() - ambient.get()) / (no_power.get() - full_power_up_to.get());
    Watts::checked("derated power", rating.get() * share.clamp(0.0, 1.0))
}

/// Voltage at the tap of an unloaded divider: `V·lower/(upper + lower)`.
///
/// # Errors
/// Refuses results beyond a bench.
pub fn divider(supply: Volts, upper: Ohms, lower: Ohms) -> Result<Volts, OutOfValidity> {
    Volts::checked(
        "tap voltage",
        supply.get() * lower.get() / (upper.get() + lower.get()),
    )
}

/// Current by Ohm's law.
///
/// # Errors
/// Refuses results beyond a bench.
pub fn current(across: Volts, resistance: Ohms) -> Result<Amps, OutOfValidity> {
    Amps::checked("current", across.get() / resistance.get())
}
