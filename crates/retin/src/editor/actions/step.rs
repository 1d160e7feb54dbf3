//! Writes a step that another one waits for, or that the plan calls for.

use super::super::heading_of;
use super::{Action, At, Sort, write};
use retin_syntax::tables::{PlanVerb, StepVerb};
use retin_syntax::tree::{HeadingKind, Record};

pub(super) fn missing(at: &At<'_, '_>, found: &mut Vec<Action>) {
    if at.caret.file != at.snapshot.case.root {
        return;
    }
    if let Some(Record::Step { name, after, .. }) = at.record() {
        for word in after {
            let wanted = word.text(at.caret.text);
            if word.span.touches(at.caret.offset)
                && wanted != name.text(at.caret.text)
                && !has_step(at, wanted)
            {
                let line = format!("  {wanted:<9}  inspect everything");
                let edit = at.at_end_of(HeadingKind::Steps, "steps", &[line]);
                found.push(write(
                    format!("write the step `{wanted}`"),
                    Sort::Writes,
                    vec![edit],
                ));
            }
        }
    }
    let section = at
        .caret
        .line
        .and_then(|line| heading_of(at.caret.tree, line));
    let is_heading = matches!(at.record(), Some(Record::Heading(_)));
    if !is_heading
        || !matches!(section, Some((_, HeadingKind::Steps | HeadingKind::Plan)))
        || at.snapshot.case.plan.is_empty()
    {
        return;
    }
    for (name, text, verb) in called_for(at) {
        if has_verb(at, verb) || has_step(at, name) {
            continue;
        }
        let line = format!("  {name:<9}  {text}");
        let edit = at.at_end_of(HeadingKind::Steps, "steps", &[line]);
        found.push(write(
            format!("write the step `{name}`: {text}"),
            Sort::Writes,
            vec![edit],
        ));
    }
}

/// The steps that what is planned cannot do without. *Common practice, no source.*
fn called_for(at: &At<'_, '_>) -> Vec<(&'static str, &'static str, StepVerb)> {
    let plans = |wanted: &[PlanVerb]| {
        let mut lines = at.snapshot.case.plan.iter();
        lines.any(|line| wanted.contains(&line.verb))
    };
    let mut steps = Vec::new();
    if plans(&[PlanVerb::Replace, PlanVerb::Remove]) {
        steps.push(("photos", "photograph everything", StepVerb::Photograph));
        steps.push(("strip", "remove everything", StepVerb::Remove));
    }
    if plans(&[PlanVerb::Replace, PlanVerb::Add, PlanVerb::Socket]) {
        steps.push(("fill", "fit everything", StepVerb::Fit));
        steps.push(("look", "inspect every board", StepVerb::Inspect));
        steps.push(("ohms", "measure every rail", StepVerb::Measure));
    }
    steps
}

fn has_step(at: &At<'_, '_>, name: &str) -> bool {
    let mut steps = at.snapshot.case.job.iter().flat_map(|job| &job.steps);
    steps.any(|step| step.name == name)
}

fn has_verb(at: &At<'_, '_>, wanted: StepVerb) -> bool {
    let mut lines = at.caret.tree.lines.iter();
    lines.any(|line| matches!(line.record, Record::Step { verb, .. } if verb == wanted))
}
