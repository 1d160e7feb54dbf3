//! What is likely meant where a value is misspelled.

use super::{canonical_each, whole};
use crate::value::error::{ValueError, ValueErrorKind as Kind};
use crate::value::unit::{self, Unit};

/// Says which prefixes are likely where one is not in use, `M` for `m` above all.
pub(super) fn wrong_prefix(number: &str, unit: &'static Unit, prefix: char) -> Kind {
    let likely = unit
        .prefixes
        .chars()
        .filter(|letter| letter.eq_ignore_ascii_case(&prefix));
    Kind::WrongPrefix {
        prefix,
        unit: unit.symbol,
        suggestions: canonical_each(
            likely.map(|letter| format!("{number}{letter}{}", unit.symbol)),
        ),
    }
}

/// The number in every unit that looks like an unknown one.
pub(super) fn similar_units(number: &str, unit: &str) -> Vec<String> {
    /// Longer words are no misspelled units.
    const LONGEST: usize = 10;
    let letters = unit.chars().count();
    if letters > LONGEST {
        return Vec::new();
    }
    let plain: String = unit
        .chars()
        .map(|letter| match letter {
            '\u{b5}' | '\u{3bc}' => 'u',
            other => other,
        })
        .collect();
    let same_letters = |spelling: &String| spelling.eq_ignore_ascii_case(&plain);
    let nearly =
        |spelling: &String| letters >= 3 && strsim::damerau_levenshtein(spelling, &plain) == 1;
    let mut found: Vec<String> = unit::canonical_spellings().filter(same_letters).collect();
    if found.is_empty() {
        found = unit::canonical_spellings().filter(nearly).collect();
    }
    canonical_each(found.into_iter().map(|unit| format!("{number}{unit}")))
}

/// `4,7uF`: a comma where the point belongs.
pub(super) fn decimal_comma(text: &str, rest: &str) -> Option<ValueError> {
    let after = rest.strip_prefix(',')?;
    let digits = after.bytes().take_while(u8::is_ascii_digit).count();
    if digits == 0 {
        return None;
    }
    let at = text.len() - rest.len();
    let as_point = format!("{}.{after}", &text[..at]);
    let as_nothing = (digits == 3).then(|| text.replace(',', ""));
    let suggestions = canonical_each(std::iter::once(as_point).chain(as_nothing));
    Some(ValueError::new(
        Kind::DecimalComma { suggestions },
        at,
        at + 1,
    ))
}

/// `22E`'s longer sister `4E7`, which is 4.7 ohm on old resistors and 40 million to a machine.
pub(super) fn e_for_ohm(text: &str) -> Option<ValueError> {
    let (before, after) = text.split_once('E')?;
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    if !digits(before) || !digits(after) {
        return None;
    }
    let suggestions = canonical_each([format!("{before}.{after}ohm"), format!("{before}e{after}")]);
    Some(whole(Kind::OldSpelling { suggestions }, text))
}
