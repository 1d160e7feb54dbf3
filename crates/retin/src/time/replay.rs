//! The log replayed: every place, board, rail and accident over all entries.
//!
//! [`replay`](super::replay()) goes through the log once, in the order it is written, with its
//! corrections in place of what they mend. It is the same at every run, takes
//! time in proportion to the places that the entries name, and judges nothing:
//! what cannot have happened is kept as an [`Impossible`] for a rule to report.
//!
//! Appending an entry that corrects nothing changes no state before it.

use super::accidents::{AccidentRecord, Status, board_of, meets};
use super::state::{BoardState, Content, Histories, History, PlaceState, State};
use crate::meaning::{BoardCopy, Case, NetId, PlaceId, Point, Reading};
use crate::moves::follow_fields;
use retin_syntax::value::Date;
use rustc_hash::FxHashMap;

/// What the log comes to.
#[derive(Clone, Default, PartialEq, Debug)]
pub struct Replay<'a> {
    pub(super) histories: Histories,
    /// Every accident, in the order of the log.
    pub accidents: Vec<AccidentRecord<'a>>,
    /// What cannot have happened, in the order of the log.
    pub impossible: Vec<Impossible>,
    /// Every reading, with where it was taken, in the order of the log.
    pub readings: Vec<PointReading<'a>>,
    /// By copy of a board: the readings that were taken there, as indexes into those.
    pub(super) read_on: FxHashMap<BoardCopy, Vec<usize>>,
    /// By entry: minutes since the entry before it of the same day, where both
    /// times are known.
    pub minutes: Vec<Option<u32>>,
    /// By entry: its day, where it is known.
    pub(super) dates: Vec<Option<Date>>,
    /// The first entry that put a chip into its socket.
    pub first_chip: Option<usize>,
    /// The entry with which the unit went back.
    pub returned: Option<usize>,
}

/// A reading with where it was taken.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct PointReading<'a> {
    /// The entry.
    pub entry: usize,
    /// The point of the red probe, or the part that was read.
    pub point: Point<'a>,
    /// The point of the black probe; ground where none is written.
    pub to: Option<Point<'a>>,
    /// What was read.
    pub reading: Reading,
    /// What the point's place held then, where it is a part.
    pub content: Option<Content>,
}

follow_fields!(Replay<'a> {
    readings;
    histories, accidents, impossible, read_on, minutes, dates, first_chip, returned
});
follow_fields!(PointReading<'a> { reading; entry, point, to, content });

impl PointReading<'_> {
    /// Whether the black probe sat at ground. Anywhere else, a reading of a rail says
    /// nothing of what the rail itself is at.
    pub fn is_against_ground(&self, case: &Case<'_>) -> bool {
        self.to.is_none_or(|to| case.is_at_ground(to))
    }
}

/// Something that cannot have happened as it is written.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Impossible {
    /// The entry that says so.
    pub entry: usize,
    /// The earlier entry that it cannot stand beside, where there is one.
    pub earlier: Option<usize>,
    /// What is impossible.
    pub kind: ImpossibleKind,
    /// The places it is impossible at.
    pub places: Vec<PlaceId>,
}

/// The ways in which an entry can be impossible.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum ImpossibleKind {
    /// A part was fitted where the old one still sits.
    FittedOverOld,
    /// A part was fitted where the log has already fitted one.
    FittedTwice,
    /// A part was removed that an earlier entry had removed.
    RemovedTwice,
    /// A part was removed where there was none.
    RemovedNothing,
    /// A part was read at work, or worked on, that is not there.
    NotThere,
    /// The entry is earlier than the one before it.
    Earlier,
    /// The same entry stands in the log already.
    Duplicate,
    /// Work went on after the unit had gone back.
    AfterReturn,
}

impl<'a> Replay<'a> {
    /// What a place is in the end.
    pub fn place(&self, place: PlaceId) -> PlaceState {
        match self.histories.place(place) {
            Some(history) => history.last(),
            None => self.histories.first(place),
        }
    }

    /// The places of the same parts that became something else by another replay,
    /// and the copies of boards that did; some more than once.
    pub(crate) fn unlike(&self, other: &Replay<'_>) -> (Vec<PlaceId>, Vec<BoardCopy>) {
        self.histories.unlike(&other.histories)
    }

    /// What became of a place, entry by entry; none where the log does nothing to it.
    pub fn history(&self, place: PlaceId) -> Option<&History<PlaceState>> {
        self.histories.place(place)
    }

    /// What a board is in the end.
    pub fn board(&self, board: BoardCopy) -> BoardState {
        self.histories
            .board(board)
            .map(History::last)
            .unwrap_or_default()
    }

    /// What became of a board, entry by entry; none where the log does not name it.
    pub fn board_history(&self, board: BoardCopy) -> Option<&History<BoardState>> {
        self.histories.board(board)
    }

    /// A place with its board in the end.
    pub fn state(&self, case: &Case<'_>, place: PlaceId) -> State {
        State {
            place: self.place(place),
            board: self.board(case.copy_of(place)),
        }
    }

    /// A place with its board just before the entry with this index.
    pub fn before(&self, case: &Case<'_>, place: PlaceId, entry: usize) -> State {
        State {
            place: self.histories.place(place).map_or_else(
                || self.histories.first(place),
                |history| history.before(entry),
            ),
            board: self
                .histories
                .board(case.copy_of(place))
                .map(|history| history.before(entry))
                .unwrap_or_default(),
        }
    }

    /// A place with its board just after the entry with this index.
    pub fn at(&self, case: &Case<'_>, place: PlaceId, entry: usize) -> State {
        self.before(case, place, entry.saturating_add(1))
    }

    /// A place with its board at the end of a day: after the last entry whose
    /// day is known and not later.
    pub fn on(&self, case: &Case<'_>, place: PlaceId, day: Date) -> State {
        let count = self
            .dates
            .iter()
            .rposition(|date| date.is_some_and(|date| date <= day))
            .map_or(0, |index| index + 1);
        self.before(case, place, count)
    }

    /// The accidents of a board, in the order of the log.
    pub fn accidents_on(
        &self,
        case: &Case<'_>,
        board: BoardCopy,
    ) -> impl Iterator<Item = &AccidentRecord<'a>> {
        self.accidents.iter().filter(move |record| {
            record.point.and_then(|point| board_of(case, point)) == Some(board)
        })
    }

    /// How many accidents are not proven mended.
    pub fn open_accidents(&self) -> usize {
        let is_open = |record: &&AccidentRecord<'_>| record.status() != Status::Proven;
        self.accidents.iter().filter(is_open).count()
    }

    /// The minutes that passed between entries of the same day, all days together.
    /// It is as much as the log shows, and no more: what lies before the first
    /// entry of a day, and between entries without a time, is not in it.
    pub fn minutes_worked(&self) -> u64 {
        self.minutes
            .iter()
            .flatten()
            .map(|minutes| u64::from(*minutes))
            .sum()
    }

    /// The readings that were taken on a copy of a board, in the order of the log.
    pub fn readings_on(&self, board: BoardCopy) -> impl Iterator<Item = &PointReading<'a>> {
        let there = self.read_on.get(&board).into_iter().flatten();
        there.map(|at| &self.readings[*at])
    }

    /// The readings of a net against ground on one copy of its board, by name or by a
    /// pad that is on it.
    pub fn readings_of_net<'r>(
        &'r self,
        case: &'r Case<'_>,
        net: NetId,
        copy: u16,
    ) -> impl Iterator<Item = &'r PointReading<'a>> + 'r {
        self.readings_on((case.nets.net(net).board, copy))
            .filter(move |reading| {
                is_on_net(case, reading.point, net, copy) && reading.is_against_ground(case)
            })
    }
}

/// Whether a point is on a net of one copy of its board.
pub fn is_on_net(case: &Case<'_>, point: Point<'_>, net: NetId, copy: u16) -> bool {
    case.net_of(point) == Some((net, copy))
}

/// Whether two points are the same, or one is the part of the other's lead.
pub fn is_same_point(one: Point<'_>, other: Point<'_>) -> bool {
    meets(one, other)
}
