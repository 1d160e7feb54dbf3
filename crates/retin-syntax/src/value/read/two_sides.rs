//! Tolerances that are marked as such, `±20%` and `-10/+50%`.

use super::plain::{Plain, plain};
use super::{canonical_each, in_whole, whole};
use crate::value::Value;
use crate::value::dimension::Dimension;
use crate::value::error::{ValueError, ValueErrorKind as Kind};
use crate::value::exact::{self, Exact};
use crate::value::quantity::{self, Quantity};
use crate::value::tolerance::Tolerance;
use crate::value::unit::{self, Spelled};

/// `±20%`, `+-20%`, `+/-0.25pF`.
pub(super) fn symmetric_tolerance(text: &str) -> Option<Result<Value, ValueError>> {
    let rest = ["±", "+/-", "+-", "+\u{2212}", "+/\u{2212}"]
        .iter()
        .find_map(|sign| text.strip_prefix(sign))?
        .trim_start();
    let at = text.len() - rest.len();
    let read = match plain(rest) {
        Ok(Plain::Quantity {
            quantity,
            signed: false,
            ..
        }) => Ok(Value::Tolerance(match quantity.dimension {
            Dimension::Ratio => Tolerance::relative(quantity.number),
            _ => Tolerance::absolute(quantity),
        })),
        Ok(Plain::Number(_)) => Err(whole(
            Kind::UnitMissing {
                suggestions: canonical_each([format!("±{rest}%")]),
            },
            text,
        )),
        Ok(_) => Err(whole(Kind::NotAValue, text)),
        Err(error) if error.kind.is_just_a_word() => Err(whole(Kind::NotAValue, text)),
        Err(error) => Err(in_whole(error.shifted(at), |amount| {
            format!("±{}", amount.trim_start_matches('±'))
        })),
    };
    Some(read)
}

/// `-10/+50%`, `+80 -20 %`, `-0.1/+0.25pF`; `None` when there are not two sides.
pub(super) fn two_sided_tolerance(text: &str) -> Option<Result<Value, ValueError>> {
    let first = exact::scan(text)?.ok()?;
    // A nought needs no sign: `0/+100%`.
    if !first.signed && first.number != Exact::new(false, 0, 0) {
        return None;
    }
    let after_first = &text[first.length..];
    let second_at = first.length + after_first.find(['+', '-', '\u{2212}'])?;
    let second_text = &text[second_at..];
    let second = exact::scan(second_text)?.ok()?;
    let between = text[first.length..second_at].trim();
    let first_unit = between.strip_suffix('/').unwrap_or(between).trim_end();
    let second_unit = second_text[second.length..].trim();
    // `-26-031` is a word; a tolerance has a unit or says `/`.
    if second_unit.is_empty() && !between.ends_with('/') {
        return None;
    }
    if first.signed && first.negative == second.negative {
        return None;
    }
    let (below, above) = if second.negative {
        ((second.number, second_unit), (first.number, first_unit))
    } else {
        ((first.number, first_unit), (second.number, second_unit))
    };
    Some(
        two_sides(below, above, second_unit).map_err(|kind| match kind {
            Kind::UnitMissing { .. } => whole(
                Kind::UnitMissing {
                    suggestions: canonical_each([format!("{text}%")]),
                },
                text,
            ),
            kind => whole(kind, text),
        }),
    )
}

/// The tolerance of two sides; a side without a unit has `shared_unit`.
fn two_sides(below: (Exact, &str), above: (Exact, &str), shared_unit: &str) -> Result<Value, Kind> {
    let side = |(number, unit): (Exact, &str)| {
        let unit = if unit.is_empty() { shared_unit } else { unit };
        match unit::find(unit, true) {
            Some(Spelled::Known {
                unit,
                prefix_exponent,
            }) => quantity::of_unit(number, unit, prefix_exponent).map(Quantity::abs),
            _ if unit.is_empty() => Err(Kind::UnitMissing {
                suggestions: Vec::new(),
            }),
            _ => Err(Kind::UnknownUnit {
                unit: unit.to_owned(),
                suggestions: Vec::new(),
            }),
        }
    };
    let (minus, plus) = (side(below)?, side(above)?);
    match (minus.dimension, plus.dimension) {
        (Dimension::Ratio, Dimension::Ratio) => Ok(Value::Tolerance(Tolerance::Relative {
            minus: minus.number,
            plus: plus.number,
        })),
        (one, other) if one == other => Ok(Value::Tolerance(Tolerance::Absolute { minus, plus })),
        _ => Err(Kind::MixedEnds),
    }
}
