//! What a job means: the model with its boards and parts, the shelves, what was
//! found, and what is planned, with every fact still knowing where it was written.
//!
//! [`Case::build`] reads the outline of the files into these tables. It judges
//! nothing; what makes no sense is kept as a [`Problem`] for a rule to report.

mod again;
mod board;
mod build;
mod decisions;
mod facts;
mod follow;
mod going_by;
mod job;
mod log;
mod mentions;
mod minutes;
pub mod names;
mod nets;
mod passed_over;
mod plan;
pub mod problem;
mod resolve;
mod shelf;
mod steps;
mod targets;
mod told_once;
mod unread;
mod words;
mod zones;

pub(crate) use again::{
    Base, Gone, InPlace, OldLog, build_kept, read_again, read_in_place, read_line_in_place,
    read_log_again,
};
pub(crate) use board::Group;
pub(crate) use build::{Reader, Section, sections_of};
pub use decisions::{Decision, Decisions};
pub use facts::{FactValue, Facts, Stated};
pub use going_by::GoingBy;
pub use job::{Approval, Job};
pub use log::{Act, LogEntry, Ordered, Pad, Point, Reading, Subject};
pub use minutes::Pace;
pub use nets::{Join, Link, LinkId, Net, NetId, Nets, Rail};
pub use plan::{Acceptance, NewPart, PlanEntry, PlanLineId, ReadSelector};
pub use problem::{Problem, ProblemKind};
pub use shelf::{Entry, EntryId, Price, Shelf};
pub use steps::{About, Step, Waits};
pub use targets::{Target, Window};
pub use words::KeptWords;

use crate::potentials::Potentials;
use crate::sources::{FileId, Origin, Sources};
use crate::stage::Stage;
use crate::time::Replay;
use retin_syntax::tables::{ClaimSource, Kind, Property};
use retin_syntax::value::{Decimal, Quantity};
use rustc_hash::FxHashMap;
use std::borrow::Cow;

/// A board's place in [`Case::boards`].
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub struct BoardId(pub u32);

/// One copy of a board: the board, and which of its copies, from 0.
pub type BoardCopy = (BoardId, u16);

/// A part's place in [`Case::parts`].
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub struct PartId(pub u32);

/// One place of the unit: a part on one copy of its board.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub struct PlaceId {
    /// The part.
    pub part: PartId,
    /// Which copy of its board, from 0.
    pub copy: u16,
}

/// The model sheet.
#[derive(Debug)]
pub struct Model<'a> {
    /// Its name.
    pub name: &'a str,
    /// Where the name is written.
    pub origin: Origin,
    /// Its title.
    pub title: &'a str,
    /// Facts below the heading: revision, mains, headroom.
    pub facts: Facts<'a>,
    /// What each revision changed.
    pub changes: Vec<Change<'a>>,
}

/// A `changed` line of a model sheet.
#[derive(Debug)]
pub struct Change<'a> {
    /// The revision that brought it.
    pub revision: Decimal,
    /// Which parts it touched, as written.
    pub names: Vec<&'a str>,
    /// What changed.
    pub text: &'a str,
    /// The line.
    pub origin: Origin,
}

/// A board, or wiring, with all its copies.
#[derive(Debug)]
pub struct Board<'a> {
    /// Its name.
    pub name: &'a str,
    /// Where the name is written.
    pub origin: Origin,
    /// Its title.
    pub title: &'a str,
    /// The names of its copies; its own name where it has none.
    pub copies: Vec<String>,
    /// Whether it is wiring rather than a board.
    pub is_wiring: bool,
    /// Facts below the heading: copper, size, headroom.
    pub facts: Facts<'a>,
    /// Named zones.
    pub zones: Vec<(&'a str, Origin)>,
    /// The corners of each of them, lower left and upper right, in mm from the
    /// board's lower left corner; none where they cannot be read.
    pub zone_corners: Vec<Option<[Decimal; 4]>>,
    /// Its parts, in the order written.
    pub parts: Vec<PartId>,
}

/// A part of the model, standing for the same place on every copy of its board.
#[derive(Debug)]
pub struct Part<'a> {
    /// Its board.
    pub board: BoardId,
    /// Its name on the board.
    pub name: String,
    /// Where the name is written.
    pub origin: Origin,
    /// The whole line.
    pub line: Origin,
    /// Its kind, where one could be read.
    pub kind: Option<Kind>,
    /// What the headline says, group facts included.
    pub facts: Facts<'a>,
    /// Whose claim the headline is.
    pub headline: ClaimSource,
    /// Which lead is on which net.
    pub pins: Vec<PinOn<'a>>,
    /// Claims of other sources.
    pub claims: Vec<Claim<'a>>,
    /// The source the technician chose, and where.
    pub go_by: Option<(ClaimSource, Origin)>,
    /// The same for one copy of its board, as the job's own `found` says.
    pub go_by_here: Vec<(u16, ClaimSource, Origin)>,
    /// Copies that differ, as the model sheet says.
    pub exceptions: Vec<Exception<'a>>,
    /// Whether the plan adds it where the maker had none.
    pub is_added: bool,
    /// Whether the maker left the place empty on every copy of the board.
    pub(crate) is_unfitted: bool,
}

impl<'a> Part<'a> {
    /// What one line says of a part: yet without a name, and without what stands below
    /// the line or elsewhere. `of` is its board, and whose claim the line is.
    fn of_line(
        line: Origin,
        of: (BoardId, ClaimSource),
        kind: Option<Kind>,
        facts: Facts<'a>,
        pins: Vec<PinOn<'a>>,
    ) -> Self {
        Part {
            board: of.0,
            name: String::new(),
            origin: line,
            line,
            kind,
            is_unfitted: facts.has(Property::Unfitted),
            facts,
            headline: of.1,
            pins,
            claims: Vec::new(),
            go_by: None,
            go_by_here: Vec::new(),
            exceptions: Vec::new(),
            is_added: false,
        }
    }
}

/// A lead on a net.
#[derive(Clone, Copy, Debug)]
pub struct PinOn<'a> {
    /// The lead's name.
    pub lead: &'a str,
    /// The net.
    pub net: NetId,
    /// Both, as written.
    pub origin: Origin,
}

/// Copies of a board on which a part differs.
#[derive(Debug)]
pub struct Exception<'a> {
    /// Indexes of the copies.
    pub copies: Vec<u16>,
    /// What is so on these.
    pub facts: Facts<'a>,
    /// The line.
    pub origin: Origin,
}

/// What a source says of a part.
#[derive(Debug)]
pub struct Claim<'a> {
    /// Who says so.
    pub source: ClaimSource,
    /// What is said.
    pub says: Says<'a>,
    /// The line.
    pub origin: Origin,
    /// The copy of the board it was said of; every copy where it stands in the model sheet.
    pub copy: Option<u16>,
}

/// The contents of a claim.
#[derive(Debug)]
pub enum Says<'a> {
    /// Values, an orientation, leads and nets.
    Facts {
        /// The facts.
        facts: Facts<'a>,
        /// A kind, where the claim names another one.
        kind: Option<Kind>,
        /// Leads and nets.
        pins: Vec<PinOn<'a>>,
    },
    /// A lead or direction sounds to a net.
    Sounds {
        /// A lead or a direction, as written.
        lead: &'a str,
        /// The net.
        net: NetId,
    },
    /// A voltage from one lead or direction to another.
    Reads {
        /// The red probe.
        from: &'a str,
        /// The black probe.
        to: &'a str,
        /// The reading.
        voltage: Quantity,
    },
}

/// Everything one check looks at.
#[derive(Debug)]
pub struct Case<'a> {
    /// The files.
    pub sources: Cow<'a, Sources>,
    /// The file the check began with.
    pub root: FileId,
    /// The model sheet, where there is one.
    pub model: Option<Model<'a>>,
    /// The boards.
    pub boards: Vec<Board<'a>>,
    /// The parts of all boards.
    pub parts: Vec<Part<'a>>,
    /// The links between boards.
    pub links: Vec<Link<'a>>,
    /// How long the shop takes for a piece of work, where it says so.
    pub minutes: Vec<Pace>,
    /// The shelves.
    pub shelves: Vec<Shelf<'a>>,
    /// The entries of all shelves.
    pub entries: Vec<Entry<'a>>,
    /// Devices and packages: the built-in ones and those of the files.
    pub library: crate::library::Known<'a>,
    /// The job, where the root file holds one.
    pub job: Option<Job<'a>>,
    /// What the plan wants done with each place; sorted by place.
    pub decisions: Decisions,
    /// The lines of the plan.
    pub plan: Vec<PlanEntry<'a>>,
    /// Rulings of the technician against a rule.
    pub acceptances: Vec<Acceptance<'a>>,
    /// The nets and what joins them.
    pub nets: Nets<'a>,
    /// What is known of each net's potential.
    pub potentials: Potentials,
    /// What the log comes to.
    pub replay: Replay<'a>,
    /// What could not be made sense of.
    pub problems: Vec<Problem>,
    /// How far the job has come.
    pub stage: Stage,
    boards_by_name: FxHashMap<String, (BoardId, Option<u16>)>,
    /// By board.
    parts_by_name: Vec<FxHashMap<String, PartId>>,
    entries_by_name: FxHashMap<String, EntryId>,
}

impl Board<'_> {
    /// Whether a position, in mm, lies off the board; not known of wiring, nor of a
    /// board without a size.
    pub(crate) fn is_off(&self, (x, y): (Decimal, Decimal)) -> bool {
        let is_within = |at: Decimal, length: Decimal| Decimal::ZERO <= at && at <= length;
        let size = self.facts.point(Property::Size).filter(|_| !self.is_wiring);
        size.is_some_and(|(width, depth)| !is_within(x, width) || !is_within(y, depth))
    }
}

impl<'a> Case<'a> {
    /// Reads the file `root` with all it uses into one case.
    pub fn build(sources: &'a Sources, root: FileId) -> Case<'a> {
        build::build(sources, root)
    }

    /// The board with this id.
    pub fn board(&self, id: BoardId) -> &Board<'a> {
        &self.boards[id.0 as usize]
    }

    /// The part with this id.
    pub fn part(&self, id: PartId) -> &Part<'a> {
        &self.parts[id.0 as usize]
    }

    /// The shelf entry with this id.
    pub fn entry(&self, id: EntryId) -> &Entry<'a> {
        &self.entries[id.0 as usize]
    }

    /// The board a part is on.
    pub fn board_of(&self, id: PartId) -> &Board<'a> {
        self.board(self.part(id).board)
    }

    /// The board of this name; for a copy's name, which copy.
    pub fn board_named(&self, name: &str) -> Option<(BoardId, Option<u16>)> {
        self.boards_by_name.get(name).copied()
    }

    /// The part of this name on a board.
    pub fn part_named(&self, board: BoardId, name: &str) -> Option<PartId> {
        self.parts_by_name[board.0 as usize].get(name).copied()
    }

    /// The shelf entry of this name.
    pub fn entry_named(&self, name: &str) -> Option<EntryId> {
        self.entries_by_name.get(name).copied()
    }

    /// Every copy of a board.
    pub fn copies_of(&self, board: BoardId) -> impl Iterator<Item = BoardCopy> + use<> {
        (0..self.board(board).copies.len() as u16).map(move |copy| (board, copy))
    }

    /// The name of one copy of a board.
    pub fn name_of_copy(&self, (board, copy): BoardCopy) -> &str {
        &self.board(board).copies[copy as usize]
    }

    /// The copy of a board that a place is on.
    pub fn copy_of(&self, place: PlaceId) -> BoardCopy {
        (self.part(place.part).board, place.copy)
    }

    /// The net that a point is on, with the copy of its board.
    pub fn net_of(&self, point: Point<'_>) -> Option<(NetId, u16)> {
        match point {
            Point::Net(net, copy) => Some((net, copy)),
            Point::Pad(pad) => {
                let pins = &self.part(pad.place.part).pins;
                let pin = pins.iter().find(|pin| pin.lead == pad.lead)?;
                Some((pin.net, pad.place.copy))
            }
            Point::Place(_) | Point::Board(_) => None,
        }
    }

    /// Whether a net is ground: its own line states no volts, or that of a rail which
    /// links join with it.
    pub fn is_ground(&self, net: NetId) -> bool {
        match &self.nets.net(net).rail {
            Some(rail) => rail.is_ground(),
            None => self
                .potentials
                .rail(&self.nets, net)
                .is_some_and(|known| known.low.is_zero() && known.high.is_zero()),
        }
    }

    /// Whether a point is on a net that is ground.
    pub fn is_at_ground(&self, point: Point<'_>) -> bool {
        self.net_of(point)
            .is_some_and(|(net, _)| self.is_ground(net))
    }

    /// Every place of the unit, part by part.
    pub fn places(&self) -> impl Iterator<Item = PlaceId> + '_ {
        (0..self.parts.len() as u32).map(PartId).flat_map(|part| {
            (0..self.board_of(part).copies.len() as u16).map(move |copy| PlaceId { part, copy })
        })
    }

    /// Every place on a board, part by part.
    pub fn places_on(&self, board: BoardId) -> impl Iterator<Item = PlaceId> + '_ {
        let board = self.board(board);
        let copies = board.copies.len() as u16;
        let parts = board.parts.iter();
        parts.flat_map(move |part| (0..copies).map(move |copy| PlaceId { part: *part, copy }))
    }

    /// What the plan decides for places on a board.
    pub fn decisions_on(&self, board: BoardId) -> impl Iterator<Item = &Decision> {
        self.decisions_of(&self.decisions, board)
    }

    /// What is decided for places on a board, among some decisions.
    pub(crate) fn decisions_of<'d>(
        &'d self,
        decisions: &'d Decisions,
        board: BoardId,
    ) -> impl Iterator<Item = &'d Decision> {
        let parts = self.board(board).parts.iter();
        parts.flat_map(|part| decisions.of_part(*part))
    }

    /// A place's name as a technician writes it, `ch3.C41`.
    pub fn name_of(&self, place: PlaceId) -> String {
        self.names_of(place.part, &[place.copy])
    }

    /// A point's name as the log has it, `ch3.C41.-`.
    pub fn name_of_point(&self, point: Point<'_>) -> String {
        match point {
            Point::Pad(pad) => format!("{}.{}", self.name_of(pad.place), pad.lead),
            Point::Place(place) => self.name_of(place),
            Point::Net(net, copy) => {
                let net = self.nets.net(net);
                format!("{}.{}", self.name_of_copy((net.board, copy)), net.name)
            }
            Point::Board(board) => self.name_of_copy(board).to_owned(),
        }
    }

    /// The name of one part on several copies of its board, `ch1..ch8.C41`.
    pub fn names_of(&self, part: PartId, copies: &[u16]) -> String {
        let board = self.board_of(part);
        let copies = names::compress(
            copies
                .iter()
                .map(|copy| board.copies[*copy as usize].as_str()),
        );
        let part = &self.part(part).name;
        if copies.contains(", ") {
            format!("{part} on {copies}")
        } else {
            format!("{copies}.{part}")
        }
    }

    /// Whether the maker left the place empty, on this copy of its board.
    pub fn is_unfitted(&self, place: PlaceId) -> bool {
        let part = self.part(place.part);
        part.is_unfitted
            || part.exceptions.iter().any(|exception| {
                exception.copies.contains(&place.copy) && exception.facts.has(Property::Unfitted)
            })
    }

    /// The part of which this one is a section, `C30` of `C30.a`.
    pub fn whole_of(&self, id: PartId) -> Option<PartId> {
        let part = self.part(id);
        let (whole, _) = part.name.rsplit_once('.')?;
        self.part_named(part.board, whole)
    }

    /// The places that a path of names stands for, `psu.C1..C4`; a board's name
    /// stands for all its places. Names that stand for nothing are passed over.
    pub fn places_named(&self, path: &str) -> Vec<PlaceId> {
        let segments = names::segments(path);
        let boards: Option<Vec<(BoardId, Option<u16>)>> = names::expand(segments[0])
            .unwrap_or_default()
            .iter()
            .map(|name| self.boards_by_name.get(name).copied())
            .collect();
        let boards = boards.filter(|boards| !boards.is_empty());
        let parts = if boards.is_some() {
            &segments[1..]
        } else {
            &segments[..]
        };
        let wanted = names::expand(&parts.join(".")).unwrap_or_default();
        self.places()
            .filter(|place| {
                let part = self.part(place.part);
                let on_board = boards.as_ref().is_none_or(|boards| {
                    boards.iter().any(|(board, copy)| {
                        *board == part.board && copy.is_none_or(|copy| copy == place.copy)
                    })
                });
                on_board && (parts.is_empty() || wanted.contains(&part.name))
            })
            .collect()
    }

    /// What the plan decides for a place.
    pub fn decision(&self, place: PlaceId) -> Option<&Decision> {
        self.decisions.at(place)
    }

    /// What the line with this id of the plan says.
    pub fn plan_line(&self, id: PlanLineId) -> &PlanEntry<'a> {
        &self.plan[id.0 as usize]
    }
}
