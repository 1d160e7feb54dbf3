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
    let ProblemKind::Use { message, help } = &problem.kind else {
        return None;
    };
    Some(Fault::new(
        problem.origin,
        message.clone(),
        "the parts and shelves of that file are missing from every check",
        help.clone(),
    ))
}
