//! One name for two different things.

use super::{Judge, Rule};
use crate::finding::Fault;
use crate::meaning::{Case, Problem, ProblemKind};
use crate::stage::Stage;

pub(super) const RULE: Rule = Rule {
    name: "duplicate-name",
    at: Stage::List,
    summary: "one name for two parts, boards, shelf entries or steps",
    page: include_str!("duplicate_name.md"),
    judge: Judge::Problem(judge),
};

fn judge(_case: &Case<'_>, problem: &Problem) -> Option<Fault> {
    let ProblemKind::DuplicateName { what, name, first } = &problem.kind else {
        return None;
    };
    let fault = Fault::new(
        problem.origin,
        format!("there is a second {what} `{name}`"),
        "only the first one is kept; what is said here counts for nothing",
        "strike one of the two, or give it the name it has on the drawing",
    );
    Some(if *first == problem.origin {
        fault
    } else {
        fault.with(*first, "the first one is here")
    })
}
