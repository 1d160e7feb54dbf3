//! A `use` line that leads nowhere.

use super::{Judge, Rule};
use crate::finding::Fault;
use crate::meaning::{Case, Problem, ProblemKind};
use crate::stage::Stage;

pub(super) const RULE: Rule = Rule {
    name: "cannot-use",
    at: Stage::List,
    summary: "a `use` line whose file is missing, out of reach or uses this one",
    page: include_str!("cannot_use.md"),
    judge: Judge::Problem(judge),
};

fn judge(_case: &Case<'_>, problem: &Problem) -> Option<Fault> {
    let ProblemKind::Use {
        message,
        is_read,
        help,
    } = &problem.kind
    else {
        return None;
    };
    let consequence = if *is_read {
        "every file of it is read once, so nothing is lost, and this line brings nothing"
    } else {
        "what stands in that file is in no check: without its model a job has no old parts to compare with, without its shelf nothing to choose from"
    };
    Some(Fault::new(
        problem.origin,
        message.clone(),
        consequence,
        help.clone(),
    ))
}
