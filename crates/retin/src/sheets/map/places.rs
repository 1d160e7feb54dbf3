//! What a map shows of a board: every part with a position, how it lies and
//! where its leads go in.
//!
//! Positions are as in the files: in millimetres from the lower left corner, y
//! upwards, looking at the component side.

use super::geometry::{Rectangle, at};
use crate::library::Package;
use crate::meaning::{BoardCopy, Case, GoingBy, PlaceId};
use crate::outline::Outline;
use crate::replacement::Replacement;
use crate::sheets::CheckedJob;
use crate::sheets::choice::Choice;
use crate::sheets::drawing::Point;
use crate::sheets::way_round::WayRound;
use crate::time::minutes::places_worked_on;
use crate::time::working_order::NewParts;
use crate::time::{AccidentRecord, Content, Status};
use crate::typeset;
use retin_syntax::Token;
use retin_syntax::tables::{Direction, Kind, PlanVerb, Property};
use retin_syntax::value::{Body, Decimal};
use rust_decimal::prelude::ToPrimitive;

/// One part on a map.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Placed {
    /// Its name on the board.
    pub name: String,
    /// The value or type of what belongs there; empty where it is not known.
    pub value: String,
    /// The middle of its body.
    pub middle: Point,
    /// Its body.
    pub body: Shape,
    /// Where its leads go in, and what is marked there.
    pub pads: Vec<Pad>,
    /// Which way round it belongs.
    pub way: Way,
    /// Whether it sits on the solder side.
    pub is_solder_side: bool,
    /// Whether it is asked for; what is not is drawn faintly and without its name.
    pub is_wanted: bool,
    /// Whether it belongs to the step that is asked for.
    pub is_marked: bool,
    /// Whether the place is to stay empty.
    pub is_empty: bool,
    /// Whether its way round could not be checked against a second source.
    pub is_not_checked: bool,
}

/// The outline of a body, seen from above.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) enum Shape {
    /// A circle of this radius.
    Round(f64),
    /// A rectangle, turned so that its length points along `along`.
    Oblong {
        /// Its length.
        length: f64,
        /// Its width.
        width: f64,
        /// A direction of length 1.
        along: Point,
    },
    /// It is not known how it lies: a circle that it fills however it is turned.
    Turned(f64),
    /// Its size is not known.
    Unknown,
}

/// A lead's hole.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Pad {
    /// From the middle of the body.
    pub offset: Point,
    /// What is marked there.
    pub sign: Sign,
}

/// What is marked at a lead's hole.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) enum Sign {
    /// Nothing but the hole.
    Hole,
    /// Plus.
    Plus,
    /// Minus.
    Minus,
    /// The first pin.
    First,
    /// A lead's letter.
    Letter(&'static str),
}

/// Which way round a part belongs.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) enum Way {
    /// Either way, or it is marked.
    Clear,
    /// No source says it.
    NotKnown,
    /// The sources contradict one another.
    Disputed,
}

/// Damage on a board, with the number of its accident.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Damage {
    /// Counted from 1 in the order of the log.
    pub number: usize,
    /// Where it is; none where the log names no place with a position.
    pub at: Option<Point>,
    /// Whether it is repaired and the repair proven.
    pub is_proven: bool,
    /// It in words.
    pub says: String,
}

/// A copy of a board as the map shows it.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct OnBoard {
    /// Width and depth, where they are written.
    pub size: Option<(f64, f64)>,
    /// Named zones that have a rectangle: name, lower left and upper right corner.
    pub zones: Vec<(String, Point, Point)>,
    /// The parts with a position.
    pub placed: Vec<Placed>,
    /// The parts without one, and those of which it lies off the board.
    pub unplaced: Vec<Unplaced>,
    /// Damage.
    pub damage: Vec<Damage>,
}

impl Placed {
    /// Two corners of a square around the body, with this much more on each side.
    fn corners(&self, more: f64) -> [Point; 2] {
        let reach = more
            + match self.body {
                Shape::Round(radius) | Shape::Turned(radius) => radius,
                Shape::Oblong { length, width, .. } => length.max(width) / 2.0,
                Shape::Unknown => 1.5,
            };
        [
            at(self.middle.x - reach, self.middle.y - reach),
            at(self.middle.x + reach, self.middle.y + reach),
        ]
    }
}

impl OnBoard {
    /// Whether anything of it is asked for.
    pub(super) fn is_wanted(&self) -> bool {
        !self.unplaced.is_empty() || self.placed.iter().any(|placed| placed.is_wanted)
    }

    /// The board, y upwards: its size where it is written, else what its parts
    /// cover with a little around them.
    pub(super) fn field(&self) -> Rectangle {
        if let Some((width, depth)) = self.size {
            return Rectangle {
                left: 0.0,
                right: width,
                top: 0.0,
                bottom: depth,
            };
        }
        let reaches = self.placed.iter().flat_map(|placed| placed.corners(3.0));
        Rectangle::holding(&reaches.collect::<Vec<_>>())
    }

    /// The piece of `cut` around the parts of these names.
    pub(super) fn around(&self, names: &[String], cut: Rectangle) -> Rectangle {
        let parts = self
            .placed
            .iter()
            .filter(|placed| names.contains(&placed.name));
        let corners: Vec<Point> = parts.flat_map(|placed| placed.corners(6.0)).collect();
        if corners.is_empty() {
            return cut;
        }
        let around = Rectangle::holding(&corners);
        Rectangle {
            left: around.left.max(cut.left),
            right: around.right.min(cut.right),
            top: around.top.max(cut.top),
            bottom: around.bottom.min(cut.bottom),
        }
    }

    /// Those pieces of the board that say something: on which a part or damage lies
    /// that is not whole on another one.
    pub(super) fn telling(&self, mut pieces: Vec<Rectangle>) -> Vec<Rectangle> {
        let field = self.field();
        // A part with a little around it, for its name.
        let parts = self.placed.iter().map(|placed| {
            let reach = Rectangle::holding(&placed.corners(3.0));
            let on_board = Rectangle {
                left: reach.left.max(field.left),
                right: reach.right.min(field.right),
                top: reach.top.max(field.top),
                bottom: reach.bottom.min(field.bottom),
            };
            (placed.middle, on_board)
        });
        let damage = self.damage.iter().filter_map(|damage| damage.at);
        let damage = damage.map(|point| (point, Rectangle::around(point, 0.0, 0.0)));
        let things: Vec<(Point, Rectangle)> = parts.chain(damage).collect();
        for index in (0..pieces.len()).rev() {
            let is_whole_elsewhere = |whole: &Rectangle| {
                let mut others = pieces.iter().enumerate();
                others.any(|(other, piece)| other != index && piece.holds(whole))
            };
            let says_more = things.iter().any(|(middle, whole)| {
                pieces[index].holds_point(*middle) && !is_whole_elsewhere(whole)
            });
            if !says_more {
                pieces.remove(index);
            }
        }
        pieces
    }
}

/// A part without a position.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Unplaced {
    /// Its coarse zone; empty where none is written.
    pub zone: String,
    /// Its name on the board.
    pub name: String,
    /// The value or type of what belongs there.
    pub value: String,
    /// Which way round it belongs, in words, and where it would lie off its board.
    pub way: String,
    /// Whether its way round could not be checked against a second source.
    pub is_not_checked: bool,
}

/// What is asked of the map, looked up.
pub(super) struct Asked<'s, 'c, 'a> {
    /// The job.
    pub job: &'s CheckedJob<'c, 'a>,
    /// What is wanted.
    pub choice: &'s Choice,
    /// New parts by place.
    pub new: &'s NewParts<'s, 'a>,
    /// The steps whose parts are marked.
    pub steps: &'s [usize],
}

impl<'a> Asked<'_, '_, 'a> {
    /// What the map shows of one copy of a board.
    pub(super) fn on(&self, board: BoardCopy) -> OnBoard {
        let case = self.job.case;
        let facts = &case.board(board.0).facts;
        let marked: Vec<PlaceId> = self
            .steps
            .iter()
            .filter_map(|step| self.job.job.steps.get(*step))
            .flat_map(|step| places_worked_on(case, step))
            .collect();
        let mut shown = OnBoard {
            size: facts
                .point(Property::Size)
                .map(|(width, depth)| (number(width), number(depth)))
                .filter(|(width, depth)| *width > 0.0 && *depth > 0.0),
            zones: zones(case, board),
            placed: Vec::new(),
            unplaced: Vec::new(),
            damage: Vec::new(),
        };
        for part in &case.board(board.0).parts {
            let place = PlaceId {
                part: *part,
                copy: board.1,
            };
            self.add(place, marked.contains(&place), &mut shown);
        }
        self.damage(board, &mut shown);
        shown
    }

    fn add(&self, place: PlaceId, is_marked: bool, shown: &mut OnBoard) {
        let case = self.job.case;
        let part = case.part(place.part);
        let old = case.goes_by(place);
        let new = self.new.get(&place).copied();
        let is_wanted = self.choice.takes_place(case, place)
            && (self.steps.is_empty() || is_marked || !self.choice.is_of_places());
        let is_empty = case.is_unfitted(place) || is_gone(case, place);
        let value = if is_empty {
            String::new()
        } else {
            value(&old, new)
        };
        let way = old
            .kind
            .map_or(WayRound::NoMatter, |kind| WayRound::of(case, place, kind));
        let is_not_checked = !is_empty
            && matches!(
                way,
                WayRound::Known { only: Some(_), .. } | WayRound::NotKnown | WayRound::Disputed(_)
            );
        let written = part.facts.point(Property::At);
        // What lies off its board would be on no sheet of it.
        let is_off = |at| shown.size.is_some() && case.board(part.board).is_off(at);
        let Some((x, y)) = written.filter(|at| !is_off(*at)) else {
            if is_wanted {
                let off = written.map(|(x, y)| format!("off the board, at {x},{y}"));
                shown.unplaced.push(Unplaced {
                    zone: old.word(Property::Zone).unwrap_or_default().to_owned(),
                    name: part.name.clone(),
                    value: if is_empty {
                        "stays empty".into()
                    } else {
                        value
                    },
                    way: {
                        let way = (!is_empty).then(|| way.words().text());
                        let said = way.into_iter().chain(off).filter(|said| !said.is_empty());
                        said.collect::<Vec<_>>().join("; ")
                    },
                    is_not_checked,
                });
            }
            return;
        };
        let lies = lies(case, place, &way);
        shown.placed.push(Placed {
            name: part.name.clone(),
            value,
            middle: at(number(x), number(y)),
            body: body(case, &old, new, lies.along),
            pads: if is_empty { Vec::new() } else { lies.pads },
            way: if is_empty { Way::Clear } else { lies.way },
            is_solder_side: old.get(Property::Side).is_some(),
            is_wanted,
            is_marked: is_marked && !self.steps.is_empty(),
            is_empty,
            is_not_checked,
        });
    }

    fn damage(&self, board: BoardCopy, shown: &mut OnBoard) {
        let case = self.job.case;
        for accident in case.replay.accidents_on(case, board) {
            let place = accident.place();
            let name = place.map(|place| case.part(place.part).name.as_str());
            let placed = shown
                .placed
                .iter()
                .find(|placed| Some(placed.name.as_str()) == name);
            let lead = match accident.point {
                Some(crate::meaning::Point::Pad(pad)) => Some(pad.lead),
                _ => None,
            };
            shown.damage.push(Damage {
                number: accident.number,
                at: placed.map(|placed| damaged_at(placed, lead)),
                is_proven: accident.status() == Status::Proven,
                says: in_words(case, accident),
            });
        }
    }
}

/// The hole that a lead goes in, where it is known; else the middle of the body.
fn damaged_at(placed: &Placed, lead: Option<&str>) -> Point {
    let pad = placed.pads.iter().find(|pad| match (&pad.sign, lead) {
        (Sign::Plus, Some("+")) | (Sign::Minus, Some("-")) | (Sign::First, Some("1")) => true,
        (Sign::Letter(letter), Some(lead)) => *letter == lead,
        _ => false,
    });
    let offset = pad.map_or(at(0.0, 0.0), |pad| pad.offset);
    at(placed.middle.x + offset.x, placed.middle.y + offset.y)
}

/// How a part lies.
struct Lies {
    /// The direction of its length, or of its row of leads.
    along: Option<Point>,
    pads: Vec<Pad>,
    way: Way,
}

fn lies(case: &Case<'_>, place: PlaceId, way: &WayRound) -> Lies {
    let old = case.goes_by(place);
    let pitch = old.millimetres(Property::Pitch).map(number);
    match way {
        WayRound::Known {
            sign,
            direction: Some(direction),
            ..
        } => {
            let along = unit(*direction);
            let half = pitch.unwrap_or_else(|| side_of(&old)) / 2.0;
            let (plus, minus) = if *sign == "+" {
                (Sign::Plus, Sign::Minus)
            } else {
                (Sign::Letter("K"), Sign::Letter("A"))
            };
            let pad = |sign, way: f64| Pad {
                offset: at(along.x * half * way, along.y * half * way),
                sign,
            };
            Lies {
                along: Some(along),
                pads: vec![pad(plus, 1.0), pad(minus, -1.0)],
                way: Way::Clear,
            }
        }
        WayRound::Known { .. } | WayRound::NotKnown => Lies {
            along: None,
            pads: Vec::new(),
            way: Way::NotKnown,
        },
        WayRound::Disputed(_) => Lies {
            along: None,
            pads: Vec::new(),
            way: Way::Disputed,
        },
        WayRound::Leads(_) | WayRound::NoMatter => {
            let lead = case.part(place.part).facts.orientations().next();
            let found =
                lead.and_then(|(lead, direction, _)| leads(case, &old, lead, direction, pitch));
            let matters = !matches!(way, WayRound::NoMatter);
            found.unwrap_or(Lies {
                along: lead.map(|(_, direction, _)| unit(direction)),
                pads: Vec::new(),
                way: if matters { Way::NotKnown } else { Way::Clear },
            })
        }
    }
}

/// Where the pitch is not written, the signs stand at the sides of the body and
/// show no holes.
fn side_of(old: &GoingBy<'_, '_>) -> f64 {
    match old.body() {
        Some(Body::Round { diameter, .. }) => number(diameter) * 0.5,
        Some(Body::Box { length, .. }) => number(length) * 0.6,
        None => 3.0,
    }
}

/// The leads of a part with more than two, or with two that are alike, of which
/// it is known where one lies.
fn leads(
    case: &Case<'_>,
    old: &GoingBy<'_, '_>,
    lead: &str,
    direction: Direction,
    pitch: Option<f64>,
) -> Option<Lies> {
    let device = old
        .word(Property::Device)
        .and_then(|name| case.library.device(name));
    let package = package_of(case, old);
    let length = |property| {
        package
            .and_then(|package| package.facts.millimetres(property))
            .map(number)
    };
    let pitch = pitch.or_else(|| length(Property::Pitch))?;
    if let Some(row) = length(Property::Row) {
        let count: usize = package?.facts.word(Property::Leads)?.parse().ok()?;
        return (lead == "1").then(|| rows(count, pitch, row, direction));
    }
    let kind = old.kind?;
    if kind.row().leads.names().len() == 2 || count_of(kind) == 2 {
        let along = unit(direction);
        let hole = |way: f64| Pad {
            offset: at(along.x * pitch / 2.0 * way, along.y * pitch / 2.0 * way),
            sign: Sign::Hole,
        };
        return Some(Lies {
            along: Some(along),
            pads: vec![hole(1.0), hole(-1.0)],
            way: Way::Clear,
        });
    }
    let order = old
        .word(Property::Leads)
        .or_else(|| device?.facts.word(Property::Leads))?;
    one_row(order, lead, direction, pitch)
}

/// How many leads a kind has whose leads are alike.
fn count_of(kind: Kind) -> usize {
    match kind.token() {
        Token::Resistor
        | Token::Film
        | Token::Ceramic
        | Token::Mica
        | Token::Paper
        | Token::Bipolar
        | Token::MainsCapacitor
        | Token::Inductor
        | Token::Fuse
        | Token::Thermistor
        | Token::Varistor
        | Token::Crystal
        | Token::Lamp => 2,
        _ => 0,
    }
}

/// Leads in one row, of which one end is known.
fn one_row(order: &str, lead: &str, direction: Direction, pitch: f64) -> Option<Lies> {
    let names: Vec<&str> = order.split('-').collect();
    let position = names.iter().position(|name| *name == lead)?;
    let last = names.len().checked_sub(1)?;
    // A lead in the middle of the row says nothing of its ends.
    let way = if position == 0 {
        1.0
    } else if position == last {
        -1.0
    } else {
        return None;
    };
    let along = unit(direction);
    let along = at(along.x * way, along.y * way);
    let middle = last as f64 / 2.0;
    let pads = names
        .iter()
        .enumerate()
        .map(|(index, name)| {
            let step = (middle - index as f64) * pitch;
            Pad {
                offset: at(along.x * step, along.y * step),
                sign: Sign::Letter(letter(name)),
            }
        })
        .collect();
    Some(Lies {
        along: Some(along),
        pads,
        way: Way::Clear,
    })
}

/// The letter that stands for a lead on a map.
fn letter(lead: &str) -> &'static str {
    const LETTERS: &[(&str, &str)] = &[
        ("in", "i"),
        ("common", "c"),
        ("out", "o"),
        ("adjust", "a"),
        ("E", "E"),
        ("B", "B"),
        ("C", "C"),
        ("D", "D"),
        ("G", "G"),
        ("S", "S"),
        ("A", "A"),
        ("K", "K"),
    ];
    LETTERS
        .iter()
        .find(|row| row.0 == lead)
        .map_or("\u{b7}", |row| row.1)
}

/// The pins of a chip in two rows: with the notch up, pin 1 is the upper one on
/// the left, and they are counted against the clock, looking at the component
/// side. Where pin 1 is said to lie at a corner, that corner fixes the notch.
fn rows(count: usize, pitch: f64, row: f64, first: Direction) -> Lies {
    let notch = match first {
        Direction::North | Direction::NorthWest => Direction::North,
        Direction::West | Direction::SouthWest => Direction::West,
        Direction::South | Direction::SouthEast => Direction::South,
        Direction::East | Direction::NorthEast => Direction::East,
    };
    let along = unit(notch);
    // To the left of the notch, looking at it with the notch up.
    let left = at(-along.y, along.x);
    let in_row = count / 2;
    let pads = (0..count)
        .map(|pin| {
            let (from_notch, side) = if pin < in_row {
                (pin, 1.0)
            } else {
                (count - 1 - pin, -1.0)
            };
            let up = ((in_row as f64 - 1.0) / 2.0 - from_notch as f64) * pitch;
            let across = side * row / 2.0;
            Pad {
                offset: at(
                    along.x * up + left.x * across,
                    along.y * up + left.y * across,
                ),
                sign: if pin == 0 { Sign::First } else { Sign::Hole },
            }
        })
        .collect();
    Lies {
        along: Some(along),
        pads,
        way: Way::Clear,
    }
}

/// The body of what belongs in a place: the new part's, else the old one's.
fn body(
    case: &Case<'_>,
    old: &GoingBy<'_, '_>,
    new: Option<&Replacement<'_, '_>>,
    along: Option<Point>,
) -> Shape {
    let facts = new.map(|new| new.new.facts);
    let style = facts
        .and_then(|facts| facts.choice(Property::Style))
        .or_else(|| old.choice(Property::Style))
        .or_else(|| package_of(case, old)?.facts.choice(Property::Style));
    let pitch = old.millimetres(Property::Pitch);
    let Some(body) = facts.and_then(|facts| facts.body()).or_else(|| old.body()) else {
        return by_package(case, old, along);
    };
    let lies = style == Some(Token::Axial);
    match body {
        Body::Round { diameter, length } if lies => oblong(number(length), number(diameter), along),
        Body::Round { .. } => {
            let outline = Outline::of(body, style, pitch);
            Shape::Round(number(outline.least_circle()) / 2.0)
        }
        Body::Box { length, width, .. } => oblong(number(length), number(width), along),
    }
}

fn oblong(length: f64, width: f64, along: Option<Point>) -> Shape {
    match along {
        Some(along) => Shape::Oblong {
            length,
            width,
            along,
        },
        None => Shape::Turned(length.min(width) / 2.0),
    }
}

/// The package that the old part is in, or its type is sold in.
fn package_of<'c, 'a>(case: &'c Case<'a>, old: &GoingBy<'_, '_>) -> Option<&'c Package<'a>> {
    let device = old
        .word(Property::Device)
        .and_then(|name| case.library.device(name));
    let package = old
        .word(Property::Package)
        .or_else(|| device?.facts.word(Property::Package))?;
    case.library.package(package)
}

/// The field of a chip's pins, where its body is not written.
fn by_package(case: &Case<'_>, old: &GoingBy<'_, '_>, along: Option<Point>) -> Shape {
    let field = || {
        let facts = &package_of(case, old)?.facts;
        let pitch = number(facts.millimetres(Property::Pitch)?);
        let row = number(facts.millimetres(Property::Row)?);
        let count: f64 = facts.word(Property::Leads)?.parse().ok()?;
        Some((count / 2.0 * pitch, row))
    };
    match field() {
        Some((length, width)) => oblong(length, width, along),
        None => Shape::Unknown,
    }
}

/// Whether the plan takes the part away for good.
fn is_gone(case: &Case<'_>, place: PlaceId) -> bool {
    let verb = case
        .decision(place)
        .map(|decision| case.plan_line(decision.line).verb);
    matches!(verb, Some(PlanVerb::Remove | PlanVerb::Absent))
        && case.replay.place(place).content != Content::New
}

/// The value or type of what belongs in a place.
fn value(old: &GoingBy<'_, '_>, new: Option<&Replacement<'_, '_>>) -> String {
    if let Some(new) = new {
        let value = new.new.value().map(typeset::quantity);
        let word = |property| new.new.facts.word(property).map(str::to_owned);
        return value
            .or_else(|| word(Property::Device))
            .or_else(|| new.new.name.map(str::to_owned))
            .unwrap_or_default();
    }
    let value = old.quantity(Property::Value).map(typeset::quantity);
    value
        .or_else(|| old.word(Property::Device).map(str::to_owned))
        .unwrap_or_default()
}

fn zones(case: &Case<'_>, board: BoardCopy) -> Vec<(String, Point, Point)> {
    let board = case.board(board.0);
    board
        .zones
        .iter()
        .zip(&board.zone_corners)
        .filter_map(|((name, _), corners)| {
            let [left, lower, right, upper] = (*corners)?.map(number);
            Some(((*name).to_owned(), at(left, lower), at(right, upper)))
        })
        .collect()
}

/// What happened and what was done about it.
fn in_words(case: &Case<'_>, accident: &AccidentRecord<'_>) -> String {
    let happened = accident
        .accident
        .map_or("damaged", |accident| accident.row().words);
    let place = accident.place().map(|place| case.name_of(place));
    let lead = match accident.point {
        Some(crate::meaning::Point::Pad(pad)) => format!(".{}", pad.lead),
        _ => String::new(),
    };
    let mended = accident
        .mended
        .and_then(|mended| mended.how)
        .map_or("repaired", |how| how.row().words);
    let status = match accident.status() {
        Status::Open => "open".to_owned(),
        Status::Repaired => format!("{mended}, not proven"),
        Status::Proven => format!("{mended}, proven"),
    };
    match place {
        Some(place) => format!("{place}{lead} {happened}: {status}"),
        None => format!("{happened}: {status}"),
    }
}

/// A direction of length 1, y upwards.
fn unit(direction: Direction) -> Point {
    const HALF: f64 = std::f64::consts::FRAC_1_SQRT_2;
    match direction {
        Direction::North => at(0.0, 1.0),
        Direction::NorthEast => at(HALF, HALF),
        Direction::East => at(1.0, 0.0),
        Direction::SouthEast => at(HALF, -HALF),
        Direction::South => at(0.0, -1.0),
        Direction::SouthWest => at(-HALF, -HALF),
        Direction::West => at(-1.0, 0.0),
        Direction::NorthWest => at(-HALF, HALF),
    }
}

/// A length as it is drawn.
fn number(decimal: Decimal) -> f64 {
    decimal.to_f64().unwrap_or_default()
}
