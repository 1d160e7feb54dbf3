//! An overruling whose values have changed since it was given.

use super::{Judge, Rule};
use crate::check::Use;
use crate::finding::{Edit, Fault, Fix, Verdict};
use crate::meaning::{Acceptance, Case};
use crate::sources::Origin;
use crate::stage::Stage;
use retin_syntax::Span;

pub(super) const RULE: Rule = Rule {
    name: "accept-stale",
    at: Stage::Order,
    summary: "an `accept` line given for other values than there are now",
    page: include_str!("accept_stale.md"),
    judge: Judge::Acceptance(judge),
};

fn judge(case: &Case<'_>, acceptance: &Acceptance<'_>, used: &Use) -> Verdict {
    if let (Some((given, origin)), Some(now)) = (&acceptance.values, &used.changed) {
        return Verdict::failed(
            Fault::new(
                *origin,
                format!(
                    "{} was overruled for {given}, and now it is {now}",
                    acceptance.rule
                ),
                "the ruling was never made for these values, and no longer counts",
                "look at it again: strike the ruling, or give it for the new values",
            )
            .with(acceptance.origin, "the ruling")
            .fix(Fix {
                title: format!("rule again, for {now}"),
                edits: vec![Edit {
                    origin: *origin,
                    text: now.clone(),
                }],
            }),
        );
    }
    match (&acceptance.values, used.unnamed.as_slice()) {
        (None, [_]) if !case.is_read_whole() => {
            Verdict::lacks("the values that it was given for, on a line that cannot be read")
        }
        (None, [values]) => Verdict::failed(
            Fault::new(
                acceptance.origin,
                format!(
                    "this overrules {} without naming the values, which are {values} today",
                    acceptance.rule
                ),
                "if a value changes later, the ruling silences that too",
                format!("write `for {values}` below the line"),
            )
            .fix(Fix {
                title: format!("add `for {values}`"),
                edits: vec![below(case, acceptance.origin, values)],
            })
            .question(),
        ),
        _ if used.silenced > 0 => Verdict::Passed,
        _ => Verdict::NotApplicable,
    }
}

/// A `for` line under the `accept` line, one step further in.
fn below(case: &Case<'_>, accept: Origin, values: &str) -> Edit {
    let text = &case.sources.file(accept.file).text;
    let line_start = text[..accept.span.start as usize]
        .rfind('\n')
        .map_or(0, |at| at + 1);
    let indent = &text[line_start..accept.span.start as usize];
    let rest = &text[accept.span.end as usize..];
    let end = accept.span.end as usize + rest.find(['\r', '\n']).unwrap_or(rest.len());
    let at = Span::new(end as u32, end as u32);
    Edit {
        origin: Origin {
            file: accept.file,
            span: at,
        },
        text: format!("\n{indent}  for {values}"),
    }
}
