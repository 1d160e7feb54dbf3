//! The signs on a map and the legend that explains them. All are black on white
//! and told apart by their form.

use super::geometry::{Area, Rectangle, at};
use crate::sheets::drawing::{Anchor, Drawing, Fill, Look, Point, Shape};
use crate::sheets::width::{CAPITAL, width};

/// Which signs are on a map, so that its legend explains no other.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug)]
pub(super) struct Signs {
    pub polar: bool,
    pub first: bool,
    pub letters: bool,
    pub not_known: bool,
    pub disputed: bool,
    pub not_checked: bool,
    pub vague: bool,
    pub empty: bool,
    pub behind: bool,
    pub faint: bool,
    pub marked: bool,
    pub damage: bool,
}

impl Signs {
    /// The signs of both.
    pub(super) fn with(self, other: Signs) -> Signs {
        Signs {
            polar: self.polar | other.polar,
            first: self.first | other.first,
            letters: self.letters | other.letters,
            not_known: self.not_known | other.not_known,
            disputed: self.disputed | other.disputed,
            not_checked: self.not_checked | other.not_checked,
            vague: self.vague | other.vague,
            empty: self.empty | other.empty,
            behind: self.behind | other.behind,
            faint: self.faint | other.faint,
            marked: self.marked | other.marked,
            damage: self.damage | other.damage,
        }
    }
}

/// Puts the texts above all else, where none lies under a shape: what is drawn in
/// two layers is set faster than what alternates.
pub(super) fn texts_last(shapes: &mut [Shape]) {
    shapes.sort_by_key(|shape| matches!(shape, Shape::Text { .. }));
}

/// A line of text from a point of its base line.
pub(super) fn text(at: Point, size: f64, is_strong: bool, text: &str) -> Shape {
    Shape::Text {
        at,
        size,
        anchor: Anchor::Start,
        is_strong,
        is_upright: false,
        text: text.to_owned(),
    }
}

/// A black disc with a white plus in it.
pub(super) fn plus(middle: Point, radius: f64, shapes: &mut Vec<Shape>) -> Area {
    shapes.push(Shape::Circle {
        middle,
        radius,
        look: Look::filled(0.0),
    });
    bar(middle, radius, true, 1.0, shapes);
    bar(middle, radius, false, 1.0, shapes);
    Area::Disc { middle, radius }
}

/// A white disc with a black minus in it.
pub(super) fn minus(middle: Point, radius: f64, shapes: &mut Vec<Shape>) -> Area {
    shapes.push(Shape::Circle {
        middle,
        radius: radius - 0.1,
        look: Look {
            line: Some(0.2),
            is_dashed: false,
            fill: Fill::Grey(1.0),
        },
    });
    bar(middle, radius, false, 0.0, shapes);
    Area::Disc { middle, radius }
}

fn bar(middle: Point, radius: f64, is_upright: bool, grey: f64, shapes: &mut Vec<Shape>) {
    let (long, short) = (radius * 1.3, radius * 0.38);
    let (width, height) = if is_upright {
        (short, long)
    } else {
        (long, short)
    };
    shapes.push(Shape::Rectangle {
        corner: at(middle.x - width / 2.0, middle.y - height / 2.0),
        width,
        height,
        radius: 0.0,
        look: Look::filled(grey),
    });
}

/// A letter in a ring.
pub(super) fn letter(name: &str, middle: Point, radius: f64, shapes: &mut Vec<Shape>) -> Area {
    shapes.push(Shape::Circle {
        middle,
        radius,
        look: Look {
            line: Some(0.2),
            is_dashed: false,
            fill: Fill::Grey(1.0),
        },
    });
    let size = radius * 1.75;
    shapes.push(text(
        at(
            middle.x - width(name, true, size) / 2.0,
            middle.y + CAPITAL * size / 2.0,
        ),
        size,
        true,
        name,
    ));
    Area::Disc { middle, radius }
}

/// A lozenge with the number of an accident, and a line to where it happened.
pub(super) fn damage(
    number: usize,
    is_proven: bool,
    stands: Point,
    point: Point,
    shapes: &mut Vec<Shape>,
) -> Area {
    let lozenge = |reach: f64, look: Look| Shape::Path {
        points: vec![
            at(stands.x, stands.y - reach),
            at(stands.x + reach, stands.y),
            at(stands.x, stands.y + reach),
            at(stands.x - reach, stands.y),
        ],
        closed: true,
        look,
    };
    let filled = |line| Look {
        line: Some(line),
        is_dashed: false,
        fill: Fill::Grey(1.0),
    };
    shapes.push(Shape::Path {
        points: vec![point, stands],
        closed: false,
        look: Look::line(0.3),
    });
    if is_proven {
        shapes.push(lozenge(2.1, filled(0.2)));
    } else {
        shapes.push(lozenge(2.6, filled(0.3)));
        shapes.push(lozenge(2.0, filled(0.3)));
    }
    let number = number.to_string();
    let size = 2.2;
    shapes.push(text(
        at(
            stands.x - width(&number, true, size) / 2.0,
            stands.y + CAPITAL * size / 2.0,
        ),
        size,
        true,
        &number,
    ));
    Area::Rectangle(Rectangle::around(stands, 5.4, 5.4))
}

/// A cross in a circle, by which two sheets are laid together.
pub(super) fn cross_hair(middle: Point, shapes: &mut Vec<Shape>) {
    shapes.push(Shape::Circle {
        middle,
        radius: 1.6,
        look: Look::line(0.12),
    });
    for (x, y) in [(3.0, 0.0), (0.0, 3.0)] {
        shapes.push(Shape::Path {
            points: vec![
                at(middle.x - x, middle.y - y),
                at(middle.x + x, middle.y + y),
            ],
            closed: false,
            look: Look::line(0.12),
        });
    }
}

/// The length of the rule, in millimetres.
const RULE: f64 = 50.0;

/// A rule of 50 mm that begins at a point, and what it proves, in the room to
/// the right of it or below.
pub(super) fn rule(from: Point, room: f64, shapes: &mut Vec<Shape>) {
    shapes.push(Shape::Path {
        points: vec![from, at(from.x + RULE, from.y)],
        closed: false,
        look: Look::line(0.2),
    });
    for step in 0..=5 {
        let x = from.x + f64::from(step) * RULE / 5.0;
        let height = if step == 0 || step == 5 { 2.2 } else { 1.2 };
        shapes.push(Shape::Path {
            points: vec![at(x, from.y - height), at(x, from.y)],
            closed: false,
            look: Look::line(0.2),
        });
    }
    let size = 2.4;
    let says = "50\u{a0}mm when printed at 100\u{a0}%";
    let point = if room > RULE + 3.0 + width(says, false, size) {
        at(from.x + RULE + 2.0, from.y)
    } else {
        at(from.x, from.y + 3.4)
    };
    shapes.push(text(point, size, false, says));
}

/// Draws one sign of the legend around a point.
type DrawSign = fn(Point, &mut Vec<Shape>);

/// The legend: every sign that is on the map, with what it means. None where
/// there is nothing to explain.
pub(super) fn legend(signs: Signs, wide: f64, is_big: bool) -> Option<Drawing> {
    let rows: Vec<(DrawSign, &str)> = ROWS
        .iter()
        .filter(|row| (row.0)(&signs))
        .map(|row| (row.1, row.2))
        .collect();
    if rows.is_empty() {
        return None;
    }
    let size = if is_big { 5.6 } else { 3.0 };
    let step = (size * 1.5_f64).max(6.4);
    let mut shapes = Vec::new();
    let mut y = 0.0;
    for (sign, says) in &rows {
        sign(at(4.0, y + step / 2.0), &mut shapes);
        for line in wrapped(says, wide - 10.0, size) {
            shapes.push(text(
                at(9.0, y + step / 2.0 + CAPITAL * size / 2.0),
                size,
                false,
                &line,
            ));
            y += step;
        }
    }
    texts_last(&mut shapes);
    let says: Vec<&str> = rows.iter().map(|row| row.1).collect();
    Some(Drawing {
        width: wide,
        height: y,
        shapes,
        says: format!("signs: {}", says.join("; ")),
    })
}

fn wrapped(says: &str, room: f64, size: f64) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in says.split(' ') {
        let Some(line) = lines.last_mut() else { break };
        let longer = if line.is_empty() {
            word.to_owned()
        } else {
            format!("{line} {word}")
        };
        if width(&longer, false, size) > room && !line.is_empty() {
            lines.push(word.to_owned());
        } else {
            *line = longer;
        }
    }
    lines
}

/// Whether a sign stands on the map.
type IsShown = fn(&Signs) -> bool;

const ROWS: &[(IsShown, DrawSign, &str)] = &[
    (
        |signs| signs.polar,
        |at_, shapes| {
            plus(at_, 1.1, shapes);
        },
        "plus goes in here",
    ),
    (
        |signs| signs.polar,
        |at_, shapes| {
            minus(at_, 1.1, shapes);
        },
        "minus goes in here",
    ),
    (
        |signs| signs.first,
        |at_, shapes| {
            shapes.push(Shape::Rectangle {
                corner: at(at_.x - 0.65, at_.y - 0.65),
                width: 1.3,
                height: 1.3,
                radius: 0.0,
                look: Look::filled(0.0),
            })
        },
        "pin 1",
    ),
    (
        |signs| signs.letters,
        |at_, shapes| {
            letter("K", at_, 1.05, shapes);
        },
        "the lead of this name; i, c, o and a are in, common, out and adjust",
    ),
    (
        |signs| signs.not_known,
        |at_, shapes| shapes.push(text(at(at_.x - 0.8, at_.y + 1.0), 2.75, true, "?")),
        "not written down on which side plus or the cathode lies: find out before anything goes in",
    ),
    (
        |signs| signs.disputed,
        |at_, shapes| shapes.push(text(at(at_.x - 1.4, at_.y + 1.0), 2.75, true, "?!")),
        "in dispute which way round: settle it before anything goes in",
    ),
    (
        |signs| signs.not_checked,
        |at_, shapes| {
            letter("?", at_, 1.0, shapes);
        },
        "way round not checked: no second source confirms it",
    ),
    (
        |signs| signs.marked,
        |at_, shapes| {
            shapes.push(Shape::Circle {
                middle: at_,
                radius: 2.2,
                look: Look::line(0.9),
            })
        },
        "belongs to the step that was asked for",
    ),
    (
        |signs| signs.behind,
        |at_, shapes| {
            shapes.push(Shape::Circle {
                middle: at_,
                radius: 2.2,
                look: Look::dashes(0.25),
            })
        },
        "sits on the other side",
    ),
    (
        |signs| signs.empty,
        |at_, shapes| {
            shapes.push(Shape::Circle {
                middle: at_,
                radius: 2.2,
                look: Look::line(0.25),
            });
            for way in [1.0, -1.0] {
                shapes.push(Shape::Path {
                    points: vec![
                        at(at_.x - 1.55, at_.y - 1.55 * way),
                        at(at_.x + 1.55, at_.y + 1.55 * way),
                    ],
                    closed: false,
                    look: Look::line(0.15),
                });
            }
        },
        "stays empty",
    ),
    (
        |signs| signs.vague,
        |at_, shapes| {
            shapes.push(Shape::Circle {
                middle: at_,
                radius: 1.5,
                look: Look::line(0.25),
            });
            shapes.push(Shape::Circle {
                middle: at_,
                radius: 0.3,
                look: Look::filled(0.0),
            });
        },
        "not known how large it is, or how it lies",
    ),
    (
        |signs| signs.faint,
        |at_, shapes| {
            shapes.push(Shape::Circle {
                middle: at_,
                radius: 2.2,
                look: Look::line(0.1),
            })
        },
        "not asked for",
    ),
    (
        |signs| signs.damage,
        |at_, shapes| {
            damage(1, true, at_, at_, shapes);
        },
        "damage, by its number in the list; repaired, and the repair proven",
    ),
    (
        |signs| signs.damage,
        |at_, shapes| {
            damage(1, false, at_, at_, shapes);
        },
        "damage that is not repaired, or its repair not proven",
    ),
];
