//! A part that fails with age and that the plan passes over.

use super::{Judge, Rule};
use crate::check::{OnBoard, Share};
use crate::finding::{Fault, Verdict};
use crate::meaning::{Case, PartId, PlaceId};
use crate::stage::Stage;
use rustc_hash::FxHashMap;

pub(super) const RULE: Rule = Rule {
    name: "not-dealt-with",
    at: Stage::Order,
    summary: "a part of a kind that ages, of which the plan says nothing",
    page: include_str!("not_dealt_with.md"),
    judge: Judge::Board(judge_all),
};

/// The sections of the parts that have any.
type Sections = FxHashMap<PartId, Vec<PartId>>;

fn judge_all(on: &OnBoard<'_, '_, '_>, share: &mut Share) {
    let case = on.case;
    let mut sections = Sections::default();
    for &part in &case.board(on.board).parts {
        if let Some(whole) = case.whole_of(part) {
            sections.entry(whole).or_default().push(part);
        }
    }
    let unread = case.unread_in_plan();
    for place in on.places() {
        let verdict = match judge(case, &sections, place) {
            Verdict::Failed(_) if unread.contains(&place) => {
                Verdict::lacks("what the plan says of it on a line that cannot be read")
            }
            verdict => verdict,
        };
        share.answer(&[place], verdict);
    }
}

fn judge(case: &Case<'_>, sections: &Sections, place: PlaceId) -> Verdict {
    let Some(plan) = case.job.as_ref().and_then(|job| job.plan) else {
        return Verdict::NotApplicable;
    };
    let part = case.part(place.part);
    let Some(kind) = case.goes_by(place).kind.filter(|kind| kind.row().ages) else {
        return Verdict::NotApplicable;
    };
    if part.is_added || case.is_unfitted(place) {
        return Verdict::NotApplicable;
    }
    if is_decided(case, sections, place) {
        return Verdict::Passed;
    }
    // The board in the sentence keeps each board's parts a finding of their own.
    let board = case.board_of(place.part).name;
    Verdict::failed(
        Fault::new(
            plan,
            format!("the plan says nothing of {{place}}, {} on `{board}`", kind.word()),
            "the kind fails with age, used or not, and a part that was forgotten fails after the unit has gone back",
            "write whether to `replace` or `keep` {place}, or `leave` it with a reason",
        )
        .with(part.line, "on the model sheet"),
    )
}

/// Whether a line of the plan decides for the place, for the whole it is a
/// section of, or for every one of its sections.
fn is_decided(case: &Case<'_>, sections: &Sections, place: PlaceId) -> bool {
    let decided = |part| {
        case.decision(PlaceId {
            part,
            copy: place.copy,
        })
        .is_some()
    };
    decided(place.part)
        || case.whole_of(place.part).is_some_and(decided)
        || sections
            .get(&place.part)
            .is_some_and(|sections| sections.iter().all(|part| decided(*part)))
}
