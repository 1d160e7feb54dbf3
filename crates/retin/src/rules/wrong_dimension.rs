//! A value of one sort where another belongs.

use super::{Judge, Rule};
use crate::finding::Fault;
use crate::meaning::{Case, Problem, ProblemKind};
use crate::stage::Stage;

pub(super) const RULE: Rule = Rule {
    name: "wrong-dimension",
    at: Stage::List,
    summary: "a voltage where a current belongs, a length where a time belongs",
    page: include_str!("wrong_dimension.md"),
    judge: Judge::Problem(judge),
};

fn judge(_case: &Case<'_>, problem: &Problem) -> Option<Fault> {
    let ProblemKind::WrongDimension {
        what,
        expected,
        found,
    } = &problem.kind
    else {
        return None;
    };
    Some(Fault::new(
        problem.origin,
        format!("{found}, and {what} takes {expected}"),
        "the value is left out, and every check that needs it stays open",
        format!("write {expected}, or move the value to where it belongs"),
    ))
}
