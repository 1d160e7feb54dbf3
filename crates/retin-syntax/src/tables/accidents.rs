//! What can go wrong at the bench, in the words of the log.

/// What an accident strikes.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub enum Struck {
    /// The copper that a lead is soldered to.
    Pad,
    /// The plating of a hole.
    Barrel,
    /// The copper between two pads.
    Trace,
    /// A solder joint.
    Joint,
    /// A part.
    Part,
    /// The board itself.
    Board,
}

/// What has to be shown once an accident is mended.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub enum Proof {
    /// A reading from one end of the repair to the other; where holes are
    /// plated, on both sides.
    EndToEnd,
    /// A reading that shows the two points apart, or a look.
    Apart,
    /// A look at it.
    Look,
    /// Another part in the place.
    AnotherPart,
    /// A reading of the part, or another part in its place.
    Reading,
}

/// An accident.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
#[allow(
    missing_docs,
    reason = "the table below describes each accident in its own row"
)]
pub enum Accident {
    PadLifted,
    BarrelTorn,
    TraceBroken,
    JointCracked,
    SolderBridge,
    BoardCracked,
    Burnt,
    WrongPart,
    Reversed,
    PoweredReversed,
    OverRating,
    Overheated,
    Dropped,
}

/// One row of the table of accidents.
#[derive(Clone, Copy, Debug)]
pub struct AccidentRow {
    /// What happened.
    pub accident: Accident,
    /// How the log says it: words that stand one after the other.
    pub words: &'static str,
    /// What it strikes.
    pub strikes: Struck,
    /// What a repair of it has to show.
    pub proof: Proof,
    /// Whether the part it strikes must not be used again.
    pub stresses: bool,
    /// One line for the reference and for hover.
    pub doc: &'static str,
}

const fn row(
    accident: Accident,
    words: &'static str,
    strikes: Struck,
    proof: Proof,
    stresses: bool,
    doc: &'static str,
) -> AccidentRow {
    AccidentRow {
        accident,
        words,
        strikes,
        proof,
        stresses,
        doc,
    }
}

use Accident as A;
use Struck as S;

/// Every accident. The proofs are *common practice, no source*.
#[rustfmt::skip]
pub const ACCIDENTS: &[AccidentRow] = &[
    row(A::PadLifted,       "pad lifted",       S::Pad,    Proof::EndToEnd,    false, "the pad came off the board"),
    row(A::BarrelTorn,      "barrel torn",      S::Barrel, Proof::EndToEnd,    false, "the plating came out of the hole"),
    row(A::TraceBroken,     "trace broken",     S::Trace,  Proof::EndToEnd,    false, "the copper between two points is broken"),
    row(A::JointCracked,    "joint cracked",    S::Joint,  Proof::Look,        false, "a solder joint is cracked"),
    row(A::SolderBridge,    "solder bridge",    S::Joint,  Proof::Apart,       false, "solder joins what has to stay apart"),
    row(A::BoardCracked,    "cracked",          S::Board,  Proof::EndToEnd,    false, "the board is cracked"),
    row(A::Burnt,           "burnt",            S::Board,  Proof::Look,        false, "a spot of the board is charred, and char conducts"),
    row(A::WrongPart,       "wrong part",       S::Part,   Proof::AnotherPart, false, "another part went in than was meant"),
    row(A::Reversed,        "reversed",         S::Part,   Proof::AnotherPart, false, "the part went in the wrong way round"),
    row(A::PoweredReversed, "powered reversed", S::Part,   Proof::AnotherPart, true,  "the part had power while it was the wrong way round"),
    row(A::OverRating,      "over its rating",  S::Part,   Proof::AnotherPart, true,  "the part had more voltage or current than it is rated for"),
    row(A::Overheated,      "overheated",       S::Part,   Proof::Reading,     false, "the part became too hot, by the iron or under power"),
    row(A::Dropped,         "dropped",          S::Part,   Proof::Reading,     false, "the part, or the board, fell"),
];

impl Accident {
    /// The accident's row in the table.
    pub fn row(self) -> &'static AccidentRow {
        // Every variant has its row, which a test holds.
        ACCIDENTS
            .iter()
            .find(|row| row.accident == self)
            .unwrap_or(&ACCIDENTS[0])
    }

    /// The accident that these words tell, one blank between them.
    pub fn told(words: &str) -> Option<Accident> {
        ACCIDENTS
            .iter()
            .find(|row| row.words == words)
            .map(|row| row.accident)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_accident_is_told_by_its_own_words() {
        for row in ACCIDENTS {
            assert_eq!(Accident::told(row.words), Some(row.accident));
            assert_eq!(row.accident.row().words, row.words);
        }
    }
}
