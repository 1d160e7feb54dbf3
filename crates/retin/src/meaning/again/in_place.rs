//! A board, or one line of it, read again where it stands: where nothing else of the
//! case goes by what is otherwise now, but for some entries of the log.

use super::{
    Base, OfBoard, OldLog, asks_for_boards, gather, going_on, replayed, say_the_same, shift_nets,
    survey_again,
};
use crate::meaning::board::{self, Alone};
use crate::meaning::build::{Reader, sections_of};
use crate::meaning::words::KeptWords;
use crate::meaning::{BoardId, Case, FactValue, Net, Part, PartId, Section, log};
use crate::potentials::Potentials;
use crate::sources::{FileId, Origin, Sources};
use retin_syntax::tables::Property;
use retin_syntax::tree::{HeadingKind, LineId, Record};
use rustc_hash::FxHashSet;

/// What was read in place, and what that did away with.
#[derive(Debug)]
pub(crate) struct InPlace {
    /// The parts that were read, as they were before.
    pub(crate) parts: Vec<(PartId, Part<'static>)>,
    /// The log, where entries of it were read again.
    pub(crate) log: Option<OldLog>,
}

/// Reads one board again, and of what goes by the boards at most entries of the log:
/// where kinds and what else chooses places are as they were, and no other section has
/// the names by which something else is found now. None where something else has to be
/// read too, and then nothing is changed.
pub(crate) fn read_in_place(
    case: &mut Case<'static>,
    base: &mut Base,
    board: BoardId,
    kept: &KeptWords,
) -> Option<InPlace> {
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
        && say_the_same(&old.0, &reader.case.boards[index].facts);
    let differs = match is_alike {
        true => differences(&reader.case, &was, &new, &new_nets, behind.1),
        false => None,
    };
    let differs = differs.filter(|differs| {
        let can_number = || base.holds_all(&reader.case, behind.0, behind.1);
        !differs.has_other_nets || can_number() && !has_found(&reader.case, &was)
    });
    let entries = differs
        .as_ref()
        .and_then(|differs| base.entries_naming(&reader.case, &sources, &differs.names));
    let own = &mut reader.case.boards[index];
    own.parts = old.3;
    let Some((differs, entries)) = differs.zip(entries) else {
        (own.facts, own.zones, own.zone_corners) = (old.0, old.1, old.2);
        base.noted = std::mem::take(&mut reader.case.problems);
        *case = reader.case;
        return None;
    };
    for part in &mut new {
        shift_nets(part, was.nets.start as i64 - behind.1 as i64);
    }
    let ids = was.parts.clone().map(|id| PartId(id as u32));
    let parts = put_in_place(&mut reader.case, board, ids.zip(new).collect());
    if differs.has_other_nets {
        base.put_nets(&mut reader.case, board, new_nets);
    } else {
        let leads = &mut base.leads[was.nets.clone()];
        let nets = &mut reader.case.nets;
        nets.take_over(was.nets.clone(), new_nets, leads);
    }
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
    let log = entries_again(&mut reader, base, &sources, &differs.names, &entries);
    gather(&mut reader, base);
    *case = reader.case;
    Some(InPlace { parts, log })
}

/// The same of one line of a board, where it is the line of one part that leads to the
/// same nets: other parts are not read at all.
pub(crate) fn read_line_in_place(
    case: &mut Case<'static>,
    base: &mut Base,
    board: BoardId,
    line: LineId,
    kept: &KeptWords,
) -> Option<InPlace> {
    let was = base.boards.get(board.0 as usize)?;
    let sources = case.sources.as_ref().clone();
    let section = section_at(&sources, was.section)?;
    let id = part_at(case, was, section, line)?;
    let old = case.part(id).line;
    let is_of_line =
        |origin: &Origin| origin.file == old.file && old.span.touches(origin.span.start);
    let told = was.problems.iter().chain(&base.noted[..base.surveyed]);
    if base.chooses_by_value || told.map(|problem| &problem.origin).any(is_of_line) {
        return None;
    }
    let mut reader = going_on(case, &sources, kept);
    let read = board::part_alone(&mut reader, section, line, id);
    let read = read.filter(|read| may_stand_for(&read.part, reader.case.part(id)));
    let Some(Alone { part, nets }) = read else {
        *case = reader.case;
        return None;
    };
    let old_name = &reader.case.part(id).name;
    let mut names = FxHashSet::default();
    let mut entries = Vec::new();
    let is_renamed = *old_name != part.name;
    if is_renamed {
        names.extend([old_name.clone(), part.name.clone()]);
        reader.case.problems = std::mem::take(&mut base.noted);
        survey_again(&mut reader, base);
        let is_taken = reader.case.parts_by_name[board.0 as usize].contains_key(&part.name);
        let found = match is_taken || reader.has_taken() {
            true => None,
            false => base.entries_naming(&reader.case, &sources, &names),
        };
        let Some(found) = found else {
            base.noted = std::mem::take(&mut reader.case.problems);
            *case = reader.case;
            return None;
        };
        entries = found;
    }
    for (net, origin) in nets.into_iter().rev() {
        reader.case.nets.name_again(net, origin, is_of_line);
    }
    let parts = put_in_place(&mut reader.case, board, vec![(id, part)]);
    reader.case.potentials.forget_solved();
    let log = entries_again(&mut reader, base, &sources, &names, &entries);
    if is_renamed {
        gather(&mut reader, base);
    }
    *case = reader.case;
    Some(InPlace { parts, log })
}

/// The one part that a line stood for before it was changed; none where there is none,
/// or more.
fn part_at(
    case: &Case<'static>,
    was: &OfBoard,
    section: Section<'_>,
    line: LineId,
) -> Option<PartId> {
    let start = section.tree.line(line).span.start;
    let stands_here = |id: &PartId| {
        let line = case.part(*id).line;
        line.file == section.file && line.span.start == start
    };
    let ids = was.parts.clone().map(|id| PartId(id as u32));
    let mut here = ids.filter(stands_here);
    let id = here.next()?;
    here.next().is_none().then_some(id)
}

/// Whether what goes by kinds, features, copies or bare places finds the same in a part
/// as in the one before.
fn may_stand_for(new: &Part<'_>, old: &Part<'_>) -> bool {
    let same_exceptions = old.exceptions.len() == new.exceptions.len()
        && old
            .exceptions
            .iter()
            .zip(&new.exceptions)
            .all(|(old, new)| {
                old.copies == new.copies
                    && old.facts.has(Property::Unfitted) == new.facts.has(Property::Unfitted)
            });
    let same_features = features(old).eq(features(new));
    old.kind == new.kind && old.is_unfitted == new.is_unfitted && same_exceptions && same_features
}

/// The features of a part, by which a selector may choose it.
fn features<'p>(part: &'p Part<'_>) -> impl Iterator<Item = &'p FactValue<'p>> {
    part.facts.all(Property::Feature).map(|fact| &fact.value)
}

/// Puts parts that were read anew in the place of those that were there, which it gives.
fn put_in_place(
    case: &mut Case<'static>,
    board: BoardId,
    new: Vec<(PartId, Part<'static>)>,
) -> Vec<(PartId, Part<'static>)> {
    let names = &mut case.parts_by_name[board.0 as usize];
    let is_renamed =
        |(id, part): &&(PartId, Part<'static>)| case.parts[id.0 as usize].name != part.name;
    for (id, _) in new.iter().filter(is_renamed) {
        names.remove(&case.parts[id.0 as usize].name);
    }
    for (id, part) in new.iter().filter(is_renamed) {
        names.insert(part.name.clone(), *id);
    }
    let put = |(id, mut part): (PartId, Part<'static>)| {
        let place = &mut case.parts[id.0 as usize];
        // What was found stands in the job.
        let found = place.claims.iter().position(|claim| claim.copy.is_some());
        let found = found.unwrap_or(place.claims.len());
        part.claims.extend(place.claims.drain(found..));
        part.go_by_here = std::mem::take(&mut place.go_by_here);
        (id, std::mem::replace(place, part))
    };
    new.into_iter().map(put).collect()
}

/// Reads some entries of the log again, where parts or nets have other names; gives the
/// log as it was, where something else follows from it.
fn entries_again(
    reader: &mut Reader<'_, 'static>,
    base: &mut Base,
    sources: &Sources,
    names: &FxHashSet<String>,
    entries: &[usize],
) -> Option<OldLog> {
    // Whether an accident was mended goes by nets, too.
    let has_accidents = !reader.case.replay.accidents.is_empty();
    if entries.is_empty() && (!has_accidents || names.is_empty()) {
        return None;
    }
    reader.log_begins = base.log_begins;
    let mut sections = sections_of(sources, reader.case.root);
    let section = sections.find(|section| section.heading.kind == HeadingKind::Log);
    let told = &mut base.told_of_entries;
    let read = section.map(|section| {
        let is_other = |at, _| entries.binary_search(&at).is_ok();
        log::entries_again(reader, section, told, is_other)
    });
    let length = reader.case.job.as_ref().map_or(0, |job| job.log.len());
    let log = replayed(reader, length, read.unwrap_or_default());
    base.chooses_by_value |= reader.chooses_by_value;
    Some(log)
}

/// What of a board is found by its name otherwise than before.
struct Differences {
    names: FxHashSet<String>,
    /// Whether its nets are others, or numbered otherwise.
    has_other_nets: bool,
}

/// Whether something was found at a board's parts on the bench: that stands in the job,
/// and goes by the nets as they were.
fn has_found(case: &Case<'_>, of: &OfBoard) -> bool {
    let parts = case.parts[of.parts.clone()].iter();
    let mut claims = parts.flat_map(|part| &part.claims);
    claims.any(|claim| claim.copy.is_some())
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

/// By which names something else is found on a board that was read anew, its nets
/// numbered from `first_net` on; none where what goes by kinds, features, rails or
/// copies may find something else, too.
fn differences(
    case: &Case<'static>,
    was: &OfBoard,
    new: &[Part<'static>],
    new_nets: &[Net<'static>],
    first_net: usize,
) -> Option<Differences> {
    let old = &case.parts[was.parts.clone()];
    let nets = case.nets.named_otherwise(was.nets.clone(), new_nets)?;
    let same_pins = |old: &Part<'_>, new: &Part<'_>| {
        old.pins.len() == new.pins.len()
            && old.pins.iter().zip(&new.pins).all(|(old, new)| {
                let net = &new_nets[new.net.0 as usize - first_net];
                old.lead == new.lead && case.nets.net(old.net).name == net.name
            })
    };
    let mut pairs = old.iter().zip(new);
    if old.len() != new.len() || !pairs.all(|(old, new)| may_stand_for(new, old)) {
        return None;
    }
    let mut names: FxHashSet<String> = nets.iter().map(|name| (*name).to_owned()).collect();
    for (old, new) in old.iter().zip(new) {
        if old.name != new.name || !same_pins(old, new) {
            names.extend([old.name.clone(), new.name.clone()]);
        }
    }
    Some(Differences {
        names,
        has_other_nets: !nets.is_empty(),
    })
}
