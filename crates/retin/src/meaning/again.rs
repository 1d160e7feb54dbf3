//! A case read again after an edit within one board, or behind the boards: what
//! was read of the other boards is kept.

use super::build::{BOARDS, Reader, empty, of, sections_of};
use super::passed_over::is_unread;
use super::problem::{Problem, ProblemKind};
use super::words::KeptWords;
use super::{BoardId, Case, Facts, NetId, Part, Says, Section, Stated, board, log, told_once};
use crate::library;
use crate::moves::{Moved as _, Moves};
use crate::potentials::Potentials;
use crate::sources::{FileId, Sources};
use retin_syntax::tables::Property;
use retin_syntax::tree::{HeadingKind, Record};
use rustc_hash::FxHashMap;
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
    pub(crate) parts: Vec<Part<'static>>,
    /// Whether other boards' parts are known by another number now.
    pub(crate) is_renumbered: bool,
    /// Whether its nets are named otherwise, or its rails say something else.
    pub(crate) has_other_nets: bool,
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
        noted: Vec::new(),
        unread: unread_lines(sources),
    };
    for section in of(&sections, BOARDS) {
        let problems = reader.case.problems.len();
        let first = (reader.case.parts.len(), reader.case.nets.len());
        board::board(&mut reader, section);
        base.boards.push(OfBoard {
            section: (section.file, place_of(&section)),
            parts: first.0..reader.case.parts.len(),
            nets: first.1..reader.case.nets.len(),
            problems: reader.case.problems[problems..].to_vec(),
        });
    }
    base.is_plain = base.boards.len() == reader.case.boards.len();
    base.leads = reader.case.nets.leads();
    reader.behind_boards(&sections);
    base.log_begins = reader.problems_of_log(&sections);
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

/// Reads the log of a case again, of which nothing else was changed; not where
/// something that is read behind it has its problems there too.
pub(crate) fn read_log_again(case: &mut Case<'static>, base: &mut Base, kept: &KeptWords) -> bool {
    if base.log_begins.is_none() {
        return false;
    }
    let sources = case.sources.as_ref().clone();
    let mut reader = going_on(case, &sources, kept);
    reader.case.problems = std::mem::take(&mut base.noted);
    survey_again(&mut reader, base);
    if let Some(begins) = base.log_begins {
        reader.case.problems.truncate(begins);
    }
    if let Some(job) = &mut reader.case.job {
        job.log.clear();
    }
    let mut sections = sections_of(&sources, reader.case.root);
    if let Some(section) = sections.find(|section| section.heading.kind == HeadingKind::Log) {
        log::log(&mut reader, section);
    }
    reader.behind_log();
    base.chooses_by_value |= reader.chooses_by_value;
    gather(&mut reader, base);
    *case = reader.case;
    true
}

/// Reads one board again, and nothing that goes by the boards: where names, kinds,
/// nets and what else these go by are as they were. Gives the parts as they were;
/// none where something else has to be read too, and then nothing is changed.
pub(crate) fn read_in_place(
    case: &mut Case<'static>,
    base: &mut Base,
    board: BoardId,
    kept: &KeptWords,
) -> Option<Vec<Part<'static>>> {
    let index = board.0 as usize;
    let was = base.boards.get(index)?.clone();
    let sources = case.sources.as_ref().clone();
    let section = section_at(&sources, was.section)?;
    let mut reader = going_on(case, &sources, kept);
    reader.case.problems = std::mem::take(&mut base.noted);
    survey_again(&mut reader, base);
    let names = std::mem::take(&mut reader.case.parts_by_name[index]);
    let nets = reader.case.nets.set_aside(board);
    let own = &mut reader.case.boards[index];
    let old = (
        std::mem::take(&mut own.facts),
        std::mem::take(&mut own.zones),
        std::mem::take(&mut own.zone_corners),
        std::mem::take(&mut own.parts),
    );
    let behind = (
        reader.case.parts.len(),
        reader.case.nets.len(),
        reader.case.problems.len(),
    );
    board::again(&mut reader, section, board);
    let mut new: Vec<Part<'static>> = reader.case.parts.drain(behind.0..).collect();
    let new_nets = reader.case.nets.take_behind(behind.1);
    let problems = reader.case.problems.split_off(behind.2);
    reader.case.parts_by_name[index] = names;
    reader.case.nets.put_aside(board, nets);
    let is_alike = !base.chooses_by_value
        && !reader.has_taken()
        && !problems.iter().any(asks_for_boards)
        && say_the_same(&old.0, &reader.case.boards[index].facts)
        && reader.case.nets.are_alike(was.nets.clone(), &new_nets)
        && are_alike(&reader.case, &was, &new, behind.1);
    let own = &mut reader.case.boards[index];
    own.parts = old.3;
    if !is_alike {
        (own.facts, own.zones, own.zone_corners) = (old.0, old.1, old.2);
        *case = reader.case;
        return None;
    }
    for (part, old) in new
        .iter_mut()
        .zip(&mut reader.case.parts[was.parts.clone()])
    {
        shift_nets(part, was.nets.start as i64 - behind.1 as i64);
        // What was found stands in the job.
        let found = old.claims.iter().position(|claim| claim.copy.is_some());
        part.claims
            .extend(old.claims.drain(found.unwrap_or(old.claims.len())..));
        part.go_by_here = std::mem::take(&mut old.go_by_here);
    }
    let gone = reader.case.parts.splice(was.parts.clone(), new).collect();
    let leads = &mut base.leads[was.nets.clone()];
    reader
        .case
        .nets
        .take_over(was.nets.clone(), new_nets, leads);
    let before: usize = base.boards[..index]
        .iter()
        .map(|board| board.problems.len())
        .sum();
    let first = base.surveyed + base.before + before;
    if let Some(begins) = &mut base.log_begins {
        *begins = *begins - was.problems.len() + problems.len();
    }
    let old_problems = first..first + was.problems.len();
    reader
        .case
        .problems
        .splice(old_problems, problems.iter().cloned());
    base.boards[index].problems = problems;
    reader.case.potentials = Potentials::of_rails(&reader.case.nets);
    gather(&mut reader, base);
    *case = reader.case;
    Some(gone)
}

/// A section by its place among those of its file.
fn section_at(sources: &Sources, (file, place): (FileId, usize)) -> Option<Section<'_>> {
    let tree = &sources.file(file).tree;
    let (id, line) = tree.sections().nth(place)?;
    let Record::Heading(heading) = &line.record else {
        return None;
    };
    Some(Section {
        file,
        id,
        tree,
        heading,
    })
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

/// Whether what goes by the parts of a board finds the same in those that were read
/// anew; their nets are numbered from `first_net` on.
fn are_alike(case: &Case<'static>, was: &OfBoard, new: &[Part<'static>], first_net: usize) -> bool {
    let old = &case.parts[was.parts.clone()];
    let features = |part: &'_ Part<'static>| {
        let features = part.facts.all(Property::Feature);
        features.map(|fact| fact.value.clone()).collect::<Vec<_>>()
    };
    let same_pins = |old: &Part<'_>, new: &Part<'_>| {
        old.pins.len() == new.pins.len()
            && old.pins.iter().zip(&new.pins).all(|(old, new)| {
                let net = new.net.0 as usize - first_net + was.nets.start;
                old.lead == new.lead && old.net.0 as usize == net
            })
    };
    let same_exceptions = |old: &Part<'_>, new: &Part<'_>| {
        old.exceptions.len() == new.exceptions.len()
            && old
                .exceptions
                .iter()
                .zip(&new.exceptions)
                .all(|(old, new)| {
                    old.copies == new.copies
                        && old.facts.has(Property::Unfitted) == new.facts.has(Property::Unfitted)
                })
    };
    old.len() == new.len()
        && old.iter().zip(new).all(|(old, new)| {
            old.name == new.name
                && old.kind == new.kind
                && old.is_unfitted == new.is_unfitted
                && same_pins(old, new)
                && same_exceptions(old, new)
                && features(old) == features(new)
        })
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
    let parts: Vec<Part<'static>> = case.parts.splice(was.parts.clone(), new).collect();
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
