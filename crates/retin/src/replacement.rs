//! A new part against its old place: what every such rule is given to look at.

use crate::finding::Verdict;
use crate::meaning::{Case, EntryId, Facts, GoingBy, NewPart, Part, PartId, PlaceId, PlanEntry};
use crate::rules::{self, Judge};
use crate::sources::Origin;
use retin_syntax::Token;
use retin_syntax::tables::{Kind, PlanVerb, Property};
use retin_syntax::value::{Decimal, Quantity};

/// A place that gets a new part, on all the copies of which the same is true.
#[derive(Debug)]
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
}

/// What goes in.
#[derive(Clone, Debug)]
pub struct NewSide<'c, 'a> {
    /// The shelf entry, where it is one.
    pub entry: Option<EntryId>,
    /// Its name on the shelf.
    pub name: Option<&'c str>,
    /// Its kind; the old part's where the plan says no other.
    pub kind: Option<Kind>,
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
        NewSide {
            entry: Some(id),
            name: Some(&entry.name),
            kind: entry.kind,
            facts: &entry.facts,
            origin,
            described: entry.line,
            second: None,
        }
    }

    fn of(case: &'c Case<'a>, part: &'c NewPart<'a>, old_kind: Option<Kind>) -> Self {
        match part {
            NewPart::Entry { entry, origin } => NewSide::entry(case, *entry, *origin),
            NewPart::Described { kind, facts, origin } => NewSide {
                entry: None,
                name: None,
                kind: kind.or(old_kind),
                facts,
                origin: *origin,
                described: *origin,
                second: None,
            },
        }
    }

    /// The value that stands in the place in the end: two parts together have one.
    pub fn value(&self) -> Option<Quantity> {
        let first = self.facts.quantity(Property::Value)?;
        let Some((second, mounting)) = self.second else {
            return Some(first);
        };
        let second = second.quantity(Property::Value)?;
        if first.dimension != second.dimension {
            return None;
        }
        let is_capacitor = self.kind.is_some_and(|kind| kind.is_covered_by(Token::Capacitor));
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
        let number = if mounting == Token::Series { least.checked_mul(Decimal::TWO)? } else { least };
        Some(Quantity::new(number, first.dimension))
    }

    /// The new part's name in a sentence: its name on the shelf, or "the new part".
    pub fn called(&self) -> String {
        self.name.map_or_else(|| "the new part".into(), str::to_owned)
    }
}

/// One place's new part, or the reason that it has none.
#[derive(Debug)]
pub enum Chosen<'c, 'a> {
    /// A part is planned.
    New(Box<Replacement<'c, 'a>>),
    /// The plan leaves the choice to a shelf on which nothing fits.
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

/// Every place that gets a new part, copies of which the same is true taken together.
pub fn replacements<'c, 'a>(case: &'c Case<'a>) -> Vec<Chosen<'c, 'a>> {
    let mut chosen = Vec::new();
    for same_part in case.decisions.chunk_by(|one, other| one.place.part == other.place.part) {
        let part = same_part[0].place.part;
        let mut groups: Vec<(&PlanEntry<'a>, Option<u16>, Vec<u16>)> = Vec::new();
        for decision in same_part {
            let line = case.plan_line(decision.line);
            if !matches!(line.verb, PlanVerb::Replace | PlanVerb::Add) {
                continue;
            }
            let own = is_particular(case, decision.place).then_some(decision.place.copy);
            match groups.iter_mut().find(|group| std::ptr::eq(group.0, line) && group.1 == own) {
                Some(group) => group.2.push(decision.place.copy),
                None => groups.push((line, own, vec![decision.place.copy])),
            }
        }
        for (line, _, copies) in groups {
            chosen.extend(one(case, part, copies, line));
        }
    }
    chosen
}

/// Whether something is said of this copy that is not said of its siblings.
fn is_particular(case: &Case<'_>, place: PlaceId) -> bool {
    let part = case.part(place.part);
    part.claims.iter().any(|claim| claim.copy == Some(place.copy))
        || part.exceptions.iter().any(|exception| exception.copies.contains(&place.copy))
}

fn one<'c, 'a>(case: &'c Case<'a>, part: PartId, copies: Vec<u16>, line: &'c PlanEntry<'a>) -> Option<Chosen<'c, 'a>> {
    let place = PlaceId { part, copy: *copies.first()? };
    let old = case.goes_by(place);
    let part = case.part(part);
    let with = |new: NewSide<'c, 'a>, copies: Vec<u16>, old: GoingBy<'c, 'a>| Replacement { case, place, copies, line, part, old, new };
    if let Some(first) = line.with.first() {
        let mut new = NewSide::of(case, first, old.kind);
        if let (Some(second), Some(mounting)) = (line.with.get(1), line.mounting) {
            new.second = Some((NewSide::of(case, second, old.kind).facts, mounting));
        }
        return Some(Chosen::New(Box::new(with(new, copies, old))));
    }
    let candidates = line.from.iter().flat_map(|shelf| &case.shelves[*shelf].entries);
    let mut best: Option<(Rank, Replacement<'c, 'a>)> = None;
    let mut refused: Vec<(Rank, EntryId, String)> = Vec::new();
    for &entry in candidates {
        let new = NewSide::entry(case, entry, line.origin);
        if !is_candidate(&old, &new) {
            continue;
        }
        let candidate = with(new, copies.clone(), old.clone());
        let rank = rank(&candidate);
        match objection(&candidate) {
            Some(objection) => refused.push((rank, entry, objection)),
            None => {
                if best.as_ref().is_none_or(|(held, _)| rank < *held) {
                    best = Some((rank, candidate));
                }
            }
        }
    }
    if let Some((_, best)) = best {
        return Some(Chosen::New(Box::new(best)));
    }
    if line.from.is_empty() {
        return None;
    }
    refused.sort_by(|one, other| one.0.cmp(&other.0).then(one.1.cmp(&other.1)));
    refused.truncate(3);
    let nearest = refused.into_iter().map(|(_, entry, objection)| (entry, objection)).collect();
    Some(Chosen::Nothing { place, copies, line, nearest })
}

/// Whether an entry is worth looking at for a place: the kinds can stand in for
/// each other and the values are within a factor of three.
fn is_candidate(old: &GoingBy<'_, '_>, new: &NewSide<'_, '_>) -> bool {
    let (Some(old_kind), Some(new_kind)) = (old.kind, new.kind) else {
        return false;
    };
    if old_kind != new_kind && !rules::polar_where_bipolar::may_stand_in(old_kind, new_kind) {
        return false;
    }
    match (old.quantity(Property::Value), new.value()) {
        (Some(old), Some(new)) => {
            let three = Decimal::from(3);
            old.dimension == new.dimension && new.number <= old.number * three && new.number * three >= old.number
        }
        (None, None) => match (old.word(Property::Device), new.facts.word(Property::Device)) {
            (Some(old), Some(new)) => old == new,
            _ => true,
        },
        _ => false,
    }
}

/// The first thing that speaks against a new part, in a sentence.
fn objection(candidate: &Replacement<'_, '_>) -> Option<String> {
    rules::RULES.iter().find_map(|rule| match rule.judge {
        Judge::Replacement(judge) => match judge(candidate) {
            Verdict::Failed(fault) if !fault.is_question => Some(candidate.name_in(&fault.fact)),
            _ => None,
        },
        _ => None,
    })
}

/// How well a part suits, least first: distance of the value, then of the
/// voltage, pitch and body from the old part's, then its price.
type Rank = (Decimal, Decimal, Decimal, Decimal, Decimal);

fn rank(candidate: &Replacement<'_, '_>) -> Rank {
    let apart = |old: Option<Decimal>, new: Option<Decimal>| match (old, new) {
        (Some(old), Some(new)) => (old - new).abs(),
        _ => Decimal::ZERO,
    };
    let number = |quantity: Option<Quantity>| quantity.map(|quantity| quantity.number);
    let new = &candidate.new;
    let price = new
        .entry
        .and_then(|entry| candidate.case.entry(entry).prices().next())
        .map_or(Decimal::ZERO, |price| price.money.amount);
    (
        apart(number(candidate.old.quantity(Property::Value)), number(new.value())),
        apart(number(candidate.old.quantity(Property::Volts)), number(new.volts(Property::Volts))),
        apart(candidate.old.millimetres(Property::Pitch), new.facts.millimetres(Property::Pitch)),
        apart(candidate.old.body().map(diameter), new.facts.body().map(diameter)),
        price,
    )
}

fn diameter(body: retin_syntax::value::Body) -> Decimal {
    match body {
        retin_syntax::value::Body::Round { diameter, .. } => diameter,
        retin_syntax::value::Body::Box { length, .. } => length,
    }
}

impl Replacement<'_, '_> {
    /// The places' names.
    pub fn subject(&self) -> String {
        self.case.names_of(self.place.part, &self.copies)
    }

    /// A sentence with the places' names filled in.
    pub fn name_in(&self, sentence: &str) -> String {
        sentence.replace("{place}", &self.subject())
    }

    /// Every place it is true of.
    pub fn places(&self) -> impl Iterator<Item = PlaceId> + '_ {
        self.copies.iter().map(|copy| PlaceId { part: self.place.part, copy: *copy })
    }
}
