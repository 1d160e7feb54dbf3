//! The parts that are in, and what they cost.

use super::{Telling, heading, kinds, paragraph, table};
use crate::meaning::{EntryId, FactValue, Facts, NewPart, PlaceId, Price};
use crate::sheets::document::{Block, Cell, Width, Words};
use crate::shop::{comes_with_whole, price_for};
use crate::time::Content;
use crate::typeset;
use retin_syntax::tables::{Kind, Property};
use retin_syntax::value::{Decimal, Money};

/// Parts of one sort that are in.
pub(super) struct Used {
    /// The name on the shelf, where it has one.
    name: String,
    kind: Option<Kind>,
    what: String,
    count: u64,
    each: Option<Money>,
}

impl Used {
    /// What all of them cost.
    pub(super) fn sum(&self) -> Option<Money> {
        let each = self.each?;
        let amount = each.amount.checked_mul(Decimal::from(self.count))?;
        Some(Money { amount, ..each })
    }
}

/// What sits in places, as parts of one sort.
enum Sort<'f, 'a> {
    Entry(EntryId),
    Described(Option<Kind>, &'f Facts<'a>),
}

/// The parts that the log put in and that are still in, by sort; each at the
/// price for so many.
pub(super) fn used(telling: &Telling<'_, '_, '_>) -> Vec<Used> {
    let case = telling.case;
    let mut used: Vec<Used> = Vec::new();
    let mut take = |sort: &Sort<'_, '_>| {
        let (name, kind, facts) = match sort {
            Sort::Entry(id) => {
                let entry = case.entry(*id);
                (entry.name.as_str(), entry.kind, &entry.facts)
            }
            Sort::Described(kind, facts) => ("", *kind, *facts),
        };
        let what = in_words(facts);
        let known = used
            .iter()
            .position(|used| used.name == name && used.what == what && used.kind == kind);
        let at = known.unwrap_or_else(|| {
            used.push(Used {
                name: name.to_owned(),
                kind,
                what,
                count: 0,
                each: None,
            });
            used.len() - 1
        });
        let used = &mut used[at];
        used.count += 1;
        let prices = facts.iter().filter_map(|fact| match fact.value {
            FactValue::Price { quantity, money } => Some(Price { quantity, money }),
            _ => None,
        });
        used.each = price_for(prices, used.count.into()).map(|price| price.money);
    };
    for place in case.places() {
        let state = telling.replay.place(place);
        if let Some(entry) = state.fitted
            && state.content == Content::New
            && !comes_with_whole(case, place)
        {
            for sort in put_in(telling, place, entry, false) {
                take(&sort);
            }
        }
        if let Some(entry) = state.socketed {
            for sort in put_in(telling, place, entry, true) {
                take(&sort);
            }
        }
    }
    used.sort_by_key(|used| (used.kind.is_none(), used.kind));
    used
}

/// What an entry of the log put into a place: as it says, else as it is planned.
fn put_in<'t, 'a>(
    telling: &'t Telling<'_, '_, 'a>,
    place: PlaceId,
    entry: usize,
    is_socket: bool,
) -> Vec<Sort<'t, 'a>> {
    let kind = telling.case.goes_by(place).kind;
    let sort = |part: &'t NewPart<'a>| match part {
        NewPart::Entry { entry, .. } => Sort::Entry(*entry),
        NewPart::Described {
            kind: own, facts, ..
        } => Sort::Described(own.or(kind), facts),
    };
    let told = telling.job.fitted_with(entry);
    let told = told.map_or(&[][..], |(with, _)| with.as_slice());
    if !told.is_empty() {
        return told.iter().map(sort).collect();
    }
    let decision = telling.case.decision(place);
    if is_socket {
        let line = decision
            .and_then(|decision| decision.socket)
            .map(|line| telling.case.plan_line(line));
        return line.map_or(Vec::new(), |line| line.with.iter().map(sort).collect());
    }
    match telling.new.get(&place) {
        Some(replacement) if replacement.line.with.is_empty() => {
            replacement.new.entry.map(Sort::Entry).into_iter().collect()
        }
        Some(replacement) => replacement.line.with.iter().map(sort).collect(),
        None => Vec::new(),
    }
}

fn in_words(facts: &Facts<'_>) -> String {
    const TOLD: &[Property] = &[
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
        Property::Temperature,
    ];
    let words: Vec<String> = TOLD
        .iter()
        .filter_map(|property| typeset::fact(&facts.get(*property)?.value))
        .collect();
    words.join(" ")
}

pub(super) fn fitted(telling: &Telling<'_, '_, '_>, blocks: &mut Vec<Block>) {
    blocks.push(heading(1, "Parts used"));
    let used = used(telling);
    if used.is_empty() {
        blocks.push(paragraph("None are in yet, by the log."));
        return;
    }
    let row = |used: &Used| -> Vec<Cell> {
        let money = |money: Option<Money>| money.map_or(String::new(), typeset::money);
        let mut what = vec![Words::plain(kinds::one(used.kind))];
        if !used.what.is_empty() {
            what.push(used.what.clone().into());
        }
        let each = if used.each.is_none() {
            "no price".to_owned()
        } else {
            money(used.each)
        };
        vec![
            used.count.to_string().into(),
            Cell::Lines(what),
            used.name.clone().into(),
            each.into(),
            money(used.sum()).into(),
        ]
    };
    blocks.push(table(
        &[
            ("count", Width::Content, true),
            ("part", Width::Share(1.0), false),
            ("from the shelf", Width::Content, false),
            ("each", Width::Content, true),
            ("sum", Width::Content, true),
        ],
        used.iter().map(row).collect(),
    ));
}
