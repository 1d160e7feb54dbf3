//! Splits what was said into values, each with the word before it.

use super::Misunderstanding;
use super::reading::{self, Reading};
use crate::physics::catalogue::{Computation, InputKind};
use retin_syntax::value::{Value, is_unit, read};

/// One value that was said.
#[derive(Debug)]
pub(super) struct Piece {
    /// As it was said.
    pub text: String,
    /// What it is.
    pub reading: Reading,
    /// The last lead word or name before it.
    pub label: Option<Label>,
}

/// A lead word or the name of an input.
#[derive(Clone, Debug)]
pub(super) struct Label {
    /// In lower case, with hyphens.
    pub word: String,
    /// Whether the value stands right after it.
    pub is_next: bool,
}

/// Words that say nothing here.
const FILLERS: &[&str] = &["a", "an", "and", "is", "the", "with"];

/// The values of what was said, in order.
///
/// # Errors
/// A word that is neither value nor word of the computation, and a lead word
/// without a value.
pub(super) fn pieces(
    computation: &'static Computation,
    said: &str,
) -> Result<Vec<Piece>, Misunderstanding> {
    let apart = said.replace('=', " ");
    let words: Vec<&str> = apart
        .split_whitespace()
        .map(|word| word.trim_end_matches(','))
        .filter(|word| !word.is_empty())
        .collect();
    let mut pieces = Vec::new();
    let mut label: Option<Label> = None;
    let mut at = 0;
    while let Some(word) = words.get(at) {
        if let Some((found, count)) = label_at(computation, &words[at..]) {
            refuse_waiting(computation, label.as_ref(), Some(&found))?;
            label = Some(Label {
                word: found,
                is_next: true,
            });
            at += count;
            continue;
        }
        if let Some(allowed) = choice_word(computation, word) {
            pieces.push(Piece {
                text: (*word).to_owned(),
                reading: Reading::Word(allowed),
                label: label.clone(),
            });
            at += 1;
        } else if FILLERS.contains(&word.to_lowercase().as_str()) {
            at += 1;
            continue;
        } else if let Some(digits) = gauge(word) {
            pieces.push(Piece {
                text: (*word).to_owned(),
                reading: reading::read_value(digits).map_err(|reason| unread(word, reason))?,
                label: Some(Label {
                    word: "awg".to_owned(),
                    is_next: true,
                }),
            });
            at += 1;
        } else {
            let (text, count) = with_unit(computation, &words[at..]);
            let reading = match reading::read_value(&text) {
                Ok(reading) => reading,
                Err(reading::Unread::Word) => {
                    return Err(Misunderstanding::UnknownWord {
                        computation,
                        word: text,
                    });
                }
                Err(reason) => return Err(unread(&text, reason)),
            };
            pieces.push(Piece {
                text,
                reading,
                label: label.clone(),
            });
            at += count;
        }
        if let Some(label) = &mut label {
            label.is_next = false;
        }
    }
    refuse_waiting(computation, label.as_ref(), None)?;
    Ok(pieces)
}

fn unread(said: &str, reason: reading::Unread) -> Misunderstanding {
    Misunderstanding::Unread {
        said: said.to_owned(),
        reason: reason.in_words(),
    }
}

/// Refuses a lead word that no value follows, unless the next word is about the
/// same input, as in `at working-temperature 65C`.
fn refuse_waiting(
    computation: &'static Computation,
    waiting: Option<&Label>,
    next: Option<&str>,
) -> Result<(), Misunderstanding> {
    let Some(waiting) = waiting.filter(|waiting| waiting.is_next) else {
        return Ok(());
    };
    let shared = computation.inputs.iter().find(|input| {
        is_label_of(input, &waiting.word) && next.is_some_and(|next| is_label_of(input, next))
    });
    if shared.is_some() {
        return Ok(());
    }
    Err(Misunderstanding::NothingAfter {
        computation,
        word: waiting.word.clone(),
    })
}

/// Whether a word stands before values of an input.
pub(super) fn is_label_of(input: &crate::physics::catalogue::Input, word: &str) -> bool {
    input.name == word || input.lead == Some(word)
}

/// The longest label that the words begin with, and how many words it takes.
fn label_at(computation: &Computation, words: &[&str]) -> Option<(String, usize)> {
    (1..=words.len().min(4)).rev().find_map(|count| {
        let word = words[..count].join("-").to_lowercase();
        computation
            .inputs
            .iter()
            .any(|input| is_label_of(input, &word))
            .then_some((word, count))
    })
}

/// A word of one of the inputs that are words, as the catalogue spells it.
fn choice_word(computation: &Computation, said: &str) -> Option<&'static str> {
    computation
        .inputs
        .iter()
        .find_map(|input| match input.kind {
            InputKind::Word(allowed) => allowed
                .iter()
                .copied()
                .find(|word| word.eq_ignore_ascii_case(said)),
            _ => None,
        })
}

/// The digits of `30AWG` or `AWG30`.
fn gauge(word: &str) -> Option<&str> {
    let lower = |text: &str| text.eq_ignore_ascii_case("awg");
    if let Some((digits, unit)) = word
        .len()
        .checked_sub(3)
        .and_then(|at| word.split_at_checked(at))
        && lower(unit)
        && !digits.is_empty()
    {
        return Some(digits);
    }
    word.split_at_checked(3)
        .filter(|(unit, digits)| lower(unit) && !digits.is_empty())
        .map(|(_, digits)| digits)
}

/// The first word, with the unit that stands apart from it, and how many words that is.
fn with_unit(computation: &Computation, words: &[&str]) -> (String, usize) {
    let number = words.first().copied().unwrap_or_default();
    if let Some(unit) = words.get(1)
        && matches!(read(number), Ok(Value::Number(_)))
        && (is_unit(unit) || reading::is_own_unit(unit))
        && label_at(computation, &words[1..]).is_none()
    {
        return (format!("{number} {unit}"), 2);
    }
    (number.to_owned(), 1)
}
