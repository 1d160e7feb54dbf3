//! What jobs take from the shelves, and what has to be bought for them.

mod buying;
#[cfg(test)]
mod laws;
mod order_list;
mod shortage;

pub use buying::{Cost, Purchase, Spares, Terms, Why, price_for};
pub use order_list::{
    Description, Found, JobNeeds, Line, OrderList, Reason, Share, StockedPart, ToFind, Wanted,
    job_needs, order_list,
};
pub use shortage::{Demand, Shortage, Want, demand, short};

pub(crate) use shortage::there;

use crate::meaning::{Act, BoardId, Case, Decision, EntryId, Facts, NewPart, PlaceId, PlanEntry};
use crate::moves::follow_fields;
use crate::replacement::Chosen;
use crate::sources::Origin;
use crate::time::Content;
use retin_syntax::tables::Kind;
use retin_syntax::value::Decimal;
use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

/// How many of one entry a job still takes, and for which places.
#[derive(Clone, PartialEq, Eq, Debug)]
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

/// One part that is still to be put into a place. Where two parts take the place
/// of one, each is a piece of its own.
pub(crate) struct Piece<'c, 'a> {
    pub(crate) place: PlaceId,
    pub(crate) part: PiecePart<'c, 'a>,
}

/// What a piece is.
pub(crate) enum PiecePart<'c, 'a> {
    /// An entry of a shelf, and where the plan names it.
    Entry(EntryId, Origin),
    /// Described by its values.
    Described(Option<Kind>, &'c Facts<'a>),
    /// Nothing on the shelves that the plan leaves the choice to; the nearest
    /// entries with what speaks against each.
    Nothing(&'c PlanEntry<'a>, &'c [(EntryId, String)]),
}

/// Every part that a job still puts in, in the order of the places; what belongs
/// into sockets comes first, then the sockets.
///
/// What is in is out of the drawer; what came out again is replaced by another
/// one. A section comes with the whole that the plan replaces.
pub(crate) fn pieces<'c, 'a>(
    case: &'c Case<'a>,
    chosen: &'c [Chosen<'c, 'a>],
) -> Vec<Piece<'c, 'a>> {
    let mut pieces = chosen_pieces(case, chosen.iter());
    pieces.extend(sockets(case, case.decisions.iter()));
    pieces
}

/// The parts that are chosen for places.
fn chosen_pieces<'s, 'c: 's, 'a: 'c>(
    case: &'s Case<'a>,
    chosen: impl Iterator<Item = &'s Chosen<'c, 'a>>,
) -> Vec<Piece<'s, 'a>> {
    let mut pieces = Vec::new();
    for chosen in chosen {
        let (part, copies, line) = match chosen {
            Chosen::New(replacement) => (
                replacement.place.part,
                &replacement.copies,
                replacement.line,
            ),
            Chosen::Nothing {
                place,
                copies,
                line,
                ..
            } => (place.part, copies, *line),
        };
        for copy in copies {
            let place = PlaceId { part, copy: *copy };
            let is_in = case.replay.place(place).content == Content::New;
            if is_in || comes_with_whole(case, place) {
                continue;
            }
            match chosen {
                Chosen::Nothing { nearest, .. } => pieces.push(Piece {
                    place,
                    part: PiecePart::Nothing(line, nearest),
                }),
                Chosen::New(replacement) if line.with.is_empty() => {
                    if let Some(entry) = replacement.new.entry {
                        let part = PiecePart::Entry(entry, replacement.new.origin);
                        pieces.push(Piece { place, part });
                    }
                }
                Chosen::New(_) => pieces.extend(named(line, place)),
            }
        }
    }
    pieces
}

/// The sockets that places get.
fn sockets<'c, 'a>(
    case: &'c Case<'a>,
    decisions: impl Iterator<Item = &'c Decision>,
) -> Vec<Piece<'c, 'a>> {
    let mut pieces = Vec::new();
    for decision in decisions {
        let place = decision.place;
        if let Some(line) = decision.socket
            && case.replay.place(place).socketed.is_none()
        {
            pieces.extend(named(case.plan_line(line), place));
        }
    }
    pieces
}

/// The parts that a line of the plan names, for one place.
fn named<'c, 'a>(line: &'c PlanEntry<'a>, place: PlaceId) -> impl Iterator<Item = Piece<'c, 'a>> {
    line.with.iter().map(move |part| Piece {
        place,
        part: match part {
            NewPart::Entry { entry, origin } => PiecePart::Entry(*entry, *origin),
            NewPart::Described { kind, facts, .. } => PiecePart::Described(*kind, facts),
        },
    })
}

/// Whether a part comes with the whole that it is a section of, and the plan says
/// what becomes of that.
pub(crate) fn comes_with_whole(case: &Case<'_>, place: PlaceId) -> bool {
    case.whole_of(place.part)
        .is_some_and(|part| case.decision(PlaceId { part, ..place }).is_some())
}

/// What a job still takes of each entry, in the order of the entries.
pub(crate) fn needs(case: &Case<'_>, chosen: &[Chosen<'_, '_>]) -> Vec<Need> {
    needs_of(&pieces(case, chosen))
}

/// What one board takes of each entry: what is chosen for its places, and sockets.
#[derive(Clone, Default, PartialEq, Eq, Debug)]
pub(crate) struct BoardNeeds {
    chosen: Vec<Need>,
    sockets: Vec<Need>,
}

impl BoardNeeds {
    /// What the new parts of a board come to.
    pub(crate) fn of(case: &Case<'_>, board: BoardId, chosen: &[&Chosen<'_, '_>]) -> Self {
        BoardNeeds {
            chosen: needs_of(&chosen_pieces(case, chosen.iter().copied())),
            sockets: needs_of(&sockets(case, case.decisions_on(board))),
        }
    }

    /// What all boards take, in the order of the entries.
    pub(crate) fn together<'n>(boards: impl Iterator<Item = &'n BoardNeeds> + Clone) -> Vec<Need> {
        let chosen = boards.clone().flat_map(|needs| &needs.chosen);
        let mut all: BTreeMap<EntryId, Need> = BTreeMap::new();
        for need in chosen.chain(boards.flat_map(|needs| &needs.sockets)) {
            match all.entry(need.entry) {
                Entry::Vacant(known) => {
                    known.insert(need.clone());
                }
                Entry::Occupied(mut known) => {
                    let known = known.get_mut();
                    known.count += need.count;
                    known.places.extend_from_slice(&need.places);
                }
            }
        }
        let mut all: Vec<Need> = all.into_values().collect();
        for need in &mut all {
            need.places.sort();
            need.places.dedup();
        }
        all
    }
}

follow_fields!(Need { origin; entry, count, places });
follow_fields!(BoardNeeds { chosen, sockets });

/// How many of each entry are among some pieces, in the order of the entries.
fn needs_of(pieces: &[Piece<'_, '_>]) -> Vec<Need> {
    let mut needs: BTreeMap<EntryId, Need> = BTreeMap::new();
    for piece in pieces {
        let PiecePart::Entry(entry, origin) = piece.part else {
            continue;
        };
        let need = needs.entry(entry).or_insert(Need {
            entry,
            count: 0,
            places: Vec::new(),
            origin,
        });
        need.count += 1;
        need.places.push(piece.place);
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
