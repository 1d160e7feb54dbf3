//! A number with a unit, and how it is printed.

use std::cmp::Ordering;
use std::fmt;

use rust_decimal::Decimal;

use super::dimension::Dimension;
use super::exact::Exact;
use super::unit::{self, Spelled, Unit};

/// A number with a unit, exact.
///
/// Two quantities compare only within one dimension.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct Quantity {
    /// How much, in the base unit of the dimension (see [`Dimension`]).
    pub number: Decimal,
    /// What is measured.
    pub dimension: Dimension,
}

impl Quantity {
    /// A quantity of `number` base units.
    #[must_use]
    pub const fn new(number: Decimal, dimension: Dimension) -> Self {
        Quantity { number, dimension }
    }

    /// The sum; `None` across dimensions or when it outgrows what is kept exactly.
    #[must_use]
    pub fn checked_add(self, other: Quantity) -> Option<Quantity> {
        let number = self.number.checked_add(other.number)?;
        (self.dimension == other.dimension).then_some(Quantity::new(number, self.dimension))
    }

    /// The difference; `None` across dimensions or when it outgrows what is kept exactly.
    #[must_use]
    pub fn checked_sub(self, other: Quantity) -> Option<Quantity> {
        let number = self.number.checked_sub(other.number)?;
        (self.dimension == other.dimension).then_some(Quantity::new(number, self.dimension))
    }

    /// The quantity times a plain number; `None` when it outgrows what is kept exactly.
    #[must_use]
    pub fn checked_mul(self, factor: Decimal) -> Option<Quantity> {
        let number = self.number.checked_mul(factor)?;
        Some(Quantity::new(number, self.dimension))
    }

    /// The quantity without its sign.
    #[must_use]
    pub fn abs(self) -> Quantity {
        Quantity::new(self.number.abs(), self.dimension)
    }

    /// The unit it is printed in, prefix included: `uF`.
    #[must_use]
    pub fn printed_unit(&self) -> &'static str {
        let size = self.number.abs();
        let rungs = ladder(self.dimension);
        let zero = size.is_zero();
        let fits = |rung: &&Rung| {
            if zero {
                rung.for_zero
            } else {
                size >= rung.at_least
                    && rung
                        .whole_in
                        .is_none_or(|step| Exact::from(self.number).is_multiple_of(step))
            }
        };
        rungs
            .iter()
            .find(fits)
            .or(rungs.last())
            .map_or("", |rung| rung.unit)
    }

    /// The number in a unit of the table; `None` when it has no end there.
    pub(super) fn number_in(&self, unit: &str) -> Option<Exact> {
        let Some(Spelled::Known {
            unit,
            prefix_exponent,
        }) = unit::find(unit, false)
        else {
            return None;
        };
        let exponent = prefix_exponent + unit.exponent;
        let number = Exact::from(self.number);
        if unit.multiplier == 1 {
            number.scaled(1, -exponent).ok()
        } else {
            number
                .divided(unit.multiplier)
                .and_then(|quotient| quotient.scaled(1, -exponent))
                .ok()
        }
    }
}

impl PartialOrd for Quantity {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        (self.dimension == other.dimension).then(|| self.number.cmp(&other.number))
    }
}

/// The quantity a number of some unit makes.
///
/// # Errors
/// When the result is too large, too small or too long to be kept exactly.
pub(super) fn of_unit(
    number: Exact,
    unit: &Unit,
    prefix_exponent: i32,
) -> Result<Quantity, super::ValueErrorKind> {
    let number = number
        .scaled(unit.multiplier, unit.exponent + prefix_exponent)?
        .to_decimal()?;
    Ok(Quantity::new(number, unit.dimension))
}

impl fmt::Display for Quantity {
    /// The canonical spelling, see [the module](super).
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // An unsigned percentage is a tolerance, so a change always shows its sign.
        if self.dimension == Dimension::Ratio && self.number >= Decimal::ZERO {
            f.write_str("+")?;
        }
        write_unsigned_ratio(f, self)
    }
}

/// Writes a quantity without the plus sign that marks a change in per cent.
pub(super) fn write_unsigned_ratio(f: &mut fmt::Formatter<'_>, quantity: &Quantity) -> fmt::Result {
    let unit = quantity.printed_unit();
    match quantity.number_in(unit) {
        Some(number) => write!(f, "{number}{unit}"),
        None => Err(fmt::Error),
    }
}

/// Writes two quantities of one dimension with the unit of the larger, said
/// once, or with a unit each where one unit cannot say both exactly.
pub(super) fn write_pair(
    f: &mut fmt::Formatter<'_>,
    first: &Quantity,
    between: &str,
    second: &Quantity,
) -> fmt::Result {
    let larger = if first.number.abs() > second.number.abs() {
        first
    } else {
        second
    };
    let unit = larger.printed_unit();
    match (first.number_in(unit), second.number_in(unit)) {
        (Some(first), Some(second)) => write!(f, "{first}{between}{second}{unit}"),
        _ => {
            write_unsigned_ratio(f, first)?;
            f.write_str(between)?;
            write_unsigned_ratio(f, second)
        }
    }
}

/// Writes `7..36V`.
pub(super) fn write_range(
    f: &mut fmt::Formatter<'_>,
    low: &Quantity,
    high: &Quantity,
) -> fmt::Result {
    write_pair(f, low, "..", high)
}

/// One step of the ladder of units a dimension is printed in.
struct Rung {
    /// The unit, prefix included, as the table spells it.
    unit: &'static str,
    /// The least size printed in it, in the base unit.
    at_least: Decimal,
    /// Printed in it only when a whole multiple of this many base units.
    whole_in: Option<u32>,
    /// Whether a zero is printed in it.
    for_zero: bool,
}

const fn rung(unit: &'static str, at_least: u32, places: u32) -> Rung {
    Rung {
        unit,
        at_least: Decimal::from_parts(at_least, 0, 0, false, places),
        whole_in: None,
        for_zero: false,
    }
}

impl Rung {
    const fn zero(mut self) -> Rung {
        self.for_zero = true;
        self
    }

    const fn whole_in(mut self, step: u32) -> Rung {
        self.whole_in = Some(step);
        self
    }
}

const CAPACITANCE: &[Rung] = &[
    rung("F", 1, 0).zero(),
    rung("uF", 1, 6),
    rung("nF", 1, 9),
    rung("pF", 0, 0),
];
const RESISTANCE: &[Rung] = &[
    rung("Gohm", 1_000_000_000, 0),
    rung("Mohm", 1_000_000, 0),
    rung("kohm", 1000, 0),
    rung("ohm", 1, 1).zero(),
    rung("mohm", 0, 0),
];
const INDUCTANCE: &[Rung] = &[
    rung("H", 1, 0).zero(),
    rung("mH", 1, 3),
    rung("uH", 1, 6),
    rung("nH", 0, 0),
];
const VOLTAGE: &[Rung] = &[
    rung("kV", 1000, 0),
    rung("V", 1, 1).zero(),
    rung("mV", 1, 4),
    rung("uV", 1, 7),
    rung("nV", 0, 0),
];
const AC_VOLTAGE: &[Rung] = &[
    rung("kVAC", 1000, 0),
    rung("VAC", 1, 1).zero(),
    rung("mVAC", 1, 4),
    rung("uVAC", 0, 0),
];
const CURRENT: &[Rung] = &[
    rung("A", 1, 0).zero(),
    rung("mA", 1, 3),
    rung("uA", 1, 6),
    rung("nA", 1, 9),
    rung("pA", 0, 0),
];
const POWER: &[Rung] = &[
    rung("kW", 1000, 0),
    rung("W", 1, 1).zero(),
    rung("mW", 1, 4),
    rung("uW", 1, 7),
    rung("nW", 0, 0),
];
const APPARENT_POWER: &[Rung] = &[
    rung("kVA", 1000, 0),
    rung("VA", 1, 1).zero(),
    rung("mVA", 0, 0),
];
const FREQUENCY: &[Rung] = &[
    rung("GHz", 1_000_000_000, 0),
    rung("MHz", 1_000_000, 0),
    rung("kHz", 1000, 0),
    rung("Hz", 1, 1).zero(),
    rung("mHz", 0, 0),
];
const TIME: &[Rung] = &[
    // Hundredths of an hour; what is no whole number of them reads better in
    // minutes or seconds.
    rung("h", 3600, 0).whole_in(36),
    rung("min", 60, 0).whole_in(60),
    rung("s", 1, 0).zero(),
    rung("ms", 1, 3),
    rung("us", 1, 6),
    rung("ns", 0, 0),
];
const LENGTH: &[Rung] = &[
    rung("m", 1000, 0),
    rung("mm", 1, 1).zero(),
    rung("um", 0, 0),
];
const RATIO: &[Rung] = &[rung("%", 0, 0).zero()];
const LEVEL: &[Rung] = &[rung("dB", 0, 0).zero()];
const LEVEL_U: &[Rung] = &[rung("dBu", 0, 0).zero()];
const LEVEL_V: &[Rung] = &[rung("dBV", 0, 0).zero()];
const ENERGY: &[Rung] = &[
    rung("kJ", 1000, 0),
    rung("J", 1, 1).zero(),
    rung("mJ", 1, 4),
    rung("uJ", 0, 0),
];
const CHARGE_CAPACITY: &[Rung] = &[rung("Ah", 10, 0).zero(), rung("mAh", 0, 0)];
const TEMPERATURE: &[Rung] = &[rung("°C", 0, 0).zero()];
const SLEW_RATE: &[Rung] = &[rung("V/us", 0, 0).zero()];
const TEMPERATURE_COEFFICIENT: &[Rung] = &[rung("ppm/K", 0, 0).zero()];
const THERMAL_RESISTANCE: &[Rung] = &[rung("K/W", 0, 0).zero()];

/// The units a dimension is printed in, largest first.
fn ladder(dimension: Dimension) -> &'static [Rung] {
    match dimension {
        Dimension::Capacitance => CAPACITANCE,
        Dimension::Resistance => RESISTANCE,
        Dimension::Inductance => INDUCTANCE,
        Dimension::Voltage => VOLTAGE,
        Dimension::AcVoltage => AC_VOLTAGE,
        Dimension::Current => CURRENT,
        Dimension::Power => POWER,
        Dimension::ApparentPower => APPARENT_POWER,
        Dimension::Frequency => FREQUENCY,
        Dimension::Temperature => TEMPERATURE,
        Dimension::Time => TIME,
        Dimension::Length => LENGTH,
        Dimension::Ratio => RATIO,
        Dimension::Level => LEVEL,
        Dimension::LevelU => LEVEL_U,
        Dimension::LevelV => LEVEL_V,
        Dimension::Energy => ENERGY,
        Dimension::ChargeCapacity => CHARGE_CAPACITY,
        Dimension::SlewRate => SLEW_RATE,
        Dimension::TemperatureCoefficient => TEMPERATURE_COEFFICIENT,
        Dimension::ThermalResistance => THERMAL_RESISTANCE,
    }
}
