//! What holds of every purchase, against a search through all quantities.

use super::{Purchase, Spares, Terms, Why};
use crate::meaning::Price;
use proptest::prelude::*;
use retin_syntax::value::{Currency, Decimal, Money};

fn euro(cents: i64) -> Money {
    Money {
        amount: Decimal::new(cents, 2),
        currency: Currency::EUR,
    }
}

fn terms(pack: u32, prices: &[(u32, i64)]) -> Terms {
    Terms {
        pack: pack.into(),
        prices: prices
            .iter()
            .map(|(quantity, cents)| Price {
                quantity: (*quantity).into(),
                money: euro(*cents),
            })
            .collect(),
    }
}

/// The cheapest whole number of packs that has a price and is enough, the least
/// of several: every quantity is tried, one by one. Behind the last quantity with
/// a price nothing gets cheaper, so the search ends one pack behind it.
fn searched(pack: u32, prices: &[(u32, i64)], missing: u32) -> Option<(u32, i64)> {
    let last = prices.iter().map(|price| price.0).max()?;
    let end = last.max(missing) + pack;
    (missing..=end)
        .filter(|quantity| quantity.is_multiple_of(pack))
        .filter_map(|quantity| {
            let reached = prices.iter().filter(|price| price.0 <= quantity);
            let from = reached.clone().map(|price| price.0).max()?;
            let each = reached
                .filter(|price| price.0 == from)
                .map(|price| price.1)
                .min()?;
            Some((quantity, each * i64::from(quantity)))
        })
        .min_by_key(|(quantity, cost)| (*cost, *quantity))
}

fn bought(purchase: &Purchase) -> Option<(Decimal, Decimal)> {
    Some((purchase.quantity, purchase.cost?.sum.amount))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn a_purchase_is_what_a_search_finds(
        pack in 1_u32..13,
        prices in prop::collection::vec((0_u32..60, 0_i64..40), 1..5),
        missing in 1_u32..70,
    ) {
        let purchase = terms(pack, &prices).buy(missing.into());
        let searched = searched(pack, &prices, missing)
            .map(|(quantity, cents)| (quantity.into(), Decimal::new(cents, 2)));
        prop_assert_eq!(bought(&purchase), searched);
    }

    #[test]
    fn a_purchase_is_enough_in_whole_packs_and_says_why_it_is_more(
        pack in 0_u32..13,
        prices in prop::collection::vec((0_u32..60, -5_i64..40), 0..5),
        missing in 0_u32..70,
    ) {
        let terms = terms(pack.max(1), &prices);
        let purchase = terms.buy(missing.into());
        let missing = Decimal::from(missing);
        prop_assert!(purchase.quantity >= missing);
        prop_assert!((purchase.quantity % terms.pack).is_zero());
        prop_assert_eq!(purchase.why.is_empty(), purchase.quantity == missing);
        if let Some(cost) = purchase.cost {
            prop_assert_eq!(cost.each.amount * purchase.quantity, cost.sum.amount);
        }
        for why in &purchase.why {
            if let Why::Cheaper { than, cost } = why {
                prop_assert!(*than >= missing && *than < purchase.quantity);
                prop_assert_eq!(terms.cost(*than), Some(*cost));
                prop_assert!(purchase.cost.is_some_and(|paid| paid.sum.amount < cost.sum.amount));
            }
        }
    }

    #[test]
    fn no_number_of_the_shelf_is_too_large(
        pack in any::<[u32; 3]>(),
        quantity in any::<[u32; 3]>(),
        amount in any::<[u32; 3]>(),
        scale in 0_u32..29,
        missing in any::<[u32; 3]>(),
    ) {
        let number = |parts: [u32; 3], scale| {
            Decimal::from_parts(parts[0], parts[1], parts[2], false, scale)
        };
        let terms = Terms {
            pack: number(pack, 0).max(Decimal::ONE),
            prices: vec![Price {
                quantity: number(quantity, 0),
                money: Money { amount: number(amount, scale), currency: Currency::JPY },
            }],
        };
        let missing = number(missing, 0);
        prop_assert!(terms.buy(missing).quantity >= missing);
    }

    #[test]
    fn spares_are_whole_and_never_fewer_than_asked(need in 0_u32..2000, percent in 0_u32..100) {
        let spares = Spares::read(&format!("{percent}%")).unwrap().of(need.into());
        prop_assert!(spares.is_integer());
        let exact = u64::from(need) * u64::from(percent);
        let at_least = u64::from(need > 0 && percent > 0);
        prop_assert_eq!(spares, Decimal::from(exact.div_ceil(100).max(at_least)));
    }
}

#[test]
fn a_price_break_is_taken_where_it_costs_less() {
    let terms = terms(1, &[(1, 21), (50, 13)]);
    let of = |missing: u32| terms.buy(missing.into());
    // 30 at 0.21 come to 6.30, 50 at 0.13 to 6.50; 31 come to 6.51.
    assert_eq!(bought(&of(30)), Some((30.into(), Decimal::new(630, 2))));
    assert_eq!(bought(&of(31)), Some((50.into(), Decimal::new(650, 2))));
    assert!(matches!(of(31).why[..], [Why::Cheaper { than, .. }] if than == Decimal::from(31)));
    assert_eq!(bought(&of(50)), Some((50.into(), Decimal::new(650, 2))));
}

/// A textbook's price schedule: 5.00 below 1000, 4.80 from 1000 to 1999, 4.75 from
/// 2000 on, each price for the whole order. Render and Stair, *Quantitative
/// Analysis for Management*, Wohl's Discount Stores, as reported by quesba.com.
/// What is bought of it without costs of ordering and holding is our reckoning:
/// 960 at 5.00 and 1000 at 4.80 both come to 4800.
#[test]
fn a_textbook_schedule_changes_its_price_where_the_book_has_it() {
    let terms = terms(1, &[(1, 500), (1000, 480), (2000, 475)]);
    for (quantity, cents) in [(1, 500), (999, 500), (1000, 480), (1999, 480), (2000, 475)] {
        let cost = terms.cost(quantity.into()).unwrap();
        assert_eq!(cost.each, euro(cents), "{quantity}");
    }
    assert_eq!(terms.buy(960.into()).quantity, 960.into());
    assert_eq!(terms.buy(961.into()).quantity, 1000.into());
    assert_eq!(terms.buy(1979.into()).quantity, 1979.into());
    assert_eq!(terms.buy(1980.into()).quantity, 2000.into());
}

#[test]
fn of_two_that_cost_the_same_the_fewer_are_bought() {
    // 25 at 0.20 and 50 at 0.10 both come to 5.00.
    let purchase = terms(1, &[(1, 20), (50, 10)]).buy(25.into());
    assert_eq!(bought(&purchase), Some((25.into(), Decimal::new(500, 2))));
    assert_eq!(purchase.why, []);
}

#[test]
fn packs_and_least_quantities_are_kept() {
    let packs = terms(20, &[(1, 10)]).buy(21.into());
    assert_eq!(packs.quantity, 40.into());
    assert_eq!(packs.why, [Why::Pack(20.into())]);
    let least = terms(1, &[(10, 172)]).buy(3.into());
    assert_eq!(bought(&least), Some((10.into(), Decimal::new(1720, 2))));
    assert_eq!(least.why, [Why::Least(10.into())]);
    // A break that is no whole number of packs is reached by the next pack.
    let break_in_packs = terms(20, &[(1, 21), (50, 10)]).buy(31.into());
    assert_eq!(
        bought(&break_in_packs),
        Some((60.into(), Decimal::new(600, 2)))
    );
}

#[test]
fn prices_in_another_currency_are_not_compared() {
    let mut mixed = terms(1, &[(1, 21)]);
    mixed.prices.push(Price {
        quantity: 2.into(),
        money: Money {
            amount: Decimal::ONE,
            currency: Currency::JPY,
        },
    });
    let purchase = mixed.buy(5.into());
    assert_eq!(bought(&purchase), Some((5.into(), Decimal::new(105, 2))));
    assert_eq!(mixed.other_currency(), Some(Currency::JPY));
}

#[test]
fn without_a_price_there_is_a_quantity_and_no_cost() {
    let purchase = terms(10, &[]).buy(3.into());
    assert_eq!((purchase.quantity, purchase.cost), (10.into(), None));
}

#[test]
fn spares_are_read_as_they_are_said() {
    let of = |text: &str, need: u32| Spares::read(text).unwrap().of(need.into());
    assert_eq!(Spares::USUAL.of(8.into()), Decimal::ONE);
    assert_eq!(Spares::USUAL.of(41.into()), Decimal::from(5));
    assert_eq!(Spares::USUAL.of(0.into()), Decimal::ZERO);
    assert_eq!(of("none", 41), Decimal::ZERO);
    assert_eq!(of("0%", 41), Decimal::ZERO);
    assert_eq!(of("5%", 41), Decimal::from(3));
    assert_eq!(of("2", 41), Decimal::from(2));
    for refused in ["", "-1", "1.5", "many", "-5%", "%", "1e9", "100000%"] {
        assert!(Spares::read(refused).is_err(), "{refused}");
    }
}
