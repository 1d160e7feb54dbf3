//! Parts that had power the wrong way round, or too much of it, and are still in.

use super::{Judge, Rule};
use crate::check::Answers;
use crate::finding::{Fault, Verdict};
use crate::meaning::{Case, PlaceId};
use crate::stage::Stage;
use crate::time::Content;
use retin_syntax::tables::Repair;
use rustc_hash::FxHashSet;

pub(super) const RULE: Rule = Rule {
    name: "stressed-part-reused",
    at: Stage::Power,
    summary: "a part that had power the wrong way round, or more than it is rated for, is still in its place",
    page: include_str!("stressed_part_reused.md"),
    judge: Judge::Case(judge),
};

fn judge(case: &Case<'_>, answers: &mut Answers<'_, '_>) {
    let Some(job) = &case.job else {
        return;
    };
    let mut seen: FxHashSet<PlaceId> = FxHashSet::default();
    for record in &case.replay.accidents {
        let Some(place) = record.place().filter(|place| record.is_of_part(*place)) else {
            continue;
        };
        if !seen.insert(place) {
            continue;
        }
        let state = case.replay.place(place);
        let stress = state.stressed.filter(|_| state.content != Content::Empty);
        let Some(told) = stress.and_then(|index| job.told(index)) else {
            answers.answer(&[place], Verdict::Passed);
            continue;
        };
        let turned = case.replay.accidents.iter().find_map(|record| {
            let mended = record.mended?;
            (record.place() == Some(place) && mended.how == Some(Repair::Turned))
                .then_some(mended.entry)
        });
        let fact = if turned.is_some() {
            "the part in {place} had power the wrong way round, and was turned and used again"
        } else {
            "the part in {place} had power it was not made for, and is still in"
        };
        let mut fault = Fault::new(
            told.origin,
            fact,
            "what has been stressed so is leaky or cracked inside: it fails later, when the unit is closed",
            "put a new one in, and write `removed` and `fitted`; never merely turn it",
        );
        if let Some(turned) = turned.and_then(|index| job.told(index)) {
            fault = fault.with(turned.origin, "turned here");
        }
        answers.answer(&[place], Verdict::failed(fault));
    }
}
