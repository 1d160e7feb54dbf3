//! Something that is clear in itself and cannot stand where it stands.

use super::{Judge, Rule};
use crate::finding::Fault;
use crate::meaning::{Case, Problem, ProblemKind};
use crate::stage::Stage;

pub(super) const RULE: Rule = Rule {
    name: "out-of-place",
    at: Stage::List,
    summary: "a section, a name or a range that does not belong where it stands",
    page: include_str!("out_of_place.md"),
    judge: Judge::Problem(judge),
};

fn judge(_case: &Case<'_>, problem: &Problem) -> Option<Fault> {
    let (message, consequence, help) = match &problem.kind {
        ProblemKind::Misplaced {
            message,
            consequence,
            help,
        } => (message, *consequence, help.as_str()),
        ProblemKind::BadRange { message } => (
            message,
            "no part is meant by it, so none is planned, checked or ticked off by it",
            "write the lower end first, as in `C1..C12`, or the names one by one with commas between",
        ),
        _ => return None,
    };
    Some(Fault::new(problem.origin, message, consequence, help))
}
