//! Rails that parts without resistance join.

use super::lower::{leads_of, usual_copy};
use crate::meaning::{Case, NetId, PartId};
use crate::potentials::{Known, of_rail};
use retin_syntax::Token;
use retin_syntax::tables::Property;
use rustc_hash::FxHashMap;

/// A part by which two rails that contradict one another are joined.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Bridge {
    /// The part that closes the way from one to the other.
    pub part: PartId,
    /// One rail.
    pub one: Known,
    /// The other.
    pub other: Known,
}

/// Parts without resistance by which rails are joined that contradict one
/// another, in the order written; each way is told by the part that closes it.
/// `joiners` are the parts that [join](joins) their nets, in that order.
pub fn bridges(case: &Case<'_>, joiners: &[PartId]) -> Vec<Bridge> {
    let mut joined: FxHashMap<NetId, NetId> = FxHashMap::default();
    let mut found = Vec::new();
    let mut rails: FxHashMap<NetId, Known> = FxHashMap::default();
    let links: Vec<(PartId, NetId, NetId)> = joiners
        .iter()
        .copied()
        .filter_map(|part| {
            let [one, other] = leads_of(case.part(part), ["1", "2"])?;
            Some((part, case.nets.common(one), case.nets.common(other)))
        })
        .collect();
    if links.is_empty() {
        return found;
    }
    for (id, net) in case.nets.iter() {
        if let Some(known) = net.rail.as_ref().and_then(|rail| of_rail(id, rail)) {
            rails.entry(case.nets.common(id)).or_insert(known);
        }
    }
    for (part, one, other) in links {
        let (one, other) = (root(&joined, one), root(&joined, other));
        if one == other {
            continue;
        }
        joined.insert(other, one);
        match (rails.get(&one).copied(), rails.get(&other).copied()) {
            (Some(one), Some(other)) if one.contradicts(&other) => {
                found.push(Bridge { part, one, other });
            }
            (None, Some(known)) => {
                rails.insert(one, known);
            }
            _ => {}
        }
    }
    found
}

fn root(joined: &FxHashMap<NetId, NetId>, mut net: NetId) -> NetId {
    while let Some(next) = joined.get(&net) {
        net = *next;
    }
    net
}

/// Whether a part joins its two nets: a fuse, or a value of zero ohms.
pub fn joins(case: &Case<'_>, id: PartId) -> bool {
    let part = case.part(id);
    let may_join = part.kind.is_some_and(|kind| {
        matches!(
            kind.token(),
            Token::Fuse | Token::Resistor | Token::Inductor
        )
    });
    if !may_join || part.is_added || part.pins.len() != 2 || case.is_unfitted(usual_copy(part, id))
    {
        return false;
    }
    // Most of what may join is a resistor of which one line says everything.
    let is_plain = part.claims.is_empty() && part.exceptions.is_empty();
    if is_plain && part.kind.map(|kind| kind.token()) == Some(Token::Resistor) {
        let value = part.facts.quantity(Property::Value);
        return value.is_some_and(|ohms| ohms.number.is_zero());
    }
    let old = case.goes_by(usual_copy(part, id));
    match old.kind.map(|kind| kind.token()) {
        Some(Token::Fuse) => true,
        Some(Token::Resistor) => old
            .quantity(Property::Value)
            .is_some_and(|ohms| ohms.number.is_zero()),
        Some(Token::Inductor) => old
            .quantity(Property::Resistance)
            .is_some_and(|ohms| ohms.number.is_zero()),
        _ => false,
    }
}
