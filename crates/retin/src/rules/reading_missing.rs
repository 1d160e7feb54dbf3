//! Targets that nobody read.

use super::out_of_limits::readings_of;
use super::{Judge, Rule};
use crate::check::Answers;
use crate::finding::{Fault, Verdict};
use crate::meaning::{Case, Point, Target};
use crate::stage::Stage;
use crate::time::accidents::board_of;

pub(super) const RULE: Rule = Rule {
    name: "reading-missing",
    at: Stage::Close,
    summary: "a target for which the log has no reading",
    page: include_str!("reading_missing.md"),
    judge: Judge::Case(judge),
};

fn judge(case: &Case<'_>, answers: &mut Answers<'_, '_>) {
    let Some(job) = &case.job else {
        return;
    };
    for target in &job.targets {
        let mut missing: Vec<Point<'_>> = Vec::new();
        for &point in &target.points {
            if readings_of(case, target, point).next().is_some() {
                answers.answer(&[], Verdict::Passed);
            } else {
                missing.push(point);
            }
        }
        let is_reached = missing.iter().any(|point| {
            board_of(case, *point).is_some_and(|board| answers.has_reached(Stage::Close, board))
        });
        if missing.is_empty() {
            continue;
        }
        if is_reached {
            answers.answer(&[], Verdict::failed(fault(case, target, &missing)));
        } else {
            for _ in &missing {
                answers.answer(&[], Verdict::lacks("a reading at each target"));
            }
        }
    }
}

fn fault(case: &Case<'_>, target: &Target<'_>, missing: &[Point<'_>]) -> Fault {
    let names: Vec<String> = missing
        .iter()
        .map(|point| case.name_of_point(*point))
        .collect();
    let state = target
        .condition()
        .and_then(|token| token.reserved_text())
        .map_or_else(String::new, |word| format!(" {word}"));
    let against = target
        .to
        .map_or_else(String::new, |(to, _)| format!(" to {to}"));
    Fault::new(
        target.origin,
        format!(
            "the log has no reading of {}{against}{state}",
            names.join(", ")
        ),
        "the report would promise what nobody measured",
        "read it and write `measured`, or take the target out",
    )
}
