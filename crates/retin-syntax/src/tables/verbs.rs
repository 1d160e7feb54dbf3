//! The words of plans, steps and the log: plans are imperative, the log is past tense.

use crate::token::Token;

/// What a plan line wants done with its parts.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub enum PlanVerb {
    /// Take the old part out and put another in.
    Replace,
    /// Put a part where the maker had none.
    Add,
    /// Take the part out and put none in.
    Remove,
    /// Let the part stay, having looked at it.
    Keep,
    /// Let the part stay without dealing with it, for a reason.
    Leave,
    /// The unit never had this part.
    Absent,
    /// Put the chip in a socket.
    Socket,
}

/// One row of the table of plan verbs.
#[derive(Clone, Copy, Debug)]
pub struct VerbRow<V: 'static> {
    /// The reserved word.
    pub token: Token,
    /// What it means to the checker.
    pub verb: V,
    /// One line for the reference and for hover.
    pub doc: &'static str,
}

/// The verbs of a plan.
pub const PLAN_VERBS: &[VerbRow<PlanVerb>] = &[
    VerbRow {
        token: Token::Replace,
        verb: PlanVerb::Replace,
        doc: "take the old part out and fit a new one",
    },
    VerbRow {
        token: Token::Add,
        verb: PlanVerb::Add,
        doc: "fit a part where the maker had none",
    },
    VerbRow {
        token: Token::Remove,
        verb: PlanVerb::Remove,
        doc: "take the part out and fit none",
    },
    VerbRow {
        token: Token::Keep,
        verb: PlanVerb::Keep,
        doc: "the old part stays",
    },
    VerbRow {
        token: Token::Leave,
        verb: PlanVerb::Leave,
        doc: "not dealt with, for the reason given",
    },
    VerbRow {
        token: Token::Absent,
        verb: PlanVerb::Absent,
        doc: "this unit never had the part",
    },
    VerbRow {
        token: Token::Socket,
        verb: PlanVerb::Socket,
        doc: "put the chip in a socket",
    },
];

/// What a step does.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
#[allow(
    missing_docs,
    reason = "each variant is the verb it is named after; the table describes it"
)]
pub enum StepVerb {
    Photograph,
    Discharge,
    Remove,
    Clean,
    Repair,
    Fit,
    Solder,
    Inspect,
    Measure,
    Power,
    Adjust,
    Test,
}

/// The verbs of steps, with the word the log uses once it is done.
pub const STEP_VERBS: &[(VerbRow<StepVerb>, Token)] = &[
    (
        VerbRow {
            token: Token::Photograph,
            verb: StepVerb::Photograph,
            doc: "take pictures",
        },
        Token::Photographed,
    ),
    (
        VerbRow {
            token: Token::Discharge,
            verb: StepVerb::Discharge,
            doc: "empty charged capacitors and prove it",
        },
        Token::Discharged,
    ),
    (
        VerbRow {
            token: Token::Remove,
            verb: StepVerb::Remove,
            doc: "take parts out",
        },
        Token::Removed,
    ),
    (
        VerbRow {
            token: Token::Clean,
            verb: StepVerb::Clean,
            doc: "wash, brush or rinse",
        },
        Token::Cleaned,
    ),
    (
        VerbRow {
            token: Token::Repair,
            verb: StepVerb::Repair,
            doc: "mend pads, barrels and traces",
        },
        Token::Repaired,
    ),
    (
        VerbRow {
            token: Token::Fit,
            verb: StepVerb::Fit,
            doc: "put parts in",
        },
        Token::Fitted,
    ),
    (
        VerbRow {
            token: Token::Solder,
            verb: StepVerb::Solder,
            doc: "make joints",
        },
        Token::Soldered,
    ),
    (
        VerbRow {
            token: Token::Inspect,
            verb: StepVerb::Inspect,
            doc: "look at joints and parts",
        },
        Token::Inspected,
    ),
    (
        VerbRow {
            token: Token::Measure,
            verb: StepVerb::Measure,
            doc: "take readings",
        },
        Token::Measured,
    ),
    (
        VerbRow {
            token: Token::Power,
            verb: StepVerb::Power,
            doc: "apply power, with a limit",
        },
        Token::Powered,
    ),
    (
        VerbRow {
            token: Token::Adjust,
            verb: StepVerb::Adjust,
            doc: "turn a trimmer to its target",
        },
        Token::Adjusted,
    ),
    (
        VerbRow {
            token: Token::Test,
            verb: StepVerb::Test,
            doc: "try the unit's functions",
        },
        Token::Tested,
    ),
];

/// Words of log entries that no step has.
pub const LOG_ONLY: &[(Token, &str)] = &[
    (Token::Damaged, "an accident: what, where and how"),
    (Token::Approved, "the owner agreed to something"),
    (Token::Ordered, "parts were ordered"),
    (Token::Arrived, "parts came in"),
    (Token::Noted, "anything worth remembering"),
    (
        Token::Corrected,
        "mends an earlier entry without erasing it",
    ),
    (Token::Returned, "the unit went back to its owner"),
];

impl PlanVerb {
    /// The verb a reserved word names.
    pub fn of(token: Token) -> Option<PlanVerb> {
        PLAN_VERBS
            .iter()
            .find(|row| row.token == token)
            .map(|row| row.verb)
    }

    /// The word for the verb.
    pub fn word(self) -> &'static str {
        PLAN_VERBS
            .iter()
            .find(|row| row.verb == self)
            .and_then(|row| row.token.reserved_text())
            .unwrap_or("")
    }
}

impl StepVerb {
    /// The verb a reserved word names.
    pub fn of(token: Token) -> Option<StepVerb> {
        STEP_VERBS
            .iter()
            .find(|row| row.0.token == token)
            .map(|row| row.0.verb)
    }
}

/// What an entry of the log tells.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
#[allow(
    missing_docs,
    reason = "each variant is the verb it is named after; the tables describe it"
)]
pub enum LogVerb {
    Photographed,
    Discharged,
    Removed,
    Cleaned,
    Repaired,
    Fitted,
    Soldered,
    Inspected,
    Measured,
    Powered,
    Adjusted,
    Tested,
    Damaged,
    Approved,
    Ordered,
    Arrived,
    Noted,
    Corrected,
    Returned,
}

/// The words that open an entry of the log.
const LOG_VERBS: &[(Token, LogVerb)] = &[
    (Token::Photographed, LogVerb::Photographed),
    (Token::Discharged, LogVerb::Discharged),
    (Token::Removed, LogVerb::Removed),
    (Token::Cleaned, LogVerb::Cleaned),
    (Token::Repaired, LogVerb::Repaired),
    (Token::Fitted, LogVerb::Fitted),
    (Token::Soldered, LogVerb::Soldered),
    (Token::Inspected, LogVerb::Inspected),
    (Token::Measured, LogVerb::Measured),
    (Token::Powered, LogVerb::Powered),
    (Token::Adjusted, LogVerb::Adjusted),
    (Token::Tested, LogVerb::Tested),
    (Token::Damaged, LogVerb::Damaged),
    (Token::Approved, LogVerb::Approved),
    (Token::Ordered, LogVerb::Ordered),
    (Token::Arrived, LogVerb::Arrived),
    (Token::Noted, LogVerb::Noted),
    (Token::Corrected, LogVerb::Corrected),
    (Token::Returned, LogVerb::Returned),
];

impl LogVerb {
    /// The verb a reserved word names.
    pub fn of(token: Token) -> Option<LogVerb> {
        LOG_VERBS.iter().find(|row| row.0 == token).map(|row| row.1)
    }

    /// The word for the verb.
    pub fn word(self) -> &'static str {
        LOG_VERBS
            .iter()
            .find(|row| row.1 == self)
            .and_then(|row| row.0.reserved_text())
            .unwrap_or("")
    }

    /// The words that open an entry.
    pub fn tokens() -> impl Iterator<Item = Token> + Clone {
        LOG_VERBS.iter().map(|row| row.0)
    }
}

/// Where a trimmer is set to, other than by a reading.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub enum Stop {
    /// Where least flows, or least comes out.
    Minimum,
    /// Half way.
    Middle,
    /// Where most flows, or most comes out.
    Maximum,
}

/// The words for the settings of a trimmer, `adjusted psu.VR1 to minimum`.
pub const STOPS: &[(&str, Stop, &str)] = &[
    (
        "minimum",
        Stop::Minimum,
        "where least flows, or least comes out",
    ),
    ("middle", Stop::Middle, "half way"),
    (
        "maximum",
        Stop::Maximum,
        "where most flows, or most comes out",
    ),
];

/// Whether the word opens a log entry.
pub fn is_log_verb(token: Token) -> bool {
    LogVerb::of(token).is_some()
}

/// The past tense of a verb of steps or plans, as the log has it.
pub fn past_of(token: Token) -> Option<&'static str> {
    match token {
        Token::Replace => Some("fitted"),
        Token::Add => Some("fitted"),
        _ => STEP_VERBS
            .iter()
            .find(|row| row.0.token == token)
            .and_then(|row| row.1.reserved_text()),
    }
}

/// The imperative of a verb of the log, as steps have it.
pub fn imperative_of(token: Token) -> Option<&'static str> {
    STEP_VERBS
        .iter()
        .find(|row| row.1 == token)
        .and_then(|row| row.0.token.reserved_text())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_verb_of_the_log_is_a_step_done_or_stands_in_the_log_only() {
        for (token, verb) in LOG_VERBS {
            let is_step = STEP_VERBS.iter().any(|row| row.1 == *token);
            let is_alone = LOG_ONLY.iter().any(|row| row.0 == *token);
            assert!(is_step != is_alone, "{verb:?}");
            assert_eq!(LogVerb::of(*token), Some(*verb));
        }
        assert_eq!(LOG_VERBS.len(), STEP_VERBS.len() + LOG_ONLY.len());
    }
}
