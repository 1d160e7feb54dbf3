//! Nearest preferred value, and the best pair of preferred values.
//!
//! The preferred values are handed in as one decade of whole numbers (10, 12,
//! 15 … or 100, 102, 105 …), so that this file holds no second copy of a series.

use super::units::{OutOfValidity, Quantity, ValidityRule};

/// How two parts are joined.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Joining {
    /// Values add: resistors in series, capacitors in parallel.
    Adding,
    /// Reciprocals add: resistors in parallel, capacitors in series.
    Reciprocal,
}

/// Two preferred values and what they make together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pair<Value> {
    /// The larger part.
    pub larger: Value,
    /// The smaller part.
    pub smaller: Value,
    /// Value of the pair.
    pub together: Value,
}

/// The preferred value nearest to a wished one; of two as near, the lower.
///
/// # Errors
/// Refuses an empty decade, one with a zero, and values too near the ends of
/// the range of their unit.
pub fn nearest<Value: Quantity>(wished: Value, decade: &[u32]) -> Result<Value, OutOfValidity> {
    let values = around(wished, decade, 1)?;
    let best = values
        .into_iter()
        .min_by(|first, second| {
            let distance = |value: f64| (value - wished.get()).abs();
            distance(*first).total_cmp(&distance(*second))
        })
        .unwrap_or(f64::NAN);
    Value::checked("preferred value", best)
}

/// The two preferred values that come nearest to a wished one when joined.
///
/// Looks two decades up and down. Of pairs as near, the one with the smaller
/// larger part is taken.
///
/// # Errors
/// As [`nearest`].
pub fn best_pair<Value: Quantity>(
    wished: Value,
    decade: &[u32],
    joining: Joining,
) -> Result<Pair<Value>, OutOfValidity> {
    let values = around(wished, decade, 2)?;
    let mut best: Option<(f64, f64, f64)> = None;
    for (index, &larger) in values.iter().enumerate() {
        for &smaller in &values[..=index] {
            let together = match joining {
                Joining::Adding => larger + smaller,
                Joining::Reciprocal => larger * smaller / (larger + smaller),
            };
            let distance = |together: f64| (together - wished.get()).abs();
            // The ties that rounding makes must not decide.
            let nearer = best.is_none_or(|(_, _, old)| {
                distance(together) < distance(old) - wished.get() * 1e-12
            });
            if nearer {
                best = Some((larger, smaller, together));
            }
        }
    }
    let (larger, smaller, together) = best.unwrap_or((f64::NAN, f64::NAN, f64::NAN));
    Ok(Pair {
        larger: Value::checked("larger part", larger)?,
        smaller: Value::checked("smaller part", smaller)?,
        together: Value::checked("value of the pair", together)?,
    })
}

/// Preferred values in the decade of the wished value and some on either side,
/// rising.
fn around<Value: Quantity>(
    wished: Value,
    decade: &[u32],
    decades: i32,
) -> Result<Vec<f64>, OutOfValidity> {
    let wished = wished.positive("wished value")?.get();
    let first = decade.iter().copied().min().unwrap_or(0);
    if first == 0 {
        return Err(OutOfValidity {
            input: "preferred values",
            value: 0.0,
            unit: "",
            rule: ValidityRule::Listed {
                list: "at least one whole number, none of them zero",
            },
        });
    }
    let exponent = (wished / f64::from(first)).log10().floor() as i32;
    let mut values = Vec::with_capacity(decade.len() * (2 * decades as usize + 1));
    for step in -decades..=decades {
        for &value in decade {
            let power = exponent + step;
            // Dividing by a whole power of ten keeps 4.7 at 4.7.
            let scaled = if power < 0 {
                f64::from(value) / 10_f64.powi(-power)
            } else {
                f64::from(value) * 10_f64.powi(power)
            };
            values.push(scaled);
        }
    }
    values.sort_by(f64::total_cmp);
    Ok(values)
}
