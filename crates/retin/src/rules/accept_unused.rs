//! An overruling of nothing.

use super::{Judge, Rule, find};
use crate::check::Use;
use crate::finding::{Edit, Fault, Fix, Verdict};
use crate::meaning::{Acceptance, Case};
use crate::sources::Origin;
use crate::stage::Stage;
use retin_syntax::Span;

pub(super) const RULE: Rule = Rule {
    name: "accept-unused",
    at: Stage::Order,
    summary: "an `accept` line that silences nothing",
    page: include_str!("accept_unused.md"),
    judge: Judge::Acceptance(judge),
};

fn judge(case: &Case<'_>, acceptance: &Acceptance<'_>, used: &Use) -> Verdict {
    // A rule or a place that does not exist is reported as an unknown name.
    if find(acceptance.rule).is_none() || acceptance.selector.places.is_empty() {
        return Verdict::NotApplicable;
    }
    if used.silenced > 0 || used.changed.is_some() {
        return Verdict::Passed;
    }
    if !case.is_read_whole() {
        return Verdict::lacks("what stands on a line, or in a file, that cannot be read");
    }
    let rule = acceptance.rule;
    if let Some(lacks) = &used.lacks {
        return Verdict::failed(
            Fault::new(
                acceptance.origin,
                format!("this overrules {rule}, which could not be checked here, for want of {lacks}"),
                "nobody can tell yet whether the line is needed, and it would silence whatever comes to light",
                "write the missing fact down; if nothing is found then, strike the line",
            )
            .question(),
        );
    }
    Verdict::failed(
        Fault::new(
            acceptance.origin,
            format!("this overrules {rule}, and {rule} was checked and finds nothing here"),
            "left standing, it would silence the next mistake at the same place",
            "strike the line, or name the place and the rule that it is meant for",
        )
        .fix(Fix {
            title: "strike the line".into(),
            edits: vec![Edit {
                origin: whole_lines(case, acceptance),
                text: String::new(),
            }],
        }),
    )
}

/// The `accept` line with the `for` line below it, line ends included.
fn whole_lines(case: &Case<'_>, acceptance: &Acceptance<'_>) -> Origin {
    let file = acceptance.origin.file;
    let text = &case.sources.file(file).text;
    let last = acceptance
        .values
        .as_ref()
        .map_or(acceptance.origin, |values| values.1);
    let start = text[..acceptance.origin.span.start as usize]
        .rfind('\n')
        .map_or(0, |at| at + 1);
    let rest = &text[last.span.end as usize..];
    let end = last.span.end as usize + rest.find('\n').map_or(rest.len(), |at| at + 1);
    Origin {
        file,
        span: Span::new(start as u32, end as u32),
    }
}
