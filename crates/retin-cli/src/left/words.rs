//! What is left, in the words of the bench.

use super::Printed;
use retin::meaning::{BoardCopy, PartId, names};
use retin::time::demands::pieces_named;
use retin::time::left::{BoardLeft, LeftParts, StepLeft};
use retin::time::progress::Left;
use retin::time::{AccidentRecord, Status};

/// What is left to do, as the beginning of a sentence: "fit C3".
pub(super) fn to_do(what: Left) -> &'static str {
    match what {
        Left::Replace => "replace",
        Left::Remove => "take out",
        Left::Fit => "fit",
        Left::Chip => "put into its socket",
        Left::TakenOut => "put back, or plan to leave out,",
        Left::Inspect => "inspect",
    }
}

/// What is left to do, for programs.
pub(super) fn key(what: Left) -> &'static str {
    match what {
        Left::Replace => "replace",
        Left::Remove => "remove",
        Left::Fit => "fit",
        Left::Chip => "chip",
        Left::TakenOut => "taken-out",
        Left::Inspect => "inspect",
    }
}

/// What was not done, as the end of a sentence: "C7 not fitted".
fn not_done(what: Left) -> &'static str {
    match what {
        Left::Replace => "not replaced",
        Left::Remove => "not taken out",
        Left::Fit => "not fitted",
        Left::Chip => "not in the socket",
        Left::TakenOut => "taken out and not put back",
        Left::Inspect => "not inspected",
    }
}

impl Printed<'_, '_> {
    /// Names of parts on their board, `C1..C6, R3`.
    pub(super) fn parts(&self, parts: &[PartId]) -> String {
        names::compress(parts.iter().map(|part| self.case.part(*part).name.as_str()))
    }

    /// Names of copies of boards, `ch1..ch8`.
    pub(super) fn copies(&self, copies: &[BoardCopy]) -> String {
        names::compress(copies.iter().map(|copy| self.case.name_of_copy(*copy)))
    }

    /// What is left on a board: "fit C3, C13; inspect C1".
    pub(super) fn work(&self, left: &LeftParts) -> String {
        let works = left
            .iter()
            .map(|(what, parts)| format!("{} {}", to_do(*what), self.parts(parts)));
        works.collect::<Vec<_>>().join("; ")
    }

    /// How copies compare with their siblings: "behind its siblings: C7 not fitted".
    pub(super) fn beside(&self, board: &BoardLeft) -> Vec<String> {
        let Some(beside) = &board.beside else {
            return Vec::new();
        };
        let its = if board.copies.len() == 1 {
            "its"
        } else {
            "their"
        };
        let mut lines = Vec::new();
        if !beside.behind.is_empty() {
            let behind = beside
                .behind
                .iter()
                .map(|(what, parts)| format!("{} {}", self.parts(parts), not_done(*what)));
            let behind = behind.collect::<Vec<_>>().join("; ");
            lines.push(format!("behind {its} siblings: {behind}"));
        }
        if !beside.ahead.is_empty() {
            lines.push(format!(
                "ahead of {its} siblings: {} done",
                self.parts(&beside.ahead)
            ));
        }
        lines
    }

    /// The name of a step.
    pub(super) fn step(&self, step: usize) -> &str {
        self.job.steps[step].name
    }

    /// What a step waits for: "strip, wash", "the repair of accident 2".
    pub(super) fn waits_for(&self, step: &StepLeft) -> String {
        let mut waits: Vec<String> = step
            .waits_for
            .iter()
            .map(|earlier| self.step(*earlier).to_owned())
            .collect();
        waits.extend(step.accidents.iter().map(|accident| {
            let record = &self.replay.accidents[*accident];
            format!("a repair of accident {}", record.number)
        }));
        waits.join(", ")
    }

    /// What is left of a step.
    pub(super) fn pieces(&self, step: &StepLeft) -> String {
        pieces_named(self.case, &step.progress.left)
    }

    /// An accident: "psu.C6.+  pad lifted".
    pub(super) fn accident(&self, record: &AccidentRecord<'_>) -> String {
        let words = record
            .accident
            .map_or("an accident", |accident| accident.row().words);
        let at = self
            .job
            .log
            .get(record.entry)
            .and_then(|entry| entry.subject.origin);
        match at {
            Some(origin) => format!("{} {words}", self.case.sources.text(origin)),
            None => words.to_owned(),
        }
    }

    /// How far an accident has been dealt with.
    pub(super) fn status(&self, record: &AccidentRecord<'_>) -> &'static str {
        match record.status() {
            Status::Open => "not repaired",
            Status::Repaired => "repaired, and not proven",
            Status::Proven => "repaired and proven",
        }
    }
}
