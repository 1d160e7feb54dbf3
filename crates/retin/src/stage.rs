//! How far a job has come; the log says it, nobody types it.

use std::fmt;

/// A stage of a job, earliest first. A finding is an error from the first
/// stage at which it can cost a part.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub enum Stage {
    /// Parts are being listed.
    List,
    /// There is a plan; parts may be ordered.
    Order,
    /// Parts are coming out.
    Strip,
    /// Parts are going in.
    Fit,
    /// Power has been, or is about to be, applied.
    Power,
    /// Socketed chips are going in.
    Chips,
    /// The unit is about to go back.
    Close,
}

impl Stage {
    /// Every stage, earliest first.
    pub const ALL: [Stage; 7] = [
        Stage::List,
        Stage::Order,
        Stage::Strip,
        Stage::Fit,
        Stage::Power,
        Stage::Chips,
        Stage::Close,
    ];

    /// The word for the stage.
    pub fn word(self) -> &'static str {
        match self {
            Stage::List => "list",
            Stage::Order => "order",
            Stage::Strip => "strip",
            Stage::Fit => "fit",
            Stage::Power => "power",
            Stage::Chips => "chips",
            Stage::Close => "close",
        }
    }

    /// The stage as the end of a sentence: "an error …".
    pub fn phrase(self) -> &'static str {
        match self {
            Stage::List => "while parts are listed",
            Stage::Order => "before parts are ordered",
            Stage::Strip => "before the first part comes out",
            Stage::Fit => "while parts are fitted",
            Stage::Power => "before first power",
            Stage::Chips => "before chips go in",
            Stage::Close => "before the unit goes back",
        }
    }

    /// The stage with this word.
    pub fn named(word: &str) -> Option<Stage> {
        Stage::ALL.into_iter().find(|stage| stage.word() == word)
    }
}

impl fmt::Display for Stage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}
