//! A name that stands for nothing.

use super::{Judge, Rule};
use crate::finding::{Edit, Fault, Fix};
use crate::meaning::{Case, Problem, ProblemKind};
use crate::stage::Stage;
use retin_syntax::tables::accidents::ACCIDENTS;
use retin_syntax::tables::repairs::REPAIRS;

pub(super) const RULE: Rule = Rule {
    name: "unknown-name",
    at: Stage::List,
    summary: "a name that no part, board, net, lead, shelf entry, step, device or direction has",
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
        None => match *what {
            "accident" => format!(
                "write it in the set words: {}",
                listed(ACCIDENTS.iter().map(|row| row.words))
            ),
            "repair" => format!(
                "write it in the set words: {}",
                listed(REPAIRS.iter().map(|row| row.words))
            ),
            "rule" => "write the name that stands in the finding's brackets".into(),
            "step" => "check the spelling against the names under `steps`".into(),
            "lead" => "check the spelling against the leads of the part".into(),
            _ => "check the spelling, and that the file which names it is used".into(),
        },
    };
    let mut fault = Fault::new(
        problem.origin,
        format!("there is no {what} `{name}`"),
        consequence(what),
        remedy,
    );
    for origin in &problem.also {
        fault = fault.with(*origin, "and it is named here");
    }
    // A range or a list is more than the one name that is wrong in it.
    let places = || std::iter::once(&problem.origin).chain(&problem.also);
    Some(match near {
        Some(near)
            if !near.contains(", ") && places().all(|place| case.sources.text(*place) == name) =>
        {
            fault.fix(Fix {
                title: format!("write `{near}`"),
                edits: places()
                    .map(|place| Edit {
                        origin: *place,
                        text: near.clone(),
                    })
                    .collect(),
            })
        }
        _ => fault,
    })
}

fn listed(words: impl Iterator<Item = &'static str>) -> String {
    let words: Vec<String> = words.map(|word| format!("`{word}`")).collect();
    words.join(", ")
}

/// What it does that something which a name was looked for as is not there.
fn consequence(what: &str) -> &'static str {
    match what {
        "part" => "the part that is meant is not planned, checked or ticked off by this line",
        "board" => {
            "nothing on the board that is meant is planned, checked or ticked off by this line"
        }
        "net" => "what sounds to it shows nothing of which way round the part goes",
        "lead" => "no check sees what is connected there",
        "shelf" => {
            "nothing can be chosen from it, and the places that this line is about get no part"
        }
        "shelf entry" => "no part can be ordered, fitted or counted by it",
        "step" => "the printed order does not wait for it",
        "model sheet" => {
            "the old parts are taken from another model's sheet, or there are none to compare with"
        }
        "rule" => "nothing is overruled by this line",
        "device or package" => {
            "what its data sheet says is in no check: not its ratings, its pins or its body"
        }
        "direction" => {
            "nothing says which way round the part goes, so nothing can tell that it is backwards"
        }
        "accident" => "nobody can tell what has to be mended and proven there",
        "repair" => "the damage counts as open, since nothing says how it was mended",
        _ => "nothing on this line can be checked",
    }
}
