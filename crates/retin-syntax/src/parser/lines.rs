//! Lines while they are read, in front of those that an edit leaves alone.

use crate::span::Span;
use crate::tree::{Line, Record};
use std::ops::{Index, IndexMut};

/// The lines read so far. Those that are kept stay where they are, with the room in front
/// of them that the lines which were replaced took up: an outline is long, and an edit
/// mostly puts a line in the place of a line.
#[derive(Default)]
pub(super) struct Lines {
    /// Those read, then room, then those kept.
    all: Vec<Line>,
    read: usize,
    /// Where those that are kept begin.
    kept: usize,
}

impl Lines {
    /// With all before `first` read already and all from `behind` on kept, and room for
    /// so many between them.
    pub(super) fn around(mut all: Vec<Line>, first: usize, behind: usize, room: usize) -> Lines {
        let kept = behind.max(first + room);
        let more = (behind..kept).map(|_| Line {
            span: Span::default(),
            indent: 0,
            parent: None,
            end: 0,
            lexemes: (0, 0),
            record: Record::Broken,
        });
        all.splice(behind..behind, more);
        Lines {
            all,
            read: first,
            kept,
        }
    }

    /// Makes room for so many more.
    pub(super) fn reserve(&mut self, more: usize) {
        self.all.reserve(more);
    }

    /// How many are read.
    pub(super) fn len(&self) -> usize {
        self.read
    }

    /// Those read.
    pub(super) fn read(&self) -> &[Line] {
        &self.all[..self.read]
    }

    /// Those kept.
    pub(super) fn kept(&self) -> &[Line] {
        &self.all[self.kept..]
    }

    /// Adds one behind those read.
    pub(super) fn push(&mut self, line: Line) {
        if self.read < self.kept {
            self.all[self.read] = line;
        } else {
            self.all.insert(self.read, line);
            self.kept += 1;
        }
        self.read += 1;
    }

    /// Has those kept count as read, and gives them.
    pub(super) fn take_over(&mut self) -> &mut [Line] {
        let first = self.read;
        self.all.drain(first..self.kept);
        self.read = self.all.len();
        self.kept = self.read;
        &mut self.all[first..]
    }

    /// Takes out those kept.
    pub(super) fn take_out(&mut self) -> Vec<Line> {
        let kept = self.all.split_off(self.kept);
        self.all.truncate(self.read);
        self.kept = self.read;
        kept
    }

    /// All of them.
    pub(super) fn finish(mut self) -> Vec<Line> {
        self.take_over();
        self.all
    }
}

impl Index<usize> for Lines {
    type Output = Line;

    fn index(&self, at: usize) -> &Line {
        &self.read()[at]
    }
}

impl IndexMut<usize> for Lines {
    fn index_mut(&mut self, at: usize) -> &mut Line {
        &mut self.all[..self.read][at]
    }
}
