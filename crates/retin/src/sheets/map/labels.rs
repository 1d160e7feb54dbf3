//! Where the name and the value of each part stand: in its body where they fit,
//! else beside it, else at the edge of the map with a line to the part.
//!
//! Nothing here knows boards: parts are areas on a page. The same parts give the
//! same places.

use super::geometry::{Area, Rectangle, at, crosses, distance};
use crate::sheets::drawing::Point;
use crate::sheets::width::{ASCENT, DESCENT, width};

/// From one base line to the next, in parts of the size.
const LEADING: f64 = 1.12;

/// Kept free around a label, in millimetres.
const AIR: f64 = 0.35;

/// Kept free between two labels on one line, in parts of the size: about a sign, more
/// than between a name and its value, or they read as one.
pub(super) const APART: f64 = 0.65;

/// Between a body and the label beside it.
const GAP: f64 = 0.5;

/// Between the label beside a body and every other body: nobody must wonder whose
/// it is.
const CLEAR: f64 = 1.3;

/// What wants a label.
#[derive(Clone, PartialEq, Debug)]
pub struct Wants {
    /// Its name.
    pub name: String,
    /// Its value; empty where there is none.
    pub value: String,
    /// The body.
    pub body: Area,
    /// Its marks, and what else no label may cover.
    pub marks: Vec<Area>,
    /// Whether it wants a label at all, or is only in the way.
    pub is_named: bool,
}

/// The page the labels stand on.
#[derive(Clone, PartialEq, Debug)]
pub struct Ground {
    /// The whole drawing.
    pub whole: Rectangle,
    /// The board: labels beside a part stand on it, those at the edge around it.
    pub board: Rectangle,
    /// What else no label may cover.
    pub taken: Vec<Area>,
    /// The size of the font, in millimetres.
    pub size: f64,
    /// Whether a label that finds no other place may lie in its body over the
    /// outlines of others, where bodies overlap.
    pub may_lie_over: bool,
}

/// Where a label stands.
#[derive(Clone, PartialEq, Debug)]
pub struct Label {
    /// Which of those that wanted one.
    pub of: usize,
    /// The lines, the name first.
    pub lines: Vec<Line>,
    /// The room it takes.
    pub room: Rectangle,
    /// The line from it to its part, where it stands at the edge.
    pub leader: Option<(Point, Point)>,
    /// How it stands.
    pub stands: Stands,
}

/// How a label stands to its part.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Stands {
    /// In the body.
    Inside,
    /// Beside the body.
    Beside,
    /// At the edge of the map, with a line to the part.
    CalledOut,
    /// In the body, over the outlines of others.
    Over,
}

/// A line of a label.
#[derive(Clone, PartialEq, Debug)]
pub struct Line {
    /// Where its base line begins.
    pub at: Point,
    /// Whether it is read upwards.
    pub is_upright: bool,
    /// Whether it is bold.
    pub is_strong: bool,
    /// What it says.
    pub text: String,
}

/// Places labels; gives those that have a place, and which of the parts have none.
pub fn place(wants: &[Wants], ground: &Ground) -> (Vec<Label>, Vec<usize>) {
    let mut page = Page::new(wants, ground);
    let mut open: Vec<usize> = (0..wants.len()).filter(|of| wants[*of].is_named).collect();
    open.retain(|of| !page.inside(*of));
    // Those with the fewest places first: the others still find one.
    let mut by_choice: Vec<(usize, usize)> = open
        .iter()
        .map(|of| (page.beside(*of).count(), *of))
        .collect();
    by_choice.sort_unstable();
    let mut left: Vec<usize> = Vec::new();
    for (_, of) in by_choice {
        let found = page.beside(of).next();
        match found {
            Some((form, room)) => {
                page.take(form.label(of, room, ground.size, Stands::Beside));
            }
            None => left.push(of),
        }
    }
    let mut left = page.call_out(left);
    if ground.may_lie_over {
        left.retain(|of| !page.over(*of));
    }
    let mut labels = page.labels;
    labels.sort_by_key(|label| label.of);
    (labels, left)
}

struct Page<'a> {
    wants: &'a [Wants],
    ground: &'a Ground,
    obstacles: Grid,
    labels: Vec<Label>,
}

/// What an area on the page belongs to.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Owner {
    /// The body of a part: only its own label may stand in it.
    Body(usize),
    /// A mark, or a label.
    All,
}

impl<'a> Page<'a> {
    fn new(wants: &'a [Wants], ground: &'a Ground) -> Self {
        let mut obstacles = Grid::new(ground.whole);
        for (of, want) in wants.iter().enumerate() {
            obstacles.add(want.body, Owner::Body(of));
            for mark in &want.marks {
                obstacles.add(*mark, Owner::All);
            }
        }
        for area in &ground.taken {
            obstacles.add(*area, Owner::All);
        }
        Page {
            wants,
            ground,
            obstacles,
            labels: Vec::new(),
        }
    }

    /// Whether nothing is in the way of a label in its own body.
    fn is_free_inside(&self, of: usize, room: &Rectangle) -> bool {
        let others = |owner| owner != Owner::Body(of);
        self.ground.whole.holds(room) && !self.obstacles.meets(&room.grown(AIR), others)
    }

    fn is_free(&self, room: &Rectangle) -> bool {
        !self.obstacles.meets(&room.grown(AIR), |_| true)
    }

    /// Whether a label beside a body is far enough from every other one.
    fn is_clear(&self, of: usize, room: &Rectangle) -> bool {
        let other_bodies = |owner| matches!(owner, Owner::Body(other) if other != of);
        !self.obstacles.meets(&room.grown(CLEAR), other_bodies)
    }

    fn take(&mut self, label: Label) {
        // The outline of its body keeps others from a label inside.
        let aside = match label.stands {
            Stands::Inside => 0.0,
            _ => (APART * self.ground.size - AIR).max(0.0),
        };
        let room = Rectangle {
            left: label.room.left - aside,
            right: label.room.right + aside,
            ..label.room
        };
        self.obstacles.add(Area::Rectangle(room), Owner::All);
        self.labels.push(label);
    }

    /// Puts a label into its body, where it fits.
    fn inside(&mut self, of: usize) -> bool {
        let body = self.wants[of].body;
        let bounds = body.bounds();
        let middle = bounds.middle();
        let size = self.ground.size;
        let forms = self.forms(of);
        // Read upwards only in a body that is itself upright.
        let is_upright = bounds.height() > 1.3 * bounds.width();
        for form in forms.iter().filter(|form| is_upright || !form.is_upright) {
            let (width, height) = form.extent(size);
            if width > bounds.width() || height > bounds.height() {
                continue;
            }
            let (across, down) = (
                (bounds.width() - width) / 2.0,
                (bounds.height() - height) / 2.0,
            );
            for (x, y) in [
                (0.0, 0.0),
                (0.0, -0.55),
                (0.0, 0.55),
                (-0.55, 0.0),
                (0.55, 0.0),
                (0.0, -0.9),
                (0.0, 0.9),
                (-0.9, 0.0),
                (0.9, 0.0),
            ] {
                let room = Rectangle::around(
                    at(middle.x + x * across, middle.y + y * down),
                    width,
                    height,
                );
                if body.holds(&room) && self.is_free_inside(of, &room) {
                    let label = form.label(of, room, size, Stands::Inside);
                    self.take(label);
                    return true;
                }
            }
        }
        false
    }

    /// Puts a label into its body over what other bodies cover of it.
    fn over(&mut self, of: usize) -> bool {
        let bounds = self.wants[of].body.bounds();
        let middle = bounds.middle();
        let size = self.ground.size;
        let is_mark = |owner| owner == Owner::All;
        let (across, down) = (bounds.width() / 2.0, bounds.height() / 2.0);
        let steps = [0.0, -0.3, 0.3, -0.6, 0.6];
        for form in self.forms(of).iter().filter(|form| !form.is_upright) {
            let (width, height) = form.extent(size);
            for (x, y) in steps.iter().flat_map(|y| steps.map(|x| (x, *y))) {
                let point = at(middle.x + x * across, middle.y + y * down);
                let room = Rectangle::around(point, width, height);
                let mut leaders = self.labels.iter().filter_map(|label| label.leader);
                let is_free = !self.obstacles.meets(&room.grown(AIR), is_mark)
                    && !leaders
                        .any(|(from, to)| Area::Rectangle(room.grown(AIR)).is_crossed(from, to));
                if is_free && self.ground.whole.holds(&room) {
                    let label = form.label(of, room, size, Stands::Over);
                    self.take(label);
                    return true;
                }
            }
        }
        false
    }

    /// Every free place beside a part, the best first.
    fn beside(&self, of: usize) -> impl Iterator<Item = (Form<'a>, Rectangle)> + '_ {
        let size = self.ground.size;
        let bounds = self.wants[of].body.bounds().grown(GAP);
        let forms = self.forms(of).into_iter().filter(|form| !form.is_upright);
        forms.flat_map(move |form| {
            let (width, height) = form.extent(size);
            let (left, right) = (bounds.left - width / 2.0, bounds.right + width / 2.0);
            let (above, below) = (bounds.top - height / 2.0, bounds.bottom + height / 2.0);
            let middle = bounds.middle();
            let (half_width, half_height) = (bounds.width() / 2.0, bounds.height() / 2.0);
            let slide = [0.0, -0.5, 0.5, -1.0, 1.0];
            let at_sides = slide.into_iter().flat_map(move |step| {
                let y = middle.y + step * half_height;
                // As far as its end is above, or below, the end of the body.
                let x = middle.x + step * (width / 2.0 - half_width + GAP).max(0.0);
                [at(right, y), at(left, y), at(x, above), at(x, below)]
            });
            at_sides.filter_map(move |point| {
                let room = Rectangle::around(point, width, height);
                (self.ground.board.holds(&room) && self.is_free(&room) && self.is_clear(of, &room))
                    .then_some((form, room))
            })
        })
    }

    /// Puts labels around the board, each with a line to its part, so that no
    /// line crosses another, a label or a mark of another part. Gives those for
    /// which there is no place.
    fn call_out(&mut self, mut open: Vec<usize>) -> Vec<usize> {
        let mut slots = self.slots(&open);
        let mut by_distance: Vec<(f64, usize)> = Vec::with_capacity(slots.len());
        let mut leaders: Vec<(Point, Point)> = Vec::new();
        let middle = self.ground.board.middle();
        // From the outside inwards: the lines of the inner ones pass between.
        open.sort_by(|one, other| {
            let far = |of: &usize| distance(self.wants[*of].body.bounds().middle(), middle);
            far(other).total_cmp(&far(one)).then(one.cmp(other))
        });
        let mut left = Vec::new();
        for of in open {
            let part = self.wants[of].body.bounds().middle();
            let far = |slot: &Slot| distance(slot.anchor, part);
            by_distance.clear();
            by_distance.extend(slots.iter().map(far).zip(0..));
            by_distance
                .sort_unstable_by(|one, other| one.0.total_cmp(&other.0).then(one.1.cmp(&other.1)));
            let found = by_distance.iter().find(|(_, index)| {
                let slot = &slots[*index];
                let leader = (slot.anchor, part);
                self.fits(of, slot)
                    && !leaders.iter().any(|other| {
                        crosses(leader, *other)
                            || Area::Rectangle(slot.room.grown(AIR)).is_crossed(other.0, other.1)
                    })
                    && !self.strikes(of, leader)
            });
            match found {
                Some((_, index)) => {
                    let slot = slots.remove(*index);
                    leaders.push((slot.anchor, part));
                    let label = self.in_slot(of, &slot, part);
                    self.take(label);
                }
                None => left.push(of),
            }
        }
        left
    }

    fn fits(&self, of: usize, slot: &Slot) -> bool {
        let (width, height) = self.form_for(of, slot).extent(self.ground.size);
        width <= slot.room.width() + 1e-9 && height <= slot.room.height() + 1e-9
    }

    fn form_for(&self, of: usize, slot: &Slot) -> Form<'a> {
        let want = &self.wants[of];
        if slot.is_beside {
            Form::one_line(want)
        } else {
            Form::two_lines(want)
        }
    }

    fn in_slot(&self, of: usize, slot: &Slot, part: Point) -> Label {
        let form = self.form_for(of, slot);
        let size = self.ground.size;
        let (width, height) = form.extent(size);
        let room = if slot.is_beside {
            let y = slot.room.middle().y;
            let left = if slot.anchor.x <= slot.room.left {
                slot.room.left
            } else {
                slot.room.right - width
            };
            Rectangle {
                left,
                right: left + width,
                top: y - height / 2.0,
                bottom: y + height / 2.0,
            }
        } else {
            Rectangle::around(slot.room.middle(), width, height)
        };
        let mut label = form.label(of, room, size, Stands::CalledOut);
        label.leader = Some((slot.anchor, part));
        label
    }

    /// Whether a line to a part runs through a label, or through a mark of
    /// another part.
    fn strikes(&self, of: usize, leader: (Point, Point)) -> bool {
        let (from, to) = leader;
        let of_labels = self
            .labels
            .iter()
            .filter(|label| label.of != of)
            .any(|label| Area::Rectangle(label.room.grown(AIR)).is_crossed(from, to));
        of_labels
            || self
                .wants
                .iter()
                .enumerate()
                .filter(|(other, _)| *other != of)
                .any(|(_, want)| want.marks.iter().any(|mark| mark.is_crossed(from, to)))
    }

    /// Places around the board.
    fn slots(&self, open: &[usize]) -> Vec<Slot> {
        let size = self.ground.size;
        let (whole, board) = (self.ground.whole, self.ground.board);
        let mut slots = Vec::new();
        let mut add = |room: Rectangle, anchor: Point, is_beside: bool, taken: &Grid| {
            if whole.holds(&room) && !taken.meets(&room, |_| true) {
                slots.push(Slot {
                    room,
                    anchor,
                    is_beside,
                });
            }
        };
        let one_line = (ASCENT + DESCENT) * size;
        let step = one_line + 2.0 * AIR;
        let count = (whole.height() / step).floor() as usize;
        for index in 0..count {
            let top = whole.top + index as f64 * step + AIR;
            let (bottom, y) = (top + one_line, top + one_line / 2.0);
            let right = Rectangle {
                left: board.right + REACH,
                right: whole.right,
                top,
                bottom,
            };
            if right.width() > 0.0 {
                add(right, at(right.left - AIR, y), true, &self.obstacles);
            }
            let left = Rectangle {
                left: whole.left,
                right: board.left - REACH,
                top,
                bottom,
            };
            if left.width() > 0.0 {
                add(left, at(left.right + AIR, y), true, &self.obstacles);
            }
        }
        let widest = open
            .iter()
            .map(|of| Form::two_lines(&self.wants[*of]).extent(size).0)
            .fold(4.0 * size, f64::max)
            .min(board.width());
        let two_lines = (ASCENT + DESCENT + LEADING) * size;
        let step = widest + APART * size;
        let count = (board.width() / step).floor() as usize;
        let first = board.middle().x - step * (count as f64 - 1.0) / 2.0;
        for index in 0..count {
            let x = first + index as f64 * step;
            let above = Rectangle::around(
                at(x, board.top - REACH / 2.0 - two_lines / 2.0),
                widest,
                two_lines,
            );
            add(above, at(x, above.bottom + AIR), false, &self.obstacles);
            let below = Rectangle::around(
                at(x, board.bottom + REACH / 2.0 + two_lines / 2.0),
                widest,
                two_lines,
            );
            add(below, at(x, below.top - AIR), false, &self.obstacles);
        }
        slots
    }

    fn forms(&self, of: usize) -> [Form<'a>; 3] {
        let want = &self.wants[of];
        let one_line = Form::one_line(want);
        [Form::two_lines(want), one_line, one_line.upright()]
    }
}

/// From the board to the labels around it.
pub(super) const REACH: f64 = 5.0;

/// A place around the board.
struct Slot {
    room: Rectangle,
    /// Where the line to the part begins.
    anchor: Point,
    /// Whether it lies to the left or right of the board.
    is_beside: bool,
}

/// A label before it has a place.
#[derive(Clone, Copy)]
struct Form<'w> {
    /// The name, and the value where there is one; each with whether it is bold.
    words: [(&'w str, bool); 2],
    /// Whether the value stands below the name.
    is_stacked: bool,
    is_upright: bool,
}

impl<'w> Form<'w> {
    fn two_lines(want: &'w Wants) -> Self {
        Form {
            is_stacked: true,
            ..Form::one_line(want)
        }
    }

    fn one_line(want: &'w Wants) -> Self {
        Form {
            words: [(&want.name, true), (&want.value, false)],
            is_stacked: false,
            is_upright: false,
        }
    }

    fn upright(self) -> Self {
        Form {
            is_upright: true,
            ..self
        }
    }

    /// The words of each line.
    fn lines(&self) -> std::slice::Chunks<'_, (&'w str, bool)> {
        let has_value = !self.words[1].0.is_empty();
        self.words[..1 + usize::from(has_value)].chunks(if self.is_stacked { 1 } else { 2 })
    }

    fn line_width(line: &[(&str, bool)], size: f64) -> f64 {
        let words: f64 = line
            .iter()
            .map(|(text, is_strong)| width(text, *is_strong, size))
            .sum();
        words + between(size) * (line.len() as f64 - 1.0).max(0.0)
    }

    /// Its width and height as it stands.
    fn extent(&self, size: f64) -> (f64, f64) {
        let lines = self.lines();
        let high = (ASCENT + DESCENT + LEADING * (lines.len() as f64 - 1.0)) * size;
        let wide = lines
            .map(|line| Self::line_width(line, size))
            .fold(0.0, f64::max);
        if self.is_upright {
            (high, wide)
        } else {
            (wide, high)
        }
    }

    fn label(&self, of: usize, room: Rectangle, size: f64, stands: Stands) -> Label {
        let mut lines = Vec::new();
        for (index, line) in self.lines().enumerate() {
            let down = (ASCENT + LEADING * index as f64) * size;
            let mut along = 0.0;
            let spare = if self.is_upright {
                room.height()
            } else {
                room.width()
            } - Self::line_width(line, size);
            if self.lines().len() > 1 || matches!(stands, Stands::Inside | Stands::Over) {
                along = spare / 2.0;
            }
            for (text, is_strong) in line {
                let point = if self.is_upright {
                    at(room.left + down, room.bottom - along)
                } else {
                    at(room.left + along, room.top + down)
                };
                lines.push(Line {
                    at: point,
                    is_upright: self.is_upright,
                    is_strong: *is_strong,
                    text: (*text).to_owned(),
                });
                along += width(text, *is_strong, size) + between(size);
            }
        }
        Label {
            of,
            lines,
            room,
            leader: None,
            stands,
        }
    }
}

/// Between a name and its value on one line.
fn between(size: f64) -> f64 {
    size * 0.35
}

/// Areas by the squares of a grid that they lie in, so that few are looked at.
struct Grid {
    origin: Point,
    columns: usize,
    rows: usize,
    squares: Vec<Vec<(Area, Owner)>>,
}

impl Grid {
    /// The side of a square, in millimetres.
    const SIDE: f64 = 6.0;

    fn new(whole: Rectangle) -> Self {
        let count = |length: f64| ((length / Self::SIDE).ceil() as usize).clamp(1, 400);
        let (columns, rows) = (count(whole.width()), count(whole.height()));
        Grid {
            origin: at(whole.left, whole.top),
            columns,
            rows,
            squares: vec![Vec::new(); columns * rows],
        }
    }

    fn squares(&self, room: &Rectangle) -> impl Iterator<Item = usize> + use<> {
        let index =
            |value: f64, count: usize| ((value / Self::SIDE).max(0.0) as usize).min(count - 1);
        let columns = index(room.left - self.origin.x, self.columns)
            ..=index(room.right - self.origin.x, self.columns);
        let rows = index(room.top - self.origin.y, self.rows)
            ..=index(room.bottom - self.origin.y, self.rows);
        let across = self.columns;
        rows.flat_map(move |row| columns.clone().map(move |column| row * across + column))
    }

    fn add(&mut self, area: Area, owner: Owner) {
        for square in self.squares(&area.bounds()) {
            self.squares[square].push((area, owner));
        }
    }

    fn meets(&self, room: &Rectangle, counts: impl Fn(Owner) -> bool) -> bool {
        self.squares(room).any(|square| {
            self.squares[square]
                .iter()
                .any(|(area, owner)| counts(*owner) && area.meets(room))
        })
    }
}
