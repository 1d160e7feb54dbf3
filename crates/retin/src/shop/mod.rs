//! What jobs take from the shelves, and what has to be bought for them.

mod buying;
#[cfg(test)]
mod laws;
mod order_list;
mod shortage;

pub use buying::{Cost, Purchase, Spares, Terms, Why};
pub use order_list::{
    Found, JobNeeds, Line, OrderList, Reason, Share, StockedPart, ToFind, Wanted, job_needs,
    order_list,
};
pub use shortage::{Demand, Shortage, Want, demand, short};

pub(crate) use shortage::there;

use crate::meaning::{Act, Case, EntryId, NewPart, PartId, PlaceId, PlanEntry};
use crate::replacement::Chosen;
use crate::sources::Origin;
use crate::time::Content;
use retin_syntax::value::Decimal;
use std::collections::BTreeMap;

/// How many of one entry a job still takes, and for which places.
pub(crate) struct Need {
    pub(crate) entry: EntryId,
    pub(crate) count: u64,
    pub(crate) places: Vec<PlaceId>,
    /// Where the plan first names it.
    pub(crate) origin: Origin,
}

/// Whether the unit went back: its parts are paid for and gone.
pub(crate) fn is_closed(case: &Case<'_>) -> bool {
    case.job.as_ref().is_some_and(|job| {
        job.happened()
            .any(|(_, entry)| matches!(entry.act, Act::Returned))
    })
}

/// Whether the place has its new part already: it is out of the drawer. What came
/// out again is replaced by another one.
fn has_new_part(case: &Case<'_>, place: PlaceId) -> bool {
    case.replay.place(place).content == Content::New
}

/// Whether a part comes with the whole that it is a section of, and the plan says
/// what becomes of that.
fn comes_with_whole(case: &Case<'_>, place: PlaceId) -> bool {
    case.whole_of(place.part)
        .is_some_and(|part| case.decision(PlaceId { part, ..place }).is_some())
}

/// The places of a new part that it is still to be put into.
fn open_places(case: &Case<'_>, part: PartId, copies: &[u16]) -> Vec<PlaceId> {
    copies
        .iter()
        .map(|copy| PlaceId { part, copy: *copy })
        .filter(|place| !has_new_part(case, *place) && !comes_with_whole(case, *place))
        .collect()
}

/// The lines that put a chip into a socket which is not there yet, each with its place.
fn open_sockets<'c, 'a>(case: &'c Case<'a>) -> impl Iterator<Item = (PlaceId, &'c PlanEntry<'a>)> {
    case.decisions
        .iter()
        .filter(|decision| case.replay.place(decision.place).socketed.is_none())
        .filter_map(|decision| Some((decision.place, case.plan_line(decision.socket?))))
}

/// What a job still takes of each entry, in the order of the entries.
pub(crate) fn needs(case: &Case<'_>, chosen: &[Chosen<'_, '_>]) -> Vec<Need> {
    let mut needs: BTreeMap<EntryId, Need> = BTreeMap::new();
    let mut take = |entry: EntryId, origin: Origin, places: &[PlaceId]| {
        let need = needs.entry(entry).or_insert(Need {
            entry,
            count: 0,
            places: Vec::new(),
            origin,
        });
        need.count += places.len() as u64;
        need.places.extend(places);
    };
    for chosen in chosen {
        let Chosen::New(replacement) = chosen else {
            continue;
        };
        let places = open_places(case, replacement.place.part, &replacement.copies);
        if places.is_empty() {
            continue;
        }
        match replacement.line.with.as_slice() {
            [] => {
                if let Some(entry) = replacement.new.entry {
                    take(entry, replacement.new.origin, &places);
                }
            }
            parts => {
                for part in parts {
                    if let NewPart::Entry { entry, origin } = part {
                        take(*entry, *origin, &places);
                    }
                }
            }
        }
    }
    for (place, line) in open_sockets(case) {
        for part in &line.with {
            if let NewPart::Entry { entry, origin } = part {
                take(*entry, *origin, &[place]);
            }
        }
    }
    let mut needs: Vec<Need> = needs.into_values().collect();
    for need in &mut needs {
        need.places.sort_unstable();
        need.places.dedup();
    }
    needs
}

fn total(counts: impl Iterator<Item = u64>) -> Decimal {
    counts.fold(Decimal::ZERO, |sum, count| {
        sum.saturating_add(Decimal::from(count))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::replacement::replacements;
    use crate::sources::{SourceFile, Sources};
    use std::sync::Arc;

    fn needs_of(text: &str) -> Vec<(String, u64)> {
        let mut sources = Sources::new();
        let root = sources.add(Arc::new(SourceFile::new("job.retin".into(), text.into())));
        let case = Case::build(&sources, root);
        assert_eq!(case.problems, []);
        needs(&case, &replacements(&case))
            .into_iter()
            .map(|need| (case.entry(need.entry).name.clone(), need.count))
            .collect()
    }

    #[test]
    fn a_section_comes_with_its_whole() {
        let needs = needs_of(
            "model a \"Amplifier\"\n\nboard b \"Board\"\n  electrolytic\n    C30 32uF 350V\n      section a 32uF 350V\n      section b 32uF 350V\n\nshelf s \"Shelf\"\n  electrolytic\n    CAN 32uF 350V have 4\n\njob 1 \"Amplifier\"\n  model a\n\nplan\n  replace every electrolytic with CAN\n",
        );
        assert_eq!(needs, [("CAN".to_owned(), 1)]);
    }

    #[test]
    fn a_chip_is_still_wanted_when_its_socket_is_in() {
        let needs = needs_of(
            "model a \"Amplifier\"\n\nboard b \"Board\"\n  U1 opamp TL072 DIP-8\n\nshelf s \"Shelf\"\n  socket\n    SK-8 DIP-8 have 4\n  opamp\n    A-072 TL072 DIP-8 have 4\n\njob 1 \"Amplifier\"\n  model a\n\nplan\n  replace b.U1 with A-072\n  socket b.U1 with SK-8\n\nlog\n  2026-11-03\n    09:00 removed b.U1\n    09:10 fitted b.U1 with SK-8\n",
        );
        assert_eq!(needs, [("A-072".to_owned(), 1)]);
    }
}
