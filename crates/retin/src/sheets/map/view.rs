//! One view of a board: a side, a scale and a cut-out of it, as a drawing.

use super::geometry::{Area, Rectangle, at, distance};
use super::labels::{Ground, Label, REACH, Stands, Wants, place};
use super::places::{Damage, OnBoard, Pad, Placed, Shape as Body, Sign, Way};
use super::signs::{Signs, cross_hair, damage, letter, minus, plus, rule, text, texts_last};
use crate::sheets::drawing::{Drawing, Look, Point, Shape};
use crate::sheets::page::Extent;
use crate::sheets::width::{ASCENT, CAPITAL, DESCENT, width};

/// Room for the rule below a board, in millimetres.
pub(super) const RULE: f64 = 11.0;

/// The widest column of labels at the edge.
const COLUMN: f64 = 42.0;

/// How a board is looked at.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Looked {
    /// Whether from the solder side, mirrored.
    pub is_solder_side: bool,
    /// How many millimetres on paper one is on the board.
    pub scale: f64,
    /// The part of the board that is shown, in its own millimetres, y upwards.
    pub cut: Rectangle,
    /// Whether the cut is one of several, with marks to lay them together.
    pub is_tile: bool,
    /// The size of the letters, in millimetres.
    pub letters: f64,
    /// Whether names may lie over the outlines of bodies, where these overlap.
    pub may_lie_over: bool,
}

/// A view that was drawn.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct View {
    /// The drawing.
    pub drawing: Drawing,
    /// The labels, in the order of the parts.
    pub labels: Vec<Label>,
    /// Names of the parts that found room for their label.
    pub names: Vec<String>,
    /// Names of parts on it that found none.
    pub unnamed: Vec<String>,
    /// Which signs are on it.
    pub signs: Signs,
}

/// Draws a view, no larger than `room`: with room around the board only where a name
/// stands there.
pub(super) fn view(board: &OnBoard, look: Looked, room: Extent, says: &str) -> View {
    let side = room.width - look.cut.width() * look.scale;
    let margin = (side / 2.0).clamp(1.0, COLUMN + REACH);
    let spare = room.height - RULE - look.cut.height() * look.scale;
    let over = (spare / 2.0).clamp(1.0, REACH + 3.0 * look.letters);
    let bare = draw(board, look, margin.min(1.0), 1.0, says);
    if bare.unnamed.is_empty() {
        return bare;
    }
    let around = draw(board, look, margin, over, says);
    let mut labels = around.labels.iter();
    if labels.any(|label| label.stands == Stands::CalledOut) {
        around
    } else {
        bare
    }
}

/// From the board's millimetres to the paper's.
#[derive(Clone, Copy)]
struct Frame {
    look: Looked,
    left: f64,
    top: f64,
}

impl Frame {
    fn at(&self, point: Point) -> Point {
        let (cut, scale) = (self.look.cut, self.look.scale);
        let x = if self.look.is_solder_side {
            cut.right - point.x
        } else {
            point.x - cut.left
        };
        at(
            self.left + x * scale,
            self.top + (cut.bottom - point.y) * scale,
        )
    }

    /// A direction or distance.
    fn along(&self, point: Point) -> Point {
        let x = if self.look.is_solder_side {
            -point.x
        } else {
            point.x
        };
        at(x * self.look.scale, -point.y * self.look.scale)
    }
}

fn draw(board: &OnBoard, look: Looked, margin: f64, over: f64, says: &str) -> View {
    let (board_width, board_height) = (
        look.cut.width() * look.scale,
        look.cut.height() * look.scale,
    );
    let width_of_all = (board_width + 2.0 * margin).max(2.0 * margin + 52.0);
    let frame = Frame {
        look,
        left: margin,
        top: over,
    };
    let height_of_map = board_height + 2.0 * over;
    let on_paper = Rectangle {
        left: margin,
        top: over,
        right: margin + board_width,
        bottom: over + board_height,
    };
    let whole = Rectangle {
        left: 0.0,
        top: 0.0,
        right: width_of_all,
        bottom: height_of_map,
    };
    let mut signs = Signs::default();
    let mut shapes = vec![Shape::Rectangle {
        corner: at(on_paper.left, on_paper.top),
        width: board_width,
        height: board_height,
        radius: 0.0,
        look: if board.size.is_some() && look.cut == board.field() {
            Look::line(0.5)
        } else {
            Look::dashes(0.25)
        },
    }];
    let mut taken = zones(board, &frame, &on_paper, &mut shapes);
    let shown: Vec<&Placed> = board
        .placed
        .iter()
        .filter(|placed| is_shown(placed, &look.cut))
        .collect();
    let bodies: Vec<Outline> = shown.iter().map(|placed| outline(placed, &frame)).collect();
    for (placed, body) in shown.iter().zip(&bodies) {
        body_shapes(placed, body, &look, &mut shapes, &mut signs);
    }
    let mut marks: Vec<Shape> = Vec::new();
    let mut wants: Vec<Wants> = Vec::with_capacity(shown.len());
    for (placed, body) in shown.iter().zip(&bodies) {
        let areas = if placed.is_wanted {
            mark(placed, body, &frame, &mut marks, &mut signs)
        } else {
            Vec::new()
        };
        wants.push(Wants {
            name: placed.name.clone(),
            value: placed.value.clone(),
            body: body.area,
            marks: areas,
            is_named: placed.is_wanted,
        });
    }
    let mut in_the_way: Vec<Area> = wants.iter().flat_map(|want| want.marks.clone()).collect();
    in_the_way.extend(taken.iter().copied());
    for damaged in &board.damage {
        let stands = damage_at(
            damaged,
            &shown,
            &bodies,
            &frame,
            (&on_paper, &in_the_way),
            &mut marks,
        );
        in_the_way.extend(stands.iter().copied());
        taken.extend(stands);
        signs.damage |= damaged.at.is_some();
    }
    if look.is_tile {
        for point in corners(&on_paper) {
            cross_hair(point, &mut marks);
            taken.push(Area::Disc {
                middle: point,
                radius: 3.2,
            });
        }
    }
    let ground = Ground {
        whole,
        board: on_paper,
        taken,
        size: look.letters,
        may_lie_over: look.may_lie_over,
    };
    let (labels, left) = place(&wants, &ground);
    for (from, to) in labels.iter().filter_map(|label| label.leader) {
        shapes.push(Shape::Path {
            points: vec![from, to],
            closed: false,
            look: Look::line(0.12),
        });
        shapes.push(Shape::Circle {
            middle: to,
            radius: 0.35,
            look: Look::filled(0.0),
        });
    }
    // The outlines end where a name lies over them.
    let over = labels.iter().filter(|label| label.stands == Stands::Over);
    shapes.extend(over.map(|label| Shape::Rectangle {
        corner: at(label.room.left, label.room.top),
        width: label.room.width(),
        height: label.room.height(),
        radius: 0.0,
        look: Look::filled(1.0),
    }));
    shapes.extend(marks);
    for line in labels.iter().flat_map(|label| &label.lines) {
        shapes.push(Shape::Text {
            at: line.at,
            size: look.letters,
            anchor: crate::sheets::drawing::Anchor::Start,
            is_strong: line.is_strong,
            is_upright: line.is_upright,
            text: line.text.clone(),
        });
    }
    rule(
        at(margin, height_of_map + 6.0),
        width_of_all - margin,
        &mut shapes,
    );
    texts_last(&mut shapes);
    View {
        drawing: Drawing {
            width: width_of_all,
            height: height_of_map + RULE,
            shapes,
            says: says.to_owned(),
        },
        names: labels
            .iter()
            .map(|label| wants[label.of].name.clone())
            .collect(),
        labels,
        unnamed: left.iter().map(|of| shown[*of].name.clone()).collect(),
        signs,
    }
}

/// A part is shown where its middle lies in the cut.
fn is_shown(placed: &Placed, cut: &Rectangle) -> bool {
    cut.grown(1e-6).holds_point(placed.middle)
}

fn corners(on_paper: &Rectangle) -> [Point; 4] {
    let inner = on_paper.grown(-5.0);
    [
        at(inner.left, inner.top),
        at(inner.right, inner.top),
        at(inner.left, inner.bottom),
        at(inner.right, inner.bottom),
    ]
}

/// Draws the zones, and says where their names stand.
fn zones(
    board: &OnBoard,
    frame: &Frame,
    on_paper: &Rectangle,
    shapes: &mut Vec<Shape>,
) -> Vec<Area> {
    let mut taken = Vec::new();
    for (name, from, to) in &board.zones {
        let zone = Rectangle::holding(&[frame.at(*from), frame.at(*to)]);
        let zone = Rectangle {
            left: zone.left.max(on_paper.left),
            top: zone.top.max(on_paper.top),
            right: zone.right.min(on_paper.right),
            bottom: zone.bottom.min(on_paper.bottom),
        };
        if zone.width() < 4.0 || zone.height() < 4.0 {
            continue;
        }
        shapes.push(Shape::Rectangle {
            corner: at(zone.left, zone.top),
            width: zone.width(),
            height: zone.height(),
            radius: 0.0,
            look: Look::dashes(0.12),
        });
        for (left, right, top, bottom) in [
            (zone.left, zone.left, zone.top, zone.bottom),
            (zone.right, zone.right, zone.top, zone.bottom),
            (zone.left, zone.right, zone.top, zone.top),
            (zone.left, zone.right, zone.bottom, zone.bottom),
        ] {
            let line = Rectangle {
                left,
                right,
                top,
                bottom,
            };
            taken.push(Area::Rectangle(line.grown(0.1)));
        }
        let name = format!("zone {name}");
        let size = 2.75;
        let at_corner = at(zone.left + 0.8, zone.bottom - 0.9);
        taken.push(Area::Rectangle(Rectangle {
            left: at_corner.x,
            right: at_corner.x + width(&name, false, size),
            top: at_corner.y - ASCENT * size,
            bottom: at_corner.y + DESCENT * size,
        }));
        shapes.push(text(at_corner, size, false, &name));
    }
    taken
}

/// A body on paper.
struct Outline {
    area: Area,
    /// The corners, of an oblong body.
    points: Vec<Point>,
    middle: Point,
    /// The radius, of a round one.
    radius: f64,
}

/// The radius that stands for a body whose size is not known, in millimetres on
/// paper. It is no size: its sign in the legend says so.
const NO_SIZE: f64 = 1.5;

fn outline(placed: &Placed, frame: &Frame) -> Outline {
    let middle = frame.at(placed.middle);
    let scale = frame.look.scale;
    match placed.body {
        Body::Oblong {
            length,
            width,
            along,
        } => {
            let along = frame.along(along);
            let across = at(-along.y, along.x);
            let points: Vec<Point> = [(1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)]
                .into_iter()
                .map(|(one, other)| {
                    at(
                        middle.x + along.x * length / 2.0 * one + across.x * width / 2.0 * other,
                        middle.y + along.y * length / 2.0 * one + across.y * width / 2.0 * other,
                    )
                })
                .collect();
            Outline {
                area: Area::Rectangle(Rectangle::holding(&points)),
                points,
                middle,
                radius: width.min(length) / 2.0 * scale,
            }
        }
        Body::Round(radius) | Body::Turned(radius) => disc(middle, radius * scale),
        Body::Unknown => disc(middle, NO_SIZE),
    }
}

fn disc(middle: Point, radius: f64) -> Outline {
    Outline {
        area: Area::Disc { middle, radius },
        points: Vec::new(),
        middle,
        radius,
    }
}

fn body_shapes(
    placed: &Placed,
    body: &Outline,
    look: &Looked,
    shapes: &mut Vec<Shape>,
    signs: &mut Signs,
) {
    let line = if placed.is_marked {
        0.9
    } else if placed.is_wanted {
        0.25
    } else {
        0.1
    };
    signs.marked |= placed.is_marked;
    signs.faint |= !placed.is_wanted;
    let is_behind = placed.is_solder_side != look.is_solder_side;
    signs.behind |= is_behind;
    let outline = if is_behind {
        Look::dashes(line)
    } else {
        Look::line(line)
    };
    let edge = if body.points.is_empty() {
        Shape::Circle {
            middle: body.middle,
            radius: body.radius,
            look: outline,
        }
    } else {
        Shape::Path {
            points: body.points.clone(),
            closed: true,
            look: outline,
        }
    };
    shapes.push(edge);
    if matches!(placed.body, Body::Turned(_) | Body::Unknown) {
        signs.vague = true;
        // A question mark stands in its place.
        if placed.way == Way::Clear || !placed.is_wanted {
            shapes.push(Shape::Circle {
                middle: body.middle,
                radius: 0.3,
                look: Look::filled(0.0),
            });
        }
    }
    if placed.is_empty {
        signs.empty = true;
        let reach = body.radius * std::f64::consts::FRAC_1_SQRT_2;
        for way in [1.0, -1.0] {
            shapes.push(Shape::Path {
                points: vec![
                    at(body.middle.x - reach, body.middle.y - reach * way),
                    at(body.middle.x + reach, body.middle.y + reach * way),
                ],
                closed: false,
                look: Look::line(0.15),
            });
        }
    }
}

/// Draws the marks of a part and says where they are.
fn mark(
    placed: &Placed,
    body: &Outline,
    frame: &Frame,
    shapes: &mut Vec<Shape>,
    signs: &mut Signs,
) -> Vec<Area> {
    let mut areas = Vec::new();
    let spread = placed
        .pads
        .windows(2)
        .map(|pair| distance(pair[0].offset, pair[1].offset))
        .fold(f64::INFINITY, f64::min)
        * frame.look.scale;
    let row = match placed.pads.as_slice() {
        [first, .., last] => frame.along(at(
            last.offset.x - first.offset.x,
            last.offset.y - first.offset.y,
        )),
        _ => at(1.0, 0.0),
    };
    for pad in &placed.pads {
        let offset = frame.along(pad.offset);
        let point = at(body.middle.x + offset.x, body.middle.y + offset.y);
        areas.push(pad_mark(pad, point, (spread, row), body, shapes, signs));
    }
    if placed.pads.len() == 2 && placed.pads[0].sign == Sign::Letter("K") {
        cathode_bar(placed, body, frame, shapes);
    }
    if placed.is_empty {
        areas.push(Area::Disc {
            middle: body.middle,
            radius: body.radius * 0.7,
        });
    }
    let question = match placed.way {
        Way::Clear => None,
        Way::NotKnown => Some("?"),
        Way::Disputed => Some("?!"),
    };
    if let Some(question) = question {
        signs.not_known |= placed.way == Way::NotKnown;
        signs.disputed |= placed.way == Way::Disputed;
        let size = 2.75;
        let wide = width(question, true, size);
        let room = Rectangle::around(body.middle, wide, CAPITAL * size);
        shapes.push(text(at(room.left, room.bottom), size, true, question));
        areas.push(Area::Rectangle(room));
    } else if placed.is_not_checked {
        signs.not_checked = true;
        let reach = body.radius.max(1.8) * std::f64::consts::FRAC_1_SQRT_2;
        let point = at(body.middle.x + reach, body.middle.y - reach);
        areas.push(letter("?", point, 1.0, shapes));
    }
    areas
}

fn pad_mark(
    pad: &Pad,
    point: Point,
    (spread, row): (f64, Point),
    body: &Outline,
    shapes: &mut Vec<Shape>,
    signs: &mut Signs,
) -> Area {
    let radius = (spread * 0.42).clamp(0.7, 1.25);
    match pad.sign {
        Sign::Plus => {
            signs.polar = true;
            plus(point, radius, shapes)
        }
        Sign::Minus => minus(point, radius, shapes),
        Sign::Hole => hole(point, shapes),
        Sign::First => {
            signs.first = true;
            let side = 1.3;
            let room = Rectangle::around(point, side, side);
            shapes.push(Shape::Rectangle {
                corner: at(room.left, room.top),
                width: side,
                height: side,
                radius: 0.0,
                look: Look::filled(0.0),
            });
            Area::Rectangle(room)
        }
        Sign::Letter(name) => {
            signs.letters = true;
            if spread >= 2.3 {
                return letter(name, point, 1.05, shapes);
            }
            // Too close for a ring each: the letters stand beside the row, farther
            // apart than the holes, each at the end of a line to its own.
            hole(point, shapes);
            let size = 1.9;
            let stretched = 2.1 / spread.max(0.1);
            let (dx, dy) = (point.x - body.middle.x, point.y - body.middle.y);
            let is_upright_row = row.y.abs() > row.x.abs();
            let aside = if is_upright_row {
                at(-2.4, 0.0)
            } else {
                at(0.0, -2.4)
            };
            let stands = at(
                body.middle.x + dx * stretched + aside.x,
                body.middle.y + dy * stretched + aside.y,
            );
            shapes.push(Shape::Path {
                points: vec![
                    point,
                    at(stands.x - aside.x * 0.35, stands.y - aside.y * 0.35),
                ],
                closed: false,
                look: Look::line(0.12),
            });
            let wide = width(name, true, size);
            let base = stands.y + CAPITAL * size / 2.0;
            shapes.push(text(at(stands.x - wide / 2.0, base), size, true, name));
            Area::Rectangle(Rectangle::holding(&[
                at(stands.x - wide / 2.0, base - CAPITAL * size),
                at(stands.x + wide / 2.0, base),
                at(point.x - 0.4, point.y - 0.4),
                at(point.x + 0.4, point.y + 0.4),
            ]))
        }
    }
}

fn hole(point: Point, shapes: &mut Vec<Shape>) -> Area {
    shapes.push(Shape::Circle {
        middle: point,
        radius: 0.4,
        look: Look::line(0.2),
    });
    Area::Disc {
        middle: point,
        radius: 0.5,
    }
}

/// The bar across a diode at its cathode.
fn cathode_bar(placed: &Placed, body: &Outline, frame: &Frame, shapes: &mut Vec<Shape>) {
    let Body::Oblong {
        length,
        width,
        along,
    } = placed.body
    else {
        return;
    };
    let along = frame.along(along);
    let (out, across) = (length * 0.3, width / 2.0);
    let middle = at(body.middle.x + along.x * out, body.middle.y + along.y * out);
    shapes.push(Shape::Path {
        points: vec![
            at(middle.x - along.y * across, middle.y + along.x * across),
            at(middle.x + along.y * across, middle.y - along.x * across),
        ],
        closed: false,
        look: Look::line(0.6),
    });
}

/// Directions around a part, the lower left first.
const AROUND: [Point; 8] = {
    const HALF: f64 = std::f64::consts::FRAC_1_SQRT_2;
    [
        Point { x: -HALF, y: HALF },
        Point { x: -1.0, y: 0.0 },
        Point { x: 0.0, y: 1.0 },
        Point { x: -HALF, y: -HALF },
        Point { x: HALF, y: HALF },
        Point { x: 0.0, y: -1.0 },
        Point { x: 1.0, y: 0.0 },
        Point { x: HALF, y: -HALF },
    ]
};

/// Draws damage beside the place that it struck, and says where it stands.
fn damage_at(
    damaged: &Damage,
    shown: &[&Placed],
    bodies: &[Outline],
    frame: &Frame,
    (on_paper, taken): (&Rectangle, &[Area]),
    shapes: &mut Vec<Shape>,
) -> Vec<Area> {
    let Some(point) = damaged.at.map(|point| frame.at(point)) else {
        return Vec::new();
    };
    if !on_paper.holds_point(point) {
        return Vec::new();
    }
    let struck = shown.iter().zip(bodies).find(|(placed, body)| {
        let near = body.radius.max(body.area.bounds().width() / 2.0);
        distance(body.middle, point) <= near + 0.1 && placed.is_wanted
    });
    let (middle, radius) = struck.map_or((point, 0.0), |(_, body)| (body.middle, body.radius));
    let (dx, dy) = (point.x - middle.x, point.y - middle.y);
    // Outwards from the part where that is free, else around it, else farther off.
    let mut ways = AROUND.to_vec();
    if dx.hypot(dy) > 0.05 {
        let nearness = |way: &Point| way.x * dx + way.y * dy;
        ways.sort_by(|one, other| nearness(other).total_cmp(&nearness(one)));
    }
    let around = [2.8, 5.5, 9.0].into_iter().flat_map(|reach| {
        ways.iter().map(move |way| {
            at(
                middle.x + way.x * (radius + reach),
                middle.y + way.y * (radius + reach),
            )
        })
    });
    let is_free = |stands: &Point| {
        let room = Rectangle::around(*stands, 5.4, 5.4);
        on_paper.holds(&room)
            && !bodies.iter().any(|body| body.area.meets(&room))
            && !taken.iter().any(|area| area.meets(&room))
    };
    let stands = around
        .clone()
        .find(is_free)
        .or_else(|| around.clone().next())
        .unwrap_or(point);
    vec![damage(
        damaged.number,
        damaged.is_proven,
        stands,
        point,
        shapes,
    )]
}
