//! Two places that hold each other's values: one mistake, not two.

use crate::finding::Verdict;
use crate::meaning::{BoardId, Case, Part, PlaceId, Says};
use crate::replacement::{Chosen, Replacement, is_related};
use crate::rules::value_mismatch;
use crate::sources::Origin;
use retin_syntax::tables::{ClaimSource, Property};
use retin_syntax::value::{Quantity, Tolerance};

/// Two places of one board in each of which the part was found that belongs in the other.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct FoundPair {
    /// The two, in the order of the model sheet.
    pub places: [PlaceId; 2],
    /// What each was found to hold.
    pub found: [Quantity; 2],
    /// Where that is written.
    pub origins: [Origin; 2],
}

/// The places whose planned new parts would each fit the other, as indexes
/// into `chosen`. A place is in one pair at most.
pub(crate) fn planned_pairs(chosen: &[Chosen<'_, '_>]) -> Vec<(usize, usize)> {
    let wrong: Vec<(usize, &Replacement<'_, '_>)> = chosen
        .iter()
        .enumerate()
        .filter_map(|(index, chosen)| match chosen {
            Chosen::New(replacement) if is_wrong(replacement) => Some((index, &**replacement)),
            _ => None,
        })
        .collect();
    let mut pairs: Vec<(usize, usize)> = Vec::new();
    for (at, (index, one)) in wrong.iter().enumerate() {
        if pairs.iter().any(|pair| pair.1 == *index) {
            continue;
        }
        let partner = wrong[at + 1..].iter().find(|(index, other)| {
            // What one line of the plan puts into both is exchanged for itself.
            one.new.origin != other.new.origin
                && pairs.iter().all(|pair| pair.1 != *index)
                && are_alike(one, other)
                && fits(one, other)
                && fits(other, one)
        });
        pairs.extend(partner.map(|(partner, _)| (*index, *partner)));
    }
    pairs
}

/// A single part, named by the plan, of a value that the place does not allow.
fn is_wrong(replacement: &Replacement<'_, '_>) -> bool {
    (replacement.line.with.len() == 1 || replacement.fitted.is_some())
        && matches!(
            replacement.verdict_of(&value_mismatch::RULE, value_mismatch::judge),
            Verdict::Failed(_)
        )
}

/// Whether the two are on the same copies, so that an exchange is one of places.
fn are_alike(one: &Replacement<'_, '_>, other: &Replacement<'_, '_>) -> bool {
    if one.part.board == other.part.board {
        one.copies == other.copies
    } else {
        one.copies.len() == 1 && other.copies.len() == 1
    }
}

/// Whether the new part of `other` would be right for the place of `one`.
fn fits(one: &Replacement<'_, '_>, other: &Replacement<'_, '_>) -> bool {
    let exchanged = one.with_new(other.new.clone());
    is_related(&exchanged.old, &exchanged.new)
        && value_mismatch::judge(&exchanged) == Verdict::Passed
}

/// The pairs of places of one board, copy by copy, in which the parts found match
/// each other's value and not their own. Places where the job states which source
/// it goes by are settled and left out.
pub fn found_pairs(case: &Case<'_>, board: BoardId) -> Vec<FoundPair> {
    let mut pairs: Vec<FoundPair> = Vec::new();
    let board = case.board(board);
    for copy in 0..board.copies.len() as u16 {
        let odd: Vec<Odd<'_, '_>> = board
            .parts
            .iter()
            .filter_map(|part| odd(case, PlaceId { part: *part, copy }))
            .collect();
        let mut paired = vec![false; odd.len()];
        for (at, one) in odd.iter().enumerate() {
            let partner = (at + 1..odd.len()).find(|&index| {
                let other = &odd[index];
                !paired[index]
                    && one.part.kind == other.part.kind
                    && is_within(one.part, one.stated, other.found)
                    && is_within(other.part, other.stated, one.found)
            });
            if let Some(index) = partner.filter(|_| !paired[at]) {
                let other = &odd[index];
                paired[index] = true;
                pairs.push(FoundPair {
                    places: [one.place, other.place],
                    found: [one.found, other.found],
                    origins: [one.origin, other.origin],
                });
            }
        }
    }
    pairs
}

/// A place in which another value was found than its headline states.
struct Odd<'c, 'a> {
    place: PlaceId,
    part: &'c Part<'a>,
    stated: Quantity,
    found: Quantity,
    origin: Origin,
}

fn odd<'c, 'a>(case: &'c Case<'a>, place: PlaceId) -> Option<Odd<'c, 'a>> {
    let part = case.part(place.part);
    if part.claims.is_empty()
        || case.chosen_source(place).is_some()
        || part.headline == ClaimSource::Found
    {
        return None;
    }
    let stated = part.facts.quantity(Property::Value)?;
    let (found, origin) = case.claims_on(place).find_map(|claim| match &claim.says {
        Says::Facts { facts, .. } if claim.source == ClaimSource::Found => {
            Some((facts.quantity(Property::Value)?, claim.origin))
        }
        _ => None,
    })?;
    (!is_within(part, stated, found)).then_some(Odd {
        place,
        part,
        stated,
        found,
        origin,
    })
}

/// Whether a value lies in the window of the one stated, by its tolerance or the usual one of its kind.
fn is_within(part: &Part<'_>, stated: Quantity, found: Quantity) -> bool {
    let usual = || {
        let usual = part.kind?.row().usual_tolerance?.parse().ok()?;
        Some(Tolerance::Relative {
            minus: usual,
            plus: usual,
        })
    };
    if stated.dimension != found.dimension {
        return false;
    }
    match part
        .facts
        .tolerance()
        .or_else(usual)
        .and_then(|tolerance| tolerance.window(stated))
    {
        Some((low, high)) => low.number <= found.number && found.number <= high.number,
        None => stated.number == found.number,
    }
}
