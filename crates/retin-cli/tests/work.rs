//! `retin work`, and its page `syntax/work.md`.
//!
//! `UPDATE=1 cargo test -p retin-cli --test work` rewrites the page between its
//! markers.

#![allow(
    clippy::unwrap_used,
    reason = "a helper of a test that cannot go on has failed it"
)]

mod bench;

use bench::Bench;
use retin::physics::asking::example;
use retin::physics::catalogue::computations;
use serde_json::Value;
use std::fmt::Write as _;

/// The page that lists every computation.
const PAGE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../syntax/work.md");

/// Runs one line as it is typed.
fn typed(bench: &Bench, line: &str, status: i32) -> (String, String) {
    let words: Vec<&str> = line.split_whitespace().skip(1).collect();
    bench.run(&words, status)
}

#[test]
fn computations_are_listed_and_explained() {
    let bench = Bench::new();
    let mut text = String::new();
    for line in [
        "retin work",
        "retin work life",
        "retin work discharge",
        "retin work trace",
    ] {
        let (out, _) = typed(&bench, line, 0);
        let _ = writeln!(text, "$ {line}\n{out}");
    }
    insta::assert_snapshot!(text);
}

#[test]
fn computations_are_done() {
    let bench = Bench::new();
    let mut text = String::new();
    for line in [
        "retin work life 2000h 105C at 65C",
        "retin work discharge 220uF 350V through 100kohm to 50V",
        "retin work corner 10k 10nF",
        "retin work jumper 0.5mm 120mm 2A",
        "retin work trace 1A 10C",
        "retin work preferred 319ohm E24",
        "retin work level level=-12dB",
    ] {
        let (out, err) = typed(&bench, line, 0);
        assert_eq!(err, "");
        let _ = writeln!(text, "$ {line}\n{out}");
    }
    insta::assert_snapshot!(text);
}

#[test]
fn what_is_not_understood_or_not_valid_is_told() {
    let bench = Bench::new();
    let mut text = String::new();
    for (line, status) in [
        ("retin work lief", 2),
        ("retin work life 2000h 105C", 2),
        ("retin work life 2000h 105C at 65V", 2),
        ("retin work corner 10k 10", 2),
        ("retin work corner 10k 1,5uF", 2),
        ("retin work jumper 120mm", 2),
        ("retin work trace 1A 2V", 2),
        ("retin work life 2000h 105C at 120C", 1),
        ("retin work pitch 7mm", 1),
    ] {
        let (out, err) = typed(&bench, line, status);
        assert_eq!(out, "");
        let _ = writeln!(text, "$ {line}\n{err}");
    }
    insta::assert_snapshot!(text);
}

#[test]
fn a_bad_number_is_refused_and_makes_no_answer() {
    let bench = Bench::new();
    for line in [
        "retin work corner 0ohm 10uF",
        "retin work corner -10kohm 10uF",
        "retin work corner NaN 10uF",
        "retin work corner 1e300ohm 10uF",
        "retin work discharge 0uF 350V through 100kohm to 50V",
        "retin work discharge 220uF -350V through 100kohm to 50V",
        "retin work discharge 220uF 350V through 0ohm to 50V",
        "retin work discharge 220uF 350V through 100kohm to 0V",
        "retin work life 0h 105C at 65C",
        "retin work life 2000h 105C at 1e300C",
        "retin work trace 0A 10K",
        "retin work trace -1A 10K",
    ] {
        let words: Vec<&str> = line.split_whitespace().skip(1).collect();
        let output = bench.retin(&words).output().unwrap();
        assert!(!output.status.success(), "{line}");
        assert_eq!(String::from_utf8_lossy(&output.stdout), "", "{line}");
        assert!(!output.stderr.is_empty(), "{line}");
    }
}

#[test]
fn every_example_runs_in_both_forms_and_calls_nothing_safe() {
    let bench = Bench::new();
    for computation in computations() {
        let line = format!("retin work {}", example(computation));
        let (out, _) = typed(&bench, &line, 0);
        assert!(out.contains(computation.source), "{line}\n{out}");
        assert!(!out.to_lowercase().contains("safe"), "{line}\n{out}");
        let (out, _) = typed(&bench, &format!("{line} --output json"), 0);
        let document: Value = serde_json::from_str(&out).unwrap();
        assert_eq!(document["form"], "retin-work");
        assert_eq!(document["computation"], computation.name);
        assert!(!document["results"].as_array().unwrap().is_empty());
    }
}

#[test]
fn json_has_the_form_that_is_described() {
    let bench = Bench::new();
    let (explained, _) = typed(&bench, "retin work touch --output json", 0);
    let (answered, _) = typed(&bench, "retin work touch 75VAC --output json", 0);
    insta::assert_snapshot!(format!("{explained}\n{answered}"));
    let page = std::fs::read_to_string(PAGE).unwrap();
    for document in [explained, answered] {
        let mut fields = Vec::new();
        names(&serde_json::from_str(&document).unwrap(), &mut fields);
        for field in fields {
            assert!(page.contains(&format!("`{field}`")), "`{field}`");
        }
    }
}

fn names(value: &Value, fields: &mut Vec<String>) {
    match value {
        Value::Object(members) => {
            for (name, value) in members {
                fields.push(name.clone());
                names(value, fields);
            }
        }
        Value::Array(members) => members.iter().for_each(|member| names(member, fields)),
        _ => {}
    }
}

/// Every computation with its example, run.
fn reference() -> String {
    let bench = Bench::new();
    let mut text = String::new();
    for computation in computations() {
        let line = format!("retin work {}", example(computation));
        let (out, _) = typed(&bench, &line, 0);
        let _ = write!(
            text,
            "\n### {}\n\n{}.\n\n```console\n$ {line}\n{out}```\n",
            computation.name, computation.summary
        );
    }
    text
}

#[test]
fn the_page_shows_every_computation_as_it_is() {
    const OPENING: &str = "<!-- computations, generated -->\n";
    const CLOSING: &str = "\n<!-- end of computations -->";
    let text = std::fs::read_to_string(PAGE).unwrap();
    let (before, rest) = text.split_once(OPENING).expect("the page has its opening");
    let (_, after) = rest.split_once(CLOSING).expect("the page has its closing");
    let updated = format!("{before}{OPENING}{}{CLOSING}{after}", reference());
    if std::env::var_os("UPDATE").is_some() && updated != text {
        std::fs::write(PAGE, &updated).unwrap();
        return;
    }
    for (there, wanted) in text.lines().zip(updated.lines()) {
        assert_eq!(
            there, wanted,
            "run UPDATE=1 cargo test -p retin-cli --test work"
        );
    }
    assert_eq!(text.lines().count(), updated.lines().count());
}
