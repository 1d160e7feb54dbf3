//! How long an aluminium electrolytic may be expected to last.

use super::units::{Amps, Celsius, Hours, Kelvins, OutOfValidity, Quantity, Ratio, Volts};

/// What the maker promises: so many hours at so many degrees.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RatedLife {
    /// Endurance or useful life at the rated temperature.
    pub life: Hours,
    /// Highest category temperature, printed on the sleeve: 85 or 105 °C as a rule.
    pub temperature: Celsius,
}

/// Ripple through the part, and how much it warms itself at its rated ripple.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RippleStress {
    /// Ripple current in use, at the frequency of the rating.
    pub actual: Amps,
    /// Rated ripple current at the rated temperature.
    pub rated: Amps,
    /// Core temperature rise at the rated ripple current.
    pub core_rise: Kelvins,
}

/// Voltage across the part in use and on its sleeve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VoltageStress {
    /// Direct voltage in use, ripple peak included.
    pub actual: Volts,
    /// Rated voltage.
    pub rated: Volts,
}

/// Doubling of life for each 10 K less: `L = L0·2^((T0 − T)/10)`.
///
/// Source: Rubycon technical note 5-1 (published), Illinois Capacitor's
/// calculator page. The note says that the rule drifts below 60 °C and above
/// 105 °C: see [`ten_kelvin_caution`].
///
/// # Errors
/// Refuses a working temperature above the rated one or below −55 °C.
pub fn ten_kelvin(rated: RatedLife, working: Celsius) -> Result<Hours, OutOfValidity> {
    let factor = temperature_factor(rated.temperature, working)?;
    Hours::checked("expected life", rated.life.get() * factor.get())
}

/// The life factor `2^((T0 − T)/10)` alone; see [`ten_kelvin`].
///
/// # Errors
/// Refuses a working temperature above the rated one or below −55 °C.
pub fn temperature_factor(rated: Celsius, working: Celsius) -> Result<Ratio, OutOfValidity> {
    rated.within("rated temperature", 60.0, 175.0)?;
    working.within("working temperature", -55.0, 175.0)?;
    working.not_above("working temperature", "the rated temperature", rated)?;
    Ratio::checked(
        "temperature factor",
        ((rated.get() - working.get()) / 10.0).exp2(),
    )
}

/// Why the rule of ten kelvins is not to be leaned on at this temperature.
///
/// Source: Rubycon technical note 5-1 (published).
#[must_use]
pub fn ten_kelvin_caution(working: Celsius) -> Option<&'static str> {
    if working.get() < 60.0 {
        Some("below 60 °C the rule of ten kelvins drifts; do not count on the longer life")
    } else if working.get() > 105.0 {
        Some("above 105 °C the rule of ten kelvins drifts; do not count on the figure")
    } else {
        None
    }
}

/// Life with temperature, ripple and voltage: `L = L0·KT·KR·KV`.
///
/// Source: Jianghai (Albertsen), as reported. [`ripple_factor`] and
/// [`voltage_factor`] give the parts.
///
/// # Errors
/// Refuses what any of its factors refuses.
pub fn jianghai(
    rated: RatedLife,
    ambient: Celsius,
    ripple: RippleStress,
    voltage: VoltageStress,
) -> Result<Hours, OutOfValidity> {
    let temperature = temperature_factor(rated.temperature, ambient)?;
    let ripple = ripple_factor(rated.temperature, ripple)?;
    let voltage = voltage_factor(voltage)?;
    Hours::checked(
        "expected life",
        rated.life.get() * temperature.get() * ripple.get() * voltage.get(),
    )
}

/// `KR = Ki^(A·ΔT0/10)` with `A = 1 − (IA/IR)²`.
///
/// `Ki` is 2, and 4 for a 105 °C part run above its rated ripple. `ΔT0` is 3.5
/// to 5 K for 105 °C parts and 3.5 to 10 K for 85 °C parts.
/// Source: Jianghai (Albertsen), as reported.
///
/// # Errors
/// Refuses a negative ripple, a rated ripple of zero and a core rise outside
/// the range of the source.
pub fn ripple_factor(
    rated_temperature: Celsius,
    ripple: RippleStress,
) -> Result<Ratio, OutOfValidity> {
    let hot_part = rated_temperature.get() >= 105.0;
    let highest_rise = if hot_part { 5.0 } else { 10.0 };
    let rise = ripple
        .core_rise
        .within("core rise at rated ripple", 3.5, highest_rise)?
        .get();
    let share = ripple_share(ripple)?;
    let base: f64 = if hot_part && share > 1.0 { 4.0 } else { 2.0 };
    Ratio::checked(
        "ripple factor",
        base.powf((1.0 - share * share) * rise / 10.0),
    )
}

/// `KV = (UA/UR)^−2.5` from 0.6 to 1, and 3.59 below 0.6.
///
/// Source: Jianghai (Albertsen), as reported.
///
/// # Errors
/// Refuses a working voltage of zero or less or above the rated voltage.
pub fn voltage_factor(voltage: VoltageStress) -> Result<Ratio, OutOfValidity> {
    let rated = voltage.rated.within("rated voltage", 1.0, 1000.0)?;
    let actual = voltage
        .actual
        .not_above("working voltage", "the rated voltage", rated)?
        .within("working voltage", 1e-3, 1000.0)?;
    let share = actual.get() / rated.get();
    let factor = if share < 0.6 { 3.59 } else { share.powf(-2.5) };
    Ratio::checked("voltage factor", factor)
}

/// Rubycon's form, with the core warmed by ripple:
/// `L = Lb·2^((Tmax − Ta)/10)·2^(ΔTj0/(10 − 0.25ΔTj0) − ΔTj/(10 − 0.25ΔTj))`,
/// `ΔTj = ΔTj0·(I/I0)²`.
///
/// `ΔTj0` is 5 K as a rule, 10 K for USR, USC and USG, 3.5 K for VXP.
/// Source: Rubycon lifetime calculation note (published).
///
/// # Errors
/// Refuses a rise at rated ripple outside 3.5 to 10 K and a ripple that would
/// warm the core by 40 K or more, where the formula turns over.
pub fn rubycon(
    rated: RatedLife,
    ambient: Celsius,
    ripple: RippleStress,
) -> Result<Hours, OutOfValidity> {
    let temperature = temperature_factor(rated.temperature, ambient)?;
    let rated_rise = ripple
        .core_rise
        .within("core rise at rated ripple", 3.5, 10.0)?
        .get();
    let share = ripple_share(ripple)?;
    let rise = Kelvins::checked("core rise", rated_rise * share * share)?
        .within("core rise", 0.0, 39.0)?
        .get();
    let strain = |rise: f64| rise / (10.0 - 0.25 * rise);
    Hours::checked(
        "expected life",
        rated.life.get() * temperature.get() * (strain(rated_rise) - strain(rise)).exp2(),
    )
}

/// Kendeil's form from the case temperature: `L = Lmax·2^((Tmax + 10 − Tc)/10)`.
///
/// Source: Kendeil catalogue (published).
///
/// # Errors
/// Refuses a case more than 10 K above the rated temperature or below −55 °C.
pub fn kendeil(rated: RatedLife, case: Celsius) -> Result<Hours, OutOfValidity> {
    rated.temperature.within("rated temperature", 60.0, 175.0)?;
    let highest = Celsius::checked("case temperature", rated.temperature.get() + 10.0)?;
    case.within("case temperature", -55.0, 185.0)?;
    case.not_above("case temperature", "10 K above the rated one", highest)?;
    Hours::checked(
        "expected life",
        rated.life.get() * ((highest.get() - case.get()) / 10.0).exp2(),
    )
}

fn ripple_share(ripple: RippleStress) -> Result<f64, OutOfValidity> {
    let rated = ripple.rated.within("rated ripple current", 1e-6, 1e3)?;
    let actual = ripple.actual.within("ripple current", 0.0, 1e3)?;
    Ok(actual.get() / rated.get())
}
