//! Facts and differences in words.

use super::{Change, Topic};
use crate::meaning::{Case, FactValue, Stated};
use crate::sources::Origin;
use retin_syntax::tables::Property;
use retin_syntax::tables::properties::PROPERTIES;

/// What a property is called in a sentence: its own word, else what it is.
pub(super) fn property(property: Property) -> &'static str {
    match property {
        Property::Device => "type",
        Property::Value => "value",
        Property::AcVolts => "rated AC voltage",
        Property::Volts => "rated voltage",
        Property::Resistance => "resistance",
        Property::OtherQuantity => "another quantity",
        Property::Package => "package",
        Property::Body => "body",
        Property::Pitch => "pitch",
        Property::FuseSpeed => "speed of the fuse",
        Property::MainsClass => "class",
        Property::Role => "role",
        Property::Style => "leads",
        Property::Price => "price",
        Property::Side => "side",
        Property::Orientation => "orientation",
        Property::Feature => "feature",
        Property::Compensation => "kind of thermistor",
        _ => PROPERTIES
            .iter()
            .find(|row| row.property == property)
            .map_or("property", |row| {
                let word = row.token.and_then(|token| token.reserved_text());
                word.unwrap_or(row.doc)
            }),
    }
}

/// A fact's value as the formatter would write it.
pub(super) fn value(fact: &Stated<'_>) -> String {
    match &fact.value {
        FactValue::Value(value) => value.to_string(),
        FactValue::Limit { above, value } => {
            format!("{} {value}", if *above { "above" } else { "below" })
        }
        FactValue::Word(word) => (*word).to_owned(),
        FactValue::Choice(token) => token.reserved_text().unwrap_or("").to_owned(),
        FactValue::Point(x, y) => format!("{x},{y}"),
        FactValue::Orientation { lead, direction } => format!("{lead} {}", direction.word()),
        FactValue::Price { quantity, money } => format!("{quantity} at {money}"),
        FactValue::Names(names) => names.join(", "),
        FactValue::Flag => property(fact.property).to_owned(),
    }
}

/// Words with single blanks between them, set as one writes them.
pub(super) fn typeset(words: &str) -> String {
    words
        .replace(" , ", ", ")
        .replace("( ", "(")
        .replace(" )", ")")
}

/// What is written at a place, blanks made single.
pub(super) fn written(case: &Case<'_>, origin: Origin) -> String {
    let words: Vec<&str> = case.sources.text(origin).split_whitespace().collect();
    words.join(" ")
}

/// A difference as a sentence without a full stop.
pub(super) fn sentence(change: &Change) -> String {
    let subject = change.subject();
    let aspect = &change.aspect;
    let old = change.old.as_ref().map(|side| side.text.as_str());
    let new = change.new.as_ref().map(|side| side.text.as_str());
    let about = |what: &str| match subject.as_str() {
        "" => what.to_owned(),
        subject => format!("{subject}: {what}"),
    };
    match (change.topic, old, new) {
        (Topic::Log, None, Some(new)) => format!("{aspect} since: {new}"),
        (Topic::Log, Some(old), None) => format!("no longer in the log: {aspect} {old}"),
        (Topic::Log, Some(old), Some(new)) => {
            format!("the log says otherwise: was {old}, is {new}")
        }
        (Topic::Done, None, Some(new)) => format!("the new unit only: {aspect} {new}"),
        (Topic::Done, Some(old), None) => format!("the old unit only: {aspect} {old}"),
        (Topic::Part, None, Some(new)) => about(&format!("added, {new}")),
        (Topic::Part, Some(old), None) => about(&format!("no longer there, was {old}")),
        (Topic::Renamed, Some(old), Some(new)) => format!("{old} is now called {new}"),
        (Topic::Plan, None, Some(new)) => about(&format!("now {new}; nothing was planned")),
        (Topic::Plan, Some(old), None) => about(&format!("nothing is planned any more; was {old}")),
        (Topic::Plan, Some(old), Some(new)) => about(&plan(aspect, old, new)),
        (Topic::Accepted, None, Some(new)) => format!("now accepted: {new}"),
        (Topic::Accepted, Some(old), None) => format!("no longer accepted: {old}"),
        (Topic::Approval, None, Some(new)) => format!("the owner agreed to {new}"),
        (Topic::Approval, Some(old), None) => format!("no longer agreed: {old}"),
        (Topic::Approval, Some(old), Some(new)) => {
            format!("the owner agreed to {old} before, and to {new} now")
        }
        (Topic::Prose, None, Some(new)) => about(&format!("prose added, “{new}”")),
        (Topic::Prose, Some(old), None) => about(&format!("prose taken out, “{old}”")),
        (Topic::Unread, None, Some(new)) => format!("not understood now: {new}"),
        (Topic::Unread, Some(old), None) => format!("not understood before: {old}"),
        (_, Some(old), Some(new)) => about(&named(aspect, &format!("was {old}, is {new}"))),
        (_, None, Some(new)) => about(&named(aspect, &format!("new, {new}"))),
        (_, Some(old), None) => about(&named(aspect, &format!("gone, was {old}"))),
        (_, None, None) => subject,
    }
}

fn named(aspect: &str, what: &str) -> String {
    match aspect {
        "" => what.to_owned(),
        aspect => format!("{aspect} {what}"),
    }
}

fn plan(aspect: &str, old: &str, new: &str) -> String {
    let before = old.strip_prefix("replaced with ");
    let after = new.strip_prefix("replaced with ");
    match (aspect, before, after) {
        ("", Some(before), Some(after)) => format!("what replaces it was {before}, is {after}"),
        ("", _, _) => format!("now {new}; was {old}"),
        (aspect, _, _) => format!("{aspect} was {old}, is {new}"),
    }
}
