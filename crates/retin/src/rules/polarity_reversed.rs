//! Sources that contradict one another on which way round a part belongs.

use super::{Judge, Rule};
use crate::finding::{Edit, Fault, Fix, Verdict};
use crate::meaning::{Case, NetId, PlaceId};
use crate::polarity::{
    Evidence, EvidenceOn, Points, THE_CIRCUIT, THE_RAILS, deciding_leads, evidence,
};
use crate::potentials::shown;
use crate::stage::Stage;
use retin_syntax::tables::{PlanVerb, Property};

pub(super) const RULE: Rule = Rule {
    name: "polarity-reversed",
    at: Stage::Fit,
    summary: "plus on the lower potential, or sources that disagree on the way round a part belongs",
    page: include_str!("polarity_reversed.md"),
    judge: Judge::Place(judge),
};

fn judge(case: &Case<'_>, place: PlaceId) -> Verdict {
    let part = case.part(place.part);
    let Some(kind) = case.goes_by(place).kind else {
        return Verdict::NotApplicable;
    };
    let Some((lead, ..)) = deciding_leads(kind) else {
        return Verdict::NotApplicable;
    };
    let verb = case
        .decision(place)
        .map(|decision| case.plan_line(decision.line).verb);
    if part.facts.has(Property::Unfitted)
        || matches!(verb, Some(PlanVerb::Remove | PlanVerb::Absent))
    {
        return Verdict::NotApplicable;
    }
    let found = evidence(case, place, kind);
    if let Some(sides) = found.conflict() {
        return Verdict::failed(fault(case, place, lead, &found, sides));
    }
    // A part that stays was never turned; one source more or less is no matter.
    let stays = match verb {
        Some(verb) => !matches!(verb, PlanVerb::Replace | PlanVerb::Add),
        None => case.job.as_ref().is_some_and(|job| job.plan.is_some()),
    };
    if stays && found.agreeing() < 2 {
        return Verdict::NotApplicable;
    }
    if found.agreeing() >= 2 {
        return Verdict::Passed;
    }
    let nets: Vec<NetId> = part.pins.iter().map(|pin| pin.net).collect();
    if let Some(trouble) = case.potentials.trouble(case, &nets) {
        return Verdict::lacks(format!(
            "a second source for the way round, or an operating point: {trouble}"
        ));
    }
    Verdict::lacks(match found.evidence.first() {
        None => {
            "any source for the way round: nets on rails, the silkscreen, how the old part sat, or a beep test"
        }
        Some(Evidence {
            points: Points::Net(_),
            ..
        }) => {
            "a second source for the way round: the potential of both nets, or a beep of the minus lead to ground"
        }
        Some(_) => {
            "a second source for the way round, or a beep test that ties a direction to a net"
        }
    })
}

/// The weaker of two sources is the likelier mistake, and the place to mend it.
fn fault(
    case: &Case<'_>,
    place: PlaceId,
    lead: &str,
    found: &EvidenceOn<'_>,
    (one, other): (&Evidence<'_>, &Evidence<'_>),
) -> Fault {
    let part = case.part(place.part);
    let fact = if matches!(one.who, THE_RAILS | THE_CIRCUIT) {
        format!(
            "{} has {}{}, and by {} {}{}",
            other.who,
            other.says,
            potential(case, other),
            one.who,
            one.says.to_string().replacen(" on ", " belongs on ", 1),
            potential(case, one),
        )
    } else {
        format!(
            "{} has {}, but {} has {}",
            one.who, one.says, other.who, other.says
        )
    };
    let mut fault = Fault::new(
        other.origin,
        format!("{{place}} would sit the wrong way round: {fact}"),
        "a part fitted backwards heats under power and vents or shorts, and takes its rail with it",
        format!(
            "look at the old part and the copper, beep the {lead} pad to a rail, and mend the source that is wrong"
        ),
    );
    for evidence in &found.evidence {
        if evidence.origin == other.origin {
            continue;
        }
        let like = [one, other]
            .into_iter()
            .find(|side| *side != evidence && found.compare(side, evidence) == Some(true))
            .map(|side| format!(", like {}", side.who));
        let text = match &evidence.because {
            Some(because) => format!("{}: {because}", evidence.who),
            None => format!("{}: {}", evidence.who, evidence.says),
        };
        fault = fault.with(evidence.origin, text + &like.unwrap_or_default());
    }
    if let Some((origin, text)) = found.tie_of(case, one, other) {
        fault = fault.with(origin, text);
    }
    if let [first, second] = part.pins.as_slice()
        && other.who == part.headline.phrase()
        && matches!(other.points, Points::Net(_))
    {
        let text = |lead: &str, net| format!("{lead} {}", case.nets.net(net).name);
        fault = fault.fix(Fix {
            title: "exchange the two nets".into(),
            edits: vec![
                Edit {
                    origin: first.origin,
                    text: text(first.lead, second.net),
                },
                Edit {
                    origin: second.origin,
                    text: text(second.lead, first.net),
                },
            ],
        });
    }
    let because = one
        .because
        .as_ref()
        .map(|because| format!(" ({because})"))
        .unwrap_or_default();
    fault.values(format!("{}{because} against {}", one.says, other.says))
}

/// The potential of the net that a source names, to stand behind it.
fn potential(case: &Case<'_>, evidence: &Evidence<'_>) -> String {
    let Points::Net(net) = evidence.points else {
        return String::new();
    };
    match case.potentials.of(case, net) {
        Some(known) if evidence.says.to_string().ends_with(case.nets.net(net).name) => {
            format!(" at {} V", shown(known.nominal))
        }
        _ => String::new(),
    }
}
