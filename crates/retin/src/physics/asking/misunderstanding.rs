//! What could not be understood, said so that it can be said better.

use super::spelling::{Listed, example, labelled, needed};
use crate::physics::catalogue::{Computation, Input, InputKind};
use retin_syntax::value::{Decimal, Value};
use std::fmt;

/// Why what was said is no question that can be answered.
#[derive(Clone, Debug)]
pub enum Misunderstanding {
    /// It sets out to be a value and does not become one.
    Unread {
        /// As it was said.
        said: String,
        /// What is wrong with it.
        reason: String,
    },
    /// A word that the computation does not know.
    UnknownWord {
        /// The computation.
        computation: &'static Computation,
        /// The word.
        word: String,
    },
    /// A lead word without a value.
    NothingAfter {
        /// The computation.
        computation: &'static Computation,
        /// The word.
        word: String,
    },
    /// A value of another kind than the word before it wants.
    WrongKind {
        /// The computation.
        computation: &'static Computation,
        /// The input that the word is about.
        input: &'static Input,
        /// The value as it was said.
        said: String,
        /// What it is, with its article.
        is: &'static str,
    },
    /// A value of a kind that no input has.
    NoPlace {
        /// The computation.
        computation: &'static Computation,
        /// The value as it was said.
        said: String,
        /// What it is, with its article.
        is: &'static str,
    },
    /// One value more than there are inputs of its kind.
    Extra {
        /// The computation.
        computation: &'static Computation,
        /// The value as it was said.
        said: String,
    },
    /// Values that may be meant for several inputs.
    Ambiguous {
        /// The computation.
        computation: &'static Computation,
        /// The values as they were said.
        said: Vec<String>,
        /// The inputs that they may be meant for.
        inputs: Vec<&'static Input>,
    },
    /// Inputs that have to be given and were not.
    Missing {
        /// The computation.
        computation: &'static Computation,
        /// The inputs.
        inputs: Vec<&'static Input>,
    },
    /// The name is the first word of several computations, and not just one of
    /// them takes what was said.
    SeveralComputations {
        /// Their names.
        names: Vec<&'static str>,
    },
}

impl Misunderstanding {
    /// The computation as it may be asked for; nothing where it is not certain
    /// which is meant.
    #[must_use]
    pub fn example(&self) -> Option<String> {
        match self {
            Self::Unread { .. } | Self::SeveralComputations { .. } => None,
            Self::UnknownWord { computation, .. }
            | Self::NothingAfter { computation, .. }
            | Self::WrongKind { computation, .. }
            | Self::NoPlace { computation, .. }
            | Self::Extra { computation, .. }
            | Self::Ambiguous { computation, .. }
            | Self::Missing { computation, .. } => Some(example(computation)),
        }
    }
}

impl fmt::Display for Misunderstanding {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unread { said, reason } => write!(formatter, "{said}: {reason}"),
            Self::UnknownWord { computation, word } => {
                write!(
                    formatter,
                    "{word}: {} does not know this word",
                    computation.name
                )?;
                let known = known_words(computation);
                if known.is_empty() {
                    Ok(())
                } else {
                    write!(formatter, "; it knows {}", Listed(&known, "and"))
                }
            }
            Self::NothingAfter { computation, word } => {
                let wanted = computation
                    .inputs
                    .iter()
                    .find(|input| super::words::is_label_of(input, word))
                    .map_or_else(|| "a value".to_owned(), needed);
                write!(
                    formatter,
                    "{word}: nothing follows this word; it wants {wanted}"
                )
            }
            Self::WrongKind {
                input, said, is, ..
            } => write!(
                formatter,
                "{said} is {is}, and {} is {}",
                input.name,
                needed(input)
            ),
            Self::NoPlace {
                computation,
                said,
                is,
            } => {
                let wanted: Vec<String> = computation
                    .inputs
                    .iter()
                    .map(|input| format!("{} ({})", input.name, needed(input)))
                    .collect();
                let trouble = if *is == Value::Number(Decimal::ZERO).kind_in_words() {
                    "the unit is missing".to_owned()
                } else {
                    format!("{} has no use for {is}", computation.name)
                };
                write!(
                    formatter,
                    "{said}: {trouble}; it takes {}",
                    Listed(&wanted, "and")
                )
            }
            Self::Extra { computation, said } => write!(
                formatter,
                "{said} is one too many; {} has its values of this kind already",
                computation.name
            ),
            Self::Ambiguous { said, inputs, .. } => {
                let inputs: Vec<String> = inputs.iter().map(|input| labelled(input)).collect();
                write!(
                    formatter,
                    "{} may be meant for {}; put the word before the value",
                    Listed(said, "and"),
                    Listed(&inputs, "or")
                )
            }
            Self::Missing {
                computation,
                inputs,
            } => {
                let inputs: Vec<String> = inputs
                    .iter()
                    .map(|input| format!("{} ({})", input.name, needed(input)))
                    .collect();
                write!(
                    formatter,
                    "{} lacks {}",
                    computation.name,
                    Listed(&inputs, "and")
                )
            }
            Self::SeveralComputations { names } => {
                let names: Vec<String> = names.iter().map(|name| (*name).to_owned()).collect();
                write!(
                    formatter,
                    "this may be {}; give the whole name",
                    Listed(&names, "or")
                )
            }
        }
    }
}

impl std::error::Error for Misunderstanding {}

/// The words that may be said with a computation, each once.
fn known_words(computation: &Computation) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for input in computation.inputs {
        let choices = match input.kind {
            InputKind::Word(choices) => choices,
            _ => &[],
        };
        let own = [input.lead.unwrap_or(input.name)];
        for word in own.iter().chain(choices) {
            if !words.iter().any(|known| known == word) {
                words.push((*word).to_owned());
            }
        }
    }
    words
}
