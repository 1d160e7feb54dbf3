//! `retin explain`, `start`, `completions`, `man` and the helps.

#![allow(
    clippy::unwrap_used,
    reason = "a helper of a test that cannot go on has failed it"
)]

mod bench;

use bench::{Bench, outputs};
use std::fs;

#[test]
fn a_rule_is_explained() {
    insta::assert_snapshot!(Bench::new().run(&["explain", "polarity-reversed"], 0).0);
}

#[test]
fn all_rules_are_listed_in_columns() {
    let (out, _) = Bench::new().run(&["explain"], 0);
    let columns: Vec<_> = out.lines().map(|line| line.rfind("  ")).collect();
    assert_eq!(out.lines().count(), retin::rules::RULES.len());
    assert!(columns.iter().all(Option::is_some), "{out}");
    for rule in retin::rules::RULES {
        assert!(
            out.contains(rule.name) && out.contains(rule.summary),
            "{}",
            rule.name
        );
    }
}

#[test]
fn a_rule_that_is_not_there_is_guessed() {
    let bench = Bench::new();
    let (_, err) = bench.run(&["explain", "polarity-reverse"], 2);
    assert_eq!(
        err,
        "retin: there is no rule `polarity-reverse`; is `polarity-reversed` meant?\n"
    );
    let (_, err) = bench.run(&["explain", "xyzzy"], 2);
    assert_eq!(
        err,
        "retin: there is no rule `xyzzy`; `retin explain` lists them all\n"
    );
}

#[test]
fn a_first_job_checks_clean_and_is_formatted() {
    for name in [
        &[][..],
        &["--name", "Halden RX-3 receiver, export model (100 V)"],
    ] {
        let bench = Bench::without_git();
        let (out, _) = bench.run(&[&["start", "bench"], name].concat(), 0);
        assert!(out.ends_with("Now: retin check bench\n"), "{out}");
        let (out, err) = bench.run(&["check", "bench"], 0);
        assert!(out.ends_with("\n0 errors, 0 warnings, 0 notes\n"), "{out}");
        assert_eq!(err, "");
        assert_eq!(
            bench.run(&["format", "--check", "bench"], 0),
            (String::new(), String::new())
        );
    }
}

#[test]
fn the_mistake_the_first_job_suggests_is_found() {
    let bench = Bench::without_git();
    bench.run(&["start", "bench"], 0);
    let sheet = bench.read("bench/models/tg2.retin");
    let turned = sheet.replacen("(+ V12, - GND)", "(+ GND, - V12)", 1);
    assert_ne!(sheet, turned);
    bench.write("bench/models/tg2.retin", turned);
    let (out, _) = bench.run(&["check", "bench"], 0);
    assert!(out.contains("[polarity-reversed]"), "{out}");
}

#[test]
fn nothing_is_overwritten() {
    let bench = Bench::new();
    bench.write("bench/jobs/26-001.retin", "mine\n");
    let (out, err) = bench.run(&["start", "bench"], 2);
    assert_eq!(
        (out.as_str(), err.as_str()),
        (
            "",
            "retin: bench/jobs/26-001.retin is there already; nothing was written\n"
        )
    );
    assert_eq!(bench.read("bench/jobs/26-001.retin"), "mine\n");
    assert!(!bench.path("bench/shelf.retin").exists());
}

#[test]
fn a_name_that_cannot_stand_in_quotes_is_refused() {
    let bench = Bench::new();
    for name in ["a \"b\"", "", "a\nb"] {
        bench.run(&["start", "bench", "--name", name], 2);
        assert!(!bench.path("bench").exists());
    }
}

#[test]
fn shells_get_their_completions() {
    let bench = Bench::new();
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let (out, _) = bench.run(&["completions", shell], 0);
        assert!(out.contains("retin") && out.contains("explain"), "{shell}");
    }
}

#[test]
fn manual_pages_are_printed_and_written() {
    let bench = Bench::new();
    assert!(bench.run(&["man"], 0).0.contains(".TH retin 1"));
    bench.run(&["man", "--out", "man1"], 0);
    let mut pages: Vec<_> = fs::read_dir(bench.path("man1"))
        .unwrap()
        .map(|page| page.unwrap().file_name().into_string().unwrap())
        .collect();
    pages.sort();
    assert!(
        pages.contains(&"retin.1".into()) && pages.contains(&"retin-check.1".into()),
        "{pages:?}"
    );
}

#[test]
fn helps_read_well() {
    let bench = Bench::new();
    let mut text = String::new();
    for arguments in [
        &["--help"][..],
        &["check", "--help"],
        &["format", "--help"],
        &["start", "--help"],
    ] {
        text.push_str(&format!(
            "$ retin {}\n{}\n",
            arguments.join(" "),
            bench.run(arguments, 0).0
        ));
    }
    insta::assert_snapshot!(text);
}

#[test]
fn wrong_use_is_told() {
    let bench = Bench::new();
    bench.run(&[], 2);
    bench.run(&["chek"], 2);
    let (out, _) = outputs(bench.retin(&["--version"]), 0);
    assert_eq!(out, format!("retin {}\n", env!("CARGO_PKG_VERSION")));
}
