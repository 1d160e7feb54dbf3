//! Parts at the mains: their class, their AC rating, fuses and thermistors.

use super::{Judge, Rule};
use crate::finding::{Fault, Verdict};
use crate::replacement::Replacement;
use crate::sources::Origin;
use crate::stage::Stage;
use retin_syntax::Token;
use retin_syntax::tables::Property;
use retin_syntax::value::{Decimal, Dimension, Quantity};

pub(super) const RULE: Rule = Rule {
    name: "safety-class",
    at: Stage::Order,
    summary: "a mains part without the class, AC voltage, fuse rating or thermistor type its place calls for",
    page: include_str!("safety_class.md"),
    judge: Judge::Replacement(judge),
};

/// The caution that belongs to every line about the mains.
const CAUTION: &str = "mains kills: this is work on an unplugged and discharged unit, under the local codes and by someone whom they allow to do it";

/// Whether a place takes a mains capacitor, so that this rule judges its AC rating.
pub(super) fn is_mains_capacitor_place(replacement: &Replacement<'_, '_>) -> bool {
    let Some(kind) = replacement.old.kind else {
        return false;
    };
    kind.is_covered_by(Token::Capacitor)
        && (kind.token() == Token::MainsCapacitor
            || replacement.old.choice(Property::MainsPlace).is_some())
}

fn judge(replacement: &Replacement<'_, '_>) -> Verdict {
    let Some(kind) = replacement.old.kind else {
        return Verdict::NotApplicable;
    };
    match kind.token() {
        Token::Fuse => fuse(replacement),
        Token::Thermistor => thermistor(replacement),
        _ if is_mains_capacitor_place(replacement) => capacitor(replacement),
        _ => Verdict::NotApplicable,
    }
}

/// A fault of a mains part, with the caution.
fn fault(
    replacement: &Replacement<'_, '_>,
    fact: String,
    consequence: &str,
    remedy: String,
    values: String,
    old: Option<Origin>,
) -> Verdict {
    Verdict::failed(
        Fault::new(
            replacement.new.origin,
            fact,
            format!("{consequence}; {CAUTION}"),
            remedy,
        )
        .with(old.unwrap_or(replacement.part.line), "the place")
        .values(values),
    )
}

fn origin(replacement: &Replacement<'_, '_>, property: Property) -> Option<Origin> {
    replacement.old.get(property).map(|(_, fact)| fact.origin)
}

/// A class as its letter and number: `X2` is `X` and 2, the lower number the stronger.
fn class_of(class: &str) -> Option<(char, u32)> {
    let mut letters = class.chars();
    Some((letters.next()?, letters.as_str().parse().ok()?))
}

/// The letter that a position calls for.
fn letter_for(place: Option<Token>) -> Option<char> {
    match place? {
        Token::Across => Some('X'),
        Token::Earth => Some('Y'),
        _ => None,
    }
}

fn capacitor(replacement: &Replacement<'_, '_>) -> Verdict {
    let place = replacement.old.choice(Property::MainsPlace);
    let called = replacement.new.called();
    let old_class = replacement.old.word(Property::MainsClass);
    // A place never gets less than the old part was: a Y stays a Y.
    let old_letter = old_class.and_then(class_of).map(|class| class.0);
    let letter = if old_letter == Some('Y') {
        old_letter
    } else {
        letter_for(place).or(old_letter)
    };
    let position = match place {
        Some(Token::Across) => "across the mains",
        Some(Token::Earth) => "from the mains to earth",
        _ => "at the mains",
    };
    let wanted = match (letter, old_class) {
        (letter, Some(class)) if letter == old_letter => format!("class {class}"),
        (Some(letter), _) => format!("class {letter}"),
        (None, _) => "class X or Y".into(),
    };
    let is_classed = replacement
        .new
        .kind
        .is_some_and(|kind| kind.token() == Token::MainsCapacitor);
    let was_classed = replacement
        .old
        .kind
        .is_some_and(|kind| kind.token() == Token::MainsCapacitor);
    if !is_classed && (letter.is_some() || was_classed) {
        let kind = replacement.new.kind.map_or("capacitor", |kind| kind.word());
        return fault(
            replacement,
            format!(
                "{called} is an ordinary {kind} part, and {{place is}} {position}, which calls for {wanted}"
            ),
            "an ordinary capacitor at the mains can short and burn, or put the case at mains potential",
            format!("choose a mains capacitor of {wanted}"),
            format!("{kind} in place of {wanted}"),
            origin(replacement, Property::MainsPlace),
        );
    }
    let class = replacement.new.facts.word(Property::MainsClass);
    if let (Some(letter), Some(class)) = (letter, class)
        && let Some((new_letter, new_number)) = class_of(class)
    {
        let old_number = old_class
            .and_then(class_of)
            .filter(|old| old.0 == letter)
            .map(|old| old.1);
        let is_weak = if new_letter == letter {
            old_number.is_some_and(|old| new_number > old)
        } else {
            // Y1 and Y2 stand in for X; the weaker Y classes do not.
            letter == 'Y' || new_number > 2
        };
        if is_weak {
            let consequence = if letter == 'Y' && new_letter == 'X' {
                "an X capacitor may fail shorted, and from the mains to earth that makes the case live"
            } else {
                "it is not made for the surges that the place is exposed to"
            };
            return fault(
                replacement,
                format!(
                    "{called} is class {class}, and {{place is}} {position}, which calls for {wanted}"
                ),
                consequence,
                format!("choose a mains capacitor of {wanted} or stronger"),
                format!("{class} in place of {wanted}"),
                origin(replacement, Property::MainsClass)
                    .or_else(|| origin(replacement, Property::MainsPlace)),
            );
        }
    }
    match mains_voltage(replacement) {
        Some(verdict) => verdict,
        None if class.is_none() && letter.is_some() => {
            Verdict::lacks("the new part's X or Y class")
        }
        None => Verdict::Passed,
    }
}

/// The AC rating against the old one and the mains; none where it suffices.
fn mains_voltage(replacement: &Replacement<'_, '_>) -> Option<Verdict> {
    let model = replacement.case.model.as_ref().map(|model| &model.facts);
    let mains = model.and_then(|facts| facts.quantity(Property::Mains));
    let mains =
        mains.filter(|mains| matches!(mains.dimension, Dimension::Voltage | Dimension::AcVoltage));
    let old = replacement.old.quantity(Property::AcVolts);
    let called = replacement.new.called();
    let Some(new) = replacement.new.facts.quantity(Property::AcVolts) else {
        return Some(Verdict::lacks("the new part's AC rating"));
    };
    let wanted = match (mains, old) {
        (None, None) => return Some(Verdict::lacks("the mains voltage of the model")),
        (Some(mains), old) if old.is_none_or(|old| mains.number >= old.number) => (
            Quantity::new(mains.number, Dimension::AcVoltage),
            "the mains is",
            model.and_then(|facts| facts.origin(Property::Mains)),
        ),
        (_, Some(old)) => (
            old,
            "the old part was rated",
            origin(replacement, Property::AcVolts),
        ),
        (Some(_), None) => return None,
    };
    let (least, why, at) = wanted;
    (new.number < least.number).then(|| {
        fault(
            replacement,
            format!("{called} at {{place}} is rated {new}, and {why} {least}"),
            "over its AC rating it breaks down, heats and can burn",
            format!("choose a part rated {least} or more"),
            format!("{new} where {least} is"),
            at,
        )
    })
}

/// A fuse keeps its current and speed; its voltage may only grow.
fn fuse(replacement: &Replacement<'_, '_>) -> Verdict {
    let old = &replacement.old;
    let new = replacement.new.facts;
    let called = replacement.new.called();
    let volts = |value: Option<Quantity>, other: Option<Quantity>| {
        value.or(other).map(|volts| volts.number)
    };
    let (old_amps, new_amps) = (old.quantity(Property::Value), new.quantity(Property::Value));
    if let (Some(was), Some(is)) = (old_amps, new_amps)
        && was != is
    {
        let consequence = if is.number > was.number {
            "it does not blow when it has to: wires and transformer burn in its stead"
        } else {
            "it blows at switch-on though nothing is wrong, and tempts the next hand to fit a larger one"
        };
        let values = format!("{is} in place of {was}");
        return fault(
            replacement,
            format!("{called} is a fuse of {is}, and {{place calls}} for {was}"),
            consequence,
            format!("choose a fuse of {was}"),
            values,
            origin(replacement, Property::Value),
        );
    }
    let (old_speed, new_speed) = (old.word(Property::FuseSpeed), new.word(Property::FuseSpeed));
    if let (Some(was), Some(is)) = (old_speed, new_speed)
        && was != is
    {
        return fault(
            replacement,
            format!("{called} is a fuse of speed {is}, and {{place calls}} for {was}"),
            "a slower fuse lets a fault burn on, a faster one blows at switch-on",
            format!("choose a fuse of speed {was}"),
            format!("{is} in place of {was}"),
            origin(replacement, Property::FuseSpeed),
        );
    }
    let old_volts = volts(
        old.quantity(Property::AcVolts),
        old.quantity(Property::Volts),
    );
    let new_volts = volts(
        new.quantity(Property::AcVolts),
        new.quantity(Property::Volts),
    );
    if let (Some(was), Some(is)) = (old_volts, new_volts)
        && is < was
    {
        let shown = |number: Decimal| Quantity::new(number, Dimension::Voltage);
        return fault(
            replacement,
            format!(
                "{called} is a fuse for {}, and {{place calls}} for {}",
                shown(is),
                shown(was)
            ),
            "when it blows, the arc may not go out",
            format!("choose a fuse for {} or more", shown(was)),
            format!("{} in place of {}", shown(is), shown(was)),
            origin(replacement, Property::AcVolts).or_else(|| origin(replacement, Property::Volts)),
        );
    }
    let missing = [
        (old_amps.is_none(), "the old fuse's current"),
        (new_amps.is_none(), "the new fuse's current"),
        (old_speed.is_none(), "the old fuse's speed, such as T"),
        (new_speed.is_none(), "the new fuse's speed, such as T"),
        (
            old_volts.is_some() && new_volts.is_none(),
            "the new fuse's voltage",
        ),
    ];
    missing
        .into_iter()
        .find(|row| row.0)
        .map_or(Verdict::Passed, |row| Verdict::lacks(row.1))
}

/// A thermistor's resistance falls as it warms, or rises: never the other way.
fn thermistor(replacement: &Replacement<'_, '_>) -> Verdict {
    let old = replacement.old.choice(Property::Compensation);
    let new = replacement.new.facts.choice(Property::Compensation);
    let (Some(was), Some(is)) = (old, new) else {
        return Verdict::lacks(if old.is_none() {
            "whether the old thermistor is NTC or PTC"
        } else {
            "whether the new thermistor is NTC or PTC"
        });
    };
    if was == is {
        return Verdict::Passed;
    }
    let word = |token: Token| token.reserved_text().unwrap_or("");
    let called = replacement.new.called();
    fault(
        replacement,
        format!(
            "{called} is {}, and {{place calls}} for {}",
            word(is),
            word(was)
        ),
        "it works the wrong way round: what it limits or protects runs away",
        format!("choose a thermistor that is {}", word(was)),
        format!("{} in place of {}", word(is), word(was)),
        origin(replacement, Property::Compensation),
    )
}
