//! The join line by line, for versions that cannot be joined by records.

use super::{Clash, Conflict, Merged, PlainReason};
use diffy::{IncompleteHunkStyle, MergeOptions};
use retin_syntax::parser::unresolved::{Marker, marker};

/// Joins line by line, as git does where it knows nothing of a file.
pub(super) fn merge(base: &str, ours: &str, theirs: &str, reason: PlainReason) -> Merged {
    let text = MergeOptions::new()
        .set_conflict_style(diffy::ConflictStyle::Merge)
        .set_incomplete_hunk_style(IncompleteHunkStyle::Git)
        .merge(base, ours, theirs);
    let (text, is_clean) = match text {
        Ok(text) => (text, true),
        Err(text) => (text, false),
    };
    let mut conflicts = Vec::new();
    let mut opened = None;
    for (index, line) in text.lines().enumerate().filter(|_| !is_clean) {
        match (opened, marker(line)) {
            (_, Some(Marker::Opens)) => opened = Some(index as u32 + 1),
            (Some(line), Some(Marker::Closes)) => {
                conflicts.push(Conflict {
                    line,
                    record: String::new(),
                    clash: Clash::Lines,
                });
                opened = None;
            }
            _ => {}
        }
    }
    Merged {
        text,
        conflicts,
        plain: Some(reason),
    }
}

/// Joins bytes line by line that are no text that can be read: the result, and
/// whether it is without conflicts.
pub(super) fn merge_bytes(base: &[u8], ours: &[u8], theirs: &[u8]) -> (Vec<u8>, bool) {
    let joined = MergeOptions::new()
        .set_conflict_style(diffy::ConflictStyle::Merge)
        .set_incomplete_hunk_style(IncompleteHunkStyle::Git)
        .merge_bytes(base, ours, theirs);
    match joined {
        Ok(bytes) => (bytes, true),
        Err(bytes) => (bytes, false),
    }
}
