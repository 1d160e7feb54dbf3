//! Joints that were made and not looked at.

use super::{Judge, Rule};
use crate::check::Answers;
use crate::finding::{Fault, Verdict};
use crate::meaning::{Case, PlaceId};
use crate::stage::Stage;
use crate::time::Content;

pub(super) const RULE: Rule = Rule {
    name: "joint-not-inspected",
    at: Stage::Power,
    summary: "joints that were made and that nobody looked at since",
    page: include_str!("joint_not_inspected.md"),
    judge: Judge::Case(judge),
};

fn judge(case: &Case<'_>, answers: &mut Answers<'_, '_>) {
    if case.job.is_none() {
        return;
    }
    let verdicts: Vec<(PlaceId, Verdict)> = case
        .places()
        .map(|place| (place, one(case, answers, place)))
        .collect();
    answers.answer_by_board(verdicts.into_iter());
}

fn one(case: &Case<'_>, answers: &Answers<'_, '_>, place: PlaceId) -> Verdict {
    let state = case.replay.state(case, place);
    let Some(worked) = state.worked() else {
        return Verdict::NotApplicable;
    };
    if state.place.content == Content::Empty {
        return Verdict::NotApplicable;
    }
    if state.inspected().is_some() {
        return Verdict::Passed;
    }
    if !answers.has_reached(Stage::Power, case.copy_of(place)) {
        return Verdict::lacks("a look at the joints that were made");
    }
    let Some(entry) = case.job.as_ref().and_then(|job| job.told(worked)) else {
        return Verdict::NotApplicable;
    };
    Verdict::failed(Fault::new(
        entry.origin,
        "the joints of {place} were made, and nobody looked at them since",
        "a joint that is forgotten or bridged is a dead stage at best, and at worst a short across a rail",
        "look at each under a lens, at a slant, and write `inspected`",
    ))
}
