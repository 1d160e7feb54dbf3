//! An operating point whose ranges are found as they are asked for.

use super::element::{Circuit, NodeId, Tag};
use super::islands::Plan;
use super::lower::Scenario;
use super::range::{Interval, IslandRange, MOST_FOR_VERTICES, Range, SAMPLES};
use super::result::{Potential, Solution};
use super::solver::{Solved, Solver, solution_of};
use super::sweep::{End, Key, Sweep, Toleranced, names, of_elements, ties_above};
use super::units::Volts;
use std::cell::{OnceCell, RefCell};
use std::collections::BTreeMap;
use std::fmt;

/// A value that moves a node by less than this over its whole tolerance, in
/// volts, is left at nominal in that node's worst case.
const NEGLIGIBLE_VOLTS: f64 = 1e-7;

/// A circuit solved at nominal values, that is solved at others when a range
/// is asked for: only the islands asked about, and each set of values once.
pub struct OperatingPoint {
    circuit: Circuit,
    solved: Solved,
    nominal: Solution,
    names: OnceCell<Vec<(Tag, u32)>>,
    sweeps: Vec<OnceCell<RefCell<Sweep>>>,
}

/// What every solve of an island stands on.
#[derive(Clone, Copy)]
pub(super) struct Ground<'a> {
    pub(super) circuit: &'a Circuit,
    pub(super) plan: &'a Plan,
    pub(super) nominal: &'a Scenario,
    /// Of every element, its tag and which of those with that tag it is.
    pub(super) names: &'a [(Tag, u32)],
}

impl fmt::Debug for OperatingPoint {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter
            .debug_struct("OperatingPoint")
            .field("nominal", &self.nominal)
            .finish_non_exhaustive()
    }
}

impl Solver {
    /// Solves a circuit at nominal values, ready to be asked for ranges.
    pub fn operating_point(&mut self, circuit: Circuit) -> OperatingPoint {
        let solved = self.solve_nominal(&circuit);
        OperatingPoint {
            nominal: solution_of(&circuit, &solved),
            sweeps: solved.outcomes.iter().map(|_| OnceCell::new()).collect(),
            names: OnceCell::new(),
            circuit,
            solved,
        }
    }
}

impl OperatingPoint {
    /// The circuit.
    pub fn circuit(&self) -> &Circuit {
        &self.circuit
    }

    /// The operating point at nominal values.
    pub fn nominal(&self) -> &Solution {
        &self.nominal
    }

    /// What a node may be over the tolerances of rails and parts and the travel
    /// of wipers; of a node the circuit does not have, that nothing ties it.
    pub fn range(&self, node: NodeId) -> Range {
        let nominal = match self.nominal.potentials.get(node.0 as usize) {
            Some(Potential::Known { volts }) => *volts,
            Some(Potential::Unknown { why }) => return Range::Unknown { why: why.clone() },
            None => {
                return Range::Unknown {
                    why: super::result::UnknownReason::NotTied,
                };
            }
        };
        let side = Side {
            point: self,
            node: node.0 as usize,
        };
        let Some(island) = side.island() else {
            let reach = self.solved.plan.forest.reach(side.node);
            return Range::Known(Interval {
                low: Volts(reach.low.min(nominal.0)),
                nominal,
                high: Volts(reach.high.max(nominal.0)),
            });
        };
        debug_assert!(self.solved.outcomes[island].is_ok());
        match difference(side, None) {
            Some(interval) => Range::Known(interval),
            None => Range::WithoutEnds { nominal },
        }
    }

    /// What the potential of a node over another may be. The other one may be
    /// of another circuit: elements of both with the same tag, the first of
    /// each, are then the same thing, such as a rail. None where one of the two
    /// is unknown, or at some set of values could not be solved.
    pub fn over(&self, node: NodeId, other: &OperatingPoint, at: NodeId) -> Option<Interval> {
        self.nominal.volts(node)?;
        other.nominal.volts(at)?;
        let side = |point, node: NodeId| Side {
            point,
            node: node.0 as usize,
        };
        difference(side(self, node), Some(side(other, at)))
    }

    /// The tags of the elements that are solved together with a node.
    pub fn solved_with(&self, node: NodeId) -> Vec<Tag> {
        let plan = &self.solved.plan;
        let root = plan.forest.root.get(node.0 as usize);
        root.and_then(|root| plan.variable[*root])
            .map(|(island, _)| self.solved.tags(&self.circuit, island))
            .unwrap_or_default()
    }

    /// How the ranges that were asked for so far were found, island by island.
    pub(super) fn islands(&self) -> Vec<IslandRange> {
        let asked = self
            .nominal
            .islands
            .iter()
            .filter(|island| island.method.is_some());
        asked
            .filter_map(|island| {
                let plan = &self.solved.plan;
                let root = plan.forest.root[island.nodes.first()?.0 as usize];
                let sweep = self.sweeps[plan.variable[root]?.0].get()?.borrow();
                Some(IslandRange {
                    nodes: island.nodes.clone(),
                    method: sweep.method(),
                    values: sweep.values.len(),
                    solved: sweep.solved,
                    unsolved: sweep.unsolved,
                })
            })
            .collect()
    }

    fn ground(&self) -> Ground<'_> {
        Ground {
            circuit: &self.circuit,
            plan: &self.solved.plan,
            nominal: &self.solved.scenario,
            names: self.names.get_or_init(|| names(&self.circuit)),
        }
    }

    /// The sweep of an island that was solved.
    fn sweep(&self, island: usize) -> Option<&RefCell<Sweep>> {
        let answer = self.solved.outcomes[island].as_ref().ok()?;
        Some(self.sweeps[island].get_or_init(|| {
            let problem = &self.solved.problems[island];
            RefCell::new(Sweep::new(self.ground(), island, answer, problem))
        }))
    }
}

/// A node of an operating point, at one end of a difference.
#[derive(Clone, Copy)]
struct Side<'a> {
    point: &'a OperatingPoint,
    node: usize,
}

impl Side<'_> {
    /// The island it is solved in; none where ties alone hold it.
    fn island(&self) -> Option<usize> {
        let plan = &self.point.solved.plan;
        let variable = plan.variable[plan.forest.root[self.node]];
        variable.map(|(island, _)| island)
    }

    fn nominal(&self) -> Option<f64> {
        let volts = self.point.nominal.volts(NodeId(self.node as u32))?;
        Some(volts.0)
    }

    /// The toleranced values of the ties that hold a node no island has.
    fn held_by(&self) -> Vec<Toleranced> {
        let ground = self.point.ground();
        of_elements(ground, ties_above(ground.plan, vec![self.node]))
    }

    /// The toleranced values that reach it.
    fn values(&self) -> Vec<Key> {
        let keys = |values: &[Toleranced]| values.iter().map(|value| value.key).collect();
        match self.island() {
            Some(island) => self
                .point
                .sweep(island)
                .map(|sweep| keys(&sweep.borrow().values))
                .unwrap_or_default(),
            None => keys(&self.held_by()),
        }
    }

    /// How far each value moves it over its whole width, in volts.
    fn moves(&self) -> Vec<(Key, f64)> {
        let ground = self.point.ground();
        match self.island() {
            Some(island) => self
                .point
                .sweep(island)
                .map(|sweep| sweep.borrow_mut().moves_of(ground, self.node))
                .unwrap_or_default(),
            None => self
                .held_by()
                .iter()
                .map(|value| {
                    let at = |end| {
                        let mut scenario = ground.nominal.clone();
                        value.put(end, &mut scenario);
                        self.held_at(&scenario)
                    };
                    (value.key, at(End::High) - at(End::Low))
                })
                .collect(),
        }
    }

    fn held_at(&self, scenario: &Scenario) -> f64 {
        let plan = &self.point.solved.plan;
        plan.forest.offsets(&plan.lowered.parts, scenario)[self.node]
    }

    /// Its potential with the values at these ends.
    fn at_ends(&self, end: impl Fn(Key) -> End) -> Option<f64> {
        let ground = self.point.ground();
        let Some(island) = self.island() else {
            let mut scenario = ground.nominal.clone();
            for value in self.held_by() {
                value.put(end(value.key), &mut scenario);
            }
            return Some(self.held_at(&scenario));
        };
        let at = self
            .point
            .sweep(island)?
            .borrow_mut()
            .at_ends(ground, end)?;
        Some(at.volts(ground.plan, self.node))
    }

    /// Its potential at one of the samples.
    fn at_sample(&self, index: usize) -> Option<f64> {
        let ground = self.point.ground();
        let Some(island) = self.island() else {
            let mut scenario = ground.nominal.clone();
            for value in self.held_by() {
                value.put_sample(index, &mut scenario);
            }
            return Some(self.held_at(&scenario));
        };
        let sweep = self.point.sweep(island)?;
        let at = sweep.borrow_mut().at_sample(ground, index)?;
        Some(at.volts(ground.plan, self.node))
    }
}

/// The interval of one node over another, or over the reference.
fn difference(one: Side<'_>, other: Option<Side<'_>>) -> Option<Interval> {
    let of = |volts: &dyn Fn(Side<'_>) -> Option<f64>| {
        let base = match other {
            Some(other) => volts(other)?,
            None => 0.0,
        };
        Some(volts(one)? - base)
    };
    let nominal = of(&|side| side.nominal())?;
    let (mut low, mut high) = (nominal, nominal);
    let mut take_in = |volts: f64| {
        low = low.min(volts);
        high = high.max(volts);
    };
    let mut keys = one.values();
    keys.extend(other.iter().flat_map(Side::values));
    keys.sort_unstable();
    keys.dedup();
    if !keys.is_empty() {
        if keys.len() <= MOST_FOR_VERTICES {
            for corner in 0..1_usize << keys.len() {
                let end = |key| match keys.binary_search(&key) {
                    Ok(place) if corner >> place & 1 == 1 => End::High,
                    Ok(_) => End::Low,
                    Err(_) => End::Nominal,
                };
                take_in(of(&|side| side.at_ends(end))?);
            }
        } else {
            let mut moves: BTreeMap<Key, f64> = BTreeMap::new();
            for (key, volts) in one.moves() {
                *moves.entry(key).or_default() += volts;
            }
            for (key, volts) in other.iter().flat_map(Side::moves) {
                *moves.entry(key).or_default() -= volts;
            }
            for sign in [1.0, -1.0] {
                let end = |key| match moves.get(&key).map(|volts| volts * sign) {
                    Some(volts) if volts > NEGLIGIBLE_VOLTS => End::High,
                    Some(volts) if volts < -NEGLIGIBLE_VOLTS => End::Low,
                    _ => End::Nominal,
                };
                take_in(of(&|side| side.at_ends(end))?);
            }
        }
        for sample in 0..SAMPLES {
            take_in(of(&|side| side.at_sample(sample))?);
        }
    }
    Some(Interval {
        low: Volts(low),
        nominal: Volts(nominal),
        high: Volts(high),
    })
}
