//! Sources that contradict one another on which way round a part belongs.

use super::{Judge, Rule};
use crate::finding::{Edit, Fault, Fix, Verdict};
use crate::meaning::{Case, PlaceId};
use crate::polarity::{Evidence, Points, THE_CIRCUIT, THE_RAILS, deciding_leads, evidence};
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
    let Some((lead, _, word)) = deciding_leads(kind) else {
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
    if let Some((one, other)) = found.conflict() {
        return Verdict::failed(fault(case, place, lead, word, one, other, &found.evidence));
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

fn fault(
    case: &Case<'_>,
    place: PlaceId,
    lead: &str,
    word: &str,
    one: &Evidence,
    other: &Evidence,
    all: &[Evidence],
) -> Fault {
    let part = case.part(place.part);
    // The weaker of the two is the likelier mistake, and the place to mend it.
    let by = match one.who {
        THE_RAILS => Some("by potential"),
        THE_CIRCUIT => Some("by the potentials solved from the circuit"),
        _ => None,
    };
    let fact = if let Some(by) = by {
        format!(
            "{} has {}; {by} {word} belongs elsewhere: {}",
            other.who, other.says, one.says
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
    for evidence in all
        .iter()
        .filter(|evidence| evidence.origin != other.origin)
    {
        fault = fault.with(
            evidence.origin,
            format!("{}: {}", evidence.who, evidence.says),
        );
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
    fault.values(format!("{} against {}", one.says, other.says))
}
