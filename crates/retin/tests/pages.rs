//! Every rule's page is run: its examples have to trip and to pass as they say.
//!
//! A line that a rule has to find carries `# finds RULE`; a line without one
//! must not be found, by any rule.

#[path = "support/examples.rs"]
mod examples;
#[path = "support/expectations.rs"]
mod expectations;

use examples::examples;
use expectations::expected_and_found;
use retin::check::check;
use retin::meaning::Case;
use retin::rules::{RULES, Rule};
use std::fmt::Write as _;

fn passed(case: &Case<'_>, rule: &Rule) -> u32 {
    check(case)
        .tallies
        .iter()
        .find(|tally| tally.rule == rule.name)
        .map_or(0, |tally| tally.passed)
}

#[test]
fn every_page_trips_and_passes_as_it_says() {
    let mut wrong = String::new();
    for rule in RULES {
        let examples = examples(rule.page);
        for (mark, text) in &examples {
            let (expected, found, case) = expected_and_found(text);
            if expected != found {
                let _ = writeln!(
                    wrong,
                    "{} ({mark}): the page says {expected:?}, found {found:?}",
                    rule.name
                );
                for finding in check(&case).findings {
                    let _ = writeln!(wrong, "    {}: {}", finding.rule, finding.fault.fact);
                }
            }
            let trips = found
                .iter()
                .any(|found| found.ends_with(&format!(": {}", rule.name)));
            if *mark == "trips" && !trips {
                let _ = writeln!(
                    wrong,
                    "{}: an example that should trip it does not",
                    rule.name
                );
            }
            if *mark == "passes" && trips {
                let _ = writeln!(wrong, "{}: an example that should pass trips it", rule.name);
            }
        }
        for wanted in ["trips", "passes"] {
            if !examples.iter().any(|(mark, _)| *mark == wanted) {
                let _ = writeln!(
                    wrong,
                    "{}: its page has no example that {wanted}",
                    rule.name
                );
            }
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

/// A rule about replacements or places that never passes anything is never reached.
#[test]
fn every_judging_rule_passes_its_mended_example() {
    for rule in RULES {
        if matches!(rule.judge, retin::rules::Judge::Problem(_)) {
            continue;
        }
        let reached = examples(rule.page)
            .iter()
            .filter(|(mark, _)| *mark == "passes")
            .any(|(_, text)| passed(&expected_and_found(text).2, rule) > 0);
        assert!(
            reached,
            "{} passes nothing in its own mended example",
            rule.name
        );
    }
}

#[test]
fn every_page_has_its_headings_and_its_name() {
    for rule in RULES {
        assert!(
            rule.page.starts_with(&format!("# {}\n", rule.name)),
            "{}",
            rule.name
        );
        for heading in [
            "## Why it matters",
            "## Trips it",
            "## Mended",
            "## What to do",
            "## Where its numbers come from",
        ] {
            assert!(rule.page.contains(heading), "{} lacks {heading}", rule.name);
        }
    }
}

#[test]
fn names_of_rules_are_trade_words_and_unique() {
    let mut names: Vec<&str> = RULES.iter().map(|rule| rule.name).collect();
    for name in &names {
        assert!(
            name.bytes()
                .all(|byte| byte.is_ascii_lowercase() || byte == b'-'),
            "{name}"
        );
    }
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), RULES.len());
}
