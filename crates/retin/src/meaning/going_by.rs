//! What the job goes by where sources disagree or leave something out.

use super::{Case, Claim, FactValue, Facts, PinOn, PlaceId, Says, Stated};
use crate::sources::Origin;
use retin_syntax::Token;
use retin_syntax::tables::{ClaimSource, Kind, Property};
use retin_syntax::value::{Body, Decimal, Quantity, Tolerance, Value};

/// The claims on one place, in the order the job goes by them.
///
/// The technician's `go by` comes first, the job's own before the model sheet's; else the headline, which is the
/// schematic's claim unless a `per` says otherwise; what it does not state is
/// taken from the other sources in the order written.
#[derive(Clone, Debug)]
pub struct GoingBy<'c, 'a> {
    layers: Layers<'c, 'a>,
    /// The kind the job goes by.
    pub kind: Option<Kind>,
    /// The nets of the leads.
    pub pins: &'c [PinOn<'a>],
}

/// What each source states. Of most parts there is one, and every rule asks for it: so
/// the first has its own place.
#[derive(Clone, Default, Debug)]
struct Layers<'c, 'a> {
    first: Option<(ClaimSource, &'c Facts<'a>)>,
    behind: Vec<(ClaimSource, &'c Facts<'a>)>,
}

impl<'c, 'a> Layers<'c, 'a> {
    fn push(&mut self, layer: (ClaimSource, &'c Facts<'a>)) {
        match self.first {
            None => self.first = Some(layer),
            Some(_) => self.behind.push(layer),
        }
    }

    fn iter(&self) -> impl Iterator<Item = &(ClaimSource, &'c Facts<'a>)> {
        self.first.iter().chain(&self.behind)
    }
}

impl<'a> Case<'a> {
    /// The claims of other sources that hold for one place.
    pub fn claims_on(&self, place: PlaceId) -> impl Iterator<Item = &Claim<'a>> {
        let claims = self.part(place.part).claims.iter();
        claims.filter(move |claim| claim.copy.is_none_or(|copy| copy == place.copy))
    }

    /// The source that the technician chose for one place, and where: for this
    /// unit, else for every one of the model.
    pub fn chosen_source(&self, place: PlaceId) -> Option<(ClaimSource, Origin)> {
        let part = self.part(place.part);
        let here = part.go_by_here.iter().find(|row| row.0 == place.copy);
        here.map(|(_, source, origin)| (*source, *origin))
            .or(part.go_by)
    }

    /// What the job goes by at one place.
    pub fn goes_by(&self, place: PlaceId) -> GoingBy<'_, 'a> {
        let part = self.part(place.part);
        let mut layers = Layers::default();
        let mut kind = part.kind;
        for exception in &part.exceptions {
            if exception.copies.contains(&place.copy) {
                layers.push((part.headline, &exception.facts));
            }
        }
        let chosen = self.chosen_source(place).map(|(source, _)| source);
        let stated = |claim: &'_ Claim<'a>| matches!(claim.says, Says::Facts { .. });
        if let Some(chosen) = chosen.filter(|source| *source != part.headline) {
            let claims = || {
                self.claims_on(place)
                    .filter(|claim| claim.source == chosen && stated(claim))
            };
            // What was said of this copy alone goes before what is said of all.
            let general = claims().filter(|claim| claim.copy.is_none());
            let mut claimed_kind = None;
            for claim in claims().filter(|claim| claim.copy.is_some()).chain(general) {
                if let Says::Facts {
                    facts,
                    kind: claimed,
                    ..
                } = &claim.says
                {
                    layers.push((chosen, facts));
                    claimed_kind = claimed_kind.or(*claimed);
                }
            }
            kind = claimed_kind.or(kind);
        }
        layers.push((part.headline, &part.facts));
        for claim in self
            .claims_on(place)
            .filter(|claim| Some(claim.source) != chosen)
        {
            if let Says::Facts { facts, .. } = &claim.says {
                layers.push((claim.source, facts));
            }
        }
        GoingBy {
            layers,
            kind,
            pins: &part.pins,
        }
    }
}

impl<'c, 'a> GoingBy<'c, 'a> {
    /// What is said of a property, and by whom.
    pub fn get(&self, property: Property) -> Option<(ClaimSource, &'c Stated<'a>)> {
        self.layers
            .iter()
            .find_map(|(source, facts)| Some((*source, facts.get(property)?)))
    }

    fn value(&self, property: Property) -> Option<&'c FactValue<'a>> {
        self.get(property).map(|(_, stated)| &stated.value)
    }

    /// The quantity of a property.
    pub fn quantity(&self, property: Property) -> Option<Quantity> {
        self.value(property)?.quantity()
    }

    /// A length in mm.
    pub fn millimetres(&self, property: Property) -> Option<Decimal> {
        self.value(property)?.millimetres()
    }

    /// The body.
    pub fn body(&self) -> Option<Body> {
        self.value(Property::Body)?.body()
    }

    /// The tolerance as written by the source whose value the job goes by, or by any.
    pub fn tolerance(&self) -> Option<Tolerance> {
        let of_value = self
            .layers
            .iter()
            .find(|(_, facts)| facts.has(Property::Value));
        of_value
            .and_then(|(_, facts)| facts.tolerance())
            .or_else(|| self.value(Property::Tolerance)?.tolerance())
    }

    /// A name or code.
    pub fn word(&self, property: Property) -> Option<&'a str> {
        self.value(property)?.word()
    }

    /// The reserved word that a property is given by.
    pub fn choice(&self, property: Property) -> Option<Token> {
        self.value(property)?.choice()
    }

    /// A bare number.
    pub fn number(&self, property: Property) -> Option<Decimal> {
        self.value(property)?.number()
    }

    /// Whether the property is unreadable wherever it is stated.
    pub fn is_unreadable(&self, property: Property) -> bool {
        self.get(property)
            .is_some_and(|(_, fact)| fact.value == FactValue::Value(Value::Unreadable))
    }

    /// Whether a property is given by this word.
    pub fn is(&self, property: Property, word: Token) -> bool {
        self.layers.iter().any(|layer| layer.1.is(property, word))
    }
}
