//! The direct-current operating point of whatever part of a circuit is
//! written down.
//!
//! # Bird's eye
//!
//! A [`Circuit`] is plain data: nodes, and [`Element`]s between them, each
//! with the caller's own tag. [`solve`] says for every node whether its
//! potential is known and what it is, for every element what flows at its
//! terminals and what it dissipates, and what is wrong; [`solve_range`] says
//! between which ends each potential stays over the tolerances of parts and
//! rails and the travel of wipers. A [`Solver`] does the same and remembers.
//!
//! ```
//! use retin::circuit::{Circuit, Element, Ohms, Tag, Volts, solve};
//!
//! let mut circuit = Circuit::new();
//! let ground = circuit.ground();
//! let rail = circuit.node();
//! let middle = circuit.node();
//! circuit.source(Tag(1), rail, ground, Volts(24.0));
//! circuit.resistor(Tag(2), rail, middle, Ohms(10e3));
//! circuit.resistor(Tag(3), middle, ground, Ohms(2e3));
//! let behind = circuit.node();
//! circuit.add(Tag(4), Element::Capacitor { a: middle, b: behind });
//!
//! let solution = solve(&circuit);
//! assert!((solution.volts(middle).unwrap().0 - 4.0).abs() < 1e-9);
//! assert_eq!(solution.volts(behind), None); // unknown, not zero
//! ```
//!
//! # The way through
//!
//! 1. `validate`: values that cannot be used become faults, their elements
//!    count as unmodelled.
//! 2. `lower`: elements become ties (ideal voltages) and parts (currents).
//! 3. `ties`: sources, links and regulators that surely regulate form a
//!    forest; loops that disagree are conflicts.
//! 4. `islands`: what cannot be known is marked; the rest falls into islands
//!    between held nodes.
//! 5. `stamp`, `junction`, `linear`, `newton`: one island becomes a sparse
//!    system and is solved.
//! 6. `currents`: what ideal sources carry, what parts dissipate.
//! 7. `solver`: all of that, with solved islands kept by content.
//! 8. `point`, `sweep`: one island many times over, for the ends of
//!    tolerances, when a range is asked for; `range`: what the ends mean.
//!
//! # What it never does
//!
//! It gives no number for a node that nothing ties to the reference, for one
//! whose path leads through a part it has no model of, or for one on which
//! sources disagree. It gives no number that does not balance when put back
//! into the equations. It reads no text, no clock and no random source.
//!
//! # Limits
//!
//! Direct current only: capacitors are open, windings are links or their
//! resistance. One junction temperature, no self-heating, no device
//! breakdown but a zener's. A circuit with several operating points (a latch)
//! is given one of them; only positive feedback round an amplifier is noticed
//! and said. A regulator fed through a resistance shares an island with all
//! it feeds, so that one unknown part there makes its rail unknown too.

mod currents;
mod element;
mod islands;
mod junction;
#[cfg(test)]
mod laws;
mod linear;
mod lower;
mod models;
mod newton;
mod point;
pub mod range;
mod result;
mod solver;
mod stamp;
mod sweep;
mod ties;
mod units;
mod validate;

pub use element::{Circuit, Element, NodeId, Tag};
pub use models::{
    BipolarModel, DiodeModel, JUNCTION_TEMPERATURE, JfetModel, OpAmpModel, Polarity,
    RegulatorModel, ZenerModel,
};
pub use point::OperatingPoint;
pub use range::{Interval, IslandRange, Range, RangeMethod, Ranges, solve_range};
pub use result::{
    ElementResult, Fault, IslandReport, Method, Parameter, Potential, Regime, Solution,
    UnknownReason, ValueProblem,
};
pub use solver::{Solver, solve};
pub use units::{
    Amps, AmpsPerSquareVolt, Celsius, Ohms, PerVolt, Quantity, Ratio, Spread, Volts, Watts,
};
