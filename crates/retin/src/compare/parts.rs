//! The parts of the model: added, taken out, renamed, and what is said of them.

use super::{Change, Side, Topic, say};
use crate::meaning::{Board, Case, Claim, Exception, Facts, Part, PartId, PinOn, Says};
use crate::sources::Origin;
use retin_syntax::tables::Property;
use std::collections::{BTreeMap, BTreeSet};

/// Old names of parts by board, with their new names.
pub(super) type Renames = BTreeMap<(String, String), String>;

/// By what is said and of which fact: the words of one side, with their place.
type Said = BTreeMap<(Topic, String), Side>;

/// Parts by board and name; of those of one name the first.
fn by_name<'c, 'a>(case: &'c Case<'a>) -> BTreeMap<(&'c str, &'c str), PartId> {
    let mut parts = BTreeMap::new();
    for (index, part) in case.parts.iter().enumerate() {
        // What a plan adds is told as what is planned.
        if !part.is_added {
            let board = case.board(part.board).name;
            let id = PartId(index as u32);
            parts.entry((board, part.name.as_str())).or_insert(id);
        }
    }
    parts
}

/// Parts that only have another name: one that is gone and one that is new on
/// the same board, of which the same is said, and no third.
pub(super) fn renames(old: &Case<'_>, new: &Case<'_>) -> Renames {
    let (before, after) = (by_name(old), by_name(new));
    let only = |case: &Case<'_>,
                these: &BTreeMap<(&str, &str), PartId>,
                those: &BTreeMap<(&str, &str), PartId>| {
        let mut only: BTreeMap<(String, Vec<String>), Vec<String>> = BTreeMap::new();
        for (&(board, name), id) in these {
            if !those.contains_key(&(board, name)) {
                let key = (board.to_owned(), fingerprint(case, case.part(*id)));
                only.entry(key).or_default().push(name.to_owned());
            }
        }
        only
    };
    let gone = only(old, &before, &after);
    let come = only(new, &after, &before);
    let mut renames = Renames::new();
    for ((board, fingerprint), names) in gone {
        let key = (board, fingerprint);
        if let ([old_name], Some([new_name])) = (&names[..], come.get(&key).map(Vec::as_slice))
            && !key.1.is_empty()
        {
            renames.insert((key.0, old_name.clone()), new_name.clone());
        }
    }
    renames
}

/// Words in which every part that has another name now is called by it, so
/// that they compare with words of the new side. Ranges stay as they are.
pub(super) fn with_new_names(words: &str, renames: &Renames) -> String {
    let renamed = words.split(' ').map(|word| {
        let name = word.trim_end_matches(',');
        let found = renames.iter().find_map(|((board, old), new)| {
            for before in [format!("{board}.{old}"), old.clone()] {
                if let Some(rest) = name.strip_prefix(&before)
                    && (rest.is_empty() || rest.starts_with('.') && !rest.starts_with(".."))
                {
                    let board = &before[..before.len() - old.len()];
                    return Some(format!("{board}{new}{rest}{}", &word[name.len()..]));
                }
            }
            None
        });
        found.unwrap_or_else(|| word.to_owned())
    });
    renamed.collect::<Vec<_>>().join(" ")
}

/// All that is said of a part but its name.
fn fingerprint(case: &Case<'_>, part: &Part<'_>) -> Vec<String> {
    said(case, part)
        .into_iter()
        .map(|((topic, aspect), side)| format!("{} {aspect} {}", topic.word(), side.text))
        .collect()
}

/// Compares the parts of two cases.
pub(super) fn compare(
    old: &Case<'_>,
    new: &Case<'_>,
    renames: &Renames,
    changes: &mut Vec<Change>,
) {
    let (before, after) = (by_name(old), by_name(new));
    let mut is_matched = BTreeSet::new();
    for id in in_order(old, before.values()) {
        let part = old.part(id);
        let board = old.board_of(id);
        let key = (board.name.to_owned(), part.name.clone());
        let renamed = renames.get(&key);
        let name = renamed.map_or(part.name.as_str(), String::as_str);
        match after.get(&(board.name, name)) {
            Some(partner) => {
                is_matched.insert(*partner);
                if let Some(renamed) = renamed {
                    changes.push(Change {
                        topic: Topic::Renamed,
                        old: Some(Side {
                            text: format!("{}.{}", board.name, part.name),
                            origin: part.origin,
                        }),
                        new: Some(Side {
                            text: format!("{}.{renamed}", board.name),
                            origin: new.part(*partner).origin,
                        }),
                        ..about(new.board_of(*partner), renamed)
                    });
                }
                facts(old, part, new, new.part(*partner), changes);
            }
            None => changes.push(Change {
                old: Some(whole(part)),
                ..about(board, &part.name)
            }),
        }
    }
    for id in in_order(new, after.values()) {
        if !is_matched.contains(&id) {
            let part = new.part(id);
            changes.push(Change {
                new: Some(whole(part)),
                ..about(new.board_of(id), &part.name)
            });
        }
    }
}

/// Parts in the order written.
fn in_order<'i>(case: &Case<'_>, ids: impl Iterator<Item = &'i PartId>) -> Vec<PartId> {
    let mut ids: Vec<PartId> = ids.copied().collect();
    ids.sort_by_key(|id| (case.part(*id).board, *id));
    ids
}

fn about(board: &Board<'_>, name: &str) -> Change {
    Change {
        topic: Topic::Part,
        board: Some(board.name.to_owned()),
        copies: board.copies.clone(),
        subjects: vec![name.to_owned()],
        aspect: String::new(),
        old: None,
        new: None,
    }
}

/// A part as it stands on one line.
fn whole(part: &Part<'_>) -> Side {
    let mut words: Vec<String> = part.kind.iter().map(|kind| kind.word().into()).collect();
    let facts = facts_in_words(&part.facts);
    words.extend((!facts.is_empty()).then_some(facts));
    if words.is_empty() {
        words.push("of which nothing is said".into());
    }
    Side {
        text: words.join(" "),
        origin: part.line,
    }
}

fn has_own_word(property: Property) -> bool {
    use retin_syntax::tables::properties::PROPERTIES;
    let mut rows = PROPERTIES.iter().filter(|row| row.property == property);
    rows.all(|row| row.token.is_some())
}

/// The facts in their one order, those of one property together.
fn sorted(facts: &Facts<'_>) -> Vec<(Property, Side)> {
    let mut by_property: BTreeMap<Property, (Vec<String>, Origin)> = BTreeMap::new();
    for fact in facts.iter() {
        // A line's own fact goes before its group's.
        let is_listed = matches!(
            fact.property,
            Property::Feature | Property::Price | Property::Orientation | Property::OtherQuantity
        );
        let entry = by_property
            .entry(fact.property)
            .or_insert_with(|| (Vec::new(), fact.origin));
        if is_listed || entry.0.is_empty() {
            let text = say::value(fact);
            if !entry.0.contains(&text) {
                entry.0.push(text);
            }
        }
    }
    by_property
        .into_iter()
        .map(|(property, (mut texts, origin))| {
            if property != Property::Price {
                texts.sort();
            }
            let text = texts.join(", ");
            (property, Side { text, origin })
        })
        .collect()
}

/// The facts of a shelf entry or a part by what they are called.
pub(super) fn said_of(facts: &Facts<'_>) -> BTreeMap<(Property, String), Side> {
    sorted(facts)
        .into_iter()
        .map(|(property, side)| ((property, say::called(property).to_owned()), side))
        .collect()
}

/// All that is said of a part.
fn said(case: &Case<'_>, part: &Part<'_>) -> Said {
    let mut said = Said::new();
    if let Some(kind) = part.kind {
        let text = kind.word().to_owned();
        let origin = part.line;
        said.insert((Topic::Fact, "kind".into()), Side { text, origin });
    }
    let facts = sorted(&part.facts).into_iter();
    // Whose claim the line is stands below.
    for (property, side) in facts.filter(|fact| fact.0 != Property::Per) {
        said.insert((Topic::Fact, say::called(property).to_owned()), side);
    }
    for (lead, side) in nets(case, &part.pins) {
        said.insert((Topic::Fact, format!("net of lead {lead}")), side);
    }
    let mut claim = |aspect: String, text: String, origin| {
        said.entry((Topic::Claim, aspect))
            .and_modify(|side: &mut Side| {
                side.text.push_str("; ");
                side.text.push_str(&text);
            })
            .or_insert(Side { text, origin });
    };
    claim(say::HEADLINE.into(), part.headline.word().into(), part.line);
    if let Some((source, origin)) = part.go_by {
        claim(say::GO_BY.into(), source.word().into(), origin);
    }
    let on_copies = |exception: &&Exception<'_>| !exception.copies.is_empty();
    for exception in part.exceptions.iter().filter(on_copies) {
        let board = case.board(part.board);
        let copies: Vec<&str> = exception
            .copies
            .iter()
            .map(|copy| board.copies[*copy as usize].as_str())
            .collect();
        let aspect = format!("on {}", crate::meaning::names::compress(copies));
        claim(aspect, facts_in_words(&exception.facts), exception.origin);
    }
    for one in &part.claims {
        claim(aspect_of(case, part, one), contents(case, one), one.origin);
    }
    said
}

fn aspect_of(case: &Case<'_>, part: &Part<'_>, claim: &Claim<'_>) -> String {
    let source = claim.source.word();
    match claim.copy {
        Some(copy) => {
            let board = case.board(part.board);
            if board.copies.len() > 1 {
                format!("{}{source} on {}", say::HERE, board.copies[copy as usize])
            } else {
                format!("{}{source}", say::HERE)
            }
        }
        None => source.to_owned(),
    }
}

fn contents(case: &Case<'_>, claim: &Claim<'_>) -> String {
    match &claim.says {
        Says::Facts { facts, kind, pins } => {
            let mut words: Vec<String> = kind.iter().map(|kind| kind.word().into()).collect();
            let facts = facts_in_words(facts);
            words.extend((!facts.is_empty()).then_some(facts));
            for (lead, side) in nets(case, pins) {
                words.push(format!("{lead} on {}", side.text));
            }
            words.join(" ")
        }
        Says::Sounds { lead, net } => format!("{lead} sounds to {}", case.nets.net(*net).name),
        Says::Reads { from, to, voltage } => format!("{from} to {to} {voltage}"),
    }
}

fn facts_in_words(facts: &Facts<'_>) -> String {
    let words: Vec<String> = sorted(facts)
        .into_iter()
        .map(|(property, side)| {
            if has_own_word(property) {
                format!("{} {}", say::word(property), side.text)
            } else {
                side.text
            }
        })
        .collect();
    words.join(" ")
}

fn nets(case: &Case<'_>, pins: &[PinOn<'_>]) -> Vec<(String, Side)> {
    let mut nets: Vec<(String, Side)> = pins
        .iter()
        .map(|pin| {
            let text = case.nets.net(pin.net).name.to_owned();
            let origin = pin.origin;
            (pin.lead.to_owned(), Side { text, origin })
        })
        .collect();
    nets.sort();
    nets
}

fn facts(
    old: &Case<'_>,
    before: &Part<'_>,
    new: &Case<'_>,
    after: &Part<'_>,
    changes: &mut Vec<Change>,
) {
    let mut gone = said(old, before);
    for ((topic, aspect), side) in said(new, after) {
        let was = gone.remove(&(topic, aspect.clone()));
        if was.as_ref().is_some_and(|was| was.text == side.text) {
            continue;
        }
        changes.push(Change {
            topic,
            aspect,
            old: was,
            new: Some(side),
            ..about(new.board(after.board), &after.name)
        });
    }
    for ((topic, aspect), side) in gone {
        changes.push(Change {
            topic,
            aspect,
            old: Some(side),
            ..about(new.board(after.board), &after.name)
        });
    }
}
