//! Why so many of a part are bought, and what to ask before buying.

use crate::shop::{Line, Why};
use crate::typeset;
use retin_syntax::value::Decimal;

fn number(number: Decimal) -> String {
    number.normalize().to_string()
}

/// Sentences without full stops, the reasons first.
pub(super) fn remarks(line: &Line) -> Vec<String> {
    let mut remarks: Vec<String> = line
        .purchase
        .why
        .iter()
        .map(|why| reason(line, why))
        .collect();
    if line.part.have.is_none() {
        remarks
            .push("nobody counted the drawer, and it is taken to be empty: count it first".into());
    }
    if !line.ordered_unseen.is_zero() {
        let ordered = number(line.ordered_unseen);
        remarks.push(format!(
            "the log has {ordered} ordered that have not come, and the shelf does not say they are coming: ask before ordering again"
        ));
    }
    if let Some(other) = line.part.terms.other_currency() {
        remarks.push(format!("its prices in {} are not compared", other.code()));
    }
    remarks
}

fn reason(line: &Line, why: &Why) -> String {
    let bought = line.purchase.quantity;
    match why {
        Why::Pack(pack) => format!("comes in packs of {}", number(*pack)),
        Why::Least(least) => format!("no price for fewer than {}", number(*least)),
        Why::Cheaper { than, cost } => {
            let paid = line.purchase.cost.map_or(String::new(), |paid| {
                format!(": {}", typeset::money(paid.sum))
            });
            format!(
                "{} cost less than the {} that would do{paid} instead of {}, at {} each",
                number(bought),
                number(*than),
                typeset::money(cost.sum),
                typeset::money(cost.each)
            )
        }
    }
}
