//! A name that stands for nothing.

use super::{Judge, Rule};
use crate::finding::{Edit, Fault, Fix};
use crate::meaning::{Case, Problem, ProblemKind};
use crate::stage::Stage;

pub(super) const RULE: Rule = Rule {
    name: "unknown-name",
    at: Stage::List,
    summary: "a name that no part, board, net, lead, shelf entry, step or device has",
    page: include_str!("unknown_name.md"),
    judge: Judge::Problem(judge),
};

fn judge(case: &Case<'_>, problem: &Problem) -> Option<Fault> {
    let ProblemKind::UnknownName { what, name, near } = &problem.kind else {
        return None;
    };
    let remedy = match near {
        Some(near) if near.contains(", ") => format!("the names here are {near}"),
        Some(near) => format!("if `{near}` is meant, write that"),
        None if *what == "device or package" => {
            format!(
                "write `device \"{name}\"` for a type that is in no library, or put a remark in quotes"
            )
        }
        None => "check the spelling, and that the file which names it is used".into(),
    };
    let fault = Fault::new(
        problem.origin,
        format!("there is no {what} `{name}`"),
        "nothing on this line can be checked for it",
        remedy,
    );
    Some(match near {
        // A range or a list is more than the one name that is wrong in it.
        Some(near) if !near.contains(", ") && case.sources.text(problem.origin) == name => fault
            .fix(Fix {
                title: format!("write `{near}`"),
                edits: vec![Edit {
                    origin: problem.origin,
                    text: near.clone(),
                }],
            }),
        _ => fault,
    })
}
