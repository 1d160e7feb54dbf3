//! Leads of a new semiconductor that do not meet the pads of the old one.

use super::{Judge, Rule};
use crate::finding::{Fault, Verdict};
use crate::library::Device;
use crate::meaning::Case;
use crate::replacement::Replacement;
use crate::stage::Stage;
use crate::words::with_article;
use retin_syntax::Token;
use retin_syntax::tables::{Kind, LeadSet, Property};

pub(super) const RULE: Rule = Rule {
    name: "pin-order",
    at: Stage::Fit,
    summary: "leads or pins of a new semiconductor in another order than the old one's, or of the opposite polarity",
    page: include_str!("pin_order.md"),
    judge: Judge::Replacement(judge),
};

fn judge(replacement: &Replacement<'_, '_>) -> Verdict {
    let old = replacement
        .old
        .kind
        .or_else(|| replacement.old_device()?.kind);
    // What a type is, its sheet knows better than a drawer's label.
    let new = replacement
        .new
        .device
        .and_then(|device| device.kind)
        .or(replacement.new.kind);
    let (Some(old), Some(new)) = (old, new) else {
        return Verdict::NotApplicable;
    };
    if replacement.part.is_added || !has_pin_order(old) || !has_pin_order(new) {
        return Verdict::NotApplicable;
    }
    if !may_stand_in(old, new) {
        return Verdict::failed(other_kind(replacement, old, new));
    }
    if is_chip(old) {
        chip(replacement)
    } else {
        leads(replacement, old)
    }
}

fn is_chip(kind: Kind) -> bool {
    matches!(
        kind.token(),
        Token::Opamp | Token::Logic | Token::Optocoupler | Token::Chip
    )
}

fn has_pin_order(kind: Kind) -> bool {
    is_chip(kind)
        || kind.token() == Token::Triac
        || matches!(
            kind.row().leads,
            LeadSet::Bipolar | LeadSet::FieldEffect | LeadSet::Regulator | LeadSet::Thyristor
        )
}

/// `chip` is any chip; every other kind stands in for itself only.
fn may_stand_in(old: Kind, new: Kind) -> bool {
    old == new
        || (is_chip(old)
            && is_chip(new)
            && (old.token() == Token::Chip || new.token() == Token::Chip))
}

fn is_opposite(old: Kind, new: Kind) -> bool {
    const PAIRS: [(Token, Token); 4] = [
        (Token::Npn, Token::Pnp),
        (Token::NJfet, Token::PJfet),
        (Token::NMosfet, Token::PMosfet),
        (Token::Regulator, Token::NegativeRegulator),
    ];
    PAIRS.contains(&(old.token(), new.token())) || PAIRS.contains(&(new.token(), old.token()))
}

fn other_kind(replacement: &Replacement<'_, '_>, old: Kind, new: Kind) -> Fault {
    let (consequence, remedy) = if is_opposite(old, new) {
        (
            "it has the opposite polarity: it conducts the wrong way, and it or what it drives can burn at switch-on",
            "choose a type of the polarity that the place asks for",
        )
    } else {
        (
            "its leads do other things than the pads expect, and the stage cannot work",
            "choose a part of the kind that the place asks for",
        )
    };
    Fault::new(
        replacement.new.origin,
        format!(
            "{} is {}, and {{place asks}} for {}",
            new_name(replacement),
            new.with_article(),
            old.with_article()
        ),
        consequence,
        remedy,
    )
    .with(replacement.part.line, format!("{{place}}: {}", old.word()))
    .values(format!("{} in place of {}", new.word(), old.word()))
}

/// The new part with its type, for a sentence.
fn new_name(replacement: &Replacement<'_, '_>) -> String {
    let called = replacement.new.called();
    match replacement.new.facts.word(Property::Device) {
        Some(device) if device != called => format!("{called}, {},", with_article(device)),
        _ => called,
    }
}

/// The order of the leads of a part with three of them, as its own line, its
/// type or its package gives it.
fn order<'t>(
    case: &'t Case<'_>,
    stated: Option<&'t str>,
    device: Option<&'t Device<'_>>,
    package: Option<&'t str>,
) -> Option<&'t str> {
    let is_order = |order: &&str| order.contains('-');
    let of_device = || device?.facts.word(Property::Leads).filter(is_order);
    let of_package = || match case.library.package(package?)?.orders.as_slice() {
        [only] => Some(*only),
        _ => None,
    };
    stated
        .filter(is_order)
        .or_else(of_device)
        .or_else(of_package)
}

/// `E-B-C` to its leads, each way of naming one made the same.
fn split(order: &str) -> Vec<String> {
    let known = |lead: &str| match lead.to_ascii_lowercase().as_str() {
        "in" | "input" => "in".to_owned(),
        "out" | "output" => "out".to_owned(),
        "common" | "com" | "gnd" | "ground" => "common".to_owned(),
        "adjust" | "adj" => "adjust".to_owned(),
        _ => lead.to_owned(),
    };
    order.split('-').map(known).collect()
}

fn leads(replacement: &Replacement<'_, '_>, kind: Kind) -> Verdict {
    let case = replacement.case;
    let is_stated = replacement.new.facts.has(Property::Leads)
        || replacement.old.get(Property::Leads).is_some();
    if replacement.is_same_type() && !is_stated {
        return Verdict::Passed;
    }
    let new_device = replacement.new.device;
    let old_device = replacement.old_device();
    // A known type without an order is one whose sheets disagree: its package says nothing then.
    let new_package = replacement
        .new
        .facts
        .word(Property::Package)
        .filter(|_| new_device.is_none());
    let old_package = replacement
        .old
        .word(Property::Package)
        .filter(|_| old_device.is_none());
    let new = order(
        case,
        replacement.new.facts.word(Property::Leads),
        new_device,
        new_package,
    );
    let old = order(
        case,
        replacement.old.word(Property::Leads),
        old_device,
        old_package,
    );
    let Some(new) = new else {
        return Verdict::lacks(
            "the order of the new part's leads: `leads E-B-C` as its own sheet numbers them",
        );
    };
    let Some(old) = old else {
        return Verdict::lacks(
            "the order of the old part's leads: its type, or `leads E-B-C` below its place",
        );
    };
    let (new_leads, old_leads) = (split(new), split(old));
    if new_leads == old_leads {
        return Verdict::Passed;
    }
    let sheet = |is_stated: bool, device: Option<&Device<'_>>| match device {
        Some(device) if !is_stated => device.by_sheet(),
        _ => String::new(),
    };
    let new_sheet = sheet(replacement.new.facts.has(Property::Leads), new_device);
    let old_sheet = sheet(replacement.old.get(Property::Leads).is_some(), old_device);
    let fault = |fact: String, consequence: &str, remedy: &str| {
        let fault = Fault::new(replacement.new.origin, fact, consequence, remedy);
        fault
            .with(
                replacement.part.line,
                format!("{{place}}: {old}{old_sheet}"),
            )
            .values(format!("{new} in place of {old}"))
    };
    let called = new_name(replacement);
    let order_fact = format!(
        "{called} has its leads in the order {new}{new_sheet}, and {{place was}} built for {old}"
    );
    let is_same_set = {
        let (mut one, mut other) = (new_leads.clone(), old_leads.clone());
        one.sort();
        other.sort();
        one == other
    };
    if !is_same_set {
        return Verdict::failed(fault(
            format!(
                "{called} has the leads {}, and {{place has}} {}",
                in_words(&new_leads),
                in_words(&old_leads)
            ),
            "the pads do not meet what the part needs, and the stage cannot work",
            "choose a part with the same leads, or plan the change of circuit and accept this",
        ));
    }
    if new_leads.iter().rev().eq(old_leads.iter()) {
        return Verdict::failed(fault(
            order_fact,
            "fitted the way the print shows, its outer leads are exchanged: it does not work, and can be damaged at switch-on",
            "it fits turned round by half a turn: mark the place, and mind a tab or a heatsink, which would be on the other side",
        ));
    }
    let landings: Vec<String> = new_leads
        .iter()
        .zip(&old_leads)
        .filter(|(new, old)| new != old)
        .map(|(new, old)| {
            let net = replacement
                .old
                .pins
                .iter()
                .find(|pin| split(pin.lead).first() == Some(old));
            match net {
                Some(pin) => format!("{new} on {}, the net of {old}", case.nets.net(pin.net).name),
                None => format!("{new} on the pad of {old}"),
            }
        })
        .collect();
    let is_junction = matches!(kind.token(), Token::NJfet | Token::PJfet);
    let keeps_gate = new_leads
        .iter()
        .zip(&old_leads)
        .all(|(new, old)| (new == "G") == (old == "G"));
    if is_junction && keeps_gate {
        let remedy = "if its sheet calls drain and source interchangeable it fits as it is; otherwise cross the two leads, with sleeving";
        return Verdict::failed(fault(order_fact, "drain and source would be exchanged, which many junction types bear and some do not", remedy).question());
    }
    Verdict::failed(fault(
        format!("{order_fact}: {}", landings.join(", ")),
        "it does not work, and can be damaged or damage its stage at switch-on",
        &format!(
            "cross its leads to the order {old}, with sleeving, or choose a type with that order"
        ),
    ))
}

fn in_words(leads: &[String]) -> String {
    match leads {
        [most @ .., last] if !most.is_empty() => format!("{} and {last}", most.join(", ")),
        _ => leads.concat(),
    }
}

fn chip(replacement: &Replacement<'_, '_>) -> Verdict {
    if replacement.is_same_type() {
        return Verdict::Passed;
    }
    let Some(new) = replacement
        .new
        .device
        .filter(|device| !device.pins.is_empty())
    else {
        return Verdict::lacks(
            "the pins of the new chip: a type the library knows, or a `devices` section that lists them",
        );
    };
    let Some(old) = replacement
        .old_device()
        .filter(|device| !device.pins.is_empty())
    else {
        return by_rails(replacement, new);
    };
    let other = |fact: String, consequence: &str| {
        let remedy = format!(
            "choose a type with the pins of the {}, or build an adapter and accept this",
            old.name
        );
        Verdict::failed(
            Fault::new(replacement.new.origin, fact, consequence, remedy)
                .with(replacement.part.line, format!("{{place}}: {}", old.name))
                .values(format!("{} in place of {}", new.name, old.name)),
        )
    };
    let called = new_name(replacement);
    if old.pins.len() != new.pins.len() {
        return other(
            format!(
                "{called} has {} pins, and {{place has}} {}, as the {} had",
                new.pins.len(),
                old.pins.len(),
                old.name
            ),
            "it does not fit the pads",
        );
    }
    let (old_pins, new_pins) = (functions(old), functions(new));
    let wrong: Vec<(&str, &str, &str)> = old_pins
        .iter()
        .filter_map(|(pin, function)| {
            let now = new_pins
                .iter()
                .find(|(number, _)| number == pin)
                .map_or("nothing", |(_, function)| function);
            let is_same = now == function || (is_idle(now) && is_idle(function));
            (!is_same).then_some((*pin, now, function.as_str()))
        })
        .collect();
    if wrong.is_empty() {
        return Verdict::Passed;
    }
    const MOST: usize = 4;
    let is_supply = |function: &str| is_plus(function) || is_minus(function);
    // The supply pins are what burns, so they are told first.
    let mut told: Vec<&(&str, &str, &str)> = wrong
        .iter()
        .filter(|(_, now, was)| is_supply(now) || is_supply(was))
        .collect();
    told.extend(
        wrong
            .iter()
            .filter(|(_, now, was)| !is_supply(now) && !is_supply(was)),
    );
    let mut text: Vec<String> = told
        .iter()
        .take(MOST)
        .map(|(pin, now, was)| format!("pin {pin} is {now} and was {was}"))
        .collect();
    if wrong.len() > MOST {
        text.push(format!("{} more differ", wrong.len() - MOST));
    }
    let is_reversed = wrong
        .iter()
        .any(|(_, now, was)| (is_plus(now) && is_minus(was)) || (is_minus(now) && is_plus(was)));
    let consequence = if is_reversed {
        "its V+ would sit on V- and its V- on V+: it burns at switch-on"
    } else {
        "outputs drive inputs or the supply meets a signal pin: the stage cannot work, and the chip may not live"
    };
    other(
        format!(
            "{called} has other pins than the {} at {{place}}: {}",
            old.name,
            text.join(", ")
        ),
        consequence,
    )
}

/// Without the old chip's type, the rails on its supply pins are all that can be compared.
fn by_rails(replacement: &Replacement<'_, '_>, new: &Device<'_>) -> Verdict {
    let case = replacement.case;
    let on = |wanted: fn(&str) -> bool| {
        let pin = new.pins.iter().find(|(_, function)| wanted(function))?.0;
        let net = replacement.old.pins.iter().find(|on| on.lead == pin)?;
        Some((pin, net, case.potentials.of(case, net.net)?))
    };
    if let (Some((plus, plus_net, high)), Some((minus, minus_net, low))) =
        (on(is_plus), on(is_minus))
        && high.high <= low.low
        && high.net != low.net
    {
        let name = |net| case.nets.net(net).name;
        return Verdict::failed(
            Fault::new(
                replacement.new.origin,
                format!(
                    "{} has V+ on pin {plus} and V- on pin {minus}, and {{place has}} {} on pin {plus} and {} on pin {minus}",
                    new_name(replacement),
                    name(plus_net.net),
                    name(minus_net.net),
                ),
                "its supply would be reversed: it burns at switch-on",
                "choose a type whose supply pins are where the rails are",
            )
            .with(plus_net.origin, format!("{}, {} V", name(plus_net.net), high.nominal.normalize()))
            .with(minus_net.origin, format!("{}, {} V", name(minus_net.net), low.nominal.normalize()))
            .values(format!("{} where pin {plus} is on {}", new.name, name(plus_net.net))),
        );
    }
    Verdict::lacks(
        "the pins of the old chip: a type the library knows, or a `devices` section that lists them",
    )
}

/// Whether a pin takes the positive supply.
pub(super) fn is_plus(function: &str) -> bool {
    matches!(function, "V+" | "VCC" | "VDD" | "VCC+")
}

/// Whether a pin takes the negative supply, or ground in its stead.
pub(super) fn is_minus(function: &str) -> bool {
    matches!(function, "V-" | "VEE" | "VSS" | "VCC-" | "GND")
}

/// Offset pins and pins without connection, which a place may leave alone.
fn is_idle(function: &str) -> bool {
    function == "NC" || function.starts_with("OFFSET")
}

/// Pins with their functions, supply pins named alike and the sections
/// renumbered in the order of the pins: which of four equal amplifiers a sheet
/// calls the first is no difference.
fn functions<'t>(device: &Device<'t>) -> Vec<(&'t str, String)> {
    let mut seen: Vec<&str> = Vec::new();
    device
        .pins
        .iter()
        .map(|(pin, function)| {
            if is_plus(function) || is_minus(function) {
                let text = if is_plus(function) { "V+" } else { "V-" };
                return (*pin, text.to_owned());
            }
            let Some(at) = function
                .find(|letter: char| letter.is_ascii_digit())
                .filter(|_| !is_idle(function))
            else {
                return (*pin, (*function).to_owned());
            };
            let section = &function[at..=at];
            let number = match seen.iter().position(|known| *known == section) {
                Some(index) => index + 1,
                None => {
                    seen.push(section);
                    seen.len()
                }
            };
            (
                *pin,
                format!("{}{number}{}", &function[..at], &function[at + 1..]),
            )
        })
        .collect()
}
