//! What is known of the potential of each net, and how it is known.
//!
//! Rails state theirs; other nets get theirs from the circuit, where enough of
//! it is written down. Every rule that asks for a potential sees both alike, and
//! [`Known::basis`] says which it is.

use crate::meaning::{Case, NetId, Nets, Rail};
use crate::operating_point::{self, Reach, Solved};
use crate::sources::Origin;
use retin_syntax::tables::Property;
use retin_syntax::value::{Decimal, Dimension};
use rustc_hash::FxHashMap;

/// How a potential is known.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Basis {
    /// A rail's line states it.
    Rail,
    /// It follows from the circuit.
    Solved,
}

/// A potential against ground, in volts.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Known {
    /// The value meant.
    pub nominal: Decimal,
    /// The least it can be.
    pub low: Decimal,
    /// The most it can be.
    pub high: Decimal,
    /// How it is known.
    pub basis: Basis,
    /// Where it is written; of a solved one, where its net is first named.
    pub origin: Origin,
    /// The net whose line says so; a link may have carried it here.
    pub net: NetId,
}

impl Known {
    /// The value meant, as in "24 V" or "4 V (solved from the circuit)".
    pub fn in_words(&self) -> String {
        let volts = shown(self.nominal);
        match self.basis {
            Basis::Rail => format!("{volts} V"),
            Basis::Solved => format!("{volts} V (solved from the circuit)"),
        }
    }

    /// The most it can be, worded as [`Known::in_words`].
    pub fn most_in_words(&self) -> String {
        let volts = shown(self.high);
        match self.basis {
            Basis::Rail => format!("up to {volts} V here"),
            Basis::Solved => format!("up to {volts} V here (solved from the circuit)"),
        }
    }
}

/// Significant digits of a potential that people read; a generic junction is not
/// good for more.
const SHOWN_DIGITS: u32 = 4;

/// A potential as people read it.
pub fn shown(volts: Decimal) -> Decimal {
    volts.round_sf(SHOWN_DIGITS).unwrap_or(volts).normalize()
}

/// The known potentials of a unit.
#[derive(Debug, Default)]
pub struct Potentials {
    known: FxHashMap<NetId, Known>,
    solved: Solved,
}

impl Potentials {
    /// What the rails state, carried along links, and what follows from it.
    pub(crate) fn of_case(case: &Case<'_>) -> Self {
        let nets = &case.nets;
        let mut known = FxHashMap::default();
        for (id, net) in nets.iter() {
            if let Some(potential) = net.rail.as_ref().and_then(|rail| of_rail(id, rail)) {
                known.entry(nets.common(id)).or_insert(potential);
            }
        }
        let solved = operating_point::solve(case);
        for (id, net) in nets.iter() {
            if let Some(reach) = solved.of(nets.common(id)) {
                known.entry(nets.common(id)).or_insert(Known {
                    nominal: reach.nominal,
                    low: reach.low,
                    high: reach.high,
                    basis: Basis::Solved,
                    origin: net.origin,
                    net: id,
                });
            }
        }
        Potentials { known, solved }
    }

    /// The potential of a net.
    pub fn of(&self, nets: &Nets<'_>, net: NetId) -> Option<&Known> {
        self.known.get(&nets.common(net))
    }

    /// The potential of one net over another, with the ends it can have.
    ///
    /// Rails move independently of each other. Solved nets move with the parts
    /// they hang on, and their difference is known where both were followed
    /// together, or where one of the two does not move at all.
    pub fn between(&self, nets: &Nets<'_>, one: NetId, other: NetId) -> Option<Reach> {
        let (first, second) = (self.of(nets, one)?, self.of(nets, other)?);
        let stands = |known: &Known| known.basis == Basis::Rail && known.low == known.high;
        let are_rails = first.basis == Basis::Rail && second.basis == Basis::Rail;
        if are_rails || stands(first) || stands(second) {
            return Some(Reach {
                low: first.low - second.high,
                nominal: first.nominal - second.nominal,
                high: first.high - second.low,
            });
        }
        self.solved.between(nets.common(one), nets.common(other))
    }

    /// What was solved beyond the rails, and what was not and why.
    pub fn solved(&self) -> &Solved {
        &self.solved
    }
}

/// What a rail states of its potential; none where it alternates or nobody knows.
pub(crate) fn of_rail(net: NetId, rail: &Rail<'_>) -> Option<Known> {
    let (first, last) = rail.facts.range(Property::Volts)?;
    if first.dimension != Dimension::Voltage {
        return None;
    }
    let (mut low, mut high) = (first.number, last.number);
    let nominal = (low + high) / Decimal::TWO;
    if let Some(tolerance) = rail.facts.tolerance() {
        let (window_low, window_high) = tolerance.window(first)?;
        low = low.min(window_low.number);
        high = high.max(window_high.number);
    }
    Some(Known {
        nominal,
        low,
        high,
        basis: Basis::Rail,
        origin: rail.origin,
        net,
    })
}
