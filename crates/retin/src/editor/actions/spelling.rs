//! Gives a value its one spelling.

use super::{Action, At, Sort, write};
use retin_syntax::Token;
use retin_syntax::tables::Property;
use retin_syntax::value::{self, Value};

pub(super) fn canonical(at: &At<'_, '_>, found: &mut Vec<Action>) {
    let Some(record) = at.record() else { return };
    let fact = super::super::hover::facts_of(record)
        .into_iter()
        .find(|fact| fact.span.touches(at.caret.offset));
    let Some(fact) = fact else { return };
    let is_a_word = matches!(
        fact.property,
        Some(
            Property::Code
                | Property::Marked
                | Property::Device
                | Property::Package
                | Property::Leads
        )
    );
    let word = fact
        .words
        .iter()
        .find(|word| word.span.touches(at.caret.offset));
    let Some(word) = word.filter(|word| word.token == Token::Number && !is_a_word) else {
        return;
    };
    let text = word.span.of(at.caret.text);
    let library = &at.snapshot.case.library;
    if library.device(text).is_some() || library.package(text).is_some() {
        return;
    }
    let Ok(value) = value::read(text) else { return };
    let printed = value.to_string();
    if printed == text || matches!(value, Value::Number(_) | Value::Unreadable) {
        return;
    }
    found.push(write(
        format!("write `{printed}`"),
        Sort::Rewrites,
        vec![at.edit(word.span, printed)],
    ));
}
