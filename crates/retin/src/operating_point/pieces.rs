//! Which nets hang together by parts, and are solved together.
//!
//! A net that a rail holds cuts the unit apart: what hangs on either side of it
//! does not feel the other. A capacitor carries no direct current and joins
//! nothing.

use super::lower::{is_idle_without_leads, usual_copy};
use crate::meaning::{BoardId, Case, NetId, PartId};
use crate::potentials::of_rail;
use retin_syntax::Token;
use retin_syntax::tables::{Kind, Property};
use rustc_hash::{FxHashMap, FxHashSet};

/// The pieces of a unit.
#[derive(Debug)]
pub(super) struct Pieces {
    /// By net: the piece of one that stands for all it is joined with and that
    /// no rail holds.
    of_net: Vec<Option<u32>>,
    pieces: Vec<Piece>,
    has_rail: bool,
    /// Boards with parts whose leads are not written, each with one of these.
    open_boards: Vec<(BoardId, PartId)>,
    /// Nets by which copies of a board meet each other, or another board.
    met: FxHashSet<NetId>,
    /// Nets on which something must be that is not written down, each with the
    /// one of the nets joined there that shows it.
    ends: FxHashMap<NetId, NetId>,
}

/// What is solved together.
#[derive(Debug, Default)]
pub(super) struct Piece {
    /// The nets that stand for all they are joined with, in rising order.
    pub(super) nets: Vec<NetId>,
    /// The parts between them and the rails, in rising order; an amplifier with
    /// its sections.
    pub(super) parts: Vec<(PartId, Vec<PartId>)>,
}

/// Nets that are joined by parts.
struct Union(Vec<u32>);

impl Union {
    fn root(&mut self, mut net: u32) -> u32 {
        while self.0[net as usize] != net {
            let next = self.0[self.0[net as usize] as usize];
            self.0[net as usize] = next;
            net = next;
        }
        net
    }

    fn join(&mut self, one: u32, other: u32) {
        let (one, other) = (self.root(one), self.root(other));
        self.0[one.max(other) as usize] = one.min(other);
    }
}

impl Pieces {
    /// Cuts a case into its pieces.
    pub(super) fn of(case: &Case<'_>) -> Self {
        let nets = &case.nets;
        let count = nets.iter().count();
        let mut is_held = vec![false; count];
        for (id, net) in nets.iter() {
            if net
                .rail
                .as_ref()
                .and_then(|rail| of_rail(id, rail))
                .is_some()
            {
                is_held[nets.common(id).0 as usize] = true;
            }
        }
        let mut union = Union((0..count as u32).collect());
        let mut open_boards: Vec<(BoardId, PartId)> = Vec::new();
        let mut placed: Vec<(PartId, Vec<PartId>, u32)> = Vec::new();
        for (id, sections) in conductors(case, &mut open_boards) {
            let mut first = None;
            for member in std::iter::once(&id).chain(&sections) {
                for pin in &case.part(*member).pins {
                    let net = nets.common(pin.net).0;
                    if is_held[net as usize] {
                        continue;
                    }
                    let first = *first.get_or_insert(net);
                    union.join(first, net);
                }
            }
            placed.extend(first.map(|net| (id, sections, net)));
        }
        let mut of_net = vec![None; count];
        let mut pieces: Vec<Piece> = Vec::new();
        for (id, _) in nets.iter() {
            if nets.common(id) != id || is_held[id.0 as usize] {
                continue;
            }
            let root = union.root(id.0);
            let piece = *of_net[root as usize].get_or_insert_with(|| {
                pieces.push(Piece::default());
                pieces.len() as u32 - 1
            });
            of_net[id.0 as usize] = Some(piece);
            pieces[piece as usize].nets.push(id);
        }
        for (part, sections, net) in placed {
            if let Some(piece) = of_net[union.root(net) as usize] {
                pieces[piece as usize].parts.push((part, sections));
            }
        }
        Pieces {
            of_net,
            pieces,
            has_rail: is_held.contains(&true),
            open_boards,
            met: met(case),
            ends: ends(case),
        }
    }

    /// The piece that a net which stands for all it is joined with is in; none
    /// where a rail holds it.
    pub(super) fn of_net(&self, common: NetId) -> Option<u32> {
        self.of_net.get(common.0 as usize).copied().flatten()
    }

    /// How many pieces there are.
    pub(super) fn count(&self) -> usize {
        self.pieces.len()
    }

    /// A piece by its number.
    pub(super) fn piece(&self, piece: u32) -> &Piece {
        &self.pieces[piece as usize]
    }

    /// Whether any rail states a potential.
    pub(super) fn has_rail(&self) -> bool {
        self.has_rail
    }

    /// Boards with parts whose leads are not written, each with one of these.
    pub(super) fn open_boards(&self) -> &[(BoardId, PartId)] {
        &self.open_boards
    }

    /// Whether copies of a board meet each other, or another board, here.
    pub(super) fn is_met(&self, common: NetId) -> bool {
        self.met.contains(&common)
    }

    /// The net that shows that something is here that is not written down.
    pub(super) fn end(&self, common: NetId) -> Option<NetId> {
        self.ends.get(&common).copied()
    }
}

/// Every part that may carry direct current between its leads, with its
/// sections where they are taken together; boards on which the leads of one are
/// not written are noted.
fn conductors(
    case: &Case<'_>,
    open_boards: &mut Vec<(BoardId, PartId)>,
) -> Vec<(PartId, Vec<PartId>)> {
    let ids = || (0..case.parts.len() as u32).map(PartId);
    let wholes: Vec<Option<PartId>> = ids().map(|id| case.whole_of(id)).collect();
    let mut sections: FxHashMap<PartId, Vec<PartId>> = FxHashMap::default();
    for (id, whole) in ids().zip(&wholes) {
        if let Some(whole) = whole {
            sections.entry(*whole).or_default().push(id);
        }
    }
    let mut found = Vec::new();
    for (id, whole) in ids().zip(&wholes) {
        let part = case.part(id);
        let is_empty = |id: PartId| case.part(id).facts.has(Property::Unfitted);
        if part.is_added || is_empty(id) || whole.is_some_and(is_empty) {
            continue;
        }
        let own = sections.get(&id).map_or(&[][..], Vec::as_slice);
        let kind = kind_of(case, id);
        let is_amplifier = kind.is_some_and(|kind| kind.token() == Token::Opamp);
        if is_amplifier && whole.is_some() {
            continue;
        }
        let together = if is_amplifier { own } else { &[] };
        let is_written = std::iter::once(&id)
            .chain(together)
            .any(|member| !case.part(*member).pins.is_empty());
        if is_written {
            if !kind.is_some_and(|kind| kind.is_covered_by(Token::Capacitor)) {
                found.push((id, together.to_vec()));
            }
            continue;
        }
        let is_open =
            is_amplifier || (own.is_empty() && whole.is_none() && !is_idle_without_leads(kind));
        if is_open && !open_boards.iter().any(|(board, _)| *board == part.board) {
            open_boards.push((part.board, id));
        }
    }
    found
}

/// The kind that the job goes by, else that of the type.
pub(super) fn kind_of(case: &Case<'_>, id: PartId) -> Option<Kind> {
    let old = case.goes_by(usual_copy(case.part(id), id));
    let of_type = || {
        let device = old.word(Property::Device)?;
        case.library.device(device)?.kind
    };
    old.kind.or_else(of_type)
}

/// Nets by which copies of a board meet each other, or another board: one copy
/// does not stand for all there.
fn met(case: &Case<'_>) -> FxHashSet<NetId> {
    let nets = &case.nets;
    let mut joined: FxHashMap<NetId, u32> = FxHashMap::default();
    for (id, _) in nets.iter() {
        *joined.entry(nets.common(id)).or_default() += 1;
    }
    nets.iter()
        .filter(|(_, net)| case.board(net.board).copies.len() > 1)
        .map(|(id, _)| nets.common(id))
        .filter(|common| joined.get(common).is_some_and(|count| *count > 1))
        .collect()
}

/// Nets on which something must be that is not written: one lead alone is on
/// them, or a link leads to a net with nothing on it.
fn ends(case: &Case<'_>) -> FxHashMap<NetId, NetId> {
    let nets = &case.nets;
    let mut leads: FxHashMap<NetId, u32> = FxHashMap::default();
    let mut ends: FxHashMap<NetId, NetId> = FxHashMap::default();
    for (id, net) in nets.iter() {
        *leads.entry(nets.common(id)).or_default() += net.leads;
        if net.leads == 0 && net.rail.is_none() && nets.common(id) != id {
            ends.entry(nets.common(id)).or_insert(id);
        }
    }
    for (id, _) in nets.iter() {
        if leads.get(&id).is_some_and(|leads| *leads == 1) {
            ends.entry(id).or_insert(id);
        }
    }
    ends
}
