//! One mistake is told once: a name that nobody knows, wherever it is written, and a
//! part's name that stands twice where another was meant that no line has.

use super::build::{Reader, near};
use super::passed_over::is_of_file;
use super::problem::{Problem, ProblemKind};
use super::{BoardId, names, nets};
use crate::sources::Origin;
use rustc_hash::{FxHashMap, FxHashSet};

/// Most names taken twice for which another is looked for: more is no slip of the hand.
const MOST_TAKEN: usize = 64;

/// A part's name that a board has already.
#[derive(Clone, Copy)]
pub(super) struct Taken {
    pub(super) board: BoardId,
    pub(super) origin: Origin,
}

/// Gathers problems that are one mistake.
pub(super) fn gather(reader: &mut Reader<'_, '_>) {
    unknown_names(&mut reader.case.problems);
    meant_names(reader);
}

/// A name that nobody knows is one mistake, on however many lines it stands.
fn unknown_names(problems: &mut Vec<Problem>) {
    let mut known: FxHashMap<(&'static str, String), usize> = FxHashMap::default();
    let mut gathered: Vec<Problem> = Vec::with_capacity(problems.len());
    for problem in problems.drain(..) {
        if let ProblemKind::UnknownName { what, name, .. } = &problem.kind
            && (is_of_file(what) || *what == "step")
            // A net may be wanting on one board and on another.
            && *what != "net"
        {
            let key = (*what, name.clone());
            if let Some(first) = known.get(&key) {
                gathered[*first].also.push(problem.origin);
                continue;
            }
            known.insert(key, gathered.len());
        }
        gathered.push(problem);
    }
    for problem in gathered.iter_mut().filter(|it| !it.also.is_empty()) {
        problem.also.push(problem.origin);
        problem.also.sort_unstable();
        problem.also.dedup();
        problem.origin = problem.also.remove(0);
    }
    *problems = gathered;
}

/// Where a name stands twice on a board and one like it is named that no line has, the
/// second is likely to be that one.
fn meant_names(reader: &mut Reader<'_, '_>) {
    let taken = std::mem::take(&mut reader.taken);
    if taken.is_empty() || taken.len() > MOST_TAKEN {
        return;
    }
    let unknown: Vec<(Option<BoardId>, String)> = reader
        .case
        .problems
        .iter()
        .filter_map(|problem| unknown_part(reader, problem))
        .collect();
    let mut meant: FxHashMap<String, Vec<(Taken, String)>> = FxHashMap::default();
    for one in taken {
        let Some(name) = taken_name(&reader.case.problems, one) else {
            continue;
        };
        let on_board = unknown
            .iter()
            .filter(|(board, _)| board.is_none_or(|board| board == one.board));
        let candidates: FxHashSet<&str> = on_board.map(|(_, part)| part.as_str()).collect();
        let mut like = candidates
            .into_iter()
            .filter(|part| near(name, std::iter::once(*part)).is_some());
        if let (Some(only), None) = (like.next(), like.next()) {
            let uses = meant.entry(only.to_owned()).or_default();
            uses.push((one, only.to_owned()));
        }
    }
    for (part, of) in meant {
        let [(one, _)] = &of[..] else {
            continue;
        };
        tie(reader, *one, part);
    }
}

/// Takes the unknown name into the problem of the name that is taken.
fn tie(reader: &mut Reader<'_, '_>, one: Taken, part: String) {
    let is_meant: Vec<bool> = reader
        .case
        .problems
        .iter()
        .map(|problem| {
            unknown_part(reader, problem).is_some_and(|(board, name)| {
                name == part && board.is_none_or(|board| board == one.board)
            })
        })
        .collect();
    let mut is_meant = is_meant.into_iter();
    let mut uses: Vec<Origin> = Vec::new();
    reader.case.problems.retain(|problem| {
        let is_meant = is_meant.next().unwrap_or(false);
        if is_meant {
            uses.push(problem.origin);
            uses.extend(&problem.also);
        }
        !is_meant
    });
    uses.sort_unstable();
    let mut problems = reader.case.problems.iter_mut();
    if let Some(problem) = problems.find(|problem| is_taken(problem, one)) {
        problem.also = uses;
        problem.meant = Some(part);
    }
}

fn is_taken(problem: &Problem, one: Taken) -> bool {
    problem.origin == one.origin && matches!(problem.kind, ProblemKind::DuplicateName { .. })
}

fn taken_name(problems: &[Problem], one: Taken) -> Option<&str> {
    let problem = problems.iter().find(|problem| is_taken(problem, one))?;
    match &problem.kind {
        ProblemKind::DuplicateName { name, .. } => Some(name),
        _ => None,
    }
}

/// The board, where it is named, and the name of a part that nobody knows.
fn unknown_part(reader: &Reader<'_, '_>, problem: &Problem) -> Option<(Option<BoardId>, String)> {
    let ProblemKind::UnknownName {
        what: "part", name, ..
    } = &problem.kind
    else {
        return None;
    };
    if name.contains([' ', ',']) {
        return None;
    }
    let segments = names::segments(name);
    let Some((board, part)) = nets::split_board(name).filter(|_| segments.len() == 2) else {
        return (segments.len() == 1).then(|| (None, name.clone()));
    };
    let boards = reader.boards(board)?;
    let (first, _) = *boards.first()?;
    let is_one = boards.iter().all(|(board, _)| *board == first);
    (is_one && !names::is_range(part)).then(|| (Some(first), part.to_owned()))
}
