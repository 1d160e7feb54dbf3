//! Joins two versions of a file that came from one, by meaning.
//!
//! [`merge`] takes three texts and gives one. It joins record by record: what
//! only one side changed, added or took away is done; what both did alike is
//! done once; where both changed one record differently, both versions stand
//! between marker lines for the technician to decide, and nothing else is held
//! up by it. Entries of the log come together in day and time order.
//!
//! Records are matched by what they are about, not by where they stand
//! (`identity.rs`); the order of the lines follows the side that changed it.

pub(crate) mod identity;
mod layout;
pub(crate) mod outline;
mod plain;
mod records;
mod write;

use retin_syntax::parser::unresolved::is_unresolved;
use retin_syntax::{format, limits, parse};

/// Two versions, joined.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Merged {
    /// The whole file.
    pub text: String,
    /// What the technician has to decide, in the order of the lines.
    pub conflicts: Vec<Conflict>,
    /// Why the file was joined line by line and not record by record; none
    /// where it was joined by records.
    pub plain: Option<PlainReason>,
}

/// A place that both sides changed.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Conflict {
    /// The line of the joined text on which it begins, from 1.
    pub line: u32,
    /// The record, as one side has it.
    pub record: String,
    /// What the sides did.
    pub clash: Clash,
}

/// What two sides did to one record.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Clash {
    /// Both changed it, differently.
    BothChanged,
    /// Both added it, with different contents.
    BothAdded,
    /// Ours changed it, theirs took it out.
    TheyRemoved,
    /// Theirs changed it, ours took it out.
    WeRemoved,
    /// The lines differ; found by the plain line-by-line join.
    Lines,
}

/// Why a file was joined line by line.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum PlainReason {
    /// A version is too long to be read.
    TooLong,
    /// A version holds an earlier join that nobody decided.
    Unresolved,
    /// Joined record by record, the file could not be read as well as its versions.
    Unreadable,
}

/// Joins `ours` and `theirs`, which both came from `base`.
///
/// The line ends, a byte order mark and the last line end follow the side that
/// changed them. Where a side stands in its canonical form, all three versions
/// are brought to it first, and so is a result without conflicts: a side that
/// only reformatted the file is never in the way.
pub fn merge(base: &str, ours: &str, theirs: &str) -> Merged {
    let clean = |text: &str| Merged {
        text: text.to_owned(),
        conflicts: Vec::new(),
        plain: None,
    };
    if theirs == base || ours == theirs {
        return clean(ours);
    }
    if ours == base {
        return clean(theirs);
    }
    let texts = [base, ours, theirs];
    if texts.iter().any(|text| text.len() > limits::FILE_BYTES) {
        return plain::merge(base, ours, theirs, PlainReason::TooLong);
    }
    if is_unresolved(ours) || is_unresolved(theirs) {
        return plain::merge(base, ours, theirs, PlainReason::Unresolved);
    }
    let formatted = texts.map(|text| format(text).text);
    let is_canonical = formatted[1] == ours || formatted[2] == theirs;
    let versions = if is_canonical {
        [&*formatted[0], &formatted[1], &formatted[2]]
    } else {
        texts
    };
    let nodes = [0, 1, 2].map(|at| outline::read(versions[at], &formatted[at], at == 0));
    let layout = layout::Layout::of(versions);
    let joined = records::join(&nodes[0], &nodes[1], &nodes[2]);
    let mut merged = write::write(&joined, &layout);
    if is_canonical && merged.conflicts.is_empty() {
        merged.text = format(&merged.text).text;
    }
    let errors = |text: &str| parse(text).errors.len();
    let expected = errors(ours) + errors(theirs) + merged.conflicts.len();
    if errors(&merged.text) > expected {
        return plain::merge(base, ours, theirs, PlainReason::Unreadable);
    }
    merged
}

/// Joins versions that are no UTF-8 text, line by line: the result, and whether
/// it is without conflicts.
pub fn merge_bytes(base: &[u8], ours: &[u8], theirs: &[u8]) -> (Vec<u8>, bool) {
    plain::merge_bytes(base, ours, theirs)
}

#[cfg(test)]
mod tests;
