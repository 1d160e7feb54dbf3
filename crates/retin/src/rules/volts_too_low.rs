//! A rated voltage below the old part's, or below what the circuit puts there.

use super::{Judge, Rule, limits, safety_class};
use crate::finding::{Fault, Verdict};
use crate::meaning::FactValue;
use crate::potentials::shown;
use crate::replacement::Replacement;
use crate::stage::Stage;
use retin_syntax::Token;
use retin_syntax::tables::Property;
use retin_syntax::value::{Decimal, Dimension, Quantity, Value};

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
    if let Some((most, nets)) = &across {
        let margin = margin(replacement);
        let Some(usable) = new.number.checked_mul(margin) else {
            return Verdict::lacks("a rated voltage within reach of arithmetic");
        };
        if *most > usable {
            return Verdict::failed(too_low_for_the_circuit(
                replacement,
                new,
                *most,
                nets,
                margin,
            ));
        }
    }
    match old {
        Some(old) if new.number < old.number => {
            Verdict::failed(lower_than_the_old(replacement, new, old))
        }
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
            .with(replacement.part.line, format!("{{place}} is rated {old}"))
            .values(format!("{new} in place of {old}")),
        ),
        (None, None) => Verdict::lacks("the new part's AC rating"),
    })
}

/// The most that can stand across the two leads, in volts, with the nets in words.
fn across(replacement: &Replacement<'_, '_>) -> Option<(Decimal, String)> {
    let case = replacement.case;
    let [one, other] = replacement.old.pins else {
        return None;
    };
    let over = case.potentials.between(case, one.net, other.net)?;
    let most = over.low.abs().max(over.high.abs());
    Some((
        most,
        format!(
            "{} and {}",
            case.nets.net(one.net).name,
            case.nets.net(other.net).name
        ),
    ))
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
    most: Decimal,
    nets: &str,
    margin: Decimal,
) -> Fault {
    let most = Quantity::new(shown(most), Dimension::Voltage);
    let share = (margin * Decimal::ONE_HUNDRED).normalize();
    let called = replacement.new.called();
    let consequence = if most.number > new.number {
        "it is driven beyond its rating: it heats, vents or shorts"
    } else {
        "it runs without margin: mains surges and rail tolerance bring it over its rating, and it dries out early"
    };
    let mut fault = Fault::new(
        replacement.new.origin,
        format!("{called} is rated {new}, and up to {most} stands across {{place}} between {nets}"),
        consequence,
        format!("choose a part of which {share} % of the rating is at least {most}"),
    )
    .values(format!("{new} where {most} stands"));
    if let Some(old) = replacement.old.get(Property::Volts) {
        fault = fault.with(old.1.origin, "the old rating");
    }
    for pin in replacement.old.pins {
        if let Some(known) = replacement.case.potentials.of(replacement.case, pin.net) {
            fault = fault.with(known.origin, known.most_in_words());
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
    .with(origin, format!("{{place}} was rated {old}"))
    .values(format!("{new} in place of {old}"))
}
