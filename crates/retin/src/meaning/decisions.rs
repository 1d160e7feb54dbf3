//! What the plan wants done with each place.

use super::plan::PlanLineId;
use super::{PartId, PlaceId};
use std::ops::Deref;

/// What the plan decides for one place.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Decision {
    /// The place.
    pub place: PlaceId,
    /// The line that decides.
    pub line: PlanLineId,
    /// Another line that is just as narrow and wants something else.
    pub rival: Option<PlanLineId>,
    /// The line that puts the chip in a socket.
    pub socket: Option<PlanLineId>,
}

/// Every decision, sorted by place. Nearly every rule asks for each place, so that those
/// of a part are found without a search.
#[derive(Clone, Default, PartialEq, Eq, Debug)]
pub struct Decisions {
    all: Vec<Decision>,
    /// By part: where its decisions begin, and behind the last where they end.
    begins: Vec<u32>,
}

impl Decisions {
    /// Decisions sorted by place, one for each.
    pub(super) fn of(all: Vec<Decision>) -> Self {
        let parts = all.last().map_or(0, |last| last.place.part.0 as usize + 1);
        let mut begins = Vec::with_capacity(parts + 1);
        for (at, decision) in all.iter().enumerate() {
            let part = decision.place.part.0 as usize;
            while begins.len() <= part {
                begins.push(at as u32);
            }
        }
        begins.push(all.len() as u32);
        Decisions { all, begins }
    }

    /// The decision for a place.
    pub fn at(&self, place: PlaceId) -> Option<&Decision> {
        // Where all copies are decided for, each stands by its number.
        let of_part = self.of_part(place.part);
        let own = of_part.get(place.copy as usize);
        if own.is_some_and(|own| own.place == place) {
            return own;
        }
        of_part.iter().find(|decision| decision.place == place)
    }

    /// The decisions for the copies of a part.
    pub fn of_part(&self, part: PartId) -> &[Decision] {
        let part = part.0 as usize;
        match self.begins.get(part..part + 2) {
            Some(&[from, to]) => &self.all[from as usize..to as usize],
            _ => &[],
        }
    }
}

impl Deref for Decisions {
    type Target = [Decision];

    fn deref(&self) -> &[Decision] {
        &self.all
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_place_has_its_own() {
        let decision = |part, copy| Decision {
            place: PlaceId {
                part: PartId(part),
                copy,
            },
            line: PlanLineId(part * 10 + u32::from(copy)),
            rival: None,
            socket: None,
        };
        let all = [(1, 0), (1, 1), (4, 1), (4, 3), (5, 0)];
        let decisions = Decisions::of(all.map(|(part, copy)| decision(part, copy)).into());
        for part in 0..8 {
            for copy in 0..5 {
                let is_decided = all.contains(&(part, copy));
                let place = decision(part, copy).place;
                assert_eq!(
                    decisions.at(place).copied(),
                    is_decided.then(|| decision(part, copy))
                );
            }
        }
        assert!(Decisions::default().at(decision(0, 0).place).is_none());
        assert!(Decisions::of(Vec::new()).of_part(PartId(0)).is_empty());
    }
}
