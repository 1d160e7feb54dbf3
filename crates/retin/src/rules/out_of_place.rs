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
    let (message, help) = match &problem.kind {
        ProblemKind::Misplaced { message, help } => (message.clone(), help.clone()),
        ProblemKind::BadRange { message } => {
            (message.clone(), "write the lower end first, as in `C1..C12`, or the names one by one with commas between".into())
        }
        _ => return None,
    };
    Some(Fault::new(
        problem.origin,
        message,
        "it stands for nothing as it is written, and is left out",
        help,
    ))
}
