//! What has to be done before the first new part goes in.

use super::accident::accident;
use super::steps::{is_planned_later, planned_later};
use super::{Ask, Asked, boards_named};
use crate::finding::Fault;
use crate::meaning::{BoardCopy, BoardId, PlaceId, PlanLineId, Step};
use crate::time::accidents::Status;
use crate::time::minutes::boards_worked_on;
use crate::time::progress::Left;
use crate::time::state::Content;
use crate::time::step_progress::Piece;
use retin_syntax::tables::{PlanVerb, StepVerb};
use std::collections::BTreeMap;

pub(super) fn still_in(ask: &Ask<'_, '_>, asked: &mut Asked) {
    let later = planned_later(ask, &[StepVerb::Remove]);
    let mut left: Vec<PlaceId> = Vec::new();
    let mut lines: Vec<PlanLineId> = Vec::new();
    for place in ask.case.places() {
        let Some(decision) = ask.case.decision(place) else {
            continue;
        };
        match ask.replay.left_at(ask.case, place) {
            Some(Left::Replace | Left::Remove) if !later.contains(&place) => {
                left.push(place);
                if let Err(at) = lines.binary_search(&decision.line) {
                    lines.insert(at, decision.line);
                }
            }
            _ if ask.replay.place(place).removed.is_some() => asked.passed(),
            _ => {}
        }
    }
    let mut lines = lines
        .into_iter()
        .map(|line| ask.case.plan_line(line).origin);
    let Some(first) = lines.next() else {
        return;
    };
    let fault = Fault::new(
        first,
        "to come out, and not out by the log: {place}",
        "what is fitted round an old part is heated again, and soiled, when that comes out",
        "remove what is left, write it down, and then begin to fit",
    );
    let fault = lines.fold(fault, |fault, line| fault.with(line, "planned here too"));
    asked.fails(left, fault);
}

pub(super) fn not_cleaned(ask: &Ask<'_, '_>, asked: &mut Asked) {
    let case = ask.case;
    // By the step that is to clean it: the boards that are not clean.
    let mut dirty: BTreeMap<usize, Vec<BoardCopy>> = BTreeMap::new();
    for board in (0..case.boards.len() as u32).map(BoardId) {
        if case.board(board).is_wiring {
            continue;
        }
        for copy in case.copies_of(board) {
            let (goes_in, is_in) = new_parts_of(ask, copy);
            if !goes_in {
                continue;
            }
            let steps: Vec<usize> = ask
                .job
                .steps
                .iter()
                .enumerate()
                .filter(|(index, step)| cleans(ask, step, copy) && !is_planned_later(ask, *index))
                .map(|(index, _)| index)
                .collect();
            let is_clean = ask.replay.board(copy).cleaned.is_some();
            let left = steps
                .iter()
                .find(|step| ask.steps[**step].left.contains(&Piece::Board(copy)));
            match left {
                // With new parts on it, it is too late for that.
                Some(_) if is_in && is_clean => asked.passed(),
                Some(step) => dirty.entry(*step).or_default().push(copy),
                None if is_clean || !steps.is_empty() => asked.passed(),
                None => asked.lacks(
                    "whether the board is clean: a step that cleans it, or an entry `cleaned`",
                    case.name_of_copy(copy),
                ),
            }
        }
    }
    for (step, boards) in dirty {
        asked.fails(
            Vec::new(),
            Fault::new(
                ask.job.steps[step].line,
                format!(
                    "{} to be cleaned, and not cleaned by the log since parts came out",
                    boards_named(case, &boards)
                ),
                "flux and residue under a new part stay there and hide breaks, and solvent spoils what is new",
                "clean and let it dry before the first new part goes in, and write it down",
            ),
        );
    }
}

/// Whether new parts are still to go on to a board, and whether there are any already.
fn new_parts_of(ask: &Ask<'_, '_>, copy: BoardCopy) -> (bool, bool) {
    let case = ask.case;
    let mut goes_in = false;
    let mut is_in = false;
    for &part in &case.board(copy.0).parts {
        let place = PlaceId { part, copy: copy.1 };
        let Some(decision) = case.decision(place) else {
            continue;
        };
        let verb = case.plan_line(decision.line).verb;
        let is_new = ask.replay.place(place).content == Content::New;
        is_in |= is_new;
        goes_in |= !is_new && matches!(verb, PlanVerb::Replace | PlanVerb::Add | PlanVerb::Socket);
    }
    (goes_in, is_in)
}

fn cleans(ask: &Ask<'_, '_>, step: &Step<'_>, copy: BoardCopy) -> bool {
    step.verb == StepVerb::Clean && boards_worked_on(ask.case, step).contains(&copy)
}

pub(super) fn damage_below_part(ask: &Ask<'_, '_>, asked: &mut Asked) {
    for record in &ask.replay.accidents {
        let Some(place) = record.place().filter(|place| !record.is_of_part(*place)) else {
            continue;
        };
        let is_to_be_covered = ask.replay.place(place).content != Content::New
            && matches!(
                ask.replay.left_at(ask.case, place),
                Some(Left::Replace | Left::Fit | Left::Chip)
            );
        if record.status() == Status::Proven {
            asked.passed();
        } else if is_to_be_covered {
            let fault = accident(ask, record, "below the new part nobody reaches it any more");
            asked.fails(vec![place], fault);
        }
    }
}
