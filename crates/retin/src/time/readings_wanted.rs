//! Which readings that the targets ask for are not in the log.

use crate::meaning::{Case, Job, Point, names};
use crate::rules::out_of_limits::readings_of;
use crate::time::accidents::board_of;
use retin_syntax::tables::Property;

/// A reading that a target asks for and the log does not have.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Wanted {
    /// The target, as an index into the job's targets.
    pub target: usize,
    /// What to read: nothing but the point, or its ripple.
    pub what: What,
    /// The copies of the board it is not read on, by name; empty where the
    /// board has one copy.
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
pub fn wanted(case: &Case<'_>, job: &Job<'_>) -> Vec<Wanted> {
    let mut all = Vec::new();
    for (index, target) in job.targets.iter().enumerate() {
        for what in [What::Value, What::Ripple] {
            if what == What::Ripple && target.ripple().is_none() {
                continue;
            }
            let is_read = |point: &Point<'_>| {
                readings_of(case, target, *point).any(|reading| {
                    let is_ripple = reading.reading.property == Some(Property::Ripple);
                    is_ripple == (what == What::Ripple)
                })
            };
            let points = target.points.iter();
            let missing: Vec<&Point<'_>> = points.filter(|point| !is_read(point)).collect();
            if missing.is_empty() {
                continue;
            }
            let boards = missing.iter().filter_map(|point| board_of(case, **point));
            let copies = boards
                .filter(|(board, _)| case.board(*board).copies.len() > 1)
                .map(|copy| case.name_of_copy(copy).to_owned());
            all.push(Wanted {
                target: index,
                what,
                copies: copies.collect(),
                is_on_all: missing.len() == target.points.len(),
            });
        }
    }
    all
}
