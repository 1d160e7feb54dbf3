//! Gates: whether anything that was checked stands in the way of the next stage.
//!
//! A gate asks two things. The checker's rules, judged as if the job had come to
//! that stage, so that a rule blocks from its own stage on; and the gate's own
//! [demands](crate::time::demands): work that has to be done before the stage
//! begins, which is no mistake as long as it has not begun.

use crate::check::{Missing, Report, Tally, subject};
use crate::finding::{Fault, Severity};
use crate::meaning::{Case, PlaceId};
use crate::stage::Stage;
use crate::time::cautions;
use crate::time::demands::{Ask, Asked, DEMANDS, Demand, planned_later};
use crate::time::order::Order;
use crate::time::replay::Replay;
use crate::time::step_progress::step_progress;
use retin_syntax::tables::StepVerb;
use rustc_hash::{FxHashMap, FxHashSet};

/// What a gate answers.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Verdict {
    /// Nothing that was checked stands in the way.
    Go,
    /// Something does.
    NoGo,
}

impl Verdict {
    /// The verdict's word.
    pub fn word(self) -> &'static str {
        match self {
            Verdict::Go => "GO",
            Verdict::NoGo => "NO-GO",
        }
    }
}

/// Something that stands in the way.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Obstacle {
    /// The rule or the demand that found it.
    pub name: &'static str,
    /// Whether it is a rule, which has a page of its own.
    pub is_rule: bool,
    /// The places it is about.
    pub places: Vec<PlaceId>,
    /// Their names, as written in the sentences.
    pub subject: String,
    /// What is wrong, with the places' names filled in.
    pub fault: Fault,
}

/// A gate, asked.
#[derive(Clone, PartialEq, Debug)]
pub struct Gate {
    /// The stage that the gate is before.
    pub stage: Stage,
    /// Whether anything stands in the way.
    pub verdict: Verdict,
    /// What stands in the way: what the rules found in the order of the files,
    /// then what the gate itself asks for.
    pub obstacles: Vec<Obstacle>,
    /// How each rule and each demand answered.
    pub tallies: Vec<Tally>,
    /// What was not checked, by the fact that is missing; the most frequent first.
    pub missing: Vec<Missing>,
    /// Findings that are no errors before a later stage.
    pub later: usize,
    /// Findings that are questions or notes.
    pub notes: usize,
    /// The usual cautions, most grave first.
    pub cautions: Vec<&'static str>,
}

impl Gate {
    /// One count over all rules and demands.
    pub fn sum(&self, count: fn(&Tally) -> u32) -> u32 {
        self.tallies.iter().map(count).sum()
    }
}

/// Asks the gate before the stage that `report` was judged at.
///
/// `order` is that of the job's steps; without one, no step is asked for. A case
/// without a job has nothing to be asked, and the answer is none.
pub fn gate<'a>(
    case: &Case<'a>,
    report: Report,
    replay: &Replay<'a>,
    order: Option<&Order>,
) -> Option<Gate> {
    let job = case.job.as_ref()?;
    let stage = report.stage;
    let count = |severity| report.count(severity);
    let (later, notes) = (count(Severity::Warning), count(Severity::Note));
    let mut obstacles: Vec<Obstacle> = report
        .findings
        .into_iter()
        .filter(|finding| finding.severity == Severity::Error)
        .map(|finding| Obstacle {
            name: finding.rule,
            is_rule: true,
            places: finding.places,
            subject: finding.subject,
            fault: finding.fault,
        })
        .collect();
    let mut tallies = report.tallies;
    let ask = Ask {
        case,
        job,
        replay,
        order,
        steps: &step_progress(case, job, replay, order),
        stage,
    };
    let later_places = planned_later(&ask, &[StepVerb::Remove, StepVerb::Fit]);
    obstacles
        .retain_mut(|obstacle| obstacle.name != LEFT_OVER || narrow(case, obstacle, &later_places));
    let told_by_rules = obstacles.len();
    for demand in DEMANDS.iter().filter(|demand| demand.is_of(stage)) {
        let asked = put(demand, &ask);
        let (rules, _) = obstacles.split_at(told_by_rules);
        let (tally, found) = answered(case, demand, asked, rules);
        obstacles.extend(found);
        tallies.push(tally);
    }
    Some(Gate {
        stage,
        verdict: if obstacles.is_empty() {
            Verdict::Go
        } else {
            Verdict::NoGo
        },
        obstacles,
        missing: missing(&tallies),
        tallies,
        later,
        notes,
        cautions: cautions::of_gate(case, job, stage),
    })
}

/// The rule that tells of work which is not done.
const LEFT_OVER: &str = "left-over";

/// Leaves out the places whose work the job's own steps put behind the gate; says
/// whether any are left.
fn narrow(case: &Case<'_>, obstacle: &mut Obstacle, later: &FxHashSet<PlaceId>) -> bool {
    let count = obstacle.places.len();
    obstacle.places.retain(|place| !later.contains(place));
    if obstacle.places.len() == count {
        return true;
    }
    let narrowed = subject(case, &obstacle.places);
    for text in [
        &mut obstacle.fault.fact,
        &mut obstacle.fault.consequence,
        &mut obstacle.fault.remedy,
    ] {
        *text = text.replace(&obstacle.subject, &narrowed);
    }
    obstacle.subject = narrowed;
    !obstacle.places.is_empty()
}

fn put(demand: &Demand, ask: &Ask<'_, '_>) -> Asked {
    let mut asked = Asked::default();
    (demand.judge)(ask, &mut asked);
    asked
}

/// A demand's answers, without what a rule tells already: of the same places, or
/// at all where the demand names none.
fn answered(
    case: &Case<'_>,
    demand: &Demand,
    asked: Asked,
    rules: &[Obstacle],
) -> (Tally, Vec<Obstacle>) {
    let is_told = |place: &PlaceId| {
        rules
            .iter()
            .any(|rule| demand.rules.contains(&rule.name) && rule.places.contains(place))
    };
    let is_told_of_text = rules.iter().any(|rule| demand.rules.contains(&rule.name));
    let mut failed = 0;
    let mut obstacles = Vec::new();
    for (places, fault) in asked.found {
        let open: Vec<PlaceId> = places
            .iter()
            .copied()
            .filter(|place| !is_told(place))
            .collect();
        if open.is_empty() && (!places.is_empty() || is_told_of_text) {
            continue;
        }
        failed += open.len().max(1) as u32;
        let subject = subject(case, &open);
        obstacles.push(Obstacle {
            name: demand.name,
            is_rule: false,
            fault: filled(fault, &subject),
            subject,
            places: open,
        });
    }
    let mut missing: Vec<Missing> = Vec::new();
    for (fact, example) in asked.missing {
        match missing.iter_mut().find(|known| known.fact == fact) {
            Some(known) => known.count += 1,
            None => missing.push(Missing {
                fact,
                count: 1,
                example,
            }),
        }
    }
    let tally = Tally {
        rule: demand.name,
        passed: asked.passed,
        failed,
        accepted: 0,
        not_checked: missing.iter().map(|missing| missing.count).sum(),
        missing,
    };
    (tally, obstacles)
}

fn filled(mut fault: Fault, subject: &str) -> Fault {
    for text in [&mut fault.fact, &mut fault.consequence, &mut fault.remedy] {
        *text = text.replace("{place}", subject);
    }
    fault
}

/// The facts that are missing, over all rules and demands.
fn missing(tallies: &[Tally]) -> Vec<Missing> {
    let mut by_fact: FxHashMap<&str, usize> = FxHashMap::default();
    let mut all: Vec<Missing> = Vec::new();
    for missing in tallies.iter().flat_map(|tally| &tally.missing) {
        match by_fact.get(missing.fact.as_str()) {
            Some(index) => all[*index].count += missing.count,
            None => {
                by_fact.insert(&missing.fact, all.len());
                all.push(missing.clone());
            }
        }
    }
    all.sort_by(|one, other| other.count.cmp(&one.count).then(one.fact.cmp(&other.fact)));
    all
}

/// The stages that have a gate before them, earliest first.
pub const GATES: [Stage; 6] = [
    Stage::Order,
    Stage::Strip,
    Stage::Fit,
    Stage::Power,
    Stage::Chips,
    Stage::Close,
];

/// What lies behind a gate, as the end of a sentence: "in the way of …".
pub fn behind(stage: Stage) -> &'static str {
    match stage {
        Stage::List => "listing the parts",
        Stage::Order => "ordering the parts",
        Stage::Strip => "taking the first part out",
        Stage::Fit => "fitting the first new part",
        Stage::Power => "first power",
        Stage::Chips => "putting the chips into their sockets",
        Stage::Close => "giving the unit back",
    }
}
