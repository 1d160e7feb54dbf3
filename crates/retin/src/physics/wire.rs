//! Round wire by gauge: size, resistance, voltage drop and melting.

use super::units::{
    Amps, Celsius, CircularMils, Millimetres, Ohms, OutOfValidity, Quantity, Seconds, ValidityRule,
    Volts,
};

const MILLIMETRES_PER_INCH: f64 = 25.4;
/// Resistivity of annealed copper at 20 °C in Ω·mm²/mm.
const COPPER_RESISTIVITY: f64 = 1.7241e-5;

/// An American wire gauge number, 0000 (written 4/0) to 50.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Gauge(i32);

impl Gauge {
    /// A gauge by number; 0 is 1/0, −1 is 2/0, −3 is 4/0.
    ///
    /// # Errors
    /// Refuses numbers outside −3 to 50.
    pub fn new(number: i32) -> Result<Self, OutOfValidity> {
        if (-3..=50).contains(&number) {
            return Ok(Self(number));
        }
        Err(OutOfValidity {
            input: "wire gauge",
            value: f64::from(number),
            unit: "AWG",
            rule: ValidityRule::Between {
                low: -3.0,
                high: 50.0,
            },
        })
    }

    /// The number; zero and below stand for 1/0, 2/0, 3/0 and 4/0.
    #[must_use]
    pub fn number(self) -> i32 {
        self.0
    }
}

/// Diameter of the bare wire: `d = 0.005·92^((36 − n)/39)` inch.
///
/// Source: ASTM B258.
///
/// # Errors
/// None for a gauge that was checked; the constructor is shared.
pub fn diameter(gauge: Gauge) -> Result<Millimetres, OutOfValidity> {
    let inches = 0.005 * 92_f64.powf(f64::from(36 - gauge.0) / 39.0);
    Millimetres::checked("wire diameter", inches * MILLIMETRES_PER_INCH)
}

/// Cross-section in circular mils, the square of the diameter in mils.
///
/// # Errors
/// Refuses a diameter outside 1 µm to 100 mm.
pub fn circular_mils(diameter: Millimetres) -> Result<CircularMils, OutOfValidity> {
    let diameter = usual_diameter(diameter)?;
    let mils = diameter.get() / MILLIMETRES_PER_INCH * 1000.0;
    CircularMils::checked("wire cross-section", mils * mils)
}

/// Resistance of solid copper wire at 20 °C: `R = ρ·l/A`.
///
/// Source: ASTM B258 sizes with ρ = 1.7241e-8 Ω·m, annealed copper.
///
/// # Errors
/// Refuses results beyond a bench.
pub fn resistance(gauge: Gauge, length: Millimetres) -> Result<Ohms, OutOfValidity> {
    resistance_by_diameter(diameter(gauge)?, length)
}

/// Resistance of solid copper wire of a diameter, at 20 °C: `R = ρ·l/A`.
///
/// Source: ρ = 1.7241e-8 Ω·m, annealed copper.
///
/// # Errors
/// Refuses a diameter outside 1 µm to 100 mm, and results beyond a bench.
pub fn resistance_by_diameter(
    diameter: Millimetres,
    length: Millimetres,
) -> Result<Ohms, OutOfValidity> {
    let diameter = usual_diameter(diameter)?.get();
    let area = std::f64::consts::PI * diameter * diameter / 4.0;
    Ohms::checked("wire resistance", COPPER_RESISTIVITY * length.get() / area)
}

/// Voltage lost along one wire, one way: `V = I·R`.
///
/// # Errors
/// Refuses a current below zero.
pub fn voltage_drop(
    gauge: Gauge,
    length: Millimetres,
    current: Amps,
) -> Result<Volts, OutOfValidity> {
    drop_across(resistance(gauge, length)?, current)
}

/// Voltage lost across a resistance: `V = I·R`.
///
/// # Errors
/// Refuses a current below zero.
pub fn drop_across(resistance: Ohms, current: Amps) -> Result<Volts, OutOfValidity> {
    let current = current.within("current", 0.0, 1e5)?;
    Volts::checked("voltage drop", current.get() * resistance.get())
}

/// Current for a single wire in a chassis, where a table entry was read.
///
/// Source: Handbook of Electronic Tables and Formulas, as reported; 16, 24, 26
/// and 30 only. Bundles and sleeving carry less.
#[must_use]
pub fn chassis_current(gauge: Gauge) -> Option<Amps> {
    let amps = match gauge.0 {
        16 => 22.0,
        24 => 3.5,
        26 => 2.2,
        30 => 0.86,
        _ => return None,
    };
    Amps::new(amps).ok()
}

/// Metal of a fuse wire.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FuseMetal {
    /// Copper.
    Copper,
    /// Aluminium.
    Aluminium,
    /// Platinum.
    Platinum,
    /// German silver.
    GermanSilver,
    /// Platinoid.
    Platinoid,
    /// Iron.
    Iron,
    /// Tin.
    Tin,
    /// Tin-lead.
    TinLead,
    /// Lead.
    Lead,
}

impl FuseMetal {
    /// Preece's coefficient, for a diameter in inches.
    ///
    /// Source: Ness Engineering, fuse equations page (published).
    #[must_use]
    pub fn preece_coefficient(self) -> f64 {
        match self {
            Self::Copper => 10_244.0,
            Self::Aluminium => 7_585.0,
            Self::Platinum => 5_172.0,
            Self::GermanSilver => 5_230.0,
            Self::Platinoid => 4_750.0,
            Self::Iron => 3_148.0,
            Self::Tin => 1_642.0,
            Self::TinLead => 1_318.0,
            Self::Lead => 1_379.0,
        }
    }
}

/// Steady current that melts a bare wire in still air: `I = C·d^1.5`, d in inch.
///
/// Source: Preece's law, Ness Engineering (published). A wire is not to be run
/// anywhere near this.
///
/// # Errors
/// Refuses a diameter outside 1 µm to 100 mm.
pub fn preece_current(metal: FuseMetal, diameter: Millimetres) -> Result<Amps, OutOfValidity> {
    let inches = usual_diameter(diameter)?.get() / MILLIMETRES_PER_INCH;
    Amps::checked(
        "melting current",
        metal.preece_coefficient() * inches.powf(1.5),
    )
}

/// Diameter that melts at a steady current; inverse of [`preece_current`].
///
/// # Errors
/// Refuses a current outside 1 mA to 10 kA.
pub fn preece_diameter(metal: FuseMetal, current: Amps) -> Result<Millimetres, OutOfValidity> {
    let current = current.within("melting current", 1e-3, 1e4)?;
    let inches = (current.get() / metal.preece_coefficient()).powf(2.0 / 3.0);
    Millimetres::checked("wire diameter", inches * MILLIMETRES_PER_INCH)
}

/// Current that melts copper within a short time:
/// `I = A·√(log10((Tm − Ta)/(234 + Ta) + 1)/(33·t))`, A in circular mil, Tm 1083 °C.
///
/// Source: Onderdonk, as reported by PCD&F. Takes no heat as lost, so times
/// above 10 s are refused; that limit is chosen here.
///
/// # Errors
/// Refuses times outside 1 ms to 10 s and an ambient outside −55 to 200 °C.
pub fn onderdonk_current(
    section: CircularMils,
    ambient: Celsius,
    time: Seconds,
) -> Result<Amps, OutOfValidity> {
    let ambient = ambient.within("ambient temperature", -55.0, 200.0)?.get();
    let time = time.within("time to melting", 1e-3, 10.0)?.get();
    let heat = ((1083.0 - ambient) / (234.0 + ambient) + 1.0).log10();
    Amps::checked(
        "melting current",
        section.get() * (heat / (33.0 * time)).sqrt(),
    )
}

fn usual_diameter(diameter: Millimetres) -> Result<Millimetres, OutOfValidity> {
    diameter.within("wire diameter", 1e-3, 100.0)
}
