//! A case read again after an edit within one board, or behind the boards: what
//! was read of the other boards is kept.

mod in_place;

use super::build::{BOARDS, Reader, empty, of, sections_of};
use super::mentions::Mentions;
use super::passed_over::is_unread;
use super::problem::{Problem, ProblemKind};
use super::words::KeptWords;
use super::{
    BoardId, Case, Facts, LogEntry, Net, NetId, Part, PartId, Point, Says, Section, Stated, board,
    log, told_once,
};
use crate::library;
use crate::moves::{Moved as _, Moves};
use crate::sources::{FileId, Origin, Sources};
use crate::stage::Stage;
use crate::time::Replay;
pub(crate) use in_place::{InPlace, read_in_place, read_line_in_place};
use retin_syntax::tree::{HeadingKind, Line, LineId, Record};
use rustc_hash::{FxHashMap, FxHashSet};
use std::borrow::Cow;
use std::ops::Range;

/// What was read of the boards by themselves, before anything else of the files
/// added to it.
#[derive(Debug)]
pub(crate) struct Base {
    /// By board.
    boards: Vec<OfBoard>,
    /// By net: how many leads of the boards themselves name it.
    leads: Vec<u32>,
    /// Whether every section was read as one board of its own.
    is_plain: bool,
    /// How many problems the lines of all files have by themselves.
    surveyed: usize,
    /// How many problems there were then before the boards were read.
    before: usize,
    /// How many there were before the log, where it is read last.
    log_begins: Option<usize>,
    /// By entry of the log: its problems, by their places among those of the log.
    told_of_entries: Vec<Range<usize>>,
    /// What names stand behind the boards, once somebody has asked.
    mentions: Option<Mentions>,
    /// Whether something behind the boards chooses places by what their parts'
    /// values are.
    chooses_by_value: bool,
    /// The problems as they were noted, before those that are one mistake were gathered.
    noted: Vec<Problem>,
    /// The lines that could not be read. What hangs on them is told nowhere, and many
    /// rules ask for them.
    unread: Vec<(FileId, String)>,
}

/// What one board's section gave.
#[derive(Clone, Debug)]
struct OfBoard {
    /// Its file, and its section's place among those of the file.
    section: (FileId, usize),
    parts: Range<usize>,
    nets: Range<usize>,
    problems: Vec<Problem>,
}

/// What an edit within a board's section did away with.
#[derive(Default, Debug)]
pub(crate) struct Gone {
    /// The parts that it had.
    pub(crate) parts: Vec<(PartId, Part<'static>)>,
    /// Whether other boards' parts are known by another number now.
    pub(crate) is_renumbered: bool,
    /// Whether its nets are named otherwise, or its rails say something else.
    pub(crate) has_other_nets: bool,
}

/// A log as it was, but for the entries that were not read again.
#[derive(Debug)]
pub(crate) struct OldLog {
    /// How many entries it had.
    pub(crate) length: usize,
    /// Entries with their places in it.
    pub(crate) entries: Vec<(usize, LogEntry<'static>)>,
    /// What it came to.
    pub(crate) replay: Replay<'static>,
    /// How far it had come.
    pub(crate) stage: Stage,
}

/// Reads a case that keeps its words itself.
pub(crate) fn build_kept(
    sources: &Sources,
    root: FileId,
    kept: &KeptWords,
) -> (Case<'static>, Base) {
    let own = Cow::Owned(sources.clone());
    let case = empty(own, root, library::Known::built_in());
    let mut reader = Reader::over(sources, case, kept);
    let sections = reader.survey();
    let surveyed = reader.case.problems.len();
    reader.before_boards(&sections);
    let mut base = Base {
        surveyed,
        before: reader.case.problems.len() - surveyed,
        chooses_by_value: false,
        boards: Vec::new(),
        leads: Vec::new(),
        is_plain: true,
        log_begins: None,
        told_of_entries: Vec::new(),
        mentions: None,
        noted: Vec::new(),
        unread: unread_lines(sources),
    };
    for section in of(&sections, BOARDS) {
        let problems = reader.case.problems.len();
        let first = (reader.case.parts.len(), reader.case.nets.len());
        board::board(&mut reader, section);
        // Read again, a board is not asked for its heading.
        let heading = section.tree.line(section.id).span;
        let is_of_heading = |problem: &Problem| {
            let Origin { file, span } = problem.origin;
            file == section.file && heading.touches(span.start)
        };
        base.is_plain &= !reader.case.problems[problems..].iter().any(is_of_heading);
        base.boards.push(OfBoard {
            section: (section.file, place_of(&section)),
            parts: first.0..reader.case.parts.len(),
            nets: first.1..reader.case.nets.len(),
            problems: reader.case.problems[problems..].to_vec(),
        });
    }
    base.is_plain &= base.boards.len() == reader.case.boards.len();
    base.leads = reader.case.nets.leads();
    reader.behind_boards(&sections);
    base.log_begins = reader.problems_of_log(&sections);
    base.told_of_entries = std::mem::take(&mut reader.told_of_entries);
    base.chooses_by_value = reader.chooses_by_value;
    base.is_plain &= !reader.has_taken();
    gather(&mut reader, &mut base);
    (reader.case, base)
}

/// Keeps the problems as they were noted, and gathers those that are one mistake.
fn gather(reader: &mut Reader<'_, 'static>, base: &mut Base) {
    base.noted.clone_from(&reader.case.problems);
    told_once::gather(reader);
}

/// The lines of all files that cannot be read.
fn unread_lines(sources: &Sources) -> Vec<(FileId, String)> {
    let files = (0..sources.len() as u32).map(FileId);
    // A line that cannot be read is told among the errors of its file.
    let has_errors = |file: &FileId| !sources.file(*file).tree.errors.is_empty();
    let of_file = |file: FileId| {
        let source = sources.file(file);
        let lines = source.tree.lines.iter();
        let unread = lines.filter(|line| is_unread(&line.record));
        unread.map(move |line| (file, line.span.of(&source.text).to_owned()))
    };
    files.filter(has_errors).flat_map(of_file).collect()
}

/// A section's place among those of its file.
fn place_of(section: &Section<'_>) -> usize {
    let mut sections = section.tree.sections();
    sections.position(|(id, _)| id == section.id).unwrap_or(0)
}

impl Base {
    /// Whether boards can be read again one by one.
    pub(crate) fn is_plain(&self) -> bool {
        self.is_plain
    }

    /// Whether the log can be read again alone.
    pub(crate) fn can_read_log(&self) -> bool {
        self.log_begins.is_some()
    }

    /// The board that a section was read as.
    pub(crate) fn board_at(&self, file: FileId, section: usize) -> Option<BoardId> {
        let mut boards = self.boards.iter();
        let index = boards.position(|board| board.section == (file, section))?;
        Some(BoardId(index as u32))
    }

    /// Whether the lines that cannot be read are those that could not be before.
    pub(crate) fn has_unread_of(&self, sources: &Sources) -> bool {
        self.unread == unread_lines(sources)
    }

    /// Whether every entry of the log can be read for itself: none corrects another.
    fn has_entries_alone(&self, case: &Case<'_>) -> bool {
        let log = case.job.as_ref().map_or(&[][..], |job| &job.log);
        log.len() == self.told_of_entries.len() && !log.iter().any(LogEntry::is_correction)
    }

    /// Whether the boards themselves brought all parts and nets, of which there are so
    /// many, and no link joins nets.
    fn holds_all(&self, case: &Case<'_>, parts: usize, nets: usize) -> bool {
        let own = self.boards.last().map_or(0, |board| board.parts.end);
        case.links.is_empty() && own == parts && self.leads.len() == nets
    }

    /// The entries of the log that have to be read again where some names lead to
    /// something else; none where another section may have asked for one of them. The
    /// problems of the case have to be those that were noted.
    fn entries_naming(
        &mut self,
        case: &Case<'_>,
        sources: &Sources,
        names: &FxHashSet<String>,
    ) -> Option<Vec<usize>> {
        if names.is_empty() {
            return Some(Vec::new());
        }
        // A log is told of its mistakes where its job is not read, too.
        let has_log = !self.told_of_entries.is_empty();
        if has_log && (self.log_begins.is_none() || !self.has_entries_alone(case)) {
            return None;
        }
        // Names like one that nobody knows are looked for among all.
        let own = self.boards.iter().map(|board| board.problems.len());
        let first = self.surveyed + self.before + own.sum::<usize>();
        let log_begins = self.log_begins.unwrap_or(case.problems.len());
        let is_unknown =
            |problem: &Problem| matches!(problem.kind, ProblemKind::UnknownName { .. });
        if case.problems[first..log_begins].iter().any(is_unknown) {
            return None;
        }
        let root = case.root;
        let mentions = self
            .mentions
            .get_or_insert_with(|| Mentions::of(sources, root));
        let mut entries: Vec<usize> = Vec::new();
        for name in names {
            entries.extend(mentions.entries_naming(name)?);
        }
        let told = self.told_of_entries.iter().enumerate();
        entries.extend(told.filter(|(_, told)| !told.is_empty()).map(|(at, _)| at));
        entries.sort_unstable();
        entries.dedup();
        Some(entries)
    }

    /// Puts other nets in the place of those that a board had, where the nets of the
    /// boards are all there are.
    fn put_nets(&mut self, case: &mut Case<'static>, board: BoardId, new: Vec<Net<'static>>) {
        let index = board.0 as usize;
        let was = self.boards[index].nets.clone();
        let more = new.len() as i64 - was.len() as i64;
        self.boards[index].nets.end = was.start + new.len();
        let leads = new.iter().map(|net| net.leads);
        self.leads.splice(was.clone(), leads);
        case.nets.replace(board, was.clone(), new);
        if more == 0 {
            return;
        }
        for later in index + 1..self.boards.len() {
            let of_board = &mut self.boards[later];
            shift_range(&mut of_board.nets, more);
            case.nets.renumber(BoardId(later as u32), more);
            for part in &mut case.parts[of_board.parts.clone()] {
                shift_nets(part, more);
            }
        }
        nets_behind_boards(case, &|net: &mut NetId| {
            if net.0 as usize >= was.end {
                shift_id(&mut net.0, more);
            }
        });
    }

    /// Follows the files.
    pub(crate) fn follow(&mut self, moves: &Moves) {
        for board in &mut self.boards {
            board.problems.follow(moves);
        }
        self.noted.follow(moves);
    }
}

/// Reads everything but the boards again, and of the boards the one whose section
/// was changed; none where that cannot be done for one board alone, and then the
/// case is of no more use.
///
/// The sections have to be those that the case was read from, in the same order.
pub(crate) fn read_again(
    case: &mut Case<'static>,
    base: &mut Base,
    changed: Option<BoardId>,
    kept: &KeptWords,
) -> Option<Gone> {
    let sources = case.sources.as_ref().clone();
    strip(case, base);
    let mut reader = going_on(case, &sources, kept);
    let sections = reader.survey();
    base.surveyed = reader.case.problems.len();
    reader.before_boards(&sections);
    base.before = reader.case.problems.len() - base.surveyed;
    let mut gone = Gone::default();
    for (index, section) in of(&sections, BOARDS).enumerate() {
        let board = BoardId(index as u32);
        if changed == Some(board) {
            gone = one_board(&mut reader, base, board, section)?;
        }
        let problems = &base.boards.get(index)?.problems;
        reader.case.problems.extend_from_slice(problems);
    }
    base.leads = reader.case.nets.leads();
    reader.behind_boards(&sections);
    if reader.has_taken() {
        return None;
    }
    base.log_begins = reader.problems_of_log(&sections);
    base.told_of_entries = std::mem::take(&mut reader.told_of_entries);
    if changed.is_none() {
        base.mentions = None;
    }
    base.chooses_by_value = reader.chooses_by_value;
    gather(&mut reader, base);
    *case = reader.case;
    Some(gone)
}

/// A reader that goes on with a case, which is put back when it has read.
fn going_on<'t>(
    case: &mut Case<'static>,
    sources: &'t Sources,
    kept: &'t KeptWords,
) -> Reader<'t, 'static> {
    let nothing = empty(
        Cow::Owned(Sources::new()),
        case.root,
        library::Known::built_in(),
    );
    Reader::over(sources, std::mem::replace(case, nothing), kept)
}

/// Notes anew what is wrong with the lines of all files by themselves, and what stands
/// on those that cannot be read: that has to be known before anything is read.
fn survey_again(reader: &mut Reader<'_, 'static>, base: &mut Base) {
    let behind = reader.case.problems.split_off(base.surveyed);
    reader.case.problems.clear();
    reader.survey();
    let surveyed = reader.case.problems.len();
    if let Some(begins) = &mut base.log_begins {
        *begins = *begins - base.surveyed + surveyed;
    }
    base.surveyed = surveyed;
    reader.case.problems.extend(behind);
}

/// Reads the log of a case again, of which nothing else was changed: the entries on
/// these lines, where each stands for one that was there before; else all. Gives the
/// entries as they were; none where something that is read behind the log has its
/// problems there too.
pub(crate) fn read_log_again(
    case: &mut Case<'static>,
    base: &mut Base,
    lines: Option<Range<LineId>>,
    kept: &KeptWords,
) -> Option<OldLog> {
    let begins = base.log_begins?;
    let length = case.job.as_ref()?.log.len();
    let sources = case.sources.as_ref().clone();
    let mut reader = going_on(case, &sources, kept);
    reader.case.problems = std::mem::take(&mut base.noted);
    survey_again(&mut reader, base);
    let begins = base.log_begins.unwrap_or(begins);
    reader.log_begins = Some(begins);
    let mut sections = sections_of(&sources, reader.case.root);
    let section = sections.find(|section| section.heading.kind == HeadingKind::Log);
    let corrects_nothing = |line: &Line| match &line.record {
        Record::Entry(entry) => entry.mends.is_none(),
        _ => false,
    };
    let are_alone = |section: &Section<'_>, lines: &Range<LineId>| {
        let mut lines = section.tree.lines[lines.start.index()..lines.end.index()].iter();
        base.has_entries_alone(&reader.case) && lines.all(corrects_nothing)
    };
    let some = section.zip(lines);
    let entries = match some.filter(|(section, lines)| are_alone(section, lines)) {
        Some((section, lines)) => {
            let told = &mut base.told_of_entries;
            let is_other = |_, line| lines.contains(&line);
            let entries = log::entries_again(&mut reader, section, told, is_other);
            if let Some(mentions) = &mut base.mentions {
                for ((at, _), id) in entries.iter().zip(lines.start.0..lines.end.0) {
                    let line = section.tree.line(LineId(id));
                    mentions.note_entry(&sources, section, line, *at);
                }
            }
            entries
        }
        None => {
            reader.case.problems.truncate(begins);
            let job = reader.case.job.as_mut();
            let log = job.map(|job| std::mem::take(&mut job.log));
            if let Some(section) = section {
                log::log(&mut reader, section);
            }
            base.told_of_entries = std::mem::take(&mut reader.told_of_entries);
            base.mentions = None;
            log.unwrap_or_default().into_iter().enumerate().collect()
        }
    };
    let log = replayed(&mut reader, length, entries);
    base.chooses_by_value |= reader.chooses_by_value;
    gather(&mut reader, base);
    *case = reader.case;
    Some(log)
}

/// Works out anew what follows from a log of which these entries were read again.
fn replayed(
    reader: &mut Reader<'_, 'static>,
    length: usize,
    entries: Vec<(usize, LogEntry<'static>)>,
) -> OldLog {
    let old = OldLog {
        length,
        entries,
        replay: std::mem::take(&mut reader.case.replay),
        stage: reader.case.stage,
    };
    reader.behind_log();
    old
}

/// Which boards there are to be meant is another question after all are read.
fn asks_for_boards(problem: &Problem) -> bool {
    matches!(problem.kind, ProblemKind::UnknownName { what: "board", .. })
}

/// Whether facts are the same, wherever they stand now.
pub(super) fn say_the_same(one: &Facts<'_>, other: &Facts<'_>) -> bool {
    let said = |facts: &'_ Stated<'_>| facts.property;
    one.iter().map(said).eq(other.iter().map(said))
        && one
            .iter()
            .zip(other.iter())
            .all(|(one, other)| one.value == other.value)
}

/// Takes out what other sections added to the boards, and themselves.
fn strip(case: &mut Case<'static>, base: &Base) {
    let count = base.boards.last().map_or(0, |board| board.parts.end);
    for part in case.parts.drain(count..) {
        let names = &mut case.parts_by_name[part.board.0 as usize];
        names.remove(&part.name);
        let on_board = &mut case.boards[part.board.0 as usize].parts;
        on_board.retain(|id| (id.0 as usize) < count);
    }
    for part in &mut case.parts {
        if part.claims.iter().any(|claim| claim.copy.is_some()) {
            part.claims.retain(|claim| claim.copy.is_none());
        }
        part.go_by_here.clear();
    }
    case.nets.strip(&base.leads);
    case.library = library::Known::built_in();
    case.model = None;
    case.job = None;
    case.links.clear();
    case.minutes.clear();
    case.shelves.clear();
    case.entries.clear();
    case.entries_by_name.clear();
    case.plan.clear();
    case.acceptances.clear();
    case.problems.clear();
}

/// Reads one board again: it comes to stand behind all, and is then put where it
/// stood before.
fn one_board(
    reader: &mut Reader<'_, 'static>,
    base: &mut Base,
    board: BoardId,
    section: Section<'_>,
) -> Option<Gone> {
    let index = board.0 as usize;
    let was = base.boards.get(index)?.clone();
    let rails = reader.case.nets.rails_in_words(board);
    let names = reader.case.nets.clear(board);
    reader.case.parts_by_name[index] = FxHashMap::default();
    let behind = (reader.case.parts.len(), reader.case.nets.len());
    let problems = reader.case.problems.len();
    board::again(reader, section, board);
    let read = reader.case.problems.split_off(problems);
    if read.iter().any(asks_for_boards) {
        return None;
    }
    let case = &mut reader.case;
    let (part_count, net_count) = (case.parts.len() - behind.0, case.nets.len() - behind.1);
    let has_other_names = case.nets.names(behind.1..behind.1 + net_count) != names;
    // Its own ids go down to where it stood.
    for id in &mut case.boards[index].parts {
        id.0 -= (behind.0 - was.parts.start) as u32;
    }
    for id in case.parts_by_name[index].values_mut() {
        id.0 -= (behind.0 - was.parts.start) as u32;
    }
    let new: Vec<Part<'static>> = case.parts.drain(behind.0..).collect();
    let ids = was.parts.clone().map(|id| PartId(id as u32));
    let parts = ids.zip(case.parts.splice(was.parts.clone(), new)).collect();
    let down = behind.1 - was.nets.start;
    case.nets.put_back(board, behind.1, was.nets.clone());
    let now = was.parts.start..was.parts.start + part_count;
    for part in &mut case.parts[now.clone()] {
        shift_nets(part, -(down as i64));
    }
    // Those of later boards go by the difference.
    let more_parts = part_count as i64 - was.parts.len() as i64;
    let more_nets = net_count as i64 - was.nets.len() as i64;
    base.boards[index] = OfBoard {
        section: was.section,
        parts: now,
        nets: was.nets.start..was.nets.start + net_count,
        problems: read,
    };
    if more_parts != 0 || more_nets != 0 {
        for later in index + 1..base.boards.len() {
            let of_board = &mut base.boards[later];
            shift_range(&mut of_board.parts, more_parts);
            shift_range(&mut of_board.nets, more_nets);
            let parts = of_board.parts.clone();
            for id in &mut case.boards[later].parts {
                shift_id(&mut id.0, more_parts);
            }
            for id in case.parts_by_name[later].values_mut() {
                shift_id(&mut id.0, more_parts);
            }
            if more_nets != 0 {
                case.nets.renumber(BoardId(later as u32), more_nets);
                for part in &mut case.parts[parts] {
                    shift_nets(part, more_nets);
                }
            }
        }
    }
    Some(Gone {
        parts,
        is_renumbered: more_parts != 0,
        has_other_nets: has_other_names || rails != case.nets.rails_in_words(board),
    })
}

/// Looks at every net that something behind the boards holds, but for links.
fn nets_behind_boards(case: &mut Case<'static>, look: &impl Fn(&mut NetId)) {
    let at = |point: &mut Point<'static>| {
        if let Point::Net(net, _) = point {
            look(net);
        }
    };
    if let Some(job) = &mut case.job {
        for step in &mut job.steps {
            step.about.nets.iter_mut().for_each(|(net, _)| look(net));
        }
        for target in &mut job.targets {
            let to = target.to.iter_mut().filter_map(|(_, net)| net.as_mut());
            target.net.iter_mut().chain(to).for_each(look);
            let points = target.points.iter_mut().chain(&mut target.to_points);
            points.for_each(at);
        }
        for entry in &mut job.log {
            let nets = entry.subject.nets.iter_mut();
            nets.for_each(|(net, _)| look(net));
            entry.to.iter_mut().for_each(at);
        }
    }
    for reading in &mut case.replay.readings {
        at(&mut reading.point);
        reading.to.iter_mut().for_each(at);
    }
}

fn shift_id(id: &mut u32, by: i64) {
    *id = (i64::from(*id) + by) as u32;
}

fn shift_range(range: &mut Range<usize>, by: i64) {
    range.start = (range.start as i64 + by) as usize;
    range.end = (range.end as i64 + by) as usize;
}

fn shift_nets(part: &mut Part<'_>, by: i64) {
    let shift = |net: &mut NetId| shift_id(&mut net.0, by);
    for pin in &mut part.pins {
        shift(&mut pin.net);
    }
    for claim in &mut part.claims {
        match &mut claim.says {
            Says::Facts { pins, .. } => {
                for pin in pins {
                    shift(&mut pin.net);
                }
            }
            Says::Sounds { net, .. } => shift(net),
            Says::Reads { .. } => {}
        }
    }
}
