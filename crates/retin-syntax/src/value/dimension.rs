//! What a quantity measures.

use std::fmt;

/// What a quantity measures, and so which quantities may stand for each other.
///
/// The unit named with each is its base unit, the one
/// [`Quantity::number`](super::Quantity::number) counts in.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, PartialOrd, Ord)]
pub enum Dimension {
    /// Farad.
    Capacitance,
    /// Ohm.
    Resistance,
    /// Henry.
    Inductance,
    /// Volt, direct or unsaid.
    Voltage,
    /// Volt of alternating voltage.
    AcVoltage,
    /// Ampere.
    Current,
    /// Watt.
    Power,
    /// Volt-ampere, the rating of a transformer.
    ApparentPower,
    /// Hertz.
    Frequency,
    /// Degree Celsius.
    Temperature,
    /// Second.
    Time,
    /// Millimetre.
    Length,
    /// One; written in per cent.
    Ratio,
    /// Decibel, a gain or a loss.
    Level,
    /// Decibel relative to 0.775 V.
    LevelU,
    /// Decibel relative to 1 V.
    LevelV,
    /// Joule.
    Energy,
    /// Ampere-hour, the charge a cell holds.
    ChargeCapacity,
    /// Volt a microsecond.
    SlewRate,
    /// Part per million a kelvin.
    TemperatureCoefficient,
    /// Kelvin a watt, the rating of a heat sink.
    ThermalResistance,
}

impl Dimension {
    /// Every dimension, in the order of declaration.
    pub const ALL: &[Dimension] = &[
        Dimension::Capacitance,
        Dimension::Resistance,
        Dimension::Inductance,
        Dimension::Voltage,
        Dimension::AcVoltage,
        Dimension::Current,
        Dimension::Power,
        Dimension::ApparentPower,
        Dimension::Frequency,
        Dimension::Temperature,
        Dimension::Time,
        Dimension::Length,
        Dimension::Ratio,
        Dimension::Level,
        Dimension::LevelU,
        Dimension::LevelV,
        Dimension::Energy,
        Dimension::ChargeCapacity,
        Dimension::SlewRate,
        Dimension::TemperatureCoefficient,
        Dimension::ThermalResistance,
    ];

    /// The name alone, for messages: "capacitance".
    #[must_use]
    pub fn name(self) -> &'static str {
        let worded = self.with_article();
        worded.split_once(' ').map_or(worded, |(_, name)| name)
    }

    /// The name with its article, for messages: "a capacitance".
    #[must_use]
    pub fn with_article(self) -> &'static str {
        match self {
            Dimension::Capacitance => "a capacitance",
            Dimension::Resistance => "a resistance",
            Dimension::Inductance => "an inductance",
            Dimension::Voltage => "a voltage",
            Dimension::AcVoltage => "an AC voltage",
            Dimension::Current => "a current",
            Dimension::Power => "a power",
            Dimension::ApparentPower => "an apparent power",
            Dimension::Frequency => "a frequency",
            Dimension::Temperature => "a temperature",
            Dimension::Time => "a time",
            Dimension::Length => "a length",
            Dimension::Ratio => "a percentage",
            Dimension::Level => "a level in dB",
            Dimension::LevelU => "a level in dBu",
            Dimension::LevelV => "a level in dBV",
            Dimension::Energy => "an energy",
            Dimension::ChargeCapacity => "a battery capacity",
            Dimension::SlewRate => "a slew rate",
            Dimension::TemperatureCoefficient => "a temperature coefficient",
            Dimension::ThermalResistance => "a thermal resistance",
        }
    }

    /// The name of a range of it, for messages: "a capacitance range".
    #[must_use]
    pub fn range_in_words(self) -> &'static str {
        match self {
            Dimension::Capacitance => "a capacitance range",
            Dimension::Resistance => "a resistance range",
            Dimension::Inductance => "an inductance range",
            Dimension::Voltage => "a voltage range",
            Dimension::AcVoltage => "an AC voltage range",
            Dimension::Current => "a current range",
            Dimension::Power => "a power range",
            Dimension::ApparentPower => "an apparent power range",
            Dimension::Frequency => "a frequency range",
            Dimension::Temperature => "a temperature range",
            Dimension::Time => "a time range",
            Dimension::Length => "a length range",
            Dimension::Ratio => "a percentage range",
            Dimension::Level => "a range of levels in dB",
            Dimension::LevelU => "a range of levels in dBu",
            Dimension::LevelV => "a range of levels in dBV",
            Dimension::Energy => "an energy range",
            Dimension::ChargeCapacity => "a battery capacity range",
            Dimension::SlewRate => "a slew rate range",
            Dimension::TemperatureCoefficient => "a temperature coefficient range",
            Dimension::ThermalResistance => "a thermal resistance range",
        }
    }
}

impl fmt::Display for Dimension {
    /// The name alone: "capacitance".
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}
