//! How much room a body takes on its board, and how much height above it.

use crate::meaning::{Case, PlaceId};
use crate::sources::Origin;
use retin_syntax::Token;
use retin_syntax::tables::Property;
use retin_syntax::value::{Body, Decimal};

/// The room a body takes, in mm. Where it is not known whether a round body
/// stands or lies, only what holds either way is claimed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Outline {
    /// Across the row of leads.
    pub width: Decimal,
    /// Along the row of leads.
    pub length: Decimal,
    /// The least height it can have.
    pub least_height: Decimal,
    /// The most height it can have.
    pub most_height: Decimal,
}

impl Outline {
    /// The outline of a body whose leads leave it in `style` and stand `pitch` mm apart.
    pub fn of(body: Body, style: Option<Token>, pitch: Option<Decimal>) -> Outline {
        let (diameter, length) = match body {
            Body::Box {
                length,
                width,
                height,
            } => {
                return Outline {
                    width,
                    length,
                    least_height: height,
                    most_height: height,
                };
            }
            Body::Round { diameter, length } => (diameter, length),
        };
        let lies = match style {
            Some(Token::Axial) => Some(true),
            Some(_) => Some(false),
            // The holes of a lying part are farther apart than the part is long.
            None => pitch.filter(|pitch| *pitch < length).map(|_| false),
        };
        match lies {
            Some(true) => Outline {
                width: diameter,
                length,
                least_height: diameter,
                most_height: diameter,
            },
            Some(false) => Outline {
                width: diameter,
                length: diameter,
                least_height: length,
                most_height: length,
            },
            None => Outline {
                width: diameter,
                length: diameter,
                least_height: diameter.min(length),
                most_height: diameter.max(length),
            },
        }
    }

    /// Diameter in mm of a circle that the body covers whichever way it is turned.
    pub fn least_circle(&self) -> Decimal {
        self.width.min(self.length)
    }
}

impl Case<'_> {
    /// The clear height above a place in mm, and where it is written: the part's
    /// own, else its board's, else the model's.
    ///
    /// None on the solder side, of which the sheets do not speak.
    pub fn headroom_at(&self, place: PlaceId) -> Option<(Decimal, Origin)> {
        let old = self.goes_by(place);
        if let (Some(height), Some((_, fact))) = (
            old.millimetres(Property::Headroom),
            old.get(Property::Headroom),
        ) {
            return Some((height, fact.origin));
        }
        if old.get(Property::Side).is_some() {
            return None;
        }
        let board = &self.board_of(place.part).facts;
        let model = self.model.as_ref().map(|model| &model.facts);
        [Some(board), model]
            .into_iter()
            .flatten()
            .find_map(|facts| {
                Some((
                    facts.millimetres(Property::Headroom)?,
                    facts.origin(Property::Headroom)?,
                ))
            })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(number: i64) -> Decimal {
        Decimal::from(number)
    }

    #[test]
    fn a_round_body_stands_or_lies_by_its_leads() {
        let can = Body::Round {
            diameter: mm(8),
            length: mm(20),
        };
        let standing = Outline::of(can, Some(Token::Radial), None);
        assert_eq!((standing.least_height, standing.length), (mm(20), mm(8)));
        let lying = Outline::of(can, Some(Token::Axial), None);
        assert_eq!((lying.most_height, lying.length), (mm(8), mm(20)));
    }

    #[test]
    fn leads_closer_than_the_body_is_long_mean_that_it_stands() {
        let can = Body::Round {
            diameter: mm(8),
            length: mm(20),
        };
        assert_eq!(Outline::of(can, None, Some(mm(5))).least_height, mm(20));
        let unknown = Outline::of(can, None, Some(mm(25)));
        assert_eq!((unknown.least_height, unknown.most_height), (mm(8), mm(20)));
    }
}
