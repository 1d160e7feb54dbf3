//! What is known of the potential of each net, and how it is known.
//!
//! Rails state theirs. This is also where solved node potentials come in: they
//! are one more [`Known`] with its own [`Basis`], and every rule that asks for a
//! potential sees them without knowing.

use crate::meaning::Nets;
use crate::meaning::{NetId, Rail};
use crate::sources::Origin;
use retin_syntax::tables::Property;
use retin_syntax::value::{Decimal, Dimension};
use rustc_hash::FxHashMap;

/// How a potential is known.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Basis {
    /// A rail's line states it.
    Rail,
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
    /// Where it is written.
    pub origin: Origin,
    /// The net whose line says so; a link may have carried it here.
    pub net: NetId,
}

/// The known potentials of a unit.
#[derive(Debug, Default)]
pub struct Potentials {
    known: FxHashMap<NetId, Known>,
}

impl Potentials {
    /// What the rails state, carried along links.
    pub(crate) fn from_rails(nets: &Nets<'_>) -> Self {
        let mut known = FxHashMap::default();
        for (id, net) in nets.iter() {
            if let Some(potential) = net.rail.as_ref().and_then(|rail| of_rail(id, rail)) {
                known.entry(nets.common(id)).or_insert(potential);
            }
        }
        Potentials { known }
    }

    /// The potential of a net.
    pub fn of(&self, nets: &Nets<'_>, net: NetId) -> Option<&Known> {
        self.known.get(&nets.common(net))
    }
}

fn of_rail(net: NetId, rail: &Rail<'_>) -> Option<Known> {
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
