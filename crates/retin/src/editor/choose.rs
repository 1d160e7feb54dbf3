//! The places a selector chooses, for lines that are still being typed: what
//! makes no sense in them chooses nothing.

use crate::meaning::{BoardId, Case, FactValue, PartId, PlaceId, names};
use retin_syntax::tables::{Kind, Property};
use retin_syntax::tree::{Facts, Record, Selector, SelectorChoice, Word};
use retin_syntax::{parse, value};

/// The places that a selector, written in `text`, chooses; sorted.
pub(super) fn places(case: &Case<'_>, text: &str, selector: &Selector) -> Vec<PlaceId> {
    let mut places: Vec<PlaceId> = match &selector.choice {
        SelectorChoice::Names(words) => words
            .iter()
            .flat_map(|word| case.places_named(word.text(text)))
            .collect(),
        SelectorChoice::Everything => case.places().collect(),
        SelectorChoice::Every { kinds, facts } => every(case, text, kinds, facts),
    };
    if !selector.on.is_empty() {
        let on = copies(case, text, &selector.on);
        places.retain(|place| is_on(case, &on, *place));
    }
    for word in &selector.except {
        let boards = copies(case, text, std::slice::from_ref(word));
        if boards.is_empty() {
            let except = case.places_named(word.text(text));
            places.retain(|place| !except.contains(place));
        } else {
            places.retain(|place| !is_on(case, &boards, *place));
        }
    }
    places.sort_unstable();
    places.dedup();
    places
}

/// The places that a selector, given as text of its own, chooses.
pub(super) fn written(case: &Case<'_>, selector: &str) -> Vec<PlaceId> {
    let text = format!("plan\n  keep {selector}\n");
    let tree = parse(&text);
    match tree.lines.get(1).map(|line| &line.record) {
        Some(Record::Plan(line)) => places(case, &text, &line.selector),
        _ => Vec::new(),
    }
}

fn every(case: &Case<'_>, text: &str, kinds: &[Word], facts: &Facts) -> Vec<PlaceId> {
    let is_chosen = |part: PartId| {
        let part = case.part(part);
        let Some(kind) = part.kind else { return false };
        kinds.iter().any(|word| kind.is_covered_by(word.token))
            && facts.iter().all(|fact| {
                let Some((property, value)) = wanted(text, fact.words.first(), kind) else {
                    return false;
                };
                let mut stated = part.facts.all(property);
                stated.any(|fact| fact.value == FactValue::Value(value))
            })
    };
    (0..case.parts.len() as u32)
        .map(PartId)
        .filter(|part| is_chosen(*part))
        .flat_map(|part| {
            let copies = case.board_of(part).copies.len() as u16;
            (0..copies).map(move |copy| PlaceId { part, copy })
        })
        .filter(|place| !case.is_unfitted(*place))
        .collect()
}

fn wanted(text: &str, word: Option<&Word>, kind: Kind) -> Option<(Property, value::Value)> {
    let value = value::read(word?.span.of(text)).ok()?;
    Some((Property::of_bare_value(&value, Some(kind))?, value))
}

fn copies(case: &Case<'_>, text: &str, words: &[Word]) -> Vec<(BoardId, Option<u16>)> {
    words
        .iter()
        .flat_map(|word| names::expand(word.text(text)).unwrap_or_default())
        .filter_map(|name| case.board_named(&name))
        .collect()
}

fn is_on(case: &Case<'_>, boards: &[(BoardId, Option<u16>)], place: PlaceId) -> bool {
    let home = case.part(place.part).board;
    boards
        .iter()
        .any(|(board, copy)| *board == home && copy.is_none_or(|copy| copy == place.copy))
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{MIXER, with};
    use super::{places, written};
    use retin_syntax::tree::Record;

    #[test]
    fn a_written_selector_chooses_as_the_plan_does() {
        with(MIXER, |snapshot, _| {
            let tree = snapshot.tree(snapshot.case.root);
            let text = snapshot.text(snapshot.case.root);
            let mut compared = 0;
            for line in &tree.lines {
                if let Record::Plan(plan) = &line.record {
                    let known = &snapshot.case.plan[compared].selector.places;
                    assert_eq!(&places(snapshot.case, text, &plan.selector), known);
                    compared += 1;
                }
            }
            assert_eq!(compared, snapshot.case.plan.len());
            let count = |selector| written(snapshot.case, selector).len();
            assert_eq!(count("every electrolytic"), 10);
            assert_eq!(count("every electrolytic on ch1..ch8 except ch3.C1"), 7);
            assert_eq!(count("every 10uF electrolytic except ch7"), 7);
            assert_eq!(count("everything"), 21);
            assert_eq!(count("every every ((("), 0);
        });
    }
}
