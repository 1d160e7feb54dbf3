//! Facts and differences in words.

use super::{Change, Topic};
use crate::meaning::{Case, FactValue, Stated};
use crate::sources::Origin;
use retin_syntax::tables::properties::PROPERTIES;
use retin_syntax::tables::{ClaimSource, Property};

/// The word that a property is written with; what it is, where it has none.
pub(super) fn word(property: Property) -> &'static str {
    let mut rows = PROPERTIES.iter().filter(|row| row.property == property);
    let token = rows.clone().find_map(|row| row.token);
    token
        .and_then(|token| token.reserved_text())
        .or_else(|| rows.next().map(|row| row.doc))
        .unwrap_or("property")
}

/// What a property is called in a sentence.
pub(super) fn called(property: Property) -> &'static str {
    match property {
        Property::Device => "type",
        Property::Value => "value",
        Property::AcVolts => "rated AC voltage",
        Property::Volts => "rated voltage",
        Property::Resistance => "resistance",
        Property::OtherQuantity => "further value",
        Property::FuseSpeed => "speed of the fuse",
        Property::MainsClass => "class",
        Property::MainsPlace => "place at the mains",
        Property::Package => "package",
        Property::Body => "body",
        Property::Pitch => "pitch",
        Property::Temperature => "highest temperature",
        Property::Style => "style of the leads",
        Property::Leads => "order of the leads",
        Property::Taper => "taper",
        Property::ShaftForm => "form of the shaft",
        Property::Role => "role",
        Property::Compensation => "sort of thermistor",
        Property::Material => "material",
        Property::Speed => "speed class",
        Property::Code => "printed code",
        Property::Marked => "marking",
        Property::Matched => "matching",
        Property::Have => "stock",
        Property::Coming => "number on order",
        Property::Pack => "size of a pack",
        Property::Price => "price",
        Property::Feature => "feature",
        Property::At => "position",
        Property::Side => "side",
        Property::Orientation => "orientation",
        Property::Because => "reason",
        _ => word(property),
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
        FactValue::Flag => word(fact.property).to_owned(),
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
        (Topic::Log, Some(old), Some(new)) => format!("the log had “{old}”, and has “{new}”"),
        (Topic::Done, None, Some(new)) => format!("only on the new unit: {aspect} {new}"),
        (Topic::Done, Some(old), None) => format!("only on the old unit: {aspect} {old}"),
        (Topic::Part, None, Some(new)) => about(&format!("added, {new}")),
        (Topic::Part, Some(old), None) => about(&format!("no longer there, was {old}")),
        (Topic::Renamed, Some(old), Some(new)) => format!("{old} is now called {new}"),
        (Topic::Fact, old, new) => about(&fact(aspect, old, new)),
        (Topic::Claim, old, new) => about(&claim(aspect, old, new)),
        (Topic::Plan, old, new) if aspect == "socket" => about(&socket(old, new)),
        (Topic::Plan, None, Some(new)) => {
            about(&format!("now {}; nothing was planned", planned(new)))
        }
        (Topic::Plan, Some(old), None) => about(&format!(
            "nothing is planned any more; was {}",
            planned(old)
        )),
        (Topic::Plan, Some(old), Some(new)) => about(&plan(old, new)),
        (Topic::PlanLine, None, Some(new)) => about(&format!("line added, {new}")),
        (Topic::PlanLine, Some(old), None) => about(&format!("line taken out, {old}")),
        (Topic::PlanLine, Some(old), Some(new)) => about(&format!("line was {old}, is {new}")),
        (Topic::Accepted, None, Some(new)) => format!("now accepted: {new}"),
        (Topic::Accepted, Some(old), None) => format!("no longer accepted: {old}"),
        (Topic::Accepted, Some(old), Some(new)) => format!("accepted was {old}, is {new}"),
        (Topic::Approval, None, Some(new)) => format!("the owner agreed to {new}"),
        (Topic::Approval, Some(old), None) => format!("no longer agreed: {old}"),
        (Topic::Approval, Some(old), Some(new)) => {
            format!("the owner agreed to {old} before, and to {new} now")
        }
        (Topic::Prose, None, Some(new)) => about(&format!("prose added, “{new}”")),
        (Topic::Prose, Some(old), None) => about(&format!("prose taken out, “{old}”")),
        (Topic::Unread, None, Some(new)) => format!("not understood now: {new}"),
        (Topic::Unread, Some(old), None) => format!("not understood before: {old}"),
        (Topic::Job, None, Some(EMPTY)) => format!("a {subject} without lines was added"),
        (Topic::Job, Some(EMPTY), None) => format!("a {subject} without lines was taken out"),
        (Topic::Shelf, Some(old), Some(new)) if !aspect.is_empty() => {
            format!("{subject}, {aspect}: was {old}, is {new}")
        }
        (Topic::Shelf, None, Some(new)) if !aspect.is_empty() => {
            format!("{subject}, {aspect}: now given, {new}")
        }
        (Topic::Shelf, Some(old), None) if !aspect.is_empty() => {
            format!("{subject}, {aspect}: no longer given, was {old}")
        }
        (Topic::Job, None, Some(new)) if aspect.is_empty() => about(&format!("now given, {new}")),
        (Topic::Job, Some(old), None) if aspect.is_empty() => {
            about(&format!("no longer given, was {old}"))
        }
        (_, Some(old), Some(new)) if subject.is_empty() && aspect.is_empty() => {
            format!("line was {old}, is {new}")
        }
        (Topic::Step, Some(old), Some(new)) if aspect.is_empty() => {
            format!("{subject} said {old}, says {new}")
        }
        (_, Some(old), Some(new)) => about(&named(aspect, &format!("was {old}, is {new}"))),
        (_, None, Some(new)) if subject.is_empty() => format!("line added: {new}"),
        (_, Some(old), None) if subject.is_empty() => format!("line taken out: {old}"),
        (_, None, Some(new)) if aspect.is_empty() => format!("{subject} added: {new}"),
        (_, Some(old), None) if aspect.is_empty() => format!("{subject} taken out: {old}"),
        (_, None, Some(new)) => about(&format!("new {aspect}, {new}")),
        (_, Some(old), None) => about(&format!("no {aspect} any more, was {old}")),
        (_, None, None) => subject,
    }
}

/// What an empty section is said to hold.
pub(super) const EMPTY: &str = "nothing";

fn named(aspect: &str, what: &str) -> String {
    match aspect {
        "" => what.to_owned(),
        aspect => format!("{aspect} {what}"),
    }
}

/// A fact of a part. A word that says all by itself is its own name.
fn fact(aspect: &str, old: Option<&str>, new: Option<&str>) -> String {
    match (old, new) {
        (Some(old), Some(new)) => format!("{aspect} was {old}, is {new}"),
        (None, Some(new)) if new == aspect => format!("now {new}"),
        (Some(old), None) if old == aspect => format!("no longer {old}"),
        (None, Some(new)) => format!("{aspect} now given, {new}"),
        (Some(old), None) => format!("{aspect} no longer given, was {old}"),
        (None, None) => aspect.to_owned(),
    }
}

/// What a part line is the claim of.
pub(super) const HEADLINE: &str = "the part line is the claim of";
/// By whom the job goes.
pub(super) const GO_BY: &str = "go by";

/// What a source says, in the words of who says it.
fn claim(aspect: &str, old: Option<&str>, new: Option<&str>) -> String {
    if aspect == HEADLINE || aspect == GO_BY {
        let says = if aspect == HEADLINE {
            HEADLINE
        } else {
            "the job goes by"
        };
        let [old, new] = [old, new].map(|word| word.map(source));
        return match (old, new) {
            (Some(old), Some(new)) => format!("{says} {new}; it was {old}"),
            (None, Some(new)) => format!("{says} {new} now"),
            (Some(old), None) => format!("{says} no source of its own any more; it was {old}"),
            (None, None) => says.to_owned(),
        };
    }
    if aspect.starts_with("on ") {
        return match (old, new) {
            (Some(old), Some(new)) => format!("{aspect} was {old}, is {new}"),
            (None, Some(new)) => format!("now different {aspect}, {new}"),
            (Some(old), None) => format!("no longer different {aspect}, was {old}"),
            (None, None) => aspect.to_owned(),
        };
    }
    let (before, named) = match aspect.strip_prefix(HERE) {
        Some(named) => (HERE, named),
        None => ("", aspect),
    };
    let (word, on) = match named.split_once(" on ") {
        Some((word, copy)) => (word, format!(" on {copy}")),
        None => (named, String::new()),
    };
    let who = format!("{before}{}{on}", source(word));
    // What a beep test has is a sentence.
    let (has, had) = match source(word) == ClaimSource::Beep.phrase() {
        true => ("says", "said"),
        false => ("has", "had"),
    };
    match (old, new) {
        (Some(old), Some(new)) => format!("{who} {had} {old}, {has} {new}"),
        (None, Some(new)) => format!("{who} now {has} {new}"),
        (Some(old), None) => format!("{who} no longer {has} {old}"),
        (None, None) => who,
    }
}

/// What a claim begins with that is made of one unit.
pub(super) const HERE: &str = "in this unit, ";

/// A source of claims as it is spoken of.
fn source(word: &str) -> &str {
    let mut all = ClaimSource::all();
    all.find(|row| row.1.reserved_text() == Some(word))
        .map_or(word, |row| row.0.phrase())
}

fn socket(old: Option<&str>, new: Option<&str>) -> String {
    match (old, new) {
        (Some(old), Some(new)) => format!("its socket was to be {old}, is to be {new}"),
        (None, Some(new)) => format!("now to get a socket, {new}"),
        (Some(old), None) => format!("no longer to get a socket, was {old}"),
        (None, None) => String::new(),
    }
}

/// What a place is replaced with where no entry of a shelf will do.
pub(super) const NOTHING_FITS: &str = "nothing, since nothing on the shelf fits";

/// What is planned, as something that is still to be done.
fn planned(what: &str) -> String {
    if what.strip_prefix("replaced with ") == Some(NOTHING_FITS) {
        "to be replaced, and nothing on the shelf fits".to_owned()
    } else if what.starts_with("absent") {
        what.to_owned()
    } else {
        format!("to be {what}")
    }
}

fn plan(old: &str, new: &str) -> String {
    let before = old.strip_prefix("replaced with ");
    let after = new.strip_prefix("replaced with ");
    match (before, after) {
        (Some(NOTHING_FITS), Some(after)) => {
            format!("nothing on the shelf fitted, and {after} replaces it now")
        }
        (Some(before), Some(NOTHING_FITS)) => {
            format!("what replaces it was {before}, and nothing on the shelf fits now")
        }
        (Some(before), Some(after)) => format!("what replaces it was {before}, is {after}"),
        _ => format!("now {}; was {}", planned(new), planned(old)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    /// Two properties of one name would be compared as one.
    #[test]
    fn no_two_properties_are_called_the_same() {
        let properties: BTreeSet<Property> = PROPERTIES.iter().map(|row| row.property).collect();
        let names: BTreeSet<&str> = properties.iter().map(|one| called(*one)).collect();
        assert_eq!(names.len(), properties.len());
    }
}
