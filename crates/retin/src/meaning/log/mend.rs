//! Corrections: which entry each one mends.

use super::{LogEntry, Subject};
use crate::meaning::build::Reader;
use crate::meaning::problem::ProblemKind;
use crate::sources::FileId;
use retin_syntax::tree;
use retin_syntax::value::Value;

impl<'t, 'a> Reader<'t, 'a> {
    /// Finds the entry that a correction mends, and ties the two together; unless
    /// every line of the log is read, it may stand on one that is not.
    pub(super) fn mend(
        &mut self,
        file: FileId,
        entries: &mut [LogEntry<'a>],
        index: usize,
        of: &tree::Mends,
        is_whole: bool,
    ) {
        let mut date = None;
        let mut time = None;
        for word in &of.when {
            match self.value(file, word.span) {
                Some(Value::Date(found)) => date = Some(found),
                Some(Value::Time(found)) => time = Some(found),
                Some(Value::Unreadable) | None => {}
                Some(found) => {
                    self.no_such(
                        file,
                        word.span,
                        "the entry that is mended",
                        "its day and time, such as 2026-11-03 09:40",
                        &found,
                    );
                }
            }
        }
        let (before, rest) = entries.split_at_mut(index);
        let Some(correction) = rest.first_mut() else {
            return;
        };
        let date = date.or(time.and(correction.date));
        let is_same_act =
            |entry: &LogEntry<'_>| of.verb.is_some_and(|verb| verb.token == entry.verb);
        let is_at = |entry: &LogEntry<'_>| entry.date == date && entry.time == time;
        let found = if time.is_some() || date.is_some() {
            let all: Vec<usize> = (0..before.len())
                .filter(|index| !before[*index].is_correction() && is_at(&before[*index]))
                .collect();
            let alike: Vec<usize> = all
                .iter()
                .copied()
                .filter(|index| is_same_act(&before[*index]))
                .collect();
            // An entry that was copied is told as such.
            let sources = self.sources;
            let text = |index: usize| sources.text(before[index].origin);
            let is_copied = alike.windows(2).all(|pair| text(pair[0]) == text(pair[1]));
            match (&alike[..], &all[..]) {
                ([one], _) | ([], [one]) => Ok(*one),
                ([one, ..], _) if is_copied => Ok(*one),
                ([], []) if !is_whole => return,
                ([], []) => Err((
                    "there is no entry at the day and time that this correction names",
                    "write day and time as the entry has them, `corrected 2026-11-03 09:40 …`",
                )),
                _ => Err((
                    "more than one entry stands at the day and time that this correction names",
                    "repeat the verb and the place of the one that is meant",
                )),
            }
        } else if of.verb.is_some() {
            // It repeats the entry, with the mistake mended.
            let repeats = |entry: &LogEntry<'_>| {
                !entry.is_correction()
                    && is_same_act(entry)
                    && shares(&entry.subject, &correction.subject)
            };
            match before.iter().rposition(repeats) {
                Some(found) => Ok(found),
                None if !is_whole => return,
                None => Err((
                    "no earlier entry tells of this, so this correction mends nothing",
                    "name the entry by its day and time, `corrected 2026-11-03 09:40 …`",
                )),
            }
        } else {
            Err((
                "this correction does not say which entry it mends",
                "name it by its day and time and say it anew, `corrected 2026-11-03 09:40 measured psu.C2 1840uF`",
            ))
        };
        match found {
            Ok(mended) => {
                correction.mends = Some(mended);
                before[mended].mended_by = Some(index);
            }
            Err((message, help)) => {
                let span = correction.origin.span;
                self.problem(
                    file,
                    span,
                    ProblemKind::Misplaced {
                        message: message.into(),
                        consequence: "the mistake stands in the log as before, and counts",
                        help: help.into(),
                    },
                );
            }
        }
    }
}

/// Whether two entries are about the same thing, in part at least.
fn shares(one: &Subject<'_>, other: &Subject<'_>) -> bool {
    if one.is_nothing() && other.is_nothing() {
        return true;
    }
    one.places.iter().any(|place| other.places.contains(place))
        || one.pads.iter().any(|pad| other.pads.contains(pad))
        || one.boards.iter().any(|board| other.boards.contains(board))
        || one.nets.iter().any(|net| other.nets.contains(net))
        || one.links.iter().any(|link| other.links.contains(link))
}
