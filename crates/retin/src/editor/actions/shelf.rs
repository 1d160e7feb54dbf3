//! Takes one of the parts of the shelves that fit best.

use super::super::choose;
use super::super::fit::fits;
use super::{Action, At, Sort, write};
use retin_syntax::tables::PlanVerb;
use retin_syntax::tree::Record;
use retin_syntax::{Span, Token};

/// How many parts are offered.
const MOST: usize = 3;

pub(super) fn take(at: &At<'_, '_>, found: &mut Vec<Action>) {
    let Some(Record::Plan(plan)) = at.record() else {
        return;
    };
    if plan.verb != PlanVerb::Replace || plan.with.len() > 1 {
        return;
    }
    let case = at.snapshot.case;
    let places = choose::places(case, at.caret.text, &plan.selector);
    let lexemes = at.caret.lexemes();
    let (span, before) = match (plan.with.first(), plan.from.last()) {
        (Some(with), _) => (with.span, ""),
        (None, Some(last)) => {
            let from = lexemes.iter().rfind(|lexeme| lexeme.0 == Token::From);
            let Some(from) = from else { return };
            (from.1.to(last.span), "with ")
        }
        (None, None) => {
            let end = plan.selector.span.end;
            (Span::new(end, end), " with ")
        }
    };
    let there = span.of(at.caret.text);
    for fit in fits(case, &places)
        .iter()
        .filter(|fit| case.entry(fit.entry).name != there)
        .take(MOST)
    {
        let name = &case.entry(fit.entry).name;
        found.push(write(
            format!("take {name}: {}", fit.why.join("; ")),
            Sort::Rewrites,
            vec![at.edit(span, format!("{before}{name}"))],
        ));
    }
}
