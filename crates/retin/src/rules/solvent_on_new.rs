//! A board washed with a solvent after parts went in that suffer from it.

use super::{Judge, Rule, limits};
use crate::check::Answers;
use crate::finding::{Fault, Verdict};
use crate::meaning::{Act, Case, PlaceId};
use crate::stage::Stage;
use crate::time::Content;
use retin_syntax::tables::Kind;

pub(super) const RULE: Rule = Rule {
    name: "solvent-on-new",
    at: Stage::Fit,
    summary: "a board washed with a solvent after parts went in that suffer from it",
    page: include_str!("solvent_on_new.md"),
    judge: Judge::Case(judge),
};

fn judge(case: &Case<'_>, answers: &mut Answers<'_, '_>) {
    let Some(job) = &case.job else {
        return;
    };
    for (index, entry) in job.happened() {
        let Act::Cleaned { with } = &entry.act else {
            continue;
        };
        let is_solvent = |means: &&&str| limits::SOLVENTS.contains(means);
        let Some(solvent) = with.iter().find(is_solvent) else {
            if !with.is_empty() && !with.iter().all(|means| limits::DRY_MEANS.contains(means)) {
                answers.answer(
                    &[],
                    Verdict::lacks(format!("whether {} is a solvent", with.join(", "))),
                );
            }
            continue;
        };
        // A reason on the entry says that it was meant, and how.
        if entry.because.is_some() {
            continue;
        }
        for &board in &entry.subject.boards {
            let wet: Vec<PlaceId> = case
                .board(board.0)
                .parts
                .iter()
                .map(|part| PlaceId {
                    part: *part,
                    copy: board.1,
                })
                .filter(|place| {
                    let state = case.replay.before(case, *place, index).place;
                    state.content == Content::New && suffers(case, *place)
                })
                .collect();
            if wet.is_empty() {
                answers.answer(&[], Verdict::Passed);
                continue;
            }
            let name = case.name_of_copy(board);
            let mut fault = Fault::new(
                entry.origin,
                format!("{name} was washed with {solvent} after {{place}} had gone in"),
                "it creeps under the sleeves and into contacts and tracks, takes residue along and leaves it there: crackle and leakage months later",
                "let it dry out warm, then measure the leakage of the capacitors and try each control; wash before the new parts go in",
            );
            let fitted = wet
                .iter()
                .find_map(|place| case.replay.before(case, *place, index).place.fitted);
            if let Some(fitted) = fitted.and_then(|index| job.told(index)) {
                fault = fault.with(fitted.origin, "fitted here");
            }
            answers.answer(&wet, Verdict::failed(fault));
        }
    }
}

fn suffers(case: &Case<'_>, place: PlaceId) -> bool {
    let kind = case.part(place.part).kind.map(Kind::token);
    kind.is_some_and(|kind| limits::SUFFER_FROM_SOLVENTS.contains(&kind))
}
