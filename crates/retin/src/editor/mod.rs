//! What an editor asks for, answered by pure functions over a [`Snapshot`].
//!
//! One feature is one file: it takes a snapshot and a place in a file, as an
//! offset in bytes, and gives plain data with [`Origin`]s. Nothing here knows a
//! protocol; the server only converts. A request that comes with every key
//! (completion, hover) looks at the line it is about: [`caret`] leads from an
//! offset to the line, and [`mention`] from the line to what its words stand
//! for. Whoever needs every use of any name asks the [`index`], which is built
//! once a snapshot, when it is first needed.

pub mod actions;
pub mod caret;
mod choose;
pub mod completion;
pub mod diagnostics;
mod fit;
#[cfg(test)]
mod fixture;
pub mod folding;
pub mod format;
pub mod hover;
pub mod index;
pub mod inlay;
pub mod lens;
pub mod linked;
pub mod links;
pub mod mention;
pub mod navigate;
pub mod rename;
pub mod selection;
pub mod signature;
pub mod symbols;
pub mod tokens;

use crate::check::Report;
use crate::meaning::Case;
use crate::replacement::{Chosen, replacements};
use crate::sources::{FileId, Origin, Sources};
use crate::time::left::{WhatIsLeft, what_is_left};
use crate::time::order::{Order, order};
use index::Index;
use retin_syntax::tree::{HeadingKind, LineId, Record, Tree};
use std::cell::OnceCell;

/// One file with all it uses, read and judged, at one moment.
///
/// It borrows; a server holds sources, case and report and makes a snapshot of
/// them, which costs nothing.
#[derive(Debug)]
pub struct Snapshot<'a> {
    /// The files.
    pub sources: &'a Sources,
    /// What they mean.
    pub case: &'a Case<'a>,
    /// What was found.
    pub report: &'a Report,
    index: OnceCell<Index>,
    chosen: OnceCell<Vec<Chosen<'a, 'a>>>,
    order: OnceCell<Option<Order>>,
    left: OnceCell<Option<WhatIsLeft>>,
}

/// A place in a file.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub struct Position {
    /// The file.
    pub file: FileId,
    /// Bytes from its start. One that lies outside the text, or within a
    /// character, is moved back into it.
    pub offset: u32,
}

impl Position {
    /// The place at `offset` bytes into `file`.
    pub const fn new(file: FileId, offset: u32) -> Self {
        Position { file, offset }
    }
}

impl<'a> Snapshot<'a> {
    /// A snapshot of a case and what a check found in it.
    pub fn new(case: &'a Case<'a>, report: &'a Report) -> Self {
        Snapshot {
            sources: &case.sources,
            case,
            report,
            index: OnceCell::new(),
            chosen: OnceCell::new(),
            order: OnceCell::new(),
            left: OnceCell::new(),
        }
    }

    /// The same, where what goes in at every place is known already.
    pub fn with_chosen(
        case: &'a Case<'a>,
        report: &'a Report,
        chosen: Vec<Chosen<'a, 'a>>,
    ) -> Self {
        Snapshot {
            chosen: OnceCell::from(chosen),
            ..Snapshot::new(case, report)
        }
    }

    /// What goes in at every place, worked out when it is first asked for.
    pub fn chosen(&self) -> &[Chosen<'a, 'a>] {
        self.chosen.get_or_init(|| replacements(self.case))
    }

    /// The order of the job's steps, worked out when it is first asked for.
    pub fn order(&self) -> Option<&Order> {
        let work_out = || order(self.case, self.case.job.as_ref()?, self.chosen());
        self.order.get_or_init(work_out).as_ref()
    }

    /// What is left to do on the job, worked out when it is first asked for.
    pub fn left(&self) -> Option<&WhatIsLeft> {
        self.left
            .get_or_init(|| what_is_left(self.case, &self.case.replay, self.order()))
            .as_ref()
    }

    /// Every use of every name, built when it is first asked for.
    pub fn index(&self) -> &Index {
        self.index.get_or_init(|| Index::of(self))
    }

    /// The text of a file.
    pub fn text(&self, file: FileId) -> &'a str {
        &self.sources.file(file).text
    }

    /// The outline of a file.
    pub fn tree(&self, file: FileId) -> &'a Tree {
        &self.sources.file(file).tree
    }

    /// Every file of the snapshot.
    pub fn files(&self) -> impl Iterator<Item = FileId> + use<> {
        (0..self.sources.len() as u32).map(FileId)
    }

    /// The text at a place.
    pub fn of(&self, origin: Origin) -> &'a str {
        origin.span.of(self.text(origin.file))
    }
}

/// The heading a line stands below, or the line itself where it is one.
pub(crate) fn heading_of(tree: &Tree, mut line: LineId) -> Option<(LineId, HeadingKind)> {
    loop {
        if let Record::Heading(heading) = &tree.line(line).record {
            return Some((line, heading.kind));
        }
        line = tree.line(line).parent?;
    }
}
