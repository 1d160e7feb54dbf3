//! Pages: how large the paper is, and how much of it a document may fill.

/// Sizes of paper.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug)]
pub enum Paper {
    /// 210 x 297 mm, by ISO 216.
    #[default]
    A4,
    /// 8.5 x 11 in, by ANSI/ASME Y14.1.
    Letter,
}

/// How a document is to be set.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug)]
pub struct PageSetting {
    /// The paper.
    pub paper: Paper,
    /// Whether everything is set large enough to be read from the bench.
    pub is_big: bool,
}

/// A rectangle of paper, in millimetres.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Extent {
    /// Its width.
    pub width: f64,
    /// Its height.
    pub height: f64,
}

impl Paper {
    /// The whole sheet, upright or on its side.
    pub fn extent(self, is_landscape: bool) -> Extent {
        let (short, long) = match self {
            Paper::A4 => (210.0, 297.0),
            Paper::Letter => (215.9, 279.4),
        };
        let (width, height) = if is_landscape {
            (long, short)
        } else {
            (short, long)
        };
        Extent { width, height }
    }
}

impl PageSetting {
    /// Left free at the left edge, where sheets are punched, in millimetres.
    pub const LEFT: f64 = 15.0;
    /// Left free at the right edge, in millimetres.
    pub const RIGHT: f64 = 12.0;

    /// What the head of a page takes with the edge above it, in millimetres.
    pub fn top(self) -> f64 {
        if self.is_big { 43.0 } else { 28.0 }
    }

    /// What the foot of a page takes with the edge below it, in millimetres.
    pub fn bottom(self) -> f64 {
        if self.is_big { 28.0 } else { 20.0 }
    }

    /// What is left of a page between its head, its foot and its edges: no
    /// drawing may be larger.
    pub fn room(self, is_landscape: bool) -> Extent {
        let page = self.paper.extent(is_landscape);
        Extent {
            width: page.width - Self::LEFT - Self::RIGHT,
            height: page.height - self.top() - self.bottom(),
        }
    }
}
