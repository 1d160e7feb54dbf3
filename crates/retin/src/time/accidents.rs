//! Accidents, with their repair and the proof of it.

use crate::meaning::{BoardCopy, Case, LogEntry, PlaceId, Point, Reading};
use crate::rules::limits::CONTINUITY;
use retin_syntax::Token;
use retin_syntax::tables::{Accident, Proof, Property, Repair};
use retin_syntax::value::{Dimension, Quantity};

/// How far an accident has been dealt with.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Status {
    /// Nothing was done about it.
    Open,
    /// It was repaired, and nothing shows that the repair is sound.
    Repaired,
    /// It was repaired, and a reading or a look shows it.
    Proven,
}

/// How an accident was mended.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Mended<'a> {
    /// The entry.
    pub entry: usize,
    /// How; none where the words do not say it.
    pub how: Option<Repair>,
    /// The far end, of a wire.
    pub to: Option<Point<'a>>,
}

/// One accident of the log.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct AccidentRecord<'a> {
    /// Counted from 1, in the order of the log.
    pub number: usize,
    /// The entry that tells it.
    pub entry: usize,
    /// What happened; none where the words do not say it.
    pub accident: Option<Accident>,
    /// Where; none where the entry names nothing that is known.
    pub point: Option<Point<'a>>,
    /// The other end, of a trace.
    pub to: Option<Point<'a>>,
    /// How it was mended last.
    pub mended: Option<Mended<'a>>,
    /// The entry that proves the repair.
    pub proof: Option<usize>,
    /// The entry that proves one side of it, where both are asked for.
    pub one_side: Option<usize>,
    /// A reading from end to end that is too high to prove anything, with its entry.
    pub too_high: Option<(usize, Quantity)>,
    /// Whether holes are plated there, so that both sides are asked for.
    pub is_plated: bool,
}

impl<'a> AccidentRecord<'a> {
    /// How far it has been dealt with.
    pub fn status(&self) -> Status {
        match (self.mended, self.proof) {
            (_, Some(_)) => Status::Proven,
            (Some(_), None) => Status::Repaired,
            (None, None) => Status::Open,
        }
    }

    /// The place it struck, where it struck one.
    pub fn place(&self) -> Option<PlaceId> {
        match self.point? {
            Point::Pad(pad) => Some(pad.place),
            Point::Place(place) => Some(place),
            Point::Net(..) | Point::Board(_) => None,
        }
    }

    /// What a repair of it has to show.
    pub fn asks_for(&self) -> Proof {
        self.accident
            .map_or(Proof::Look, |accident| accident.row().proof)
    }

    /// Whether it struck the part at this place, rather than the board below it.
    pub fn is_of_part(&self, place: PlaceId) -> bool {
        self.place() == Some(place)
            && matches!(self.asks_for(), Proof::AnotherPart | Proof::Reading)
    }

    /// Takes a repair of a point.
    pub(super) fn mend(&mut self, at: Point<'a>, mended: Mended<'a>) -> bool {
        let fits = match (mended.how, self.accident) {
            (Some(how), Some(accident)) => how.mends(accident),
            _ => true,
        };
        let is_here = |point: Option<Point<'a>>| point.is_some_and(|point| meets(point, at));
        let is_wired_to = mended.to.is_some_and(|to| {
            self.point.is_some_and(|point| meets(point, to))
                && matches!(self.asks_for(), Proof::EndToEnd)
        });
        if !fits || !(is_here(self.point) || is_here(self.to) || is_wired_to) {
            return false;
        }
        // The far end of a wire that was named from its other side.
        let to = if is_here(self.point) || !is_wired_to {
            mended.to
        } else {
            Some(at)
        };
        self.mended = Some(Mended { to, ..mended });
        self.proof = None;
        self.one_side = None;
        self.too_high = None;
        // What a stress did to a part that was turned is another question.
        if matches!(mended.how, Some(Repair::PartRenewed | Repair::Turned)) {
            self.proof = Some(mended.entry);
        }
        true
    }

    /// Looks whether readings between two points prove the repair.
    pub(super) fn read(
        &mut self,
        case: &Case<'_>,
        index: usize,
        ends: (Point<'a>, Point<'a>),
        entry: &LogEntry<'a>,
        beeps: bool,
    ) {
        if self.mended.is_none() || self.proof.is_some() {
            return;
        }
        if !self.lies_between(case, ends) {
            return;
        }
        let ohms = entry.readings.iter().find_map(ohms_of);
        match self.asks_for() {
            Proof::EndToEnd => {
                let is_low = ohms.is_some_and(|ohms| ohms.number <= CONTINUITY);
                if !beeps && !is_low {
                    self.too_high = ohms.map(|ohms| (index, ohms));
                } else if self.is_plated && !entry.both_sides {
                    self.one_side = Some(index);
                } else {
                    self.proof = Some(index);
                }
            }
            Proof::Apart => {
                if !beeps && ohms.is_some_and(|ohms| ohms.number > CONTINUITY) {
                    self.proof = Some(index);
                }
            }
            Proof::Look | Proof::AnotherPart | Proof::Reading => {}
        }
    }

    /// Whether two points are the two ends of the repair.
    fn lies_between(&self, case: &Case<'_>, (one, other): (Point<'a>, Point<'a>)) -> bool {
        let Some(point) = self.point else {
            return false;
        };
        let far = self.mended.and_then(|mended| mended.to).or(self.to);
        let is_far = |end: Point<'a>| match far {
            Some(far) => meets(far, end) || is_one_net(case, far, end),
            None => !meets(point, end) || matches!(point, Point::Place(_) | Point::Board(_)),
        };
        let is_near = |end: Point<'a>| match point {
            Point::Board(board) => board_of(case, end) == Some(board),
            _ => meets(point, end),
        };
        (is_near(one) && is_far(other)) || (is_near(other) && is_far(one))
    }

    /// Takes a look at a place or a board.
    pub(super) fn look(&mut self, case: &Case<'_>, index: usize, entry: &LogEntry<'a>) {
        let is_seen = match self.point {
            Some(Point::Pad(pad)) => {
                entry.subject.pads.contains(&pad) || entry.subject.covers(case, pad.place)
            }
            Some(Point::Place(place)) => entry.subject.covers(case, place),
            Some(Point::Net(net, copy)) => {
                let board = (case.nets.net(net).board, copy);
                entry.subject.boards.binary_search(&board).is_ok()
            }
            Some(Point::Board(board)) => entry.subject.boards.binary_search(&board).is_ok(),
            None => false,
        };
        // A board that fell has no reading of its own: it is looked at.
        if is_seen
            && self.asks_for() == Proof::Reading
            && matches!(self.point, Some(Point::Board(_)))
        {
            self.mended.get_or_insert(Mended {
                entry: index,
                how: None,
                to: None,
            });
            self.proof = Some(index);
        }
        let is_enough = matches!(self.asks_for(), Proof::Look | Proof::Apart);
        if is_seen && is_enough && self.mended.is_some() && self.proof.is_none() {
            self.proof = Some(index);
        }
    }
}

/// A resistance among readings.
fn ohms_of(reading: &Reading) -> Option<Quantity> {
    let is_bare = matches!(reading.property, None | Some(Property::Resistance));
    let quantity = reading.quantity()?;
    (is_bare && quantity.dimension == Dimension::Resistance).then_some(quantity)
}

/// Whether two points are the same, or one is the part of the other's lead.
pub(super) fn meets(one: Point<'_>, other: Point<'_>) -> bool {
    match (one, other) {
        (Point::Pad(pad), Point::Place(place)) | (Point::Place(place), Point::Pad(pad)) => {
            pad.place == place
        }
        _ => one == other,
    }
}

/// Whether the model sheet has two points on one net of one board.
fn is_one_net(case: &Case<'_>, one: Point<'_>, other: Point<'_>) -> bool {
    match (case.net_of(one), case.net_of(other)) {
        (Some(one), Some(other)) => one == other,
        _ => false,
    }
}

/// The board a point is on.
pub fn board_of(case: &Case<'_>, point: Point<'_>) -> Option<BoardCopy> {
    match point {
        Point::Pad(pad) => Some(case.copy_of(pad.place)),
        Point::Place(place) => Some(case.copy_of(place)),
        Point::Net(net, copy) => Some((case.nets.net(net).board, copy)),
        Point::Board(board) => Some(board),
    }
}

/// Whether the holes of a point's board are plated.
pub(super) fn is_plated(case: &Case<'_>, point: Point<'_>) -> bool {
    board_of(case, point).is_some_and(|(board, _)| {
        case.board(board)
            .facts
            .is(Property::CopperForm, Token::Plated)
    })
}
