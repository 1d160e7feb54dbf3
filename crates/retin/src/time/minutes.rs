//! How long work takes: the built-in table, what the shop says instead, and the
//! time of a step by both.
//!
//! The times are for one technician with an iron and a pump, everything laid
//! out. *Common practice, no source.* They are held against one more fact of that
//! sort: a hundred leaded parts come out of two boards in an hour and a half to
//! two hours.

use crate::meaning::{BoardCopy, Case, LinkId, Pace, PlaceId, Step};
use retin_syntax::tables::{Kind, LeadSet, PlanVerb, Property, StepVerb, kinds};
use retin_syntax::token::Token;
use retin_syntax::value::{Decimal, Dimension, Quantity};
use std::collections::BTreeMap;

/// One row of the built-in table.
const fn row(verb: StepVerb, subject: Token, seconds: i64) -> Pace {
    Pace {
        verb,
        subject,
        seconds: Decimal::from_parts(seconds as u32, 0, 0, false, 0),
        is_per_lead: false,
        origin: None,
    }
}

/// A row whose time is for each lead of a part, or each joint of a link.
const fn each(verb: StepVerb, subject: Token, seconds: i64) -> Pace {
    Pace {
        is_per_lead: true,
        ..row(verb, subject, seconds)
    }
}

use StepVerb as V;
use Token as T;

/// How long one of each takes. *Common practice, no source.*
#[rustfmt::skip]
pub const PACES: &[Pace] = &[
    row(V::Photograph, T::Part, 60),
    row(V::Photograph, T::Board, 240),
    row(V::Photograph, T::Link, 60),
    row(V::Discharge, T::Part, 180),
    row(V::Discharge, T::Rail, 120),
    row(V::Discharge, T::Board, 300),
    row(V::Remove, T::Part, 60),
    each(V::Remove, T::Network, 15),
    each(V::Remove, T::IntegratedCircuit, 15),
    row(V::Remove, T::Regulator, 180),
    row(V::Remove, T::NegativeRegulator, 180),
    row(V::Remove, T::Socketed, 20),
    each(V::Remove, T::Socket, 15),
    row(V::Remove, T::Control, 180),
    row(V::Remove, T::Trimmer, 90),
    row(V::Remove, T::Switch, 180),
    row(V::Remove, T::Connector, 180),
    row(V::Remove, T::Relay, 120),
    row(V::Remove, T::Transformer, 900),
    row(V::Remove, T::Motor, 600),
    row(V::Remove, T::Loudspeaker, 300),
    row(V::Remove, T::Movement, 300),
    row(V::Remove, T::Valve, 15),
    row(V::Remove, T::Fuse, 15),
    row(V::Remove, T::Board, 600),
    each(V::Remove, T::Link, 60),
    row(V::Clean, T::Part, 120),
    row(V::Clean, T::Board, 900),
    each(V::Clean, T::Link, 20),
    row(V::Repair, T::Part, 600),
    row(V::Repair, T::Rail, 600),
    row(V::Repair, T::Board, 1200),
    each(V::Repair, T::Link, 120),
    row(V::Fit, T::Part, 60),
    each(V::Fit, T::Network, 12),
    each(V::Fit, T::IntegratedCircuit, 12),
    row(V::Fit, T::Regulator, 300),
    row(V::Fit, T::NegativeRegulator, 300),
    row(V::Fit, T::Socketed, 30),
    each(V::Fit, T::Socket, 12),
    row(V::Fit, T::Control, 240),
    row(V::Fit, T::Trimmer, 90),
    row(V::Fit, T::Switch, 240),
    row(V::Fit, T::Connector, 240),
    row(V::Fit, T::Relay, 120),
    row(V::Fit, T::Transformer, 1200),
    row(V::Fit, T::Motor, 900),
    row(V::Fit, T::Loudspeaker, 300),
    row(V::Fit, T::Movement, 300),
    row(V::Fit, T::Valve, 15),
    row(V::Fit, T::Fuse, 15),
    row(V::Fit, T::Board, 600),
    each(V::Fit, T::Link, 60),
    each(V::Solder, T::Part, 15),
    row(V::Solder, T::Board, 900),
    each(V::Solder, T::Link, 60),
    each(V::Inspect, T::Part, 5),
    row(V::Inspect, T::Rail, 60),
    row(V::Inspect, T::Board, 600),
    each(V::Inspect, T::Link, 10),
    row(V::Measure, T::Part, 120),
    row(V::Measure, T::Rail, 120),
    row(V::Measure, T::Board, 600),
    each(V::Measure, T::Link, 20),
    row(V::Power, T::Part, 300),
    row(V::Power, T::Rail, 300),
    row(V::Power, T::Board, 600),
    row(V::Adjust, T::Part, 300),
    row(V::Adjust, T::Rail, 300),
    row(V::Adjust, T::Board, 600),
    row(V::Test, T::Part, 180),
    row(V::Test, T::Rail, 180),
    row(V::Test, T::Board, 900),
    each(V::Test, T::Link, 60),
];

/// How long a step takes.
#[derive(Clone, PartialEq, Eq, Default, Debug)]
pub struct Duration {
    /// In seconds; what is known of it, where something is missing.
    pub seconds: Decimal,
    /// Whether the step's own line says it; else it is estimated.
    pub is_written: bool,
    /// The share of each copy of a board, in seconds; what belongs to none is left out.
    pub by_board: Vec<(BoardCopy, Decimal)>,
    /// The first fact for want of which the estimate is not whole.
    pub missing: Option<String>,
}

/// How long a step takes: as its line says, else as its work is estimated.
pub fn duration(case: &Case<'_>, step: &Step<'_>) -> Duration {
    let estimate = estimate(case, step);
    let Some((time, _)) = step.time else {
        return estimate;
    };
    // A written time is shared out as the estimate is, or evenly where there is none.
    let shares: Vec<(BoardCopy, Decimal)> = if estimate.by_board.is_empty() {
        let touched = step.about.touched(case);
        touched
            .into_iter()
            .map(|copy| (copy, Decimal::ONE))
            .collect()
    } else {
        estimate.by_board
    };
    let whole = shares
        .iter()
        .fold(Decimal::ZERO, |sum, share| sum.saturating_add(share.1));
    let seconds = time.number.max(Decimal::ZERO);
    let share = |part: Decimal| seconds.checked_mul(part)?.checked_div(whole);
    Duration {
        seconds,
        is_written: true,
        by_board: shares
            .into_iter()
            .filter_map(|(copy, part)| Some((copy, share(part)?)))
            .collect(),
        missing: None,
    }
}

/// The work of a step by the table, whatever its line says of its time.
pub fn estimate(case: &Case<'_>, step: &Step<'_>) -> Duration {
    let mut sum = Sum::default();
    if step.about.is_nothing() {
        sum.lacks(format!("what `{}` is done to, or its time", step.name));
        return sum.finish();
    }
    let of_boards = boards_worked_on(case, step);
    for copy in &of_boards {
        sum.add(case, step.verb, T::Board, Some(*copy), Decimal::ONE);
    }
    if of_boards.is_empty() || !step.about.is_everything {
        for place in places_worked_on(case, step) {
            sum.place(case, step.verb, place);
        }
    }
    for (net, copy) in &step.about.nets {
        let board = (case.nets.net(*net).board, *copy);
        sum.add(case, step.verb, T::Rail, Some(board), Decimal::ONE);
    }
    for link in &step.about.links {
        sum.link(case, step.verb, *link);
    }
    sum.finish()
}

/// The boards that a step works on as wholes: those it names, and all of them
/// where a step such as `photograph everything` is not done part by part.
pub fn boards_worked_on(case: &Case<'_>, step: &Step<'_>) -> Vec<BoardCopy> {
    let is_done_by_board = matches!(
        step.verb,
        V::Photograph | V::Clean | V::Inspect | V::Power | V::Test
    );
    if step.about.is_everything && is_done_by_board {
        step.about.touched(case)
    } else {
        step.about.boards.clone()
    }
}

/// The places that a step works on one by one: where it chooses by kind, it
/// passes over what the plan lets stay, and over sections of a part it has already.
pub fn places_worked_on(case: &Case<'_>, step: &Step<'_>) -> Vec<PlaceId> {
    let places = &step.about.places;
    let stays = |place: &PlaceId| {
        let verb = case
            .decision(*place)
            .map(|decision| case.plan_line(decision.line).verb);
        match step.verb {
            V::Remove => matches!(
                verb,
                Some(PlanVerb::Keep | PlanVerb::Leave | PlanVerb::Absent | PlanVerb::Add)
            ),
            V::Fit => match verb {
                Some(verb) => !matches!(verb, PlanVerb::Replace | PlanVerb::Add | PlanVerb::Socket),
                None => !case.plan.is_empty(),
            },
            _ => verb == Some(PlanVerb::Absent),
        }
    };
    let is_of_another = |place: &PlaceId| {
        case.whole_of(place.part).is_some_and(|part| {
            let whole = PlaceId {
                part,
                copy: place.copy,
            };
            places.binary_search(&whole).is_ok()
        })
    };
    places
        .iter()
        .filter(|place| !(is_of_another(place) || step.about.is_by_kind && stays(place)))
        .copied()
        .collect()
}

/// Seconds while they are added up.
#[derive(Default)]
struct Sum {
    seconds: Decimal,
    by_board: BTreeMap<BoardCopy, Decimal>,
    missing: Option<String>,
}

impl Sum {
    fn lacks(&mut self, fact: String) {
        self.missing.get_or_insert(fact);
    }

    fn seconds(&mut self, copy: Option<BoardCopy>, seconds: Decimal) {
        self.seconds = self.seconds.saturating_add(seconds);
        if let Some(copy) = copy {
            let held = self.by_board.entry(copy).or_default();
            *held = held.saturating_add(seconds);
        }
    }

    fn add(
        &mut self,
        case: &Case<'_>,
        verb: StepVerb,
        subject: Token,
        copy: Option<BoardCopy>,
        count: Decimal,
    ) {
        match pace(case, verb, |row| row == subject) {
            Some(pace) => self.seconds(copy, pace.seconds.saturating_mul(count)),
            None => self.lacks(lacking(verb, subject)),
        }
    }

    fn place(&mut self, case: &Case<'_>, verb: StepVerb, place: PlaceId) {
        let copy = Some(case.copy_of(place));
        let kind = case.goes_by(place).kind;
        // The old chip sits in a socket only where the maker put one.
        let is_socketed = match verb {
            V::Fit => case.is_socketed(place),
            _ => case
                .part(place.part)
                .facts
                .is(Property::Feature, T::Socketed),
        };
        let covers = |row: Token| match row {
            T::Socketed => is_socketed,
            row => kind.map_or(row == T::Part, |kind| kind.is_covered_by(row)),
        };
        let Some(pace) = pace(case, verb, covers) else {
            self.lacks(lacking(verb, kind.map_or(T::Part, Kind::token)));
            return;
        };
        let mut times = Decimal::from(pieces(case, verb, place));
        if pace.is_per_lead {
            let Some(leads) = leads(case, place) else {
                let name = case.name_of(place);
                self.lacks(format!(
                    "how many leads {name} has: its package or its type"
                ));
                return;
            };
            times *= Decimal::from(leads);
        }
        self.seconds(copy, pace.seconds.saturating_mul(times));
        // A new socket is soldered before the chip goes into it.
        if verb == V::Fit && case.gets_socket(place) {
            match (
                self::pace(case, verb, |row| row == T::Socket),
                leads(case, place),
            ) {
                (Some(pace), Some(leads)) if pace.is_per_lead => {
                    self.seconds(copy, pace.seconds.saturating_mul(Decimal::from(leads)));
                }
                (Some(pace), _) if !pace.is_per_lead => self.seconds(copy, pace.seconds),
                _ => self.lacks(format!(
                    "how many leads {} has: its package or its type",
                    case.name_of(place)
                )),
            }
        }
    }

    fn link(&mut self, case: &Case<'_>, verb: StepVerb, id: LinkId) {
        let link = case.link(id);
        let Some(pace) = pace(case, verb, |row| row == T::Link) else {
            self.lacks(lacking(verb, T::Link));
            return;
        };
        if !pace.is_per_lead {
            self.seconds(None, pace.seconds);
            return;
        }
        match link.joints {
            Some(joints) => self.seconds(None, pace.seconds.saturating_mul(joints)),
            None => self.lacks(format!("how many joints the link {} has", link.name)),
        }
    }

    fn finish(self) -> Duration {
        Duration {
            seconds: self.seconds,
            is_written: false,
            by_board: self.by_board.into_iter().collect(),
            missing: self.missing,
        }
    }
}

fn lacking(verb: StepVerb, subject: Token) -> String {
    let subject = subject.reserved_text().unwrap_or("part");
    format!(
        "the time to {} one {subject}, `{} {subject} 5min` under `minutes`",
        verb.word(),
        verb.word()
    )
}

/// The narrowest row that covers something; of two that are equally narrow, the shop's.
fn pace(case: &Case<'_>, verb: StepVerb, covers: impl Fn(Token) -> bool) -> Option<Pace> {
    case.minutes
        .iter()
        .chain(PACES)
        .filter(|pace| pace.verb == verb && covers(pace.subject))
        .min_by_key(|pace| breadth(pace.subject))
        .copied()
}

/// How many kinds a row covers; a chip in a socket is the narrowest of all.
fn breadth(subject: Token) -> usize {
    match subject {
        T::Socketed => 0,
        T::Part => usize::MAX,
        subject => kinds::FAMILIES
            .iter()
            .find(|family| family.token == subject)
            .map_or(1, |family| family.members.len()),
    }
}

/// How many parts go in at a place: a pair in series is two.
fn pieces(case: &Case<'_>, verb: StepVerb, place: PlaceId) -> usize {
    if verb != V::Fit {
        return 1;
    }
    case.decision(place)
        .map_or(1, |decision| case.plan_line(decision.line).with.len())
        .max(1)
}

/// How many leads the part at a place has, where that is known.
fn leads(case: &Case<'_>, place: PlaceId) -> Option<u32> {
    let part = case.part(place.part);
    let old = case.goes_by(place);
    let gangs = old
        .number(Property::Gangs)
        .and_then(|gangs| u32::try_from(gangs).ok())
        .map_or(1, |gangs| gangs.clamp(1, MOST_LEADS / 3));
    let fixed = match old.kind?.row().leads {
        LeadSet::Polar | LeadSet::Plain | LeadSet::Diode => Some(2),
        LeadSet::Bipolar | LeadSet::FieldEffect | LeadSet::Regulator | LeadSet::Thyristor => {
            Some(3)
        }
        LeadSet::Bridge => Some(4),
        LeadSet::Wiper => Some(3 * gangs),
        LeadSet::Numbered => None,
    };
    let counted = |facts: &crate::meaning::Facts<'_>| {
        facts
            .word(Property::Leads)
            .and_then(|word| word.parse::<u32>().ok())
            .filter(|leads| *leads <= MOST_LEADS)
    };
    fixed
        .or_else(|| counted(&part.facts))
        .or_else(|| counted(&case.library.package(old.word(Property::Package)?)?.facts))
        .or_else(|| {
            let device = case.library.device(old.word(Property::Device)?)?;
            counted(&device.facts)
                .or_else(|| {
                    let package = device.facts.word(Property::Package)?;
                    counted(&case.library.package(package)?.facts)
                })
                .or_else(|| highest(device.pins.iter().map(|pin| pin.0)))
        })
        .or_else(|| highest(part.pins.iter().map(|pin| pin.lead)))
}

/// Most leads that one part is taken to have.
const MOST_LEADS: u32 = 1000;

/// The highest pin number: a part has at least as many leads.
fn highest<'n>(pins: impl Iterator<Item = &'n str>) -> Option<u32> {
    pins.filter_map(|pin| pin.parse::<u32>().ok())
        .filter(|pin| *pin <= MOST_LEADS)
        .max()
}

/// A time as a technician says it: `1 h 30 min`, `20 min`, `45 s`.
pub fn in_words(seconds: Decimal) -> String {
    if seconds < Decimal::from(60) {
        return format!("{} s", seconds.round().normalize());
    }
    let minutes = (seconds / Decimal::from(60)).round();
    let sixty = Decimal::from(60);
    let (hours, rest) = ((minutes / sixty).trunc(), minutes % sixty);
    match (hours.is_zero(), rest.is_zero()) {
        (true, _) => format!("{} min", rest.normalize()),
        (false, true) => format!("{} h", hours.normalize()),
        (false, false) => format!("{} h {} min", hours.normalize(), rest.normalize()),
    }
}

/// A time of the table as the language writes it.
pub fn as_quantity(seconds: Decimal) -> Quantity {
    Quantity::new(seconds, Dimension::Time)
}
