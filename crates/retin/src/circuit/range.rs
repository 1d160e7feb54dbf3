//! Between which ends potentials stay over tolerances and wiper travel.
//!
//! # Method
//!
//! For each node that is asked about, over the toleranced values that can
//! reach it (those of its island, and of the sources that hold the nodes the
//! island touches):
//!
//! - Up to [`MOST_FOR_VERTICES`] values: every combination of their ends is
//!   solved, nonlinear parts and all.
//! - More: the sensitivity of the node to every value is taken at the nominal
//!   point, and the two combinations of ends that the signs point to are
//!   solved, nonlinear parts and all.
//! - In both cases [`SAMPLES`] combinations from within the tolerances are
//!   solved besides. They come from a generator with a fixed seed: the same
//!   circuit gives the same ranges on every run.
//!
//! The interval encloses all of these, the nominal point always included. It
//! does not depend on what was asked before. The difference of two nodes goes
//! the same way over the values that reach either: what both hang on stands at
//! the same end for both.
//!
//! # Limits
//!
//! The ends are worst cases where each potential rises or falls with each
//! value all the way, as it does in bias networks, dividers and regulators.
//! Where it turns back between the ends (a wiper between two fed ends), or
//! where with many values a sign changes far from the nominal point, a
//! little more than the interval is possible; the samples narrow that gap and
//! do not close it. By sensitivities, a value that moves a node by less than
//! 0.1 µV is left out of that node's worst case. Values are taken as
//! independent: tracking pairs and tolerances of one batch are not known here.
//! Temperatures, and saturation currents of junctions, do not vary.

use super::element::{Circuit, NodeId};
use super::result::{Solution, UnknownReason};
use super::solver::Solver;
use super::units::Volts;

/// Up to this many toleranced values, all combinations of ends are solved.
pub const MOST_FOR_VERTICES: usize = 6;
/// Combinations from within the tolerances that are solved besides.
pub const SAMPLES: usize = 16;

/// What one potential, or one difference of two, may be.
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
    /// Known over all tolerances.
    Known(Interval),
    /// Known at nominal values; at some of the combinations that had to be
    /// solved no operating point was reached, so that the ends are not known.
    WithoutEnds {
        /// With every value nominal.
        nominal: Volts,
    },
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
            Self::WithoutEnds { .. } | Self::Unknown { .. } => None,
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
    /// Combinations at which no operating point was reached.
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
    /// [`Solver::operating_point`] finds the same node by node, as asked.
    pub fn solve_range(&mut self, circuit: &Circuit) -> Ranges {
        let point = self.operating_point(circuit.clone());
        let nodes = (0..circuit.node_count())
            .map(|node| point.range(NodeId(node as u32)))
            .collect();
        Ranges {
            nodes,
            islands: point.islands(),
            nominal: point.nominal().clone(),
        }
    }
}
