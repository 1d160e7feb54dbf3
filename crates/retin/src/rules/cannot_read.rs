//! A line that cannot be read.

use super::{Judge, Rule};
use crate::finding::{Edit, Fault, Fix};
use crate::meaning::{Case, Problem, ProblemKind};
use crate::sources::Origin;
use crate::stage::Stage;

pub(super) const RULE: Rule = Rule {
    name: "cannot-read",
    at: Stage::List,
    summary: "a line that cannot be read",
    page: include_str!("cannot_read.md"),
    judge: Judge::Problem(judge),
};

fn judge(_case: &Case<'_>, problem: &Problem) -> Option<Fault> {
    let ProblemKind::Unreadable {
        message,
        help,
        edits,
    } = &problem.kind
    else {
        return None;
    };
    let remedy = help.clone().unwrap_or_else(|| {
        "write the line as its neighbours are written, or put a remark behind `#`".into()
    });
    let fault = Fault::new(
        problem.origin,
        message.clone(),
        "nothing on this line is checked, planned or printed",
        remedy,
    );
    let Some((_, first)) = edits.first() else {
        return Some(fault);
    };
    Some(
        fault.fix(Fix {
            title: if first.trim().is_empty() {
                "write ordinary blanks".into()
            } else {
                format!("write `{first}`")
            },
            edits: edits
                .iter()
                .map(|(span, text)| Edit {
                    origin: Origin {
                        file: problem.origin.file,
                        span: *span,
                    },
                    text: text.clone(),
                })
                .collect(),
        }),
    )
}
