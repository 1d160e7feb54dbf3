//! How far an edit reaches: of which boards the rules have to be asked again.
//!
//! A rule on a board looks at the board, at what the plan decides for it, at what
//! the log did to it, and at the potentials of its nets; beyond that at sections
//! whose change reaches everything. So a board is reached where one of these is not
//! what it was.

use crate::meaning::{
    Act, BoardId, Case, Decisions, Gone, LogEntry, NetId, OldLog, Part, PartId, Point, Stated, Step,
};
use crate::time::accidents;
use retin_syntax::tables::{Kind, Property};
use rustc_hash::FxHashMap;

/// What was known of the boards beside their own sections.
#[derive(Debug)]
pub(super) struct Before {
    /// None where they stay.
    decisions: Option<Decisions>,
    /// By line of the plan: the kind that its words are read by; none where they stay.
    kinds: Option<Vec<Option<Kind>>>,
    steps: Vec<Step<'static>>,
    log: OldLog,
}

impl Before {
    /// Takes it from a case of which all but the boards is to be read again.
    pub(super) fn of_all(case: &mut Case<'static>) -> Before {
        let (steps, log) = match &mut case.job {
            Some(job) => (std::mem::take(&mut job.steps), std::mem::take(&mut job.log)),
            None => Default::default(),
        };
        Before {
            kinds: Some(kinds(case)),
            steps,
            decisions: Some(std::mem::take(&mut case.decisions)),
            log: OldLog {
                length: log.len(),
                entries: log.into_iter().enumerate().collect(),
                replay: std::mem::take(&mut case.replay),
                stage: case.stage,
            },
        }
    }

    /// The same where the log alone was read again.
    pub(super) fn of_log(log: OldLog) -> Before {
        Before {
            kinds: None,
            steps: Vec::new(),
            log,
            decisions: None,
        }
    }

    /// By board: whether the rules have to be asked again, now that one board, or
    /// none, and what is behind the boards was read again.
    pub(super) fn reached(
        &self,
        case: &Case<'static>,
        changed: Option<BoardId>,
        gone: &Gone,
    ) -> Vec<bool> {
        let count = case.boards.len();
        let mut reached = vec![false; count];
        if self.reaches_all(case, gone) {
            reached.fill(true);
            return reached;
        }
        if let Some(board) = changed {
            reached[board.0 as usize] = true;
        }
        self.by_log(case, &mut reached);
        if let Some(decisions) = &self.decisions
            && *decisions != case.decisions
        {
            for (index, is_reached) in reached.iter_mut().enumerate() {
                let board = BoardId(index as u32);
                *is_reached |= !same_decisions(decisions, case, board);
            }
        }
        let (places, boards) = self.log.replay.unlike(&case.replay);
        for place in places {
            reached[case.part(place.part).board.0 as usize] = true;
        }
        for (board, _) in boards {
            reached[board.0 as usize] = true;
        }
        by_nets(case, &mut reached);
        reached
    }

    /// Whether what the order of the steps goes by is as it was: what each step is
    /// about, what the plan decides, and what kinds of parts these are.
    pub(super) fn has_same_steps(
        &self,
        case: &Case<'static>,
        changed: Option<BoardId>,
        gone: &Gone,
    ) -> bool {
        let steps = case.job.as_ref().map_or(&[][..], |job| &job.steps);
        let is_about_the_same = |(old, new): (&Step<'_>, &Step<'_>)| old.about == new.about;
        !gone.is_renumbered
            && self.steps.len() == steps.len()
            && self.steps.iter().zip(steps).all(is_about_the_same)
            && self.decisions.as_ref() == Some(&case.decisions)
            && (changed.is_none() || work_alike(&gone.parts, case))
    }

    fn reaches_all(&self, case: &Case<'static>, gone: &Gone) -> bool {
        let arrives = |entry: &LogEntry<'_>| matches!(entry.act, Act::Arrived { .. });
        let arrives_otherwise = |(old, new): (&LogEntry<'static>, &LogEntry<'static>)| {
            (arrives(old) || arrives(new)) && old != new
        };
        let replay = &self.log.replay;
        gone.is_renumbered
            || (gone.has_other_nets && !case.links.is_empty())
            || self.log.stage != case.stage
            || self.kinds.as_ref().is_some_and(|old| *old != kinds(case))
            || self.log.length != log(case).len()
            || replay.returned != case.replay.returned
            || replay.first_chip != case.replay.first_chip
            || replay.accidents != case.replay.accidents
            || self.entries(case).any(arrives_otherwise)
    }

    /// The entries of the log that were read again, as they were and as they are.
    fn entries<'s>(
        &'s self,
        case: &'s Case<'static>,
    ) -> impl Iterator<Item = (&'s LogEntry<'static>, &'s LogEntry<'static>)> {
        let log = log(case);
        let entries = self.log.entries.iter();
        entries.filter_map(|(at, old)| Some((old, log.get(*at)?)))
    }

    /// The boards that entries name which say something else, then or now.
    fn by_log(&self, case: &Case<'static>, reached: &mut [bool]) {
        for (old, new) in self.entries(case) {
            if old == new {
                continue;
            }
            for entry in [old, new] {
                let points = entry.subject.points().chain(entry.to.iter().copied());
                for point in points {
                    if let Some(board) = board_of(case, point) {
                        reached[board.0 as usize] = true;
                    }
                }
            }
        }
    }
}

/// The boards that a change of one reaches, where what goes by the boards finds the
/// same in it as before.
pub(super) fn of_board(case: &Case<'static>, board: BoardId) -> Vec<bool> {
    let mut reached = vec![false; case.boards.len()];
    reached[board.0 as usize] = true;
    by_nets(case, &mut reached);
    reached
}

/// Whether parts that were read again are the same to work on.
pub(super) fn work_alike(old: &[(PartId, Part<'_>)], case: &Case<'_>) -> bool {
    old.iter().all(|(id, old)| works_alike(old, case.part(*id)))
}

/// Whether a part that was read again is the same to work on: only facts differ that
/// have nothing to do with that.
fn works_alike(old: &Part<'_>, new: &Part<'_>) -> bool {
    let counts = |fact: &&Stated<'_>| {
        !matches!(
            fact.property,
            Property::Value | Property::Volts | Property::Tolerance | Property::At
        )
    };
    let is_plain = |part: &Part<'_>| part.claims.is_empty() && part.exceptions.is_empty();
    is_plain(old)
        && is_plain(new)
        && old.kind == new.kind
        && old.facts.iter().filter(counts).count() == new.facts.iter().filter(counts).count()
        && old
            .facts
            .iter()
            .filter(counts)
            .zip(new.facts.iter().filter(counts))
            .all(|(old, new)| old.property == new.property && old.value == new.value)
}

/// The log of a case.
fn log<'c, 'a>(case: &'c Case<'a>) -> &'c [LogEntry<'a>] {
    case.job.as_ref().map_or(&[], |job| &job.log)
}

/// By line of the plan: the kind of its first part, by which what it puts in is read.
fn kinds(case: &Case<'_>) -> Vec<Option<Kind>> {
    let first = |line: &crate::meaning::PlanEntry<'_>| {
        let first = line.selector.places.first()?;
        case.part(first.part).kind
    };
    case.plan.iter().map(first).collect()
}

/// The board of a point; none where it is a net that is no more, and so on the board
/// that was read again.
fn board_of(case: &Case<'_>, point: Point<'_>) -> Option<BoardId> {
    if let Point::Net(net, _) = point {
        case.nets.get(net)?;
    }
    accidents::board_of(case, point).map(|(board, _)| board)
}

fn same_decisions(before: &Decisions, case: &Case<'_>, board: BoardId) -> bool {
    let now = case.decisions_on(board);
    let then = case.decisions_of(before, board);
    now.eq(then)
}

/// What is solved on a board hangs on the boards it shares nets with that no rail
/// holds, and on what these share such nets with.
fn by_nets(case: &Case<'_>, reached: &mut [bool]) {
    if case.links.is_empty() {
        return;
    }
    let mut sharing: FxHashMap<NetId, Vec<BoardId>> = FxHashMap::default();
    for (id, net) in case.nets.iter() {
        let common = case.nets.common(id);
        let is_alone = common == id && !case.nets.is_joined(id);
        if !is_alone && case.potentials.rail(&case.nets, id).is_none() {
            sharing.entry(common).or_default().push(net.board);
        }
    }
    loop {
        let mut has_grown = false;
        for boards in sharing.values() {
            if boards.iter().any(|board| reached[board.0 as usize]) {
                for board in boards {
                    has_grown |= !std::mem::replace(&mut reached[board.0 as usize], true);
                }
            }
        }
        if !has_grown {
            return;
        }
    }
}
