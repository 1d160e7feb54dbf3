//! A board that is not like its siblings, and no word why.

use super::claims_disagree::{agree, usual_tolerance};
use super::{Judge, Rule};
use crate::check::{OnBoard, Share};
use crate::finding::{Fault, Verdict};
use crate::meaning::{Case, Claim, PartId, PlaceId, PlanLineId, Says, Stated};
use crate::stage::Stage;
use retin_syntax::tables::{PlanVerb, Property};
use rustc_hash::FxHashMap;

pub(super) const RULE: Rule = Rule {
    name: "copies-differ",
    at: Stage::Fit,
    summary: "one of several equal boards treated or described unlike its siblings, without a reason",
    page: include_str!("copies_differ.md"),
    judge: Judge::Board(judge),
};

/// What becomes of a place: the verb, and the new part in words.
type Fate = Option<(PlanVerb, String)>;

fn judge(on: &OnBoard<'_, '_, '_>, share: &mut Share) {
    let case = on.case;
    let board = case.board(on.board);
    if board.copies.len() < 2 {
        return;
    }
    let new_parts = new_parts(on);
    for &part in &board.parts {
        let places: Vec<PlaceId> = (0..board.copies.len() as u16)
            .map(|copy| PlaceId { part, copy })
            .collect();
        let fates: Vec<Fate> = places
            .iter()
            .map(|place| fate(case, *place, &new_parts))
            .collect();
        let usual = usual(&fates);
        for (place, fate) in places.iter().zip(&fates) {
            let verdict = exception(case, *place)
                .or_else(|| found(case, *place))
                .unwrap_or_else(|| decision(case, *place, fate, &places[usual], &fates[usual]));
            share.answer(&[*place], verdict);
        }
    }
}

fn new_parts(on: &OnBoard<'_, '_, '_>) -> FxHashMap<PlaceId, String> {
    let mut parts = FxHashMap::default();
    for replacement in on.new_parts() {
        let new = &replacement.new;
        let described = || on.case.sources.text(new.described);
        let name = new.name.unwrap_or_else(described);
        parts.extend(replacement.places().map(|place| (place, name.to_owned())));
    }
    parts
}

fn fate(case: &Case<'_>, place: PlaceId, new_parts: &FxHashMap<PlaceId, String>) -> Fate {
    let decision = case.decision(place)?;
    Some((
        case.plan_line(decision.line).verb,
        new_parts.get(&place).cloned().unwrap_or_default(),
    ))
}

/// The first copy of those that most copies are like.
fn usual(fates: &[Fate]) -> usize {
    let count = |fate: &Fate| fates.iter().filter(|other| *other == fate).count();
    let most = fates.iter().map(count).max().unwrap_or(0);
    fates
        .iter()
        .position(|fate| count(fate) == most)
        .unwrap_or(0)
}

/// A copy that the model sheet says is different.
fn exception(case: &Case<'_>, place: PlaceId) -> Option<Verdict> {
    let part = case.part(place.part);
    let differs = |fact: &&Stated<'_>| {
        fact.property != Property::Because
            && part
                .facts
                .get(fact.property)
                .is_none_or(|usual| usual.value != fact.value)
    };
    let exception = part.exceptions.iter().find(|exception| {
        exception.copies.contains(&place.copy)
            && exception.copies.len() < case.board_of(place.part).copies.len()
            && !exception.facts.has(Property::Because)
            && exception.facts.iter().any(|fact| differs(&fact))
    })?;
    let different: Vec<&Stated<'_>> = exception.facts.iter().filter(differs).collect();
    let text = |facts: &[&Stated<'_>]| {
        let words: Vec<&str> = facts
            .iter()
            .map(|fact| case.sources.text(fact.origin))
            .collect();
        words.join(" ")
    };
    let siblings: Vec<&Stated<'_>> = different
        .iter()
        .filter_map(|fact| part.facts.get(fact.property))
        .collect();
    let theirs = if siblings.is_empty() {
        "say nothing of the kind".into()
    } else {
        format!("have {}", text(&siblings))
    };
    Some(Verdict::failed(
        Fault::new(
            exception.origin,
            format!("{{place is}} said to be {}, and the siblings {theirs}", text(&different)),
            "nobody can tell a variant of the maker from a mistake, and boards that should match are compared in vain",
            "write the reason at the end of the line, `because \"…\"`, or strike the line",
        )
        .with(part.line, "its siblings")
        .values(format!("{} unlike {}", text(&different), text(&siblings))),
    ))
}

const COMPARED: [Property; 4] = [
    Property::Device,
    Property::Value,
    Property::Volts,
    Property::AcVolts,
];

/// A copy for which the job goes by something found on it alone.
fn found(case: &Case<'_>, place: PlaceId) -> Option<Verdict> {
    let part = case.part(place.part);
    let own: Vec<&Claim<'_>> = case
        .claims_on(place)
        .filter(|claim| claim.copy.is_some())
        .collect();
    let here = case.goes_by(place);
    let tolerance = here.tolerance().or_else(|| usual_tolerance(here.kind?));
    for claim in own {
        let Says::Facts { facts, .. } = &claim.says else {
            continue;
        };
        if facts.has(Property::Because) {
            continue;
        }
        for property in COMPARED {
            // Only what the job goes by: the rest is a conflict of sources.
            let Some((_, stated)) = here.get(property) else {
                continue;
            };
            if facts.origin(property) != Some(stated.origin) {
                continue;
            }
            if let Some((sibling, theirs)) = odd_one_out(case, place, property, |other| {
                agree(&stated.value, &other.value, tolerance)
            }) {
                let (mine, theirs_text) = (
                    case.sources.text(stated.origin),
                    case.sources.text(theirs.origin),
                );
                let name = case.name_of(PlaceId {
                    part: place.part,
                    copy: sibling,
                });
                return Some(Verdict::failed(
                    Fault::new(
                        stated.origin,
                        format!("{{place has}} {mine}, and the sibling {name} has {theirs_text}"),
                        "one of equal boards that has another part sounds or behaves unlike the rest",
                        "look which one is as the maker built it; if both are right, write the reason behind it, `because \"…\"`",
                    )
                    .with(theirs.origin, name)
                    .with(part.line, "the part on the model sheet")
                    .values(format!("{mine} unlike {theirs_text}")),
                ));
            }
        }
    }
    None
}

/// A sibling that does not agree, where fewer agree than not; of two equal
/// camps, the one with the first copy counts as the usual one.
fn odd_one_out<'c, 'a>(
    case: &'c Case<'a>,
    place: PlaceId,
    property: Property,
    agrees: impl Fn(&Stated<'a>) -> bool,
) -> Option<(u16, &'c Stated<'a>)> {
    let copies = case.board_of(place.part).copies.len() as u16;
    let mut like = 0;
    let mut first_like = place.copy;
    let mut unlike: Vec<(u16, &'c Stated<'a>)> = Vec::new();
    for copy in 0..copies {
        let Some((_, other)) = case
            .goes_by(PlaceId {
                part: place.part,
                copy,
            })
            .get(property)
        else {
            continue;
        };
        if agrees(other) {
            like += 1;
            first_like = first_like.min(copy);
        } else {
            unlike.push((copy, other));
        }
    }
    let &(first, stated) = unlike.first()?;
    (unlike.len() > like || (unlike.len() == like && first < first_like)).then_some((first, stated))
}

/// A copy of which the plan makes something else.
fn decision(
    case: &Case<'_>,
    place: PlaceId,
    fate: &Fate,
    sibling: &PlaceId,
    usual: &Fate,
) -> Verdict {
    if fate == usual {
        return Verdict::Passed;
    }
    let PlaceId { part, .. } = place;
    let ages = ages(case, part);
    let line = |place: PlaceId| -> Option<PlanLineId> {
        case.decision(place).map(|decision| decision.line)
    };
    let name = case.name_of(*sibling);
    match (line(place).map(|line| case.plan_line(line)), line(*sibling).map(|line| case.plan_line(line))) {
        (Some(own), _) if own.because.is_some() || own.verb == PlanVerb::Absent => Verdict::Passed,
        // A part that is forgotten is another rule's finding.
        (None, _) | (_, None) if ages || case.is_unfitted(place) => Verdict::NotApplicable,
        (Some(own), Some(theirs)) => Verdict::failed(
            Fault::new(
                own.origin,
                format!("the plan wants {{place}} {}, and the sibling {name} {}", done(fate), done(usual)),
                "boards that should match end up different, and a fault of one can no longer be found by the other",
                "treat the siblings alike, or write the reason at the end of the line, `because \"…\"`",
            )
            .with(theirs.origin, format!("{name} and those like it"))
            .values(format!("{} unlike {}", done(fate), done(usual))),
        ),
        (Some(own), None) => Verdict::failed(
            Fault::new(
                own.origin,
                format!("the plan wants {{place}} {}, and says nothing of the siblings", done(fate)),
                "boards that should match end up different",
                "if that is meant, write the reason at the end of the line, `because \"…\"`",
            )
            .question(),
        ),
        (None, Some(theirs)) => Verdict::failed(
            Fault::new(
                theirs.origin,
                format!("the plan wants {name} {}, and says nothing of {{place}}", done(usual)),
                "boards that should match end up different",
                "if that is meant, write `leave {place} because \"…\"`",
            )
            .question(),
        ),
        (None, None) => Verdict::Passed,
    }
}

fn ages(case: &Case<'_>, part: PartId) -> bool {
    case.part(part).kind.is_some_and(|kind| kind.row().ages)
}

/// What is to be done, as the end of a sentence.
fn done(fate: &Fate) -> String {
    let Some((verb, with)) = fate else {
        return "left alone".into();
    };
    let with = if with.is_empty() {
        String::new()
    } else {
        format!(" with {with}")
    };
    match verb {
        PlanVerb::Replace => format!("replaced{with}"),
        PlanVerb::Add => format!("added{with}"),
        PlanVerb::Remove => "removed".into(),
        PlanVerb::Keep => "kept".into(),
        PlanVerb::Leave => "left alone".into(),
        PlanVerb::Absent => "absent".into(),
        PlanVerb::Socket => "in a socket".into(),
    }
}
