//! Overrules a finding at the caret in writing, and asks for reasons.

use super::super::choose;
use super::{Action, At, Sort, write};
use crate::finding::Finding;
use crate::meaning::PlaceId;
use crate::rules::find;
use retin_syntax::Span;
use retin_syntax::tables::{PlanVerb, Property};
use retin_syntax::tree::{HeadingKind, Record};

pub(super) fn overrule(at: &At<'_, '_>, found: &mut Vec<Action>) {
    let case = at.snapshot.case;
    if case.job.is_none() {
        return;
    }
    for (index, finding) in at.snapshot.report.findings.iter().enumerate() {
        if finding.places.is_empty()
            || !at.touches(finding.fault.origin)
            || find(finding.rule).is_none()
        {
            continue;
        }
        let Some(selector) = selector(at, finding) else {
            continue;
        };
        let mut lines = vec![format!(
            "  accept     {} on {selector}  because \"\"",
            finding.rule
        )];
        if let Some(values) = &finding.fault.values {
            lines.push(format!("    for      {values}"));
        }
        let edit = at.at_end_of(HeadingKind::Plan, "plan", &lines);
        let mut action = write(
            format!("overrule {} on {selector}", finding.rule),
            Sort::Writes,
            vec![edit],
        );
        action.finding = Some(index);
        found.push(action);
    }
}

/// Writes the reason that an overruling, or a part left alone, lacks.
pub(super) fn reason(at: &At<'_, '_>, found: &mut Vec<Action>) {
    let lacks = match at.record() {
        Some(Record::Accept { because, .. }) => because.is_none(),
        Some(Record::Plan(line)) => {
            let has_one = line
                .facts
                .iter()
                .any(|fact| fact.property == Some(Property::Because));
            line.verb == PlanVerb::Leave && !has_one
        }
        _ => false,
    };
    let line = at.caret.line.filter(|_| lacks);
    if let Some(line) = line {
        let end = at.caret.tree.line(line).span.end;
        let edit = at.edit(Span::new(end, end), "  because \"\"");
        found.push(write("write the reason", Sort::Writes, vec![edit]));
    }
}

/// The finding's places as a selector that chooses them and no others.
fn selector(at: &At<'_, '_>, finding: &Finding) -> Option<String> {
    let case = at.snapshot.case;
    let mut places: Vec<PlaceId> = finding.places.clone();
    places.sort_unstable();
    places.dedup();
    let each = || {
        let names: Vec<String> = places.iter().map(|place| case.name_of(*place)).collect();
        names.join(", ")
    };
    [
        finding.subject.clone(),
        finding.subject.replace(" and ", ", "),
        each(),
    ]
    .into_iter()
    .find(|selector| choose::written(case, selector) == places)
}
