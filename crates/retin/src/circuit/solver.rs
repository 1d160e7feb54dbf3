//! From a circuit to its operating point, keeping solved islands.

use std::sync::Arc;

use rustc_hash::FxHashMap;

use super::currents;
use super::element::{Circuit, NodeId, Tag};
use super::islands::Plan;
use super::lower::{Kind, Scenario, lower};
use super::newton::{self, Answer, Failure};
use super::result::{ElementResult, Fault, IslandReport, Potential, Solution, UnknownReason};
use super::stamp::Problem;
use super::units::Volts;

/// Islands kept before the oldest are let go.
const MOST_KEPT: usize = 4096;

/// A regulator taken to hold its output must not be found to draw more than
/// this back from it, in amperes.
const BACK_CURRENT: f64 = 1e-9;

type Outcome = Result<Arc<Answer>, Failure>;

/// Solves circuits and remembers their islands by content, so that solving
/// again after an edit computes only the islands the edit touched. Answers
/// are the same as without the memory.
#[derive(Debug, Default)]
pub struct Solver {
    kept: FxHashMap<Vec<u64>, Outcome>,
    older: FxHashMap<Vec<u64>, Outcome>,
}

/// An operating point in the solver's own terms.
pub(super) struct Solved {
    pub(super) plan: Plan,
    pub(super) scenario: Scenario,
    pub(super) problems: Vec<Problem>,
    pub(super) outcomes: Vec<Outcome>,
    reused: Vec<bool>,
}

/// The operating point of a circuit at nominal values. See
/// [`Solver::solve`].
pub fn solve(circuit: &Circuit) -> Solution {
    Solver::default().solve(circuit)
}

impl Solver {
    /// A solver that remembers nothing yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// The operating point of a circuit, or of what is written down of one,
    /// at nominal values. Never fails: what cannot be known is said node by
    /// node and element by element, what is wrong is listed as faults.
    pub fn solve(&mut self, circuit: &Circuit) -> Solution {
        let solved = self.solve_nominal(circuit);
        solution_of(circuit, &solved)
    }

    pub(super) fn solve_nominal(&mut self, circuit: &Circuit) -> Solved {
        let scenario = Scenario::nominal(circuit);
        let mut not_held = Vec::new();
        loop {
            let lowered = lower(circuit, &scenario);
            let plan = Plan::make(circuit, lowered, &not_held);
            let offsets = plan.forest.offsets(&plan.lowered.parts, &scenario);
            let problems: Vec<Problem> = (0..plan.islands.len())
                .map(|island| Problem::of(&plan, island, &offsets))
                .collect();
            let (outcomes, reused) = problems.iter().map(|problem| self.answer(problem)).unzip();
            let solved = Solved {
                plan,
                scenario: scenario.clone(),
                problems,
                outcomes,
                reused,
            };
            let backwards = solved.regulators_held_backwards(circuit);
            if backwards.is_empty() {
                return solved;
            }
            not_held.extend(backwards);
        }
    }

    /// The answer for an island, from memory where it was solved before.
    fn answer(&mut self, problem: &Problem) -> (Outcome, bool) {
        let key = problem.key();
        if let Some(outcome) = self.kept.get(&key) {
            return (outcome.clone(), true);
        }
        let (outcome, reused) = match self.older.remove(&key) {
            Some(outcome) => (outcome, true),
            None => (newton::solve(problem).map(Arc::new), false),
        };
        if self.kept.len() >= MOST_KEPT {
            self.older = std::mem::take(&mut self.kept);
        }
        self.kept.insert(key, outcome.clone());
        (outcome, reused)
    }
}

impl Solved {
    /// Solved current into every pin of every part; `None` where unsolved.
    fn pin_currents(&self) -> Vec<Option<Vec<f64>>> {
        let plan = &self.plan;
        let mut currents = vec![None; plan.lowered.parts.len()];
        for (island, outcome) in plan.islands.iter().zip(&self.outcomes) {
            let Ok(answer) = outcome else { continue };
            for (&part, amps) in island.parts.iter().zip(&answer.currents) {
                let pins = plan.lowered.parts[part].pins.len();
                currents[part] = Some(amps[..pins].to_vec());
            }
        }
        for (part, solved) in plan.lowered.parts.iter().zip(&mut currents) {
            // A current source's current needs no solving.
            if let Kind::Current { amps } = part.kind {
                *solved = Some(vec![amps, -amps]);
            }
        }
        currents
    }

    /// Regulators whose output is driven backwards by what hangs on it.
    fn regulators_held_backwards(&self, circuit: &Circuit) -> Vec<usize> {
        if self.plan.forest.held.iter().all(Option::is_none) {
            return Vec::new();
        }
        let currents = currents::of_terminals(circuit, &self.plan, &self.pin_currents());
        self.plan
            .lowered
            .parts
            .iter()
            .enumerate()
            .filter_map(|(index, part)| {
                self.plan.forest.held[index]?;
                let Kind::Regulator { sign, .. } = part.kind else {
                    return None;
                };
                let output = currents.of(part.element)[2]?;
                (sign * output.0 > BACK_CURRENT).then_some(index)
            })
            .collect()
    }

    /// Potential of every node, inner nodes included.
    fn potentials(&self) -> Vec<Potential> {
        let plan = &self.plan;
        let offsets = plan.forest.offsets(&plan.lowered.parts, &self.scenario);
        (0..plan.lowered.nodes)
            .map(|node| {
                let unknown = |why| Potential::Unknown { why };
                if let Some(why) = &plan.unknown[node] {
                    return unknown(why.clone());
                }
                let base = if plan.is_held(node) {
                    0.0
                } else {
                    let Some((island, variable)) = plan.variable[plan.forest.root[node]] else {
                        return unknown(UnknownReason::NotTied);
                    };
                    match &self.outcomes[island] {
                        Ok(answer) => answer.unknowns[variable],
                        Err(Failure::Singular) => return unknown(UnknownReason::NoSingleAnswer),
                        Err(Failure::NotConverged { .. }) => {
                            return unknown(UnknownReason::NotConverged);
                        }
                    }
                };
                Potential::Known {
                    volts: Volts(base + offsets[node]),
                }
            })
            .collect()
    }

    /// Tags of an island's elements, each once.
    pub(super) fn tags(&self, circuit: &Circuit, island: usize) -> Vec<Tag> {
        let mut tags: Vec<Tag> = self.plan.islands[island]
            .parts
            .iter()
            .map(|&part| circuit.elements()[self.plan.lowered.parts[part].element].0)
            .collect();
        tags.sort_unstable();
        tags.dedup();
        tags
    }
}

/// Puts an operating point into the caller's terms.
pub(super) fn solution_of(circuit: &Circuit, solved: &Solved) -> Solution {
    let plan = &solved.plan;
    let mut faults = plan.lowered.faults.clone();
    faults.extend(plan.faults.iter().cloned());
    let mut islands = Vec::new();
    let mut regimes = vec![None; circuit.elements().len()];
    for (part, held) in plan.lowered.parts.iter().zip(&plan.forest.held) {
        if held.is_some() {
            regimes[part.element] = Some(super::result::Regime::InRange);
        }
    }
    for (index, (island, outcome)) in plan.islands.iter().zip(&solved.outcomes).enumerate() {
        let (method, iterations) = match outcome {
            Ok(answer) => {
                for &part in &answer.several_states {
                    let element = plan.lowered.parts[island.parts[part]].element;
                    faults.push(Fault::SeveralStates {
                        tag: circuit.elements()[element].0,
                    });
                }
                for (&part, state) in island.parts.iter().zip(&answer.states) {
                    let part = &plan.lowered.parts[part];
                    if matches!(part.kind, Kind::Amplifier { .. } | Kind::Regulator { .. }) {
                        regimes[part.element] = Some(state.regime);
                    }
                }
                (Some(answer.method), answer.iterations)
            }
            Err(Failure::Singular) => {
                let tags = solved.tags(circuit, index);
                faults.push(Fault::NoSingleAnswer { tags });
                (None, 0)
            }
            Err(Failure::NotConverged { iterations }) => {
                let tags = solved.tags(circuit, index);
                faults.push(Fault::NotConverged { tags });
                (None, *iterations)
            }
        };
        if !island.roots.is_empty() {
            islands.push(IslandReport {
                nodes: nodes_of(circuit, plan, index),
                method,
                iterations,
                reused: solved.reused[index],
            });
        }
    }
    let potentials = solved.potentials();
    let currents = currents::of_terminals(circuit, plan, &solved.pin_currents());
    let volts: Vec<Option<f64>> = potentials
        .iter()
        .map(|potential| potential.volts().map(|volts| volts.0))
        .collect();
    let elements = circuit
        .elements()
        .iter()
        .enumerate()
        .map(|(index, (tag, element))| {
            let terminals: Vec<usize> = element
                .terminals()
                .iter()
                .map(|node| node.0 as usize)
                .collect();
            ElementResult {
                tag: *tag,
                currents: currents.of(index),
                dissipation: currents.dissipation(index, &terminals, &volts),
                regime: regimes[index],
            }
        })
        .collect();
    Solution {
        potentials: potentials.into_iter().take(circuit.node_count()).collect(),
        elements,
        faults,
        islands,
    }
}

/// The circuit's own nodes of an island.
fn nodes_of(circuit: &Circuit, plan: &Plan, island: usize) -> Vec<NodeId> {
    (0..circuit.node_count())
        .filter(|&node| {
            plan.unknown[node].is_none()
                && plan.variable[plan.forest.root[node]].is_some_and(|(of, _)| of == island)
        })
        .map(|node| NodeId(node as u32))
        .collect()
}
