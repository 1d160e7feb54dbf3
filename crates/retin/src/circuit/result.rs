//! What a solve says: potentials, currents, and what is wrong.

use super::element::{NodeId, Tag};
use super::units::{Amps, Volts, Watts};

/// The potential of one node against the reference.
#[derive(Debug, Clone, PartialEq)]
pub enum Potential {
    /// Solved.
    Known {
        /// Potential against the reference.
        volts: Volts,
    },
    /// Nothing that is written down fixes it. Never to be read as zero.
    Unknown {
        /// What is missing or wrong.
        why: UnknownReason,
    },
}

impl Potential {
    /// The potential where it is known.
    pub fn volts(&self) -> Option<Volts> {
        match self {
            Self::Known { volts } => Some(*volts),
            Self::Unknown { .. } => None,
        }
    }
}

/// Why a potential is unknown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum UnknownReason {
    /// No path that conducts at direct current leads to the reference (a node
    /// behind capacitors, an island of its own, a circuit without reference).
    NotTied,
    /// It hangs on an element whose behaviour or value is not usable.
    DependsOn {
        /// That element.
        tag: Tag,
    },
    /// It hangs on an amplifier one of whose inputs or rails is unknown.
    InputUnknown {
        /// That amplifier.
        tag: Tag,
    },
    /// Sources in a loop disagree about it.
    Conflict {
        /// The elements of the loop.
        tags: Vec<Tag>,
    },
    /// No method reached an operating point of its island.
    NotConverged,
    /// The equations of its island have no single answer, or only one with
    /// potentials or currents beyond anything real (a current forced through
    /// something that does not conduct).
    NoSingleAnswer,
}

/// Which of its regimes an element with limits works in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Regime {
    /// An amplifier between its limits, a regulator that regulates.
    InRange,
    /// An amplifier at its upper limit.
    UpperLimit,
    /// An amplifier at its lower limit.
    LowerLimit,
    /// A regulator whose input is too near its output.
    Dropout,
    /// A regulator that delivers nothing, because its output is held above
    /// its own voltage or its input is too low.
    Off,
}

/// What was found out about one element.
#[derive(Debug, Clone, PartialEq)]
pub struct ElementResult {
    /// The caller's name.
    pub tag: Tag,
    /// Current into the element at each terminal, in the order of
    /// [`Element::terminals`](super::Element::terminals); `None` where it
    /// could not be known.
    pub currents: Vec<Option<Amps>>,
    /// Power the element takes from the circuit; negative for a source that
    /// delivers. `None` where a current or potential is unknown.
    pub dissipation: Option<Watts>,
    /// For amplifiers and regulators that were solved.
    pub regime: Option<Regime>,
}

/// Which quantity of an element a fault is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Parameter {
    /// Resistance.
    Resistance,
    /// Voltage of a source, zener or regulator.
    Voltage,
    /// Current of a current source.
    Current,
    /// Wiper position.
    Position,
    /// Gain of a transistor or amplifier.
    Gain,
    /// Any other number of the element's model.
    Model,
}

/// What is wrong with a value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ValueProblem {
    /// Not a number, or infinite.
    NotFinite,
    /// Zero where that has no meaning.
    Zero,
    /// Negative where that has no meaning.
    Negative,
    /// Beyond anything the solver vouches for.
    OutOfRange,
    /// The ends of its tolerance do not enclose the nominal value.
    SpreadOutOfOrder,
}

/// Something wrong with the circuit as written, or a limit that the solver
/// met.
#[derive(Debug, Clone, PartialEq)]
pub enum Fault {
    /// A value that cannot be used. The element counts as unmodelled.
    BadValue {
        /// The element.
        tag: Tag,
        /// Which of its values.
        parameter: Parameter,
        /// What is wrong with it.
        problem: ValueProblem,
    },
    /// The element names a node the circuit does not have.
    NoSuchNode {
        /// The element.
        tag: Tag,
        /// The node it names.
        node: NodeId,
    },
    /// There is no reference node, so that nothing can be known.
    NoReference,
    /// Ideal sources and links form a loop whose voltages disagree.
    Conflict {
        /// The elements of the loop.
        tags: Vec<Tag>,
    },
    /// An amplifier's or regulator's output sits on a node that sources hold:
    /// its current is unknown.
    OutputHeld {
        /// The amplifier or regulator.
        tag: Tag,
    },
    /// The circuit can rest in more than one state; the result is one of
    /// them.
    SeveralStates {
        /// The amplifier with positive feedback.
        tag: Tag,
    },
    /// No method reached an operating point of this island.
    NotConverged {
        /// Its elements.
        tags: Vec<Tag>,
    },
    /// The equations of this island have no single answer, or only one with
    /// potentials or currents beyond anything real (a junction straight
    /// across a source).
    NoSingleAnswer {
        /// Its elements.
        tags: Vec<Tag>,
    },
}

/// How an operating point was reached.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Method {
    /// One linear solve.
    Linear,
    /// Newton's method from the usual start.
    Plain,
    /// A conductance from every node to the reference, taken away in steps.
    ConductanceStepping,
    /// All sources raised from zero in steps.
    SourceStepping,
}

/// How one island was solved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct IslandReport {
    /// Its nodes, in rising order.
    pub nodes: Vec<NodeId>,
    /// The method that reached the answer; `None` where none did.
    pub method: Option<Method>,
    /// Linear systems solved on the way.
    pub iterations: usize,
    /// Whether the answer was at hand from an earlier solve.
    pub reused: bool,
}

/// The operating point of a circuit.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// By node id.
    pub potentials: Vec<Potential>,
    /// By place in [`Circuit::elements`](super::Circuit::elements).
    pub elements: Vec<ElementResult>,
    /// Everything wrong, in order of discovery.
    pub faults: Vec<Fault>,
    /// Every island that was solved.
    pub islands: Vec<IslandReport>,
}

impl Solution {
    /// The potential of a node where it is known.
    pub fn volts(&self, node: NodeId) -> Option<Volts> {
        self.potentials.get(node.0 as usize)?.volts()
    }
}
