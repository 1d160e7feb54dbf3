//! What a gate asks for by itself: work that has to be done before the stage
//! behind it begins. As long as the gate was not passed, it is no mistake that
//! it is not done; so these are no rules.
//!
//! To add one, write a function beside its neighbours and a row in [`DEMANDS`].

mod accident;
mod before_chips;
mod before_close;
mod before_fit;
mod before_order;
mod before_power;
mod before_strip;
mod charge;
mod limits;
mod sockets;
mod steps;

pub use steps::pieces_named;
pub(crate) use steps::planned_later;

use crate::finding::Fault;
use crate::meaning::{BoardCopy, Case, Job, PlaceId, names};
use crate::stage::Stage;
use crate::time::order::Order;
use crate::time::replay::Replay;
use crate::time::step_progress::StepProgress;

/// Something a gate asks for.
#[derive(Debug)]
pub struct Demand {
    /// Its name in trade words; it states what is amiss.
    pub name: &'static str,
    /// The gates that ask for it.
    pub gates: &'static [Stage],
    /// What it asks for, in one line.
    pub summary: &'static str,
    /// Rules that tell the same of a place once it is a mistake.
    pub rules: &'static [&'static str],
    /// How it is judged.
    pub judge: fn(&Ask<'_, '_>, &mut Asked),
}

impl Demand {
    /// Whether the gate before a stage asks for it.
    pub fn is_of(&self, stage: Stage) -> bool {
        self.gates.contains(&stage)
    }
}

/// What a demand is judged by.
#[derive(Clone, Copy, Debug)]
pub struct Ask<'c, 'a> {
    /// The case.
    pub case: &'c Case<'a>,
    /// Its job.
    pub job: &'c Job<'a>,
    /// Its log, replayed.
    pub replay: &'c Replay<'a>,
    /// The order of its steps.
    pub order: Option<&'c Order>,
    /// How far each step has come.
    pub steps: &'c [StepProgress],
    /// The stage behind the gate.
    pub stage: Stage,
}

/// A demand's answers while they come in.
#[derive(Default, Debug)]
pub struct Asked {
    pub(super) passed: u32,
    pub(super) found: Vec<(Vec<PlaceId>, Fault)>,
    pub(super) missing: Vec<(String, String)>,
}

impl Asked {
    fn passed(&mut self) {
        self.passed += 1;
    }

    /// `{place}` in the sentences stands for the places.
    fn fails(&mut self, places: Vec<PlaceId>, fault: Fault) {
        self.found.push((places, fault));
    }

    /// A fact is missing, as "the supply pins of the chip"; at one place, where there is one.
    fn lacks(&mut self, fact: impl Into<String>, example: impl Into<String>) {
        self.missing.push((fact.into(), example.into()));
    }
}

use Stage as S;

/// Everything that a gate asks for beside the rules.
pub const DEMANDS: &[Demand] = &[
    Demand {
        name: "nothing-planned",
        gates: &[S::Order, S::Strip, S::Fit, S::Power, S::Chips, S::Close],
        summary: "the job has a plan",
        rules: &[],
        judge: before_order::nothing_planned,
    },
    Demand {
        name: "no-picture",
        gates: &[S::Strip],
        summary: "every board that something comes out of was photographed",
        rules: &["not-photographed"],
        judge: before_strip::no_picture,
    },
    Demand {
        name: "charge-left",
        gates: &[S::Strip, S::Fit, S::Chips],
        summary: "what keeps a charge was discharged since it last had power, and read",
        rules: &[],
        judge: charge::charge_left,
    },
    Demand {
        name: "still-in",
        gates: &[S::Fit],
        summary: "everything that goes out is out",
        rules: &[],
        judge: before_fit::still_in,
    },
    Demand {
        name: "not-cleaned",
        gates: &[S::Fit],
        summary: "every board that new parts go on to was cleaned",
        rules: &[],
        judge: before_fit::not_cleaned,
    },
    Demand {
        name: "damage-below-part",
        gates: &[S::Fit],
        summary: "what is damaged below a part to be fitted is repaired and proven",
        rules: &["accident-open"],
        judge: before_fit::damage_below_part,
    },
    Demand {
        name: "no-socket",
        gates: &[S::Power, S::Chips, S::Close],
        summary: "every socket that the plan wants is in",
        rules: &["left-over"],
        judge: sockets::no_socket,
    },
    Demand {
        name: "ground-not-read",
        gates: &[S::Power],
        summary: "every rail of the supply was read against ground since the last work on it, and is no short",
        rules: &[],
        judge: before_power::ground_not_read,
    },
    Demand {
        name: "supply-not-alone",
        gates: &[S::Power],
        summary: "the supply gets power before the boards it feeds",
        rules: &[],
        judge: before_power::supply_not_alone,
    },
    Demand {
        name: "no-limit",
        gates: &[S::Power],
        summary: "first power comes through a lamp or a current limit",
        rules: &[],
        judge: before_power::no_limit,
    },
    Demand {
        name: "rail-not-read",
        gates: &[S::Chips],
        summary: "the rails of the chips in sockets were read under power, and are right",
        rules: &["rails-unproven"],
        judge: before_chips::rail_not_read,
    },
    Demand {
        name: "not-tried",
        gates: &[S::Close],
        summary: "the functions of every board that was worked on were tried",
        rules: &[],
        judge: before_close::not_tried,
    },
    Demand {
        name: "step-left",
        gates: &[S::Strip, S::Fit, S::Power, S::Chips, S::Close],
        summary: "every step that comes before the next one behind the gate is done",
        rules: &[],
        judge: steps::step_left,
    },
];

/// Copies of boards as a technician writes them: `psu, ch1..ch8`.
fn boards_named(case: &Case<'_>, boards: &[BoardCopy]) -> String {
    names::compress(boards.iter().map(|board| case.name_of_copy(*board)))
}
