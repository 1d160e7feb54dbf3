//! The order list as comma-separated values, for a spreadsheet or a supplier's form.
//!
//! A spreadsheet takes a cell for a formula where it begins with `=`, `+`, `-` or
//! `@`, and some of them where a tab or a line end stands before that. Such text
//! gets an apostrophe before it, which makes it text. Source: CWE-1236, *Improper
//! Neutralization of Formula Elements in a CSV File*; tab and line ends as
//! reported from the OWASP page on the same.

use super::{reason, why};
use crate::shop::{Line, OrderList, Share};
use csv::{Error, Terminator, WriterBuilder};
use retin_syntax::value::Decimal;

const HEADS: &[&str] = &[
    "kind", "part", "maker", "what", "need", "spares", "have", "coming", "buy", "pack", "each",
    "sum", "currency", "jobs", "places", "remarks",
];

pub(super) fn csv(list: &OrderList) -> Result<String, Error> {
    let mut writer = WriterBuilder::new()
        .terminator(Terminator::CRLF)
        .from_writer(Vec::new());
    writer.write_record(HEADS)?;
    for line in &list.lines {
        writer.write_record(line_cells(line))?;
    }
    for found in &list.to_find {
        let count: u64 = found.shares.iter().map(|share| share.count).sum();
        let mut remarks = vec!["to be found".to_owned()];
        remarks.extend(reason(&found.reason));
        let mut cells = vec![String::new(); HEADS.len()];
        let mut set = |head: &str, text: String| {
            if let Some(at) = HEADS.iter().position(|known| *known == head) {
                cells[at] = text;
            }
        };
        set("kind", found.kind.map_or("", |kind| kind.word()).to_owned());
        set("what", harmless(&found.what.written));
        set("need", count.to_string());
        set("jobs", harmless(&jobs(&found.shares)));
        set("places", harmless(&places(&found.shares)));
        set("remarks", harmless(&remarks.join("; ")));
        writer.write_record(cells)?;
    }
    let bytes = writer
        .into_inner()
        .map_err(|error| Error::from(error.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

fn line_cells(line: &Line) -> Vec<String> {
    let part = &line.part;
    let cost = line.purchase.cost;
    let money = |amount: Decimal| amount.normalize().to_string();
    let count = |count: Decimal| count.normalize().to_string();
    vec![
        part.kind.map_or("", |kind| kind.word()).to_owned(),
        harmless(&part.name),
        harmless(part.maker.as_deref().unwrap_or("")),
        harmless(&part.what.written),
        count(line.need),
        count(line.spares),
        part.have.map_or(String::new(), count),
        count(part.coming),
        count(line.purchase.quantity),
        count(part.terms.pack),
        cost.map_or(String::new(), |cost| money(cost.each.amount)),
        cost.map_or(String::new(), |cost| money(cost.sum.amount)),
        cost.map_or("", |cost| cost.sum.currency.code()).to_owned(),
        harmless(&jobs(&line.shares)),
        harmless(&places(&line.shares)),
        harmless(&why::remarks(line).join("; ").replace('\u{a0}', " ")),
    ]
}

fn jobs(shares: &[Share]) -> String {
    let jobs: Vec<String> = shares
        .iter()
        .map(|share| format!("{} ({})", share.job, share.count))
        .collect();
    jobs.join("; ")
}

fn places(shares: &[Share]) -> String {
    let places: Vec<&str> = shares.iter().map(|share| share.places.as_str()).collect();
    places.join("; ")
}

/// A text that no spreadsheet takes for a formula. The wide forms of the four
/// signs count as the signs themselves.
fn harmless(text: &str) -> String {
    let is_formula = text
        .chars()
        .find(|sign| !(sign.is_whitespace() || sign.is_control()))
        .is_some_and(|sign| "=+-@＝＋－＠".contains(sign))
        || text.starts_with(['\t', '\r', '\n']);
    if is_formula {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::harmless;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn no_text_begins_as_a_formula(text in "[=+\\-@\\t\\r\\n ＝a-z]{0,6}") {
            let told = harmless(&text);
            prop_assert!(!told.trim_start().starts_with(['=', '+', '-', '@']), "{told:?}");
            prop_assert!(told == text || told.strip_prefix('\'') == Some(&text));
        }
    }
}
