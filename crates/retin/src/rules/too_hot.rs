//! A part that gets hotter, or bears less heat, than its place asks for.

use super::{Judge, Rule, limits};
use crate::finding::{Fault, Verdict};
use crate::physics::electrolytic_life::{RatedLife, ten_kelvin, ten_kelvin_caution};
use crate::physics::units::{Celsius, Hours};
use crate::potentials::shown;
use crate::replacement::Replacement;
use crate::stage::Stage;
use retin_syntax::Token;
use retin_syntax::tables::Property;
use retin_syntax::value::{Decimal, Dimension, Quantity};
use rust_decimal::RoundingStrategy;
use rust_decimal::prelude::ToPrimitive;
use std::borrow::Cow;

pub(super) const RULE: Rule = Rule {
    name: "too-hot",
    at: Stage::Order,
    summary: "a temperature, ripple or power rating below the old part's, or a life shorter than the job wants",
    page: include_str!("too_hot.md"),
    judge: Judge::Replacement(judge),
};

/// What one comparison says; `Open` where nobody asks for it.
enum Answer {
    Open,
    Fine,
    Lacks(Cow<'static, str>),
    Wrong(Fault),
}

impl Answer {
    fn lacks(fact: impl Into<Cow<'static, str>>) -> Answer {
        Answer::Lacks(fact.into())
    }
}

fn judge(replacement: &Replacement<'_, '_>) -> Verdict {
    let Some(kind) = replacement.old.kind else {
        return Verdict::NotApplicable;
    };
    let is_wet = matches!(
        kind.token(),
        Token::Electrolytic | Token::Bipolar | Token::Polymer
    );
    let is_resistor = kind.token() == Token::Resistor;
    let answers = [
        hotter_inside(replacement),
        below_the_old(replacement, Property::Temperature),
        below_the_old(replacement, Property::Ripple),
        if is_resistor {
            below_the_old(replacement, Property::Power)
        } else {
            Answer::Open
        },
        if is_resistor {
            dissipation(replacement)
        } else {
            Answer::Open
        },
        life(replacement),
    ];
    let mut missing = None;
    let mut is_compared = false;
    for answer in answers {
        match answer {
            Answer::Wrong(fault) => return Verdict::failed(fault),
            Answer::Lacks(fact) => missing = missing.or(Some(fact)),
            Answer::Fine => is_compared = true,
            Answer::Open => {}
        }
    }
    match missing {
        Some(fact) => Verdict::lacks(fact),
        None if is_compared => Verdict::Passed,
        None if is_wet => Verdict::lacks("the old part's highest temperature"),
        None if is_resistor => Verdict::lacks("the old part's rated power"),
        None => Verdict::NotApplicable,
    }
}

/// A rating that must not be lower than the old part's.
fn below_the_old(replacement: &Replacement<'_, '_>, property: Property) -> Answer {
    let Some(old) = replacement.old.quantity(property) else {
        return Answer::Open;
    };
    let (what, lacks, consequence) = match property {
        Property::Temperature => (
            "rated to",
            "the new part's highest temperature",
            "the maker chose the old rating for how warm the place gets; a lower one dries out or fails early",
        ),
        Property::Ripple => (
            "rated for a ripple of",
            "the new part's rated ripple",
            "the ripple that the old one bore heats it from within, and it dries out early",
        ),
        _ => (
            "rated",
            "the new part's rated power",
            "it runs hotter than the old one did, drifts, and chars the board under it",
        ),
    };
    let Some(new) = replacement.new.facts.quantity(property) else {
        return Answer::lacks(lacks);
    };
    if old.dimension != new.dimension || new.number >= old.number {
        return Answer::Fine;
    }
    let origin = replacement
        .old
        .get(property)
        .map_or(replacement.part.line, |(_, fact)| fact.origin);
    let called = replacement.new.called();
    Answer::Wrong(
        Fault::new(
            replacement.new.origin,
            format!("{called} is {what} {new}, and the old part at {{place}} was {what} {old}"),
            consequence,
            format!("choose a part {what} {old} or more"),
        )
        .with(origin, format!("{{place was}} {what} {old}"))
        .values(format!("{new} in place of {old}")),
    )
}

/// A part that is rated for less than it is inside the unit.
fn hotter_inside(replacement: &Replacement<'_, '_>) -> Answer {
    let Some(job) = &replacement.case.job else {
        return Answer::Open;
    };
    let (Some(inside), Some(rated)) = (
        job.facts.quantity(Property::Inside),
        replacement.new.facts.quantity(Property::Temperature),
    ) else {
        return Answer::Open;
    };
    if inside.number <= rated.number {
        return Answer::Fine;
    }
    let called = replacement.new.called();
    let mut fault = Fault::new(
        replacement.new.origin,
        format!("{called} at {{place}} is rated to {rated}, and the job counts on {inside} inside the unit"),
        "it is over its rating from the first hour",
        format!("choose a part rated above {inside}"),
    )
    .values(format!("{rated} at {inside}"));
    if let Some(origin) = job.facts.origin(Property::Inside) {
        fault = fault.with(origin, "the temperature inside");
    }
    Answer::Wrong(fault)
}

/// The life an aluminium electrolytic may be expected to last, where the job wants one.
fn life(replacement: &Replacement<'_, '_>) -> Answer {
    if !replacement
        .new
        .kind
        .is_some_and(|kind| matches!(kind.token(), Token::Electrolytic | Token::Bipolar))
    {
        return Answer::Open;
    }
    let Some(job) = &replacement.case.job else {
        return Answer::Open;
    };
    let (Some(wanted), Some(inside)) = (
        job.facts.quantity(Property::Life),
        job.facts.quantity(Property::Inside),
    ) else {
        return Answer::Open;
    };
    let Some(rated) = replacement.new.facts.quantity(Property::Life) else {
        return Answer::lacks("the new part's rated life");
    };
    let Some(temperature) = replacement.new.facts.quantity(Property::Temperature) else {
        return Answer::lacks("the new part's highest temperature");
    };
    let Some(expected) = expected_hours(rated, temperature, inside) else {
        return Answer::lacks("a life and temperatures that the rule of ten kelvins reaches");
    };
    let Some(wanted_hours) = hours(wanted) else {
        return Answer::lacks("a life within reach of arithmetic");
    };
    if expected >= wanted_hours {
        return Answer::Fine;
    }
    let called = replacement.new.called();
    let caution = celsius(inside)
        .and_then(ten_kelvin_caution)
        .map(|caution| format!(" ({caution})"))
        .unwrap_or_default();
    let mut fault = Fault::new(
        replacement.new.origin,
        format!(
            "{called} at {{place}} is rated {rated} at {temperature}, which comes to about {expected:.0}h at {inside}, and the job wants {wanted}"
        ),
        "it dries out before the job's time is over: a doubling for each 10 K less, as Rubycon's technical note reckons",
        format!("choose a longer life or a higher temperature{caution}"),
    )
    .with(replacement.new.described, "the rated life")
    .values(format!("{rated} at {temperature}"));
    if let Some(origin) = job.facts.origin(Property::Life) {
        fault = fault.with(origin, "the life wanted");
    }
    Answer::Wrong(fault)
}

fn expected_hours(rated: Quantity, temperature: Quantity, inside: Quantity) -> Option<f64> {
    let rated = RatedLife {
        life: Hours::new(hours(rated)?).ok()?,
        temperature: celsius(temperature)?,
    };
    Some(ten_kelvin(rated, celsius(inside)?).ok()?.get())
}

fn hours(life: Quantity) -> Option<f64> {
    life.number.checked_div(Decimal::from(3600))?.to_f64()
}

fn celsius(temperature: Quantity) -> Option<Celsius> {
    Celsius::new(temperature.number.to_f64()?).ok()
}

/// What a resistor between two known potentials turns to heat.
fn dissipation(replacement: &Replacement<'_, '_>) -> Answer {
    let case = replacement.case;
    let [one, other] = replacement.old.pins else {
        return Answer::Open;
    };
    let nets = [one.net, other.net];
    let Some(over) = case.potentials.between(case, one.net, other.net) else {
        return match case.potentials.trouble(case, &nets) {
            Some(trouble) => Answer::lacks(format!("what the circuit puts there: {trouble}")),
            None => Answer::Open,
        };
    };
    let is_solved = nets
        .iter()
        .any(|net| case.potentials.rail(&case.nets, *net).is_none());
    let most = over.low.abs().max(over.high.abs());
    let (Some(ohms), Some(rating)) = (
        replacement.new.value(),
        replacement.new.facts.quantity(Property::Power),
    ) else {
        return Answer::lacks("the new part's rated power and resistance");
    };
    if ohms.dimension != Dimension::Resistance || replacement.new.second.is_some() {
        return Answer::lacks("one resistance and its rated power");
    }
    let heat = most
        .checked_mul(most)
        .and_then(|square| square.checked_div(ohms.number));
    let usable = rating.number.checked_mul(limits::RESISTOR_SHARE);
    let needed = heat.and_then(|heat| heat.checked_div(limits::RESISTOR_SHARE));
    let (Some(heat), Some(usable), Some(needed)) = (heat, usable, needed) else {
        return Answer::lacks("a resistance within reach of arithmetic");
    };
    if heat <= usable {
        return Answer::Fine;
    }
    let heat = Quantity::new(
        heat.round_sf(3).unwrap_or(heat).normalize(),
        Dimension::Power,
    );
    let most = Quantity::new(shown(most), Dimension::Voltage);
    let called = replacement.new.called();
    let is_over = heat.number > rating.number;
    let names = nets.map(|net| case.nets.net(net).name);
    let by = if is_solved {
        "by the circuit"
    } else {
        "by the rails"
    };
    // Rounded up: what is asked for has to be enough.
    let needed = needed.round_dp_with_strategy(3, RoundingStrategy::ToPositiveInfinity);
    let needed = Quantity::new(needed.normalize(), Dimension::Power);
    let mut fault = Fault::new(
        replacement.new.origin,
        format!(
            "{called} is rated {rating}, and has {heat} of heat to bear at {{place}}: {by} up to {most} across its {ohms}, from {} to {}",
            names[0], names[1]
        ),
        if is_over {
            "it is over its rating: it drifts, chars the board and opens"
        } else {
            "it runs hot all its life, and so does the board under it"
        },
        if is_over {
            format!("choose a part rated {needed} or more")
        } else {
            format!("ask whether a part rated {needed} or more is wanted here")
        },
    )
    .values(format!("{rating} where {heat} is"));
    for (net, name) in nets.into_iter().zip(names) {
        if let Some(known) = case.potentials.of(case, net) {
            fault = fault.with(known.origin, format!("{name}: {}", known.in_words()));
        }
    }
    if !is_over {
        fault = fault.question();
    }
    Answer::Wrong(fault)
}
