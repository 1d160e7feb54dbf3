//! Entries of the log that cannot have happened as they are written.

use super::{Judge, Rule};
use crate::check::Answers;
use crate::finding::{Fault, Verdict};
use crate::meaning::{Act, Case, LogEntry};
use crate::stage::Stage;
use crate::time::{Impossible, ImpossibleKind};

pub(super) const RULE: Rule = Rule {
    name: "impossible-entry",
    at: Stage::List,
    summary: "an entry of the log that cannot have happened as it is written",
    page: include_str!("impossible_entry.md"),
    judge: Judge::Case(judge),
};

fn judge(case: &Case<'_>, answers: &mut Answers<'_, '_>) {
    let Some(job) = &case.job else {
        return;
    };
    let mut next = case.replay.impossible.iter().peekable();
    for index in 0..job.log.len() {
        let mut is_possible = true;
        while let Some(impossible) = next.next_if(|impossible| impossible.entry == index) {
            is_possible = false;
            if let Some(fault) = fault(case, impossible) {
                answers.answer(&impossible.places, Verdict::failed(fault));
            }
        }
        if is_possible {
            answers.answer(&[], Verdict::Passed);
        }
    }
}

/// What an entry says was done, of a part that is not there.
fn done(entry: &LogEntry<'_>) -> &'static str {
    match entry.act {
        Act::Discharged => "discharged",
        Act::Adjusted { .. } => "adjusted",
        _ => "read at work",
    }
}

fn fault(case: &Case<'_>, impossible: &Impossible) -> Option<Fault> {
    let job = case.job.as_ref()?;
    let written = job.log.get(impossible.entry)?;
    let told = job.told(impossible.entry)?;
    let earlier = impossible.earlier.and_then(|index| job.log.get(index));
    // A correction is blamed for what it says in the place of another entry.
    let origin = match impossible.kind {
        ImpossibleKind::Earlier | ImpossibleKind::Duplicate | ImpossibleKind::AfterReturn => {
            written.origin
        }
        _ => told.origin,
    };
    let when = |entry: &LogEntry<'_>| match (entry.date, entry.time) {
        (Some(date), Some(time)) => format!("{date} {time}"),
        (Some(date), None) => date.to_string(),
        (None, Some(time)) => time.to_string(),
        (None, None) => "no time".to_owned(),
    };
    let (fact, consequence, remedy, label) = match impossible.kind {
        ImpossibleKind::FittedOverOld => (
            "a part is fitted in {place}, and nothing says that the old one came out".to_owned(),
            "either a removal is missing from the log or a part went in where it does not belong, and what is left cannot be counted",
            "write the removal with the time it had, or mend this entry with `corrected`",
            "",
        ),
        ImpossibleKind::FittedTwice => (
            "a part is fitted in {place} a second time, and the first one never came out"
                .to_owned(),
            "one of the two entries is about another place, and that place still waits for its part",
            "look which place this part is in, and mend the wrong entry with `corrected`",
            "fitted first here",
        ),
        ImpossibleKind::RemovedTwice => (
            "the part in {place} is removed a second time, and nothing was fitted in between"
                .to_owned(),
            "one of the two entries is about another place, and the part there is thought to be in still",
            "look which place is empty, and mend the wrong entry with `corrected`",
            "removed first here",
        ),
        ImpossibleKind::RemovedNothing => (
            "a part is removed from {place}, and there never was one".to_owned(),
            "the entry is about another place, and the part there is thought to be in still",
            "look which place is empty, and mend this entry with `corrected`",
            "",
        ),
        ImpossibleKind::NotThere => (
            format!("{{place}} is {}, and there is no part in it", done(told)),
            "the probe sat on another part, and its reading would be kept as this one's",
            "look which part it was, and mend this entry with `corrected`",
            "removed here",
        ),
        ImpossibleKind::Earlier => (
            match earlier {
                Some(earlier) => format!(
                    "this entry is of {}, and the one above it is of {}",
                    when(written),
                    when(earlier)
                ),
                None => "this entry is earlier than the one above it".to_owned(),
            },
            "what came before what cannot be told, and every question of order hangs on it",
            "mend the time, or begin a day with its date or with `next day`",
            "the entry above",
        ),
        ImpossibleKind::Duplicate => (
            "this entry stands in the log already, word for word".to_owned(),
            "a thing done once would be counted twice",
            "take the copy out; where it did happen twice, give it its own time",
            "the same entry",
        ),
        ImpossibleKind::AfterReturn => (
            "work goes on here after the unit went back".to_owned(),
            "either the unit is still on the bench or the work was done on another one",
            "mend the wrong entry with `corrected`, or write `arrived` where the unit came back",
            "it went back here",
        ),
    };
    let mut fault = Fault::new(origin, fact, consequence, remedy);
    if let (Some(earlier), false) = (earlier, label.is_empty()) {
        fault = fault.with(earlier.origin, label);
    }
    Some(fault)
}
