//! The operating point of a unit: what potential each net comes to by the parts
//! that the sheet writes down.
//!
//! Rails cut the unit into [`pieces`]. When somebody asks for a potential,
//! [`lower`] makes a circuit of that one piece, and the solver of
//! [`crate::circuit`] solves it; nothing else is looked at. Rails are never
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

mod bridges;
mod lower;
mod pieces;
mod table;

use crate::circuit::{
    Element, Fault, Interval, NodeId, OperatingPoint, Range, Regime, Solver, UnknownReason,
};
use crate::meaning::{BoardId, Case, NetId, PartId};
pub use bridges::{Bridge, bridges, joins};
use lower::{Subjects, lower};
use pieces::Pieces;
use retin_syntax::value::Decimal;
use rust_decimal::prelude::FromPrimitive;
use rustc_hash::FxHashMap;
use std::cell::OnceCell;
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
    /// The resistance of its winding is not known.
    Winding,
    /// Its value is nothing that can be computed with.
    Unusable,
    /// What it draws from its supply is not known.
    Supply,
    /// It comes out at the limit of its swing, or may rest in more than one state.
    Limit,
}

/// Potential, or a difference of two, in volts, over all tolerances.
#[derive(Clone, Copy, PartialEq, Default, Debug)]
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
    /// No operating point was reached for these parts together.
    NotConverged(Vec<PartId>),
    /// An operating point was reached at nominal values, and none somewhere
    /// within the tolerances of these parts.
    NotOverTolerances(Vec<PartId>),
    /// The equations of these parts together have no single answer.
    NoSingleAnswer(Vec<PartId>),
}

/// The operating point of a unit, solved piece by piece as it is asked for.
#[derive(Debug, Default)]
pub struct Solved {
    pieces: OnceCell<Pieces>,
    /// By piece, each solved when it is asked about.
    points: OnceCell<Vec<OnceCell<Point>>>,
}

/// One piece of the unit, solved.
#[derive(Debug)]
struct Point {
    nodes: FxHashMap<NetId, NodeId>,
    subjects: Subjects,
    point: OperatingPoint,
}

/// Solves one piece of a case.
fn solve(case: &Case<'_>, pieces: &Pieces, piece: u32) -> Point {
    let mut lowered = lower(case, pieces, piece);
    let mut solver = Solver::default();
    loop {
        let point = solver.operating_point(lowered.circuit);
        let doubtful = doubtful(&point);
        if doubtful.is_empty() {
            return Point {
                nodes: lowered.nodes,
                subjects: lowered.subjects,
                point,
            };
        }
        lowered.circuit = point.circuit().clone();
        for place in doubtful {
            let (tag, element) = &lowered.circuit.elements()[place];
            let tag = *tag;
            let terminals = match element {
                // Its inputs draw nothing, whatever the output does.
                Element::OpAmp { out, .. } => vec![*out],
                element => element.terminals(),
            };
            lowered.subjects.doubt(tag, Doubt::Limit);
            lowered
                .circuit
                .replace(place, Element::Unmodelled { terminals });
        }
    }
}

/// Amplifiers and regulators whose result is not to be believed, by their place
/// in the circuit.
fn doubtful(point: &OperatingPoint) -> Vec<usize> {
    let solution = point.nominal();
    let is_doubtful = |place: &usize| {
        let result = &solution.elements[*place];
        let has_regime = matches!(
            point.circuit().elements()[*place].1,
            Element::OpAmp { .. } | Element::Regulator { .. }
        );
        let is_at_limit = matches!(
            result.regime,
            Some(Regime::UpperLimit | Regime::LowerLimit | Regime::Dropout | Regime::Off)
        );
        let is_doubted = || {
            solution.faults.iter().any(|fault| {
                matches!(fault, Fault::SeveralStates { tag } | Fault::OutputHeld { tag } if *tag == result.tag)
            })
        };
        has_regime && (is_at_limit || is_doubted())
    };
    (0..solution.elements.len()).filter(is_doubtful).collect()
}

impl Solved {
    fn pieces(&self, case: &Case<'_>) -> &Pieces {
        self.pieces.get_or_init(|| Pieces::of(case))
    }

    /// How many pieces were solved so far.
    pub fn pieces_solved(&self) -> usize {
        let points = self.points.get().into_iter().flatten();
        points.filter(|point| point.get().is_some()).count()
    }

    /// The solved piece that a net is in; none of a net that a rail holds.
    fn point(&self, case: &Case<'_>, common: NetId) -> Option<&Point> {
        let pieces = self.pieces(case);
        let piece = pieces.of_net(common)?;
        let points = self
            .points
            .get_or_init(|| (0..pieces.count()).map(|_| OnceCell::new()).collect());
        let point = points.get(piece as usize)?;
        Some(point.get_or_init(|| solve(case, pieces, piece)))
    }

    /// The solved potential of a net, given by the net that stands for all it is
    /// joined with; else why it is not known.
    ///
    /// # Errors
    /// Why it is not known.
    pub fn of(&self, case: &Case<'_>, common: NetId) -> Result<Reach, Unknown> {
        let pieces = self.pieces(case);
        if !pieces.has_rail() {
            return Err(Unknown::NoRail);
        }
        let point = self.point(case, common).ok_or(Unknown::NotTied)?;
        let node = *point.nodes.get(&common).ok_or(Unknown::NotTied)?;
        match point.point.range(node) {
            Range::Known(interval) => reach(interval).ok_or(Unknown::NotTied),
            Range::WithoutEnds { .. } => Err(Unknown::NotOverTolerances(point.parts_with(node))),
            Range::Unknown { why } => Err(point.why(&why, node)),
        }
    }

    /// The potential of one net over another, both given by the nets that stand
    /// for all they are joined with, of which one at least is solved. What both
    /// hang on stands at the same end of its tolerance for both.
    pub fn between(&self, case: &Case<'_>, one: NetId, other: NetId) -> Together {
        let (first, second) = match (self.point(case, one), self.point(case, other)) {
            (Some(first), Some(second)) => (first, second),
            // A rail is followed together with what hangs on it.
            (Some(point), None) | (None, Some(point)) => (point, point),
            (None, None) => return Together::Not,
        };
        match (first.nodes.get(&one), second.nodes.get(&other)) {
            (Some(node), Some(at)) => {
                Together::Followed(first.point.over(*node, &second.point, *at).and_then(reach))
            }
            _ => Together::Not,
        }
    }
}

/// Whether two potentials were followed together.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Together {
    /// Nothing moves both.
    Not,
    /// They were: the one over the other, where it is known.
    Followed(Option<Reach>),
}

impl Point {
    fn why(&self, reason: &UnknownReason, node: NodeId) -> Unknown {
        match reason {
            UnknownReason::NotTied => Unknown::NotTied,
            UnknownReason::DependsOn { tag } | UnknownReason::InputUnknown { tag } => {
                let is_unusable =
                    self.point.nominal().faults.iter().any(
                        |fault| matches!(fault, Fault::BadValue { tag: bad, .. } if bad == tag),
                    );
                Unknown::DependsOn(match self.subjects.of(*tag) {
                    Subject::Part(part) if is_unusable => Subject::Doubtful(part, Doubt::Unusable),
                    subject => subject,
                })
            }
            UnknownReason::Conflict { .. } => Unknown::Conflict,
            UnknownReason::NotConverged => Unknown::NotConverged(self.parts_with(node)),
            UnknownReason::NoSingleAnswer => Unknown::NoSingleAnswer(self.parts_with(node)),
        }
    }

    /// The parts that are solved together with a node.
    fn parts_with(&self, node: NodeId) -> Vec<PartId> {
        let tags = self.point.solved_with(node);
        tags.into_iter()
            .filter_map(|tag| match self.subjects.of(tag) {
                Subject::Part(part) => Some(part),
                _ => None,
            })
            .collect()
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
    /// Whether something is wrong with the circuit as written, rather than a
    /// fact missing.
    pub fn is_trouble(&self) -> bool {
        match self {
            Unknown::Conflict
            | Unknown::NotConverged(_)
            | Unknown::NotOverTolerances(_)
            | Unknown::NoSingleAnswer(_)
            | Unknown::DependsOn(Subject::Doubtful(_, Doubt::Unusable)) => true,
            Unknown::NoRail | Unknown::NotTied | Unknown::DependsOn(_) => false,
        }
    }

    /// The reason as the end of a sentence, with names of the case.
    pub fn in_words(&self, case: &Case<'_>) -> String {
        match self {
            Unknown::NoRail => "no rail is written down".into(),
            Unknown::NotTied => "no path that carries direct current leads to a rail".into(),
            Unknown::Conflict => "rails contradict one another here".into(),
            Unknown::NotConverged(parts) => format!(
                "no operating point was found for the circuit with {}",
                some_of(case, parts)
            ),
            Unknown::NotOverTolerances(parts) => format!(
                "no operating point was found over all tolerances of the circuit with {}",
                some_of(case, parts)
            ),
            Unknown::NoSingleAnswer(parts) => format!(
                "as written, the circuit with {} has no single answer",
                some_of(case, parts)
            ),
            Unknown::DependsOn(subject) => subject.in_words(case),
        }
    }
}

/// Most parts that are named of a circuit.
const MOST_NAMES: usize = 4;

fn some_of(case: &Case<'_>, parts: &[PartId]) -> String {
    let names: Vec<String> = parts
        .iter()
        .take(MOST_NAMES)
        .map(|part| name_of(case, *part))
        .collect();
    let names = names.join(", ");
    match parts.len().checked_sub(MOST_NAMES) {
        None | Some(0) => names,
        Some(more) => format!("{names} and {more} more parts"),
    }
}

fn name_of(case: &Case<'_>, part: PartId) -> String {
    format!("{}.{}", case.board_of(part).name, case.part(part).name)
}

impl Subject {
    fn in_words(self, case: &Case<'_>) -> String {
        let name = |part: PartId| name_of(case, part);
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
                Doubt::Winding => format!(
                    "it hangs on {}, and the resistance of its winding is not written",
                    name(part)
                ),
                Doubt::Unusable => format!(
                    "it hangs on {}, whose value cannot be computed with",
                    name(part)
                ),
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
