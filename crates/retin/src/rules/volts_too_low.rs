//! A rated voltage below the old part's, or below what the circuit puts there.

use super::{Judge, Rule, limits, safety_class};
use crate::finding::{Fault, Verdict};
use crate::meaning::{FactValue, NetId};
use crate::potentials::shown;
use crate::replacement::Replacement;
use crate::stage::Stage;
use retin_syntax::Token;
use retin_syntax::tables::Property;
use retin_syntax::value::{Decimal, Dimension, Quantity, Value};
use rust_decimal::RoundingStrategy;

pub(super) const RULE: Rule = Rule {
    name: "volts-too-low",
    at: Stage::Order,
    summary: "a rated voltage below the old part's, or without margin over what the circuit puts there",
    page: include_str!("volts_too_low.md"),
    judge: Judge::Replacement(judge),
};

fn judge(replacement: &Replacement<'_, '_>) -> Verdict {
    let is_capacitor = replacement
        .old
        .kind
        .is_some_and(|kind| kind.is_covered_by(Token::Capacitor));
    // A mains place's AC rating is judged together with its class.
    if !is_capacitor || safety_class::is_mains_capacitor_place(replacement) {
        return Verdict::NotApplicable;
    }
    let direct = replacement.new.volts(Property::Volts);
    let alternating = replacement.new.volts(Property::AcVolts);
    if let Some(verdict) = alternating_place(replacement, direct, alternating) {
        return verdict;
    }
    let Some(new) = direct else {
        return Verdict::lacks("the new part's rated voltage");
    };
    let across = across(replacement);
    let old = replacement.old.quantity(Property::Volts);
    if let Some(across) = &across {
        let margin = margin(replacement);
        let needed = across.most.checked_div(margin);
        let (Some(usable), Some(needed)) = (new.number.checked_mul(margin), needed) else {
            return Verdict::lacks("a rated voltage within reach of arithmetic");
        };
        if across.most > usable {
            return Verdict::failed(too_low_for_the_circuit(
                replacement,
                new,
                across,
                (margin, needed),
            ));
        }
    }
    if let Some(old) = old
        && new.number < old.number
    {
        return Verdict::failed(lower_than_the_old(replacement, new, old));
    }
    let nets: Vec<NetId> = replacement.old.pins.iter().map(|pin| pin.net).collect();
    if let Some(trouble) = replacement.case.potentials.trouble(replacement.case, &nets) {
        return Verdict::lacks(format!("what the circuit puts there: {trouble}"));
    }
    match old {
        Some(_) => Verdict::Passed,
        None if across.is_some() => Verdict::Passed,
        None => Verdict::lacks("the old part's rated voltage, or the rails its leads are on"),
    }
}

/// An alternating voltage is judged by an alternating rating only.
fn alternating_place(
    replacement: &Replacement<'_, '_>,
    direct: Option<Quantity>,
    alternating: Option<Quantity>,
) -> Option<Verdict> {
    let old = replacement.old.quantity(Property::AcVolts)?;
    Some(match (alternating, direct) {
        (Some(new), _) if new.number < old.number => Verdict::failed(lower_than_the_old(replacement, new, old)),
        (Some(_), _) => Verdict::Passed,
        (None, Some(new)) => Verdict::failed(
            Fault::new(
                replacement.new.origin,
                format!("the part planned for {{place}} is rated {new} DC, and the place calls for {old}"),
                "a DC rating says nothing about alternating voltage: a part rated for DC can burn at the mains",
                "choose a part whose own marking gives an AC rating",
            )
            .with(replacement.part.line, format!("{{place is}} rated {old}"))
            .values(format!("{new} in place of {old}")),
        ),
        (None, None) => Verdict::lacks("the new part's AC rating"),
    })
}

/// What can stand across the two leads.
struct Across {
    /// The most of it, in volts.
    most: Decimal,
    /// The nets, in words.
    nets: String,
    /// Whether the circuit says so, rather than the rails alone.
    is_solved: bool,
}

fn across(replacement: &Replacement<'_, '_>) -> Option<Across> {
    let case = replacement.case;
    let [one, other] = replacement.old.pins else {
        return None;
    };
    let over = case.potentials.between(case, one.net, other.net)?;
    let is_rail = |net| case.potentials.rail(&case.nets, net).is_some();
    Some(Across {
        most: over.low.abs().max(over.high.abs()),
        nets: format!(
            "{} and {}",
            case.nets.net(one.net).name,
            case.nets.net(other.net).name
        ),
        is_solved: !is_rail(one.net) || !is_rail(other.net),
    })
}

fn margin(replacement: &Replacement<'_, '_>) -> Decimal {
    let stated = replacement.case.job.as_ref().and_then(|job| {
        match &job.facts.get(Property::Margin)?.value {
            FactValue::Value(value @ Value::Tolerance(_)) => value.as_ratio(),
            _ => None,
        }
    });
    stated.unwrap_or(limits::VOLTAGE_MARGIN)
}

fn too_low_for_the_circuit(
    replacement: &Replacement<'_, '_>,
    new: Quantity,
    across: &Across,
    (margin, needed): (Decimal, Decimal),
) -> Fault {
    let most = Quantity::new(shown(across.most), Dimension::Voltage);
    let share = (margin * Decimal::ONE_HUNDRED).normalize();
    let called = replacement.new.called();
    let nets = &across.nets;
    let by = if across.is_solved {
        "by the circuit "
    } else {
        ""
    };
    let consequence = if across.most > new.number {
        "it is driven beyond its rating: it heats, vents or shorts"
    } else {
        "it runs without margin: mains surges and rail tolerance bring it over its rating, and it dries out early"
    };
    // Rounded up: what is asked for has to be enough.
    let needed = needed.round_dp_with_strategy(1, RoundingStrategy::ToPositiveInfinity);
    let needed = Quantity::new(needed.normalize(), Dimension::Voltage);
    let mut fault = Fault::new(
        replacement.new.origin,
        format!(
            "{called} is rated {new}, and {by}up to {most} stands across {{place}} between {nets}"
        ),
        consequence,
        format!("choose a part rated {needed} or more, of which {share} % bears {most}"),
    )
    .values(format!("{new} where {most} stands"));
    if let Some(old) = replacement.old.get(Property::Volts) {
        fault = fault.with(old.1.origin, "the old rating");
    }
    for pin in replacement.old.pins {
        if let Some(known) = replacement.case.potentials.of(replacement.case, pin.net) {
            let name = replacement.case.nets.net(pin.net).name;
            fault = fault.with(known.origin, format!("{name}: {}", known.in_words()));
        }
    }
    fault
}

fn lower_than_the_old(replacement: &Replacement<'_, '_>, new: Quantity, old: Quantity) -> Fault {
    let called = replacement.new.called();
    let origin = replacement
        .old
        .get(Property::Volts)
        .or_else(|| replacement.old.get(Property::AcVolts))
        .map_or(replacement.part.line, |(_, fact)| fact.origin);
    Fault::new(
        replacement.new.origin,
        format!("{called} is rated {new}, and the old part at {{place}} was rated {old}"),
        "the maker chose the old rating for what the circuit can put there; a lower one may fail under power",
        format!("choose a part rated {old} or more"),
    )
    .with(origin, format!("{{place was}} rated {old}"))
    .values(format!("{new} in place of {old}"))
}
