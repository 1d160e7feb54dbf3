//! Numbers that know their unit, and the refusal when one lies out of range.
//!
//! Every quantity is built by a checked constructor, so that no value that is
//! not a number, infinite, or beyond anything found on a bench can travel
//! through a formula. Results are built by the same constructors.

use std::fmt;

/// Why a number was refused, in words for the bench.
///
/// Units: `value`, `low`, `high` and `limit` are in the base unit named by `unit`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutOfValidity {
    /// Which input or result is out of range, in trade words.
    pub input: &'static str,
    /// The number as it was given.
    pub value: f64,
    /// Base unit of the number, or an empty string for a plain ratio.
    pub unit: &'static str,
    /// What the number would have to satisfy.
    pub rule: ValidityRule,
}

/// What a refused number would have to satisfy.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ValidityRule {
    /// The value has to be a finite number.
    Number,
    /// The value has to lie between two limits, both included.
    Between {
        /// Lowest accepted value.
        low: f64,
        /// Highest accepted value.
        high: f64,
    },
    /// The value must not exceed another one.
    NotAbove {
        /// The other value, in trade words.
        other: &'static str,
        /// The limit.
        limit: f64,
    },
    /// The value has to be greater than another one.
    Above {
        /// The other value, in trade words.
        other: &'static str,
        /// The limit.
        limit: f64,
    },
    /// The value has to be greater than zero.
    Positive,
    /// The source lists single values only, and this is not one of them.
    Listed {
        /// The list as text, for example `6.3, 10, 16 V`.
        list: &'static str,
    },
}

impl OutOfValidity {
    /// The same refusal with the input called by another name.
    #[must_use]
    pub fn naming(self, input: &'static str) -> Self {
        Self { input, ..self }
    }
}

impl fmt::Display for OutOfValidity {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let shown = |value: f64| with_prefix(value, self.unit);
        match self.rule {
            ValidityRule::Number => write!(formatter, "{}: this is not a number", self.input),
            ValidityRule::Between { low, high } => write!(
                formatter,
                "{}: {} is out of range, it has to lie between {} and {}",
                self.input,
                shown(self.value),
                shown(low),
                shown(high)
            ),
            ValidityRule::NotAbove { other, limit } => write!(
                formatter,
                "{}: {} is more than {other} of {}",
                self.input,
                shown(self.value),
                shown(limit)
            ),
            ValidityRule::Above { other, limit } => write!(
                formatter,
                "{}: {} has to be more than {other} of {}",
                self.input,
                shown(self.value),
                shown(limit)
            ),
            ValidityRule::Positive => write!(
                formatter,
                "{}: {} has to be more than zero",
                self.input,
                shown(self.value)
            ),
            ValidityRule::Listed { list } => write!(
                formatter,
                "{}: the source has no entry for {}, it lists {list}",
                self.input,
                shown(self.value)
            ),
        }
    }
}

impl std::error::Error for OutOfValidity {}

/// Kind of quantity, to tell by which unit an input may be recognised.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dimension {
    /// In farads.
    Capacitance,
    /// In ohms.
    Resistance,
    /// In volts.
    Voltage,
    /// In amperes.
    Current,
    /// In watts.
    Power,
    /// In joules.
    Energy,
    /// In coulombs.
    Charge,
    /// In seconds.
    Time,
    /// Life or storage in hours.
    ServiceHours,
    /// Storage in years.
    StorageYears,
    /// In degrees Celsius.
    Temperature,
    /// Temperature difference in kelvins.
    TemperatureRise,
    /// In hertz.
    Frequency,
    /// In millimetres.
    Length,
    /// Cross-section in square mils.
    SquareMils,
    /// Cross-section in circular mils.
    CircularMils,
    /// Copper foil in ounces on a square foot.
    CopperWeight,
    /// In volts per second.
    SlewRate,
    /// A plain number.
    Ratio,
    /// In per cent.
    Percent,
    /// In decibels.
    Level,
    /// In degrees.
    Phase,
}

impl Dimension {
    /// Sign of the base unit, empty for a plain number.
    #[must_use]
    pub fn unit(self) -> &'static str {
        match self {
            Self::Capacitance => Farads::SYMBOL,
            Self::Resistance => Ohms::SYMBOL,
            Self::Voltage => Volts::SYMBOL,
            Self::Current => Amps::SYMBOL,
            Self::Power => Watts::SYMBOL,
            Self::Energy => Joules::SYMBOL,
            Self::Charge => Coulombs::SYMBOL,
            Self::Time => Seconds::SYMBOL,
            Self::ServiceHours => Hours::SYMBOL,
            Self::StorageYears => Years::SYMBOL,
            Self::Temperature => Celsius::SYMBOL,
            Self::TemperatureRise => Kelvins::SYMBOL,
            Self::Frequency => Hertz::SYMBOL,
            Self::Length => Millimetres::SYMBOL,
            Self::SquareMils => SquareMils::SYMBOL,
            Self::CircularMils => CircularMils::SYMBOL,
            Self::CopperWeight => CopperOunces::SYMBOL,
            Self::SlewRate => VoltsPerSecond::SYMBOL,
            Self::Ratio => Ratio::SYMBOL,
            Self::Percent => Percent::SYMBOL,
            Self::Level => Decibels::SYMBOL,
            Self::Phase => Degrees::SYMBOL,
        }
    }
}

/// Keeps the unchecked way in to this file.
mod sealed {
    pub trait Wrap {
        /// Wraps a number that was checked already.
        fn wrap(value: f64) -> Self;
    }
}

/// A number in one known unit and within one known range.
pub trait Quantity: sealed::Wrap + Copy + PartialOrd + fmt::Debug {
    /// Kind of quantity.
    const DIMENSION: Dimension;
    /// What the number measures, in trade words.
    const MEANING: &'static str;
    /// Sign of the base unit, empty for a plain ratio.
    const SYMBOL: &'static str;
    /// Lowest value accepted.
    const LOWEST: f64;
    /// Highest value accepted.
    const HIGHEST: f64;

    /// The number in the base unit.
    fn get(self) -> f64;

    /// Checks and wraps a number given in the base unit.
    ///
    /// # Errors
    /// Refuses what is not finite or lies outside `LOWEST..=HIGHEST`.
    fn checked(input: &'static str, value: f64) -> Result<Self, OutOfValidity> {
        let refusal = |rule| OutOfValidity {
            input,
            value,
            unit: Self::SYMBOL,
            rule,
        };
        if value.is_nan() {
            return Err(refusal(ValidityRule::Number));
        }
        if !(Self::LOWEST..=Self::HIGHEST).contains(&value) {
            return Err(refusal(ValidityRule::Between {
                low: Self::LOWEST,
                high: Self::HIGHEST,
            }));
        }
        Ok(Self::wrap(value))
    }

    /// Passes the quantity on if it lies between two limits in its base unit.
    ///
    /// # Errors
    /// Refuses what lies outside `low..=high`.
    fn within(self, input: &'static str, low: f64, high: f64) -> Result<Self, OutOfValidity> {
        if (low..=high).contains(&self.get()) {
            return Ok(self);
        }
        Err(OutOfValidity {
            input,
            value: self.get(),
            unit: Self::SYMBOL,
            rule: ValidityRule::Between { low, high },
        })
    }

    /// Passes the quantity on if it is greater than zero.
    ///
    /// # Errors
    /// Refuses zero and less.
    fn positive(self, input: &'static str) -> Result<Self, OutOfValidity> {
        if self.get() > 0.0 {
            return Ok(self);
        }
        Err(OutOfValidity {
            input,
            value: self.get(),
            unit: Self::SYMBOL,
            rule: ValidityRule::Positive,
        })
    }

    /// Passes the quantity on if it does not exceed another of its kind.
    ///
    /// # Errors
    /// Refuses what is greater than `limit`.
    fn not_above(
        self,
        input: &'static str,
        other: &'static str,
        limit: Self,
    ) -> Result<Self, OutOfValidity> {
        if self <= limit {
            return Ok(self);
        }
        Err(OutOfValidity {
            input,
            value: self.get(),
            unit: Self::SYMBOL,
            rule: ValidityRule::NotAbove {
                other,
                limit: limit.get(),
            },
        })
    }

    /// Passes the quantity on if it is greater than another of its kind.
    ///
    /// # Errors
    /// Refuses what is not greater than `limit`.
    fn above(
        self,
        input: &'static str,
        other: &'static str,
        limit: Self,
    ) -> Result<Self, OutOfValidity> {
        if self > limit {
            return Ok(self);
        }
        Err(OutOfValidity {
            input,
            value: self.get(),
            unit: Self::SYMBOL,
            rule: ValidityRule::Above {
                other,
                limit: limit.get(),
            },
        })
    }
}

macro_rules! quantity {
    ($(#[$note:meta])* $name:ident, $dimension:expr, $meaning:literal, $symbol:literal, $low:expr, $high:expr) => {
        $(#[$note])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// Checks and wraps a number given in the base unit.
            ///
            /// # Errors
            /// Refuses what is not a number or lies outside the range of the type.
            pub fn new(value: f64) -> Result<Self, OutOfValidity> {
                Self::checked($meaning, value)
            }

            /// The number in the base unit.
            #[must_use]
            pub fn get(self) -> f64 {
                self.0
            }
        }

        impl sealed::Wrap for $name {
            fn wrap(value: f64) -> Self {
                Self(value)
            }
        }

        impl Quantity for $name {
            const DIMENSION: Dimension = $dimension;
            const MEANING: &'static str = $meaning;
            const SYMBOL: &'static str = $symbol;
            const LOWEST: f64 = $low;
            const HIGHEST: f64 = $high;

            fn get(self) -> f64 {
                self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
                formatter.write_str(&with_prefix(self.0, $symbol))
            }
        }
    };
}

quantity!(
    /// Capacitance in farads, 1 fF to 10 kF.
    Farads, Dimension::Capacitance, "capacitance", "F", 1e-15, 1e4
);
quantity!(
    /// Resistance in ohms, 1 nΩ to 1 PΩ.
    Ohms, Dimension::Resistance, "resistance", "Ω", 1e-9, 1e15
);
quantity!(
    /// Voltage in volts, −10 MV to 10 MV.
    Volts, Dimension::Voltage, "voltage", "V", -1e7, 1e7
);
quantity!(
    /// Current in amperes, −1 MA to 1 MA.
    Amps, Dimension::Current, "current", "A", -1e6, 1e6
);
quantity!(
    /// Power in watts, 0 to 1 TW.
    Watts, Dimension::Power, "power", "W", 0.0, 1e12
);
quantity!(
    /// Energy in joules, 0 to 1 EJ.
    Joules, Dimension::Energy, "energy", "J", 0.0, 1e18
);
quantity!(
    /// Electric charge in coulombs, 0 to 1 TC.
    Coulombs, Dimension::Charge, "charge", "C", 0.0, 1e12
);
quantity!(
    /// Time in seconds, 0 to 1 Es.
    Seconds, Dimension::Time, "time", "s", 0.0, 1e18
);
quantity!(
    /// Service or storage time in hours, one second to 100 million hours.
    Hours, Dimension::ServiceHours, "hours", "h", 1.0 / 3600.0, 1e8
);
quantity!(
    /// Storage time in years, 0 to 200.
    Years, Dimension::StorageYears, "years", "years", 0.0, 200.0
);
quantity!(
    /// Temperature in degrees Celsius, −100 to 500.
    Celsius, Dimension::Temperature, "temperature", "°C", -100.0, 500.0
);
quantity!(
    /// Temperature difference in kelvins, 0 to 500.
    Kelvins, Dimension::TemperatureRise, "temperature rise", "K", 0.0, 500.0
);
quantity!(
    /// Frequency in hertz, 1 µHz to 1 PHz.
    Hertz, Dimension::Frequency, "frequency", "Hz", 1e-6, 1e15
);
quantity!(
    /// Length in millimetres, 1 nm to 1000 km.
    Millimetres, Dimension::Length, "length", "mm", 1e-6, 1e9
);
quantity!(
    /// Cross-section in square mils (thousandths of an inch, squared).
    SquareMils, Dimension::SquareMils, "cross-section", "mil²", 1e-6, 1e9
);
quantity!(
    /// Cross-section in circular mils: the square of the diameter in mils.
    CircularMils, Dimension::CircularMils, "cross-section", "circular mil", 1e-6, 1e9
);
quantity!(
    /// Weight of copper foil in ounces on a square foot, 0.1 to 20.
    CopperOunces, Dimension::CopperWeight, "copper weight", "oz/ft²", 0.1, 20.0
);
quantity!(
    /// Slew rate in volts per second, 1 V/s to 1 TV/s.
    VoltsPerSecond, Dimension::SlewRate, "slew rate", "V/s", 1.0, 1e12
);
quantity!(
    /// Plain ratio, such as a loss factor or a gain; 1e-12 to 1e12.
    Ratio, Dimension::Ratio, "ratio", "", 1e-12, 1e12
);
quantity!(
    /// Per cent, signed.
    Percent, Dimension::Percent, "per cent", "%", -1e12, 1e12
);
quantity!(
    /// Level in decibels, signed.
    Decibels, Dimension::Level, "level", "dB", -240.0, 240.0
);
quantity!(
    /// Phase in degrees, −360 to 360.
    Degrees, Dimension::Phase, "phase", "°", -360.0, 360.0
);

/// A number with an engineering prefix and its unit, to four figures: `1.5 kΩ`.
///
/// Units without prefixes in use (°C, %, dB, mm, h …) are written plainly.
#[must_use]
pub fn with_prefix(value: f64, unit: &str) -> String {
    const PREFIXES: [(f64, &str); 12] = [
        (1e15, "P"),
        (1e12, "T"),
        (1e9, "G"),
        (1e6, "M"),
        (1e3, "k"),
        (1.0, ""),
        (1e-3, "m"),
        (1e-6, "µ"),
        (1e-9, "n"),
        (1e-12, "p"),
        (1e-15, "f"),
        (1e-18, "a"),
    ];
    let takes_prefix = matches!(
        unit,
        "F" | "Ω" | "V" | "A" | "W" | "J" | "C" | "Hz" | "V/s" | "s"
    );
    let magnitude = value.abs();
    let (scale, prefix) = if takes_prefix && magnitude.is_finite() && magnitude > 0.0 {
        // Slow times are read in seconds, never in kiloseconds.
        let highest = if unit == "s" { 1.0 } else { 1e15 };
        PREFIXES
            .iter()
            .filter(|(scale, _)| *scale <= highest)
            .find(|(scale, _)| magnitude >= *scale * 0.999_95)
            .copied()
            .unwrap_or((1e-18, "a"))
    } else {
        (1.0, "")
    };
    let number = four_figures(value / scale);
    match (unit, prefix) {
        ("", _) => number,
        ("%" | "°", _) => format!("{number}\u{a0}{unit}"),
        _ => format!("{number}\u{a0}{prefix}{unit}"),
    }
}

/// A number to four figures without trailing zeros, scientific when extreme.
fn four_figures(value: f64) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let magnitude = value.abs();
    if !(1e-4..1e7).contains(&magnitude) {
        return format!("{value:.3e}");
    }
    let whole_digits = magnitude.log10().floor() as i32 + 1;
    let decimals = usize::try_from((4 - whole_digits).max(0)).unwrap_or(0);
    let text = format!("{value:.decimals$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_bench_number_is_refused_in_words() {
        for bad in [f64::NAN, f64::INFINITY, 0.0, -1e-6, 1e300] {
            assert!(Farads::new(bad).is_err(), "{bad}");
            assert!(Ohms::new(bad).is_err(), "{bad}");
        }
        assert_eq!(
            Farads::new(0.0).unwrap_err().to_string(),
            "capacitance: 0\u{a0}F is out of range, it has to lie between 1\u{a0}fF and 10\u{a0}kF"
        );
        assert_eq!(
            Ohms::new(f64::NAN).unwrap_err().to_string(),
            "resistance: this is not a number"
        );
    }

    #[test]
    fn numbers_are_shown_as_on_a_schematic() {
        assert_eq!(Farads::new(4.7e-6).unwrap().to_string(), "4.7\u{a0}µF");
        assert_eq!(Ohms::new(1e6).unwrap().to_string(), "1\u{a0}MΩ");
        assert_eq!(Ohms::new(999.99).unwrap().to_string(), "1\u{a0}kΩ");
        assert_eq!(Volts::new(-15.0).unwrap().to_string(), "-15\u{a0}V");
        assert_eq!(Hours::new(72_496.4).unwrap().to_string(), "72496\u{a0}h");
        assert_eq!(Seconds::new(4800.0).unwrap().to_string(), "4800\u{a0}s");
        assert_eq!(Ratio::new(0.212).unwrap().to_string(), "0.212");
    }
}
