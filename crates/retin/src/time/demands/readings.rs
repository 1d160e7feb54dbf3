//! What a reading of a net may be.

use super::Ask;
use crate::meaning::{FactValue, NetId, Target};
use crate::sources::Origin;
use retin_syntax::tables::Property;
use retin_syntax::token::Token;
use retin_syntax::value::{Decimal, Dimension, Quantity, Value};
use std::fmt;

/// The ends of what may be read.
#[derive(Clone, Debug)]
pub(super) struct Limits {
    low: Option<Quantity>,
    high: Option<Quantity>,
    /// Where they are written.
    pub(super) origin: Origin,
}

impl Limits {
    pub(super) fn holds(&self, number: Decimal) -> bool {
        self.low.is_none_or(|low| number >= low.number)
            && self.high.is_none_or(|high| number <= high.number)
    }
}

impl fmt::Display for Limits {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.low, self.high) {
            (Some(low), Some(high)) => write!(f, "{low} to {high}"),
            (Some(low), None) => write!(f, "above {low}"),
            (None, Some(high)) => write!(f, "below {high}"),
            (None, None) => f.write_str("anything"),
        }
    }
}

/// What a reading of a net may be: by its target, else by its rail's line, where
/// that is allowed to say so.
pub(super) fn limits_at(
    ask: &Ask<'_, '_>,
    net: NetId,
    dimension: Dimension,
    by_rail: bool,
) -> Option<Limits> {
    let nets = &ask.case.nets;
    let is_here = |target: &&Target<'_>| {
        target
            .net
            .is_some_and(|of_target| nets.common(of_target) == nets.common(net))
    };
    let by_target = ask
        .job
        .targets
        .iter()
        .filter(is_here)
        .find_map(|target| limits_of(target, dimension));
    by_target.or_else(|| {
        let known = ask.case.potentials.of(nets, net).filter(|_| by_rail)?;
        let quantity = |number| Some(Quantity::new(number, dimension));
        Some(Limits {
            low: quantity(known.low),
            high: quantity(known.high),
            origin: known.origin,
        })
    })
}

fn limits_of(target: &Target<'_>, dimension: Dimension) -> Option<Limits> {
    let mut limits = Limits {
        low: None,
        high: None,
        origin: target.origin,
    };
    let is_solved = target.facts.is(Property::Expect, Token::Solved);
    if is_solved {
        return None;
    }
    let facts = target
        .facts
        .iter()
        .filter(|fact| fact.property != Property::Ripple);
    for fact in facts {
        let of_property = match fact.property {
            Property::Above => Some(true),
            Property::Below => Some(false),
            _ => None,
        };
        let (limit, value) = match &fact.value {
            FactValue::Limit { above, value } => (Some(*above), value),
            FactValue::Value(value) => (of_property, value),
            _ => continue,
        };
        match (limit, value) {
            (Some(true), Value::Quantity(quantity)) if quantity.dimension == dimension => {
                limits.low = Some(*quantity);
            }
            (Some(false), Value::Quantity(quantity)) if quantity.dimension == dimension => {
                limits.high = Some(*quantity);
            }
            (None, Value::Quantity(quantity)) if quantity.dimension == dimension => {
                let window = target
                    .facts
                    .tolerance()
                    .and_then(|tolerance| tolerance.window(*quantity));
                let (low, high) = window?;
                limits.low = Some(low);
                limits.high = Some(high);
            }
            (None, Value::Range { low, high }) if low.dimension == dimension => {
                limits.low = Some(*low);
                limits.high = Some(*high);
            }
            _ => {}
        }
    }
    (limits.low.is_some() || limits.high.is_some()).then_some(limits)
}
