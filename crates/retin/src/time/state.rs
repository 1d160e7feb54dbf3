//! The states that a log brings places and boards to, and what they were at any entry.

use crate::meaning::{BoardCopy, Case, PartId, PlaceId};
use retin_syntax::tables::Stop;
use rustc_hash::FxHashMap;

/// What sits in a place.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Content {
    /// What sat there when the unit came in.
    Old,
    /// Nothing.
    Empty,
    /// What the log put in.
    New,
}

/// The state of one place. Entries are indexes into the log.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct PlaceState {
    /// What sits there.
    pub content: Content,
    /// The entry that took the part out last.
    pub removed: Option<usize>,
    /// The entry that put the part in last.
    pub fitted: Option<usize>,
    /// The entry that put a socket in.
    pub socketed: Option<usize>,
    /// The entry that worked on its joints last.
    pub worked: Option<usize>,
    /// The entry that looked at it last, by name.
    pub inspected: Option<usize>,
    /// The entry that looked at, or read, both sides of its board last, by name.
    pub both_sides: Option<usize>,
    /// The entry that read the part last, in or out of its place.
    pub measured: Option<usize>,
    /// The entry that discharged it last.
    pub discharged: Option<usize>,
    /// The entry that turned it last, and to which end, where it was one.
    pub adjusted: Option<(usize, Option<Stop>)>,
    /// The entry that stressed what sits there: it must not be used again.
    pub stressed: Option<usize>,
}

impl PlaceState {
    /// A place before any entry.
    pub fn before(content: Content) -> Self {
        PlaceState {
            content,
            removed: None,
            fitted: None,
            socketed: None,
            worked: None,
            inspected: None,
            both_sides: None,
            measured: None,
            discharged: None,
            adjusted: None,
            stressed: None,
        }
    }
}

/// The state of one copy of a board. Entries are indexes into the log.
#[derive(Clone, Copy, Default, PartialEq, Eq, Debug)]
pub struct BoardState {
    /// The first entry that photographed it.
    pub photographed: Option<usize>,
    /// The entry that cleaned it last.
    pub cleaned: Option<usize>,
    /// The entry that looked at all of it last.
    pub inspected: Option<usize>,
    /// The entry that looked at both sides of all of it last.
    pub both_sides: Option<usize>,
    /// The entry that soldered on all of it last.
    pub soldered: Option<usize>,
    /// The first entry that gave it power.
    pub powered: Option<usize>,
    /// The last entry that gave it power.
    pub powered_last: Option<usize>,
    /// The first entry that gave it power with a lamp or a current limit.
    pub limited: Option<usize>,
    /// The first entry that gave it power without a limit.
    pub unlimited: Option<usize>,
    /// The entry that tried its functions last.
    pub tested: Option<usize>,
}

/// What one thing was at each entry that changed it, oldest first.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct History<S> {
    first: S,
    changes: Vec<(usize, S)>,
}

impl<S: Copy + PartialEq> History<S> {
    /// A history without changes.
    pub fn new(first: S) -> Self {
        History {
            first,
            changes: Vec::new(),
        }
    }

    /// What it is in the end.
    pub fn last(&self) -> S {
        self.changes.last().map_or(self.first, |change| change.1)
    }

    /// What it was before anything happened.
    pub fn first(&self) -> S {
        self.first
    }

    /// What it was just before the entry with this index.
    pub fn before(&self, entry: usize) -> S {
        let count = self.changes.partition_point(|change| change.0 < entry);
        match count.checked_sub(1) {
            Some(at) => self.changes[at].1,
            None => self.first,
        }
    }

    /// What it was just after the entry with this index.
    pub fn after(&self, entry: usize) -> S {
        self.before(entry.saturating_add(1))
    }

    /// Each entry that changed it, with what it was then.
    pub fn changes(&self) -> &[(usize, S)] {
        &self.changes
    }

    /// Notes what it is after an entry; entries come in order.
    pub(super) fn change(&mut self, entry: usize, make: impl FnOnce(&mut S)) {
        let before = self.last();
        let mut state = before;
        make(&mut state);
        if state == before {
            return;
        }
        match self.changes.last_mut() {
            Some((at, last)) if *at == entry => *last = state,
            _ => {
                // The log does one thing to most places.
                if self.changes.is_empty() {
                    self.changes.reserve_exact(1);
                }
                self.changes.push((entry, state));
            }
        }
    }
}

/// Every place and board of a case, each with its history.
#[derive(Clone, Default, PartialEq, Eq, Debug)]
pub(super) struct Histories {
    /// By part: where its first copy stands in `contents`.
    offsets: Vec<u32>,
    /// By place: what sits there before the log begins.
    contents: Vec<Content>,
    /// The places that the log does something to; of most it says nothing.
    places: FxHashMap<PlaceId, History<PlaceState>>,
    boards: FxHashMap<BoardCopy, History<BoardState>>,
}

impl Histories {
    /// The state of everything before the log begins.
    pub(super) fn of(case: &Case<'_>, mut first: impl FnMut(PlaceId) -> Content) -> Self {
        let mut offsets = Vec::with_capacity(case.parts.len());
        let mut contents = Vec::with_capacity(case.parts.len());
        for place in case.places() {
            if place.copy == 0 {
                offsets.push(contents.len() as u32);
            }
            contents.push(first(place));
        }
        Histories {
            offsets,
            contents,
            places: FxHashMap::default(),
            boards: FxHashMap::default(),
        }
    }

    fn content(&self, place: PlaceId) -> Option<Content> {
        let offset = *self.offsets.get(place.part.0 as usize)?;
        let at = offset as usize + place.copy as usize;
        self.contents.get(at).copied()
    }

    /// What a place was before anything happened; as the unit came in where it is
    /// no place of the case.
    pub(super) fn first(&self, place: PlaceId) -> PlaceState {
        PlaceState::before(self.content(place).unwrap_or(Content::Old))
    }

    /// What became of a place; none where the log does nothing to it.
    pub(super) fn place(&self, place: PlaceId) -> Option<&History<PlaceState>> {
        self.places.get(&place)
    }

    pub(super) fn place_mut(&mut self, place: PlaceId) -> Option<&mut History<PlaceState>> {
        let first = PlaceState::before(self.content(place)?);
        Some(
            self.places
                .entry(place)
                .or_insert_with(|| History::new(first)),
        )
    }

    /// The places of the same parts that began or went on otherwise than by other
    /// histories, and the copies of boards that did; some more than once.
    pub(super) fn unlike(&self, other: &Histories) -> (Vec<PlaceId>, Vec<BoardCopy>) {
        let mut places = Vec::new();
        if self.contents != other.contents {
            for (part, offset) in self.offsets.iter().enumerate() {
                let next = self
                    .offsets
                    .get(part + 1)
                    .map_or(self.contents.len(), |next| *next as usize);
                for copy in 0..(next - *offset as usize) as u16 {
                    let part = PartId(part as u32);
                    places.push(PlaceId { part, copy });
                }
            }
            places.retain(|place| self.content(*place) != other.content(*place));
        }
        for (one, two) in [(self, other), (other, self)] {
            let is_unlike = |place: &&PlaceId| one.places.get(*place) != two.places.get(*place);
            places.extend(one.places.keys().filter(is_unlike));
        }
        let mut boards = Vec::new();
        for (one, two) in [(self, other), (other, self)] {
            let is_unlike = |board: &&BoardCopy| one.boards.get(*board) != two.boards.get(*board);
            boards.extend(one.boards.keys().filter(is_unlike));
        }
        (places, boards)
    }

    pub(super) fn board(&self, board: BoardCopy) -> Option<&History<BoardState>> {
        self.boards.get(&board)
    }

    pub(super) fn board_mut(&mut self, board: BoardCopy) -> &mut History<BoardState> {
        self.boards
            .entry(board)
            .or_insert_with(|| History::new(BoardState::default()))
    }
}

/// A place together with its board, at one moment.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct State {
    /// The place.
    pub place: PlaceState,
    /// Its board.
    pub board: BoardState,
}

impl State {
    /// The entry that worked on the place's joints last.
    pub fn worked(&self) -> Option<usize> {
        let is_in = self.place.content != Content::Empty;
        self.place.worked.max(
            self.board
                .soldered
                .filter(|_| is_in && self.place.worked.is_some()),
        )
    }

    /// The entry that looked at the place since its joints were last worked on.
    pub fn inspected(&self) -> Option<usize> {
        let seen = self.place.inspected.max(self.board.inspected);
        seen.filter(|seen| Some(*seen) >= self.worked())
    }

    /// The entry that looked at, or read, both sides since the joints were last worked on.
    pub fn both_sides(&self) -> Option<usize> {
        let seen = self.place.both_sides.max(self.board.both_sides);
        seen.filter(|seen| Some(*seen) >= self.worked())
    }

    /// Whether what sits in the place now has had power.
    pub fn has_had_power(&self) -> bool {
        self.board
            .powered_last
            .is_some_and(|power| self.place.fitted.is_none_or(|fitted| power > fitted))
            && self.place.content != Content::Empty
    }
}
