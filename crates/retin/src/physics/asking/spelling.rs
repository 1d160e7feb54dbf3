//! Inputs and examples as they are said.

use crate::physics::catalogue::{Computation, Given, Input, InputKind, Need};
use crate::physics::units::Dimension;
use retin_syntax::value::{self, Decimal, Quantity};
use std::fmt;

/// The example of a computation as it may be asked for, its name first.
#[must_use]
pub fn example(computation: &Computation) -> String {
    let mut text = computation.name.to_owned();
    for input in computation.inputs {
        let given = computation
            .example
            .iter()
            .find(|(name, _)| *name == input.name);
        if let Some((_, given)) = given {
            text.push(' ');
            if let Some(lead) = input.lead {
                text.push_str(lead);
                text.push(' ');
            }
            text.push_str(&said(given, input));
        }
    }
    text
}

/// A value as it may be said for an input: `105C`, `220uF`.
#[must_use]
fn said(given: &Given, input: &Input) -> String {
    match (given, input.kind) {
        (Given::Word(word), _) => word.to_string(),
        (Given::Number(number), InputKind::Quantity(dimension)) => spelled(*number, dimension),
        (Given::Number(number), _) => number.to_string(),
    }
}

fn spelled(number: f64, dimension: Dimension) -> String {
    use value::Dimension as Written;
    let plain = |unit: &str| format!("{number}{unit}");
    let (number, written) = match dimension {
        Dimension::Capacitance => (number, Written::Capacitance),
        Dimension::Resistance => (number, Written::Resistance),
        Dimension::Voltage => (number, Written::Voltage),
        Dimension::Current => (number, Written::Current),
        Dimension::Power => (number, Written::Power),
        Dimension::Energy => (number, Written::Energy),
        Dimension::Time => (number, Written::Time),
        Dimension::Frequency => (number, Written::Frequency),
        Dimension::Length => (number, Written::Length),
        Dimension::ServiceHours => return plain("h"),
        Dimension::StorageYears => return plain(" years"),
        // Every keyboard has it without the sign.
        Dimension::Temperature => return plain("C"),
        Dimension::TemperatureRise => return plain("K"),
        Dimension::CopperWeight => return plain("oz"),
        Dimension::SlewRate => return format!("{}V/us", number / 1e6),
        Dimension::Percent => return plain("%"),
        Dimension::Level => return plain("dB"),
        Dimension::Ratio => return plain(""),
        Dimension::Charge | Dimension::SquareMils | Dimension::CircularMils | Dimension::Phase => {
            return plain(dimension.unit());
        }
    };
    // The shortest decimal that is this number is what was meant by it.
    match number.to_string().parse::<Decimal>() {
        Ok(decimal) => Quantity::new(decimal, written).to_string(),
        Err(_) => plain(dimension.unit()),
    }
}

/// What an input is, with its unit and an example: `a resistance, such as 10kohm`.
#[must_use]
pub fn needed(input: &Input) -> String {
    let kind = match input.kind {
        InputKind::Whole => return "a whole number, such as 30".to_owned(),
        InputKind::Word(allowed) => {
            let allowed: Vec<String> = allowed.iter().map(|word| (*word).to_owned()).collect();
            return format!("one of {}", Listed(&allowed, "or"));
        }
        InputKind::Quantity(dimension) => dimension,
    };
    let (name, such_as) = match kind {
        Dimension::Capacitance => ("a capacitance", "220uF"),
        Dimension::Resistance => ("a resistance", "10kohm"),
        Dimension::Voltage => ("a voltage", "25V"),
        Dimension::Current => ("a current", "100mA"),
        Dimension::Power => ("a power", "0.25W"),
        Dimension::Energy => ("an energy", "1J"),
        Dimension::Charge => ("a charge in coulombs", "0.1C"),
        Dimension::Time => ("a time", "60s"),
        Dimension::ServiceHours => ("a time in hours", "2000h"),
        Dimension::StorageYears => ("a time in years", "4 years"),
        Dimension::Temperature => ("a temperature", "65C"),
        Dimension::TemperatureRise => ("a temperature difference", "10K"),
        Dimension::Frequency => ("a frequency", "120Hz"),
        Dimension::Length => ("a length", "120mm"),
        Dimension::SquareMils => ("a cross-section in square mils", "20mil²"),
        Dimension::CircularMils => ("a cross-section in circular mils", "100"),
        Dimension::CopperWeight => ("a copper weight", "1oz"),
        Dimension::SlewRate => ("a slew rate", "13V/us"),
        Dimension::Ratio => ("a plain number", "0.16"),
        Dimension::Percent => ("a percentage", "5%"),
        Dimension::Level => ("a level", "4dB"),
        Dimension::Phase => ("a phase in degrees", "90°"),
    };
    format!("{name}, such as {such_as}")
}

/// What stands in for an input, as it may be said.
#[must_use]
pub fn usual(input: &Input) -> Option<String> {
    match input.need {
        Need::Default(number) => Some(said(&Given::Number(number), input)),
        Need::DefaultWord(word) => Some(word.to_owned()),
        Need::Required | Need::Optional => None,
    }
}

/// The word to put before a value, and the name of the input where that says more.
pub(super) fn labelled(input: &Input) -> String {
    match input.lead {
        Some(lead) if lead != input.name => format!("`{lead}` ({})", input.name),
        _ => format!("`{}`", input.name),
    }
}

/// Items in a sentence, with a word before the last.
pub(super) struct Listed<'items>(pub &'items [String], pub &'static str);

impl fmt::Display for Listed<'_> {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            [] => Ok(()),
            [only] => formatter.write_str(only),
            [most @ .., last] => write!(formatter, "{} {} {last}", most.join(", "), self.1),
        }
    }
}
