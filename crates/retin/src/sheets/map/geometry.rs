//! Rectangles, discs and lines in millimetres, and whether they meet.

use crate::sheets::drawing::Point;

/// An upright rectangle.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Rectangle {
    /// Its left edge.
    pub left: f64,
    /// Its upper edge.
    pub top: f64,
    /// Its right edge.
    pub right: f64,
    /// Its lower edge.
    pub bottom: f64,
}

/// What takes room on a map.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) enum Area {
    /// An upright rectangle.
    Rectangle(Rectangle),
    /// A disc.
    Disc {
        /// Its middle.
        middle: Point,
        /// Its radius.
        radius: f64,
    },
}

pub(super) fn at(x: f64, y: f64) -> Point {
    Point { x, y }
}

impl Rectangle {
    /// Around a middle.
    pub(super) fn around(middle: Point, width: f64, height: f64) -> Self {
        Rectangle {
            left: middle.x - width / 2.0,
            top: middle.y - height / 2.0,
            right: middle.x + width / 2.0,
            bottom: middle.y + height / 2.0,
        }
    }

    /// The smallest around some points.
    pub(super) fn holding(points: &[Point]) -> Self {
        let mut all = Rectangle {
            left: f64::INFINITY,
            top: f64::INFINITY,
            right: f64::NEG_INFINITY,
            bottom: f64::NEG_INFINITY,
        };
        for point in points {
            all.left = all.left.min(point.x);
            all.right = all.right.max(point.x);
            all.top = all.top.min(point.y);
            all.bottom = all.bottom.max(point.y);
        }
        all
    }

    pub(super) fn width(&self) -> f64 {
        self.right - self.left
    }

    pub(super) fn height(&self) -> f64 {
        self.bottom - self.top
    }

    pub(super) fn middle(&self) -> Point {
        at(
            (self.left + self.right) / 2.0,
            (self.top + self.bottom) / 2.0,
        )
    }

    /// Larger on every side by `more`.
    pub(super) fn grown(&self, more: f64) -> Self {
        Rectangle {
            left: self.left - more,
            top: self.top - more,
            right: self.right + more,
            bottom: self.bottom + more,
        }
    }

    /// Whether another lies wholly within.
    pub(super) fn holds(&self, other: &Rectangle) -> bool {
        other.left >= self.left
            && other.right <= self.right
            && other.top >= self.top
            && other.bottom <= self.bottom
    }

    /// Whether a point lies within.
    pub(super) fn holds_point(&self, point: Point) -> bool {
        self.holds(&Rectangle::around(point, 0.0, 0.0))
    }

    /// Whether another one has a piece in common with it.
    pub(super) fn meets(&self, other: &Rectangle) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    /// The point of it that is nearest to another point.
    pub(super) fn nearest(&self, point: Point) -> Point {
        at(
            point.x.clamp(self.left, self.right),
            point.y.clamp(self.top, self.bottom),
        )
    }

    fn corners(&self) -> [Point; 4] {
        [
            at(self.left, self.top),
            at(self.right, self.top),
            at(self.right, self.bottom),
            at(self.left, self.bottom),
        ]
    }
}

impl Area {
    /// The smallest upright rectangle around it.
    pub(super) fn bounds(&self) -> Rectangle {
        match self {
            Area::Rectangle(rectangle) => *rectangle,
            Area::Disc { middle, radius } => Rectangle::around(*middle, radius * 2.0, radius * 2.0),
        }
    }

    /// Whether a rectangle has a piece in common with it.
    pub(super) fn meets(&self, rectangle: &Rectangle) -> bool {
        match self {
            Area::Rectangle(own) => own.meets(rectangle),
            Area::Disc { middle, radius } => {
                distance(rectangle.nearest(*middle), *middle) < *radius
            }
        }
    }

    /// Whether a rectangle lies wholly within it.
    pub(super) fn holds(&self, rectangle: &Rectangle) -> bool {
        match self {
            Area::Rectangle(own) => own.holds(rectangle),
            Area::Disc { middle, radius } => rectangle
                .corners()
                .iter()
                .all(|corner| distance(*corner, *middle) <= *radius),
        }
    }

    /// Whether a line from one point to another runs through it.
    pub(super) fn is_crossed(&self, from: Point, to: Point) -> bool {
        // Most lines pass far by.
        let bounds = self.bounds();
        if from.x.max(to.x) < bounds.left
            || from.x.min(to.x) > bounds.right
            || from.y.max(to.y) < bounds.top
            || from.y.min(to.y) > bounds.bottom
        {
            return false;
        }
        match self {
            Area::Disc { middle, radius } => distance_to_line(*middle, from, to) < *radius,
            Area::Rectangle(own) => {
                let corners = own.corners();
                own.holds_point(from)
                    || own.holds_point(to)
                    || (0..4)
                        .any(|side| crosses((from, to), (corners[side], corners[(side + 1) % 4])))
            }
        }
    }
}

/// How far two points are apart. The root comes out the same on every machine.
pub(super) fn distance(one: Point, other: Point) -> f64 {
    let (across, down) = (one.x - other.x, one.y - other.y);
    (across * across + down * down).sqrt()
}

fn distance_to_line(point: Point, from: Point, to: Point) -> f64 {
    let (dx, dy) = (to.x - from.x, to.y - from.y);
    let length = dx * dx + dy * dy;
    let along = if length > 0.0 {
        (((point.x - from.x) * dx + (point.y - from.y) * dy) / length).clamp(0.0, 1.0)
    } else {
        0.0
    };
    distance(point, at(from.x + along * dx, from.y + along * dy))
}

/// Whether two lines cross between their ends.
pub(super) fn crosses(one: (Point, Point), other: (Point, Point)) -> bool {
    let side = |line: (Point, Point), point: Point| {
        (line.1.x - line.0.x) * (point.y - line.0.y) - (line.1.y - line.0.y) * (point.x - line.0.x)
    };
    side(one, other.0) * side(one, other.1) < 0.0 && side(other, one.0) * side(other, one.1) < 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_disc_holds_what_lies_within_its_edge() {
        let disc = Area::Disc {
            middle: at(0.0, 0.0),
            radius: 5.0,
        };
        assert!(disc.holds(&Rectangle::around(at(0.0, 0.0), 8.0, 5.9)));
        assert!(!disc.holds(&Rectangle::around(at(0.0, 0.0), 8.0, 6.1)));
        assert!(disc.meets(&Rectangle::around(at(6.0, 0.0), 2.2, 1.0)));
        assert!(!disc.meets(&Rectangle::around(at(5.0, 5.0), 2.0, 2.0)));
        assert!(disc.is_crossed(at(-9.0, 4.0), at(9.0, 4.0)));
        assert!(!disc.is_crossed(at(-9.0, 6.0), at(9.0, 6.0)));
    }

    #[test]
    fn lines_cross_between_their_ends_only() {
        let cross = (at(0.0, 0.0), at(2.0, 2.0));
        assert!(crosses(cross, (at(0.0, 2.0), at(2.0, 0.0))));
        assert!(!crosses(cross, (at(5.0, 0.0), at(0.0, 5.0))));
    }
}
