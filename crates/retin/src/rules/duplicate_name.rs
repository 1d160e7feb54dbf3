//! One name for two different things.

use super::{Judge, Rule};
use crate::finding::{Edit, Fault, Fix};
use crate::meaning::{Case, Problem, ProblemKind};
use crate::stage::Stage;

pub(super) const RULE: Rule = Rule {
    name: "duplicate-name",
    at: Stage::List,
    summary: "one name for two parts, boards, shelf entries or steps, or for two leads of a part",
    page: include_str!("duplicate_name.md"),
    judge: Judge::Problem(judge),
};

/// What it does that a name of a sort stands twice, where more can be said of it than
/// that the second one counts for nothing.
const CONSEQUENCE: &[(&str, &str)] = &[
    (
        "part",
        "only the first one is kept; if this is another part, it is on no list, and nobody plans, orders or checks it",
    ),
    (
        "board",
        "only the first one is kept; every part of this one is on no list, and nobody plans, orders or checks it",
    ),
    (
        "shelf",
        "only the first one is kept, and nothing is chosen from this one",
    ),
    (
        "shelf entry",
        "only the first one is kept, and nothing is chosen or counted by this one",
    ),
    (
        "lead",
        "only its first net is kept, and another lead is left without one: which way round the part goes, and what it has to stand under power, are judged wrongly or not at all",
    ),
    (
        "step",
        "what waits for this name waits for the first one only",
    ),
];

fn judge(case: &Case<'_>, problem: &Problem) -> Option<Fault> {
    let ProblemKind::DuplicateName { what, name, first } = &problem.kind else {
        return None;
    };
    let fact = if name.contains("..") || name.contains(", ") {
        format!("each of the names {name} stands for a second {what} here")
    } else {
        format!("there is a second {what} `{name}`")
    };
    let remedy = match &problem.meant {
        Some(meant) => {
            format!("if this one is `{meant}`, which is named and stands nowhere, write that")
        }
        None => match *what {
            "part" | "section" | "board" | "rail" => {
                "strike one of the two, or give it the name it has on the drawing"
            }
            "lead" => "follow the copper from each lead, and give each its own name and net",
            "model sheet" => "use one sheet only: that of the unit on the bench",
            "job of the file" => "keep one job to a file",
            "shelf" | "shelf entry" | "step" | "device" | "package" => {
                "strike one of the two, or give it a name of its own"
            }
            _ => "strike the one that does not hold",
        }
        .into(),
    };
    let mut fault = Fault::new(
        problem.origin,
        fact,
        CONSEQUENCE.iter().find(|row| row.0 == *what).map_or(
            "only the first one is kept; what is said here counts for nothing",
            |row| row.1,
        ),
        remedy,
    );
    if *first != problem.origin {
        fault = fault.with(*first, "the first one is here");
    }
    if let Some(meant) = &problem.meant {
        for origin in &problem.also {
            fault = fault.with(*origin, format!("{meant} is named here"));
        }
        if case.sources.text(problem.origin) == name {
            fault = fault.fix(Fix {
                title: format!("write `{meant}`"),
                edits: vec![Edit {
                    origin: problem.origin,
                    text: meant.clone(),
                }],
            });
        }
    }
    Some(fault)
}
