//! Two sources that do not say the same of one part.

use super::{Judge, Rule};
use crate::check::{OnBoard, Share};
use crate::finding::{Fault, Verdict};
use crate::meaning::{Case, FactValue, Facts, PlaceId, Says, Stated};
use crate::sources::Origin;
use crate::stage::Stage;
use crate::swaps::found_pairs;
use retin_syntax::tables::{ClaimSource, Kind, PlanVerb, Property};
use retin_syntax::value::{Decimal, Quantity, Tolerance, Value};
use std::collections::BTreeSet;

pub(super) const RULE: Rule = Rule {
    name: "claims-disagree",
    at: Stage::Order,
    summary: "schematic, list, silkscreen, part found and meter differ on a part by more than tolerance",
    page: include_str!("claims_disagree.md"),
    judge: Judge::Board(judge_all),
};

/// What one source says of one place.
struct Said<'c, 'a> {
    source: ClaimSource,
    /// The facts, those that go first first.
    layers: Vec<&'c Facts<'a>>,
    kind: Option<Kind>,
    /// Whether it was said of this copy alone.
    is_particular: bool,
    line: Origin,
}

impl<'c, 'a> Said<'c, 'a> {
    fn get(&self, property: Property) -> Option<&'c Stated<'a>> {
        self.layers.iter().find_map(|facts| facts.get(property))
    }

    fn says(&self, topic: Topic) -> bool {
        match topic {
            Topic::Kind => self.kind.is_some(),
            Topic::Property(property) => self.get(property).is_some(),
        }
    }
}

/// What two sources are compared in.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Topic {
    Kind,
    Property(Property),
}

const TOPICS: [Topic; 5] = [
    Topic::Kind,
    Topic::Property(Property::Device),
    Topic::Property(Property::Value),
    Topic::Property(Property::Volts),
    Topic::Property(Property::AcVolts),
];

impl Topic {
    fn word(self) -> &'static str {
        match self {
            Topic::Kind => "the kind of part",
            Topic::Property(Property::Device) => "the type",
            Topic::Property(Property::Value) => "the value",
            Topic::Property(_) => "the rated voltage",
        }
    }
}

/// Two places that were found with each other's values are one mistake, told by
/// `values-swapped`.
fn judge_all(on: &OnBoard<'_, '_, '_>, share: &mut Share) {
    let case = on.case;
    let swapped: BTreeSet<PlaceId> = found_pairs(case, on.board)
        .iter()
        .flat_map(|pair| pair.places)
        .collect();
    for place in on.places().filter(|place| !swapped.contains(place)) {
        share.answer(&[place], judge(case, place));
    }
}

fn judge(case: &Case<'_>, place: PlaceId) -> Verdict {
    let part = case.part(place.part);
    if part.claims.is_empty() {
        return Verdict::NotApplicable;
    }
    let verb = case
        .decision(place)
        .map(|decision| case.plan_line(decision.line).verb);
    if part.is_added
        || case.is_unfitted(place)
        || matches!(verb, Some(PlanVerb::Absent | PlanVerb::Remove))
    {
        return Verdict::NotApplicable;
    }
    let said = everything_said(case, place);
    if said.len() < 2 {
        return Verdict::NotApplicable;
    }
    let going_by = case.goes_by(place);
    let tolerance = going_by
        .tolerance()
        .or_else(|| usual_tolerance(going_by.kind?));
    let mut was_compared = false;
    let mut was_unreadable = false;
    for topic in TOPICS {
        let stating: Vec<&Said<'_, '_>> = said
            .iter()
            .filter(|one| one.says(topic) && !is_shadowed(one, topic, &said))
            .collect();
        if stating.len() < 2 {
            continue;
        }
        was_unreadable |= stating.iter().any(|one| is_unreadable(one, topic));
        was_compared |= stating
            .iter()
            .filter(|one| !is_unreadable(one, topic))
            .count()
            > 1;
        let Some((one, other)) = conflict(&stating, topic, tolerance) else {
            continue;
        };
        let Some((chosen, line)) = case.chosen_source(place) else {
            return Verdict::failed(disagreement(case, topic, one, other));
        };
        let theirs: Vec<&Said<'_, '_>> = stating
            .iter()
            .copied()
            .filter(|one| one.source == chosen)
            .collect();
        if theirs.is_empty() {
            return Verdict::failed(silence(case, topic, chosen, line, one, other));
        }
        if let Some((one, other)) = conflict(&theirs, topic, tolerance) {
            return Verdict::failed(disagreement(case, topic, one, other));
        }
    }
    match (was_compared, was_unreadable) {
        (true, _) => Verdict::Passed,
        (false, true) => Verdict::lacks("a readable value from the second source"),
        (false, false) => Verdict::NotApplicable,
    }
}

/// The headline, with what holds for this copy alone, and then every claim.
fn everything_said<'c, 'a>(case: &'c Case<'a>, place: PlaceId) -> Vec<Said<'c, 'a>> {
    let part = case.part(place.part);
    let own = part
        .exceptions
        .iter()
        .filter(|exception| exception.copies.contains(&place.copy));
    let mut said = vec![Said {
        source: part.headline,
        layers: own
            .map(|exception| &exception.facts)
            .chain([&part.facts])
            .collect(),
        kind: part.kind,
        is_particular: false,
        line: part.line,
    }];
    for claim in case.claims_on(place) {
        if let Says::Facts { facts, kind, .. } = &claim.says {
            said.push(Said {
                source: claim.source,
                layers: vec![facts],
                kind: *kind,
                is_particular: claim.copy.is_some(),
                line: claim.origin,
            });
        }
    }
    said
}

/// What a source says of all copies does not count where it says something of this one.
fn is_shadowed(one: &Said<'_, '_>, topic: Topic, said: &[Said<'_, '_>]) -> bool {
    !one.is_particular
        && said
            .iter()
            .any(|other| other.is_particular && other.source == one.source && other.says(topic))
}

fn is_unreadable(one: &Said<'_, '_>, topic: Topic) -> bool {
    match topic {
        Topic::Kind => false,
        Topic::Property(property) => one
            .get(property)
            .is_some_and(|fact| fact.value == FactValue::Value(Value::Unreadable)),
    }
}

/// The first two that differ, in the order written.
fn conflict<'s, 'c, 'a>(
    stating: &[&'s Said<'c, 'a>],
    topic: Topic,
    tolerance: Option<Tolerance>,
) -> Option<(&'s Said<'c, 'a>, &'s Said<'c, 'a>)> {
    let pairs = stating
        .iter()
        .enumerate()
        .flat_map(|(index, one)| stating[index + 1..].iter().map(move |other| (*one, *other)));
    pairs
        .into_iter()
        .find(|(one, other)| differ(one, other, topic, tolerance))
}

fn differ(
    one: &Said<'_, '_>,
    other: &Said<'_, '_>,
    topic: Topic,
    tolerance: Option<Tolerance>,
) -> bool {
    let property = match topic {
        Topic::Kind => return one.kind != other.kind,
        Topic::Property(property) => property,
    };
    let (Some(first), Some(second)) = (one.get(property), other.get(property)) else {
        return false;
    };
    match property {
        // A higher rating than the drawing asks for is no contradiction.
        Property::Volts | Property::AcVolts => {
            match (quantity(&first.value), quantity(&second.value)) {
                (Some(first), Some(second)) => {
                    matches!(other.source, ClaimSource::Found | ClaimSource::List)
                        && second.number < first.number
                }
                _ => false,
            }
        }
        _ => !agree(&first.value, &second.value, tolerance),
    }
}

fn quantity(value: &FactValue<'_>) -> Option<Quantity> {
    match value {
        FactValue::Value(Value::Quantity(quantity)) => Some(*quantity),
        _ => None,
    }
}

/// Whether two statements can both be true of one part: one value lies within
/// the tolerance of the other, or one type number goes on where the other ends.
pub(super) fn agree(
    one: &FactValue<'_>,
    other: &FactValue<'_>,
    tolerance: Option<Tolerance>,
) -> bool {
    if let (FactValue::Word(one), FactValue::Word(other)) = (one, other) {
        let (one, other) = (one.to_ascii_uppercase(), other.to_ascii_uppercase());
        return one.starts_with(&other) || other.starts_with(&one);
    }
    let (Some(one), Some(other)) = (ends(one), ends(other)) else {
        // What cannot be compared is no contradiction.
        return true;
    };
    if one.0.dimension != other.0.dimension {
        return false;
    }
    let meets = |window: (Decimal, Decimal), value: (Quantity, Quantity)| {
        value.0.number <= window.1 && value.1.number >= window.0
    };
    meets(widened(one, tolerance), other) || meets(widened(other, tolerance), one)
}

fn ends(value: &FactValue<'_>) -> Option<(Quantity, Quantity)> {
    match value {
        FactValue::Value(Value::Quantity(quantity)) => Some((*quantity, *quantity)),
        FactValue::Value(Value::Range { low, high }) => Some((*low, *high)),
        _ => None,
    }
}

fn widened(ends: (Quantity, Quantity), tolerance: Option<Tolerance>) -> (Decimal, Decimal) {
    let low = tolerance
        .and_then(|tolerance| Some(tolerance.window(ends.0)?.0))
        .unwrap_or(ends.0);
    let high = tolerance
        .and_then(|tolerance| Some(tolerance.window(ends.1)?.1))
        .unwrap_or(ends.1);
    (low.number, high.number)
}

/// The tolerance assumed for a kind where nobody wrote one.
pub(super) fn usual_tolerance(kind: Kind) -> Option<Tolerance> {
    Some(Tolerance::relative(
        kind.row().usual_tolerance?.parse().ok()?,
    ))
}

/// What is said, as written, and where.
fn words(case: &Case<'_>, one: &Said<'_, '_>, topic: Topic) -> (String, Origin) {
    match topic {
        Topic::Kind => (
            one.kind.map(Kind::with_article).unwrap_or_default(),
            one.line,
        ),
        Topic::Property(property) => match one.get(property) {
            Some(Stated {
                value: FactValue::Value(value),
                origin,
                ..
            }) => (value.to_string(), *origin),
            Some(fact) => (case.sources.text(fact.origin).to_owned(), fact.origin),
            None => (String::new(), one.line),
        },
    }
}

fn disagreement(case: &Case<'_>, topic: Topic, one: &Said<'_, '_>, other: &Said<'_, '_>) -> Fault {
    let (first, first_origin) = words(case, one, topic);
    let (second, second_origin) = words(case, other, topic);
    let consequence = match topic {
        Topic::Property(Property::Volts | Property::AcVolts) => {
            "a new part chosen by the lower rating may fail where the higher one was meant"
        }
        _ => {
            "the new part is chosen by one of the two, and if that is the wrong one it is the wrong part"
        }
    };
    let (fact, remedy) = if one.source == other.source {
        (
            format!(
                "{} has {second} at {{place}}, and {first} as well",
                other.source.phrase()
            ),
            "look at the part again, and strike the line that is wrong".to_owned(),
        )
    } else {
        (
            format!(
                "{} has {second} at {{place}}, and {} has {first}",
                other.source.phrase(),
                one.source.phrase()
            ),
            format!(
                "look at the part and the circuit, then write `go by {}` or `go by {}` {}",
                one.source.word(),
                other.source.word(),
                if one.is_particular || other.is_particular {
                    "behind its name below `found`"
                } else {
                    "below the part"
                }
            ),
        )
    };
    Fault::new(second_origin, fact, consequence, remedy)
        .with(first_origin, format!("{}: {first}", one.source.phrase()))
        .values(format!("{second} against {first}"))
}

fn silence(
    case: &Case<'_>,
    topic: Topic,
    chosen: ClaimSource,
    line: Origin,
    one: &Said<'_, '_>,
    other: &Said<'_, '_>,
) -> Fault {
    let (first, first_origin) = words(case, one, topic);
    let (second, second_origin) = words(case, other, topic);
    Fault::new(
        line,
        format!(
            "the job goes by {} at {{place}}, which does not say {}; {} has {first} and {} has {second}",
            chosen.phrase(),
            topic.word(),
            one.source.phrase(),
            other.source.phrase()
        ),
        "the choice settles nothing, and the new part is chosen by the source that is written first",
        format!("go by one that does say {}, or write down what {} says of it", topic.word(), chosen.phrase()),
    )
    .with(first_origin, format!("{}: {first}", one.source.phrase()))
    .with(second_origin, format!("{}: {second}", other.source.phrase()))
    .values(format!("{second} against {first}"))
}
