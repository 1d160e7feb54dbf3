//! What is left, in the words of the bench.

use super::{BoardLeft, Hours, How, LeftParts, StepLeft};
use crate::meaning::{BoardCopy, Case, Job, PartId, names};
use crate::time::demands::pieces_named;
use crate::time::minutes::in_words;
use crate::time::progress::Left;
use crate::time::{AccidentRecord, Replay, Status};
use retin_syntax::value::Decimal;

/// What is left to do, as the beginning of a sentence: "fit C3".
pub fn to_do(what: Left) -> &'static str {
    match what {
        Left::Replace => "replace",
        Left::Remove => "take out",
        Left::Fit => "fit",
        Left::Chip => "put into its socket",
        Left::TakenOut => "put back, or plan to leave out,",
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

/// The words for what is left of one job.
#[derive(Clone, Copy, Debug)]
pub struct Wording<'c, 'a> {
    /// The case.
    pub case: &'c Case<'a>,
    /// Its job.
    pub job: &'c Job<'a>,
    /// Its log, replayed.
    pub replay: &'c Replay<'a>,
}

impl<'c> Wording<'c, '_> {
    /// Names of parts on their board, `C1..C6, R3`.
    pub fn parts(&self, parts: &[PartId]) -> String {
        names::compress(parts.iter().map(|part| self.case.part(*part).name.as_str()))
    }

    /// Names of copies of boards, `ch1..ch8`.
    pub fn copies(&self, copies: &[BoardCopy]) -> String {
        names::compress(copies.iter().map(|copy| self.case.name_of_copy(*copy)))
    }

    /// What is left on a board: "fit C3, C13; inspect C1".
    pub fn work(&self, left: &LeftParts) -> String {
        let works = left
            .iter()
            .map(|(what, parts)| format!("{} {}", to_do(*what), self.parts(parts)));
        works.collect::<Vec<_>>().join("; ")
    }

    /// How much of a board is done: "3 of 16 parts done each".
    pub fn done(&self, board: &BoardLeft) -> String {
        let (done, all) = (board.done.len(), board.work());
        let each = if board.copies.len() > 1 { " each" } else { "" };
        let parts = if all == 1 { "part" } else { "parts" };
        if board.left.is_empty() {
            format!("all of {all} {parts} done{each}")
        } else {
            format!("{done} of {all} {parts} done{each}")
        }
    }

    /// How copies compare with their siblings: "behind its siblings: C7 not fitted".
    pub fn beside(&self, board: &BoardLeft) -> Vec<String> {
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
    pub fn step(&self, step: usize) -> &'c str {
        self.job.steps[step].name
    }

    /// How far a step has come: "12 of 40 done; about 3 h to go".
    pub fn state(&self, step: &StepLeft) -> String {
        let done = step.progress.done.len();
        let all = done + step.progress.left.len();
        let time = time(step);
        match step.how {
            How::Done => "done".to_owned(),
            How::Begun => format!("{done} of {all} done; {time} to go"),
            How::Free => format!("can begin; {time}"),
            How::Waits => format!("waits for {}; {time}", self.waits_for(step)),
        }
    }

    /// What a step waits for: "strip, wash", "a repair of accident 2".
    pub fn waits_for(&self, step: &StepLeft) -> String {
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
    pub fn pieces(&self, step: &StepLeft) -> String {
        pieces_named(self.case, &step.progress.left)
    }

    /// An accident: "psu.C6.+ pad lifted".
    pub fn accident(&self, record: &AccidentRecord<'_>) -> String {
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
    pub fn status(&self, record: &AccidentRecord<'_>) -> &'static str {
        match record.status() {
            Status::Open => "not repaired",
            Status::Repaired => "repaired, and not proven",
            Status::Proven => "repaired and proven",
        }
    }

    /// How many of the accidents are open.
    pub fn accidents(&self, open: usize) -> String {
        match (open, self.replay.accidents.len()) {
            (0, 1) => "the one that happened is repaired and proven".to_owned(),
            (0, all) => format!("all {all} are repaired and proven"),
            (open, all) => format!("{open} of {all} open"),
        }
    }
}

impl Hours {
    /// The time spent, in words.
    pub fn spent_in_words(&self) -> String {
        if self.spent == 0 {
            return "the log shows none".to_owned();
        }
        let spent = in_words(Decimal::from(self.spent) * Decimal::from(60));
        format!("{spent} between entries of the log")
    }

    /// The time to go, in words.
    pub fn to_go_in_words(&self) -> String {
        let Some(to_go) = self.to_go else {
            return "not known, since the job has no steps".to_owned();
        };
        match (to_go.is_zero(), self.unknown) {
            (true, 0) => "none".to_owned(),
            (false, 0) => format!("about {}", in_words(to_go)),
            (_, 1) => format!(
                "more than {}; the time of 1 step is not known whole",
                in_words(to_go)
            ),
            (_, count) => format!(
                "more than {}; the times of {count} steps are not known whole",
                in_words(to_go)
            ),
        }
    }
}

/// What is left of a step's time.
pub fn time(step: &StepLeft) -> String {
    match &step.missing {
        Some(_) if step.seconds.is_zero() => "its time is not known".to_owned(),
        Some(_) => format!("more than {}", in_words(step.seconds)),
        None => format!("about {}", in_words(step.seconds)),
    }
}
