//! One job in an editor, from edit to edit: read and judged once, and after that
//! only as far as each edit reaches.
//!
//! A [`Session`] owns what it has read, so that it outlives the text. At each
//! [`update`](Session::update) it compares the files with those it knows, and finds
//! out how little has to be done anew:
//!
//! - Where no line says anything else, in a comment or between lines, all that is
//!   known follows its lines to where they stand now.
//! - Where lines below the heading of one board say something else, that board is
//!   read again, or only the line of one part that is on the same nets as before, and
//!   the entries of the log that name what is otherwise on it now.
//!   Where something else may go by that too, all that is said of the boards is read:
//!   plan, steps, targets, log. The rules on boards are asked only of the boards that
//!   this changes something for.
//! - Where it is the log, its entries on these lines are read again; where it is steps
//!   or targets, all that is said of the boards.
//! - Where it is another section, but for packages and devices, the boards are not
//!   read again, and the rules are asked of all.
//! - Else everything is read and judged again.
//!
//! What comes out is always what a check of the same files says; a law holds that.

mod known;
mod reach;

use crate::check::{AsOf, Choices, OnBoard, Report, Said, chosen_by_board, judge};
use crate::editor::Snapshot;
use crate::meaning::{
    Base, BoardId, Case, Gone, InPlace, KeptWords, build_kept, read_again, read_in_place,
    read_line_in_place, read_log_again,
};
use crate::moves::{Moved as _, Moves};
use crate::replacement::replacements_on;
use crate::sources::{FileId, Sources};
use crate::stage::Stage;
use crate::time::order::Order;
use known::{KnownFile, Told, Within};
use reach::Before;
use retin_syntax::tree::{HeadingKind, Record};
use std::borrow::Cow;
use std::cell::OnceCell;

/// A job that is read and judged, and can be so again after an edit.
#[derive(Debug)]
pub struct Session {
    case: Case<'static>,
    base: Base,
    report: Report,
    /// What is said of each board.
    said: Vec<Said>,
    /// The order of the job's steps, where a rule has asked for it.
    order: OnceCell<Option<Order>>,
    /// By board: whether it is to get a part that belongs in another place.
    is_swapped: Vec<bool>,
    /// The stage that was asked for.
    asked: Option<Stage>,
    files: Vec<KnownFile>,
    done: Done,
}

/// What an update had to do.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Done {
    /// Nothing: the files are as they were.
    Nothing,
    /// What was known followed its lines.
    Followed,
    /// Some of it was read and judged again.
    InPart {
        /// How many parts of boards were read.
        parts_read: usize,
        /// How many entries of the log were read.
        entries_read: usize,
        /// Of how many boards the rules were asked.
        boards_judged: usize,
    },
    /// Everything was read and judged.
    Whole,
}

impl Session {
    /// Reads and judges the file `root` with all it uses: at the stage its log
    /// shows, or as if it had come to the one asked for.
    pub fn new(sources: Sources, root: FileId, asked: Option<Stage>, kept: &KeptWords) -> Session {
        let (case, base) = build_kept(&sources, root, kept);
        let mut session = Session {
            files: KnownFile::all(&case.sources),
            said: vec![Said::default(); case.boards.len()],
            order: OnceCell::new(),
            is_swapped: vec![false; case.boards.len()],
            report: Report::empty(case.stage),
            case,
            base,
            asked,
            done: Done::Whole,
        };
        let all = vec![true; session.case.boards.len()];
        session.judge(&all);
        session
    }

    /// Asks the rules: those on boards only of some of them.
    /// Gives of how many they were asked.
    fn judge(&mut self, boards: &[bool]) -> usize {
        let case = &self.case;
        let as_of = AsOf::of(case, self.asked);
        // Two parts that each belong in the other's place may be on two boards.
        let mut asked: Vec<bool> = boards.to_vec();
        for (asked, is_swapped) in asked.iter_mut().zip(&self.is_swapped) {
            *asked |= is_swapped;
        }
        let has_steps = case.job.as_ref().is_some_and(|job| !job.steps.is_empty());
        let is_all = self.order.get().is_none() && has_steps || Choices::are_all_asked_for(case);
        let mut chosen = replacements_on(case, |board| is_all || asked[board.0 as usize]);
        let mut heights_before = Vec::new();
        let mut by_board = chosen_by_board(case, &chosen);
        for (index, chosen) in by_board.iter().enumerate() {
            if asked[index] {
                self.is_swapped[index] = chosen.iter().any(|chosen| chosen.is_swapped());
                let said = Said::of(&OnBoard {
                    case,
                    board: BoardId(index as u32),
                    chosen,
                    as_of,
                });
                let before = std::mem::replace(&mut self.said[index], said);
                heights_before.push((index, before.heights));
            }
        }
        let is_as_high = |(index, heights): &(usize, _)| self.said[*index].heights == *heights;
        if !is_all && !heights_before.iter().all(is_as_high) {
            self.order = OnceCell::new();
            by_board.clear();
            chosen = replacements_on(case, |_| true);
        }
        self.report = judge(case, as_of, &chosen, &self.said, &self.order);
        asked.iter().filter(|is_asked| **is_asked).count()
    }

    /// Takes the files as they are now.
    pub fn update(
        &mut self,
        sources: Sources,
        root: FileId,
        asked: Option<Stage>,
        kept: &KeptWords,
    ) {
        let is_alike = self.asked == asked
            && self.case.root == root
            && self.files.len() == sources.len()
            && sources.has_refused_as(&self.case.sources);
        if !is_alike {
            *self = Session::new(sources, root, asked, kept);
            return;
        }
        let mut moves = Moves::default();
        let mut within: Option<(FileId, Within)> = None;
        let mut is_as_before = true;
        for (index, known) in self.files.iter_mut().enumerate() {
            let file = FileId(index as u32);
            match known.update(file, sources.shared(file), &mut moves) {
                Told::Same => {}
                Told::Moved => is_as_before = false,
                Told::Within(section) if within.is_none() => {
                    within = Some((file, section));
                }
                Told::Within(_) | Told::Otherwise => {
                    *self = Session::new(sources, root, asked, kept);
                    return;
                }
            }
        }
        self.case.sources = Cow::Owned(sources);
        if !moves.is_empty() {
            self.case.follow(&moves);
            self.base.follow(&moves);
            self.said.follow(&moves);
            if let Some(Some(order)) = self.order.get_mut() {
                order.follow(&moves);
            }
        }
        let Some((file, within)) = within else {
            if !moves.is_empty() {
                self.report.follow(&moves);
            }
            self.done = if is_as_before {
                Done::Nothing
            } else {
                Done::Followed
            };
            return;
        };
        if !self.in_part(file, within, kept) {
            let sources = std::mem::take(self.case.sources.to_mut());
            *self = Session::new(sources, root, asked, kept);
        }
    }

    /// Reads and judges again what a change within a section reaches; not where it
    /// may reach everything.
    fn in_part(&mut self, file: FileId, within: Within, kept: &KeptWords) -> bool {
        let section = within.section;
        if !self.base.is_plain() || !self.base.has_unread_of(&self.case.sources) {
            return false;
        }
        let tree = &self.case.sources.file(file).tree;
        let Record::Heading(heading) = &tree.line(section).record else {
            return false;
        };
        let place = tree.sections().position(|(id, _)| id == section);
        let kind = heading.kind;
        let changed = match kind {
            HeadingKind::Board | HeadingKind::Wiring => {
                let Some(board) = place.and_then(|place| self.base.board_at(file, place)) else {
                    return false;
                };
                Some(board)
            }
            // By these the lines of boards are read.
            HeadingKind::Packages | HeadingKind::Devices => return false,
            _ => None,
        };
        let sources = self.case.sources.clone();
        if kind == HeadingKind::Log && self.base.can_read_log() && file == self.case.root {
            let lines = within.line_by_line;
            let Some(log) = read_log_again(&mut self.case, &mut self.base, lines, kept) else {
                return false;
            };
            let entries_read = log.entries.len();
            let reached = Before::of_log(log).reached(&self.case, None, &Gone::default());
            self.done = Done::InPart {
                parts_read: 0,
                entries_read,
                boards_judged: self.judge(&reached),
            };
            return true;
        }
        let line = within.only_line();
        let in_place = changed.and_then(|board| {
            let (case, base) = (&mut self.case, &mut self.base);
            let alone = line.and_then(|line| read_line_in_place(case, base, board, line, kept));
            let read = alone.or_else(|| read_in_place(case, base, board, kept));
            Some((board, read?))
        });
        if let Some((board, InPlace { parts, log })) = in_place {
            if !reach::work_alike(&parts, &self.case) {
                self.order = OnceCell::new();
            }
            let entries_read = log.as_ref().map_or(0, |log| log.entries.len());
            let reached = match log {
                Some(log) => Before::of_log(log).reached(&self.case, changed, &Gone::default()),
                None => reach::of_board(&self.case, board),
            };
            self.done = Done::InPart {
                parts_read: parts.len(),
                entries_read,
                boards_judged: self.judge(&reached),
            };
            return true;
        }
        let before = Before::of_all(&mut self.case);
        let Some(gone) = read_again(&mut self.case, &mut self.base, changed, kept) else {
            self.case.sources = sources;
            return false;
        };
        // No rule on boards looks at steps or targets, every one at the rest.
        let reaches_all =
            changed.is_none() && !matches!(kind, HeadingKind::Steps | HeadingKind::Targets);
        let reached = if reaches_all {
            vec![true; self.case.boards.len()]
        } else {
            before.reached(&self.case, changed, &gone)
        };
        if reaches_all
            || kind == HeadingKind::Steps
            || !before.has_same_steps(&self.case, changed, &gone)
        {
            self.order = OnceCell::new();
        }
        self.done = Done::InPart {
            parts_read: changed.map_or(0, |board| self.case.board(board).parts.len()),
            entries_read: self.case.job.as_ref().map_or(0, |job| job.log.len()),
            boards_judged: self.judge(&reached),
        };
        true
    }

    /// Lets go of the files, so that whoever owns them may edit them in place. What
    /// is known of them stays known.
    pub fn let_go(&mut self) {
        let mut sources = Sources::new();
        sources.refuse_as(&self.case.sources);
        self.case.sources = Cow::Owned(sources);
    }

    /// What the files mean.
    pub fn case(&self) -> &Case<'static> {
        &self.case
    }

    /// What was found.
    pub fn report(&self) -> &Report {
        &self.report
    }

    /// What the last update had to do.
    pub fn done(&self) -> Done {
        self.done
    }

    /// What an editor asks of.
    pub fn snapshot(&self) -> Snapshot<'_> {
        Snapshot::new(&self.case, &self.report)
    }
}
