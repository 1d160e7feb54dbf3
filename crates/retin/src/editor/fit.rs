//! Parts of the shelves that fit a place, and why.

use crate::meaning::{Case, EntryId, PlaceId, PlanEntry, ReadSelector};
use crate::physics::electrolytic_life::{RatedLife, ten_kelvin, ten_kelvin_caution};
use crate::physics::units::{Celsius, Hours};
use crate::potentials::shown;
use crate::replacement::{NewSide, Replacement, fitting};
use retin_syntax::Token;
use retin_syntax::tables::{PlanVerb, Property};
use retin_syntax::value::{Decimal, Dimension, Quantity};
use rust_decimal::prelude::{FromPrimitive, ToPrimitive};

/// An entry that fits.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Fit {
    /// The entry.
    pub(super) entry: EntryId,
    /// Why it fits, in a few words each.
    pub(super) why: Vec<String>,
}

/// Most parts of a selector that are looked at, each with every entry.
const MOST_PARTS: usize = 4;

/// The entries of all shelves that fit at least one of the first few places,
/// those that fit most of them first, then best first.
pub(super) fn fits(case: &Case<'_>, places: &[PlaceId]) -> Vec<Fit> {
    let mut looked_at: Vec<PlaceId> = Vec::new();
    for place in places {
        if looked_at.iter().all(|known| known.part != place.part) {
            looked_at.push(*place);
        }
        if looked_at.len() == MOST_PARTS {
            break;
        }
    }
    let mut found: Vec<(usize, usize, Fit)> = Vec::new();
    for place in looked_at {
        let line = any_shelf(case, place);
        for (rank, candidate) in fitting(case, place, &line).iter().enumerate() {
            let Some(entry) = candidate.new.entry else {
                continue;
            };
            match found.iter_mut().find(|known| known.2.entry == entry) {
                Some(known) => known.0 += 1,
                None => {
                    let why = why(candidate);
                    found.push((1, rank, Fit { entry, why }));
                }
            }
        }
    }
    found.sort_by_key(|(count, rank, fit)| (usize::MAX - count, *rank, fit.entry));
    found.into_iter().map(|row| row.2).collect()
}

/// A line of the plan that leaves the choice to every shelf.
fn any_shelf<'a>(case: &Case<'a>, place: PlaceId) -> PlanEntry<'a> {
    let origin = case.part(place.part).line;
    PlanEntry {
        verb: PlanVerb::Replace,
        origin,
        selector: ReadSelector {
            origin,
            places: vec![place],
        },
        from: (0..case.shelves.len()).collect(),
        with: Vec::new(),
        mounting: None,
        orientation: None,
        because: None,
    }
}

/// Why a new part fits its place, strongest first.
pub(super) fn why(candidate: &Replacement<'_, '_>) -> Vec<String> {
    let (old, new) = (&candidate.old, &candidate.new);
    let mut why = Vec::new();
    match (candidate.old_value(), new.value()) {
        (Some(old), Some(new)) if old == new => why.push(format!("{new}, as the place asks")),
        (Some(old), Some(new)) => why.push(format!("{new} where {old} is asked")),
        _ => {}
    }
    if candidate.is_same_type()
        && let Some(device) = new.facts.word(Property::Device)
    {
        why.push(format!("the same type, {device}"));
    }
    if let Some(volts) = new.volts(Property::Volts) {
        let most = across(candidate).map(|most| format!("up to {most} across it"));
        let was = old
            .quantity(Property::Volts)
            .map(|was| format!("the old one {was}"));
        let rest: Vec<String> = [was, most].into_iter().flatten().collect();
        why.push(if rest.is_empty() {
            volts.to_string()
        } else {
            format!("{volts} ({})", rest.join(", "))
        });
    }
    if let Some(pitch) = new.facts.millimetres(Property::Pitch) {
        let pitch = pitch.normalize();
        match old.millimetres(Property::Pitch).map(|old| old.normalize()) {
            Some(old) if old == pitch => why.push(format!("p{pitch}, as the old one")),
            Some(old) => why.push(format!("p{pitch} in holes of p{old}")),
            None => why.push(format!("p{pitch}")),
        }
    }
    let rated = new.facts.quantity(Property::Life);
    if let (Some(life), Some(at)) = (rated, new.facts.quantity(Property::Temperature)) {
        why.push(format!("{life} at {at}"));
    }
    if let Some(entry) = new.entry.map(|entry| candidate.case.entry(entry)) {
        let have = entry.have().map(|have| format!("have {have}"));
        let price = entry.prices().next().map(|price| price.money.to_string());
        why.extend([price, have].into_iter().flatten());
    }
    why
}

/// The most that can stand across a place of two leads.
fn across(candidate: &Replacement<'_, '_>) -> Option<Quantity> {
    let case = candidate.case;
    let [one, other] = candidate.old.pins else {
        return None;
    };
    let over = case.potentials.between(case, one.net, other.net)?;
    let most = over.low.abs().max(over.high.abs());
    Some(Quantity::new(shown(most), Dimension::Voltage))
}

/// The life that an aluminium electrolytic may be expected to have at the
/// temperature inside the unit, in words, with what speaks against leaning on
/// it; by the rule of ten kelvins, see [`ten_kelvin`] for its source.
pub(super) fn expected_life(case: &Case<'_>, new: &NewSide<'_, '_>) -> Option<String> {
    let kind = new.kind?;
    if !matches!(kind.token(), Token::Electrolytic | Token::Bipolar) {
        return None;
    }
    let inside = case.job.as_ref()?.facts.quantity(Property::Inside)?;
    let rated = new.facts.quantity(Property::Life)?;
    let temperature = new.facts.quantity(Property::Temperature)?;
    let an_hour = Decimal::from(3600);
    let hours = rated.number.checked_div(an_hour)?.to_f64()?;
    let celsius = |quantity: Quantity| Celsius::new(quantity.number.to_f64()?).ok();
    let rated = RatedLife {
        life: Hours::new(hours).ok()?,
        temperature: celsius(temperature)?,
    };
    let working = celsius(inside)?;
    let life = ten_kelvin(rated, working).ok()?.get();
    let hours = Decimal::from_f64(life)?.round_sf(2)?;
    let life = Quantity::new(hours.checked_mul(an_hour)?.normalize(), Dimension::Time);
    let caution = ten_kelvin_caution(working)
        .map(|caution| format!("; {caution}"))
        .unwrap_or_default();
    Some(format!(
        "about {life} at {inside} inside, by the rule of ten kelvins{caution}"
    ))
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{MIXER, with};
    use super::fits;

    #[test]
    fn what_fits_says_why() {
        with(MIXER, |snapshot, _| {
            let places = snapshot.case.places_named("channel.C1");
            let found = fits(snapshot.case, &places);
            assert_eq!(found.len(), 1);
            assert_eq!(snapshot.case.entry(found[0].entry).name, "E-10-50");
            insta::assert_snapshot!(found[0].why.join("\n"));
        });
    }

    #[test]
    fn nothing_fits_no_place() {
        with(MIXER, |snapshot, _| {
            assert_eq!(fits(snapshot.case, &[]), [])
        });
    }
}
