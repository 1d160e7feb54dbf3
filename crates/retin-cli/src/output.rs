//! The forms in which a command prints what it found.

use clap::ValueEnum;

/// The forms of output.
#[derive(ValueEnum, Clone, Copy, PartialEq, Eq, Debug)]
pub enum Output {
    /// For a person.
    Text,
    /// For programs; described in syntax/output.md.
    Json,
}
