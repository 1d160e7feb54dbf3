//! Hours and money so far, against what the owner approved.

use super::{Telling, fitted, heading, paragraph, table};
use crate::meaning::{Act, FactValue};
use crate::sheets::document::{Block, Cell, Width, Words};
use crate::time::minutes::in_words;
use crate::typeset;
use crate::words::{counted, listed};
use retin_syntax::tables::Property;
use retin_syntax::value::{Date, Decimal, Money, Value};

/// What the work and the parts come to so far.
pub(super) struct Bill {
    /// The parts that are in, by currency.
    parts: Vec<Money>,
    /// How many sorts of part have no price.
    unpriced: usize,
    /// For an hour.
    rate: Option<Money>,
    /// By the log.
    minutes: u64,
    /// The hours at the rate, rounded to hundredths.
    work: Option<Money>,
}

impl Bill {
    pub(super) fn of(telling: &Telling<'_, '_, '_>) -> Bill {
        let mut parts: Vec<Money> = Vec::new();
        let mut unpriced = 0;
        for used in fitted::used(telling) {
            match used.sum() {
                Some(sum) => add(&mut parts, sum),
                None => unpriced += 1,
            }
        }
        let rate = telling.job.facts.get(Property::Rate);
        let rate = rate.and_then(|fact| match fact.value {
            FactValue::Value(Value::Money(money)) => Some(money),
            _ => None,
        });
        let minutes = telling.replay.minutes_worked();
        let work = rate.and_then(|rate| {
            let cost = Decimal::from(minutes).checked_mul(rate.amount)?;
            let amount = cost.checked_div(Decimal::from(60))?.round_dp(2);
            Some(Money { amount, ..rate })
        });
        Bill {
            parts,
            unpriced,
            rate,
            minutes,
            work,
        }
    }

    /// Parts and work together, by currency.
    fn sums(&self) -> Vec<Money> {
        let mut sums = self.parts.clone();
        if let Some(work) = self.work {
            add(&mut sums, work);
        }
        sums
    }

    /// Whether something is missing that would make it more.
    fn is_open(&self) -> bool {
        self.unpriced > 0 || (self.work.is_none() && self.minutes > 0)
    }

    /// The sums in words: "more than 312.40 EUR".
    fn in_words(&self) -> String {
        let sums: Vec<String> = self.sums().into_iter().map(typeset::money).collect();
        let more = if self.is_open() { "more than " } else { "" };
        if sums.is_empty() && self.minutes == 0 && self.unpriced == 0 {
            "nothing".to_owned()
        } else if sums.is_empty() {
            "not known".to_owned()
        } else {
            format!("{more}{}", listed(&sums))
        }
    }

    /// What it comes to against the last approval, in a few words.
    pub(super) fn in_short(&self, telling: &Telling<'_, '_, '_>) -> String {
        let agreed = telling
            .job
            .approval()
            .map_or("nothing is written down as agreed".to_owned(), |approval| {
                format!("{} agreed", typeset::money(approval.money))
            });
        format!("{} so far by the log; {agreed}", self.in_words())
    }
}

/// Adds money to the sum of its currency.
fn add(sums: &mut Vec<Money>, money: Money) {
    match sums.iter_mut().find(|sum| sum.currency == money.currency) {
        Some(sum) => sum.amount = sum.amount.saturating_add(money.amount),
        None => sums.push(money),
    }
}

pub(super) fn money(telling: &Telling<'_, '_, '_>, blocks: &mut Vec<Block>) {
    blocks.push(heading(1, "Hours and money"));
    let bill = Bill::of(telling);
    let days = days(telling);
    if !days.is_empty() {
        blocks.push(table(
            &[
                ("day", Width::Content, false),
                ("hours by the log", Width::Content, true),
                ("who", Width::Share(1.0), false),
            ],
            days,
        ));
    }
    let mut facts: Vec<(String, Words)> = Vec::new();
    let mut tell = |name: &str, says: Words| facts.push((name.to_owned(), says));
    let hours = if bill.minutes == 0 {
        "the log shows none".to_owned()
    } else {
        in_words(Decimal::from(bill.minutes) * Decimal::from(60))
    };
    tell("hours", hours.into());
    match (bill.rate, bill.work) {
        (Some(rate), Some(work)) => {
            tell("rate", format!("{} an hour", typeset::money(rate)).into());
            tell("work", typeset::money(work).into());
        }
        (Some(rate), None) => tell("rate", format!("{} an hour", typeset::money(rate)).into()),
        (None, _) => tell(
            "rate",
            "none is written down, so the work is in no sum".into(),
        ),
    }
    let parts: Vec<String> = bill.parts.iter().copied().map(typeset::money).collect();
    let mut says = if parts.is_empty() {
        "none with a price".to_owned()
    } else {
        listed(&parts)
    };
    if bill.unpriced > 0 {
        let without = counted(bill.unpriced, "sort of part has", "sorts of part have");
        says.push_str(&format!("; {without} no price and are in no sum"));
    }
    tell("parts", says.into());
    tell("together", Words::strong(bill.in_words()));
    approvals(telling, &bill, &mut tell);
    blocks.push(Block::Facts(facts));
    blocks.push(paragraph(
        "The hours are those between the entries of the log on one day, and no more: what came before the first entry of a day is not in them. Parts are reckoned at the shelf's prices. Taxes and carriage are not in it.",
    ));
}

fn approvals(telling: &Telling<'_, '_, '_>, bill: &Bill, tell: &mut dyn FnMut(&str, Words)) {
    let approval = telling.job.approval();
    tell(
        "agreed",
        match approval {
            Some(approval) => {
                let on = approval
                    .on
                    .map_or(String::new(), |date| format!(" on {date}"));
                format!("{}{on}", typeset::money(approval.money)).into()
            }
            None => "nothing is written down".into(),
        },
    );
    for (index, entry) in telling.job.happened() {
        if let Act::Approved { money } = &entry.act {
            let money = money.map_or("more work".to_owned(), typeset::money);
            let words: Vec<String> = entry.texts.iter().map(|text| format!("“{text}”")).collect();
            let says = format!("{money}{} {}", telling.on_day(index), words.join(" "));
            tell("approved", says.trim_end().into());
        }
    }
    let Some(approval) = approval else {
        return;
    };
    let agreed = approval.money;
    let sums = bill.sums();
    let spent = match sums.as_slice() {
        [] => Decimal::ZERO,
        [sum] if sum.currency == agreed.currency => sum.amount,
        _ => {
            let apart =
                "not all of it is in the currency that was agreed in, and cannot be set against it";
            tell("left of it", apart.into());
            return;
        }
    };
    let left = agreed.amount.saturating_sub(spent);
    let amount = |amount: Decimal| {
        typeset::money(Money {
            amount: amount.abs(),
            ..agreed
        })
    };
    if left.is_sign_negative() && !left.is_zero() {
        tell(
            "over it",
            Words::strong(format!("{} more than was agreed", amount(left))),
        );
    } else {
        let most = if bill.is_open() { "at most " } else { "" };
        tell("left of it", format!("{most}{}", amount(left)).into());
    }
}

/// The days of the log, with the time between their entries and who was at work.
fn days(telling: &Telling<'_, '_, '_>) -> Vec<Vec<Cell>> {
    let mut days: Vec<(Date, u64, Vec<&str>, bool)> = Vec::new();
    for (index, entry) in telling.job.log.iter().enumerate() {
        let Some(date) = entry.date else {
            continue;
        };
        let minutes = telling.replay.minutes.get(index).copied().flatten();
        let minutes = u64::from(minutes.unwrap_or(0));
        if days.last().is_none_or(|day| day.0 != date) {
            days.push((date, 0, Vec::new(), false));
        }
        if let Some(day) = days.last_mut() {
            day.1 += minutes;
            match entry.by {
                Some(by) if !day.2.contains(&by) => day.2.push(by),
                Some(_) => {}
                None => day.3 = true,
            }
        }
    }
    days.into_iter()
        .map(|(date, minutes, mut who, is_unsigned)| {
            if is_unsigned {
                who.push("without initials");
            }
            let time = if minutes == 0 {
                "none shown".to_owned()
            } else {
                in_words(Decimal::from(minutes) * Decimal::from(60))
            };
            vec![date.to_string().into(), time.into(), who.join(", ").into()]
        })
        .collect()
}
