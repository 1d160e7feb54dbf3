//! What to order for one job or several: their needs by part, with spares, less
//! what there is, and what is still to be found.

use super::{Piece, PiecePart, Purchase, Spares, Terms, is_closed, needs_of, pieces, total};
use crate::check::subject;
use crate::meaning::{Act, Case, Entry, EntryId, FactValue, Ordered, PlaceId};
use crate::replacement::Chosen;
use crate::typeset;
use retin_syntax::Span;
use retin_syntax::tables::{Kind, Property};
use retin_syntax::value::{Decimal, Money};

/// What one job still needs, with its own text, so that the job can be let go.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct JobNeeds {
    /// The job's number.
    pub job: String,
    /// Whether the unit went back, so that it needs nothing any more.
    pub is_closed: bool,
    /// What it takes from the shelves, in the order of the shelves.
    pub wants: Vec<Wanted>,
    /// What no shelf has.
    pub to_find: Vec<ToFind>,
}

/// How many of one entry a job takes.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Wanted {
    /// The entry.
    pub part: StockedPart,
    /// How many.
    pub count: u64,
    /// For which places, in words.
    pub places: String,
    /// How many of it the job's log has ordered and not seen come.
    pub ordered: Decimal,
}

/// An entry of a shelf, as the one who orders has to know it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct StockedPart {
    /// The shelf's file, and where the entry is named in it.
    pub at: (String, Span),
    /// The entry's name.
    pub name: String,
    /// Its kind.
    pub kind: Option<Kind>,
    /// What it is: value, ratings, body.
    pub what: Description,
    /// Who makes it.
    pub maker: Option<String>,
    /// In which drawer it lies.
    pub bin: Option<String>,
    /// How many are in the drawer; none where nobody counted them.
    pub have: Option<Decimal>,
    /// How many are on their way.
    pub coming: Decimal,
    /// How many the shelf wants beyond the need, where it says so.
    pub spare: Option<Decimal>,
    /// How it is sold.
    pub terms: Terms,
}

/// What a part is, in words.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Description {
    /// As the language writes it: `10uF 50V 5x11`.
    pub written: String,
    /// As print sets it.
    pub set: String,
}

/// A part that is planned and stands on no shelf.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ToFind {
    /// Its kind.
    pub kind: Option<Kind>,
    /// What it has to be.
    pub what: Description,
    /// Why it is on no shelf.
    pub reason: Reason,
    /// How many.
    pub count: u64,
    /// For which places, in words.
    pub places: String,
}

/// Why a part has to be found.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Reason {
    /// The plan describes it by its values.
    Described,
    /// The plan names nothing that exists.
    Unknown,
    /// The shelves that the plan leaves the choice to have nothing that fits;
    /// the nearest entries, each with what speaks against it.
    NothingFits(Vec<String>),
}

/// The share of one job in a line.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Share {
    /// The job's number.
    pub job: String,
    /// How many it needs.
    pub count: u64,
    /// For which places, in words.
    pub places: String,
}

/// One part of an order list.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Line {
    /// The entry.
    pub part: StockedPart,
    /// What each job needs of it, in the order of the jobs.
    pub shares: Vec<Share>,
    /// How many all need together.
    pub need: Decimal,
    /// How many are wanted beyond that.
    pub spares: Decimal,
    /// How many the logs have ordered and not seen come, beyond what the shelf
    /// says is on its way.
    pub ordered_unseen: Decimal,
    /// What to buy.
    pub purchase: Purchase,
}

/// A part to be found, for all jobs together.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Found {
    /// Its kind.
    pub kind: Option<Kind>,
    /// What it has to be.
    pub what: Description,
    /// Why it is on no shelf.
    pub reason: Reason,
    /// What each job needs of it.
    pub shares: Vec<Share>,
}

/// What to order.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct OrderList {
    /// The jobs, in the order given.
    pub jobs: Vec<String>,
    /// Every part that a job takes, by kind, then in the order of the shelves.
    pub lines: Vec<Line>,
    /// What has to be found, by kind.
    pub to_find: Vec<Found>,
    /// What is bought comes to this, for each currency.
    pub totals: Vec<Money>,
    /// How many of the parts that are bought have no price, and are in no total.
    pub unpriced: usize,
}

/// What one job still needs at the places that `takes` chooses; none where there
/// is no job. `chosen` are the job's [`replacements`](crate::replacement::replacements).
pub fn job_needs(
    case: &Case<'_>,
    chosen: &[Chosen<'_, '_>],
    takes: &dyn Fn(PlaceId) -> bool,
) -> Option<JobNeeds> {
    let job = case.job.as_ref()?;
    let mut told = JobNeeds {
        job: job.number.to_owned(),
        is_closed: is_closed(case),
        wants: Vec::new(),
        to_find: Vec::new(),
    };
    if told.is_closed {
        return Some(told);
    }
    let mut pieces = pieces(case, chosen);
    pieces.retain(|piece| takes(piece.place));
    told.wants = needs_of(&pieces)
        .into_iter()
        .map(|need| Wanted {
            part: stocked(case, case.entry(need.entry)),
            count: need.count,
            places: in_words(case, &need.places),
            ordered: ordered(case, need.entry),
        })
        .collect();
    told.to_find = to_find(case, &pieces);
    Some(told)
}

/// Places by board: `psu.C4; ch1..ch8.C7`.
fn in_words(case: &Case<'_>, places: &[PlaceId]) -> String {
    // No name has a blank in it.
    subject(case, places).replace(" and ", "; ")
}

fn stocked(case: &Case<'_>, entry: &Entry<'_>) -> StockedPart {
    let facts = &entry.facts;
    let device = facts
        .word(Property::Device)
        .and_then(|word| case.library.device(word));
    StockedPart {
        at: (
            case.sources.file(entry.origin.file).path.clone(),
            entry.origin.span,
        ),
        name: entry.name.clone(),
        kind: entry.kind.or_else(|| device?.kind),
        what: describe(|property| Some(&facts.get(property)?.value)),
        maker: facts.word(Property::Maker).map(str::to_owned),
        bin: facts.word(Property::Bin).map(str::to_owned),
        have: entry.have(),
        coming: facts.number(Property::Coming).unwrap_or_default(),
        spare: facts.number(Property::Spare),
        terms: Terms::of(entry),
    }
}

/// What has to be known of a part by whoever orders it.
const ASKED: &[Property] = &[
    Property::Device,
    Property::Value,
    Property::Current,
    Property::Volts,
    Property::AcVolts,
    Property::Power,
    Property::Tolerance,
    Property::FuseSpeed,
    Property::MainsClass,
    Property::Taper,
    Property::Package,
    Property::Body,
    Property::Pitch,
    Property::Temperature,
    Property::Style,
    Property::ShaftForm,
    Property::Shaft,
    Property::Travel,
    Property::Gangs,
];

fn describe<'f, 'a: 'f>(stated: impl Fn(Property) -> Option<&'f FactValue<'a>>) -> Description {
    let joined = |say: fn(&FactValue<'_>) -> Option<String>| {
        let words: Vec<String> = ASKED
            .iter()
            .filter_map(|property| {
                let value = say(stated(*property)?)?;
                // A length or a number alone would not say of what.
                Some(match property {
                    Property::Shaft => format!("shaft {value}"),
                    Property::Travel => format!("travel {value}"),
                    Property::Gangs => format!("gangs {value}"),
                    _ => value,
                })
            })
            .collect();
        words.join(" ")
    };
    Description {
        written: joined(|fact| fact.in_words()),
        set: joined(typeset::fact),
    }
}

/// How many of an entry the log has ordered and not seen come.
fn ordered(case: &Case<'_>, entry: EntryId) -> Decimal {
    let mut open = Decimal::ZERO;
    let of = |items: &[Ordered]| -> Vec<Option<Decimal>> {
        let mine = items.iter().filter(|item| item.entry == Some(entry));
        mine.map(|item| item.count).collect()
    };
    for (_, told) in case.job.iter().flat_map(|job| job.happened()) {
        match &told.act {
            Act::Ordered { items } => {
                for count in of(items).into_iter().flatten() {
                    open = open.saturating_add(count);
                }
            }
            Act::Arrived { items, .. } => {
                for count in of(items) {
                    // A parcel that nobody counted is taken for the whole order.
                    let came = count.unwrap_or(open);
                    open = open.saturating_sub(came).max(Decimal::ZERO);
                }
            }
            _ => {}
        }
    }
    open
}

fn to_find(case: &Case<'_>, pieces: &[Piece<'_, '_>]) -> Vec<ToFind> {
    let mut all: Vec<(ToFind, Vec<PlaceId>)> = Vec::new();
    for piece in pieces {
        let old = case.goes_by(piece.place);
        let (kind, what, reason) = match &piece.part {
            PiecePart::Entry(..) => continue,
            PiecePart::Described(kind, facts) => (
                kind.or(old.kind),
                describe(|property| Some(&facts.get(property)?.value)),
                Reason::Described,
            ),
            PiecePart::Nothing(line, nearest) => (
                old.kind,
                describe(|property| Some(&old.get(property)?.1.value)),
                if line.from.is_empty() {
                    Reason::Unknown
                } else {
                    let against = nearest.iter().map(|(entry, objection)| {
                        format!("{}: {objection}", case.entry(*entry).name)
                    });
                    Reason::NothingFits(against.collect())
                },
            ),
        };
        match all
            .iter_mut()
            .find(|(known, _)| known.kind == kind && known.what == what && known.reason == reason)
        {
            Some((known, places)) => {
                known.count += 1;
                places.push(piece.place);
            }
            None => {
                let found = ToFind {
                    kind,
                    what,
                    reason,
                    count: 1,
                    places: String::new(),
                };
                all.push((found, vec![piece.place]));
            }
        }
    }
    all.into_iter()
        .map(|(found, places)| ToFind {
            places: in_words(case, &places),
            ..found
        })
        .collect()
}

/// Merges what several jobs need, and reckons what to buy.
///
/// Spares are those `asked` for; else, entry by entry, those of the shelf; else
/// [`Spares::USUAL`]. A drawer that nobody counted is taken to be empty.
pub fn order_list(jobs: &[JobNeeds], asked: Option<Spares>) -> OrderList {
    let mut lines: Vec<(StockedPart, Vec<Share>, Decimal)> = Vec::new();
    let mut to_find: Vec<Found> = Vec::new();
    for job in jobs {
        for want in &job.wants {
            let share = Share {
                job: job.job.clone(),
                count: want.count,
                places: want.places.clone(),
            };
            match lines
                .iter_mut()
                .find(|(part, _, _)| part.at == want.part.at)
            {
                Some((_, shares, ordered)) => {
                    shares.push(share);
                    *ordered = ordered.saturating_add(want.ordered);
                }
                None => lines.push((want.part.clone(), vec![share], want.ordered)),
            }
        }
        for find in &job.to_find {
            let share = Share {
                job: job.job.clone(),
                count: find.count,
                places: find.places.clone(),
            };
            match to_find.iter_mut().find(|known| {
                known.kind == find.kind && known.what == find.what && known.reason == find.reason
            }) {
                Some(known) => known.shares.push(share),
                None => to_find.push(Found {
                    kind: find.kind,
                    what: find.what.clone(),
                    reason: find.reason.clone(),
                    shares: vec![share],
                }),
            }
        }
    }
    let by_kind = |kind: Option<Kind>| (kind.is_none(), kind);
    lines.sort_by(|(one, _, _), (other, _, _)| {
        (by_kind(one.kind), &one.at).cmp(&(by_kind(other.kind), &other.at))
    });
    to_find.sort_by_key(|found| by_kind(found.kind));
    let lines: Vec<Line> = lines
        .into_iter()
        .map(|(part, shares, ordered)| line(part, shares, ordered, asked))
        .collect();
    let mut totals: Vec<Money> = Vec::new();
    let mut unpriced = 0;
    for purchase in lines.iter().map(|line| &line.purchase) {
        match purchase.cost {
            Some(cost) => add(&mut totals, cost.sum),
            None if !purchase.quantity.is_zero() => unpriced += 1,
            None => {}
        }
    }
    totals.sort_by_key(|total| total.currency.code());
    OrderList {
        jobs: jobs.iter().map(|job| job.job.clone()).collect(),
        lines,
        to_find,
        totals,
        unpriced,
    }
}

fn line(part: StockedPart, shares: Vec<Share>, ordered: Decimal, asked: Option<Spares>) -> Line {
    let need = total(shares.iter().map(|share| share.count));
    let wanted = asked
        .or(part.spare.map(Spares::count))
        .unwrap_or(Spares::USUAL);
    let spares = wanted.of(need);
    let there = part.have.unwrap_or_default().saturating_add(part.coming);
    let missing = need.saturating_add(spares).saturating_sub(there);
    Line {
        purchase: part.terms.buy(missing),
        need,
        spares,
        ordered_unseen: ordered.saturating_sub(part.coming).max(Decimal::ZERO),
        shares,
        part,
    }
}

/// Adds money to the sum of its currency.
fn add(totals: &mut Vec<Money>, money: Money) {
    match totals
        .iter_mut()
        .find(|total| total.currency == money.currency)
    {
        Some(total) => total.amount = total.amount.saturating_add(money.amount),
        None => totals.push(money),
    }
}
