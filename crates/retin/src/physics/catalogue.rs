//! The computations on offer, as data.
//!
//! The command line and the editor read this one list: names in trade words,
//! inputs with their dimension, formula, source and range. Numbers go in and
//! come out in the base unit of their [`Dimension`] (life in hours, lengths in
//! millimetres, temperatures in °C, everything else in SI).
//!
//! To add a computation: write its function in a file of its own beside this
//! one, and one entry in the topic file under `catalogue/`.

mod board;
pub mod cautions;
mod electrolytics;
mod parts;
mod signal;
mod supply;

use std::borrow::Cow;
use std::fmt;

use super::units::{Dimension, OutOfValidity, Quantity, with_prefix};

/// One computation on offer.
#[derive(Debug)]
pub struct Computation {
    /// Name in trade words, lower case, unique.
    pub name: &'static str,
    /// What it answers, in one line.
    pub summary: &'static str,
    /// Inputs, in the order in which they are usually said.
    pub inputs: &'static [Input],
    /// Results, in the order in which they are returned.
    pub outputs: &'static [OutputField],
    /// The formula as text.
    pub formula: &'static str,
    /// Where the formula or table comes from, with its mark.
    pub source: &'static str,
    /// Where it stops being valid, in words.
    pub validity: &'static str,
    /// What is said beside every result, where the work can hurt.
    pub cautions: &'static [&'static str],
    /// Inputs that work, to show and to test.
    pub example: &'static [(&'static str, Given)],
    /// Computes the results from inputs that [`Computation::run`] has prepared.
    pub compute: fn(&Inputs) -> Result<Vec<Output>, Refusal>,
}

/// One input of a computation.
#[derive(Clone, Copy, Debug)]
pub struct Input {
    /// Name, lower case with hyphens.
    pub name: &'static str,
    /// What kind of thing it is.
    pub kind: InputKind,
    /// Whether it may be left out.
    pub need: Need,
    /// A word that may stand before it where two inputs share a dimension,
    /// as in `life 2000h 105°C at 65°C`.
    pub lead: Option<&'static str>,
    /// Whether it may be given as an alternating voltage.
    pub alternating: Alternating,
}

/// What an alternating voltage means to an input that is a voltage.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Alternating {
    /// The formula is for direct voltage.
    Refused,
    /// Its effective value is what the formula takes.
    Effective,
    /// As [`Alternating::Effective`], and it settles another input.
    Chooses {
        /// The name of the other input.
        input: &'static str,
        /// The word that it is given.
        word: &'static str,
    },
}

/// What kind of thing an input is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum InputKind {
    /// A number in the base unit of its dimension.
    Quantity(Dimension),
    /// A whole number without a unit, such as a wire gauge.
    Whole,
    /// One of these words.
    Word(&'static [&'static str]),
}

/// Whether an input may be left out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Need {
    /// It has to be given.
    Required,
    /// It may be left out, and nothing stands in for it.
    Optional,
    /// This number stands in for it.
    Default(f64),
    /// This word stands in for it.
    DefaultWord(&'static str),
}

/// One result that a computation returns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OutputField {
    /// Name, lower case with hyphens.
    pub name: &'static str,
    /// Dimension of a number; nothing for text.
    pub dimension: Option<Dimension>,
}

/// The value of an input.
#[derive(Clone, Debug, PartialEq)]
pub enum Given {
    /// A number in the base unit of the input.
    Number(f64),
    /// A word.
    Word(Cow<'static, str>),
}

/// Named inputs handed to a computation.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Inputs {
    given: Vec<(String, Given)>,
}

/// One result.
#[derive(Clone, Debug, PartialEq)]
pub struct Output {
    /// Name as in [`Computation::outputs`].
    pub name: &'static str,
    /// The result.
    pub value: OutputValue,
}

/// A number in a known dimension, or words.
#[derive(Clone, Debug, PartialEq)]
pub enum OutputValue {
    /// A number in the base unit of its dimension.
    Number(f64, Dimension),
    /// Words.
    Text(String),
}

/// Why a computation gave no result.
#[derive(Clone, Debug, PartialEq)]
pub enum Refusal {
    /// A required input was left out.
    Missing {
        /// Its name.
        input: &'static str,
    },
    /// Neither of two inputs was given, or both were.
    OneOf {
        /// The name of one.
        first: &'static str,
        /// The name of the other.
        second: &'static str,
    },
    /// An input of that name is not known here.
    Unknown {
        /// The name that was given.
        input: String,
    },
    /// A number was given for a word or a word for a number.
    WrongKind {
        /// The name of the input.
        input: &'static str,
    },
    /// A word that is not among those allowed.
    UnknownWord {
        /// The name of the input.
        input: &'static str,
        /// The word that was given.
        word: String,
        /// The words allowed.
        allowed: &'static [&'static str],
    },
    /// A number out of range.
    OutOfValidity(OutOfValidity),
}

impl From<OutOfValidity> for Refusal {
    fn from(refusal: OutOfValidity) -> Self {
        Self::OutOfValidity(refusal)
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Missing { input } => write!(formatter, "{input}: this has to be given"),
            Self::OneOf { first, second } => {
                write!(
                    formatter,
                    "either {first} or {second} has to be given, one of them"
                )
            }
            Self::Unknown { input } => {
                write!(formatter, "{input}: nothing of that name is used here")
            }
            Self::WrongKind { input } => {
                write!(formatter, "{input}: a number and a word were mixed up")
            }
            Self::UnknownWord {
                input,
                word,
                allowed,
            } => write!(
                formatter,
                "{input}: {word} is not known, it has to be one of {}",
                allowed.join(", ")
            ),
            Self::OutOfValidity(refusal) => refusal.fmt(formatter),
        }
    }
}

impl std::error::Error for Refusal {}

impl fmt::Display for OutputValue {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Number(value, dimension) => {
                formatter.write_str(&with_prefix(*value, dimension.unit()))
            }
            Self::Text(text) => formatter.write_str(text),
        }
    }
}

impl Inputs {
    /// No inputs yet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a number in the base unit of the input; a later one replaces it.
    #[must_use]
    pub fn number(self, name: &str, value: f64) -> Self {
        self.with(name, Given::Number(value))
    }

    /// Adds a word; a later one replaces it.
    #[must_use]
    pub fn word(self, name: &str, word: &str) -> Self {
        self.with(name, Given::Word(Cow::Owned(word.to_owned())))
    }

    /// Adds a value; a later one of the same name replaces it.
    #[must_use]
    pub fn with(mut self, name: &str, value: Given) -> Self {
        self.given.retain(|(known, _)| known != name);
        self.given.push((name.to_owned(), value));
        self
    }

    fn get(&self, name: &str) -> Option<&Given> {
        self.given
            .iter()
            .find(|(known, _)| known == name)
            .map(|(_, value)| value)
    }

    fn quantity<Value: Quantity>(&self, name: &'static str) -> Result<Value, Refusal> {
        self.optional(name)?.ok_or(Refusal::Missing { input: name })
    }

    fn optional<Value: Quantity>(&self, name: &'static str) -> Result<Option<Value>, Refusal> {
        match self.get(name) {
            None => Ok(None),
            Some(Given::Number(number)) => Ok(Some(Value::checked(name, *number)?)),
            Some(Given::Word(_)) => Err(Refusal::WrongKind { input: name }),
        }
    }

    fn whole(&self, name: &'static str) -> Result<i32, Refusal> {
        self.optional_whole(name)?
            .ok_or(Refusal::Missing { input: name })
    }

    fn optional_whole(&self, name: &'static str) -> Result<Option<i32>, Refusal> {
        match self.get(name) {
            None => Ok(None),
            Some(Given::Word(_)) => Err(Refusal::WrongKind { input: name }),
            Some(Given::Number(number)) => {
                let limit = super::units::Ratio::checked(name, number.abs().max(1.0))?;
                if number.fract() == 0.0 && limit.get() <= 1e6 {
                    Ok(Some(*number as i32))
                } else {
                    Err(Refusal::OutOfValidity(OutOfValidity {
                        input: name,
                        value: *number,
                        unit: "",
                        rule: super::units::ValidityRule::Listed {
                            list: "whole numbers only",
                        },
                    }))
                }
            }
        }
    }

    fn chosen(&self, name: &'static str) -> Result<&str, Refusal> {
        match self.get(name) {
            None => Err(Refusal::Missing { input: name }),
            Some(Given::Number(_)) => Err(Refusal::WrongKind { input: name }),
            Some(Given::Word(word)) => Ok(word),
        }
    }
}

impl Output {
    fn number<Value: Quantity>(name: &'static str, value: Value) -> Self {
        Self {
            name,
            value: OutputValue::Number(value.get(), Value::DIMENSION),
        }
    }

    fn text(name: &'static str, text: impl Into<String>) -> Self {
        Self {
            name,
            value: OutputValue::Text(text.into()),
        }
    }
}

impl Computation {
    /// Checks the inputs against the list, fills in what stands in, computes.
    ///
    /// # Errors
    /// Refuses unknown and missing inputs, unknown words, and numbers outside
    /// the range of the formula.
    pub fn run(&self, inputs: &Inputs) -> Result<Vec<Output>, Refusal> {
        for (name, _) in &inputs.given {
            if !self.inputs.iter().any(|input| input.name == name) {
                return Err(Refusal::Unknown {
                    input: name.clone(),
                });
            }
        }
        let mut complete = inputs.clone();
        for input in self.inputs {
            match (complete.get(input.name), input.need) {
                (None, Need::Required) => return Err(Refusal::Missing { input: input.name }),
                (None, Need::Default(number)) => complete = complete.number(input.name, number),
                (None, Need::DefaultWord(word)) => complete = complete.word(input.name, word),
                (Some(Given::Word(word)), _) => match input.kind {
                    InputKind::Word(allowed) if !allowed.contains(&word.as_ref()) => {
                        return Err(Refusal::UnknownWord {
                            input: input.name,
                            word: word.to_string(),
                            allowed,
                        });
                    }
                    _ => {}
                },
                _ => {}
            }
        }
        (self.compute)(&complete)
    }

    /// The example as inputs.
    #[must_use]
    pub fn example_inputs(&self) -> Inputs {
        self.example
            .iter()
            .fold(Inputs::new(), |inputs, (name, value)| {
                inputs.with(name, value.clone())
            })
    }
}

/// Every computation, by topic.
pub fn computations() -> impl Iterator<Item = &'static Computation> {
    [
        electrolytics::COMPUTATIONS,
        supply::COMPUTATIONS,
        signal::COMPUTATIONS,
        board::COMPUTATIONS,
        parts::COMPUTATIONS,
    ]
    .into_iter()
    .flatten()
}

/// The computation of a name.
#[must_use]
pub fn find(name: &str) -> Option<&'static Computation> {
    computations().find(|computation| computation.name == name)
}

const fn required(name: &'static str, dimension: Dimension) -> Input {
    Input {
        name,
        kind: InputKind::Quantity(dimension),
        need: Need::Required,
        lead: None,
        alternating: Alternating::Refused,
    }
}

const fn led(lead: &'static str, input: Input) -> Input {
    Input {
        lead: Some(lead),
        ..input
    }
}

const fn alternating(alternating: Alternating, input: Input) -> Input {
    Input {
        alternating,
        ..input
    }
}

const fn defaulted(name: &'static str, dimension: Dimension, value: f64) -> Input {
    Input {
        need: Need::Default(value),
        ..required(name, dimension)
    }
}

const fn optional(name: &'static str, dimension: Dimension) -> Input {
    Input {
        need: Need::Optional,
        ..required(name, dimension)
    }
}

const fn choice(name: &'static str, words: &'static [&'static str], usual: &'static str) -> Input {
    Input {
        name,
        kind: InputKind::Word(words),
        need: Need::DefaultWord(usual),
        lead: None,
        alternating: Alternating::Refused,
    }
}

const fn whole(name: &'static str) -> Input {
    Input {
        name,
        kind: InputKind::Whole,
        need: Need::Required,
        lead: None,
        alternating: Alternating::Refused,
    }
}

const fn optional_whole(name: &'static str) -> Input {
    Input {
        need: Need::Optional,
        ..whole(name)
    }
}

const fn field(name: &'static str, dimension: Dimension) -> OutputField {
    OutputField {
        name,
        dimension: Some(dimension),
    }
}

const fn words(name: &'static str) -> OutputField {
    OutputField {
        name,
        dimension: None,
    }
}

const fn number(value: f64) -> Given {
    Given::Number(value)
}

const fn word(word: &'static str) -> Given {
    Given::Word(Cow::Borrowed(word))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_entry_is_complete_and_its_example_runs() {
        let mut names: Vec<&str> = Vec::new();
        for computation in computations() {
            assert!(!names.contains(&computation.name), "{}", computation.name);
            names.push(computation.name);
            for text in [
                computation.summary,
                computation.formula,
                computation.source,
                computation.validity,
            ] {
                assert!(text.len() > 3, "{}", computation.name);
                assert!(
                    !text.to_lowercase().contains("safe"),
                    "{} must not call anything safe",
                    computation.name
                );
            }
            let outputs = computation
                .run(&computation.example_inputs())
                .unwrap_or_else(|refusal| panic!("{}: {refusal}", computation.name));
            assert!(!outputs.is_empty(), "{}", computation.name);
            let mut reached = 0;
            for output in &outputs {
                let dimension = match output.value {
                    OutputValue::Number(_, dimension) => Some(dimension),
                    OutputValue::Text(_) => None,
                };
                // In the order of the list; a text may come more than once.
                reached = computation
                    .outputs
                    .iter()
                    .position(|field| field.name == output.name && field.dimension == dimension)
                    .filter(|position| *position >= reached)
                    .unwrap_or_else(|| panic!("{} returns {}", computation.name, output.name));
            }
        }
        assert_eq!(names.len(), 42);
    }

    #[test]
    fn every_input_named_is_read() {
        // A word in place of each number has to be noticed, or the entry lists
        // an input that its function never looks at.
        for computation in computations() {
            for input in computation.inputs {
                let inputs = match input.kind {
                    InputKind::Word(_) => computation.example_inputs().number(input.name, 1.0),
                    _ => computation.example_inputs().word(input.name, "word"),
                };
                assert_eq!(
                    computation.run(&inputs),
                    Err(Refusal::WrongKind { input: input.name }),
                    "{}",
                    computation.name
                );
            }
        }
    }

    #[test]
    fn refusals_name_the_input() {
        let life = find("life").unwrap();
        let refused = |inputs: Inputs| life.run(&inputs).unwrap_err().to_string();
        assert_eq!(refused(Inputs::new()), "life: this has to be given");
        assert_eq!(
            refused(life.example_inputs().number("working-temperature", 120.0)),
            "working temperature: 120\u{a0}°C is more than the rated temperature of 105\u{a0}°C"
        );
        assert_eq!(
            refused(life.example_inputs().number("colour", 1.0)),
            "colour: nothing of that name is used here"
        );
        let ripple = find("ripple").unwrap();
        assert_eq!(
            ripple
                .run(&ripple.example_inputs().word("rectifier", "none"))
                .unwrap_err()
                .to_string(),
            "rectifier: none is not known, it has to be one of full, half"
        );
    }
}
