//! More planned than the owner agreed to pay.

use super::{Judge, Rule};
use crate::check::{Answers, Choices};
use crate::finding::{Fault, Verdict};
use crate::meaning::{Approval, Case, EntryId, FactValue, Facts, Job, NewPart, Price};
use crate::replacement::Chosen;
use crate::shop::{comes_with_whole, price_for};
use crate::stage::Stage;
use crate::time::minutes::{Duration, duration, in_words};
use retin_syntax::tables::{PlanVerb, Property};
use retin_syntax::value::{Decimal, Money, Value};

pub(super) const RULE: Rule = Rule {
    name: "over-approval",
    at: Stage::Order,
    summary: "planned parts and hours come to more than the owner agreed to",
    page: include_str!("over_approval.md"),
    judge: Judge::Choice(judge),
};

/// Money that is known of, and the first fact that is missing for the rest.
#[derive(Default)]
struct Bill {
    sum: Decimal,
    missing: Option<&'static str>,
}

impl Bill {
    fn lacks(&mut self, fact: &'static str) {
        self.missing.get_or_insert(fact);
    }

    /// Adds `count` at the price of one; other money than was agreed in cannot be added.
    fn add(&mut self, count: Decimal, price: Money, agreed: Money) {
        if price.currency != agreed.currency {
            self.lacks("prices and a rate in the currency that was agreed in");
            return;
        }
        let sum = count
            .checked_mul(price.amount)
            .and_then(|cost| self.sum.checked_add(cost));
        match sum {
            Some(sum) => self.sum = sum,
            None => self.lacks("a sum within reach of arithmetic"),
        }
    }
}

fn judge(case: &Case<'_>, choices: &Choices<'_, '_, '_>, answers: &mut Answers<'_, '_>) {
    let chosen = choices.chosen;
    answers.answer(&[], verdict(case, chosen));
}

fn verdict(case: &Case<'_>, chosen: &[Chosen<'_, '_>]) -> Verdict {
    let Some(job) = case.job.as_ref().filter(|_| !case.plan.is_empty()) else {
        return Verdict::NotApplicable;
    };
    let Some(approval) = job.approval() else {
        return Verdict::lacks("what the owner agreed to, `agreed 450 EUR on 2026-10-05`");
    };
    let agreed = approval.money;
    let parts = parts(case, chosen, agreed);
    let work = work(case, job, agreed);
    let together = parts.sum.saturating_add(work.sum);
    if together > agreed.amount {
        return Verdict::failed(excess(case, job, &approval, &parts, &work, together));
    }
    match parts.missing.or(work.missing) {
        Some(fact) => Verdict::lacks(fact),
        None => Verdict::Passed,
    }
}

fn excess(
    case: &Case<'_>,
    job: &Job<'_>,
    approval: &Approval,
    parts: &Bill,
    work: &Bill,
    together: Decimal,
) -> Fault {
    let money = |amount: Decimal| Money {
        amount: amount.normalize(),
        currency: approval.money.currency,
    };
    let on = approval
        .on
        .map_or(String::new(), |date| format!(" on {}", date.0));
    let at_least = if parts.missing.or(work.missing).is_some() {
        "at least "
    } else {
        ""
    };
    let mut fault = Fault::new(
        approval.origin,
        format!(
            "the plan comes to {at_least}{}, {} in parts and {} in work, and the owner agreed to {}{on}",
            money(together),
            money(parts.sum),
            money(work.sum),
            approval.money
        ),
        "work beyond what was approved is work the owner need not pay for",
        "plan less, or ask the owner first and write the new approval below the old one, with its date",
    )
    .values(format!("{} over {}", money(together), approval.money));
    if let Some(rate) = job.facts.origin(Property::Rate) {
        fault = fault.with(rate, "the rate");
    }
    for step in &job.steps {
        let duration = duration(case, step);
        let time = in_words(duration.seconds);
        if duration.is_written {
            fault = fault.with(step.origin, format!("{}: {time}", step.name));
        } else if !duration.seconds.is_zero() {
            fault = fault.with(step.origin, format!("{}: {time} by the minutes", step.name));
        }
    }
    fault
}

fn parts(case: &Case<'_>, chosen: &[Chosen<'_, '_>], agreed: Money) -> Bill {
    let mut bill = Bill::default();
    // How many of each entry: the price of one depends on it.
    let mut counts: Vec<u32> = vec![0; case.entries.len()];
    let entry = |id: EntryId, count: u32, counts: &mut Vec<u32>| counts[id.0 as usize] += count;
    for chosen in chosen {
        match chosen {
            Chosen::New(replacement) => {
                if comes_with_whole(case, replacement.place) {
                    continue;
                }
                let count = replacement.copies.len() as u32;
                if replacement.line.with.is_empty()
                    && let Some(id) = replacement.new.entry
                {
                    entry(id, count, &mut counts);
                }
                for part in &replacement.line.with {
                    match part {
                        NewPart::Entry { entry: id, .. } => entry(*id, count, &mut counts),
                        NewPart::Described { facts, .. } => add(&mut bill, facts, count, agreed),
                    }
                }
            }
            Chosen::Nothing { .. } => bill.lacks("a part for every place that gets a new one"),
        }
    }
    for line in case
        .plan
        .iter()
        .filter(|line| line.verb == PlanVerb::Socket)
    {
        let count = line.selector.places.len() as u32;
        for part in &line.with {
            match part {
                NewPart::Entry { entry: id, .. } => entry(*id, count, &mut counts),
                NewPart::Described { facts, .. } => add(&mut bill, facts, count, agreed),
            }
        }
    }
    for (entry, count) in case.entries.iter().zip(counts) {
        if count > 0 {
            add(&mut bill, &entry.facts, count, agreed);
        }
    }
    bill
}

/// Adds parts at the price that holds for so many; fewer than the least
/// quantity with a price cost that price each.
fn add(bill: &mut Bill, facts: &Facts<'_>, count: u32, agreed: Money) {
    let count = Decimal::from(count);
    let prices = facts.iter().filter_map(|fact| match fact.value {
        FactValue::Price { quantity, money } => Some(Price { quantity, money }),
        _ => None,
    });
    match price_for(prices, count) {
        Some(price) => bill.add(count, price.money, agreed),
        None => bill.lacks("the price of every part that is planned"),
    }
}

fn work(case: &Case<'_>, job: &Job<'_>, agreed: Money) -> Bill {
    let mut bill = Bill::default();
    let durations: Vec<Duration> = job.steps.iter().map(|step| duration(case, step)).collect();
    if durations.is_empty() || durations.iter().any(|duration| duration.missing.is_some()) {
        bill.lacks("the hours of every step");
    }
    let rate = job
        .facts
        .get(Property::Rate)
        .and_then(|fact| match fact.value {
            FactValue::Value(Value::Money(money)) => Some(money),
            _ => None,
        });
    let Some(rate) = rate else {
        bill.lacks("the money for an hour of work, `rate 60 EUR`");
        return bill;
    };
    let seconds = durations.iter().fold(Decimal::ZERO, |sum, duration| {
        sum.saturating_add(duration.seconds)
    });
    // Multiplied first: twenty minutes are a third of an hour, and not 0.3333.
    let cost = seconds
        .checked_mul(rate.amount)
        .map(|cost| (cost / Decimal::from(3600)).round_dp(2));
    match cost {
        Some(amount) => bill.add(Decimal::ONE, Money { amount, ..rate }, agreed),
        None => bill.lacks("hours and a rate within reach of arithmetic"),
    }
    bill
}
