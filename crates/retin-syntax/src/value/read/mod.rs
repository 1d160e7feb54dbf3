//! Reading one value from its text.

mod calendar;
mod currency;
mod everyday;
mod plain;
mod range;
mod size;
mod slips;
#[cfg(test)]
mod tests;
mod two_sides;

use super::Value;
use super::error::{ValueError, ValueErrorKind as Kind};
use plain::{Plain, plain};

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
    match everyday::everyday(text) {
        Some(value) => Ok(value),
        None => read_spelling(text),
    }
}

/// Reads a value by trying every form there is.
fn read_spelling(text: &str) -> Result<Value, ValueError> {
    if text == "?" {
        return Ok(Value::Unreadable);
    }
    if is_surely_plain(text) {
        return plain(text).map(Plain::into_value);
    }
    let special = calendar::day(text)
        .or_else(|| calendar::time_of_day(text))
        .or_else(|| two_sides::symmetric_tolerance(text))
        .or_else(|| range::range(text))
        .or_else(|| two_sides::two_sided_tolerance(text))
        .or_else(|| size::outline(text))
        .or_else(|| size::pitch(text))
        .or_else(|| currency::signed_currency(text));
    match special {
        Some(read) => read,
        None => plain(text).map(Plain::into_value),
    }
}

/// Whether a text holds nothing that any other form is known by: digits with at
/// most one point among them, and letters without the cross of a size.
fn is_surely_plain(text: &str) -> bool {
    let mut points = 0;
    text.starts_with(|first: char| first.is_ascii_digit())
        && text.bytes().all(|byte| {
            points += u32::from(byte == b'.');
            byte == b'.' || (byte.is_ascii_alphanumeric() && !matches!(byte, b'x' | b'X'))
        })
        && points < 2
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
