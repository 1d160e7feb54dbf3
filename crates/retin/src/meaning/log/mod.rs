//! The log: what was done, entry by entry, with every name looked up.
//!
//! What makes no sense becomes a problem at its word; the rest of the entry, and
//! of the log, is still read.

mod mend;
mod read;
mod subject;

use super::{BoardCopy, Case, EntryId, Facts, LinkId, NetId, NewPart, PlaceId};
use crate::sources::Origin;
use crate::stage::Stage;
use retin_syntax::tables::{Accident, Direction, PlanVerb, Property, Repair, Stop};
use retin_syntax::token::Token;
use retin_syntax::value::{Date, Decimal, Money, Quantity, TimeOfDay, Value};

pub(super) use read::{entries_again, entry_lines, log};

/// The pad of one lead, with its hole and its joint.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub struct Pad<'a> {
    /// The part's place.
    pub place: PlaceId,
    /// The lead.
    pub lead: &'a str,
}

/// Something that a probe, a wire or a trace can end at, or an accident strike.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub enum Point<'a> {
    /// The pad of a lead.
    Pad(Pad<'a>),
    /// A part, or its place.
    Place(PlaceId),
    /// A net on one copy of its board.
    Net(NetId, u16),
    /// A board.
    Board(BoardCopy),
}

/// What an entry is about.
#[derive(Clone, Default, PartialEq, Eq, Debug)]
pub struct Subject<'a> {
    /// The words; none where it names nothing.
    pub origin: Option<Origin>,
    /// Parts that are named as a whole, sorted.
    pub places: Vec<PlaceId>,
    /// Leads that are named, in the order written.
    pub pads: Vec<Pad<'a>>,
    /// Whole boards that are named, sorted.
    pub boards: Vec<BoardCopy>,
    /// Nets that are named, each with the copy of its board; in the order written.
    pub nets: Vec<(NetId, u16)>,
    /// Links that are named, sorted.
    pub links: Vec<LinkId>,
    /// Whether it is about the whole unit; then [`boards`](Self::boards) holds every board.
    pub is_everything: bool,
}

impl<'a> Subject<'a> {
    /// Every point that is named, boards last.
    pub fn points(&self) -> impl Iterator<Item = Point<'a>> + '_ {
        let pads = self.pads.iter().map(|pad| Point::Pad(*pad));
        let nets = self.nets.iter().map(|(net, copy)| Point::Net(*net, *copy));
        let places = self.places.iter().map(|place| Point::Place(*place));
        let boards = self.boards.iter().map(|board| Point::Board(*board));
        pads.chain(nets).chain(places).chain(boards)
    }

    /// Whether it names nothing.
    pub fn is_nothing(&self) -> bool {
        self.places.is_empty()
            && self.pads.is_empty()
            && self.boards.is_empty()
            && self.nets.is_empty()
            && self.links.is_empty()
    }

    /// Whether a place is named itself, or is on a board that is.
    pub fn covers(&self, case: &Case<'_>, place: PlaceId) -> bool {
        self.places.binary_search(&place).is_ok()
            || self.boards.binary_search(&case.copy_of(place)).is_ok()
    }
}

/// One reading of an entry.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Reading {
    /// What was read, where a word says it: `esr`, `leakage`, `gain`, `vbe`, `ripple`.
    pub property: Option<Property>,
    /// What the meter showed.
    pub value: Value,
    /// `cold`, `warm` or `unpowered`, where it is written.
    pub condition: Option<Token>,
    /// Where it is written.
    pub origin: Origin,
}

impl Reading {
    /// The quantity read, where it is one.
    pub fn quantity(&self) -> Option<Quantity> {
        match self.value {
            Value::Quantity(quantity) => Some(quantity),
            _ => None,
        }
    }

    /// The bare number read, where it is one: a gain.
    pub fn number(&self) -> Option<Decimal> {
        match self.value {
            Value::Number(number) => Some(number),
            _ => None,
        }
    }
}

/// How many of what was ordered, or came.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Ordered {
    /// How many, where it is written.
    pub count: Option<Decimal>,
    /// Of which shelf entry; none where it is a whole shelf, or unknown.
    pub entry: Option<EntryId>,
    /// Where it is named.
    pub origin: Origin,
}

/// What was done.
#[derive(Clone, PartialEq, Debug)]
pub enum Act<'a> {
    /// Pictures were taken, and where they lie.
    Photographed {
        /// Paths, as written.
        paths: Vec<&'a str>,
    },
    /// Charged parts were emptied.
    Discharged,
    /// Parts came out.
    Removed,
    /// Something was washed, brushed or rinsed.
    Cleaned {
        /// With what.
        with: Vec<&'a str>,
    },
    /// An accident was mended.
    Repaired {
        /// How; none where the words do not say it.
        how: Option<Repair>,
        /// The wire's diameter in mm.
        gauge: Option<Decimal>,
    },
    /// Parts went in.
    Fitted {
        /// Which; empty where the log leaves it to the plan.
        with: Vec<NewPart<'a>>,
        /// `in series` or `in parallel`.
        mounting: Option<Token>,
        /// Which way a lead lies.
        orientation: Option<(&'a str, Direction, Origin)>,
    },
    /// Joints were made.
    Soldered,
    /// Joints and parts were looked at.
    Inspected,
    /// Readings were taken; they are in [`LogEntry::readings`].
    Measured {
        /// Whether the points sounded to each other.
        beeps: bool,
    },
    /// Power was applied.
    Powered {
        /// Whether a lamp stood in series.
        has_lamp: bool,
        /// The current limit, where one is written.
        limit: Option<Quantity>,
    },
    /// A trimmer was turned.
    Adjusted {
        /// To which end, where it is one.
        stop: Option<Stop>,
    },
    /// The unit's functions were tried.
    Tested,
    /// An accident happened.
    Damaged {
        /// What; none where the words do not say it.
        accident: Option<Accident>,
        /// Where on the board, in mm.
        at: Option<(Decimal, Decimal)>,
    },
    /// The owner agreed to something.
    Approved {
        /// To how much, where it is written.
        money: Option<Money>,
    },
    /// Parts were ordered.
    Ordered {
        /// Which.
        items: Vec<Ordered>,
    },
    /// Parts came in.
    Arrived {
        /// Which.
        items: Vec<Ordered>,
        /// What came in their place, where it was something else.
        instead: Option<NewPart<'a>>,
    },
    /// Something was noted.
    Noted,
    /// An earlier entry never happened.
    Struck,
    /// The unit went back.
    Returned,
}

/// An entry of the log.
#[derive(Clone, PartialEq, Debug)]
pub struct LogEntry<'a> {
    /// The past-tense verb, as written.
    pub verb: Token,
    /// What was done. For `corrected`, what the mended entry is to say.
    pub act: Act<'a>,
    /// The line.
    pub origin: Origin,
    /// The day, where it is known.
    pub date: Option<Date>,
    /// The time, where it is known.
    pub time: Option<TimeOfDay>,
    /// Who did it: initials.
    pub by: Option<&'a str>,
    /// What it was done to.
    pub subject: Subject<'a>,
    /// The other end of a reading, a wire or a trace.
    pub to: Vec<Point<'a>>,
    /// What was read, in the order written.
    pub readings: Vec<Reading>,
    /// Whether it was done, or read, on both sides of the board.
    pub both_sides: bool,
    /// Texts in quotes, in the order written.
    pub texts: Vec<&'a str>,
    /// The reason.
    pub because: Option<&'a str>,
    /// Maker, lot and what else the entry states.
    pub facts: Facts<'a>,
    /// For `corrected`: the entry it mends, as an index into the log.
    pub mends: Option<usize>,
    /// The last entry that mends this one, as an index into the log.
    pub mended_by: Option<usize>,
}

impl LogEntry<'_> {
    /// Whether it mends another entry and tells nothing of its own time.
    pub fn is_correction(&self) -> bool {
        self.verb == Token::Corrected
    }
}

impl<'a> super::Job<'a> {
    /// The log as it stands with its corrections: each index at which something
    /// happened, with the entry that says what. An entry that a correction
    /// struck out is left out, and so are the corrections themselves.
    pub fn happened(&self) -> impl Iterator<Item = (usize, &LogEntry<'a>)> {
        self.log.iter().enumerate().filter_map(|(index, entry)| {
            if entry.is_correction() {
                return None;
            }
            let told = entry
                .mended_by
                .and_then(|correction| self.log.get(correction))
                .unwrap_or(entry);
            (!matches!(told.act, Act::Struck)).then_some((index, told))
        })
    }
}

impl<'a> super::Job<'a> {
    /// What the `fitted` entry with this index put in, and how two parts stand
    /// together. A correction says it in the entry's place.
    pub fn fitted_with(&self, index: usize) -> Option<(&Vec<NewPart<'a>>, Option<Token>)> {
        match &self.told(index)?.act {
            Act::Fitted { with, mounting, .. } => Some((with, *mounting)),
            _ => None,
        }
    }

    /// The entry that says what happened at an index of the log: the entry itself,
    /// or the last one that corrects it.
    pub fn told(&self, index: usize) -> Option<&LogEntry<'a>> {
        let entry = self.log.get(index)?;
        Some(
            entry
                .mended_by
                .and_then(|correction| self.log.get(correction))
                .unwrap_or(entry),
        )
    }
}

/// How far the job has come, from its plan and its log.
pub(super) fn stage(case: &Case<'_>) -> Stage {
    let Some(job) = &case.job else {
        return Stage::List;
    };
    let planned = if case.plan.is_empty() {
        Stage::List
    } else {
        Stage::Order
    };
    let is_socketed_chip = |place: &PlaceId| {
        case.part(place.part)
            .facts
            .is(Property::Feature, Token::Socketed)
            || case.decision(*place).is_some_and(|decision| {
                decision.socket.is_some() || case.plan_line(decision.line).verb == PlanVerb::Socket
            })
    };
    let is_socket = |with: &[NewPart<'_>]| {
        with.iter().any(|part| {
            part.kind(case)
                .is_some_and(|kind| kind.token() == Token::Socket)
        })
    };
    let reached = job.happened().map(|(_, entry)| match &entry.act {
        Act::Removed => Stage::Strip,
        Act::Fitted { with, .. }
            if !is_socket(with) && entry.subject.places.iter().any(is_socketed_chip) =>
        {
            Stage::Chips
        }
        Act::Fitted { .. } | Act::Soldered => Stage::Fit,
        Act::Powered { .. } => Stage::Power,
        Act::Returned => Stage::Close,
        _ => Stage::List,
    });
    reached.max().unwrap_or(Stage::List).max(planned)
}
