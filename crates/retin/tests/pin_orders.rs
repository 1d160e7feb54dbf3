//! Every order of leads of the published TO-92 style table against every other.
//!
//! Source: ON Semiconductor, TO-92 case 29-10, styles 1 to 17; the styles whose
//! leads have a name of more than one part (6, 8, 11) are left out.

use retin::check::{Report, check};
use retin::finding::Finding;
use retin::meaning::Case;
use retin::sources::{SourceFile, Sources};
use std::sync::Arc;

/// Style, order of pins 1 to 3, the kind of part.
const STYLES: &[(u8, &str, &str)] = &[
    (1, "E-B-C", "npn"),
    (2, "B-E-C", "npn"),
    (5, "D-S-G", "n-mosfet"),
    (7, "S-D-G", "n-mosfet"),
    (10, "K-G-A", "thyristor"),
    (12, "MT1-G-MT2", "triac"),
    (14, "E-C-B", "npn"),
    (16, "A-G-K", "thyristor"),
    (17, "C-B-E", "npn"),
];

fn report(text: String) -> Report {
    let mut sources = Sources::new();
    let root = sources.add(Arc::new(SourceFile::new("orders.retin".into(), text)));
    check(&Case::build(&sources, root))
}

fn pin_order(old: &str, old_kind: &str, new: &str, new_kind: &str) -> (Option<Finding>, u32) {
    let report = report(format!(
        "model a \"Amplifier\"\n\nboard main \"Main board\"\n  {old_kind}\n    Q1 leads {old}\n\nshelf main \"Drawers\"\n  {new_kind}\n    Q-1 leads {new}\n\njob 1 \"Serial 5\"\n  model a\n\nplan\n  replace main.Q1 with Q-1\n"
    ));
    let passed = report
        .tallies
        .iter()
        .find(|tally| tally.rule == "pin-order")
        .map_or(0, |tally| tally.passed);
    assert!(
        report
            .findings
            .iter()
            .all(|finding| finding.rule == "pin-order"),
        "{:?}",
        report.findings
    );
    (report.findings.into_iter().next(), passed)
}

#[test]
fn every_pair_of_the_style_table_passes_only_where_the_orders_are_one() {
    for (old_style, old, old_kind) in STYLES {
        for (new_style, new, new_kind) in STYLES {
            let (finding, passed) = pin_order(old, old_kind, new, new_kind);
            let which = format!("style {new_style} {new} in place of style {old_style} {old}");
            if old_style == new_style {
                assert!(finding.is_none() && passed == 1, "{which}: {finding:?}");
                continue;
            }
            let finding = finding.unwrap_or_else(|| panic!("{which} is not found"));
            assert_eq!(passed, 0, "{which}");
            let backwards: Vec<&str> = new.split('-').rev().collect();
            let is_mirror = backwards.join("-") == *old;
            assert_eq!(
                finding.fault.remedy.contains("half a turn"),
                is_mirror,
                "{which}: {}",
                finding.fault.remedy
            );
            if old_kind == new_kind && !is_mirror {
                // Each lead that moves is named with the pad that it lands on.
                for (now, was) in new.split('-').zip(old.split('-')) {
                    let landing = format!("{now} on the pad of {was}");
                    assert_eq!(
                        finding.fault.fact.contains(&landing),
                        now != was,
                        "{which}: {}",
                        finding.fault.fact
                    );
                }
            }
        }
    }
}

#[test]
fn drain_and_source_of_a_junction_transistor_are_asked_about() {
    for (old, new) in [("D-S-G", "S-D-G"), ("S-D-G", "D-S-G"), ("D-G-S", "S-G-D")] {
        let (finding, _) = pin_order(old, "n-jfet", new, "n-jfet");
        let finding = finding.unwrap_or_else(|| panic!("{new} for {old} is not found"));
        let is_mirror = old == "D-G-S";
        assert_eq!(finding.fault.is_question, !is_mirror, "{new} for {old}");
    }
    let (finding, _) = pin_order("D-S-G", "n-jfet", "G-S-D", "n-jfet");
    assert!(finding.is_some_and(|finding| finding.fault.remedy.contains("half a turn")));
}

#[test]
fn opposite_polarities_never_pass() {
    for (one, other, order) in [
        ("npn", "pnp", "E-B-C"),
        ("n-jfet", "p-jfet", "D-S-G"),
        ("n-mosfet", "p-mosfet", "D-S-G"),
        ("regulator", "negative-regulator", "in-common-out"),
    ] {
        for (old, new) in [(one, other), (other, one)] {
            let (finding, passed) = pin_order(order, old, order, new);
            let finding = finding.unwrap_or_else(|| panic!("{new} for {old} is not found"));
            assert!(
                finding.fault.consequence.contains("opposite polarity"),
                "{}",
                finding.fault.consequence
            );
            assert_eq!(passed, 0);
        }
    }
}

#[test]
fn an_order_that_nobody_wrote_is_not_checked() {
    let text = "model a \"Amplifier\"\n\nboard main \"Main board\"\n  n-jfet TO-92\n    Q1 2N5457\n\njob 1 \"Serial 5\"\n  model a\n\nplan\n  replace main.Q1 with J112\n";
    let report = report(text.to_owned());
    let tally = report
        .tallies
        .iter()
        .find(|tally| tally.rule == "pin-order")
        .map(|tally| (tally.passed, tally.failed, tally.not_checked));
    assert_eq!(tally, Some((0, 0, 1)));
}
