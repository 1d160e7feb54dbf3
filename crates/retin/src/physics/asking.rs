//! A computation asked for in the words of the bench: `life 2000h 105C at 65C`.
//!
//! Values go to inputs by the word before them (the lead word or the name of an
//! input), else by what they measure. Where several values of one kind stand
//! without a word, they are taken in the order of the list, if there is one for
//! each input of that kind or one for each that has to be given; anything else
//! is asked about. What was taken for what is part of the answer.

mod matching;
mod misunderstanding;
mod reading;
mod spelling;
mod words;

pub use misunderstanding::Misunderstanding;
pub use spelling::{example, needed, usual};

use super::catalogue::cautions::HIGH_VOLTAGE;
use super::catalogue::{
    Computation, Given, Input, InputKind, Inputs, Need, Output, Refusal, computations, find,
};
use super::units::{Dimension, Volts};
use super::voltage_limits::{VoltageKind, cautions_reached};

/// A computation with its inputs found.
#[derive(Debug)]
pub struct Asked {
    /// The computation.
    pub computation: &'static Computation,
    /// What goes into it, in the order of [`Computation::inputs`].
    pub taken: Vec<Taken>,
}

/// One input and the value it is given.
#[derive(Debug)]
pub struct Taken {
    /// The input.
    pub input: &'static Input,
    /// Its value, in its base unit.
    pub value: Given,
    /// Whether nothing was said and this stands in for it.
    pub stands_in: bool,
}

impl Asked {
    /// Computes.
    ///
    /// # Errors
    /// As [`Computation::run`].
    pub fn run(&self) -> Result<Vec<Output>, Refusal> {
        self.computation.run(&self.inputs())
    }

    /// What goes into the computation.
    #[must_use]
    pub fn inputs(&self) -> Inputs {
        self.taken.iter().fold(Inputs::new(), |inputs, taken| {
            inputs.with(taken.input.name, taken.value.clone())
        })
    }

    /// What is to be said beside the result: the cautions of the computation,
    /// and that of high voltage where one of the inputs reaches a published one.
    #[must_use]
    pub fn cautions(&self) -> Vec<&'static str> {
        let mut cautions = self.computation.cautions.to_vec();
        let high = self.taken.iter().any(|taken| match taken.value {
            Given::Number(volts) if taken.input.kind == InputKind::Quantity(Dimension::Voltage) => {
                Volts::new(volts)
                    .and_then(|volts| cautions_reached(VoltageKind::Direct, volts))
                    .is_ok_and(|reached| !reached.is_empty())
            }
            _ => false,
        });
        if high {
            cautions.push(HIGH_VOLTAGE);
        }
        cautions
    }
}

/// The computations of a name: the one so called, else all of whose names it is
/// the first word, as `trace` is of `trace-width`.
#[must_use]
pub fn named(name: &str) -> Vec<&'static Computation> {
    if let Some(computation) = find(name) {
        return vec![computation];
    }
    computations()
        .filter(|computation| {
            computation
                .name
                .strip_prefix(name)
                .is_some_and(|rest| !name.is_empty() && rest.starts_with('-'))
        })
        .collect()
}

/// Understands what was said after the name. Of several computations, the one
/// that it fits is taken.
///
/// # Errors
/// What could not be understood, or fits several.
pub fn ask(candidates: &[&'static Computation], said: &str) -> Result<Asked, Misunderstanding> {
    if let [only] = candidates {
        return understand(only, said);
    }
    let mut understood = Vec::new();
    let mut troubles = Vec::new();
    for candidate in candidates {
        match understand(candidate, said) {
            Ok(asked) => understood.push(asked),
            Err(trouble) => troubles.push(trouble),
        }
    }
    match (understood.len(), understood.pop()) {
        (1, Some(asked)) => Ok(asked),
        // A word that no value can be made of is so for all of them.
        (0, _) if matches!(troubles.first(), Some(Misunderstanding::Unread { .. })) => {
            Err(troubles.swap_remove(0))
        }
        _ => Err(Misunderstanding::SeveralComputations {
            names: candidates.iter().map(|candidate| candidate.name).collect(),
        }),
    }
}

fn understand(computation: &'static Computation, said: &str) -> Result<Asked, Misunderstanding> {
    let pieces = words::pieces(computation, said)?;
    let mut slots = matching::matched(computation, pieces)?;
    let mut taken = Vec::new();
    for (input, slot) in computation.inputs.iter().zip(&mut slots) {
        let stands_in = slot.is_none();
        let value = slot.take().or(match input.need {
            Need::Default(number) => Some(Given::Number(number)),
            Need::DefaultWord(word) => Some(Given::Word(word.into())),
            Need::Required | Need::Optional => None,
        });
        if let Some(value) = value {
            taken.push(Taken {
                input,
                value,
                stands_in,
            });
        }
    }
    Ok(Asked { computation, taken })
}

#[cfg(test)]
mod tests;
