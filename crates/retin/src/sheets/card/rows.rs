//! The readings of each section: from the job's targets, its steps, and the rails
//! of its supply.

use super::Section;
use crate::meaning::{BoardCopy, BoardId, Case, NetId, Point, Step, Target, Window};
use crate::rules::limits::RAIL_SHORT;
use crate::rules::out_of_limits::{limits_of, readings_of};
use crate::sheets::choice::Choice;
use crate::sheets::job::CheckedJob;
use crate::time::accidents::board_of;
use crate::time::bench_order::{supplies, supply_rails};
use crate::time::replay::{PointReading, is_on_net};
use crate::time::step_progress::{Piece, is_joined, is_unpowered};
use crate::typeset;
use retin_syntax::tables::{Property, StepVerb};
use retin_syntax::value::{Dimension, Quantity};

/// One line of the card.
pub(super) struct Reading {
    /// Where it is read: "ch3.+15", "psu.+15 to psu.GND".
    pub(super) point: String,
    /// What it is to be, with its limits.
    pub(super) expected: String,
    /// The board it is read on, where it is one.
    pub(super) board: Option<BoardId>,
    /// What the log has, and whether it lies within the limits; none where there
    /// are no limits to hold it against.
    pub(super) found: Option<(String, Option<bool>)>,
}

/// First power where no step says how the unit gets it.
pub(super) fn first_power() -> Reading {
    Reading {
        point: "first power".to_owned(),
        expected: "no step says how: through a lamp in series, or a current limit".to_owned(),
        board: None,
        found: None,
    }
}

/// What the readings are gathered from.
pub(super) struct Rows<'s, 'c, 'a> {
    pub(super) job: &'s CheckedJob<'c, 'a>,
    pub(super) choice: Choice,
}

impl<'c, 'a> Rows<'_, 'c, 'a> {
    /// The readings of a section.
    pub(super) fn of(&self, section: Section) -> Vec<Reading> {
        let mut readings = Vec::new();
        match section {
            Section::Ground => self.ground(&mut readings),
            Section::Power => self.steps(StepVerb::Power, &mut readings),
            Section::Rails => self.rails(&mut readings),
            Section::Ripple => self.ripples(&mut readings),
            Section::Offsets => self.targets(section, &mut readings),
            Section::Bias => {
                self.targets(section, &mut readings);
                self.steps(StepVerb::Adjust, &mut readings);
            }
            Section::Signal => {
                self.targets(section, &mut readings);
                self.steps(StepVerb::Test, &mut readings);
            }
        }
        readings
    }

    /// Every rail of the supply is read before first power, whether a target asks
    /// for it or not.
    fn ground(&self, readings: &mut Vec<Reading>) {
        let case = self.job.case;
        self.targets(Section::Ground, readings);
        let short = Quantity::new(RAIL_SHORT, Dimension::Resistance);
        for (rail, copy) in self.rails_without(Section::Ground) {
            let is_one = case.board(case.nets.net(rail).board).copies.len() == 1;
            let is_here = |reading: &&PointReading<'a>| {
                // What links join is one rail; of copies, each is read.
                if is_one {
                    is_joined(case, reading.point, rail)
                } else {
                    is_on_net(case, reading.point, rail, copy)
                }
            };
            let last = case.replay.readings.iter().rfind(|reading| {
                is_here(reading)
                    && reading.is_against_ground(case)
                    && is_unpowered(&reading.reading)
                    && dimension_of(reading) == Some(Dimension::Resistance)
            });
            let window = Window {
                low: Some(short),
                high: None,
            };
            readings.push(Reading {
                point: format!("{} to ground", self.net(rail, copy)),
                expected: format!("no target: {} is a short", window_below(short)),
                board: Some(case.nets.net(rail).board),
                found: last.map(|reading| self.found(reading, Some(window))),
            });
        }
    }

    fn rails(&self, readings: &mut Vec<Reading>) {
        let case = self.job.case;
        // The supply alone gets power first, and its rails are read first.
        let mut of_targets = Vec::new();
        self.targets(Section::Rails, &mut of_targets);
        let supplies = supplies(case);
        let is_of_supply = |reading: &Reading| {
            let board = reading.board.is_some_and(|board| supplies.contains(&board));
            supplies.is_empty() || board
        };
        let (first, later): (Vec<Reading>, Vec<Reading>) =
            of_targets.into_iter().partition(is_of_supply);
        readings.extend(first);
        for (rail, copy) in self.rails_without(Section::Rails) {
            let known = case.potentials.of(case, rail);
            let volts = |number| Quantity::new(number, Dimension::Voltage);
            let window = known.map(|known| Window {
                low: Some(volts(known.low)),
                high: Some(volts(known.high)),
            });
            let readings_of_net = case.replay.readings_of_net(case, rail, copy);
            let last = readings_of_net
                .filter(|reading| {
                    reading.reading.property.is_none()
                        && dimension_of(reading) == Some(Dimension::Voltage)
                })
                .last();
            let expected = match (known, window) {
                (Some(known), Some(window)) => with_nominal(Some(volts(known.nominal)), &window),
                _ => "no target, and its rail says no volts".to_owned(),
            };
            readings.push(Reading {
                point: self.net(rail, copy),
                expected,
                board: Some(case.nets.net(rail).board),
                found: last.map(|reading| self.found(reading, window)),
            });
        }
        readings.extend(later);
    }

    fn ripples(&self, readings: &mut Vec<Reading>) {
        let case = self.job.case;
        let job = self.job.job;
        for target in &job.targets {
            let Some(limit) = target.ripple() else {
                continue;
            };
            for point in target.points.iter().filter(|point| self.takes(**point)) {
                let last = readings_of(case, target, *point)
                    .filter(|reading| reading.reading.property == Some(Property::Ripple))
                    .last();
                readings.push(ripple(self, case.name_of_point(*point), limit, last));
            }
        }
        for rail in supply_rails(case) {
            let is_asked = job
                .targets
                .iter()
                .any(|target| target.ripple().is_some() && self.is_on(target, rail));
            let limit = case.nets.net(rail).rail.as_ref();
            let limit = limit.and_then(|rail| rail.facts.quantity(Property::Ripple));
            if let Some(limit) = limit.filter(|_| !is_asked && self.takes(Point::Net(rail, 0))) {
                let last = case
                    .replay
                    .readings_of_net(case, rail, 0)
                    .filter(|reading| reading.reading.property == Some(Property::Ripple))
                    .last();
                readings.push(ripple(self, self.net(rail, 0), limit, last));
            }
        }
    }

    /// The rails of the supply that no target of a section is about, on each copy of
    /// their board.
    fn rails_without(&self, section: Section) -> Vec<(NetId, u16)> {
        let case = self.job.case;
        let targets = || self.job.job.targets.iter();
        let mut rails = supply_rails(case);
        rails.retain(|rail| {
            let is_asked = targets()
                .any(|target| self.section(target) == section && self.is_on(target, *rail));
            !is_asked
        });
        let copies = |rail: NetId| {
            let copies = case.copies_of(case.nets.net(rail).board);
            copies.map(move |(_, copy)| (rail, copy))
        };
        let all = rails.into_iter().flat_map(copies);
        all.filter(|(rail, copy)| self.takes(Point::Net(*rail, *copy)))
            .collect()
    }

    fn is_on(&self, target: &Target<'_>, rail: NetId) -> bool {
        let nets = &self.job.case.nets;
        let is_of_rail = |net| nets.common(net) == nets.common(rail);
        target.net.is_some_and(is_of_rail) && target.is_against_ground(self.job.case)
    }

    fn net(&self, net: NetId, copy: u16) -> String {
        self.job.case.name_of_point(Point::Net(net, copy))
    }

    /// The section that a target belongs to, by what is read there.
    fn section(&self, target: &Target<'_>) -> Section {
        let case = self.job.case;
        let window = limits_of(case, target);
        let limit = window.and_then(|window| window.low.or(window.high));
        let dimension = limit.or(target.nominal()).map(|one| one.dimension);
        match dimension {
            Some(Dimension::Resistance) => Section::Ground,
            Some(Dimension::Current) => Section::Bias,
            Some(Dimension::Voltage) if is_rail(case, target) => Section::Rails,
            Some(Dimension::Voltage) => {
                let zero = Quantity::new(0.into(), Dimension::Voltage);
                let has_both = window.filter(|one| one.low.is_some() && one.high.is_some());
                match has_both.and_then(|window| window.holds(zero)) {
                    Some(true) => Section::Offsets,
                    _ => Section::Bias,
                }
            }
            None if target.is_solved() => Section::Bias,
            // A target of nothing but its ripple stands there.
            None if target.ripple().is_some() => Section::Ripple,
            _ => Section::Signal,
        }
    }

    fn targets(&self, section: Section, readings: &mut Vec<Reading>) {
        let case = self.job.case;
        let targets = self.job.job.targets.iter();
        for target in targets.filter(|target| self.section(target) == section) {
            let window = limits_of(case, target);
            let against = target
                .to
                .map_or_else(String::new, |(to, _)| format!(" to {to}"));
            for point in target.points.iter().filter(|point| self.takes(**point)) {
                let last = readings_of(case, target, *point)
                    .filter(|reading| reading.reading.property != Some(Property::Ripple))
                    .last();
                readings.push(Reading {
                    point: format!("{}{against}", case.name_of_point(*point)),
                    expected: expected(target, window.as_ref()),
                    board: board_of(case, *point).map(|copy| copy.0),
                    found: last.map(|reading| self.found(reading, window)),
                });
            }
        }
    }

    /// Steps that are done under power, by board.
    fn steps(&self, verb: StepVerb, readings: &mut Vec<Reading>) {
        let case = self.job.case;
        for index in self.job.sequence() {
            let step = &self.job.job.steps[index];
            if step.verb != verb {
                continue;
            }
            let boards: Vec<BoardCopy> = step.about.touched(case);
            let wanted = |board: &BoardCopy| self.choice.takes_board(*board);
            if !boards.is_empty() && !boards.iter().any(wanted) || self.choice.is_of_places() {
                continue;
            }
            let mut reading = |what: String| {
                readings.push(Reading {
                    point: what,
                    expected: by_step(step),
                    board: None,
                    found: None,
                });
            };
            if verb == StepVerb::Test && !boards.is_empty() {
                for board in boards.iter().filter(|board| wanted(board)) {
                    reading(format!("{}: test {}", step.name, case.name_of_copy(*board)));
                }
            } else {
                reading(format!("{}: {}", step.name, step.does()));
            }
        }
    }

    fn takes(&self, point: Point<'_>) -> bool {
        let piece = match point {
            Point::Pad(pad) => Piece::Place(pad.place),
            Point::Place(place) => Piece::Place(place),
            Point::Net(net, copy) => Piece::Net(net, copy),
            Point::Board(board) => Piece::Board(board),
        };
        self.choice.takes_piece(self.job.case, piece)
    }

    /// A reading of the log, and whether it lies within its limits.
    fn found(&self, reading: &PointReading<'a>, window: Option<Window>) -> (String, Option<bool>) {
        let read = &reading.reading;
        let mut text = typeset::value(&read.value);
        if let Some(condition) = read.condition.and_then(|token| token.reserved_text()) {
            text = format!("{text} {condition}");
        }
        let entry = self.job.job.told(reading.entry);
        if let Some(date) = entry.and_then(|entry| entry.date) {
            text = format!("{text}, {date}");
        }
        let holds = read
            .quantity()
            .zip(window)
            .and_then(|(quantity, window)| window.holds(quantity));
        (text, holds)
    }
}

/// Whether a target is about a rail.
fn is_rail(case: &Case<'_>, target: &Target<'_>) -> bool {
    let Some(net) = target.net else { return false };
    let common = case.nets.common(net);
    let mut nets = case.nets.iter();
    target.is_against_ground(case)
        && nets.any(|(id, net)| net.rail.is_some() && case.nets.common(id) == common)
}

fn dimension_of(reading: &PointReading<'_>) -> Option<Dimension> {
    reading.reading.quantity().map(|one| one.dimension)
}

fn window_below(limit: Quantity) -> String {
    format!("below {}", typeset::quantity(limit))
}

fn ripple(
    rows: &Rows<'_, '_, '_>,
    point: String,
    limit: Quantity,
    last: Option<&PointReading<'_>>,
) -> Reading {
    let window = Window {
        low: None,
        high: Some(limit),
    };
    Reading {
        point,
        expected: window_below(limit),
        board: None,
        found: last.map(|reading| rows.found(reading, Some(window))),
    }
}

/// What a target asks for: the value meant and its limits, and in which condition.
fn expected(target: &Target<'_>, window: Option<&Window>) -> String {
    let limits = match window {
        Some(window) if target.is_solved() => {
            format!("{}, by the circuit", typeset::window(window))
        }
        Some(window) => with_nominal(target.nominal(), window),
        None => match target.nominal() {
            Some(nominal) => format!("{}; no limits given", typeset::quantity(nominal)),
            None if target.is_solved() => "not known: the circuit is not written down".to_owned(),
            None => "no limits given".to_owned(),
        },
    };
    match target.condition().and_then(|token| token.reserved_text()) {
        Some(condition) => format!("{limits}, {condition}"),
        None => limits,
    }
}

/// A value with its limits: 15 V (14.4 to 15.6 V).
fn with_nominal(nominal: Option<Quantity>, window: &Window) -> String {
    match nominal {
        Some(nominal) if window.low != window.high => {
            format!(
                "{} ({})",
                typeset::quantity(nominal),
                typeset::window(window)
            )
        }
        _ => typeset::window(window),
    }
}

/// What a step's line says of its limits.
fn by_step(step: &Step<'_>) -> String {
    let current = step.facts.quantity(Property::Current);
    let limit = current.map(|limit| format!("at most {}", typeset::quantity(limit)));
    let why = step.because.map(str::to_owned);
    let says: Vec<String> = limit.into_iter().chain(why).collect();
    says.join(", ")
}
