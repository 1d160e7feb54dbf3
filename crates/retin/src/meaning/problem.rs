//! What could not be made sense of while the files were read. Rules report it.

use crate::sources::Origin;
use retin_syntax::Span;
use retin_syntax::value::{Dimension, ValueErrorKind};

/// Something that could not be made sense of.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Problem {
    /// Where.
    pub origin: Origin,
    /// What.
    pub kind: ProblemKind,
    /// Where else a name stands that nobody knows; in the order of the files.
    pub also: Vec<Origin>,
    /// Of a name that is taken: one that it was likely meant to be, since `also` names
    /// it and no line has it.
    pub meant: Option<String>,
}

/// The ways in which a file can make no sense.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum ProblemKind {
    /// The line could not be read.
    Unreadable {
        /// What is wrong, as a sentence.
        message: String,
        /// What to do.
        help: Option<String>,
        /// Changes of the file's text that would mend it, where they are clear.
        edits: Vec<(Span, String)>,
    },
    /// A `use` line that leads nowhere.
    Use {
        /// What is wrong, as a sentence.
        message: String,
        /// Whether its file is read all the same.
        is_read: bool,
        /// What to do.
        help: String,
    },
    /// A name that stands for nothing.
    UnknownName {
        /// What was looked for: "part", "board", "net".
        what: &'static str,
        /// The name as written.
        name: String,
        /// A name like it that does exist.
        near: Option<String>,
    },
    /// A name used twice for different things of one sort.
    DuplicateName {
        /// What is named: "part", "board".
        what: &'static str,
        /// The name.
        name: String,
        /// Where it was used first.
        first: Origin,
    },
    /// A range that cannot be counted out.
    BadRange {
        /// What is wrong, as a sentence.
        message: String,
    },
    /// A value of one dimension where another belongs.
    WrongDimension {
        /// The property.
        what: String,
        /// What belongs there.
        expected: String,
        /// What stands there: the value, and what it is.
        found: String,
    },
    /// Text that looks like a value and is none, or could be more than one.
    NotAValue {
        /// The text as written.
        written: String,
        /// Why it is no value.
        error: ValueErrorKind,
    },
    /// A bare number where a value with a unit belongs.
    BareNumber {
        /// The number as written.
        number: String,
        /// What belongs there, where the kind says it.
        expected: Option<Dimension>,
        /// Spellings that may be meant.
        suggestions: Vec<String>,
    },
    /// A fact that a line of this sort does not take, or takes once only.
    Misplaced {
        /// What is wrong, as a sentence.
        message: String,
        /// What that does.
        consequence: &'static str,
        /// What to do.
        help: String,
    },
}
