//! A value that is not the one the job goes by.

use super::{Judge, Rule, limits};
use crate::finding::{Fault, Verdict};
use crate::replacement::Replacement;
use crate::stage::Stage;
use retin_syntax::Token;
use retin_syntax::tables::Property;
use retin_syntax::value::{Decimal, Quantity, Tolerance};

pub(crate) const RULE: Rule = Rule {
    name: "value-mismatch",
    at: Stage::Order,
    summary: "a new value outside what the place allows around the value the job goes by",
    page: include_str!("value_mismatch.md"),
    judge: Judge::Replacement(judge),
};

/// The window a new nominal value has to lie in, and why it is that wide.
struct Window {
    low: Decimal,
    high: Decimal,
    why: &'static str,
}

pub(crate) fn judge(replacement: &Replacement<'_, '_>) -> Verdict {
    let Some(kind) = replacement.old.kind else {
        return Verdict::lacks("the kind of the old part");
    };
    if kind.row().value.is_none() || replacement.part.is_added {
        return Verdict::NotApplicable;
    }
    // Two places with each other's parts are one mistake, told by `values-swapped`.
    if replacement.swapped_with.is_some() {
        return Verdict::NotApplicable;
    }
    let Some(old) = replacement.old_value() else {
        let is_unreadable = replacement.old.is_unreadable(Property::Value);
        return Verdict::lacks(if is_unreadable {
            "a readable value of the old part"
        } else {
            "the old part's value"
        });
    };
    // A type such as a zener diode's brings its value with it.
    let stated = replacement
        .old
        .get(Property::Value)
        .or_else(|| replacement.old.get(Property::Device));
    let Some((source, stated)) = stated else {
        return Verdict::lacks("the old part's value");
    };
    let Some(new) = replacement.new.value() else {
        return Verdict::lacks("the new part's value");
    };
    if old.dimension != new.dimension {
        return Verdict::NotApplicable;
    }
    let Some(window) = window(replacement, old) else {
        return Verdict::lacks("a value within reach of arithmetic");
    };
    if window.low <= new.number && new.number <= window.high {
        return Verdict::Passed;
    }
    let called = replacement.new.called();
    let decade = decade_slip(old, new);
    let consequence = match decade {
        Some(text) => text.to_owned(),
        None if new.number > old.number => "the circuit would be slower, lower or louder than it was built to be, or draw more at switch-on".into(),
        None => "the circuit would be faster, higher or hum more than it was built to".into(),
    };
    let bounds = if window.low == window.high {
        format!("{old}")
    } else {
        format!(
            "{} to {}",
            Quantity::new(window.low.normalize(), old.dimension),
            Quantity::new(window.high.normalize(), old.dimension)
        )
    };
    let fault = Fault::new(
        replacement.new.origin,
        format!("{called} is {new}, and {{place asks}} for {old}"),
        consequence,
        format!("choose a part of {bounds} ({})", window.why),
    )
    .with(
        stated.origin,
        format!("{{place asks}} for {old}, by {}", source.phrase()),
    )
    .values(format!("{new} in place of {old}"));
    Verdict::failed(fault)
}

fn window(replacement: &Replacement<'_, '_>, old: Quantity) -> Option<Window> {
    let kind = replacement.old.kind?;
    let role = replacement.old.choice(Property::Role);
    if matches!(role, Some(Token::Timing | Token::Filter)) {
        let shift = old.number.checked_mul(limits::TIMING_SHIFT)?;
        return Some(Window {
            low: old.number - shift,
            high: old.number + shift,
            why: "a timing or filter part keeps its value",
        });
    }
    let tolerance = replacement.old.tolerance().or_else(|| {
        let usual: Decimal = kind.row().usual_tolerance?.parse().ok()?;
        Some(Tolerance::Relative {
            minus: usual,
            plus: usual,
        })
    })?;
    let (low, high) = tolerance.window(old)?;
    if matches!(role, Some(Token::Reservoir | Token::Bypass)) || holds_a_rail(replacement) {
        let grown = old.number.checked_mul(limits::RESERVOIR_GROWTH)?;
        return Some(Window {
            low: low.number,
            high: high.number.max(grown),
            why: "a reservoir or bypass may grow to 1.5 times",
        });
    }
    Some(Window {
        low: low.number,
        high: high.number,
        why: "within the old part's tolerance",
    })
}

/// A polar capacitor with both leads on rails holds them still.
fn holds_a_rail(replacement: &Replacement<'_, '_>) -> bool {
    let case = replacement.case;
    replacement.old.kind.is_some_and(|kind| kind.is_polar())
        && replacement.old.pins.len() == 2
        && replacement
            .old
            .pins
            .iter()
            .all(|pin| case.potentials.rail(&case.nets, pin.net).is_some())
}

/// A factor of ten or a thousand is a slip of the pen, not a choice.
fn decade_slip(old: Quantity, new: Quantity) -> Option<&'static str> {
    let ratio = new
        .number
        .max(old.number)
        .checked_div(new.number.min(old.number))?;
    if ratio == Decimal::ONE_THOUSAND {
        Some(
            "that is a factor of a thousand, as when nF is read for uF or k for M: the stage would not work at all",
        )
    } else if ratio == Decimal::TEN {
        Some(
            "that is a factor of ten, as when a point or a nought is misread: the stage would be a decade off",
        )
    } else {
        None
    }
}
