//! A new part against its old place: what every such rule is given to look at.

mod alike;

use crate::finding::Verdict;
use crate::library::Device;
use crate::meaning::{
    BoardId, Case, EntryId, Facts, GoingBy, NewPart, Part, PartId, PlaceId, PlanEntry,
};
use crate::rules;
use crate::sources::Origin;
use crate::swaps;
use crate::time::Content;
use crate::words::{told_of, with_article};
pub(crate) use alike::Answered;
use alike::{Likeness, ask_all, ask_each};
use retin_syntax::Token;
use retin_syntax::tables::{Kind, LeadSet, PlanVerb, Property};
use retin_syntax::value::{Decimal, Quantity};
use rustc_hash::FxHashMap;

/// A place that gets a new part, on all the copies of which the same is true.
#[derive(Clone, Debug)]
pub struct Replacement<'c, 'a> {
    /// The case.
    pub case: &'c Case<'a>,
    /// One of the places.
    pub place: PlaceId,
    /// The copies of which the same is true.
    pub copies: Vec<u16>,
    /// The line of the plan.
    pub line: &'c PlanEntry<'a>,
    /// The old part.
    pub part: &'c Part<'a>,
    /// What the job goes by for the old part.
    pub old: GoingBy<'c, 'a>,
    /// The new part.
    pub new: NewSide<'c, 'a>,
    /// The entry of the log that put it in, where it is another part than the plan
    /// names; then [`new`](Self::new) is what was fitted.
    pub fitted: Option<usize>,
    /// The place in the list of [`replacements`] whose new part was exchanged
    /// with this one's; `values-swapped` tells it, and nothing else.
    pub swapped_with: Option<usize>,
    /// What the rules on new parts are known to say of it.
    answered: Option<Answered>,
}

/// What goes in.
#[derive(Clone, Debug)]
pub struct NewSide<'c, 'a> {
    /// The shelf entry, where it is one.
    pub entry: Option<EntryId>,
    /// Its name on the shelf.
    pub name: Option<&'c str>,
    /// Its kind: as stated, else its type's, else the old part's where the plan describes it.
    pub kind: Option<Kind>,
    /// Its type, where it names one that the library knows.
    pub device: Option<&'c Device<'a>>,
    /// Its facts.
    pub facts: &'c Facts<'a>,
    /// Where the plan names it.
    pub origin: Origin,
    /// Where its facts are written.
    pub described: Origin,
    /// A second part with it, in series or parallel.
    pub second: Option<(&'c Facts<'a>, Token)>,
}

impl<'c, 'a> NewSide<'c, 'a> {
    /// The side of a shelf entry named at `origin`.
    pub fn entry(case: &'c Case<'a>, id: EntryId, origin: Origin) -> Self {
        let entry = case.entry(id);
        let device = device_of(case, &entry.facts);
        NewSide {
            entry: Some(id),
            name: Some(&entry.name),
            kind: entry.kind.or_else(|| device?.kind),
            device,
            facts: &entry.facts,
            origin,
            described: entry.line,
            second: None,
        }
    }

    /// The side of a part that a plan line or an entry of the log names.
    pub fn of(case: &'c Case<'a>, part: &'c NewPart<'a>, old_kind: Option<Kind>) -> Self {
        match part {
            NewPart::Entry { entry, origin } => NewSide::entry(case, *entry, *origin),
            NewPart::Described {
                kind,
                facts,
                origin,
            } => {
                let device = device_of(case, facts);
                NewSide {
                    entry: None,
                    name: None,
                    kind: kind.or_else(|| device?.kind).or(old_kind),
                    device,
                    facts,
                    origin: *origin,
                    described: *origin,
                    second: None,
                }
            }
        }
    }

    /// The value that stands in the place in the end: two parts together have one.
    pub fn value(&self) -> Option<Quantity> {
        let of_type = || self.device?.facts.quantity(Property::Value);
        let first = self.facts.quantity(Property::Value).or_else(of_type)?;
        let Some((second, mounting)) = self.second else {
            return Some(first);
        };
        let second = second.quantity(Property::Value)?;
        if first.dimension != second.dimension {
            return None;
        }
        let is_capacitor = self
            .kind
            .is_some_and(|kind| kind.is_covered_by(Token::Capacitor));
        let adds = (mounting == Token::Parallel) == is_capacitor;
        let sum = first.number.checked_add(second.number)?;
        let number = if adds {
            sum
        } else {
            first.number.checked_mul(second.number)?.checked_div(sum)?
        };
        Some(Quantity::new(number, first.dimension))
    }

    /// The rated voltage of what stands in the place in the end: in series the
    /// smaller rating counts twice, since equal parts share the voltage.
    pub fn volts(&self, property: Property) -> Option<Quantity> {
        let first = self.facts.quantity(property)?;
        let Some((second, mounting)) = self.second else {
            return Some(first);
        };
        let second = second.quantity(property)?;
        let least = first.number.min(second.number);
        let number = if mounting == Token::Series {
            least.checked_mul(Decimal::TWO)?
        } else {
            least
        };
        Some(Quantity::new(number, first.dimension))
    }

    /// The new part's name in a sentence: its name on the shelf, or "the new part".
    pub fn called(&self) -> String {
        self.name
            .map_or_else(|| "the new part".into(), str::to_owned)
    }
}

/// The library's device of the type that the facts name.
fn device_of<'c, 'a>(case: &'c Case<'a>, facts: &Facts<'a>) -> Option<&'c Device<'a>> {
    case.library.device(facts.word(Property::Device)?)
}

/// The old part's value: as stated, else its type's.
fn old_value(case: &Case<'_>, old: &GoingBy<'_, '_>) -> Option<Quantity> {
    let of_type = || {
        case.library
            .device(old.word(Property::Device)?)?
            .facts
            .quantity(Property::Value)
    };
    old.quantity(Property::Value).or_else(of_type)
}

/// One place's new part, or the reason that it has none.
#[derive(Debug)]
pub enum Chosen<'c, 'a> {
    /// A part is planned.
    New(Box<Replacement<'c, 'a>>),
    /// Nothing goes in: the shelves that the plan leaves the choice to hold
    /// nothing that fits, or its line names nothing that exists.
    Nothing {
        /// The place, with the copies of which the same is true.
        place: PlaceId,
        /// Those copies.
        copies: Vec<u16>,
        /// The line of the plan.
        line: &'c PlanEntry<'a>,
        /// The nearest entries with what speaks against each.
        nearest: Vec<(EntryId, String)>,
    },
}

impl Chosen<'_, '_> {
    /// Whether its new part was exchanged with another place's.
    pub(crate) fn is_swapped(&self) -> bool {
        matches!(self, Chosen::New(replacement) if replacement.swapped_with.is_some())
    }

    /// The part whose place it is.
    pub fn part(&self) -> PartId {
        match self {
            Chosen::New(replacement) => replacement.place.part,
            Chosen::Nothing { place, .. } => place.part,
        }
    }
}

/// Every place that gets a new part, copies of which the same is true taken together.
pub fn replacements<'c, 'a>(case: &'c Case<'a>) -> Vec<Chosen<'c, 'a>> {
    replacements_on(case, |_| true)
}

/// The same for some of the boards.
pub(crate) fn replacements_on<'c, 'a>(
    case: &'c Case<'a>,
    is_wanted: impl Fn(BoardId) -> bool,
) -> Vec<Chosen<'c, 'a>> {
    let mut chosen = Vec::new();
    #[expect(
        clippy::mutable_key_type,
        reason = "what the case remembers of its solving is no part of a likeness"
    )]
    let mut alike: Alike<'c, 'a> = FxHashMap::default();
    let boards = case
        .boards
        .iter()
        .zip(0..)
        .map(|(board, id)| (board, BoardId(id)));
    let wanted = boards.filter(|(_, id)| is_wanted(*id));
    let mut parts: Vec<PartId> = wanted.flat_map(|(board, _)| board.parts.clone()).collect();
    parts.sort_unstable();
    for part in parts {
        type Group<'c, 'a> = (&'c PlanEntry<'a>, Option<u16>, Option<usize>, Vec<u16>);
        let mut groups: Vec<Group<'c, 'a>> = Vec::new();
        for decision in case.decisions.of_part(part) {
            let line = case.plan_line(decision.line);
            if !matches!(line.verb, PlanVerb::Replace | PlanVerb::Add) {
                continue;
            }
            let own = is_particular(case, decision.place).then_some(decision.place.copy);
            let fitted = as_fitted(case, decision.place, line);
            match groups
                .iter_mut()
                .find(|group| std::ptr::eq(group.0, line) && group.1 == own && group.2 == fitted)
            {
                Some(group) => group.3.push(decision.place.copy),
                None => groups.push((line, own, fitted, vec![decision.place.copy])),
            }
        }
        for (line, own, fitted, copies) in groups {
            let likeness = match own {
                None => Likeness::of(case, case.part(part), line, fitted),
                Some(_) => None,
            };
            let known = likeness.and_then(|likeness| alike.get(&likeness));
            let place = Wanted {
                case,
                part,
                copies,
                line,
                fitted,
            };
            if let Some((new, answered)) = known {
                let old = case.goes_by(place.first());
                let replacement = place.with(old, new.clone(), Some(answered.clone()));
                chosen.push(Chosen::New(Box::new(replacement)));
                continue;
            }
            let found = one(place);
            if let (Some(likeness), Some(Chosen::New(replacement))) = (likeness, &found)
                && let Some(answered) = &replacement.answered
            {
                alike.insert(likeness, (replacement.new.clone(), answered.clone()));
            }
            chosen.extend(found);
        }
    }
    for (one, other) in swaps::planned_pairs(&chosen) {
        for (index, partner) in [(one, other), (other, one)] {
            if let Some(Chosen::New(replacement)) = chosen.get_mut(index) {
                replacement.swapped_with = Some(partner);
            }
        }
    }
    chosen
}

/// The entry of the log by which the place holds another part than the plan
/// names for it: what is in goes before what is planned.
fn as_fitted(case: &Case<'_>, place: PlaceId, line: &PlanEntry<'_>) -> Option<usize> {
    let state = case.replay.place(place);
    if state.content != Content::New {
        return None;
    }
    let index = state.fitted?;
    let (with, _) = case.job.as_ref()?.fitted_with(index)?;
    let is_planned = with.len() == line.with.len()
        && with.iter().zip(&line.with).all(|pair| match pair {
            (NewPart::Entry { entry, .. }, NewPart::Entry { entry: planned, .. }) => {
                entry == planned
            }
            _ => false,
        });
    (!is_planned && !with.is_empty()).then_some(index)
}

/// Whether something is said of this copy that is not said of its siblings.
fn is_particular(case: &Case<'_>, place: PlaceId) -> bool {
    let part = case.part(place.part);
    part.claims
        .iter()
        .any(|claim| claim.copy == Some(place.copy))
        || part.go_by_here.iter().any(|row| row.0 == place.copy)
        || part
            .exceptions
            .iter()
            .any(|exception| exception.copies.contains(&place.copy))
}

/// What was chosen for places that are alike, and what the rules said of it.
type Alike<'c, 'a> = FxHashMap<Likeness<'c, 'a>, (NewSide<'c, 'a>, Answered)>;

/// A place that wants a new part, with the copies of which the same is true.
struct Wanted<'c, 'a> {
    case: &'c Case<'a>,
    part: PartId,
    /// Never empty.
    copies: Vec<u16>,
    line: &'c PlanEntry<'a>,
    fitted: Option<usize>,
}

impl<'c, 'a> Wanted<'c, 'a> {
    fn first(&self) -> PlaceId {
        PlaceId {
            part: self.part,
            copy: self.copies.first().copied().unwrap_or(0),
        }
    }

    /// The place with a new part in it.
    fn with(
        &self,
        old: GoingBy<'c, 'a>,
        new: NewSide<'c, 'a>,
        answered: Option<Answered>,
    ) -> Replacement<'c, 'a> {
        Replacement {
            case: self.case,
            place: self.first(),
            copies: self.copies.clone(),
            line: self.line,
            part: self.case.part(self.part),
            old,
            new,
            fitted: self.fitted,
            swapped_with: None,
            answered,
        }
    }
}

fn one<'c, 'a>(wanted: Wanted<'c, 'a>) -> Option<Chosen<'c, 'a>> {
    let Wanted {
        case, line, fitted, ..
    } = wanted;
    let old = case.goes_by(wanted.first());
    let in_place = fitted.and_then(|index| case.job.as_ref()?.fitted_with(index));
    let (parts, mounting) = in_place.unwrap_or((&line.with, line.mounting));
    if let Some(first) = parts.first() {
        let mut new = NewSide::of(case, first, old.kind);
        if let (Some(second), Some(mounting)) = (parts.get(1), mounting) {
            new.second = Some((NewSide::of(case, second, old.kind).facts, mounting));
        }
        let mut replacement = wanted.with(old, new, None);
        replacement.answered = Some(ask_each(&replacement));
        return Some(Chosen::New(Box::new(replacement)));
    }
    let asked = old_value(case, &old);
    let entries = line
        .from
        .iter()
        .flat_map(|shelf| &case.shelves[*shelf].entries);
    let related = entries
        .map(|entry| (*entry, NewSide::entry(case, *entry, line.origin)))
        .filter(|(_, new)| is_related(&old, new));
    let (mut near, mut far): (Vec<_>, Vec<_>) = related
        .map(|(entry, new)| (rank(case, asked, &old, &new), entry, new))
        .partition(|(_, _, new)| differs(asked, &old, new).is_none());
    let order = |one: &(Rank, EntryId, NewSide<'_, '_>),
                 other: &(Rank, EntryId, NewSide<'_, '_>)| {
        (one.0, one.1).cmp(&(other.0, other.1))
    };
    // The nearest first, so that few have to be judged.
    near.sort_by(order);
    let mut refused: Vec<(EntryId, String)> = Vec::new();
    for (_, entry, new) in near {
        let mut candidate = wanted.with(old.clone(), new, None);
        match ask_all(&candidate) {
            Ok(answered) => {
                candidate.answered = Some(answered);
                return Some(Chosen::New(Box::new(candidate)));
            }
            Err(objection) => refused.push((entry, candidate.name_in(&objection))),
        }
    }
    if refused.len() < MOST_REFUSED {
        far.sort_by(order);
        refused.extend(
            far.iter().filter_map(|(_, entry, new)| {
                Some((*entry, differs(asked, &old, new)?.in_words()))
            }),
        );
    }
    refused.truncate(MOST_REFUSED);
    Some(Chosen::Nothing {
        place: wanted.first(),
        copies: wanted.copies,
        line,
        nearest: refused,
    })
}

/// Most entries that are named where nothing fits.
const MOST_REFUSED: usize = 3;

/// What becomes of one place that gets a new part; none where the plan wants
/// something else of it.
pub fn replacement_at<'c, 'a>(case: &'c Case<'a>, place: PlaceId) -> Option<Chosen<'c, 'a>> {
    let line = case.plan_line(case.decision(place)?.line);
    if !matches!(line.verb, PlanVerb::Replace | PlanVerb::Add) {
        return None;
    }
    let fitted = as_fitted(case, place, line);
    one(Wanted {
        case,
        part: place.part,
        copies: vec![place.copy],
        line,
        fitted,
    })
}

/// The entries of the shelves of `line` that fit a place, best first.
pub fn fitting<'c, 'a>(
    case: &'c Case<'a>,
    place: PlaceId,
    line: &'c PlanEntry<'a>,
) -> Vec<Replacement<'c, 'a>> {
    let old = case.goes_by(place);
    let asked = old_value(case, &old);
    let entries = line
        .from
        .iter()
        .flat_map(|shelf| &case.shelves[*shelf].entries);
    let mut near: Vec<(Rank, EntryId, NewSide<'c, 'a>)> = entries
        .map(|entry| (*entry, NewSide::entry(case, *entry, line.origin)))
        .filter(|(_, new)| is_related(&old, new) && differs(asked, &old, new).is_none())
        .map(|(entry, new)| (rank(case, asked, &old, &new), entry, new))
        .collect();
    near.sort_by_key(|row| (row.0, row.1));
    near.into_iter()
        .map(|(_, _, new)| Replacement {
            case,
            place,
            copies: vec![place.copy],
            line,
            part: case.part(place.part),
            old: old.clone(),
            new,
            fitted: None,
            swapped_with: None,
            answered: None,
        })
        .filter(|candidate| objection(candidate).is_none())
        .collect()
}

/// Whether the kinds can stand in for each other.
pub(crate) fn is_related(old: &GoingBy<'_, '_>, new: &NewSide<'_, '_>) -> bool {
    let (Some(old), Some(new)) = (old.kind, new.kind) else {
        return false;
    };
    old == new || rules::polar_where_bipolar::may_stand_in(old, new)
}

/// What makes an entry not worth looking at for a place.
enum Differs<'c> {
    /// Its value and the place's are more than a factor of three apart.
    Value { new: Quantity, old: Quantity },
    /// It is of another type.
    Type { new: &'c str, old: &'c str },
    /// It has no type, and the place asks for this one.
    NoType(&'c str),
    /// It has no value, and the place asks for this one.
    NoValue(Quantity),
    /// It has this value, and the place has none.
    Unasked(Quantity),
}

impl Differs<'_> {
    fn in_words(&self) -> String {
        match self {
            Differs::Value { new, old } => {
                format!("it is {new}, and the place asks for {old}")
            }
            Differs::Type { new, old } => format!(
                "it is {}, and the place asks for {}",
                with_article(new),
                with_article(old)
            ),
            Differs::NoType(old) => format!(
                "its type is not given, and the place asks for {}",
                with_article(old)
            ),
            Differs::NoValue(old) => {
                format!("its value is not given, and the place asks for {old}")
            }
            Differs::Unasked(new) => {
                format!("it is {new}, and the place's value is not known")
            }
        }
    }
}

fn differs<'c>(
    asked: Option<Quantity>,
    old: &GoingBy<'_, 'c>,
    new: &NewSide<'_, 'c>,
) -> Option<Differs<'c>> {
    match (asked, new.value()) {
        (Some(old), Some(new)) => {
            let three = Decimal::from(3);
            let within = |less: Decimal, more: Decimal| {
                less.checked_mul(three).is_none_or(|most| more <= most)
            };
            let is_near = old.dimension == new.dimension
                && within(old.number, new.number)
                && within(new.number, old.number);
            (!is_near).then_some(Differs::Value { new, old })
        }
        (None, None) => match (old.word(Property::Device), new.facts.word(Property::Device)) {
            (Some(old), Some(new)) if old != new => Some(Differs::Type { new, old }),
            (Some(old), None) => Some(Differs::NoType(old)),
            _ => None,
        },
        (Some(old), None) => Some(Differs::NoValue(old)),
        (None, Some(new)) => Some(Differs::Unasked(new)),
    }
}

/// The first thing that speaks against a new part, in a sentence in which
/// `{place}` stands for the places.
pub(crate) fn objection(candidate: &Replacement<'_, '_>) -> Option<String> {
    let mut judges = rules::of_replacements().iter();
    judges.find_map(|(_, judge)| match judge(candidate) {
        Verdict::Failed(fault) if !fault.is_question => Some(fault.fact),
        _ => None,
    })
}

/// How well a part suits, least first: distance of the value, then of the
/// voltage, pitch and body from the old part's, then its price.
type Rank = (Decimal, Decimal, Decimal, Decimal, Decimal);

fn rank(
    case: &Case<'_>,
    asked: Option<Quantity>,
    old: &GoingBy<'_, '_>,
    new: &NewSide<'_, '_>,
) -> Rank {
    let apart = |old: Option<Decimal>, new: Option<Decimal>| match (old, new) {
        (Some(old), Some(new)) => old
            .checked_sub(new)
            .map_or(Decimal::MAX, |apart| apart.abs()),
        _ => Decimal::ZERO,
    };
    let number = |quantity: Option<Quantity>| quantity.map(|quantity| quantity.number);
    let price = new
        .entry
        .and_then(|entry| case.entry(entry).prices().next())
        .map_or(Decimal::ZERO, |price| price.money.amount);
    (
        apart(number(asked), number(new.value())),
        apart(
            number(old.quantity(Property::Volts)),
            number(new.volts(Property::Volts)),
        ),
        apart(
            old.millimetres(Property::Pitch),
            new.facts.millimetres(Property::Pitch),
        ),
        apart(old.body().map(diameter), new.facts.body().map(diameter)),
        price,
    )
}

fn diameter(body: retin_syntax::value::Body) -> Decimal {
    match body {
        retin_syntax::value::Body::Round { diameter, .. } => diameter,
        retin_syntax::value::Body::Box { length, .. } => length,
    }
}

impl<'c, 'a> Replacement<'c, 'a> {
    /// The old part's value: as stated, else its type's.
    pub fn old_value(&self) -> Option<Quantity> {
        old_value(self.case, &self.old)
    }

    /// The old part's type, where the library knows it.
    pub fn old_device(&self) -> Option<&'c Device<'a>> {
        self.case.library.device(self.old.word(Property::Device)?)
    }

    /// Whether old and new part are of one type.
    pub fn is_same_type(&self) -> bool {
        let old = self.old.word(Property::Device);
        old.is_some() && old == self.new.facts.word(Property::Device)
    }

    /// Whether the new part is of a kind that no other rule can compare with the
    /// old one. Capacitors are compared among themselves, and semiconductors.
    pub fn is_of_another_kind(&self) -> bool {
        let (Some(old), Some(new)) = (self.old.kind, self.new.kind) else {
            return false;
        };
        let together = |family: Token| old.is_covered_by(family) && new.is_covered_by(family);
        // Of transistors and chips `pin-order` tells what another one would do; a diode,
        // a zener and a led do not even stand in for one another.
        let is_diode = |kind: Kind| matches!(kind.row().leads, LeadSet::Diode | LeadSet::Bridge);
        let is_judged_by_leads = together(Token::Semiconductor) && !is_diode(old) && !is_diode(new);
        old != new && !together(Token::Capacitor) && !is_judged_by_leads
    }

    /// The places' names.
    pub fn subject(&self) -> String {
        self.case.names_of(self.place.part, &self.copies)
    }

    /// A sentence with the places' names filled in.
    pub fn name_in(&self, sentence: &str) -> String {
        told_of(sentence, &self.subject(), self.copies.len() == 1)
    }

    /// Every place it is true of.
    pub fn places(&self) -> impl Iterator<Item = PlaceId> + '_ {
        self.copies.iter().map(|copy| PlaceId {
            part: self.place.part,
            copy: *copy,
        })
    }
}
