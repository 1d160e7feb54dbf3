//! The last words: what was checked, by whom and when; and what goes before it.

use super::{Telling, heading, paragraph};
use crate::sheets::document::{Block, Words};
use crate::words::{counted, listed};

pub(super) fn closing(telling: &Telling<'_, '_, '_>, blocks: &mut Vec<Block>) {
    blocks.push(heading(1, "What this report is"));
    let passed: u32 = telling
        .checked
        .report
        .tallies
        .iter()
        .map(|tally| tally.passed)
        .sum();
    let passed = counted(
        passed as usize,
        "check found its part in order",
        "checks found their part in order",
    );
    let not_checked = counted(
        telling.checked.not_checked(),
        "could not be made",
        "could not be made",
    );
    blocks.push(paragraph(format!(
        "It is drawn from the job's file, {}, as the bench wrote it down: {}. The program read the file through: {passed}, {not_checked}.",
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
    if log.iter().any(|entry| entry.by.is_none()) {
        who.push("entries without initials".to_owned());
    }
    let dates = || log.iter().filter_map(|entry| entry.date);
    let when = match (dates().min(), dates().max()) {
        (Some(first), Some(last)) if first == last => format!(" on {first}"),
        (Some(first), Some(last)) => format!(" from {first} to {last}"),
        _ => String::new(),
    };
    format!("{entries}{when}, by {}", listed(&who))
}
