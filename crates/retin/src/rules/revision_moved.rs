//! A job that goes by an older, or newer, model sheet than there is.

use super::{Judge, Rule};
use crate::check::Answers;
use crate::finding::{Edit, Fault, Fix, Verdict};
use crate::meaning::{Case, Change};
use crate::stage::Stage;
use retin_syntax::tables::Property;

pub(super) const RULE: Rule = Rule {
    name: "revision-moved",
    at: Stage::List,
    summary: "a model sheet of another revision than the job was planned by",
    page: include_str!("revision_moved.md"),
    judge: Judge::Case(judge),
};

fn judge(case: &Case<'_>, answers: &mut Answers<'_, '_>) {
    answers.answer(&[], verdict(case));
}

fn verdict(case: &Case<'_>) -> Verdict {
    let (Some(job), Some(model)) = (&case.job, &case.model) else {
        return Verdict::NotApplicable;
    };
    // A job of another model is an unknown name, not a revision.
    if job.facts.word(Property::Model) != Some(model.name) {
        return Verdict::NotApplicable;
    }
    let now = match (
        model.facts.number(Property::Revision),
        job.facts.has(Property::Revision),
    ) {
        (Some(now), _) => now,
        (None, true) => return Verdict::lacks("the revision of the model sheet"),
        (None, false) => return Verdict::NotApplicable,
    };
    let Some(planned) = job.facts.number(Property::Revision) else {
        return Verdict::lacks("the revision of the model sheet that the job goes by");
    };
    if planned == now {
        return Verdict::Passed;
    }
    let origin = job.facts.origin(Property::Revision).unwrap_or(job.origin);
    if planned > now {
        let fault = Fault::new(
            origin,
            format!(
                "the job goes by revision {planned} of model sheet {}, and the sheet is at revision {now}",
                model.name
            ),
            "the plan may name parts as a sheet has them that is not here",
            "fetch the newer sheet, or mend the number",
        );
        return Verdict::failed(pointing_at_the_sheet(fault, case));
    }
    let newer: Vec<&Change<'_>> = model
        .changes
        .iter()
        .filter(|change| change.revision > planned)
        .collect();
    let touching: Vec<&&Change<'_>> = newer
        .iter()
        .filter(|change| is_touched(case, change))
        .collect();
    let moved = format!(
        "the job was planned by revision {planned} of model sheet {}, and the sheet is at revision {now}",
        model.name
    );
    let fix = Fix {
        title: format!("go by revision {now}"),
        edits: vec![Edit {
            origin,
            text: format!("revision {now}"),
        }],
    };
    let fault = if touching.is_empty() && !newer.is_empty() {
        Fault::new(
            origin,
            format!("{moved}; none of the changes touches what this job deals with"),
            "the next reader has to look that up again",
            format!("write `revision {now}`"),
        )
        .question()
    } else if newer.is_empty() {
        Fault::new(
            origin,
            format!("{moved}; no `changed` line says what is new"),
            "parts may have been planned by values that were mended since",
            format!("compare the two sheets, then write `revision {now}`"),
        )
    } else {
        let told: Vec<String> = touching
            .iter()
            .map(|change| format!("{}: {}", change.names.join(", "), change.text))
            .collect();
        Fault::new(
            origin,
            format!("{moved}; for this job that means {}", told.join("; ")),
            "parts may have been planned by values that were mended since",
            format!("look at these parts again, then write `revision {now}`"),
        )
    };
    let mut fault = pointing_at_the_sheet(fault, case).fix(fix);
    for change in touching {
        fault = fault.with(change.origin, "what changed");
    }
    Verdict::failed(fault)
}

fn pointing_at_the_sheet(fault: Fault, case: &Case<'_>) -> Fault {
    let revision = case
        .model
        .as_ref()
        .and_then(|model| model.facts.origin(Property::Revision));
    match revision {
        Some(origin) => fault.with(origin, "the sheet's revision"),
        None => fault,
    }
}

/// Whether a change is about a part that the plan decides for; without a plan all are.
fn is_touched(case: &Case<'_>, change: &Change<'_>) -> bool {
    let is_dealt_with = |name: &&str| {
        case.places_named(name)
            .iter()
            .any(|place| case.decision(*place).is_some())
    };
    case.plan.is_empty() || change.names.iter().any(is_dealt_with)
}
