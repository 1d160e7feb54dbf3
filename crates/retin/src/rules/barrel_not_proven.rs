//! Plated holes that were worked on and looked at from one side only.

use super::{Judge, Rule};
use crate::check::{OnBoard, Share};
use crate::finding::{Fault, Verdict};
use crate::meaning::PlaceId;
use crate::stage::Stage;
use crate::time::Content;
use retin_syntax::Token;
use retin_syntax::tables::Property;

pub(super) const RULE: Rule = Rule {
    name: "barrel-not-proven",
    at: Stage::Power,
    summary: "plated holes that a part came out of and a new one went into, seen from one side only",
    page: include_str!("barrel_not_proven.md"),
    judge: Judge::Board(judge),
};

fn judge(on: &OnBoard<'_, '_, '_>, share: &mut Share) {
    let board = on.case.board(on.board);
    let is_plated = !board.is_wiring && board.facts.is(Property::CopperForm, Token::Plated);
    if on.case.job.is_some() && is_plated {
        share.answer_by_copy(on.places().map(|place| (place, one(on, place))));
    }
}

fn one(on: &OnBoard<'_, '_, '_>, place: PlaceId) -> Verdict {
    let case = on.case;
    let state = case.replay.state(case, place);
    let is_new = state.place.content == Content::New && state.place.removed.is_some();
    let Some(worked) = state.worked().filter(|_| is_new) else {
        return Verdict::NotApplicable;
    };
    if case.goes_by(place).is(Property::Style, Token::SurfaceMount) {
        return Verdict::NotApplicable;
    }
    if state.both_sides().is_some() {
        return Verdict::Passed;
    }
    if !on.has_reached(Stage::Power, case.copy_of(place)) {
        return Verdict::lacks("a look at both sides of plated holes that were worked on");
    }
    // Where nobody looked at all, that is what is told.
    if state.inspected().is_none() {
        return Verdict::NotApplicable;
    }
    let Some(entry) = case.job.as_ref().and_then(|job| job.told(worked)) else {
        return Verdict::NotApplicable;
    };
    Verdict::failed(Fault::new(
        entry.origin,
        "the plated holes of {place} were worked on, and were seen from one side only",
        "a barrel that came out with the old lead leaves the other side open: half the net is dead, and the joint looks good",
        "see that the solder has risen to the other side, or beep from side to side, and write `inspected … both sides`",
    ))
}
