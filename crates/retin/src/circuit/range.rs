//! Between which ends potentials stay over tolerances and wiper travel.
//!
//! # Method
//!
//! Island by island, over the toleranced values that can reach it (its own
//! parts, and the sources that hold the nodes it touches):
//!
//! - Up to [`MOST_FOR_VERTICES`] values: every combination of their ends is
//!   solved, nonlinear parts and all.
//! - More: the sensitivity of every node to every value is taken at the
//!   nominal point, and for each node the two combinations of ends that its
//!   signs point to are solved, nonlinear parts and all.
//! - In both cases [`SAMPLES`] combinations from within the tolerances are
//!   solved besides. They come from a generator with a fixed seed: the same
//!   circuit gives the same ranges on every run.
//!
//! The interval encloses everything that was solved, the nominal point
//! always included.
//!
//! # Limits
//!
//! The ends are worst cases where each potential rises or falls with each
//! value all the way, as it does in bias networks, dividers and regulators.
//! Where it turns back between the ends (a wiper between two fed ends), or
//! where with many values a sign changes far from the nominal point, a
//! little more than the interval is possible; the samples narrow that gap and
//! do not close it. By sensitivities, a value that moves a node by less than
//! 0.1 µV is left out of that node's worst case. Values are taken as independent: tracking pairs and
//! tolerances of one batch are not known here. Temperatures, and saturation
//! currents of junctions, do not vary.

use super::element::{Circuit, NodeId};
use super::islands::Plan;
use super::linear::Pattern;
use super::lower::{Scenario, spreads};
use super::newton::{self, Answer};
use super::result::{Potential, Solution, UnknownReason};
use super::solver::{Solved, Solver, solution_of};
use super::stamp::Problem;
use super::units::{Spread, Volts};

/// Up to this many toleranced values of an island, all combinations of ends
/// are solved.
pub const MOST_FOR_VERTICES: usize = 6;
/// Combinations from within the tolerances that are solved besides.
pub const SAMPLES: usize = 16;
/// Seed of the sample generator.
const SEED: u64 = 0x5245_5449_4e00_0001;
/// A value that moves a node by less than this over its whole tolerance, in
/// volts, is left at nominal in that node's worst case.
const NEGLIGIBLE_VOLTS: f64 = 1e-7;
/// The step of a sensitivity, as a part of the tolerance.
const SENSITIVITY_STEP: f64 = 1e-3;

/// What one potential may be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// Lowest found.
    pub low: Volts,
    /// With every value nominal.
    pub nominal: Volts,
    /// Highest found.
    pub high: Volts,
}

/// The range of one node.
#[derive(Debug, Clone, PartialEq)]
pub enum Range {
    /// Known at nominal values.
    Known(Interval),
    /// Unknown at nominal values.
    Unknown {
        /// What is missing or wrong.
        why: UnknownReason,
    },
}

impl Range {
    /// The interval where it is known.
    pub fn interval(&self) -> Option<Interval> {
        match self {
            Self::Known(interval) => Some(*interval),
            Self::Unknown { .. } => None,
        }
    }
}

/// How the ranges of one island were found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RangeMethod {
    /// Nothing that reaches the island has a tolerance.
    Exact,
    /// Every combination of ends, and samples.
    Vertices,
    /// The combinations of ends that sensitivities point to, and samples.
    Sensitivities,
}

/// One island of a range solve.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct IslandRange {
    /// Its nodes, in rising order.
    pub nodes: Vec<NodeId>,
    /// How its ends were found.
    pub method: RangeMethod,
    /// Toleranced values that reach it.
    pub values: usize,
    /// Combinations solved.
    pub solved: usize,
    /// Combinations at which no operating point was reached: where any, the
    /// ends are not the whole of it.
    pub unsolved: usize,
}

/// Ranges of all nodes.
#[derive(Debug, Clone, PartialEq)]
pub struct Ranges {
    /// By node id.
    pub nodes: Vec<Range>,
    /// By island.
    pub islands: Vec<IslandRange>,
    /// The nominal operating point.
    pub nominal: Solution,
}

/// The ranges of a circuit. See [`Solver::solve_range`].
pub fn solve_range(circuit: &Circuit) -> Ranges {
    Solver::default().solve_range(circuit)
}

impl Solver {
    /// Nominal operating point and the interval of every known node over
    /// the tolerances of rails and parts and the travel of wipers. Method and
    /// limits: see [`range`](super::range) and [`IslandRange::unsolved`].
    pub fn solve_range(&mut self, circuit: &Circuit) -> Ranges {
        let solved = self.operating_point(circuit);
        let nominal = solution_of(circuit, &solved);
        let mut nodes: Vec<Range> = nominal
            .potentials
            .iter()
            .enumerate()
            .map(|(node, potential)| match potential {
                Potential::Unknown { why } => Range::Unknown { why: why.clone() },
                Potential::Known { volts } => {
                    let reach = if solved.plan.is_held(node) {
                        solved.plan.forest.reach(node)
                    } else {
                        Spread::exact(volts.0)
                    };
                    Range::Known(Interval {
                        low: Volts(reach.low.min(volts.0)),
                        nominal: *volts,
                        high: Volts(reach.high.max(volts.0)),
                    })
                }
            })
            .collect();
        let mut islands = Vec::new();
        for (island, outcome) in solved.outcomes.iter().enumerate() {
            let Ok(answer) = outcome else { continue };
            if solved.plan.islands[island].roots.is_empty() {
                continue;
            }
            let mut sweep = Sweep::new(circuit, &solved, island, answer);
            let method = sweep.run();
            for (&node, &(low, high)) in sweep.nodes.iter().zip(&sweep.ends) {
                if let Some(Range::Known(interval)) = nodes.get_mut(node) {
                    interval.low = Volts(interval.low.0.min(low));
                    interval.high = Volts(interval.high.0.max(high));
                }
            }
            islands.push(IslandRange {
                nodes: sweep
                    .nodes
                    .iter()
                    .map(|&node| NodeId(node as u32))
                    .collect(),
                method,
                values: sweep.values.len(),
                solved: sweep.solved,
                unsolved: sweep.unsolved,
            });
        }
        Ranges {
            nodes,
            islands,
            nominal,
        }
    }
}

/// A toleranced value: the element, which of its two numbers, its spread.
#[derive(Debug, Clone, Copy)]
struct Toleranced {
    element: usize,
    slot: usize,
    spread: Spread<f64>,
}

/// Which end of its tolerance a value stands at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
enum End {
    Low,
    Nominal,
    High,
}

/// The solves of one island.
struct Sweep<'a> {
    circuit: &'a Circuit,
    plan: &'a Plan,
    nominal: &'a Scenario,
    island: usize,
    answer: &'a Answer,
    problem: Problem,
    pattern: Option<Pattern>,
    values: Vec<Toleranced>,
    /// The circuit's own nodes of the island.
    nodes: Vec<usize>,
    /// Lowest and highest of each of those nodes.
    ends: Vec<(f64, f64)>,
    solved: usize,
    unsolved: usize,
}

impl<'a> Sweep<'a> {
    fn new(circuit: &'a Circuit, solved: &'a Solved, island: usize, answer: &'a Answer) -> Self {
        let plan = &solved.plan;
        let nodes: Vec<usize> = (0..circuit.node_count())
            .filter(|&node| {
                plan.unknown[node].is_none()
                    && plan.variable[plan.forest.root[node]].is_some_and(|(of, _)| of == island)
            })
            .collect();
        let problem = solved.problems[island].clone();
        let mut sweep = Self {
            circuit,
            plan,
            nominal: &solved.scenario,
            island,
            answer,
            pattern: problem.pattern(),
            problem,
            values: toleranced_values(circuit, plan, island, &nodes),
            ends: vec![(f64::INFINITY, f64::NEG_INFINITY); nodes.len()],
            nodes,
            solved: 0,
            unsolved: 0,
        };
        let offsets = plan.forest.offsets(&plan.lowered.parts, &solved.scenario);
        sweep.take_in(answer, &offsets);
        sweep
    }

    fn run(&mut self) -> RangeMethod {
        if self.values.is_empty() {
            return RangeMethod::Exact;
        }
        let method = if self.values.len() <= MOST_FOR_VERTICES {
            for corner in 0..1_usize << self.values.len() {
                let ends: Vec<End> = (0..self.values.len())
                    .map(|value| {
                        if corner >> value & 1 == 1 {
                            End::High
                        } else {
                            End::Low
                        }
                    })
                    .collect();
                self.solve_at(&self.at_ends(&ends));
            }
            RangeMethod::Vertices
        } else {
            let mut corners = self.corners_by_sensitivity();
            corners.sort_unstable_by_key(|corner| {
                corner.iter().map(|end| *end as u8).collect::<Vec<_>>()
            });
            corners.dedup();
            for corner in corners {
                self.solve_at(&self.at_ends(&corner));
            }
            RangeMethod::Sensitivities
        };
        let mut generator = SplitMix(SEED);
        for _ in 0..SAMPLES {
            let mut scenario = self.nominal.clone();
            for value in &self.values {
                let part = generator.next_part();
                scenario.0[value.element][value.slot] =
                    value.spread.low + part * (value.spread.high - value.spread.low);
            }
            self.solve_at(&scenario);
        }
        method
    }

    fn at_ends(&self, ends: &[End]) -> Scenario {
        let mut scenario = self.nominal.clone();
        for (value, end) in self.values.iter().zip(ends) {
            scenario.0[value.element][value.slot] = match end {
                End::Low => value.spread.low,
                End::Nominal => value.spread.nominal,
                End::High => value.spread.high,
            };
        }
        scenario
    }

    /// Solves the island at one set of values and takes the result in.
    fn solve_at(&mut self, scenario: &Scenario) {
        let offsets = self.plan.forest.offsets(&self.plan.lowered.parts, scenario);
        self.problem
            .set_values(self.circuit, self.plan, self.island, scenario, &offsets);
        let outcome = match &self.pattern {
            Some(pattern) => newton::solve_near(&self.problem, pattern, self.answer),
            None => newton::solve(&self.problem),
        };
        match outcome {
            Ok(answer) => {
                self.solved += 1;
                self.take_in(&answer, &offsets);
            }
            Err(_) => self.unsolved += 1,
        }
    }

    fn take_in(&mut self, answer: &Answer, offsets: &[f64]) {
        for (&node, ends) in self.nodes.iter().zip(&mut self.ends) {
            let Some((_, variable)) = self.plan.variable[self.plan.forest.root[node]] else {
                continue;
            };
            let volts = answer.unknowns[variable] + offsets[node];
            *ends = (ends.0.min(volts), ends.1.max(volts));
        }
    }

    /// For each node, the two combinations of ends that move it furthest
    /// each way by its sensitivities at the nominal point.
    fn corners_by_sensitivity(&mut self) -> Vec<Vec<End>> {
        let factors = self
            .pattern
            .as_ref()
            .and_then(|pattern| newton::factors_at(&self.problem, pattern, self.answer));
        let Some(factors) = factors else {
            return Vec::new();
        };
        let parts = &self.plan.lowered.parts;
        let nominal_offsets = self.plan.forest.offsets(parts, self.nominal);
        let mut rises = vec![vec![End::Nominal; self.values.len()]; self.nodes.len()];
        for (index, value) in self.values.iter().enumerate() {
            let width = value.spread.high - value.spread.low;
            let upwards =
                value.spread.high - value.spread.nominal >= value.spread.nominal - value.spread.low;
            let step = SENSITIVITY_STEP * if upwards { width } else { -width };
            let mut scenario = self.nominal.clone();
            scenario.0[value.element][value.slot] += step;
            let offsets = self.plan.forest.offsets(parts, &scenario);
            self.problem
                .set_values(self.circuit, self.plan, self.island, &scenario, &offsets);
            let left_over = newton::left_over(&self.problem, self.answer);
            let Some(moved) = factors.solve(left_over) else {
                continue;
            };
            for (&node, rise) in self.nodes.iter().zip(&mut rises) {
                let Some((_, variable)) = self.plan.variable[self.plan.forest.root[node]] else {
                    continue;
                };
                let change = offsets[node] - nominal_offsets[node] - moved[variable];
                let over_width = change * width / step;
                if over_width.abs() > NEGLIGIBLE_VOLTS {
                    rise[index] = if over_width > 0.0 {
                        End::High
                    } else {
                        End::Low
                    };
                }
            }
        }
        let falls: Vec<Vec<End>> = rises
            .iter()
            .map(|rise| {
                rise.iter()
                    .map(|end| match end {
                        End::Low => End::High,
                        End::Nominal => End::Nominal,
                        End::High => End::Low,
                    })
                    .collect()
            })
            .collect();
        rises.extend(falls);
        rises
    }
}

/// Every toleranced value that can move an island: those of its own
/// elements, and of the ties between the nodes it touches and their roots.
fn toleranced_values(
    circuit: &Circuit,
    plan: &Plan,
    island: usize,
    nodes: &[usize],
) -> Vec<Toleranced> {
    let mut elements: Vec<usize> = Vec::new();
    let mut touched: Vec<usize> = nodes.to_vec();
    for &part in &plan.islands[island].parts {
        let part = &plan.lowered.parts[part];
        elements.push(part.element);
        touched.extend(part.pins.iter().map(|pin| pin.node));
    }
    let mut climbed = vec![false; plan.lowered.nodes];
    for mut node in touched {
        while !climbed[node] {
            climbed[node] = true;
            let Some(branch) = plan.forest.branch[node] else {
                break;
            };
            elements.push(plan.forest.ties[branch.tie].element);
            node = branch.parent;
        }
    }
    elements.sort_unstable();
    elements.dedup();
    let mut values = Vec::new();
    for element in elements {
        for (slot, spread) in spreads(&circuit.elements()[element].1)
            .into_iter()
            .enumerate()
        {
            if let Some(spread) = spread
                && spread.high > spread.low
            {
                values.push(Toleranced {
                    element,
                    slot,
                    spread,
                });
            }
        }
    }
    values
}

/// The SplitMix64 generator: small, fixed for all time, and good enough to
/// scatter samples.
///
/// Source: G. L. Steele, D. Lea, C. H. Flood, *Fast splittable pseudorandom
/// number generators*, OOPSLA 2014.
struct SplitMix(u64);

impl SplitMix {
    /// A number from 0 up to but not including 1.
    fn next_part(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^= mixed >> 31;
        (mixed >> 11) as f64 / (1_u64 << 53) as f64
    }
}
