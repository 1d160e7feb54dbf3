//! Two ends of one dimension, `7..36V`.

use std::cmp::Ordering;

use super::plain::{Plain, plain};
use super::{canonical_each, in_whole, whole};
use crate::value::error::{ValueError, ValueErrorKind as Kind};
use crate::value::{Value, exact};

/// `7..36V`, `7V..36V`, `1977..1981`; `None` when there are no dots for it.
pub(super) fn range(text: &str) -> Option<Result<Value, ValueError>> {
    let (low_length, high_at) = range_dots(text)?;
    Some(read_range(
        text,
        text[..low_length].trim_end(),
        text[high_at..].trim_start(),
    ))
}

/// Where the low end of a range stops and the high end begins.
fn range_dots(text: &str) -> Option<(usize, usize)> {
    if let Some(at) = text.find('\u{2026}') {
        return Some((at, at + '\u{2026}'.len_utf8()));
    }
    let at = text.find("..")?;
    let dots = text[at..].bytes().take_while(|byte| *byte == b'.').count();
    (dots <= 3).then_some((at, at + dots))
}

fn read_range(text: &str, low_text: &str, high_text: &str) -> Result<Value, ValueError> {
    let high_at = text.len() - high_text.len();
    let high = plain(high_text);
    // The unit may be said once, after the high end, also one that is asked about.
    let shared_unit = match &high {
        Ok(Plain::Quantity { unit, .. }) => unit,
        Err(error) if !error.suggestions().is_empty() => {
            high_text.get(error.blamed()).unwrap_or_default()
        }
        _ => "",
    };
    let low_with_unit = if is_bare_number(low_text) && high_text.ends_with(shared_unit) {
        format!("{low_text}{shared_unit}")
    } else {
        low_text.to_owned()
    };
    let low = plain(&low_with_unit);
    // `C1..C12` and `ch1..4` are names.
    let is_word = |error: &ValueError| error.kind.is_just_a_word();
    if low.as_ref().is_err_and(is_word) || high.as_ref().is_err_and(is_word) {
        return Err(whole(Kind::NotAValue, text));
    }
    let (low, high) = match (low, high) {
        (Ok(low), Ok(high)) => (low, high),
        (Err(low), Ok(_)) => {
            let low = low.within(low_text.len());
            return Err(in_whole(low, |low| format!("{low}..{high_text}")));
        }
        (Ok(_), Err(high)) => {
            let high = high.shifted(high_at);
            return Err(in_whole(high, |high| format!("{low_text}..{high}")));
        }
        // Both ends are at fault in the same way where they share the unit.
        (Err(low), Err(mut high)) => {
            let pairs = low.suggestions().iter().zip(high.suggestions());
            let both = canonical_each(pairs.map(|(low, high)| format!("{low}..{high}")));
            if let Some(suggestions) = high.kind.suggestions_mut() {
                *suggestions = both;
            }
            return Err(high.shifted(high_at));
        }
    };
    match (low, high) {
        (Plain::Quantity { quantity: low, .. }, Plain::Quantity { quantity: high, .. }) => {
            match low.partial_cmp(&high) {
                None => Err(whole(Kind::MixedEnds, text)),
                Some(Ordering::Greater) => Err(whole(Kind::EmptyRange, text)),
                Some(_) => Ok(Value::Range { low, high }),
            }
        }
        (Plain::Number(low), Plain::Number(high)) if low > high => {
            Err(whole(Kind::EmptyRange, text))
        }
        (Plain::Number(low), Plain::Number(high)) => Ok(Value::NumberRange { low, high }),
        (Plain::Quantity { unit, .. }, Plain::Number(_)) if !unit.is_empty() => {
            let suggestions = canonical_each([format!("{low_text}..{high_text}{unit}")]);
            let kind = Kind::UnitMissing { suggestions };
            Err(ValueError::new(kind, high_at, text.len()))
        }
        _ => Err(whole(Kind::MixedEnds, text)),
    }
}

/// Whether a text is a number and nothing else.
fn is_bare_number(text: &str) -> bool {
    matches!(exact::scan(text), Some(Ok(scanned)) if scanned.length == text.len())
}
