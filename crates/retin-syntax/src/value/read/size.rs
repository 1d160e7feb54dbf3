//! The outline of a part, `5x11`, and the pitch of its leads, `p2`.

use rust_decimal::Decimal;

use super::{canonical_each, whole};
use crate::value::body::{self, Body};
use crate::value::error::{ValueError, ValueErrorKind as Kind};
use crate::value::{Value, exact};

/// `5x11`, `7.2 x 2.5 x 6.5`, `5×11mm`; `None` when the text is not of that shape.
pub(super) fn outline(text: &str) -> Option<Result<Value, ValueError>> {
    let mut sides = Vec::with_capacity(3);
    let mut rest = text;
    loop {
        let scanned = exact::scan(rest)?;
        let (number, length) = match scanned {
            Ok(scanned) if scanned.signed => return None,
            Ok(scanned) => (scanned.number.to_decimal(), scanned.length),
            Err((kind, length)) => (Err(kind), length),
        };
        sides.push(number);
        rest = rest[length..].trim_start();
        rest = rest.strip_prefix("mm").unwrap_or(rest).trim_start();
        if rest.is_empty() {
            break;
        }
        rest = ["x", "X", "×"]
            .iter()
            .find_map(|cross| rest.strip_prefix(cross))?
            .trim_start();
        if sides.len() == 3 {
            return None;
        }
    }
    if sides.len() < 2 {
        return None;
    }
    let sides: Result<Vec<Decimal>, Kind> = sides.into_iter().collect();
    let read = sides.and_then(|sides| {
        if sides.iter().any(Decimal::is_zero) {
            return Err(Kind::NotPositive);
        }
        match sides[..] {
            [diameter, length] => Ok(Body::Round { diameter, length }),
            [length, width, height] => Ok(Body::Box {
                length,
                width,
                height,
            }),
            _ => Err(Kind::NotAValue),
        }
    });
    Some(read.map(Value::Body).map_err(|kind| whole(kind, text)))
}

/// `p2`, `p7.5`; `None` when the text is not of that shape.
pub(super) fn pitch(text: &str) -> Option<Result<Value, ValueError>> {
    let rest = text.strip_prefix('p')?;
    let digits = rest.strip_suffix("mm").unwrap_or(rest).trim_end();
    if !digits
        .bytes()
        .all(|byte| byte.is_ascii_digit() || byte == b'.')
    {
        return None;
    }
    let scanned = match exact::scan(digits)? {
        Ok(scanned) if scanned.length == digits.len() => scanned,
        Ok(_) => return None,
        Err((kind, _)) => return Some(Err(whole(kind, text))),
    };
    // IEC 60062 writes 0.33 pF as `p33`, and no pitch begins with a nought.
    let begins_with_nought = digits.len() > 1 && digits.starts_with('0') && !digits.contains('.');
    if body::looks_like_a_letter_code(rest) || begins_with_nought {
        let as_pitch = (!begins_with_nought).then(|| format!("p{digits}.0"));
        let suggestions = canonical_each(std::iter::once(format!("0.{digits}pF")).chain(as_pitch));
        return Some(Err(whole(Kind::Ambiguous { suggestions }, text)));
    }
    let read = match scanned.number.to_decimal() {
        Ok(pitch) if pitch.is_zero() => Err(Kind::NotPositive),
        Ok(pitch) => Ok(Value::Pitch(pitch)),
        Err(kind) => Err(kind),
    };
    Some(read.map_err(|kind| whole(kind, text)))
}
