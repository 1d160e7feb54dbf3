//! The last words: what was checked, by whom and when; and what goes before it.

use super::{Telling, heading, paragraph};
use crate::check::Tally;
use crate::sheets::document::{Block, Words};
use crate::words::{counted, listed};

pub(super) fn closing(telling: &Telling<'_, '_, '_>, blocks: &mut Vec<Block>) {
    blocks.push(heading(1, "What this report is"));
    let tallies = &telling.checked.report.tallies;
    let sum = |count: fn(&Tally) -> u32| tallies.iter().map(count).sum::<u32>();
    let checks = format!(
        "{}, {} found something amiss, {} could not be made",
        counted(
            sum(|tally| tally.passed) as usize,
            "check found its part in order",
            "checks found their part in order",
        ),
        sum(|tally| tally.failed),
        telling.checked.not_checked()
    );
    blocks.push(paragraph(format!(
        "It is drawn from the job's file, {}, as the bench wrote it down: {}. The program read the file through: {checks}.",
        telling.checked.revision,
        by_whom(telling),
    )));
    blocks.push(paragraph(
        Words::strong("It says what was checked, by whom and when, and not that the unit is safe.").and(
            " Mains equipment is governed by the codes of the place where it is used, and in many places only licensed people may work on it or judge it. Those codes, and the licensed practitioner, go before anything written here.",
        ),
    ));
    blocks.push(Block::WriteIn {
        heads: vec!["date".to_owned(), "name and signature".to_owned()],
        lines: 1,
    });
}

/// Who made entries, and in which time.
fn by_whom(telling: &Telling<'_, '_, '_>) -> String {
    let log = &telling.job.log;
    let entries = counted(log.len(), "entry", "entries");
    if log.is_empty() {
        return "no work is written down".to_owned();
    }
    let mut who: Vec<String> = Vec::new();
    for by in log.iter().filter_map(|entry| entry.by) {
        if !who.iter().any(|known| known == by) {
            who.push(by.to_owned());
        }
    }
    let is_unsigned = log.iter().any(|entry| entry.by.is_none());
    let who = match (who.is_empty(), is_unsigned) {
        (true, _) => "none of them with initials".to_owned(),
        (false, true) => format!("by {} and without initials", listed(&who)),
        (false, false) => format!("by {}", listed(&who)),
    };
    let dates = || log.iter().filter_map(|entry| entry.date);
    let when = match (dates().min(), dates().max()) {
        (Some(first), Some(last)) if first == last => format!(" on {first}"),
        (Some(first), Some(last)) => format!(" from {first} to {last}"),
        _ => String::new(),
    };
    format!("{entries}{when}, {who}")
}
