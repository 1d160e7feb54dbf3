//! Current in a board conductor by the IPC-2221 curve fit.

use super::units::{
    Amps, CopperOunces, Kelvins, Millimetres, Ohms, OutOfValidity, Quantity, SquareMils,
};

/// Thickness of one ounce of copper on a square foot, in mils, as the reporters
/// of IPC-2221 take it (35 µm).
const MILS_PER_OUNCE: f64 = 1.378;
/// Millimetres in a mil.
const MILLIMETRES_PER_MIL: f64 = 0.0254;
/// Resistivity of annealed copper at 20 °C in Ω·mm²/mm.
const COPPER_RESISTIVITY: f64 = 1.7241e-5;

/// Where the conductor runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Layer {
    /// On an outer face, in air.
    Outer,
    /// Inside the board.
    Inner,
}

impl Layer {
    /// The k of the curve fit.
    fn factor(self) -> f64 {
        match self {
            Self::Outer => 0.048,
            Self::Inner => 0.024,
        }
    }

    /// Highest current answered, in amperes. The limits of the charts are from
    /// memory: they only ever refuse.
    fn highest_current(self) -> f64 {
        match self {
            Self::Outer => 35.0,
            Self::Inner => 17.5,
        }
    }
}

/// Current that warms a conductor by a given rise: `I = k·ΔT^0.44·A^0.725`,
/// A in mil², k 0.048 outside and 0.024 inside.
///
/// Source: IPC-2221, as reported by two makers' calculator pages; the standard
/// itself was not read.
///
/// # Errors
/// Refuses a rise outside 1 to 100 K, a width outside 0.0001 to 10.16 mm (400 mil),
/// and a current above 35 A outside or 17.5 A inside.
pub fn current(
    width: Millimetres,
    copper: CopperOunces,
    rise: Kelvins,
    layer: Layer,
) -> Result<Amps, OutOfValidity> {
    let area = cross_section(width, copper)?;
    let rise = usual_rise(rise)?;
    Amps::checked(
        "trace current",
        layer.factor() * rise.get().powf(0.44) * area.get().powf(0.725),
    )?
    .within("trace current", 0.0, layer.highest_current())
}

/// Cross-section for a current and a rise: `A = (I/(k·ΔT^0.44))^(1/0.725)`.
///
/// Source and range as [`current`].
///
/// # Errors
/// Refuses a current of zero or less or beyond the charts.
pub fn area(current: Amps, rise: Kelvins, layer: Layer) -> Result<SquareMils, OutOfValidity> {
    let current = current.within("trace current", 1e-3, layer.highest_current())?;
    let rise = usual_rise(rise)?;
    SquareMils::checked(
        "trace cross-section",
        (current.get() / (layer.factor() * rise.get().powf(0.44))).powf(1.0 / 0.725),
    )
}

/// Width for a current and a rise; inverse of [`current`].
///
/// # Errors
/// As [`area`]; also refuses a width beyond 10.16 mm.
pub fn width(
    current: Amps,
    copper: CopperOunces,
    rise: Kelvins,
    layer: Layer,
) -> Result<Millimetres, OutOfValidity> {
    let area = area(current, rise, layer)?;
    let mils = area.get() / (copper.get() * MILS_PER_OUNCE);
    Millimetres::checked("trace width", mils * MILLIMETRES_PER_MIL)?.within(
        "trace width",
        1e-4,
        10.16,
    )
}

/// Resistance of a straight conductor at 20 °C: `R = ρ·l/(w·t)`.
///
/// Source: ρ = 1.7241e-8 Ω·m, annealed copper.
///
/// # Errors
/// Refuses widths as [`current`] does.
pub fn resistance(
    length: Millimetres,
    width: Millimetres,
    copper: CopperOunces,
) -> Result<Ohms, OutOfValidity> {
    let area = cross_section(width, copper)?.get() * MILLIMETRES_PER_MIL * MILLIMETRES_PER_MIL;
    Ohms::checked("trace resistance", COPPER_RESISTIVITY * length.get() / area)
}

/// Cross-section of a conductor from its width and the weight of its copper.
///
/// # Errors
/// Refuses a width outside 0.0001 to 10.16 mm.
pub fn cross_section(
    width: Millimetres,
    copper: CopperOunces,
) -> Result<SquareMils, OutOfValidity> {
    let width = width.within("trace width", 1e-4, 10.16)?;
    SquareMils::checked(
        "trace cross-section",
        width.get() / MILLIMETRES_PER_MIL * copper.get() * MILS_PER_OUNCE,
    )
}

fn usual_rise(rise: Kelvins) -> Result<Kelvins, OutOfValidity> {
    rise.within("temperature rise", 1.0, 100.0)
}
