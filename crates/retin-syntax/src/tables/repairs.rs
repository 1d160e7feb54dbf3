//! How accidents are mended, in the words of the log.

use super::accidents::Accident;

/// A repair.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
#[allow(
    missing_docs,
    reason = "the table below describes each repair in its own row"
)]
pub enum Repair {
    Wire,
    LeadFolded,
    PadRebuilt,
    BarrelWired,
    EyeletSet,
    TraceDoubled,
    JointRenewed,
    BridgeCleared,
    CrackBridged,
    CharCutAway,
    PartRenewed,
    Turned,
}

/// One row of the table of repairs.
#[derive(Clone, Copy, Debug)]
pub struct RepairRow {
    /// What was done.
    pub repair: Repair,
    /// How the log says it: words that stand one after the other. A wire is
    /// written with its diameter, `wire 0.5mm`.
    pub words: &'static str,
    /// What it mends.
    pub mends: &'static [Accident],
    /// One line for the reference and for hover.
    pub doc: &'static str,
}

const fn row(
    repair: Repair,
    words: &'static str,
    mends: &'static [Accident],
    doc: &'static str,
) -> RepairRow {
    RepairRow {
        repair,
        words,
        mends,
        doc,
    }
}

use Accident as A;
use Repair as R;

/// What breaks a connection.
const BREAKS: &[Accident] = &[A::PadLifted, A::BarrelTorn, A::TraceBroken, A::BoardCracked];
/// What a part is renewed for.
const PARTS: &[Accident] = &[
    A::WrongPart,
    A::Reversed,
    A::PoweredReversed,
    A::OverRating,
    A::Overheated,
    A::Dropped,
];

/// Every repair.
#[rustfmt::skip]
pub const REPAIRS: &[RepairRow] = &[
    row(R::Wire,          "wire",           BREAKS,                                        "a wire from one point to another"),
    row(R::LeadFolded,    "lead folded",    &[A::PadLifted, A::TraceBroken],               "the part's own lead, laid over to sound copper"),
    row(R::PadRebuilt,    "pad rebuilt",    &[A::PadLifted],                               "the pad glued down again, or a new one put on"),
    row(R::BarrelWired,   "barrel wired",   &[A::BarrelTorn, A::PadLifted],                "a wire through the hole, soldered on both sides"),
    row(R::EyeletSet,     "eyelet set",     &[A::BarrelTorn, A::PadLifted],                "an eyelet in the hole, soldered on both sides"),
    row(R::TraceDoubled,  "trace doubled",  &[A::TraceBroken, A::PadLifted, A::BoardCracked], "a wire along the broken trace"),
    row(R::JointRenewed,  "joint renewed",  &[A::JointCracked],                            "old solder off, new solder on"),
    row(R::BridgeCleared, "bridge cleared", &[A::SolderBridge],                            "the solder between two points wicked away"),
    row(R::CrackBridged,  "crack bridged",  &[A::BoardCracked],                            "the crack stopped, and each trace across it bridged"),
    row(R::CharCutAway,   "char cut away",  &[A::Burnt],                                   "burnt board cut or scraped to sound material"),
    row(R::PartRenewed,   "part renewed",   PARTS,                                         "another part of the same sort put in"),
    row(R::Turned,        "turned",         &[A::Reversed],                                "the same part put in the right way round, before any power"),
];

impl Repair {
    /// The repair's row in the table.
    pub fn row(self) -> &'static RepairRow {
        // Every variant has its row, which a test holds.
        REPAIRS
            .iter()
            .find(|row| row.repair == self)
            .unwrap_or(&REPAIRS[0])
    }

    /// The repair that these words tell, one blank between them.
    pub fn told(words: &str) -> Option<Repair> {
        REPAIRS
            .iter()
            .find(|row| row.words == words)
            .map(|row| row.repair)
    }

    /// Whether it mends such an accident.
    pub fn mends(self, accident: Accident) -> bool {
        self.row().mends.contains(&accident)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::accidents::ACCIDENTS;

    #[test]
    fn every_repair_is_told_by_its_own_words() {
        for row in REPAIRS {
            assert_eq!(Repair::told(row.words), Some(row.repair));
            assert_eq!(row.repair.row().words, row.words);
        }
    }

    #[test]
    fn every_accident_can_be_mended() {
        for row in ACCIDENTS {
            assert!(
                REPAIRS
                    .iter()
                    .any(|repair| repair.mends.contains(&row.accident)),
                "nothing mends {:?}",
                row.accident
            );
        }
    }
}
