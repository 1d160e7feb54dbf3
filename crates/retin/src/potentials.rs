//! What is known of the potential of each net, and how it is known.
//!
//! Rails state theirs; other nets get theirs from the circuit, where enough of
//! it is written down. Every rule that asks for a potential sees both alike, and
//! [`Known::basis`] says which it is.

use crate::meaning::{Case, NetId, Nets, Rail};
use crate::moves::follow_fields;
use crate::operating_point::{Reach, Solved, Together, Unknown};
use crate::sources::Origin;
use retin_syntax::tables::Property;
use retin_syntax::value::{Decimal, Dimension};
use rustc_hash::FxHashMap;
use std::cell::RefCell;

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
    /// Between which ends it lies, as in "24 V", "22.8 to 25.2 V" or "3.1 to
    /// 4.2 V, solved from the circuit".
    pub fn in_words(&self) -> String {
        let ends = if self.low == self.high {
            format!("{} V", shown(self.nominal))
        } else {
            format!("{} to {} V", shown(self.low), shown(self.high))
        };
        match self.basis {
            Basis::Rail => ends,
            Basis::Solved => format!("{ends}, solved from the circuit"),
        }
    }

    /// Whether no potential is within the tolerance of both.
    pub fn contradicts(&self, other: &Known) -> bool {
        self.high < other.low || other.high < self.low
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
///
/// What the rails state is gathered with the case; what follows from it is
/// solved when somebody asks, and only so much of it.
#[derive(Debug, Default)]
pub struct Potentials {
    /// By net: what a rail states of one that stands for all it is joined with.
    rails: Vec<Option<Known>>,
    solved: Solved,
    asked: RefCell<Asked>,
}

// What was solved names parts and nets, and no place in a text.
follow_fields!(Potentials { rails; solved, asked });
follow_fields!(Known { origin; nominal, low, high, basis, net });

/// Answers that were given already.
#[derive(Debug, Default)]
struct Asked {
    of: FxHashMap<NetId, Result<Reach, Unknown>>,
    between: FxHashMap<(NetId, NetId), Option<Reach>>,
}

impl Potentials {
    /// What the rails state, carried along links.
    pub(crate) fn of_rails(nets: &Nets<'_>) -> Self {
        let mut rails = vec![None; nets.iter().count()];
        for (id, net) in nets.iter() {
            if let Some(potential) = net.rail.as_ref().and_then(|rail| of_rail(id, rail)) {
                rails[nets.common(id).0 as usize].get_or_insert(potential);
            }
        }
        Potentials {
            rails,
            solved: Solved::default(),
            asked: RefCell::default(),
        }
    }

    /// Forgets what followed from the circuit, which is another now.
    pub(crate) fn forget_solved(&mut self) {
        self.solved = Solved::default();
        self.asked = RefCell::default();
    }

    /// What a rail states of a net; of the first rail, where links join several.
    pub fn rail(&self, nets: &Nets<'_>, net: NetId) -> Option<&Known> {
        self.rails.get(nets.common(net).0 as usize)?.as_ref()
    }

    /// How many pieces of the unit were solved so far, because somebody asked.
    pub fn pieces_solved(&self) -> usize {
        self.solved.pieces_solved()
    }

    /// The potential of a net: a rail's, else solved.
    pub fn of(&self, case: &Case<'_>, net: NetId) -> Option<Known> {
        self.known(case, net).ok()
    }

    /// The potential of a net: a rail's, else solved.
    ///
    /// # Errors
    /// Why it is not known.
    pub fn known(&self, case: &Case<'_>, net: NetId) -> Result<Known, Unknown> {
        if let Some(rail) = self.rail(&case.nets, net) {
            return Ok(*rail);
        }
        let common = case.nets.common(net);
        let known = self.asked.borrow().of.get(&common).cloned();
        let solved = known.unwrap_or_else(|| {
            let solved = self.solved.of(case, common);
            self.asked.borrow_mut().of.insert(common, solved.clone());
            solved
        });
        let reach = solved?;
        Ok(Known {
            nominal: reach.nominal,
            low: reach.low,
            high: reach.high,
            basis: Basis::Solved,
            origin: case.nets.net(common).origin,
            net: common,
        })
    }

    /// What the circuit that a net hangs on is wrong by, as the end of a
    /// sentence; none where its potential is known, or only a fact is missing.
    pub fn trouble(&self, case: &Case<'_>, nets: &[NetId]) -> Option<String> {
        nets.iter().find_map(|net| {
            let why = self.known(case, *net).err()?;
            why.is_trouble().then(|| why.in_words(case))
        })
    }

    /// The potential of one net over another, with the ends it can have.
    ///
    /// Rails move independently of each other. Solved nets move with the parts
    /// and rails they hang on, and what both hang on moves both.
    pub fn between(&self, case: &Case<'_>, one: NetId, other: NetId) -> Option<Reach> {
        let (one, other) = (case.nets.common(one), case.nets.common(other));
        let (first, second) = (self.of(case, one)?, self.of(case, other)?);
        if one == other {
            return Some(Reach::default());
        }
        let apart = Reach {
            low: first.low - second.high,
            nominal: first.nominal - second.nominal,
            high: first.high - second.low,
        };
        let is_rail = |known: &Known| known.basis == Basis::Rail;
        let stands = |known: &Known| is_rail(known) && known.low == known.high;
        if (is_rail(&first) && is_rail(&second)) || stands(&first) || stands(&second) {
            return Some(apart);
        }
        if let Some(known) = self.asked.borrow().between.get(&(one, other)) {
            return *known;
        }
        let between = match self.solved.between(case, one, other) {
            // The one does not hang on the other.
            Together::Not => Some(apart),
            Together::Followed(reach) => reach,
        };
        self.asked
            .borrow_mut()
            .between
            .insert((one, other), between);
        between
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
