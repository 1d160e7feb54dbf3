//! Drawings as shapes in millimetres. The origin is the upper left corner, x
//! grows to the right and y grows downwards, as on a page.

/// A drawing at true scale.
#[derive(Clone, PartialEq, Debug)]
pub struct Drawing {
    /// Its width, in millimetres.
    pub width: f64,
    /// Its height, in millimetres.
    pub height: f64,
    /// What is drawn, from the lowest to the uppermost.
    pub shapes: Vec<Shape>,
    /// What it shows, in a sentence, for whoever cannot see it.
    pub says: String,
}

/// A point, in millimetres.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Point {
    /// To the right.
    pub x: f64,
    /// Downwards.
    pub y: f64,
}

/// One shape.
#[derive(Clone, PartialEq, Debug)]
pub enum Shape {
    /// A line through points.
    Path {
        /// The points.
        points: Vec<Point>,
        /// Whether it returns to its first point.
        closed: bool,
        /// How it is drawn.
        look: Look,
    },
    /// A rectangle, with rounded corners where `radius` is not zero.
    Rectangle {
        /// Its upper left corner.
        corner: Point,
        /// Its width.
        width: f64,
        /// Its height.
        height: f64,
        /// The radius of its corners.
        radius: f64,
        /// How it is drawn.
        look: Look,
    },
    /// A circle.
    Circle {
        /// Its middle.
        middle: Point,
        /// Its radius.
        radius: f64,
        /// How it is drawn.
        look: Look,
    },
    /// A line of text.
    Text {
        /// Where its base line begins, has its middle or ends, by `anchor`.
        at: Point,
        /// Its size (the height of the font's em), in millimetres.
        size: f64,
        /// Which part of it stands at `at`.
        anchor: Anchor,
        /// Whether it is bold.
        is_strong: bool,
        /// Whether it is turned to be read from the right, upwards.
        is_upright: bool,
        /// What it says.
        text: String,
    },
}

/// Which part of a text stands at its point.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Anchor {
    /// Its beginning.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}

/// How a shape is drawn: in black, grey and white only.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Look {
    /// The width of its line, in millimetres; none draws no line.
    pub line: Option<f64>,
    /// Whether its line is broken into dashes.
    pub is_dashed: bool,
    /// What fills it.
    pub fill: Fill,
}

/// What fills a shape.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Fill {
    /// Nothing.
    None,
    /// A grey: 0 is black, 1 is white.
    Grey(f64),
}

impl Look {
    /// A line of this width, in millimetres, and nothing inside.
    pub const fn line(width: f64) -> Self {
        Self {
            line: Some(width),
            is_dashed: false,
            fill: Fill::None,
        }
    }

    /// A broken line of this width, in millimetres, and nothing inside.
    pub const fn dashes(width: f64) -> Self {
        Self {
            line: Some(width),
            is_dashed: true,
            fill: Fill::None,
        }
    }

    /// A filled shape without a line.
    pub const fn filled(grey: f64) -> Self {
        Self {
            line: None,
            is_dashed: false,
            fill: Fill::Grey(grey),
        }
    }
}
