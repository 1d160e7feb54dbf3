//! Quantities that carry their unit in their type, and values with tolerance.

use std::fmt;

/// A plain number with a unit, for generic code over tolerances.
pub trait Quantity: Copy + PartialEq + fmt::Debug {
    /// Wraps a number that is already in the unit of the type.
    fn of(number: f64) -> Self;
    /// The number in the unit of the type.
    fn number(self) -> f64;
}

/// A number whose unit its surroundings know.
impl Quantity for f64 {
    fn of(number: f64) -> Self {
        number
    }
    fn number(self) -> f64 {
        self
    }
}

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $sign:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(pub f64);

        impl Quantity for $name {
            fn of(number: f64) -> Self {
                Self(number)
            }
            fn number(self) -> f64 {
                self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(out, "{}{}", self.0, $sign)
            }
        }
    };
}

quantity!(
    /// Resistance in ohms.
    Ohms,
    "ohm"
);
quantity!(
    /// Electric potential, or a difference of two, in volts.
    Volts,
    "V"
);
quantity!(
    /// Current in amperes.
    Amps,
    "A"
);
quantity!(
    /// Power in watts.
    Watts,
    "W"
);
quantity!(
    /// Temperature in degrees Celsius.
    Celsius,
    "°C"
);
quantity!(
    /// A number without a unit: a current gain, or the travel of a wiper as
    /// a part of the whole (0 to 1).
    Ratio,
    ""
);
quantity!(
    /// Transconductance parameter of a field-effect transistor in amperes
    /// per square volt.
    AmpsPerSquareVolt,
    "A/V²"
);
quantity!(
    /// Reciprocal volts (channel-length modulation).
    PerVolt,
    "/V"
);

impl Celsius {
    /// Thermal voltage kT/q.
    ///
    /// Source of the constants: the exact values of the SI, 2019 revision
    /// (BIPM, *The International System of Units*, 9th edition).
    pub fn thermal_voltage(self) -> Volts {
        const BOLTZMANN_JOULE_PER_KELVIN: f64 = 1.380_649e-23;
        const ELEMENTARY_CHARGE_COULOMB: f64 = 1.602_176_634e-19;
        Volts(BOLTZMANN_JOULE_PER_KELVIN * (self.0 + 273.15) / ELEMENTARY_CHARGE_COULOMB)
    }
}

/// A value with its tolerance: the nominal value and the two ends it may have.
///
/// `low <= nominal <= high` is checked when the circuit is solved, not here:
/// a spread that breaks it becomes a [`Fault`](super::Fault) of its element.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread<Unit> {
    /// The value marked on the part.
    pub nominal: Unit,
    /// The least value within tolerance.
    pub low: Unit,
    /// The greatest value within tolerance.
    pub high: Unit,
}

impl<Unit: Quantity> Spread<Unit> {
    /// A value without tolerance.
    pub fn exact(value: Unit) -> Self {
        Self {
            nominal: value,
            low: value,
            high: value,
        }
    }

    /// A value with a symmetric tolerance, given as a part of the value
    /// (`Ratio(0.05)` is ±5 %). A negative nominal value keeps its ends in
    /// rising order.
    pub fn within(nominal: Unit, tolerance: Ratio) -> Self {
        let reach = (nominal.number() * tolerance.0).abs();
        Self {
            nominal,
            low: Unit::of(nominal.number() - reach),
            high: Unit::of(nominal.number() + reach),
        }
    }

    /// A value with both ends given.
    pub fn between(low: Unit, nominal: Unit, high: Unit) -> Self {
        Self { nominal, low, high }
    }

    /// Whether the ends differ from the nominal value.
    pub fn is_toleranced(&self) -> bool {
        self.low.number() < self.nominal.number() || self.high.number() > self.nominal.number()
    }
}

impl<Unit: Quantity> From<Unit> for Spread<Unit> {
    fn from(value: Unit) -> Self {
        Self::exact(value)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thermal_voltage_at_the_usual_simulation_temperature() {
        let volts = Celsius(27.0).thermal_voltage().0;
        assert!((volts - 0.025_864_9).abs() < 1e-7, "{volts}");
    }

    #[test]
    fn a_negative_value_keeps_its_ends_in_order() {
        let spread = Spread::within(Volts(-15.0), Ratio(0.1));
        assert_eq!(spread.low, Volts(-16.5));
        assert_eq!(spread.high, Volts(-13.5));
        assert!(spread.is_toleranced());
        assert!(!Spread::exact(Volts(1.0)).is_toleranced());
    }
}
