//! What is left to do: by board and by step, with the accidents that are open,
//! the readings that are missing, and the hours.

pub mod words;

use crate::meaning::{BoardCopy, BoardId, Case, Job, PartId, PlaceId};
use crate::time::accidents::Status;
use crate::time::order::{Edge, Order};
use crate::time::progress::Left;
use crate::time::readings_wanted::{Wanted, wanted};
use crate::time::replay::Replay;
use crate::time::step_progress::{Piece, StepProgress, step_progress};
use retin_syntax::tables::StepVerb;
use retin_syntax::value::Decimal;
use std::collections::BTreeMap;

/// Everything that is left of a job.
#[derive(Clone, PartialEq, Debug)]
pub struct WhatIsLeft {
    /// Boards that the plan works on, in the order of the model sheet; copies
    /// that have come equally far stand together.
    pub boards: Vec<BoardLeft>,
    /// The steps, in the order of work.
    pub steps: Vec<StepLeft>,
    /// Accidents that are not proven mended, as indexes into [`Replay::accidents`].
    pub accidents: Vec<usize>,
    /// Readings that a target asks for.
    pub readings: Vec<Wanted>,
    /// The time.
    pub hours: Hours,
}

/// Parts of a board that have the same thing left to do.
pub type LeftParts = Vec<(Left, Vec<PartId>)>;

/// Copies of one board that have come equally far.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct BoardLeft {
    /// The copies.
    pub copies: Vec<BoardCopy>,
    /// Parts with nothing left to do, on each copy.
    pub done: Vec<PartId>,
    /// Parts with something left to do, on each copy.
    pub left: LeftParts,
    /// How they compare with their siblings, where these have come another way.
    pub beside: Option<Beside>,
}

impl BoardLeft {
    /// How many parts there are to work on, on each copy.
    pub fn work(&self) -> usize {
        self.done.len() + self.left.iter().map(|row| row.1.len()).sum::<usize>()
    }
}

/// How some copies of a board compare with most of their siblings.
#[derive(Clone, Default, PartialEq, Eq, Debug)]
pub struct Beside {
    /// What is left here and done there.
    pub behind: LeftParts,
    /// What is done here and left there.
    pub ahead: Vec<PartId>,
}

/// How far a step has come.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum How {
    /// All of it is done.
    Done,
    /// Some of it is done.
    Begun,
    /// Nothing is done of it, and nothing stands in its way.
    Free,
    /// Nothing is done of it, and it has to wait.
    Waits,
}

/// What is left of a step.
#[derive(Clone, PartialEq, Debug)]
pub struct StepLeft {
    /// The step, as an index into the job's steps.
    pub step: usize,
    /// How far it has come.
    pub how: How,
    /// What is done, and what is left.
    pub progress: StepProgress,
    /// Steps that come first and are not done, as indexes into the job's steps.
    pub waits_for: Vec<usize>,
    /// Accidents that have to be mended first, as indexes into [`Replay::accidents`].
    pub accidents: Vec<usize>,
    /// What is left of its time, in seconds, as far as it is known.
    pub seconds: Decimal,
    /// The fact for want of which its time is not known whole.
    pub missing: Option<String>,
}

/// The time, by the log and by the estimates.
#[derive(Clone, Copy, Default, PartialEq, Eq, Debug)]
pub struct Hours {
    /// Minutes between entries of the same day.
    pub spent: u64,
    /// Seconds that are left of all steps; none where there are no steps.
    pub to_go: Option<Decimal>,
    /// How many steps have no whole estimate.
    pub unknown: usize,
}

/// Looks up what is left; nothing where there is no job.
pub fn what_is_left(
    case: &Case<'_>,
    replay: &Replay<'_>,
    order: Option<&Order>,
) -> Option<WhatIsLeft> {
    let job = case.job.as_ref()?;
    let steps = steps_left(case, job, replay, order);
    let seconds = steps.iter().map(|step| step.seconds);
    let hours = Hours {
        spent: replay.minutes_worked(),
        to_go: (!steps.is_empty()).then(|| seconds.fold(Decimal::ZERO, Decimal::saturating_add)),
        unknown: steps.iter().filter(|step| step.missing.is_some()).count(),
    };
    Some(WhatIsLeft {
        boards: boards_left(case, replay),
        steps,
        accidents: replay
            .accidents
            .iter()
            .filter(|record| record.status() != Status::Proven)
            .map(|record| record.number - 1)
            .collect(),
        readings: wanted(case, job),
        hours,
    })
}

/// Every board that the plan works on, or from which something was taken.
fn boards_left(case: &Case<'_>, replay: &Replay<'_>) -> Vec<BoardLeft> {
    let mut all = Vec::new();
    for board in (0..case.boards.len() as u32).map(BoardId) {
        let mut groups: Vec<BoardLeft> = Vec::new();
        for copy in case.copies_of(board) {
            let progress = replay.progress(case, copy);
            let done: Vec<PartId> = progress.done.iter().map(|place| place.part).collect();
            let mut left: BTreeMap<Left, Vec<PartId>> = BTreeMap::new();
            for (place, what) in progress.left {
                left.entry(what).or_default().push(place.part);
            }
            let left: LeftParts = left.into_iter().collect();
            if done.is_empty() && left.is_empty() {
                continue;
            }
            match groups
                .iter_mut()
                .find(|group| group.done == done && group.left == left)
            {
                Some(group) => group.copies.push(copy),
                None => groups.push(BoardLeft {
                    copies: vec![copy],
                    done,
                    left,
                    beside: None,
                }),
            }
        }
        compare(&mut groups);
        all.extend(groups);
    }
    all
}

/// Compares copies with how far most of their siblings have come; of two groups
/// that are equally many, with those that have come farther.
fn compare(groups: &mut [BoardLeft]) {
    let most = |one: &&BoardLeft, other: &&BoardLeft| {
        (one.copies.len(), one.done.len())
            .cmp(&(other.copies.len(), other.done.len()))
            .then(other.copies.cmp(&one.copies))
    };
    let Some(yardstick) = groups.iter().max_by(most).cloned() else {
        return;
    };
    for group in groups.iter_mut().filter(|group| **group != yardstick) {
        let is_left_there = |part: &PartId, what: Left| {
            yardstick
                .left
                .iter()
                .any(|row| row.0 == what && row.1.contains(part))
        };
        let behind = group.left.iter().filter_map(|(what, parts)| {
            let parts: Vec<PartId> = parts
                .iter()
                .filter(|part| !is_left_there(part, *what))
                .copied()
                .collect();
            (!parts.is_empty()).then_some((*what, parts))
        });
        let behind = behind.collect();
        let ahead = group
            .done
            .iter()
            .filter(|part| !yardstick.done.contains(part))
            .copied()
            .collect();
        group.beside = Some(Beside { behind, ahead });
    }
}

fn steps_left(
    case: &Case<'_>,
    job: &Job<'_>,
    replay: &Replay<'_>,
    order: Option<&Order>,
) -> Vec<StepLeft> {
    let mut progress: Vec<Option<StepProgress>> = step_progress(case, job, replay, order)
        .into_iter()
        .map(Some)
        .collect();
    let is_done: Vec<bool> = progress
        .iter()
        .map(|step| step.as_ref().is_some_and(StepProgress::is_done))
        .collect();
    // Steps that wait for one another are in no order; they stand where they are written.
    let mut sequence: Vec<usize> = order.map_or_else(Vec::new, |order| order.sequence.clone());
    let ordered: Vec<usize> = sequence.clone();
    sequence.extend((0..job.steps.len()).filter(|step| !ordered.contains(step)));
    sequence
        .into_iter()
        .filter_map(|step| {
            let progress = progress[step].take()?;
            let mut waits_for: Vec<usize> = order
                .into_iter()
                .flat_map(|order| order.waits_of(step))
                .map(|edge: &Edge| edge.earlier)
                .filter(|earlier| !is_done[*earlier])
                .collect();
            waits_for.sort_unstable();
            waits_for.dedup();
            let accidents = if is_done[step] {
                Vec::new()
            } else {
                accidents_below(job, replay, step, &progress)
            };
            let how = if is_done[step] {
                How::Done
            } else if progress.is_begun() {
                How::Begun
            } else if waits_for.is_empty() && accidents.is_empty() {
                How::Free
            } else {
                How::Waits
            };
            let duration = order.and_then(|order| order.durations.get(step));
            let (seconds, missing) = match duration {
                _ if how == How::Done => (Decimal::ZERO, None),
                Some(duration) => (share(duration.seconds, &progress), duration.missing.clone()),
                None => (Decimal::ZERO, Some("an order of the steps".to_owned())),
            };
            Some(StepLeft {
                step,
                how,
                progress,
                waits_for,
                accidents,
                seconds,
                missing,
            })
        })
        .collect()
}

/// The share of a step's time that is left, by the pieces that are left.
fn share(seconds: Decimal, progress: &StepProgress) -> Decimal {
    let left = Decimal::from(progress.left.len());
    let all = Decimal::from(progress.left.len() + progress.done.len());
    seconds
        .checked_mul(left)
        .and_then(|product| product.checked_div(all))
        .unwrap_or(seconds)
}

/// Accidents that are not repaired at places which a step is about to cover.
fn accidents_below(
    job: &Job<'_>,
    replay: &Replay<'_>,
    step: usize,
    progress: &StepProgress,
) -> Vec<usize> {
    if job.steps[step].verb != StepVerb::Fit {
        return Vec::new();
    }
    let is_below = |place: PlaceId| progress.left.contains(&Piece::Place(place));
    replay
        .accidents
        .iter()
        .filter(|record| {
            record.status() == Status::Open
                && record
                    .place()
                    .is_some_and(|place| is_below(place) && !record.is_of_part(place))
        })
        .map(|record| record.number - 1)
        .collect()
}
