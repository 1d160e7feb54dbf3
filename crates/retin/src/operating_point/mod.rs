//! The operating point of a unit: what potential each net comes to by the parts
//! that the sheet writes down.
//!
//! [`lower`] makes a circuit of the case, the solver of [`crate::circuit`] solves
//! it, and [`Solved`] is what the rest of the checker sees. Rails are never
//! solved: what a line states goes before what follows from it.
//!
//! # What is solved, and what is not
//!
//! - Copies of a board are alike: the usual copy stands for all of them, and
//!   what is said of one copy alone is left aside. A net that links carry from
//!   such copies to somewhere else is unknown, unless a rail holds it.
//! - The parts are the maker's, as the job goes by them. What the plan puts in
//!   their place, or adds, is left aside.
//! - A part whose leads are not all written, whose value is not known, or whose
//!   kind has no model makes every net it is on unknown, unless a rail holds it.
//! - A part that conducts and has none of its leads written may be on any net of
//!   its board: there, nothing is solved. Nor is a net on which one lead alone
//!   is written, since something else must be on it.
//! - An amplifier that comes out at the limit of its swing is taken not to be
//!   understood: what hangs on its output is unknown.

mod lower;
mod table;

use crate::circuit::{
    Element, Fault, Interval, NodeId, Potential, Ranges, Regime, Solver, UnknownReason,
};
use crate::meaning::{BoardId, Case, NetId, PartId};
use lower::{Lowered, lower};
use retin_syntax::value::Decimal;
use rust_decimal::prelude::FromPrimitive;
use rustc_hash::FxHashMap;
pub use table::{Expected, Reading, Row, readings, rows};

/// What an element of the circuit stands for.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Subject {
    /// A part, computed.
    Part(PartId),
    /// A part that is not computed, and why.
    Doubtful(PartId, Doubt),
    /// A rail.
    Rail(NetId),
    /// A rail whose potential is not stated, or that alternates.
    OpenRail(NetId),
    /// A net on which something must be that is not written down.
    OpenEnd(NetId),
    /// A net by which copies of a board meet each other, or another board.
    Meeting(NetId),
    /// A board with parts whose leads are not written, one of which this is.
    OpenBoard(BoardId, PartId),
}

/// Why a part is not computed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Doubt {
    /// Its kind has no model.
    Kind,
    /// Its leads are not all written.
    Leads,
    /// Its value is not known.
    Value,
    /// What it draws from its supply is not known.
    Supply,
    /// It comes out at the limit of its swing, or may rest in more than one state.
    Limit,
}

/// Potential, or a difference of two, in volts, over all tolerances.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Reach {
    /// The least.
    pub low: Decimal,
    /// With every value as written.
    pub nominal: Decimal,
    /// The most.
    pub high: Decimal,
}

/// Why the potential of a net is not known.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Unknown {
    /// The sheet states no rail, so there is nothing to begin with.
    NoRail,
    /// No path that carries direct current leads to a rail.
    NotTied,
    /// It hangs on this.
    DependsOn(Subject),
    /// Rails and links contradict one another.
    Conflict,
    /// No operating point was reached.
    NotConverged,
    /// The equations have no single answer.
    NoSingleAnswer,
}

/// The solved part of a unit.
#[derive(Debug, Default)]
pub struct Solved {
    nodes: FxHashMap<NetId, NodeId>,
    subjects: Vec<Subject>,
    ranges: Option<Ranges>,
    pairs: FxHashMap<(NodeId, NodeId), Interval>,
}

/// How often amplifiers at their limits are taken out and the rest is solved again.
const MOST_ROUNDS: usize = 8;

/// Solves the operating point of a case.
pub fn solve(case: &Case<'_>) -> Solved {
    let mut lowered = lower(case);
    if !lowered.is_worth_solving {
        return Solved {
            nodes: lowered.nodes,
            subjects: lowered.subjects,
            ranges: None,
            pairs: FxHashMap::default(),
        };
    }
    let mut solver = Solver::default();
    for _ in 0..MOST_ROUNDS {
        let solution = solver.solve(&lowered.circuit);
        if !take_out_doubtful(&mut lowered, &solution) {
            break;
        }
    }
    let pairs: Vec<(NodeId, NodeId)> = lowered.pairs.clone();
    let (ranges, between) = solver.solve_range_between(&lowered.circuit, &pairs);
    let pairs = pairs
        .into_iter()
        .zip(between)
        .filter_map(|(pair, interval)| Some((pair, interval?)))
        .collect();
    Solved {
        nodes: lowered.nodes,
        subjects: lowered.subjects,
        ranges: Some(ranges),
        pairs,
    }
}

/// Makes amplifiers and regulators unmodelled whose result is not to be
/// believed; whether there were any.
fn take_out_doubtful(lowered: &mut Lowered, solution: &crate::circuit::Solution) -> bool {
    let mut doubtful: Vec<usize> = Vec::new();
    for (place, result) in solution.elements.iter().enumerate() {
        let is_at_limit = matches!(
            result.regime,
            Some(Regime::UpperLimit | Regime::LowerLimit | Regime::Dropout | Regime::Off)
        );
        let is_doubted = || {
            solution.faults.iter().any(|fault| {
                matches!(fault, Fault::SeveralStates { tag } | Fault::OutputHeld { tag } if *tag == result.tag)
            })
        };
        let has_regime = matches!(
            lowered.circuit.elements()[place].1,
            Element::OpAmp { .. } | Element::Regulator { .. }
        );
        if has_regime && (is_at_limit || is_doubted()) {
            doubtful.push(place);
        }
    }
    for &place in &doubtful {
        let (tag, element) = &lowered.circuit.elements()[place];
        let tag = *tag;
        let terminals = match element {
            // Its inputs draw nothing, whatever the output does.
            Element::OpAmp { out, .. } => vec![*out],
            element => element.terminals(),
        };
        if let Subject::Part(part) = lowered.subjects[tag.0 as usize] {
            lowered.subjects[tag.0 as usize] = Subject::Doubtful(part, Doubt::Limit);
        }
        lowered
            .circuit
            .replace(place, Element::Unmodelled { terminals });
    }
    !doubtful.is_empty()
}

impl Solved {
    /// The solved potential of a net, given by the net that stands for all it is
    /// joined with.
    pub fn of(&self, common: NetId) -> Option<Reach> {
        let node = self.nodes.get(&common)?;
        let range = self.ranges.as_ref()?.nodes.get(node.0 as usize)?;
        reach(range.interval()?)
    }

    /// The potential of one net over another, where both move together over the
    /// tolerances and were followed together.
    pub fn between(&self, one: NetId, other: NetId) -> Option<Reach> {
        let (one, other) = (*self.nodes.get(&one)?, *self.nodes.get(&other)?);
        if let Some(interval) = self.pairs.get(&(one, other)) {
            return reach(*interval);
        }
        let turned = reach(*self.pairs.get(&(other, one))?)?;
        Some(Reach {
            low: -turned.high,
            nominal: -turned.nominal,
            high: -turned.low,
        })
    }

    /// Why a net's potential is not known; none where it is.
    pub fn unknown(&self, common: NetId) -> Option<Unknown> {
        let Some(ranges) = &self.ranges else {
            return Some(
                if self
                    .subjects
                    .iter()
                    .any(|subject| matches!(subject, Subject::Rail(_)))
                {
                    Unknown::NotTied
                } else {
                    Unknown::NoRail
                },
            );
        };
        let Some(node) = self.nodes.get(&common) else {
            return Some(Unknown::NotTied);
        };
        match ranges.nominal.potentials.get(node.0 as usize)? {
            Potential::Known { .. } => None,
            Potential::Unknown { why } => Some(self.why(why)),
        }
    }

    fn why(&self, reason: &UnknownReason) -> Unknown {
        match reason {
            UnknownReason::NotTied => Unknown::NotTied,
            UnknownReason::DependsOn { tag } | UnknownReason::InputUnknown { tag } => self
                .subjects
                .get(tag.0 as usize)
                .map_or(Unknown::NotTied, |subject| Unknown::DependsOn(*subject)),
            UnknownReason::Conflict { .. } => Unknown::Conflict,
            UnknownReason::NotConverged => Unknown::NotConverged,
            UnknownReason::NoSingleAnswer => Unknown::NoSingleAnswer,
        }
    }

    /// Rails and the parts between them whose potentials contradict one another,
    /// each loop once.
    pub fn conflicts(&self) -> impl Iterator<Item = Vec<Subject>> + '_ {
        let faults = self.ranges.iter().flat_map(|ranges| &ranges.nominal.faults);
        faults.filter_map(|fault| match fault {
            Fault::Conflict { tags } => Some(
                tags.iter()
                    .filter_map(|tag| self.subjects.get(tag.0 as usize).copied())
                    .collect(),
            ),
            _ => None,
        })
    }

    /// Groups of parts for which no operating point was reached.
    pub fn unsolved(&self) -> impl Iterator<Item = Vec<PartId>> + '_ {
        let faults = self.ranges.iter().flat_map(|ranges| &ranges.nominal.faults);
        faults.filter_map(|fault| match fault {
            Fault::NotConverged { tags } | Fault::NoSingleAnswer { tags } => Some(
                tags.iter()
                    .filter_map(|tag| match self.subjects.get(tag.0 as usize) {
                        Some(Subject::Part(part)) => Some(*part),
                        _ => None,
                    })
                    .collect(),
            ),
            _ => None,
        })
    }
}

/// Decimal places that solved potentials are kept to, 1 µV: far below what a
/// generic junction is good for, far above what the solver's arithmetic loses.
const PLACES: u32 = 6;

fn reach(interval: Interval) -> Option<Reach> {
    let decimal = |volts: f64| Some(Decimal::from_f64(volts)?.round_dp(PLACES).normalize());
    Some(Reach {
        low: decimal(interval.low.0)?,
        nominal: decimal(interval.nominal.0)?,
        high: decimal(interval.high.0)?,
    })
}

impl Unknown {
    /// The reason as the end of a sentence, with names of the case.
    pub fn in_words(&self, case: &Case<'_>) -> String {
        match self {
            Unknown::NoRail => "no rail is written down".into(),
            Unknown::NotTied => "no path that carries direct current leads to a rail".into(),
            Unknown::Conflict => "rails contradict one another here".into(),
            Unknown::NotConverged => "no operating point was found".into(),
            Unknown::NoSingleAnswer => "the circuit as written has no single answer".into(),
            Unknown::DependsOn(subject) => subject.in_words(case),
        }
    }
}

impl Subject {
    fn in_words(self, case: &Case<'_>) -> String {
        let name = |part: PartId| format!("{}.{}", case.board_of(part).name, case.part(part).name);
        let net = |net: NetId| {
            let net = case.nets.net(net);
            format!("{}.{}", case.board(net.board).name, net.name)
        };
        match self {
            Subject::Part(part) => {
                format!("it hangs on {}, whose inputs are not known", name(part))
            }
            Subject::Doubtful(part, doubt) => match doubt {
                Doubt::Kind => match case.part(part).kind {
                    Some(kind) => format!(
                        "it hangs on {}, and {} is not computed",
                        name(part),
                        kind.with_article()
                    ),
                    None => format!("it hangs on {}, whose kind is not known", name(part)),
                },
                Doubt::Leads => format!(
                    "it hangs on {}, whose leads are not all written",
                    name(part)
                ),
                Doubt::Value => format!("it hangs on {}, whose value is not known", name(part)),
                Doubt::Supply => format!("it hangs on what {} draws from its supply", name(part)),
                Doubt::Limit => {
                    format!("it hangs on {}, which would stand at its limit", name(part))
                }
            },
            Subject::Rail(rail) => format!("it hangs on the rail {}", net(rail)),
            Subject::OpenRail(rail) => {
                format!(
                    "it hangs on the rail {}, whose direct voltage is not known",
                    net(rail)
                )
            }
            Subject::OpenEnd(end) => {
                format!("it hangs on {}, where only one lead is written", net(end))
            }
            Subject::Meeting(meeting) => {
                format!("it hangs on {}, where copies of a board meet", net(meeting))
            }
            Subject::OpenBoard(board, part) => format!(
                "the leads of {} and perhaps of other parts on {} are not written",
                name(part),
                case.board(board).name
            ),
        }
    }
}
