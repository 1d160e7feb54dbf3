//! A chip on rails outside its supply range.

use super::pin_order::{is_minus, is_plus};
use super::{Judge, Rule};
use crate::finding::{Fault, Verdict};
use crate::meaning::{FactValue, Facts, NetId, PinOn};
use crate::potentials::Known;
use crate::replacement::Replacement;
use crate::stage::Stage;
use retin_syntax::Token;
use retin_syntax::tables::{LeadSet, Property};
use retin_syntax::value::{Decimal, Dimension, Quantity, Value};

pub(super) const RULE: Rule = Rule {
    name: "supply-range",
    at: Stage::Order,
    summary: "a chip on rails that lie outside the supply voltage it is allowed",
    page: include_str!("supply_range.md"),
    judge: Judge::Replacement(judge),
};

/// What a sheet allows; a single figure is the most.
#[derive(Clone, Copy)]
struct Allowed {
    least: Option<Decimal>,
    most: Decimal,
}

/// How sure it is that a limit is broken.
#[derive(Clone, Copy)]
enum Certainty {
    Certain,
    SheetsDisagree,
    AtTheEnds,
}

impl Allowed {
    fn holds(&self, volts: Decimal) -> bool {
        self.least.is_none_or(|least| least <= volts) && volts <= self.most
    }
}

fn judge(replacement: &Replacement<'_, '_>) -> Verdict {
    let Some(kind) = replacement.new.kind else {
        return Verdict::NotApplicable;
    };
    let is_regulator = kind.row().leads == LeadSet::Regulator;
    if !is_regulator && !matches!(kind.token(), Token::Opamp | Token::Logic | Token::Chip) {
        return Verdict::NotApplicable;
    }
    let mut allowed = allowed(replacement.new.facts);
    let is_by_type = allowed.is_empty();
    if is_by_type {
        allowed = replacement
            .new
            .device
            .map(|device| self::allowed(&device.facts))
            .unwrap_or_default();
    }
    if allowed.is_empty() {
        return Verdict::lacks("the supply range of the new chip");
    }
    let (over, under) = if is_regulator {
        regulator_leads(replacement)
    } else {
        chip_leads(replacement)
    };
    let (Some(over), Some(under)) = (over, under) else {
        return Verdict::lacks("which nets the chip's supply pins are on");
    };
    let potential = |pin: &PinOn<'_>| replacement.case.potentials.of(replacement.case, pin.net);
    let (Some(high), Some(low)) = (potential(over), potential(under)) else {
        let case = replacement.case;
        return match case.potentials.trouble(case, &[over.net, under.net]) {
            Some(trouble) => Verdict::lacks(format!("what supplies the chip: {trouble}")),
            None => Verdict::lacks("the rails that the chip's supply pins are on"),
        };
    };
    let sign = if kind.token() == Token::NegativeRegulator {
        -Decimal::ONE
    } else {
        Decimal::ONE
    };
    let nominal = (high.nominal - low.nominal) * sign;
    let ends = [(high.high - low.low) * sign, (high.low - low.high) * sign];
    if nominal <= Decimal::ZERO {
        // Reversed pins are told as such.
        return Verdict::NotApplicable;
    }
    if allowed
        .iter()
        .all(|allowed| ends.iter().all(|end| allowed.holds(*end)))
    {
        return Verdict::Passed;
    }
    let worst = ends
        .iter()
        .copied()
        .find(|end| allowed.iter().any(|allowed| !allowed.holds(*end)))
        .unwrap_or(nominal);
    let is_certain = allowed.iter().all(|allowed| !allowed.holds(nominal));
    let told = if is_certain { nominal } else { worst };
    let Some(broken) = allowed.iter().find(|allowed| !allowed.holds(told)) else {
        return Verdict::Passed;
    };
    let certainty = if is_certain {
        Certainty::Certain
    } else if allowed.iter().any(|allowed| allowed.holds(told)) {
        Certainty::SheetsDisagree
    } else {
        Certainty::AtTheEnds
    };
    let fault = fault(
        replacement,
        Broken {
            told,
            bounds: *broken,
            certainty,
            is_by_type,
        },
        [(over.net, &high), (under.net, &low)],
    );
    Verdict::failed(if is_certain { fault } else { fault.question() })
}

/// Every statement of the supply range; sheets of one type may disagree.
fn allowed(facts: &Facts<'_>) -> Vec<Allowed> {
    facts
        .all(Property::Supply)
        .filter_map(|fact| match &fact.value {
            FactValue::Value(Value::Quantity(most)) => Some(Allowed {
                least: None,
                most: most.number,
            }),
            FactValue::Value(Value::Range { low, high }) => Some(Allowed {
                least: Some(low.number),
                most: high.number,
            }),
            _ => None,
        })
        .collect()
}

/// The pins of the place that carry the chip's supply: written as such, or by
/// their number.
fn chip_leads<'c, 'a>(
    replacement: &Replacement<'c, 'a>,
) -> (Option<&'c PinOn<'a>>, Option<&'c PinOn<'a>>) {
    let pins = replacement.old.pins;
    let device = replacement.new.device.or_else(|| replacement.old_device());
    let find = |wanted: fn(&str) -> bool| {
        let by_number = || {
            let number = device?
                .pins
                .iter()
                .find(|(_, function)| wanted(function))?
                .0;
            pins.iter().find(|pin| pin.lead == number)
        };
        pins.iter().find(|pin| wanted(pin.lead)).or_else(by_number)
    };
    (find(is_plus), find(is_minus))
}

/// A regulator stands between in and common; an adjustable one feels only what is between in and out.
fn regulator_leads<'c, 'a>(
    replacement: &Replacement<'c, 'a>,
) -> (Option<&'c PinOn<'a>>, Option<&'c PinOn<'a>>) {
    let pins = replacement.old.pins;
    let order = replacement
        .new
        .facts
        .word(Property::Leads)
        .or_else(|| replacement.new.device?.facts.word(Property::Leads));
    let is_adjustable = order.is_some_and(|order| order.contains("adj"))
        || pins.iter().any(|pin| pin.lead == "adjust");
    let find = |lead: &str| pins.iter().find(|pin| pin.lead == lead);
    (
        find("in"),
        find(if is_adjustable { "out" } else { "common" }),
    )
}

/// A limit that is broken.
struct Broken {
    /// The supply that breaks it, in volts.
    told: Decimal,
    /// The limit.
    bounds: Allowed,
    /// How sure it is.
    certainty: Certainty,
    /// Whether the limit is the type's rather than written in these files.
    is_by_type: bool,
}

fn fault(replacement: &Replacement<'_, '_>, broken: Broken, rails: [(NetId, &Known); 2]) -> Fault {
    let Broken {
        told,
        bounds: broken,
        certainty,
        is_by_type,
    } = broken;
    let case = replacement.case;
    let volts = |number: Decimal| Quantity::new(number.normalize(), Dimension::Voltage);
    let device = replacement.new.facts.word(Property::Device);
    let called = match (replacement.new.name, device) {
        (None, Some(device)) => format!("the {device}"),
        _ => replacement.new.called(),
    };
    let sheet = match replacement.new.device {
        Some(device) if is_by_type => device.by_sheet(),
        _ => String::new(),
    };
    let names = rails.map(|(net, _)| case.nets.net(net).name);
    let bounds = match broken.least {
        Some(least) => format!("{} to {}", volts(least), volts(broken.most)),
        None => format!("{} at most", volts(broken.most)),
    };
    let (consequence, remedy) = if told > broken.most {
        (
            "beyond its limit it breaks down, at once or after some hours",
            format!("choose a type that bears {}", volts(told)),
        )
    } else {
        (
            "below its least supply it distorts, oscillates or does nothing",
            format!("choose a type that works on {}", volts(told)),
        )
    };
    let between = format!("between {} and {}", names[0], names[1]);
    let told = volts(told);
    let (fact, remedy) = match certainty {
        Certainty::Certain => (
            format!("{called} is allowed {bounds}{sheet}, and {{place has}} {told} {between}"),
            remedy,
        ),
        Certainty::SheetsDisagree => (
            format!(
                "{called} is allowed {bounds} by one sheet and more by another{sheet}, and {{place}} may have {told} {between}"
            ),
            "see the sheet of the maker that you buy, and measure the rails".to_owned(),
        ),
        Certainty::AtTheEnds => (
            format!(
                "{called} is allowed {bounds}{sheet}, and at the ends of their tolerance {{place}} may have {told} {between}"
            ),
            "measure the rails, and choose a type with more room if they come near it".to_owned(),
        ),
    };
    let mut fault = Fault::new(replacement.new.origin, fact, consequence, remedy)
        .values(format!("{bounds} on {told}"));
    for (net, known) in rails {
        fault = fault.with(
            known.origin,
            format!("{}: {}", case.nets.net(net).name, known.in_words()),
        );
    }
    fault
}
