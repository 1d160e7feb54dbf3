//! Numbers that no part can have and that nothing can be computed with. They are
//! told by `impossible-value`.

use super::limits;
use crate::finding::Fault;
use crate::meaning::{Case, FactValue, Facts, NetId};
use crate::sources::Origin;
use retin_syntax::Token;
use retin_syntax::tables::{Kind, Property};
use retin_syntax::value::{self, Decimal, Quantity, Tolerance, Value};
use std::sync::LazyLock;

/// The first number of a statement that nothing can be computed with.
pub(super) fn of_part(kind: Kind, facts: &Facts<'_>, who: &str) -> Option<Fault> {
    below_zero(kind, facts, who)
        .or_else(|| tolerance(facts, who))
        .or_else(|| gain(facts, who))
}

/// Kinds whose value carries the sign of what they give.
fn has_sign(kind: Kind) -> bool {
    matches!(
        kind.token(),
        Token::Regulator | Token::NegativeRegulator | Token::Battery
    )
}

fn below_zero(kind: Kind, facts: &Facts<'_>, who: &str) -> Option<Fault> {
    let value = (!has_sign(kind)).then_some(Property::Value);
    let properties = value.into_iter().chain([Property::Resistance]);
    properties
        .filter_map(|property| Some((facts.quantity(property)?, facts.origin(property)?)))
        .find(|(quantity, _)| quantity.number < Decimal::ZERO)
        .map(|(quantity, origin)| {
            let size = Quantity::new(quantity.number.abs(), quantity.dimension);
            fault(
                origin,
                format!(
                    "{who} is {} of {quantity}, less than nothing",
                    kind.with_article()
                ),
                format!("strike the sign, if `{size}` is meant"),
                quantity.to_string(),
            )
        })
}

fn tolerance(facts: &Facts<'_>, who: &str) -> Option<Fault> {
    let tolerance = facts.tolerance()?;
    let Tolerance::Relative { minus, .. } = tolerance else {
        return None;
    };
    let origin = facts.origin(Property::Tolerance)?;
    (minus >= Decimal::ONE).then(|| {
        fault(
            origin,
            format!("{who} has a tolerance that reaches down to nothing"),
            "read the marking again, and mend the tolerance".into(),
            Value::Tolerance(tolerance).to_string(),
        )
    })
}

fn gain(facts: &Facts<'_>, who: &str) -> Option<Fault> {
    let FactValue::Value(value) = &facts.get(Property::Gain)?.value else {
        return None;
    };
    let least = match value {
        Value::Number(number) => *number,
        Value::Range { low, .. } => low.number,
        _ => return None,
    };
    let origin = facts.origin(Property::Gain)?;
    (least <= Decimal::ZERO).then(|| {
        fault(
            origin,
            format!("{who} is said to have a gain of {value}, and a transistor has more than none"),
            "read the sheet or the meter again, and mend the gain".into(),
            value.to_string(),
        )
    })
}

/// A rail beyond any that a unit has.
pub(super) fn of_rail(case: &Case<'_>, id: NetId) -> Option<Fault> {
    static MOST: LazyLock<Option<Quantity>> =
        LazyLock::new(|| match value::read(limits::GREATEST_RAIL) {
            Ok(Value::Quantity(quantity)) => Some(quantity),
            _ => None,
        });
    let most = (*MOST)?;
    let net = case.nets.net(id);
    let rail = net.rail.as_ref()?;
    let (low, high) = rail.facts.range(Property::Volts)?;
    let told = [low, high]
        .into_iter()
        .find(|end| end.dimension == most.dimension && end.number.abs() > most.number)?;
    Some(fault(
        rail.origin,
        format!(
            "the rail {}.{} is said to be at {told}, and no unit on a bench has more than {most}",
            case.board(net.board).name,
            net.name
        ),
        "read the drawing again, and mend the rail".into(),
        told.to_string(),
    ))
}

fn fault(origin: Origin, fact: String, remedy: String, values: String) -> Fault {
    Fault::new(
        origin,
        fact,
        "nothing can be computed with it, and what hangs on it is not known",
        remedy,
    )
    .values(values)
}
