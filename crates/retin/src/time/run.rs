//! The log, entry by entry: what each one does to places, boards and accidents.

use super::accidents::{AccidentRecord, Mended, Status, board_of, is_plated};
use super::replay::{Impossible, ImpossibleKind, PointReading, Replay};
use super::state::{BoardState, Content, Histories, PlaceState};
use crate::meaning::{Act, BoardCopy, BoardId, Case, Job, LogEntry, PlaceId, Point, Reading};
use retin_syntax::tables::{Accident, LogVerb, PlanVerb, Proof, Property, Repair};
use retin_syntax::token::Token;
use retin_syntax::value::{Date, Decimal, Dimension, TimeOfDay};
use rustc_hash::{FxHashMap, FxHashSet};

/// Replays the log of a case's job; a case without a job has an empty one.
pub fn replay<'a>(case: &Case<'a>) -> Replay<'a> {
    // Both go by the places in their order.
    let mut decisions = case.decisions.iter().peekable();
    let first = |place: PlaceId| {
        while decisions.next_if(|it| it.place < place).is_some() {}
        let is_absent = decisions
            .next_if(|it| it.place == place)
            .is_some_and(|decision| case.plan_line(decision.line).verb == PlanVerb::Absent);
        if case.part(place.part).is_added || case.is_unfitted(place) || is_absent {
            Content::Empty
        } else {
            Content::Old
        }
    };
    let mut run = Run {
        case,
        replay: Replay {
            histories: Histories::of(case, first),
            ..Replay::default()
        },
        on_board: FxHashMap::default(),
        seen: FxHashMap::default(),
        duplicates: FxHashSet::default(),
        moment: (None, None, None),
    };
    if let Some(job) = &case.job {
        run.times(job);
        for (index, entry) in job.happened() {
            if !run.duplicates.contains(&index) {
                run.entry(index, entry);
            }
        }
    }
    run.replay
        .impossible
        .sort_by_key(|impossible| impossible.entry);
    run.replay
}

/// A replay while it runs.
struct Run<'c, 'a> {
    case: &'c Case<'a>,
    replay: Replay<'a>,
    /// By board: accidents of it that are not proven, as indexes.
    on_board: FxHashMap<Option<BoardCopy>, Vec<usize>>,
    /// Entries by day and text.
    seen: FxHashMap<(Option<Date>, &'c str), usize>,
    duplicates: FxHashSet<usize>,
    /// Day, time and index of the last entry that has them.
    moment: (Option<Date>, Option<TimeOfDay>, Option<usize>),
}

impl<'c, 'a> Run<'c, 'a> {
    /// Compares each entry with the one before it, as written.
    fn times(&mut self, job: &'c Job<'a>) {
        let mut returned = None;
        for (index, entry) in job.log.iter().enumerate() {
            let (date, time, before) = self.moment;
            let is_same_day = date.is_some() && date == entry.date;
            let is_earlier = match (date, entry.date) {
                (Some(date), Some(now)) if now < date => true,
                _ if is_same_day => {
                    matches!((time, entry.time), (Some(time), Some(now)) if now < time)
                }
                _ => false,
            };
            if is_earlier {
                self.impossible(index, before, ImpossibleKind::Earlier, Vec::new());
            }
            self.replay.dates.push(entry.date);
            self.replay.minutes.push(match (time, entry.time) {
                (Some(time), Some(now)) if is_same_day => minutes(now).checked_sub(minutes(time)),
                _ => None,
            });
            if entry.time.is_some() || !is_same_day {
                self.moment = (entry.date.or(date), entry.time, Some(index));
            }
            if entry.time.is_some() && entry.date.is_some() {
                let text = self.case.sources.text(entry.origin);
                match self.seen.get(&(entry.date, text)) {
                    Some(&first) => {
                        self.impossible(index, Some(first), ImpossibleKind::Duplicate, Vec::new());
                        self.duplicates.insert(index);
                    }
                    None => {
                        self.seen.insert((entry.date, text), index);
                    }
                }
            }
            let is_work = matches!(
                LogVerb::of(entry.verb),
                Some(
                    LogVerb::Removed
                        | LogVerb::Cleaned
                        | LogVerb::Repaired
                        | LogVerb::Fitted
                        | LogVerb::Soldered
                        | LogVerb::Powered
                        | LogVerb::Adjusted
                )
            );
            if let Some(returned) = returned
                && is_work
            {
                self.impossible(
                    index,
                    Some(returned),
                    ImpossibleKind::AfterReturn,
                    Vec::new(),
                );
            }
            match entry.verb {
                Token::Returned => returned = Some(index),
                // A unit that comes back is arrived again.
                Token::Arrived if self.is_unit(entry) => returned = None,
                _ => {}
            }
        }
    }

    fn is_unit(&self, entry: &LogEntry<'_>) -> bool {
        matches!(&entry.act, Act::Arrived { items, .. } if items.is_empty())
    }

    fn impossible(
        &mut self,
        entry: usize,
        earlier: Option<usize>,
        kind: ImpossibleKind,
        places: Vec<PlaceId>,
    ) {
        let last = self.replay.impossible.last_mut();
        if let Some(last) = last
            && last.entry == entry
            && last.earlier == earlier
            && last.kind == kind
        {
            last.places.extend(places);
            return;
        }
        self.replay.impossible.push(Impossible {
            entry,
            earlier,
            kind,
            places,
        });
    }

    fn change(&mut self, place: PlaceId, entry: usize, make: impl FnOnce(&mut PlaceState)) {
        if let Some(history) = self.replay.histories.place_mut(place) {
            history.change(entry, make);
        }
    }

    fn change_boards(
        &mut self,
        boards: &[BoardCopy],
        entry: usize,
        make: impl Fn(&mut BoardState),
    ) {
        for board in boards {
            let history = self.replay.histories.board_mut(*board);
            history.change(entry, &make);
        }
    }

    fn entry(&mut self, index: usize, entry: &LogEntry<'a>) {
        let subject = &entry.subject;
        match &entry.act {
            Act::Photographed { .. } => {
                self.change_boards(&subject.boards, index, |board| {
                    board.photographed.get_or_insert(index);
                });
            }
            Act::Discharged => self.at_places(index, entry, |state| state.discharged = Some(index)),
            Act::Removed => self.removed(index, entry),
            Act::Cleaned { .. } => {
                let boards = self.boards_or_all(entry);
                self.change_boards(&boards, index, |board| board.cleaned = Some(index));
            }
            Act::Repaired { how, .. } => self.repaired(index, entry, *how),
            Act::Fitted { with, .. } => {
                let is_socket = with.iter().any(|part| {
                    let kind = part.kind(self.case);
                    kind.is_some_and(|kind| kind.token() == Token::Socket)
                });
                self.fitted(index, entry, is_socket);
            }
            Act::Soldered => {
                self.change_boards(&subject.boards, index, |board| board.soldered = Some(index));
                for place in places_of(entry) {
                    self.change(place, index, |state| state.worked = Some(index));
                }
            }
            Act::Inspected => {
                let both = entry.both_sides;
                self.change_boards(&subject.boards, index, |board| {
                    board.inspected = Some(index);
                    if both {
                        board.both_sides = Some(index);
                    }
                });
                for place in places_of(entry) {
                    self.change(place, index, |state| {
                        state.inspected = Some(index);
                        if both {
                            state.both_sides = Some(index);
                        }
                    });
                }
                self.look(index, entry);
            }
            Act::Measured { beeps } => self.measured(index, entry, *beeps),
            Act::Powered { has_lamp, limit } => {
                self.powered(index, entry, *has_lamp || limit.is_some());
            }
            Act::Adjusted { stop } => {
                let stop = *stop;
                self.at_places(index, entry, |state| state.adjusted = Some((index, stop)));
            }
            Act::Tested => {
                let boards = self.boards_or_all(entry);
                self.change_boards(&boards, index, |board| board.tested = Some(index));
            }
            Act::Damaged { accident, .. } => self.damaged(index, entry, *accident),
            Act::Returned => self.replay.returned = Some(index),
            Act::Approved { .. }
            | Act::Ordered { .. }
            | Act::Arrived { .. }
            | Act::Noted
            | Act::Struck => {}
        }
        if !matches!(entry.act, Act::Measured { .. }) {
            self.keep_readings(index, entry);
        }
    }

    /// The boards that an entry names; all of them where it names nothing.
    fn boards_or_all(&self, entry: &LogEntry<'_>) -> Vec<BoardCopy> {
        if !entry.subject.is_nothing() || entry.subject.origin.is_some() {
            let nets = entry.subject.nets.iter();
            let nets = nets.map(|(net, copy)| (self.case.nets.net(*net).board, *copy));
            let mut boards: Vec<BoardCopy> =
                entry.subject.boards.iter().copied().chain(nets).collect();
            boards.sort_unstable();
            boards.dedup();
            return boards;
        }
        let boards = (0..self.case.boards.len() as u32).map(BoardId);
        boards
            .flat_map(|board| self.case.copies_of(board))
            .collect()
    }

    /// Work on parts that have to be there.
    fn at_places(&mut self, index: usize, entry: &LogEntry<'a>, make: impl Fn(&mut PlaceState)) {
        for &place in &entry.subject.places {
            let state = self.replay.place(place);
            if state.content == Content::Empty && !entry.subject.is_everything {
                self.impossible(index, state.removed, ImpossibleKind::NotThere, vec![place]);
                continue;
            }
            self.change(place, index, &make);
        }
    }

    fn removed(&mut self, index: usize, entry: &LogEntry<'a>) {
        for &place in &entry.subject.places {
            let state = self.replay.place(place);
            if state.content == Content::Empty {
                // Everything is taken to mean everything that is there.
                if !entry.subject.is_everything {
                    let kind = if state.removed.is_some() {
                        ImpossibleKind::RemovedTwice
                    } else {
                        ImpossibleKind::RemovedNothing
                    };
                    self.impossible(index, state.removed, kind, vec![place]);
                }
                continue;
            }
            let is_in_socket = state.socketed.is_some() || self.is_socketed_by_maker(place);
            self.change(place, index, |state| {
                state.content = Content::Empty;
                state.removed = Some(index);
                state.stressed = None;
                // A chip that is pulled from its socket leaves its joints alone.
                if !is_in_socket {
                    state.worked = Some(index);
                }
            });
        }
    }

    fn fitted(&mut self, index: usize, entry: &LogEntry<'a>, is_socket: bool) {
        for &place in &entry.subject.places {
            let state = self.replay.place(place);
            if is_socket {
                if state.content != Content::Empty {
                    let earlier = state.fitted;
                    self.impossible(index, earlier, ImpossibleKind::FittedOverOld, vec![place]);
                }
                self.change(place, index, |state| {
                    state.content = Content::Empty;
                    state.socketed = Some(index);
                    state.worked = Some(index);
                });
                continue;
            }
            match state.content {
                Content::Old => {
                    self.impossible(index, None, ImpossibleKind::FittedOverOld, vec![place]);
                }
                Content::New => {
                    let earlier = state.fitted;
                    self.impossible(index, earlier, ImpossibleKind::FittedTwice, vec![place]);
                }
                Content::Empty => {}
            }
            let is_in_socket = state.socketed.is_some() || self.is_socketed(place);
            if is_in_socket {
                self.replay.first_chip.get_or_insert(index);
            }
            self.change(place, index, |state| {
                state.content = Content::New;
                state.fitted = Some(index);
                state.stressed = None;
                // A chip that is pressed into its socket makes no joint.
                if !is_in_socket {
                    state.worked = Some(index);
                }
            });
            // Another part in the place ends what was wrong with the part.
            if state.content == Content::Empty {
                let case = self.case;
                self.with_open(case.copy_of(place), |record| {
                    if record.is_of_part(place) {
                        record.mended.get_or_insert(Mended {
                            entry: index,
                            how: Some(Repair::PartRenewed),
                            to: None,
                        });
                        record.proof = Some(index);
                    }
                });
            }
        }
    }

    fn is_socketed_by_maker(&self, place: PlaceId) -> bool {
        let part = self.case.part(place.part);
        part.facts.is(Property::Feature, Token::Socketed)
    }

    fn is_socketed(&self, place: PlaceId) -> bool {
        self.is_socketed_by_maker(place)
            || self.case.decision(place).is_some_and(|decision| {
                decision.socket.is_some()
                    || self.case.plan_line(decision.line).verb == PlanVerb::Socket
            })
    }

    /// Looks at each accident of a board that is not proven mended.
    fn with_open(&mut self, board: BoardCopy, mut look: impl FnMut(&mut AccidentRecord<'a>)) {
        let Some(open) = self.on_board.get_mut(&Some(board)) else {
            return;
        };
        let accidents = &mut self.replay.accidents;
        open.retain(|record| match accidents.get_mut(*record) {
            Some(record) => {
                look(record);
                record.status() != Status::Proven
            }
            None => false,
        });
    }

    fn repaired(&mut self, index: usize, entry: &LogEntry<'a>, how: Option<Repair>) {
        let case = self.case;
        let points: Vec<Point<'a>> = entry.subject.points().collect();
        let to = entry.to.first().copied();
        for point in points {
            let mended = Mended {
                entry: index,
                how,
                to,
            };
            for board in [Some(point), to]
                .into_iter()
                .flatten()
                .filter_map(|point| board_of(case, point))
            {
                self.with_open(board, |record| {
                    record.mend(point, mended);
                });
            }
            let place = match point {
                Point::Pad(pad) => Some(pad.place),
                Point::Place(place) => Some(place),
                Point::Net(..) | Point::Board(_) => None,
            };
            if let Some(place) = place {
                self.change(place, index, |state| {
                    state.worked = Some(index);
                    if how == Some(Repair::PartRenewed) {
                        state.content = Content::New;
                        state.fitted = Some(index);
                        state.stressed = None;
                    }
                });
            }
        }
    }

    /// A look also proves what a look can prove.
    fn look(&mut self, index: usize, entry: &LogEntry<'a>) {
        let case = self.case;
        for board in boards_touched(case, entry) {
            self.with_open(board, |record| record.look(case, index, entry));
        }
    }

    fn measured(&mut self, index: usize, entry: &LogEntry<'a>, beeps: bool) {
        let case = self.case;
        self.keep_readings(index, entry);
        let is_at_work = entry.readings.iter().any(is_at_work);
        for &place in &entry.subject.places {
            let state = self.replay.place(place);
            if state.content == Content::Empty && is_at_work && !entry.subject.is_everything {
                self.impossible(index, state.removed, ImpossibleKind::NotThere, vec![place]);
                continue;
            }
            self.change(place, index, |state| state.measured = Some(index));
        }
        if entry.both_sides {
            for place in places_of(entry) {
                self.change(place, index, |state| state.both_sides = Some(index));
            }
        }
        // Most jobs go without an accident, and most of a log is readings.
        if self.on_board.is_empty() {
            return;
        }
        for board in boards_touched(case, entry) {
            let points: Vec<Point<'a>> = entry.subject.points().collect();
            self.with_open(board, |record| {
                for point in &points {
                    for to in &entry.to {
                        record.read(case, index, (*point, *to), entry, beeps);
                    }
                }
                let reads_part = record.asks_for() == Proof::Reading
                    && record
                        .place()
                        .is_some_and(|place| entry.subject.places.binary_search(&place).is_ok());
                if reads_part && !entry.readings.is_empty() {
                    record.mended.get_or_insert(Mended {
                        entry: index,
                        how: None,
                        to: None,
                    });
                    record.proof = Some(index);
                }
            });
        }
    }

    fn keep_readings(&mut self, index: usize, entry: &LogEntry<'a>) {
        for reading in &entry.readings {
            for point in entry.subject.points() {
                let content = match point {
                    Point::Place(place) => Some(self.replay.place(place).content),
                    _ => None,
                };
                if let Some(board) = board_of(self.case, point) {
                    let there = self.replay.read_on.entry(board).or_default();
                    there.push(self.replay.readings.len());
                }
                self.replay.readings.push(PointReading {
                    entry: index,
                    point,
                    to: entry.to.first().copied(),
                    reading: *reading,
                    content,
                });
            }
        }
    }

    fn powered(&mut self, index: usize, entry: &LogEntry<'a>, is_limited: bool) {
        let boards = self.boards_or_all(entry);
        self.change_boards(&boards, index, |board| {
            board.powered.get_or_insert(index);
            board.powered_last = Some(index);
            let sort = if is_limited {
                &mut board.limited
            } else {
                &mut board.unlimited
            };
            sort.get_or_insert(index);
        });
        // A part that is the wrong way round, or the wrong part, is stressed by power.
        for board in boards {
            let mut stressed = Vec::new();
            self.with_open(board, |record| {
                let is_wrong = matches!(
                    record.accident,
                    Some(Accident::Reversed | Accident::WrongPart)
                );
                if is_wrong && record.mended.is_none() {
                    stressed.extend(record.place().map(|place| (place, record.entry)));
                }
            });
            for (place, accident) in stressed {
                if self.replay.place(place).content != Content::Empty {
                    self.change(place, index, |state| {
                        state.stressed.get_or_insert(accident);
                    });
                }
            }
        }
    }

    fn damaged(&mut self, index: usize, entry: &LogEntry<'a>, accident: Option<Accident>) {
        let case = self.case;
        let mut points: Vec<Option<Point<'a>>> = entry.subject.points().map(Some).collect();
        if points.is_empty() {
            points.push(None);
        }
        for point in points {
            let number = self.replay.accidents.len() + 1;
            self.replay.accidents.push(AccidentRecord {
                number,
                entry: index,
                accident,
                point,
                to: entry.to.first().copied(),
                mended: None,
                proof: None,
                one_side: None,
                too_high: None,
                is_plated: point.is_some_and(|point| is_plated(case, point)),
            });
            let board = point.and_then(|point| board_of(case, point));
            self.on_board.entry(board).or_default().push(number - 1);
            let place = match point {
                Some(Point::Pad(pad)) => Some(pad.place),
                Some(Point::Place(place)) => Some(place),
                _ => None,
            };
            // What is found reversed after power has had power reversed.
            let stresses = accident.is_some_and(|accident| accident.row().stresses)
                || (accident == Some(Accident::Reversed)
                    && place.is_some_and(|place| self.replay.state(case, place).has_had_power()));
            if let Some(place) = place
                && stresses
                && self.replay.place(place).content != Content::Empty
            {
                self.change(place, index, |state| {
                    state.stressed.get_or_insert(index);
                });
            }
        }
    }
}

/// The places that an entry names, whole or by a lead.
fn places_of(entry: &LogEntry<'_>) -> Vec<PlaceId> {
    let pads = entry.subject.pads.iter().map(|pad| pad.place);
    entry.subject.places.iter().copied().chain(pads).collect()
}

/// The boards that an entry has to do with, each once.
fn boards_touched(case: &Case<'_>, entry: &LogEntry<'_>) -> Vec<BoardCopy> {
    let points = entry.subject.points().chain(entry.to.iter().copied());
    let mut boards: Vec<BoardCopy> = points.filter_map(|point| board_of(case, point)).collect();
    boards.sort_unstable();
    boards.dedup();
    boards
}

/// Whether a reading can be taken of a part at work only: a voltage across it,
/// a current through it, or anything cold or warm.
fn is_at_work(reading: &Reading) -> bool {
    let is_electric = reading.property.is_none()
        && reading.quantity().is_some_and(|quantity| {
            matches!(
                quantity.dimension,
                Dimension::Voltage | Dimension::AcVoltage | Dimension::Current
            ) && quantity.number > Decimal::ZERO
        });
    is_electric || matches!(reading.condition, Some(Token::Cold | Token::Warm))
}

fn minutes(time: TimeOfDay) -> u32 {
    u32::from(time.hour) * 60 + u32::from(time.minute)
}
