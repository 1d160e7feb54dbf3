//! How many of a part to buy: what is missing, in whole packs, and more of it
//! where more costs less.
//!
//! A price holds for every part of an order from its quantity on. So between two
//! such quantities the least number is the cheapest, and only few numbers have
//! to be compared: the least that will do, and each quantity with a price above
//! it. Of two numbers that cost the same the smaller one is bought, since what
//! lies in a drawer ages. *Common practice, no source.*

use crate::meaning::{Entry, Price};
use retin_syntax::tables::Property;
use retin_syntax::value::{Currency, Decimal, Money};

/// How many to buy beyond what is needed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Spares {
    /// A share of the need, rounded up to whole parts.
    pub share: Decimal,
    /// At least this many.
    pub at_least: Decimal,
}

impl Spares {
    /// A tenth of the need, and one at least. *Common practice, no source.*
    pub const USUAL: Spares = Spares {
        share: Decimal::from_parts(1, 0, 0, false, 1),
        at_least: Decimal::ONE,
    };

    /// None at all.
    pub const NONE: Spares = Spares::count(Decimal::ZERO);

    /// Always the same number.
    pub const fn count(count: Decimal) -> Spares {
        Spares {
            share: Decimal::ZERO,
            at_least: count,
        }
    }

    /// What is asked for in words: `none`, a number, or a percentage, of which
    /// one is the least.
    ///
    /// # Errors
    /// A sentence that says what may be written, where this is something else.
    pub fn read(text: &str) -> Result<Spares, String> {
        let refuse = || {
            format!(
                "`{text}` is no number of spares: write `none`, a number such as `2`, or a share such as `10%`"
            )
        };
        let number = |text: &str| {
            let text = text.trim();
            let is_plain = text
                .bytes()
                .all(|byte| byte.is_ascii_digit() || byte == b'.');
            text.parse::<Decimal>().ok().filter(|_| is_plain)
        };
        if text.trim() == "none" {
            return Ok(Spares::NONE);
        }
        match text.trim().strip_suffix('%') {
            Some(share) => {
                let share = number(share)
                    .filter(|share| *share <= Decimal::ONE_THOUSAND)
                    .ok_or_else(refuse)?;
                Ok(if share.is_zero() {
                    Spares::NONE
                } else {
                    Spares {
                        share: share / Decimal::ONE_HUNDRED,
                        at_least: Decimal::ONE,
                    }
                })
            }
            None => number(text)
                .filter(Decimal::is_integer)
                .map(Spares::count)
                .ok_or_else(refuse),
        }
    }

    /// How many spares go with so many that are needed; none where nothing is needed.
    pub fn of(self, need: Decimal) -> Decimal {
        if need.is_zero() {
            return Decimal::ZERO;
        }
        let share = need.checked_mul(self.share).unwrap_or(Decimal::ZERO);
        share.ceil().max(self.at_least)
    }
}

/// On which terms a part is sold.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Terms {
    /// How many come in a pack; one where nothing is written.
    pub pack: Decimal,
    /// The prices, in the order written.
    pub prices: Vec<Price>,
}

/// The price that holds for so many parts out of a drawer: that of the greatest
/// quantity that is not above, else, since they were bought together with others,
/// that of the least.
pub fn price_for(prices: impl Iterator<Item = Price>, count: Decimal) -> Option<Price> {
    prices.fold(None, |best: Option<Price>, price| match best {
        None => Some(price),
        Some(held) => {
            let is_better = if held.quantity > count {
                price.quantity < held.quantity
            } else {
                price.quantity <= count && price.quantity > held.quantity
            };
            Some(if is_better { price } else { held })
        }
    })
}

/// What one order of a part costs.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Cost {
    /// For one.
    pub each: Money,
    /// For all, exactly.
    pub sum: Money,
}

/// Why another number is bought than the one that is missing.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Why {
    /// It comes in packs of so many.
    Pack(Decimal),
    /// No smaller number has a price.
    Least(Decimal),
    /// It costs less than this smaller number, which would do, with its cost.
    Cheaper {
        /// The smaller number.
        than: Decimal,
        /// What it would cost.
        cost: Cost,
    },
}

/// What to buy of a part.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Purchase {
    /// How many; nought where nothing is missing.
    pub quantity: Decimal,
    /// What they cost; none where the shelf has no price, or nothing is bought.
    pub cost: Option<Cost>,
    /// Why so many.
    pub why: Vec<Why>,
}

impl Terms {
    /// The terms that a shelf states for an entry.
    pub fn of(entry: &Entry<'_>) -> Terms {
        let pack = entry.facts.number(Property::Pack);
        Terms {
            pack: pack
                .filter(|pack| *pack > Decimal::ONE)
                .unwrap_or(Decimal::ONE),
            prices: entry.prices().collect(),
        }
    }

    /// The currency that the part is bought in: that of the first price.
    pub fn currency(&self) -> Option<Currency> {
        self.usable().next().map(|price| price.money.currency)
    }

    /// Another currency that some prices are in: what cannot be compared is not.
    pub fn other_currency(&self) -> Option<Currency> {
        let mine = self.currency()?;
        self.usable()
            .map(|price| price.money.currency)
            .find(|currency| *currency != mine)
    }

    /// The prices that one can pay.
    fn usable(&self) -> impl Iterator<Item = &Price> {
        self.prices
            .iter()
            .filter(|price| !price.money.amount.is_sign_negative())
    }

    /// The prices that can be compared.
    fn compared(&self) -> impl Iterator<Item = &Price> {
        let mine = self.currency();
        self.usable()
            .filter(move |price| Some(price.money.currency) == mine)
    }

    /// What so many cost: the price of the greatest quantity that is not above;
    /// of two for the same quantity, the smaller one. None where no price
    /// reaches down so far, or the sum outgrows what is reckoned exactly.
    pub fn cost(&self, quantity: Decimal) -> Option<Cost> {
        let each = self
            .compared()
            .filter(|price| price.quantity <= quantity)
            .max_by(|one, other| {
                (one.quantity, other.money.amount).cmp(&(other.quantity, one.money.amount))
            })?
            .money;
        let amount = each.amount.checked_mul(quantity)?;
        Some(Cost {
            each,
            sum: Money { amount, ..each },
        })
    }

    /// The least number of whole packs that is no less.
    fn in_packs(&self, quantity: Decimal) -> Option<Decimal> {
        let rest = quantity.checked_rem(self.pack)?;
        if rest.is_zero() {
            return Some(quantity);
        }
        quantity.checked_add(self.pack.checked_sub(rest)?)
    }

    /// What to buy where so many are missing.
    pub fn buy(&self, missing: Decimal) -> Purchase {
        if missing <= Decimal::ZERO {
            return Purchase {
                quantity: Decimal::ZERO,
                cost: None,
                why: Vec::new(),
            };
        }
        let mut why = Vec::new();
        let least = self.compared().map(|price| price.quantity).min();
        let least = least.map_or(missing, |least| least.ceil().max(missing));
        if least > missing {
            why.push(Why::Least(least));
        }
        let enough = self.in_packs(least).unwrap_or(least);
        if enough > least {
            why.push(Why::Pack(self.pack));
        }
        let Some(cost) = self.cost(enough) else {
            return Purchase {
                quantity: enough,
                cost: None,
                why,
            };
        };
        let more = self
            .compared()
            .filter_map(|price| self.in_packs(price.quantity.ceil()))
            .filter(|quantity| *quantity > enough)
            .filter_map(|quantity| Some((quantity, self.cost(quantity)?)))
            .min_by_key(|(quantity, cost)| (cost.sum.amount, *quantity))
            .filter(|(_, more)| more.sum.amount < cost.sum.amount);
        match more {
            Some((quantity, more)) => {
                why.push(Why::Cheaper { than: enough, cost });
                Purchase {
                    quantity,
                    cost: Some(more),
                    why,
                }
            }
            None => Purchase {
                quantity: enough,
                cost: Some(cost),
                why,
            },
        }
    }
}
