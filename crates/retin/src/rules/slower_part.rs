//! A diode or operational amplifier that is slower than the old one.

use super::{Judge, Rule};
use crate::finding::{Fault, Verdict};
use crate::library::Device;
use crate::meaning::{FactValue, Facts};
use crate::replacement::Replacement;
use crate::stage::Stage;
use retin_syntax::Token;
use retin_syntax::tables::Property;
use retin_syntax::value::{Quantity, Value};

pub(super) const RULE: Rule = Rule {
    name: "slower-part",
    at: Stage::Order,
    summary: "a diode that recovers, or an amplifier that slews or reaches, less fast than the old one",
    page: include_str!("slower_part.md"),
    judge: Judge::Replacement(judge),
};

fn judge(replacement: &Replacement<'_, '_>) -> Verdict {
    let (Some(old), Some(new)) = (replacement.old.kind, replacement.new.kind) else {
        return Verdict::NotApplicable;
    };
    if old != new || replacement.part.is_added || replacement.is_same_type() {
        return Verdict::NotApplicable;
    }
    match old.token() {
        Token::Opamp => amplifier(replacement),
        Token::Diode | Token::Bridge => diode(replacement),
        _ => Verdict::NotApplicable,
    }
}

fn amplifier(replacement: &Replacement<'_, '_>) -> Verdict {
    let slew = compare(replacement, Property::Slew);
    let bandwidth = compare(replacement, Property::Bandwidth);
    let rows = [
        (
            slew,
            Property::Slew,
            "slew rate",
            "loud high notes would be cut short and sound rough",
        ),
        (
            bandwidth,
            Property::Bandwidth,
            "bandwidth",
            "the top of the range would be lost where the stage has gain",
        ),
    ];
    let mut question = None;
    for (compared, property, word, consequence) in &rows {
        let (old, new, is_certain) = match compared {
            Compared::Slower(old, new) => (old, new, true),
            Compared::Unsure(old, new) => (old, new, false),
            _ => continue,
        };
        let called = replacement.new.called();
        let (new_sheet, old_sheet) = sheets(replacement, *property);
        let fact = if is_certain {
            format!(
                "{called} has a {word} of {new}{new_sheet}, and the old part at {{place}} had {old}"
            )
        } else {
            format!(
                "by the sheets, which disagree, {called} has a {word} of {new} at worst{new_sheet}, and the old part at {{place}} had {old} at best"
            )
        };
        let fault = Fault::new(
            replacement.new.origin,
            fact,
            *consequence,
            format!("choose a type with a {word} of {old} or more"),
        )
        .with(
            replacement.part.line,
            format!("{{place}} had {old}{old_sheet}"),
        )
        .values(format!("{new} in place of {old}"));
        if is_certain {
            return Verdict::failed(fault);
        }
        question.get_or_insert(fault.question());
    }
    if let Some(question) = question {
        return Verdict::failed(question);
    }
    match rows {
        [(Compared::LacksOld, ..), _] => Verdict::lacks("the old amplifier's slew rate"),
        [(Compared::LacksNew, ..), _] => Verdict::lacks("the new amplifier's slew rate"),
        [_, (Compared::LacksOld, ..)] => Verdict::lacks("the old amplifier's bandwidth"),
        [_, (Compared::LacksNew, ..)] => Verdict::lacks("the new amplifier's bandwidth"),
        _ => Verdict::Passed,
    }
}

/// The sheets that the figures of the new and of the old type were read in,
/// where these files do not state them.
fn sheets(replacement: &Replacement<'_, '_>, property: Property) -> (String, String) {
    let of = |is_stated: bool, device: Option<&Device<'_>>| match device {
        Some(device) if !is_stated && device.facts.has(property) => device.by_sheet(),
        _ => String::new(),
    };
    (
        of(replacement.new.facts.has(property), replacement.new.device),
        of(
            replacement.old.get(property).is_some(),
            replacement.old_device(),
        ),
    )
}

/// Two figures against each other; the old one first.
enum Compared {
    NotSlower,
    Slower(Quantity, Quantity),
    /// Sheets disagree, and by some of them it is slower.
    Unsure(Quantity, Quantity),
    LacksOld,
    LacksNew,
}

fn compare(replacement: &Replacement<'_, '_>, property: Property) -> Compared {
    let stated = replacement
        .old
        .quantity(property)
        .map(|quantity| vec![quantity]);
    let old = stated
        .or_else(|| Some(figures(&replacement.old_device()?.facts, property)))
        .unwrap_or_default();
    let mut new = figures(replacement.new.facts, property);
    if new.is_empty() {
        new = replacement
            .new
            .device
            .map(|device| figures(&device.facts, property))
            .unwrap_or_default();
    }
    let least = |figures: &[Quantity]| {
        figures
            .iter()
            .copied()
            .min_by_key(|quantity| quantity.number)
    };
    let most = |figures: &[Quantity]| {
        figures
            .iter()
            .copied()
            .max_by_key(|quantity| quantity.number)
    };
    let (Some(old_least), Some(old_most)) = (least(&old), most(&old)) else {
        return Compared::LacksOld;
    };
    let (Some(new_least), Some(new_most)) = (least(&new), most(&new)) else {
        return Compared::LacksNew;
    };
    if new_most.number < old_least.number {
        Compared::Slower(old_least, new_most)
    } else if new_least.number < old_most.number {
        Compared::Unsure(old_most, new_least)
    } else {
        Compared::NotSlower
    }
}

/// Every figure that is stated; sheets of one type may disagree.
fn figures(facts: &Facts<'_>, property: Property) -> Vec<Quantity> {
    let quantity = |value: &FactValue<'_>| match value {
        FactValue::Value(Value::Quantity(quantity)) => Some(*quantity),
        _ => None,
    };
    facts
        .all(property)
        .filter_map(|fact| quantity(&fact.value))
        .collect()
}

fn diode(replacement: &Replacement<'_, '_>) -> Verdict {
    let old_time = replacement.old.quantity(Property::Recovery);
    let new_time = replacement.new.facts.quantity(Property::Recovery);
    if let (Some(old), Some(new)) = (old_time, new_time) {
        if new.number <= old.number {
            return Verdict::Passed;
        }
        return Verdict::failed(slow_diode(
            replacement,
            Property::Recovery,
            &format!("recovers in {new}"),
            &format!("recovered in {old}"),
            format!("{new} in place of {old}"),
        ));
    }
    let of_old_type = || replacement.old_device()?.facts.choice(Property::Speed);
    let Some(old) = replacement.old.choice(Property::Speed).or_else(of_old_type) else {
        return Verdict::lacks(
            "the old diode's recovery class: its type, or `standard`, `fast`, `ultrafast`, `signal` or `schottky`",
        );
    };
    // Nothing is slower than a standard diode.
    if old == Token::Standard {
        return Verdict::Passed;
    }
    let of_new_type = || replacement.new.device?.facts.choice(Property::Speed);
    let Some(new) = replacement
        .new
        .facts
        .choice(Property::Speed)
        .or_else(of_new_type)
    else {
        return Verdict::lacks("the new diode's recovery class");
    };
    if rank(new) >= rank(old) {
        return Verdict::Passed;
    }
    let word = |token: Token| token.reserved_text().unwrap_or("");
    let said = |token: Token| {
        if token == Token::Ultrafast {
            "an ultrafast".to_owned()
        } else {
            format!("a {}", word(token))
        }
    };
    let values = format!("{} in place of {}", word(new), word(old));
    Verdict::failed(slow_diode(
        replacement,
        Property::Speed,
        &format!("is {} diode", said(new)),
        &format!("was {} one", said(old)),
        values,
    ))
}

fn slow_diode(
    replacement: &Replacement<'_, '_>,
    property: Property,
    new: &str,
    old: &str,
    values: String,
) -> Fault {
    let (new_sheet, old_sheet) = sheets(replacement, property);
    Fault::new(
        replacement.new.origin,
        format!(
            "{} {new}{new_sheet}, and the old part at {{place}} {old}",
            replacement.new.called()
        ),
        "a diode that is slow to block heats in a switching or signal stage, and lets the wrong half through",
        "choose a diode at least as fast as the old one",
    )
    .with(
        replacement.part.line,
        format!("{{place}} {old}{old_sheet}"),
    )
    .values(values)
}

/// Recovery classes, slowest first; a small-signal switching diode is as good as an ultrafast one.
fn rank(class: Token) -> u8 {
    match class {
        Token::Fast => 1,
        Token::Ultrafast | Token::Signal => 2,
        Token::Schottky => 3,
        _ => 0,
    }
}
