//! Comparisons as a technician reads them, and the laws of comparing.

use super::{Change, compare};
use crate::meaning::Case;
use crate::sources::{FileId, SourceFile, Sources};
use std::sync::Arc;

const MODEL: &str = "\
model lm8 \"Pellworth LM-8\"
  revision   3

board psu \"Power supply\"
  rail       V24  24V ±5%
  rail       GND   0V
  electrolytic 85°C radial
    C1  2200uF 40V  (+ V24, - GND)
    C2   100uF 35V  (+ V24, - GND)
      list       100uF 40V
    C3    47uF 35V  (+ V24, - GND)
    | prose of the psu

board channel \"Channel strip\" as ch1..ch3
  electrolytic
    C1  10uF 25V
    C2  10uF 25V

shelf main \"Drawers\"
  electrolytic
    E-2200-50  2200uF 50V  have 3   1 at 2.10 EUR
    E-100-50    100uF 50V  have 40  1 at 0.21 EUR
    E-47-50      47uF 50V  have 9   1 at 0.21 EUR
    E-10-50      10uF 50V  have 90  1 at 0.10 EUR
";

const JOB: &str = "\
job 26-031 \"LM-8 serial 00417\"
  model      lm8 revision 3
  owner      \"Radio Merrin\"
  agreed     450.00 EUR on 2026-10-05

plan
  replace    psu.C1                with E-2200-50
  replace    psu.C2                with E-100-50
  keep       psu.C3
  replace    every electrolytic on ch1..ch3  from main
  accept     value-mismatch on ch1.C1  because \"wanted\"

steps
  strip      remove every electrolytic
  wash       clean psu with isopropanol  after strip

targets
  psu.V24  24V ±5%

log
  2026-11-03
    09:10  removed    psu.C1, psu.C2
    10:05  damaged    psu.C1.+  pad lifted
";

fn sources(model: &str, job: &str) -> Sources {
    let mut sources = Sources::new();
    let text = format!("{model}\n{job}");
    sources.add(Arc::new(SourceFile::new("job.retin".into(), text)));
    sources
}

fn changes(old: (&str, &str), new: (&str, &str)) -> Vec<Change> {
    let (old, new) = (sources(old.0, old.1), sources(new.0, new.1));
    let old = Case::build(&old, FileId(0));
    let new = Case::build(&new, FileId(0));
    let changes = compare(&old, &new);
    let mut mirrored: Vec<Change> = compare(&new, &old)
        .into_iter()
        .map(|change| Change {
            old: change.new,
            new: change.old,
            ..change
        })
        .collect();
    let mut sorted = changes.clone();
    // What a change is called belongs to the new side: the name of a part, and
    // whether a reading proved something.
    for list in [&mut sorted, &mut mirrored] {
        for change in list.iter_mut() {
            change.aspect = String::new();
            change.subjects.clear();
        }
        list.sort();
    }
    assert_eq!(
        sorted, mirrored,
        "exchanging the sides changes more than the sides"
    );
    changes
}

fn told(old: (&str, &str), new: (&str, &str)) -> String {
    let lines: Vec<String> = changes(old, new)
        .iter()
        .map(|change| {
            let board = change.board.as_deref().unwrap_or("-");
            format!("{board:8}{}", change.sentence())
        })
        .collect();
    lines.join("\n")
}

fn edited(text: &str, edits: &[(&str, &str)]) -> String {
    let mut text = text.to_owned();
    for (from, to) in edits {
        assert!(text.contains(from), "{from}");
        text = text.replacen(from, to, 1);
    }
    text
}

#[test]
fn the_same_differs_in_nothing() {
    assert_eq!(told((MODEL, JOB), (MODEL, JOB)), "");
    let formatted = retin_syntax::format(&format!("{MODEL}\n{JOB}")).text;
    assert_eq!(told((MODEL, JOB), (&formatted, "")), "");
}

#[test]
fn comments_order_and_spelling_are_no_differences() {
    let model = edited(
        MODEL,
        &[
            ("    C1  2200uF 40V  (+ V24, - GND)\n", ""),
            (
                "    | prose of the psu\n",
                "    C1  40V 2.2mF (- GND, + V24) # moved\n    | prose of the psu\n",
            ),
        ],
    );
    let job = edited(
        JOB,
        &[
            ("  keep       psu.C3\n", ""),
            ("plan\n", "plan\n  # first\n  keep       psu.C3\n"),
        ],
    );
    assert_eq!(told((MODEL, JOB), (&model, &job)), "");
}

#[test]
fn work_done_since() {
    let job = edited(
        JOB,
        &[(
            "    10:05",
            "    09:40  measured   psu.C1  1840uF, esr 0.62ohm\n    10:05",
        )],
    ) + "    11:05  repaired   psu.C1.+  wire 0.5mm to psu.C2.+\n    \
        11:07  measured   psu.C1.+ to psu.C2.+  0.1ohm\n    \
        13:00  fitted     psu.C1 with E-2200-50\n  \
        next day\n    08:00  photographed  ch1..ch3\n";
    insta::assert_snapshot!(told((MODEL, JOB), (MODEL, &job)));
}

#[test]
fn an_entry_that_reads_otherwise() {
    let job = edited(JOB, &[("psu.C1, psu.C2", "psu.C1..C3"), ("10:05", "10:15")]);
    insta::assert_snapshot!(told((MODEL, JOB), (MODEL, &job)));
}

#[test]
fn plans_facts_and_stock() {
    let model = edited(
        MODEL,
        &[
            ("C2   100uF 35V", "C2   220uF 35V"),
            ("list       100uF 40V", "list       220uF 40V"),
            (
                "    C3    47uF 35V  (+ V24, - GND)\n",
                "    C9    1uF 35V\n",
            ),
            ("have 40  1 at 0.21", "have 12  1 at 0.25"),
            ("    E-47-50      47uF 50V  have 9   1 at 0.21 EUR\n", ""),
            ("rail       V24  24V ±5%", "rail       V24  24V ±2%"),
            ("prose of the psu", "other prose"),
            ("revision   3", "revision   4"),
        ],
    );
    let job = edited(
        JOB,
        &[
            ("with E-2200-50", "with 3300uF 50V"),
            (
                "replace    psu.C2                with E-100-50",
                "keep       psu.C2",
            ),
            (
                "  keep       psu.C3\n",
                "  leave      psu.C9  because \"sealed\"\n  keep       ch2.C1\n",
            ),
            (
                "on ch1.C1  because \"wanted\"",
                "on ch2.C1  because \"wanted\"",
            ),
            ("Radio Merrin", "Gannet Hall"),
            (
                "on 2026-10-05\n",
                "on 2026-10-05\n  agreed     600.00 EUR on 2026-10-20\n",
            ),
            (
                "  wash       clean psu with isopropanol  after strip\n",
                "  look       inspect psu\n",
            ),
            ("24V ±5%", "24V ±2%"),
        ],
    );
    insta::assert_snapshot!(told((MODEL, JOB), (&model, &job)));
}

#[test]
fn a_part_with_another_name_is_the_same_part() {
    let model = edited(MODEL, &[("    C3 ", "    C33")]);
    let job = edited(JOB, &[("keep       psu.C3", "keep       psu.C33")]);
    insta::assert_snapshot!(told((MODEL, JOB), (&model, &job)));
}

#[test]
fn two_units_of_one_model() {
    let other = edited(
        JOB,
        &[
            ("26-031", "26-044"),
            ("serial 00417", "serial 00502"),
            ("2026-11-03", "2026-11-20"),
            (
                "    10:05  damaged    psu.C1.+  pad lifted\n",
                "    10:00  removed    psu.C3\n",
            ),
            ("keep       psu.C3", "replace    psu.C3  with E-47-50"),
        ],
    );
    insta::assert_snapshot!(told((MODEL, JOB), (MODEL, &other)));
}

/// Every line that says something: without it, or with it spoilt, there is a difference.
#[test]
fn no_line_is_overlooked() {
    let whole = format!("{MODEL}\n{JOB}");
    let lines: Vec<&str> = whole.lines().collect();
    for at in (0..lines.len()).filter(|at| !lines[*at].trim().is_empty()) {
        let mut without = lines.clone();
        without.remove(at);
        assert!(
            !changes((&whole, ""), (&without.join("\n"), "")).is_empty(),
            "taking out {:?} is no difference",
            lines[at]
        );
        let mut digits = lines[at].char_indices().rev();
        if let Some((place, digit)) = digits.find(|(_, sign)| sign.is_ascii_digit()) {
            let mut other = lines[at].to_owned();
            let changed = if digit == '7' { "6" } else { "7" };
            other.replace_range(place..=place, changed);
            let mut with = lines.clone();
            with[at] = &other;
            assert!(
                !changes((&whole, ""), (&with.join("\n"), "")).is_empty(),
                "{:?} for {:?} is no difference",
                other,
                lines[at]
            );
        }
    }
}

#[test]
fn an_empty_section_is_told_by_its_name() {
    let without = JOB.split("log\n").next().unwrap_or_default();
    let with = format!("{without}log\n");
    let told: Vec<String> = changes((MODEL, without), (MODEL, &with))
        .iter()
        .map(Change::sentence)
        .collect();
    assert_eq!(told, ["a log section without lines was added"]);
}
