//! Places in a text.

/// A half-open range of byte offsets into one text.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug, Default)]
pub struct Span {
    /// Offset of the first byte.
    pub start: u32,
    /// Offset one past the last byte.
    pub end: u32,
}

impl Span {
    /// The span from `start` up to, not including, `end`.
    pub const fn new(start: u32, end: u32) -> Self {
        Span { start, end }
    }

    /// The smallest span that covers both.
    pub fn to(self, other: Span) -> Span {
        Span::new(self.start.min(other.start), self.end.max(other.end))
    }

    /// The text the span covers, or nothing where it lies outside `text`.
    pub fn of(self, text: &str) -> &str {
        text.get(self.range()).unwrap_or("")
    }

    /// The span as a range for slicing.
    pub fn range(self) -> std::ops::Range<usize> {
        self.start as usize..self.end as usize
    }

    /// How many bytes the span covers.
    pub fn len(self) -> u32 {
        self.end - self.start
    }

    /// Whether the span covers nothing.
    pub fn is_empty(self) -> bool {
        self.start >= self.end
    }

    /// Whether `offset` lies inside the span or at its end.
    pub fn touches(self, offset: u32) -> bool {
        self.start <= offset && offset <= self.end
    }
}
