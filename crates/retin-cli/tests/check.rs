//! `retin check`, as a person and as a program sees it.

#![allow(
    clippy::unwrap_used,
    reason = "a helper of a test that cannot go on has failed it"
)]

mod bench;

use bench::{Bench, JOB, MODEL, SHELF, outputs};
use std::fs;

/// The output without the counts that every new rule changes.
fn without_rule_counts(text: &str) -> String {
    let mut kept = String::new();
    for line in text.lines() {
        match line.split_once(" rules on ") {
            Some((_, rest)) => kept.push_str(&format!(
                "  checked … rules on {}",
                rest.split(':').next().unwrap()
            )),
            None if line.starts_with("  not checked:") => continue,
            None => kept.push_str(line),
        }
        kept.push('\n');
    }
    kept
}

/// More jobs like [`JOB`], with these numbers.
fn write_jobs(bench: &Bench, numbers: std::ops::Range<u32>) {
    for number in numbers {
        bench.write(
            &format!("jobs/26-{number:03}.retin"),
            JOB.replace("26-007", &format!("26-{number:03}")),
        );
    }
}

#[test]
fn mistakes_are_told_with_their_lines() {
    let (out, err) = Bench::with_mistakes().run(&["check"], 1);
    insta::assert_snapshot!(without_rule_counts(&out));
    assert_eq!(err, "");
}

#[test]
fn the_same_comes_out_every_time() {
    let bench = Bench::with_mistakes();
    write_jobs(&bench, 8..40);
    for form in ["text", "json", "sarif"] {
        let first = bench.run(&["check", "--output", form], 1);
        for _ in 0..4 {
            assert!(
                first == bench.run(&["check", "--output", form], 1),
                "{form} differs from run to run"
            );
        }
    }
}

#[test]
fn a_finding_in_a_shared_sheet_is_told_once_for_all_jobs() {
    let bench = Bench::with_mistakes();
    write_jobs(&bench, 8..13);
    let (out, _) = bench.run(&["check"], 1);
    assert_eq!(out.matches("[polarity-reversed]").count(), 1, "{out}");
    assert_eq!(out.matches("[value-mismatch]").count(), 6, "{out}");
    assert!(
        out.contains(
            "found for jobs/26-007.retin, jobs/26-008.retin, jobs/26-009.retin and 3 more"
        ),
        "{out}"
    );
}

#[test]
fn jobs_that_count_on_the_same_parts_are_told_together() {
    let bench = Bench::with_mistakes();
    write_jobs(&bench, 8..12);
    let (out, _) = bench.run(&["check"], 1);
    assert_eq!(out.matches("[shelf-short]").count(), 1, "{out}");
    assert!(
        out.contains("The open jobs take 10 of E-10-50 together"),
        "{out}"
    );
    let (out, _) = bench.run(&["check", "jobs/26-007.retin"], 1);
    assert!(!out.contains("[shelf-short]"), "{out}");
}

#[test]
fn a_sheet_that_a_job_uses_is_not_judged_again_and_another_one_is() {
    let bench = Bench::with_mistakes();
    bench.write("models/other.retin", MODEL.replace("rx3", "rx4"));
    let (out, _) = bench.run(&["check", "--output", "json"], 1);
    let document: serde_json::Value = serde_json::from_str(&out).unwrap();
    let checked: Vec<&str> = document["checked"]
        .as_array()
        .unwrap()
        .iter()
        .map(|checked| checked["file"].as_str().unwrap())
        .collect();
    assert_eq!(checked, ["jobs/26-007.retin", "models/other.retin"]);
}

#[test]
fn sheets_in_a_circle_are_judged_once_and_the_circle_is_told() {
    let bench = Bench::new();
    bench.write("a.retin", "use \"b.retin\"\nshelf a \"A\"\n");
    bench.write("b.retin", "use \"a.retin\"\nshelf b \"B\"\n");
    let (out, _) = bench.run(&["check", "--output", "json"], 1);
    let document: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(document["checked"].as_array().unwrap().len(), 1);
    assert!(
        out.contains("in a circle: a.retin uses b.retin uses a.retin"),
        "{out}"
    );
}

#[test]
fn paths_are_shown_from_the_current_folder() {
    let bench = Bench::with_mistakes();
    let (out, _) = outputs(bench.retin_in("jobs", &["check", "26-007.retin"]), 1);
    assert!(out.contains(" 26-007.retin:9:"), "{out}");
    assert!(out.contains(" ../models/rx3.retin:10:"), "{out}");
}

#[test]
fn colour_is_for_terminals_and_for_those_who_ask() {
    let bench = Bench::with_mistakes();
    assert!(!bench.run(&["check"], 1).0.contains('\u{1b}'));
    assert!(
        bench
            .run(&["check", "--color", "always"], 1)
            .0
            .contains('\u{1b}')
    );
    assert!(
        !bench
            .run(&["check", "--color", "never"], 1)
            .0
            .contains('\u{1b}')
    );
}

#[test]
fn text_of_a_file_cannot_steer_the_terminal() {
    let bench = Bench::with_mistakes();
    bench.write(
        "jobs/26-007.retin",
        JOB.replace("# 47 µF", "# \u{1b}[2J\u{202e} 47 µF")
            .replace("C33", "\"C\u{9b}33\""),
    );
    let (out, _) = bench.run(&["check"], 1);
    assert!(out.contains("# ?[2J\u{fffd} 47 µF"), "{out}");
    assert!(!out.contains(['\u{1b}', '\u{202e}', '\u{9b}']), "{out}");
}

#[test]
fn a_job_can_be_judged_at_another_stage() {
    let bench = Bench::with_mistakes();
    let (now, _) = bench.run(&["check"], 1);
    assert!(now.contains("warning[polarity-reversed]"), "{now}");
    let (later, _) = bench.run(&["check", "--stage", "power"], 1);
    assert!(later.contains("stage power"), "{later}");
    assert!(later.contains("error[polarity-reversed]"), "{later}");
    let (_, err) = bench.run(&["check", "--stage", "lunch"], 2);
    assert!(
        err.contains("list, order, strip, fit, power, chips, close"),
        "{err}"
    );
}

#[test]
fn quiet_leaves_the_findings_only() {
    let bench = Bench::with_mistakes();
    let (out, _) = bench.run(&["check", "--quiet"], 1);
    assert!(
        out.contains("[value-mismatch]") && !out.contains("rules on"),
        "{out}"
    );
    bench.write("jobs/26-007.retin", "shelf x \"X\"\n");
    assert_eq!(bench.run(&["check", "--quiet", "shelf.retin"], 0).0, "");
}

#[test]
fn bytes_that_are_no_text_are_told_with_their_place_and_the_rest_is_checked() {
    let bench = Bench::with_mistakes();
    bench.write(
        "jobs/latin.retin",
        b"job 1 \"x\"\n  complaint \"br\xfcllt\"\n",
    );
    let (out, err) = bench.run(&["check"], 2);
    assert!(out.contains("[value-mismatch]"), "{out}");
    assert_eq!(
        err,
        "retin: jobs/latin.retin cannot be read: it is not UTF-8 text: byte 26 (line 2) is 0xfc; save it as UTF-8\n"
    );
}

#[test]
fn a_broken_job_does_not_hide_the_others() {
    let bench = Bench::with_mistakes();
    bench.write(
        "jobs/broken.retin",
        "job 2 \"\n\tplan ((((\n  replace every every\nplan\n  keep if.C1\n\u{feff}\0",
    );
    let (out, _) = bench.run(&["check"], 1);
    assert!(
        out.contains("[value-mismatch]") && out.contains("jobs/broken.retin"),
        "{out}"
    );
}

#[test]
fn what_is_not_there_is_wrong_use() {
    let bench = Bench::with_mistakes();
    let (out, err) = bench.run(&["check", "jobs", "nowhere.retin"], 2);
    assert!(out.contains("[value-mismatch]"), "{out}");
    assert_eq!(
        err,
        "retin: nowhere.retin cannot be read: it is not there\n"
    );
    let (out, _) = bench.run(&["check", "nowhere.retin"], 2);
    assert_eq!(out, "");
    fs::create_dir(bench.path("empty")).unwrap();
    assert!(
        bench
            .run(&["check", "empty"], 2)
            .1
            .contains("no file that ends in .retin is here")
    );
    bench.run(&["check", "--outptu", "json"], 2);
}

#[test]
fn a_file_that_is_too_large_is_refused() {
    let bench = Bench::with_mistakes();
    fs::File::create(bench.path("huge.retin"))
        .unwrap()
        .set_len(16 * 1024 * 1024 + 1)
        .unwrap();
    let (_, err) = bench.run(&["check"], 2);
    assert_eq!(
        err,
        "retin: huge.retin cannot be read: it is larger than 16 MiB\n"
    );
}

#[test]
fn hidden_folders_and_target_are_passed_over_and_gitignore_is_not_asked() {
    let bench = Bench::new();
    bench.write(".gitignore", "private/\n");
    for folder in [".old", "target", "private", "jobs"] {
        bench.write(&format!("{folder}/x.retin"), "shelf x \"X\"\n");
    }
    let (out, _) = bench.run(&["check", "--output", "json"], 0);
    let document: serde_json::Value = serde_json::from_str(&out).unwrap();
    let checked: Vec<&str> = document["checked"]
        .as_array()
        .unwrap()
        .iter()
        .map(|checked| checked["file"].as_str().unwrap())
        .collect();
    assert_eq!(checked, ["jobs/x.retin", "private/x.retin"]);
    bench.run(&["check", "target"], 0);
}

#[test]
fn a_path_that_climbs_out_of_the_workspace_is_told() {
    let bench = Bench::without_git();
    bench.write("models/rx3.retin", MODEL);
    bench.write("shelf.retin", SHELF);
    bench.write("jobs/26-007.retin", JOB);
    let (out, _) = outputs(bench.retin_in("jobs", &["check", "26-007.retin"]), 1);
    assert!(out.contains("climbs out of the workspace"), "{out}");
    assert!(
        out.contains("The workspace is taken to be .; name another folder with `--root`."),
        "{out}"
    );
    let (out, _) = outputs(
        bench.retin_in("jobs", &["check", "--root", "..", "26-007.retin"]),
        1,
    );
    assert!(
        out.contains("[value-mismatch]") && !out.contains("climbs out"),
        "{out}"
    );
    bench.run(&["check", "jobs"], 1);
    bench.run(&["check", "--root", "nowhere"], 2);
}

#[cfg(unix)]
mod unix {
    use super::*;
    use std::os::unix::fs::symlink;
    use std::process::Stdio;

    #[test]
    fn a_link_that_leaves_the_workspace_is_not_followed() {
        let outside = Bench::without_git();
        outside.write("secret.retin", "secret words\n");
        let bench = Bench::with_mistakes();
        symlink(outside.path("secret.retin"), bench.path("jobs/link.retin")).unwrap();
        let (out, err) = bench.run(&["check"], 2);
        assert!(err.contains("it lies outside the workspace"), "{err}");
        assert!(!out.contains("secret words"), "{out}");
        symlink(
            outside.path("secret.retin"),
            bench.path("models/.link.retin"),
        )
        .unwrap();
        bench.write(
            "jobs/26-007.retin",
            JOB.replace("../shelf.retin", "../models/.link.retin"),
        );
        let (out, err) = bench.run(&["check", "jobs/26-007.retin"], 2);
        assert!(
            err.contains(
                "models/.link.retin cannot be read: it is a link that leads out of the workspace"
            ),
            "{err}"
        );
        assert!(!out.contains("secret words"), "{out}");
    }

    #[test]
    fn a_pipe_and_a_link_to_itself_are_refused_at_once() {
        let bench = Bench::with_mistakes();
        let made = std::process::Command::new("mkfifo")
            .arg(bench.path("jobs/pipe.retin"))
            .status()
            .unwrap();
        assert!(made.success());
        symlink("loop.retin", bench.path("jobs/loop.retin")).unwrap();
        let (out, err) = bench.run(&["check"], 2);
        assert!(out.contains("[value-mismatch]"), "{out}");
        assert!(
            err.contains("jobs/pipe.retin cannot be read: it is not a file"),
            "{err}"
        );
        assert!(err.contains("jobs/loop.retin cannot be read: "), "{err}");
    }

    #[test]
    fn a_reader_that_goes_away_is_no_trouble() {
        let bench = Bench::with_mistakes();
        for number in 8..200 {
            bench.write(
                &format!("jobs/26-{number:03}.retin"),
                JOB.replace("26-007", &format!("26-{number:03}")),
            );
        }
        let mut child = std::process::Command::new(env!("CARGO_BIN_EXE_retin"))
            .args(["check", "--output", "json"])
            .current_dir(bench.path("."))
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        assert_eq!(
            (
                output.status.code(),
                String::from_utf8(output.stderr).unwrap()
            ),
            (Some(1), String::new())
        );
    }
}

/// Two boards, of which the supply alone has had power.
const SUPPLY_ALONE: &str = r#"model m1 "Two boards"

board psu "Supply"
  rail GND 0V
  rail V12 12V
  electrolytic
    C1 100uF 25V 8x12 p3.5 (+ V12, - GND)

board amp "Amplifier"
  rail GND 0V
  rail V12 12V
  electrolytic
    C1 100uF 25V 8x12 p3.5 (+ V12, - GND)

shelf main "Drawer"
  electrolytic 105°C radial 20%
    E-100-35 100uF 35V 8x12 p3.5 have 9

job 1 "Two boards"
  model m1

plan
  replace every electrolytic from main

log
  2026-03-02
    09:00 photographed psu, amp
    09:10 removed psu.C1, amp.C1
    09:30 fitted psu.C1 with E-100-35
    09:40 inspected psu
    09:50 measured psu.V12 to psu.GND 900ohm
    10:00 powered psu with lamp
"#;

#[test]
fn a_board_that_waits_for_its_power_is_not_judged_as_if_it_had_it() {
    let bench = Bench::new();
    bench.write("1.retin", SUPPLY_ALONE);
    let empty = "amp.C1 is empty";
    let (out, _) = bench.run(&["check", "1.retin"], 0);
    assert!(!out.contains(empty), "{out}");
    let (out, _) = bench.run(&["check", "--stage", "power", "1.retin"], 1);
    assert!(out.contains(empty), "{out}");
}
