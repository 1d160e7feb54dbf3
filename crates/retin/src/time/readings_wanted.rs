//! Which readings that the targets ask for are not in the log.

use crate::meaning::{Case, FactValue, Job, NetId, Point, Reading, Target, names};
use crate::time::replay::{PointReading, Replay};
use crate::time::step_progress::{is_joined, is_unpowered};
use retin_syntax::tables::Property;
use retin_syntax::token::Token;
use retin_syntax::value::{Dimension, Value};

/// A reading that a target asks for and the log does not have.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Wanted {
    /// The target, as an index into the job's targets.
    pub target: usize,
    /// What to read: nothing but the point, or its ripple.
    pub what: What,
    /// The copies of the board it is not read on, by name; empty where the
    /// board has one copy, or the point is not one net.
    pub copies: Vec<String>,
    /// Whether these are all the copies that the target names.
    pub is_on_all: bool,
}

impl Wanted {
    /// The reading as a technician writes it: "ripple of psu.+15", "ch1..ch8.+15, on ch3".
    pub fn in_words(&self, job: &Job<'_>) -> String {
        let target = &job.targets[self.target];
        let ripple = match self.what {
            What::Value => "",
            What::Ripple => "ripple of ",
        };
        let against = target
            .to
            .map_or(String::new(), |(to, _)| format!(" to {to}"));
        let on = if self.copies.is_empty() || self.is_on_all {
            String::new()
        } else {
            let copies = names::compress(self.copies.iter().map(String::as_str));
            format!(", on {copies}")
        };
        format!("{ripple}{}{against}{on}", target.point)
    }
}

/// What is read at a point.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum What {
    /// The potential, the current or the resistance itself.
    Value,
    /// The ripple on it.
    Ripple,
}

/// The readings that are missing, target by target.
///
/// A reading counts where its point lies on the target's net, or on one that
/// links join with it, where it measures the same quantity, and where it was
/// taken in the target's condition.
pub fn wanted(case: &Case<'_>, job: &Job<'_>, replay: &Replay<'_>) -> Vec<Wanted> {
    let mut all = Vec::new();
    for (index, target) in job.targets.iter().enumerate() {
        let asks_ripple = target.facts.has(Property::Ripple);
        let asks = [(What::Value, true), (What::Ripple, asks_ripple)];
        for (what, _) in asks.into_iter().filter(|ask| ask.1) {
            if let Some((copies, is_on_all)) = missing(case, replay, target, what) {
                all.push(Wanted {
                    target: index,
                    what,
                    copies,
                    is_on_all,
                });
            }
        }
    }
    all
}

/// The copies on which a target was not read, and whether that is all of them;
/// none where nothing is missing.
fn missing(
    case: &Case<'_>,
    replay: &Replay<'_>,
    target: &Target<'_>,
    what: What,
) -> Option<(Vec<String>, bool)> {
    let fitting: Vec<&PointReading<'_>> = replay
        .readings
        .iter()
        .filter(|reading| is_asked_for(target, what, &reading.reading))
        .collect();
    let Some(net) = target.net else {
        let places = case.places_named(target.point);
        let is_read = |place| {
            let is_at = |reading: &&PointReading<'_>| reading.point == Point::Place(place);
            fitting.iter().any(|reading| is_at(reading))
        };
        let is_whole = !places.is_empty() && places.into_iter().all(is_read);
        return (!is_whole).then(|| (Vec::new(), true));
    };
    let board = case.board(case.nets.net(net).board);
    let copies = copies_named(case, net, target.point);
    let is_read = |copy: u16| {
        fitting
            .iter()
            .any(|reading| is_at(case, reading.point, net, copy))
    };
    let count = copies.len();
    let missing: Vec<u16> = copies.into_iter().filter(|copy| !is_read(*copy)).collect();
    if missing.is_empty() {
        return None;
    }
    let named = |copy: &u16| board.copies[*copy as usize].clone();
    let names = if board.copies.len() > 1 {
        missing.iter().map(named).collect()
    } else {
        Vec::new()
    };
    Some((names, missing.len() == count))
}

/// Whether a point lies on this copy's net, or on another board's net that links join with it.
fn is_at(case: &Case<'_>, point: Point<'_>, net: NetId, copy: u16) -> bool {
    if !is_joined(case, point, net) {
        return false;
    }
    match point {
        Point::Net(other, other_copy) if case.nets.net(other).board == case.nets.net(net).board => {
            other_copy == copy
        }
        Point::Pad(pad) if case.part(pad.place.part).board == case.nets.net(net).board => {
            pad.place.copy == copy
        }
        _ => true,
    }
}

/// The copies of a net's board that a point names, `ch1..ch8.V24`.
fn copies_named(case: &Case<'_>, net: NetId, point: &str) -> Vec<u16> {
    let board = case.board(case.nets.net(net).board);
    let first = names::segments(point).first().copied().unwrap_or_default();
    let named = names::expand(first).unwrap_or_default();
    let is_named = |copy: &u16| named.contains(&board.copies[*copy as usize]);
    let copies: Vec<u16> = (0..board.copies.len() as u16).filter(is_named).collect();
    // The name of the board, or none, stands for all its copies.
    if copies.is_empty() {
        (0..board.copies.len() as u16).collect()
    } else {
        copies
    }
}

fn is_asked_for(target: &Target<'_>, what: What, reading: &Reading) -> bool {
    let is_ripple = reading.property == Some(Property::Ripple);
    let condition = target.facts.choice(Property::Condition);
    let is_so_taken = match condition {
        Some(Token::Unpowered) => is_unpowered(reading),
        Some(condition) => reading.condition == Some(condition),
        None => true,
    };
    let is_same_quantity = || {
        let asked = dimension(target);
        let read = reading.quantity().map(|quantity| quantity.dimension);
        asked.is_none() || asked == read
    };
    is_so_taken
        && match what {
            What::Ripple => is_ripple,
            What::Value => !is_ripple && is_same_quantity(),
        }
}

/// What a target measures: a potential where it does not say.
fn dimension(target: &Target<'_>) -> Option<Dimension> {
    target
        .facts
        .iter()
        .filter(|fact| fact.property != Property::Ripple)
        .find_map(|fact| match &fact.value {
            FactValue::Value(value) | FactValue::Limit { value, .. } => match value {
                Value::Quantity(quantity) => Some(quantity.dimension),
                Value::Range { low, .. } => Some(low.dimension),
                _ => None,
            },
            FactValue::Choice(Token::Solved) => Some(Dimension::Voltage),
            _ => None,
        })
}
