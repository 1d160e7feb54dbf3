//! Zones of a board: which one a place lies in.

use super::{Case, FactValue, PlaceId};
use retin_syntax::tables::Property;

impl<'a> Case<'a> {
    /// The zone a place lies in: the one that its part names, else the first one whose
    /// rectangle holds its position. None where nothing says so.
    pub fn zone_of(&self, place: PlaceId) -> Option<&'a str> {
        let part = self.goes_by(place);
        if let Some(zone) = part.word(Property::Zone) {
            return Some(zone);
        }
        let FactValue::Point(x, y) = part.get(Property::At)?.1.value else {
            return None;
        };
        let board = self.board_of(place.part);
        let mut zones = board.zones.iter().zip(&board.zone_corners);
        let (zone, _) = zones.find(|(_, corners)| {
            corners.is_some_and(|[left, lower, right, upper]| {
                (left..=right).contains(&x) && (lower..=upper).contains(&y)
            })
        })?;
        Some(zone.0)
    }
}

#[cfg(test)]
mod tests {
    use crate::meaning::Case;
    use crate::sources::{SourceFile, Sources};
    use std::sync::Arc;

    #[test]
    fn a_zone_is_named_or_follows_from_the_position() {
        let text = "model m1\nboard b1\n  zone A 0,0 to 30,40\n  zone B 30,0 to 60,40\n\
                    \x20 C1 film 10nF zone B at 5,5\n  C2 film 10nF at 5,5\n\
                    \x20 C3 film 10nF at 40,40\n  C4 film 10nF at 80,5\n  C5 film 10nF\n";
        let mut sources = Sources::new();
        let root = sources.add(Arc::new(SourceFile::new("m.retin".into(), text.into())));
        let case = Case::build(&sources, root);
        let zones: Vec<Option<&str>> = case.places().map(|place| case.zone_of(place)).collect();
        assert_eq!(zones, [Some("B"), Some("A"), Some("B"), None, None]);
    }
}
