//! Joints that were made and not looked at.

use super::{Judge, Rule};
use crate::check::{OnBoard, Share};
use crate::finding::{Fault, Verdict};
use crate::meaning::PlaceId;
use crate::stage::Stage;
use crate::time::Content;

pub(super) const RULE: Rule = Rule {
    name: "joint-not-inspected",
    at: Stage::Power,
    summary: "joints that were made and that nobody looked at since",
    page: include_str!("joint_not_inspected.md"),
    judge: Judge::Board(judge),
};

fn judge(on: &OnBoard<'_, '_, '_>, share: &mut Share) {
    if on.case.job.is_some() {
        share.answer_by_copy(on.places().map(|place| (place, one(on, place))));
    }
}

fn one(on: &OnBoard<'_, '_, '_>, place: PlaceId) -> Verdict {
    let case = on.case;
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
    if !on.has_reached(Stage::Power, case.copy_of(place)) {
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
