//! Jobs beyond the pages of the rules: every file in `cases/` is checked, and
//! what is found has to be exactly what its lines say.
//!
//! A file is named after the rule it is about, `volts_too_low_two_in_series.retin`.
//! A line that a rule has to find carries `# finds RULE`; a line without one
//! must not be found, by any rule.

#[path = "support/expectations.rs"]
mod expectations;

use expectations::expected_and_found;
use retin::check::check;
use retin::rules::RULES;
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

fn cases() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases");
    let entries = fs::read_dir(&folder).expect("the folder of cases");
    let mut paths: Vec<PathBuf> = entries
        .map(|entry| entry.expect("an entry of the folder").path())
        .collect();
    paths.sort();
    paths
}

fn name(path: &Path) -> String {
    path.file_name()
        .unwrap_or_default()
        .to_string_lossy()
        .into_owned()
}

#[test]
fn every_case_finds_what_it_says_and_nothing_else() {
    let cases = cases();
    assert!(!cases.is_empty(), "there are no cases");
    let mut wrong = String::new();
    for path in &cases {
        let text = fs::read_to_string(path).expect("a case that can be read");
        let (expected, found, case) = expected_and_found(&text);
        if expected != found {
            let _ = writeln!(
                wrong,
                "{}: it says {expected:?}, found {found:?}",
                name(path)
            );
            for finding in check(&case).findings {
                let _ = writeln!(wrong, "    {}: {}", finding.rule, finding.fault.fact);
            }
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

/// A file that no rule's name opens, or that is no Retin file, would be checked by nobody.
#[test]
fn every_case_is_named_after_a_rule() {
    for path in cases() {
        let name = name(&path);
        let belongs = RULES
            .iter()
            .any(|rule| name.starts_with(&format!("{}_", rule.name.replace('-', "_"))));
        assert!(
            belongs && name.ends_with(".retin"),
            "{name} belongs to no rule"
        );
    }
}

#[test]
fn expectations_name_rules_that_exist() {
    for path in cases() {
        let text = fs::read_to_string(&path).expect("a case that can be read");
        for rules in text
            .lines()
            .filter_map(|line| Some(line.split_once("# finds ")?.1))
        {
            for rule in rules.split(", ") {
                assert!(
                    retin::rules::find(rule.trim()).is_some(),
                    "{}: there is no rule {rule}",
                    name(&path)
                );
            }
        }
    }
}
