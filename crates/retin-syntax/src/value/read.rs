//! Reading one value from its text.

use std::cmp::Ordering;

use iso_currency::Currency;
use rust_decimal::Decimal;

use super::Value;
use super::body::{self, Body};
use super::date::{Date, TimeOfDay};
use super::dimension::Dimension;
use super::error::{ValueError, ValueErrorKind as Kind};
use super::exact::{self, Exact};
use super::letter_code::{self, Place};
use super::money::{self, Money};
use super::quantity::{self, Quantity};
use super::tolerance::Tolerance;
use super::unit::{self, Spelled, Unit};

/// Reads one value in any spelling of the trade.
///
/// The text may have spaces around it, and between a number and its unit.
///
/// # Errors
/// [`NotAValue`](Kind::NotAValue) when the text is a word; any other kind when it
/// sets out to be a value and does not become one. Never guesses and never panics.
pub fn read(text: &str) -> Result<Value, ValueError> {
    let trimmed = text.trim();
    let skipped = text.len() - text.trim_start().len();
    read_trimmed(trimmed).map_err(|error| error.shifted(skipped))
}

fn read_trimmed(text: &str) -> Result<Value, ValueError> {
    if text == "?" {
        return Ok(Value::Unreadable);
    }
    let special = day(text)
        .or_else(|| time_of_day(text))
        .or_else(|| symmetric_tolerance(text))
        .or_else(|| range(text))
        .or_else(|| two_sided_tolerance(text))
        .or_else(|| outline(text))
        .or_else(|| pitch(text))
        .or_else(|| signed_currency(text));
    match special {
        Some(read) => read,
        None => plain(text).map(Plain::into_value),
    }
}

/// The canonical spelling of a text, where it is a value.
fn canonical(text: &str) -> Option<String> {
    read(text).ok().map(|value| value.to_string())
}

/// The canonical spellings of those of the texts that are values, each once.
fn canonical_each(texts: impl IntoIterator<Item = String>) -> Vec<String> {
    let mut suggestions = Vec::new();
    for suggestion in texts.into_iter().filter_map(|text| canonical(&text)) {
        if !suggestions.contains(&suggestion) {
            suggestions.push(suggestion);
        }
    }
    suggestions
}

/// An error about a part of a text, with suggestions for the whole of it.
fn in_whole(mut error: ValueError, whole: impl Fn(&str) -> String) -> ValueError {
    if let Some(suggestions) = error.kind.suggestions_mut() {
        *suggestions = canonical_each(suggestions.iter().map(|part| whole(part)));
    }
    error
}

/// An error about a whole text.
fn whole(kind: Kind, text: &str) -> ValueError {
    ValueError::new(kind, 0, text.len())
}

/// A number alone, or with what it counts.
enum Plain<'a> {
    Number(Decimal),
    Quantity {
        quantity: Quantity,
        /// The unit as written; empty in a letter code.
        unit: &'a str,
        signed: bool,
    },
    Money(Money),
}

impl Plain<'_> {
    fn into_value(self) -> Value {
        match self {
            Plain::Number(number) => Value::Number(number),
            Plain::Quantity {
                quantity,
                signed: false,
                ..
            } if quantity.dimension == Dimension::Ratio => {
                Value::Tolerance(Tolerance::relative(quantity.number))
            }
            Plain::Quantity { quantity, .. } => Value::Quantity(quantity),
            Plain::Money(money) => Value::Money(money),
        }
    }
}

/// Reads a number with its unit, a letter code, an amount of money or a bare number.
fn plain(text: &str) -> Result<Plain<'_>, ValueError> {
    if let Some(read) = letter_code::read(text, Place::Line) {
        return read
            .map(|quantity| Plain::Quantity {
                quantity,
                unit: "",
                signed: false,
            })
            .map_err(|kind| whole(kind, text));
    }
    let scanned = match exact::scan(text) {
        None => return Err(whole(Kind::NotAValue, text)),
        Some(Err((kind, length))) => return Err(ValueError::new(kind, 0, length)),
        Some(Ok(scanned)) => scanned,
    };
    let rest = &text[scanned.length..];
    let unit = rest.trim_start();
    let unit_at = text.len() - unit.len();
    let touches = unit.len() == rest.len();
    let number_error = |kind| ValueError::new(kind, 0, scanned.length);
    let unit_error = |kind| ValueError::new(kind, unit_at, text.len());
    if unit.is_empty() {
        return scanned
            .number
            .to_decimal()
            .map(Plain::Number)
            .map_err(number_error);
    }
    let quantity = |quantity: Quantity| Plain::Quantity {
        quantity,
        unit,
        signed: scanned.signed,
    };
    if touches {
        if let Some(error) = decimal_comma(text, rest) {
            return Err(error);
        }
        if let Some(read) = fraction(&scanned, text, rest) {
            return read.map(quantity);
        }
        if let Some(error) = e_for_ohm(text) {
            return Err(error);
        }
        if let Some(read) = letter_code::suffix(scanned.number, rest) {
            return read.map(quantity).map_err(number_error);
        }
    }
    let number_text = &text[..scanned.length];
    match unit::find(unit, touches) {
        Some(Spelled::Known {
            unit: known,
            prefix_exponent,
        }) => {
            let made =
                quantity::of_unit(scanned.number, known, prefix_exponent).map_err(number_error)?;
            if unit == "C" && !is_plausible_temperature(made) {
                return Err(whole(Kind::NotAValue, text));
            }
            Ok(quantity(made))
        }
        Some(Spelled::Asked(asked)) => {
            let suggestions = canonical_each(
                asked
                    .meanings
                    .iter()
                    .map(|meaning| format!("{number_text}{meaning}")),
            );
            Err(unit_error(Kind::OldSpelling { suggestions }))
        }
        Some(Spelled::WrongPrefix {
            unit: known,
            prefix,
        }) => Err(unit_error(wrong_prefix(number_text, known, prefix.symbol))),
        None => currency_or_unknown(text, &scanned, unit, touches),
    }
}

/// A bare `C` after a number is a temperature only where parts live: `741C` is a chip.
fn is_plausible_temperature(quantity: Quantity) -> bool {
    quantity.number >= Decimal::from(-100) && quantity.number <= Decimal::from(275)
}

/// Says which prefixes are likely where one is not in use, `M` for `m` above all.
fn wrong_prefix(number: &str, unit: &'static Unit, prefix: char) -> Kind {
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

/// Reads money, or says why what follows the number is nothing known.
fn currency_or_unknown<'a>(
    text: &'a str,
    scanned: &exact::Scanned,
    unit: &str,
    touches: bool,
) -> Result<Plain<'a>, ValueError> {
    let unit_error = |kind| ValueError::new(kind, text.len() - unit.len(), text.len());
    let number_text = &text[..scanned.length];
    if unit == money::WIRE_GAUGE {
        return Err(unit_error(Kind::WireGauge));
    }
    if let Some(currency) = money::currency(unit) {
        return amount(scanned.number, currency)
            .map(Plain::Money)
            .map_err(|kind| ValueError::new(kind, 0, scanned.length));
    }
    let bad_currency = |suggestions| {
        unit_error(Kind::BadCurrency {
            currency: unit.to_owned(),
            suggestions,
        })
    };
    if let Some(sign) = currency_sign(unit) {
        return Err(bad_currency(with_currency(
            number_text,
            money::of_sign(sign),
        )));
    }
    let is_word = unit.chars().all(|letter| {
        letter.is_alphabetic() || matches!(letter, '°' | '%' | '~' | '"' | '\u{ba}' | '\u{b5}')
    });
    if !is_word {
        return Err(whole(Kind::NotAValue, text));
    }
    let suggestions = similar_units(number_text, unit);
    let sure_to_be_a_value = !touches || number_text.contains('.');
    if suggestions.is_empty() && sure_to_be_a_value && unit.len() == 3 {
        let upper = unit.to_ascii_uppercase();
        let meant = money::currency(&upper);
        if meant.is_some() || upper == unit {
            return Err(bad_currency(with_currency(number_text, meant)));
        }
    }
    if suggestions.is_empty() && !sure_to_be_a_value {
        return Err(whole(Kind::NotAValue, text));
    }
    Err(unit_error(Kind::UnknownUnit {
        unit: unit.to_owned(),
        suggestions,
    }))
}

fn amount(number: Exact, currency: Currency) -> Result<Money, Kind> {
    let amount = number.to_decimal()?;
    Ok(Money { amount, currency })
}

/// The amount with a code, as a suggestion.
fn with_currency(number: &str, currency: Option<Currency>) -> Vec<String> {
    canonical_each(currency.map(|currency| format!("{number} {}", currency.code())))
}

/// The sign of a currency, where a word is one.
fn currency_sign(word: &str) -> Option<char> {
    const SIGNS: &[char] = &['€', '$', '£', '¥'];
    let mut letters = word.chars();
    let sign = letters.next().filter(|sign| SIGNS.contains(sign))?;
    letters.next().is_none().then_some(sign)
}

/// The number in every unit that looks like an unknown one.
fn similar_units(number: &str, unit: &str) -> Vec<String> {
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
fn decimal_comma(text: &str, rest: &str) -> Option<ValueError> {
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
fn e_for_ohm(text: &str) -> Option<ValueError> {
    let (before, after) = text.split_once('E')?;
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    if !digits(before) || !digits(after) {
        return None;
    }
    let suggestions = canonical_each([format!("{before}.{after}ohm"), format!("{before}e{after}")]);
    Some(whole(Kind::OldSpelling { suggestions }, text))
}

/// `1/4W`: a fraction in a unit where fractions are usual.
///
/// `None` when what follows the number is no fraction with a unit.
fn fraction(
    numerator: &exact::Scanned,
    text: &str,
    rest: &str,
) -> Option<Result<Quantity, ValueError>> {
    let below = rest.strip_prefix('/')?;
    let digits = below.bytes().take_while(u8::is_ascii_digit).count();
    let unit_text = below[digits..].trim_start();
    let touches = unit_text.len() == below.len() - digits;
    if digits == 0 {
        return None;
    }
    let Some(Spelled::Known {
        unit,
        prefix_exponent,
    }) = unit::find(unit_text, touches)
    else {
        return None;
    };
    let read = || {
        let above: u32 = text[..numerator.length]
            .parse()
            .map_err(|_| Kind::Fraction)?;
        let divisor: u32 = below[..digits].parse().map_err(|_| Kind::Fraction)?;
        let usual = matches!(
            unit.dimension,
            Dimension::Power | Dimension::Current | Dimension::Length
        );
        if !usual || above == 0 || above >= divisor {
            return Err(Kind::Fraction);
        }
        let number = numerator.number.divided(divisor)?;
        quantity::of_unit(number, unit, prefix_exponent)
    };
    Some(read().map_err(|kind| whole(kind, text)))
}

/// `€2.10`: a currency by its sign, before the number.
fn signed_currency(text: &str) -> Option<Result<Value, ValueError>> {
    let sign = text.chars().next()?;
    let rest = text[sign.len_utf8()..].trim_start();
    currency_sign(&text[..sign.len_utf8()])?;
    let scanned = exact::scan(rest)?.ok()?;
    if scanned.length != rest.len() {
        return None;
    }
    let kind = Kind::BadCurrency {
        currency: sign.to_string(),
        suggestions: with_currency(rest, money::of_sign(sign)),
    };
    Some(Err(ValueError::new(kind, 0, sign.len_utf8())))
}

/// `7..36V`, `7V..36V`, `1977..1981`; `None` when there are no dots for it.
fn range(text: &str) -> Option<Result<Value, ValueError>> {
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

/// `±20%`, `+-20%`, `+/-0.25pF`.
fn symmetric_tolerance(text: &str) -> Option<Result<Value, ValueError>> {
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
fn two_sided_tolerance(text: &str) -> Option<Result<Value, ValueError>> {
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

/// `5x11`, `7.2 x 2.5 x 6.5`, `5×11mm`; `None` when the text is not of that shape.
fn outline(text: &str) -> Option<Result<Value, ValueError>> {
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
fn pitch(text: &str) -> Option<Result<Value, ValueError>> {
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

/// `2026-10-02`, and the other orders of its parts, which are asked about.
fn day(text: &str) -> Option<Result<Value, ValueError>> {
    let separator = text.chars().find(|letter| !letter.is_ascii_digit())?;
    if !matches!(separator, '-' | '.' | '/') {
        return None;
    }
    let mut parts = text.split(separator);
    let (Some(first), Some(second), Some(third), None) =
        (parts.next(), parts.next(), parts.next(), parts.next())
    else {
        return None;
    };
    let digits = |part: &str, most: usize| {
        (1..=most).contains(&part.len()) && part.bytes().all(|byte| byte.is_ascii_digit())
    };
    let year_first = first.len() == 4 && digits(first, 4) && digits(second, 2) && digits(third, 2);
    let year_last = third.len() == 4 && digits(third, 4) && digits(first, 2) && digits(second, 2);
    if separator == '-' && year_first && second.len() == 2 && third.len() == 2 {
        let read = calendar_day(first, second, third).map(Value::Date);
        return Some(read.ok_or_else(|| {
            let suggestions = Vec::new();
            whole(Kind::BadDate { suggestions }, text)
        }));
    }
    let readings: &[_] = if year_first {
        &[(first, second, third)]
    } else if year_last && separator == '.' {
        &[(third, second, first)]
    } else if year_last {
        &[(third, second, first), (third, first, second)]
    } else {
        return None;
    };
    let suggestions = canonical_each(
        readings
            .iter()
            .filter_map(|(year, month, day)| calendar_day(year, month, day))
            .map(|day| day.to_string()),
    );
    Some(Err(whole(Kind::BadDate { suggestions }, text)))
}

fn calendar_day(year: &str, month: &str, day: &str) -> Option<Date> {
    let date = jiff::civil::Date::new(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?);
    date.ok().map(Date)
}

/// `09:10`.
fn time_of_day(text: &str) -> Option<Result<Value, ValueError>> {
    let (hour, minute) = text.split_once(':')?;
    let digits = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    if !(1..=2).contains(&hour.len()) || minute.len() != 2 || !digits(hour) || !digits(minute) {
        return None;
    }
    let hour = hour.parse().ok().filter(|hour| *hour < 24);
    let minute = minute.parse().ok().filter(|minute| *minute < 60);
    Some(match (hour, minute) {
        (Some(hour), Some(minute)) => Ok(Value::Time(TimeOfDay { hour, minute })),
        _ => Err(whole(Kind::BadTime, text)),
    })
}

#[cfg(test)]
mod tests {
    use super::{Kind, read};

    /// The canonical spelling of a text.
    fn print(text: &str) -> String {
        match read(text) {
            Ok(value) => value.to_string(),
            Err(error) => panic!("{text:?}: {error} ({error:?})"),
        }
    }

    fn refusal(text: &str) -> Kind {
        match read(text) {
            Ok(value) => panic!("{text:?} reads as {value:?}"),
            Err(error) => error.kind,
        }
    }

    fn suggestions(text: &str) -> Vec<String> {
        refusal(text).suggestions().to_vec()
    }

    #[test]
    fn every_spelling_of_a_quantity_has_one_print() {
        for (spellings, canonical) in [
            (
                &["10uF", "10 µF", "10 μF", "10u", "0.01mF", "10000nF"][..],
                "10uF",
            ),
            (&["2200uF", "2.2mF"], "2200uF"),
            (&["10000uF"], "10000uF"),
            (&["0.47uF", ".47 uF", "470nF", "470n", "u47"], "470nF"),
            (&[".01 uF", "10nF", "10n", "0.010uF", "10000pF"], "10nF"),
            (&["5000pF", "5nF", "5n0"], "5nF"),
            (&["2n2", "2.2nF", "2200pF"], "2.2nF"),
            (&["100n"], "100nF"),
            (&["10p", "10pF"], "10pF"),
            (&["1µ0", "1u0", "1uF"], "1uF"),
            (&["1F0", "1F"], "1F"),
            (
                &[
                    "4k7",
                    "4K7",
                    "4.7k",
                    "4.7kohm",
                    "4.7kΩ",
                    "4.7kΩ",
                    "4700ohm",
                    "4.7Kohm",
                    "4.7 kohms",
                ],
                "4.7kohm",
            ),
            (&["47K", "47k", "47kohm"], "47kohm"),
            (&["470R", "470ohm", "470 Ω", "470 ohms"], "470ohm"),
            (&["R47", "0R47", ".47ohm", "470mohm"], "0.47ohm"),
            (&["L47"], "0.47mohm"),
            (&["0.062ohm"], "62mohm"),
            (&["1M0", "1M", "1Mohm", "1000k"], "1Mohm"),
            (&["3G3"], "3.3Gohm"),
            (&["R300"], "0.3ohm"),
            (&["47K3"], "47.3kohm"),
            (&["25V", "25 V", "25VDC", "+25V", "0.025kV"], "25V"),
            (&["-15V", "\u{2212}15 V"], "-15V"),
            (&["50mV", "0.05V"], "50mV"),
            (&["0.7V"], "0.7V"),
            (&["0V", "-0V", "0mV"], "0V"),
            (&["250VAC", "250Vac", "250 V~"], "250VAC"),
            (&["85°C", "85C", "85 °C", "85℃", "85ºC"], "85°C"),
            (&["2000h", "2000 hours", "7200000s"], "2000h"),
            (&["30min"], "30min"),
            (&["90min", "1.5h"], "1.5h"),
            (&["61min"], "61min"),
            (&["10s"], "10s"),
            (&["5ms"], "5ms"),
            (&["0.25W", "1/4W", "1/4 W", "250mW"], "0.25W"),
            (&["1/8W"], "0.125W"),
            (&["2.4A"], "2.4A"),
            (&["315mA", "0.315A"], "315mA"),
            (&["38mm", "3.8cm", "0.038m"], "38mm"),
            (&["0.1in", "0.1 inch", "0.1\"", "1/10in"], "2.54mm"),
            (&["35um"], "35um"),
            (&["10m"], "10m"),
            (&["50Hz"], "50Hz"),
            (&["1kHz", "1000 Hz"], "1kHz"),
            (&["30VA"], "30VA"),
            (&["-60dB"], "-60dB"),
            (&["+4dBu"], "4dBu"),
            (&["13V/us", "13 V/µs"], "13V/us"),
            (&["100ppm/K"], "100ppm/K"),
            (&["750mAh", "0.75Ah"], "750mAh"),
            (&["100uH"], "100uH"),
            (&["-12%"], "-12%"),
            (&["+5%"], "+5%"),
            (&["1.5e-6F"], "1.5uF"),
            (&["150"], "150"),
            (&["007.50"], "7.5"),
            (&["+15"], "15"),
            (&["?"], "?"),
        ] {
            for spelling in spellings {
                assert_eq!(print(spelling), canonical, "{spelling}");
            }
        }
    }

    #[test]
    fn every_other_kind_of_value_has_one_print() {
        for (spellings, canonical) in [
            (
                &["±20%", "+-20%", "+/-20%", "20%", "± 20 %", "20 percent"][..],
                "±20%",
            ),
            (
                &["-10/+50%", "+50/-10%", "-10%/+50%", "+50-10%", "+50 -10 %"],
                "-10/+50%",
            ),
            (&["-0/+100%", "0/+100%", "+100-0%"], "-0/+100%"),
            (&["±0.25pF", "+-0.25 pF"], "±0.25pF"),
            (&["-0.1/+0.25pF"], "-0.1/+0.25pF"),
            (&["±100ppm"], "±0.01%"),
            (
                &["7..36V", "7V..36V", "7 .. 36 V", "7…36V", "7...36V"],
                "7..36V",
            ),
            (&["-55..105°C", "-55..+105C"], "-55..105°C"),
            (&["500mV..2V"], "0.5..2V"),
            (&["1..10k", "1k..10k"], "1..10kohm"),
            (&["0...36V"], "0..36V"),
            (&["4k7..10k"], "4.7..10kohm"),
            (&["5..10%"], "5..10%"),
            (&["90s..1h"], "0.025..1h"),
            (&["61s..1h"], "61s..1h"),
            (&["1977..1981"], "1977..1981"),
            (&["5x11", "5 x 11", "5×11", "5X11mm"], "5x11"),
            (&["7.2x2.5x6.5"], "7.2x2.5x6.5"),
            (&["p2", "p2.0", "p2mm"], "p2"),
            (&["p7.5"], "p7.5"),
            (&["p10"], "p10"),
            (&["p33.0"], "p33.0"),
            (&["2.10 EUR", "2.1EUR", "2.1 EUR"], "2.10 EUR"),
            (&["450 EUR"], "450.00 EUR"),
            (&["0.0213 EUR"], "0.0213 EUR"),
            (&["300 JPY"], "300 JPY"),
            (&["2026-10-02"], "2026-10-02"),
            (&["09:10", "9:10"], "09:10"),
        ] {
            for spelling in spellings {
                assert_eq!(print(spelling), canonical, "{spelling}");
            }
        }
    }

    #[test]
    fn words_are_left_to_the_caller() {
        for word in [
            "",
            " ",
            "radial",
            "2N3904",
            "1N4148",
            "2SC1815",
            "TO-92",
            "TO-220",
            "NE5532",
            "4558D",
            "741C",
            "78L05",
            "79M12",
            "74F00",
            "1n4148",
            "2n3904",
            "1n914",
            "C1..C12",
            "ch1..ch8",
            "ch1..4",
            "1..ch8",
            "26-031",
            "2x15V",
            "K47",
            "n",
            "p",
            "R",
            "µ",
            "B+",
            "+",
            "-",
            "±",
            "..",
            "1..",
            "..5",
            "5x",
            "x5",
            "1N4728A",
            "1.5KE6.8A",
            "main",
            "p2x",
            "12/24",
            "1/4",
            "∞",
            "ch3.C41.-",
            "V5.3",
            "10uF/25V",
            "34V ±15%",
            "1:100",
        ] {
            assert_eq!(refusal(word), Kind::NotAValue, "{word}");
        }
    }

    #[test]
    fn old_spellings_are_asked_about() {
        assert_eq!(suggestions(".01 MF"), ["10nF", "10uF"]);
        assert_eq!(suggestions("50 mfd"), ["50uF"]);
        assert_eq!(suggestions("100MMF"), ["100pF"]);
        assert_eq!(suggestions("250 uuF"), ["250pF"]);
        assert_eq!(suggestions("22E"), ["22ohm"]);
        assert_eq!(suggestions("4E7"), ["4.7ohm", "40000000"]);
        assert_eq!(suggestions("2.2MEG"), ["2.2Mohm"]);
        for text in [".01 MF", "22E", "4E7", "10uf", "10 PF"] {
            assert!(matches!(refusal(text), Kind::OldSpelling { .. }), "{text}");
        }
    }

    #[test]
    fn slips_come_with_what_is_likely_meant() {
        assert_eq!(suggestions("5MA"), ["5mA"]);
        assert_eq!(suggestions("10KHz"), ["10kHz"]);
        assert_eq!(suggestions("10Mm"), ["10mm"]);
        assert_eq!(suggestions("25v"), ["25V"]);
        assert_eq!(suggestions("50hz"), ["50Hz"]);
        assert_eq!(suggestions("4.7komh"), ["4.7kohm"]);
        assert_eq!(suggestions("4,7uF"), ["4.7uF"]);
        assert_eq!(suggestions("4,7"), ["4.7"]);
        assert_eq!(suggestions("2,200uF"), ["2.2uF", "2200uF"]);
        assert_eq!(suggestions("±5"), ["±5%"]);
        assert_eq!(suggestions("±4,7uF"), ["±4.7uF"]);
        assert_eq!(suggestions("±10MF"), ["±10uF", "±10000uF"]);
        assert_eq!(suggestions("-10/+50"), ["-10/+50%"]);
        assert_eq!(suggestions("7V..36v"), ["7..36V"]);
        assert_eq!(suggestions("10MF..100uF"), ["10..100uF"]);
        assert_eq!(suggestions("7..36v"), ["7..36V"]);
        assert_eq!(suggestions("10..100MF"), ["10..100uF", "10000..100000uF"]);
        assert_eq!(suggestions("7V..36"), ["7..36V"]);
        assert_eq!(suggestions("p33"), ["0.33pF", "p33.0"]);
        assert_eq!(suggestions("2.10 eur"), ["2.10 EUR"]);
        assert_eq!(suggestions("€2.10"), ["2.10 EUR"]);
        assert_eq!(suggestions("2.10€"), ["2.10 EUR"]);
        assert_eq!(suggestions("2026-1-2"), ["2026-01-02"]);
        assert_eq!(suggestions("02.10.2026"), ["2026-10-02"]);
        assert_eq!(suggestions("2/10/2026"), ["2026-10-02", "2026-02-10"]);
    }

    #[test]
    fn what_cannot_be_said_is_refused() {
        for (text, kind) in [
            ("36..7V", Kind::EmptyRange),
            ("1981..1977", Kind::EmptyRange),
            ("7V..36VAC", Kind::MixedEnds),
            ("-10%/+5pF", Kind::MixedEnds),
            ("1e300", Kind::OutOfRange),
            ("1e300V", Kind::OutOfRange),
            ("1e-40F", Kind::OutOfRange),
            ("1e99999999999999999999", Kind::OutOfRange),
            ("123456789012345678901234567890123", Kind::TooManyDigits),
            ("0.1234567890123456789012345678901V", Kind::TooManyDigits),
            ("12/24V", Kind::Fraction),
            ("3/5V", Kind::Fraction),
            ("1/3W", Kind::NotExact),
            ("1/0W", Kind::Fraction),
            ("0x5", Kind::NotPositive),
            ("p0", Kind::NotPositive),
            ("24:00", Kind::BadTime),
            ("24 AWG", Kind::WireGauge),
            ("24AWG", Kind::WireGauge),
            (
                "2026-02-30",
                Kind::BadDate {
                    suggestions: vec![],
                },
            ),
        ] {
            assert_eq!(refusal(text), kind, "{text}");
        }
        assert!(matches!(refusal("2.10 XYZ"), Kind::BadCurrency { .. }));
        assert!(matches!(refusal("10 XAU"), Kind::BadCurrency { .. }));
        assert!(matches!(refusal("10 foo"), Kind::UnknownUnit { .. }));
        assert!(matches!(refusal("1.5zorks"), Kind::UnknownUnit { .. }));
    }
}
