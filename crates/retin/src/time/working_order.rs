//! What one's hands do next within a step: all of one value together, so that one
//! bag is open at a time; low bodies before tall ones, so that the board lies flat;
//! then board by board, zone by zone, along the board.

use crate::meaning::{BoardCopy, Case, FactValue, Facts, GoingBy, PlaceId, Step};
use crate::outline::Outline;
use crate::replacement::{Chosen, NewSide, Replacement};
use crate::time::minutes::places_worked_on;
use retin_syntax::Token;
use retin_syntax::tables::{Kind, Property, StepVerb};
use retin_syntax::value::Decimal;
use rustc_hash::FxHashMap;
use std::collections::BTreeMap;

/// One place to work on.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Item {
    /// The place.
    pub place: PlaceId,
    /// What is in the bag, in words: `E-10-50 10uF 50V 5x11`.
    pub bag: String,
    /// The height of the body in mm, where it is known.
    pub height: Option<Decimal>,
    /// The copy of the board it is on.
    pub board: BoardCopy,
    /// The zone it is in, by its place among the zones of the board.
    pub zone: Option<usize>,
    /// The body's middle in mm from the board's lower left corner.
    pub at: Option<(Decimal, Decimal)>,
}

/// All places that get what is in one bag.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Bag {
    /// What is in it, in words.
    pub label: String,
    /// The height of the tallest body in mm; none where one is not known.
    pub height: Option<Decimal>,
    /// The places, in the order they are worked on.
    pub places: Vec<PlaceId>,
}

/// Sorts items into bags, lowest first; bags whose height is not known come last.
///
/// The order depends on the items alone, not on the order they are given in.
pub fn bags(items: Vec<Item>) -> Vec<Bag> {
    let mut by_label: BTreeMap<String, Vec<Item>> = BTreeMap::new();
    for item in items {
        by_label.entry(item.bag.clone()).or_default().push(item);
    }
    // A bag is worked on where its first place is, among bags of one height.
    let mut sorted: Vec<(bool, Decimal, BoardCopy, Bag)> = by_label
        .into_iter()
        .filter_map(|(label, mut items)| {
            items.sort_by_key(along);
            let first = items.first()?.board;
            let height = items
                .iter()
                .try_fold(Decimal::ZERO, |most, item| Some(most.max(item.height?)));
            let places = items.into_iter().map(|item| item.place).collect();
            let bag = Bag {
                label,
                height,
                places,
            };
            Some((height.is_none(), height.unwrap_or_default(), first, bag))
        })
        .collect();
    sorted.sort_by(|one, other| {
        (one.0, one.1, one.2, &one.3.label).cmp(&(other.0, other.1, other.2, &other.3.label))
    });
    sorted.into_iter().map(|row| row.3).collect()
}

/// Board, zone, position and place; a zone or a position that is missing comes last.
pub(crate) type Along = (
    BoardCopy,
    (bool, Option<usize>),
    (bool, Option<(Decimal, Decimal)>),
    PlaceId,
);

/// Where an item comes within its bag: board, zone, position, place. What has no
/// zone or position comes behind what has one.
pub(crate) fn along(item: &Item) -> Along {
    (
        item.board,
        (item.zone.is_none(), item.zone),
        (item.at.is_none(), item.at),
        item.place,
    )
}

/// The new part of every place that gets one.
pub type NewParts<'c, 'a> = FxHashMap<PlaceId, &'c Replacement<'c, 'a>>;

/// Looks the new parts up by place.
pub fn new_parts<'c, 'a>(chosen: &'c [Chosen<'c, 'a>]) -> NewParts<'c, 'a> {
    chosen
        .iter()
        .filter_map(|chosen| match chosen {
            Chosen::New(replacement) => Some(&**replacement),
            Chosen::Nothing { .. } => None,
        })
        .flat_map(|replacement| replacement.places().map(move |place| (place, replacement)))
        .collect()
}

/// The working order of one step: for `fit` by the new parts, else by the old ones.
pub fn working_order(case: &Case<'_>, new: &NewParts<'_, '_>, step: &Step<'_>) -> Vec<Bag> {
    bags(items(case, new, step.verb, &places_worked_on(case, step)))
}

/// Places with what decides their turn, for `fit` by the new parts, else by the old ones.
pub fn items(
    case: &Case<'_>,
    new: &NewParts<'_, '_>,
    verb: StepVerb,
    places: &[PlaceId],
) -> Vec<Item> {
    let item = |place: &PlaceId| {
        let fitted = (verb == StepVerb::Fit).then(|| new.get(place)).flatten();
        let old = case.goes_by(*place);
        let zone = case.zone_of(*place);
        let board = case.board_of(place.part);
        Item {
            place: *place,
            bag: match fitted {
                Some(replacement) => new_label(&replacement.new, written),
                None => old_label(&old, PRINTED, written),
            },
            height: heights(case, new, verb, *place).map(|(_, most)| most),
            board: case.copy_of(*place),
            zone: zone.and_then(|zone| board.zones.iter().position(|row| row.0 == zone)),
            at: old
                .get(Property::At)
                .and_then(|(_, stated)| match stated.value {
                    FactValue::Point(x, y) => Some((x, y)),
                    _ => None,
                }),
        }
    };
    places.iter().map(item).collect()
}

/// The least and the most height in mm of the body that a step has in hand at a place.
pub fn heights(
    case: &Case<'_>,
    new: &NewParts<'_, '_>,
    verb: StepVerb,
    place: PlaceId,
) -> Option<(Decimal, Decimal)> {
    let old = case.goes_by(place);
    let fitted = (verb == StepVerb::Fit).then(|| new.get(&place)).flatten();
    // A fuse lies in its holder.
    let lying = (old.kind.map(Kind::token) == Some(Token::Fuse)).then_some(Token::Axial);
    let old_style = old.choice(Property::Style).or(lying);
    let outline = match fitted {
        Some(replacement) => new_outline(replacement, old_style)?,
        None => Outline::of(old.body()?, old_style, old.millimetres(Property::Pitch)),
    };
    Some((outline.least_height, outline.most_height))
}

fn new_outline(replacement: &Replacement<'_, '_>, old_style: Option<Token>) -> Option<Outline> {
    let facts = replacement.new.facts;
    let style = facts.choice(Property::Style);
    Some(Outline::of(
        facts.body()?,
        style.or(old_style),
        facts.millimetres(Property::Pitch),
    ))
}

/// The least and the most height in mm of a new body, whatever it replaces lies like.
pub(crate) fn fitted_heights(replacement: &Replacement<'_, '_>) -> Option<(Decimal, Decimal)> {
    let style = replacement.old.choice(Property::Style);
    let outline = new_outline(replacement, style)?;
    Some((outline.least_height, outline.most_height))
}

/// What is printed on a bag after the kind: value, ratings, body.
pub const PRINTED: &[Property] = &[
    Property::Device,
    Property::Value,
    Property::Current,
    Property::Volts,
    Property::AcVolts,
    Property::Power,
    Property::FuseSpeed,
    Property::MainsClass,
    Property::Taper,
    Property::Package,
    Property::Body,
];

/// How the value of a fact is spelled; none leaves it out.
pub type Spelling = fn(&FactValue<'_>) -> Option<String>;

/// As the files write it.
fn written(value: &FactValue<'_>) -> Option<String> {
    value.in_words()
}

/// A new part in words: `E-10-50  electrolytic 10uF 50V 5x11`.
pub fn new_label(new: &NewSide<'_, '_>, spelling: Spelling) -> String {
    let described = |facts: &Facts<'_>| new_words(new.kind, facts, PRINTED, spelling);
    let first = described(new.facts);
    let first = match new.name {
        Some(name) if first.is_empty() => name.to_owned(),
        Some(name) => format!("{name}  {first}"),
        None => first,
    };
    match new.second {
        Some((second, mounting)) => {
            let second = described(second);
            let mounting = mounting.reserved_text().unwrap_or("");
            format!("{first} and {second} in {mounting}")
        }
        None => first,
    }
}

/// Some properties of a new part in words, behind its kind where one is given.
pub fn new_words(
    kind: Option<Kind>,
    facts: &Facts<'_>,
    printed: &[Property],
    spelling: Spelling,
) -> String {
    let stated = |property| facts.get(property).map(|stated| &stated.value);
    label(kind, printed, |property| spelling(stated(property)?))
}

/// Some properties of an old part in words, behind its kind.
pub fn old_label(old: &GoingBy<'_, '_>, printed: &[Property], spelling: Spelling) -> String {
    let stated = |property| old.get(property).map(|stated| &stated.1.value);
    label(old.kind, printed, |property| spelling(stated(property)?))
}

fn label(
    kind: Option<Kind>,
    printed: &[Property],
    stated: impl Fn(Property) -> Option<String>,
) -> String {
    let words = printed.iter().filter_map(|property| stated(*property));
    let kind = kind.map(|kind| kind.word().to_owned());
    kind.into_iter().chain(words).collect::<Vec<_>>().join(" ")
}
