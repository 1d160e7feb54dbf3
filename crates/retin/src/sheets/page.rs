//! Pages: how large the paper is, and how much of it a document may fill.

use super::settings::{Paper, Settings};

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

impl From<&Settings> for PageSetting {
    fn from(settings: &Settings) -> Self {
        PageSetting {
            paper: settings.paper,
            is_big: settings.is_big,
        }
    }
}

impl PageSetting {
    /// Left free at the left edge, where sheets are punched, in millimetres.
    pub const LEFT: f64 = 15.0;
    /// Left free at the right edge, in millimetres.
    pub const RIGHT: f64 = 12.0;

    /// The whole page, upright or on its side.
    pub fn page(self, is_landscape: bool) -> Extent {
        let (short, long) = self.paper.size();
        let (width, height) = if is_landscape {
            (long, short)
        } else {
            (short, long)
        };
        Extent { width, height }
    }

    /// What the head of a page takes with the edge above it, in millimetres.
    pub fn top(self) -> f64 {
        if self.is_big { 42.0 } else { 28.0 }
    }

    /// What the foot of a page takes with the edge below it, in millimetres.
    pub fn bottom(self) -> f64 {
        if self.is_big { 28.0 } else { 20.0 }
    }

    /// What is left of a page between its head, its foot and its edges: no
    /// drawing may be larger.
    pub fn room(self, is_landscape: bool) -> Extent {
        let page = self.page(is_landscape);
        Extent {
            width: page.width - Self::LEFT - Self::RIGHT,
            height: page.height - self.top() - self.bottom(),
        }
    }
}
