//! Orders at prices that somebody published. The sums follow from the prices by the
//! rule that the sources state: the price of the tier that is reached holds for every
//! piece.

use retin::meaning::Case;
use retin::shop::{Terms, Why};
use retin::sources::{SourceFile, Sources};
use retin_syntax::value::Decimal;
use std::sync::Arc;

/// How many are bought of so many that are missing, what they cost, and whether that
/// is less than the smaller number costs.
fn bought(prices: &str, missing: i64) -> (Decimal, String, bool) {
    let text = format!("shelf s\n  E-10 electrolytic 10uF have 0 {prices}\n");
    let mut sources = Sources::new();
    let root = sources.add(Arc::new(SourceFile::new("shelf.retin".into(), text)));
    let case = Case::build(&sources, root);
    assert!(case.problems.is_empty(), "{:?}", case.problems);
    let purchase = Terms::of(&case.entries[0]).buy(Decimal::from(missing));
    let cost = purchase.cost.expect("the shelf has prices");
    let is_cheaper = purchase
        .why
        .iter()
        .any(|why| matches!(why, Why::Cheaper { .. }));
    (
        purchase.quantity,
        cost.sum.amount.normalize().to_string(),
        is_cheaper,
    )
}

/// "$7.50 per unit if less than 48 pieces are ordered; $7.25 per unit if 49-72 pieces
/// are ordered; or $7 per unit if 73 or more pieces are ordered": Investopedia,
/// "Quantity Discount", as stored in a public crawl; the same in Finance Reference.
#[test]
fn pieces_at_the_prices_of_an_encyclopedia() {
    let prices = "1 at 7.50 USD, 49 at 7.25 USD, 73 at 7.00 USD";
    for (missing, quantity, sum, is_cheaper) in [
        (40, 40, "300", false),
        // 47 cost 352.50, and 49 would cost 355.25.
        (47, 47, "352.5", false),
        // 48 at 7.50 cost 360: 49 cost less.
        (48, 49, "355.25", true),
        (49, 49, "355.25", false),
        // 70 cost 507.50, and 73 would cost 511.
        (70, 70, "507.5", false),
        // 71 cost 514.75.
        (71, 73, "511", true),
        (100, 100, "700", false),
    ] {
        let wanted = (Decimal::from(quantity), sum.to_owned(), is_cheaper);
        assert_eq!(bought(prices, missing), wanted, "{missing} missing");
    }
}

/// "One cable costs 4.49. If you buy two, they are 4.45 each, and when buying three of
/// them, you pay just 4.40 each. For 4 and more […] 4.36", by the model in which every
/// unit has the price of the tier reached: "Volume & tier pricing in e-commerce",
/// commerceisdigital.com, 2023-10-05, as stored in a public crawl.
#[test]
fn cables_at_the_prices_of_a_shop() {
    let prices = "1 at 4.49 EUR, 2 at 4.45 EUR, 3 at 4.40 EUR, 4 at 4.36 EUR";
    for (missing, sum) in [
        (1, "4.49"),
        (2, "8.9"),
        (3, "13.2"),
        (4, "17.44"),
        (9, "39.24"),
    ] {
        let wanted = (Decimal::from(missing), sum.to_owned(), false);
        assert_eq!(bought(prices, missing), wanted);
    }
}
