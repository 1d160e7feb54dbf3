//! What was found: parts that differ from the maker's papers, and what the old
//! parts still were worth.

use super::{Telling, heading, paragraph, prose, pulled};
use crate::meaning::{FactValue, Facts, PlaceId, Says};
use crate::sheets::document::{Block, Words};
use crate::typeset;
use crate::words::counted;
use retin_syntax::tables::{ClaimSource, Property};
use retin_syntax::tree::HeadingKind;

pub(super) fn found(telling: &Telling<'_, '_, '_>, blocks: &mut Vec<Block>) {
    blocks.push(heading(1, "What was found"));
    let before = blocks.len();
    for text in prose::prose(telling, &[HeadingKind::Found]) {
        blocks.push(paragraph(text));
    }
    differences(telling, blocks);
    pulled::pulled(telling, blocks);
    if blocks.len() == before {
        blocks.push(paragraph("Nothing is written down."));
    }
}

/// What tells one part from another.
const TOLD: &[Property] = &[
    Property::Device,
    Property::Value,
    Property::Current,
    Property::Volts,
    Property::AcVolts,
];

fn in_words<'f, 'a: 'f>(
    properties: impl Iterator<Item = Property>,
    stated: impl Fn(Property) -> Option<&'f FactValue<'a>>,
) -> String {
    let words: Vec<String> = properties
        .filter_map(|property| typeset::fact(stated(property)?))
        .collect();
    words.join(" ")
}

fn differences(telling: &Telling<'_, '_, '_>, blocks: &mut Vec<Block>) {
    let case = telling.case;
    let mut told: Vec<Words> = Vec::new();
    let mut alike = 0;
    for place in case.places() {
        let part = case.part(place.part);
        let own = part
            .claims
            .iter()
            .filter(|claim| claim.copy == Some(place.copy) && claim.source == ClaimSource::Found);
        for claim in own {
            let Says::Facts { facts, .. } = &claim.says else {
                continue;
            };
            let stated: Vec<Property> = TOLD
                .iter()
                .copied()
                .filter(|property| facts.has(*property))
                .collect();
            if stated.is_empty() {
                continue;
            }
            match difference(telling, place, facts, &stated) {
                Some(words) => told.push(words),
                None => alike += 1,
            }
        }
    }
    if !told.is_empty() {
        blocks.push(paragraph(
            "Here sat another part than the maker's papers say:",
        ));
        blocks.push(Block::List(told));
    }
    if alike > 0 {
        let alike = counted(
            alike,
            "other part that was looked at is what the papers say",
            "other parts that were looked at are what the papers say",
        );
        blocks.push(paragraph(format!("{alike}.")));
    }
}

/// How a part that sat in a place differs from the maker's papers.
fn difference(
    telling: &Telling<'_, '_, '_>,
    place: PlaceId,
    found: &Facts<'_>,
    stated: &[Property],
) -> Option<Words> {
    let paper = &telling.case.part(place.part).facts;
    let differs = stated.iter().any(|property| {
        let value = |facts: &Facts<'_>| facts.get(*property).map(|fact| typeset::fact(&fact.value));
        value(paper) != value(found)
    });
    if !differs {
        return None;
    }
    let of = |facts: &Facts<'_>| {
        in_words(stated.iter().copied(), |property| {
            Some(&facts.get(property)?.value)
        })
    };
    let says = match of(paper) {
        paper if paper.is_empty() => format!(": {}, where the papers say nothing", of(found)),
        paper => format!(": {}, where the papers say {paper}", of(found)),
    };
    Some(Words::strong(telling.case.name_of(place)).and(says))
}
