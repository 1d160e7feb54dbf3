//! One island solved at many sets of values, each set once.

use super::element::{Circuit, Tag};
use super::islands::Plan;
use super::linear::Pattern;
use super::lower::{Scenario, spreads};
use super::newton::{self, Answer};
use super::point::Ground;
use super::range::{MOST_FOR_VERTICES, RangeMethod, SAMPLES};
use super::stamp::Problem;
use super::units::Spread;
use rustc_hash::FxHashMap;
use std::sync::Arc;

/// Seed of the sample generator.
const SEED: u64 = 0x5245_5449_4e00_0001;
/// The step of a sensitivity, as a part of the tolerance.
const SENSITIVITY_STEP: f64 = 1e-3;

/// Which toleranced value: the caller's tag of its element, which of the
/// elements with that tag, and which of the element's two numbers.
pub(super) type Key = (Tag, u32, u8);

/// A toleranced value.
#[derive(Debug, Clone, Copy)]
pub(super) struct Toleranced {
    pub(super) key: Key,
    pub(super) element: usize,
    pub(super) spread: Spread<f64>,
}

/// Which end of its tolerance a value stands at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum End {
    Low,
    Nominal,
    High,
}

impl Toleranced {
    /// Puts the value at one end of its tolerance.
    pub(super) fn put(&self, end: End, scenario: &mut Scenario) {
        self.set(
            match end {
                End::Low => self.spread.low,
                End::Nominal => self.spread.nominal,
                End::High => self.spread.high,
            },
            scenario,
        );
    }

    /// Puts the value where sample `index` has it.
    ///
    /// The same value stands at the same place in every island it reaches.
    pub(super) fn put_sample(&self, index: usize, scenario: &mut Scenario) {
        let (tag, occurrence, slot) = self.key;
        let mut generator = SplitMix(
            SEED ^ (u64::from(tag.0) << 32)
                ^ (u64::from(occurrence) << 10)
                ^ (u64::from(slot) << 8)
                ^ index as u64,
        );
        let part = generator.next_part();
        let value = self.spread.low + part * (self.spread.high - self.spread.low);
        self.set(value, scenario);
    }

    fn set(&self, value: f64, scenario: &mut Scenario) {
        scenario.0[self.element][usize::from(self.key.2)] = value;
    }
}

/// What moves when one value goes over its whole width.
struct Move {
    /// Potential of each unknown.
    unknowns: Vec<f64>,
    /// Potential of each node over its root; none where they all stay.
    offsets: Option<Vec<f64>>,
}

/// An island at one set of values.
pub(super) struct At {
    unknowns: Vec<f64>,
    offsets: Arc<Vec<f64>>,
}

impl At {
    /// The potential of a node of the island.
    pub(super) fn volts(&self, plan: &Plan, node: usize) -> f64 {
        let variable = plan.variable[plan.forest.root[node]];
        let base = variable.map_or(0.0, |(_, variable)| self.unknowns[variable]);
        base + self.offsets[node]
    }
}

/// The solves of one island.
pub(super) struct Sweep {
    island: usize,
    pub(super) values: Vec<Toleranced>,
    answer: Arc<Answer>,
    problem: Problem,
    pattern: Option<Pattern>,
    nominal_offsets: Arc<Vec<f64>>,
    corners: FxHashMap<Vec<End>, Option<Arc<At>>>,
    samples: Vec<Option<Option<Arc<At>>>>,
    moves: Option<Vec<Option<Move>>>,
    pub(super) solved: usize,
    pub(super) unsolved: usize,
}

impl Sweep {
    pub(super) fn new(
        ground: Ground<'_>,
        island: usize,
        answer: &Arc<Answer>,
        problem: &Problem,
    ) -> Self {
        let plan = ground.plan;
        let offsets = plan.forest.offsets(&plan.lowered.parts, ground.nominal);
        Self {
            island,
            values: toleranced_values(ground, island),
            answer: Arc::clone(answer),
            pattern: problem.pattern(),
            problem: problem.clone(),
            nominal_offsets: Arc::new(offsets),
            corners: FxHashMap::default(),
            samples: vec![None; SAMPLES],
            moves: None,
            solved: 0,
            unsolved: 0,
        }
    }

    pub(super) fn method(&self) -> RangeMethod {
        match self.values.len() {
            0 => RangeMethod::Exact,
            1..=MOST_FOR_VERTICES => RangeMethod::Vertices,
            _ => RangeMethod::Sensitivities,
        }
    }

    /// The island with its values at these ends; none where no operating point
    /// was reached.
    pub(super) fn at_ends(
        &mut self,
        ground: Ground<'_>,
        end: impl Fn(Key) -> End,
    ) -> Option<Arc<At>> {
        let ends: Vec<End> = self.values.iter().map(|value| end(value.key)).collect();
        if let Some(known) = self.corners.get(&ends) {
            return known.clone();
        }
        let mut scenario = ground.nominal.clone();
        for (value, end) in self.values.iter().zip(&ends) {
            value.put(*end, &mut scenario);
        }
        let at = self.solve_at(ground, &scenario);
        self.corners.insert(ends, at.clone());
        at
    }

    /// The island at one of the samples.
    pub(super) fn at_sample(&mut self, ground: Ground<'_>, index: usize) -> Option<Arc<At>> {
        if let Some(known) = &self.samples[index] {
            return known.clone();
        }
        let mut scenario = ground.nominal.clone();
        for value in &self.values {
            value.put_sample(index, &mut scenario);
        }
        let at = self.solve_at(ground, &scenario);
        self.samples[index] = Some(at.clone());
        at
    }

    fn solve_at(&mut self, ground: Ground<'_>, scenario: &Scenario) -> Option<Arc<At>> {
        let plan = ground.plan;
        let offsets = plan.forest.offsets(&plan.lowered.parts, scenario);
        self.problem
            .set_values(ground.circuit, plan, self.island, scenario, &offsets);
        let outcome = match &self.pattern {
            Some(pattern) => newton::solve_near(&self.problem, pattern, &self.answer),
            None => newton::solve(&self.problem),
        };
        let Ok(mut answer) = outcome else {
            self.unsolved += 1;
            return None;
        };
        self.solved += 1;
        answer.unknowns.truncate(self.problem.potentials);
        let offsets = if offsets == *self.nominal_offsets {
            Arc::clone(&self.nominal_offsets)
        } else {
            Arc::new(offsets)
        };
        Some(Arc::new(At {
            unknowns: answer.unknowns,
            offsets,
        }))
    }

    /// How far a node of the island moves, in volts, when a value goes over its
    /// whole width, by the sensitivity at the nominal point; value by value.
    pub(super) fn moves_of(&mut self, ground: Ground<'_>, node: usize) -> Vec<(Key, f64)> {
        let plan = ground.plan;
        let variable = plan.variable[plan.forest.root[node]].map(|(_, variable)| variable);
        if self.moves.is_none() {
            self.moves = Some(self.sensitivities(ground));
        }
        let moves = self.moves.iter().flatten();
        self.values
            .iter()
            .zip(moves)
            .map(|(value, moved)| {
                let volts = moved.as_ref().map_or(0.0, |moved| {
                    let base = variable.map_or(0.0, |variable| moved.unknowns[variable]);
                    let offset = moved.offsets.as_ref().map_or(0.0, |offsets| offsets[node]);
                    base + offset
                });
                (value.key, volts)
            })
            .collect()
    }

    fn sensitivities(&mut self, ground: Ground<'_>) -> Vec<Option<Move>> {
        let plan = ground.plan;
        // Where the sweep stood last is no matter for the nominal system.
        self.problem.set_values(
            ground.circuit,
            plan,
            self.island,
            ground.nominal,
            &self.nominal_offsets,
        );
        let factors = self
            .pattern
            .as_ref()
            .and_then(|pattern| newton::factors_at(&self.problem, pattern, &self.answer));
        let Some(factors) = factors else {
            return self.values.iter().map(|_| None).collect();
        };
        let mut scenario = ground.nominal.clone();
        let mut moves = Vec::with_capacity(self.values.len());
        for value in &self.values {
            let spread = value.spread;
            let width = spread.high - spread.low;
            let upwards = spread.high - spread.nominal >= spread.nominal - spread.low;
            let step = SENSITIVITY_STEP * if upwards { width } else { -width };
            value.set(spread.nominal + step, &mut scenario);
            let offsets = plan.forest.offsets(&plan.lowered.parts, &scenario);
            self.problem
                .set_values(ground.circuit, plan, self.island, &scenario, &offsets);
            value.set(spread.nominal, &mut scenario);
            let left_over = newton::left_over(&self.problem, &self.answer);
            let over_width = width / step;
            moves.push(factors.solve(left_over).map(|mut moved| {
                moved.truncate(self.problem.potentials);
                for change in &mut moved {
                    *change *= -over_width;
                }
                let offsets = (offsets != *self.nominal_offsets).then(|| {
                    offsets
                        .iter()
                        .zip(self.nominal_offsets.iter())
                        .map(|(there, here)| (there - here) * over_width)
                        .collect()
                });
                Move {
                    unknowns: moved,
                    offsets,
                }
            }));
        }
        moves
    }
}

/// Every toleranced value that can move an island: those of its own
/// elements, and of the ties between the nodes it touches and their roots.
fn toleranced_values(ground: Ground<'_>, island: usize) -> Vec<Toleranced> {
    let plan = ground.plan;
    let mut elements: Vec<usize> = Vec::new();
    let mut touched: Vec<usize> = (0..plan.lowered.nodes)
        .filter(|&node| {
            plan.unknown[node].is_none()
                && plan.variable[plan.forest.root[node]].is_some_and(|(of, _)| of == island)
        })
        .collect();
    for &part in &plan.islands[island].parts {
        let part = &plan.lowered.parts[part];
        elements.push(part.element);
        touched.extend(part.pins.iter().map(|pin| pin.node));
    }
    elements.extend(ties_above(plan, touched));
    of_elements(ground, elements)
}

/// The elements whose ties lie between nodes and their roots.
pub(super) fn ties_above(plan: &Plan, nodes: Vec<usize>) -> Vec<usize> {
    let mut elements = Vec::new();
    let mut climbed = vec![false; plan.lowered.nodes];
    for mut node in nodes {
        while !climbed[node] {
            climbed[node] = true;
            let Some(branch) = plan.forest.branch[node] else {
                break;
            };
            elements.push(plan.forest.ties[branch.tie].element);
            node = branch.parent;
        }
    }
    elements
}

/// The toleranced values of elements, each once.
pub(super) fn of_elements(ground: Ground<'_>, mut elements: Vec<usize>) -> Vec<Toleranced> {
    elements.sort_unstable();
    elements.dedup();
    let mut values = Vec::new();
    for element in elements {
        let (tag, occurrence) = ground.names[element];
        for (slot, spread) in spreads(&ground.circuit.elements()[element].1)
            .into_iter()
            .enumerate()
        {
            if let Some(spread) = spread
                && spread.high > spread.low
            {
                values.push(Toleranced {
                    key: (tag, occurrence, slot as u8),
                    element,
                    spread,
                });
            }
        }
    }
    values
}

/// The tag of every element, and which of those with that tag it is.
pub(super) fn names(circuit: &Circuit) -> Vec<(Tag, u32)> {
    let mut seen: FxHashMap<Tag, u32> = FxHashMap::default();
    circuit
        .elements()
        .iter()
        .map(|(tag, _)| {
            let count = seen.entry(*tag).or_default();
            *count += 1;
            (*tag, *count - 1)
        })
        .collect()
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
