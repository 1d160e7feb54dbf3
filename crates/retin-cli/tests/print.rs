//! `retin print`, as a person runs it.

#![allow(
    clippy::unwrap_used,
    reason = "a helper of a test that cannot go on has failed it"
)]

mod bench;

use bench::repository::Repository;
use bench::{Bench, JOB, MODEL, SHELF, outputs};
use std::fs;

const TONE_SOURCE: &str = "\
model tg4 \"Harrowgate TG-4 tone source\"

board psu \"Power supply\"
  rail V15 15V ±5%
  rail GND 0V
  electrolytic
    C2 100uF 25V 8x12 p3.5 (+ V15, - GND)
      silk + east

board amp \"Amplifier\" as a1..a4
  rail V15 15V ±5%
  rail GND 0V
  electrolytic
    C1, C2 10uF 25V 5x11 p2

shelf main \"Drawers\"
  electrolytic 105°C
    E-10-50 10uF 50V 5x11 p2 have 20 bin A3

job 26-102 \"TG-4 serial 13\"
  model tg4

plan
  replace psu.C2 with 100uF 35V 8x12 p3.5
  replace amp.C1, amp.C2 with E-10-50

steps
  strip  remove psu.C2, amp.C1..C2
  fill   fit psu.C2, amp.C1..C2 after strip

log
  2026-10-05
    09:30 removed psu.C2, a1..a4.C1..C2
    13:00 fitted a1..a2.C1..C2 with E-10-50
";

fn bench() -> Bench {
    let bench = Bench::new();
    bench.write("job.retin", TONE_SOURCE);
    bench
}

fn repository() -> Repository {
    let repository = Repository::new();
    repository.bench.write("models/rx3.retin", MODEL);
    repository.bench.write("shelf.retin", SHELF);
    repository.bench.write("jobs/26-007.retin", JOB);
    repository.commit("begin");
    repository
}

fn print(repository: &Repository, arguments: &[&str]) -> String {
    let mut all = vec!["print"];
    all.extend(arguments);
    outputs(repository.retin(&all), 0).0
}

/// The line of a sheet that says the file's revision.
fn revision(sheet: &str) -> &str {
    let line = sheet.lines().find(|line| line.starts_with("file "));
    line.unwrap().split_once(';').unwrap().0
}

#[test]
fn a_tick_sheet_on_the_terminal() {
    let text = ["print", "ticks", "job.retin", "--form", "text"];
    let (said, _) = bench().run(&text, 0);
    insta::assert_snapshot!(said);
}

#[test]
fn a_text_for_a_terminal_without_letters_is_plain() {
    let bench = bench();
    let run = |locale: &str| {
        let mut command = bench.retin(&["print", "ticks", "job.retin", "--form", "text"]);
        command.env("LC_ALL", locale);
        outputs(command, 0).0
    };
    assert!(run("C").contains("[x] a1"));
    assert!(run("C").is_ascii());
    assert!(run("C.UTF-8").contains("☑ a1"));
}

#[test]
fn a_sheet_is_written_where_it_is_wanted() {
    let bench = bench();
    let (said, _) = bench.run(&["print", "ticks", "job.retin", "--to", "sheet.txt"], 0);
    assert_eq!(said, "sheet.txt\n");
    let first = bench.read("sheet.txt");
    assert!(first.contains("☑ a1"), "{first}");
    bench.run(&["print", "left", "job.retin", "--to", "sheet.txt"], 0);
    assert!(bench.read("sheet.txt").starts_with("What is left"));
    let (said, _) = bench.run(
        &["print", "ticks", "job.retin", "--form", "text", "--to", "-"],
        0,
    );
    assert!(said.starts_with("Tick sheet"));
    // No half of one is left behind, nor anything else.
    let mut names: Vec<String> = fs::read_dir(bench.path("."))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    assert_eq!(names, [".git", "job.retin", "sheet.txt"]);
}

#[test]
fn pages_are_written_beside_where_one_is() {
    let bench = bench();
    let (said, _) = bench.run(&["print", "ticks", "job.retin"], 0);
    assert_eq!(said, "26-102-ticks.pdf\n");
    let first = fs::read(bench.path("26-102-ticks.pdf")).unwrap();
    assert!(first.starts_with(b"%PDF-"));
    // The same file prints the same pages.
    bench.run(&["print", "ticks", "job.retin"], 0);
    assert_eq!(fs::read(bench.path("26-102-ticks.pdf")).unwrap(), first);
    let (said, _) = bench.run(&["print", "ticks", "job.retin", "--form", "html"], 0);
    assert_eq!(said, "26-102-ticks.html\n");
    let html = bench.read("26-102-ticks.html");
    assert!(html.starts_with("<!DOCTYPE html>"), "{}", &html[..80]);
    assert!(html.contains("toward rail V15, east"));
    let output = bench
        .retin(&["print", "ticks", "job.retin", "--to", "-"])
        .output()
        .unwrap();
    assert_eq!(output.stdout, first);
}

#[test]
fn an_order_has_its_table_beside_it() {
    let bench = bench();
    let (said, _) = bench.run(&["print", "orders", "job.retin"], 0);
    assert_eq!(said, "26-102-orders.pdf\n26-102-orders.csv\n");
    let table = bench.read("26-102-orders.csv");
    assert!(
        table.lines().any(|line| line.contains("E-10-50")),
        "{table}"
    );
    let arguments = ["print", "orders", "job.retin", "--form", "csv", "--to", "-"];
    let (shown, _) = bench.run(&arguments, 0);
    assert_eq!(shown, table);
    let (more, _) = bench.run(&[&arguments[..], &["--spares", "30"]].concat(), 0);
    assert_ne!(more, table);
}

#[test]
fn labels_are_cut_as_asked() {
    let bench = bench();
    let (said, _) = bench.run(
        &[
            "print",
            "labels",
            "job.retin",
            "--labels",
            "48.5x25.4",
            "--used",
            "6",
        ],
        0,
    );
    assert_eq!(said, "26-102-labels.pdf\n");
    let letter = [
        "print",
        "labels",
        "job.retin",
        "--labels",
        "70x37",
        "--paper",
        "letter",
    ];
    let (_, err) = bench.run(&letter, 2);
    insta::assert_snapshot!(err);
}

#[test]
fn no_sheet_is_written_over_a_job() {
    let bench = bench();
    let arguments = [
        "print",
        "ticks",
        "job.retin",
        "--form",
        "text",
        "--to",
        "job.retin",
    ];
    let (_, err) = bench.run(&arguments, 2);
    assert_eq!(
        err,
        "retin: job.retin is the name of a job's file, and no sheet is written over one\n"
    );
    assert_eq!(bench.read("job.retin"), TONE_SOURCE);
}

#[test]
fn a_file_whose_ending_is_no_form_is_not_written() {
    let bench = bench();
    let (_, err) = bench.run(&["print", "ticks", "job.retin", "--to", "sheet.xyz"], 2);
    assert!(err.contains("no form of paper ends in .xyz"), "{err}");
    assert!(!bench.path("sheet.xyz").exists());
    let named = ["--form", "text", "--to", "sheet.xyz"];
    bench.run(&[&["print", "ticks", "job.retin"], &named[..]].concat(), 0);
    assert!(bench.path("sheet.xyz").exists());
}

#[test]
fn a_folder_that_is_not_there_takes_no_sheet() {
    let (_, err) = bench().run(&["print", "ticks", "job.retin", "--to", "there/x.txt"], 2);
    insta::assert_snapshot!(err);
}

#[test]
fn what_does_not_go_together_is_refused() {
    let bench = bench();
    let complaints = [
        vec!["ticks", "job.retin", "job.retin"],
        vec!["differences", "job.retin"],
        vec!["differences", "job.retin", "job.retin", "--board", "psu"],
        vec!["card", "job.retin", "--sort", "board"],
        vec!["card", "job.retin", "--step", "fill"],
        vec!["ticks", "job.retin", "--board", "psu,mixer"],
        vec!["ticks", "nothing.retin"],
        vec!["ticks", "job.retin", "--form", "csv"],
        vec!["ticks", "job.retin", "--used", "3"],
        vec!["labels", "job.retin", "--spares", "3"],
        vec!["report", "job.retin", "--board", "psu"],
    ]
    .map(|arguments| {
        let mut all = vec!["print"];
        all.extend(arguments);
        let (out, err) = bench.run(&all, 2);
        assert_eq!(out, "");
        err
    });
    insta::assert_snapshot!(complaints.concat());
}

#[test]
fn what_holds_no_job_is_not_printed() {
    let bench = Bench::with_mistakes();
    let (_, err) = bench.run(&["print", "ticks", "shelf.retin"], 2);
    assert_eq!(
        err,
        "retin: shelf.retin holds no job, and paper is about a job\n"
    );
}

#[test]
fn a_job_with_mistakes_is_printed_and_says_so() {
    let bench = Bench::with_mistakes();
    let arguments = ["print", "ticks", "jobs/26-007.retin", "--form", "text"];
    let (said, _) = bench.run(&arguments, 0);
    insta::assert_snapshot!(said);
}

#[test]
fn every_sheet_says_the_revision_of_its_file_as_git_has_it() {
    let repository = repository();
    let job = "jobs/26-007.retin";
    let text = |path: &str| print(&repository, &["ticks", path, "--form", "text"]);
    let commit = repository.git(&["rev-parse", "HEAD"]);
    let day = repository.git(&["log", "-1", "--format=%cs"]);
    let first = format!("{} of {}", &commit[..10], day.trim());
    assert_eq!(revision(&text(job)), format!("file {first}"));
    // A commit that does not touch the job's file is not its revision.
    repository.bench.write("notes.txt", "kept apart");
    repository.commit("notes");
    assert_eq!(revision(&text(job)), format!("file {first}"));
    repository
        .bench
        .write(job, JOB.replace("keep if.C33", "keep if.C3"));
    assert_eq!(revision(&text(job)), format!("file changed since {first}"));
    assert_eq!(
        revision(&text(&format!("HEAD:{job}"))),
        format!("file {first}")
    );
    repository.bench.write("jobs/new.retin", JOB);
    assert_eq!(revision(&text("jobs/new.retin")), "file not committed yet");
    let (said, _) = bench().run(&["print", "ticks", "job.retin", "--form", "text"], 0);
    assert_eq!(revision(&said), "file not in git");
}

#[test]
fn two_revisions_differ_on_paper() {
    let repository = repository();
    let job = "jobs/26-007.retin";
    repository
        .bench
        .write(job, JOB.replace("keep if.C33", "keep if.C3"));
    let sides = [&format!("HEAD:{job}")[..], job];
    let said = print(
        &repository,
        &["differences", sides[0], sides[1], "--form", "text"],
    );
    let (_, body) = said.split_once("the whole unit").unwrap();
    insta::assert_snapshot!(body.trim());
}

/// Every option is in the reference.
#[test]
fn every_option_is_documented() {
    let (help, _) = Bench::new().run(&["print", "--help"], 0);
    let page = include_str!("../../../syntax/print.md");
    let lines = help.lines().map(str::trim_start);
    let options = lines
        .filter(|line| line.starts_with("--"))
        .filter_map(|line| line.split_whitespace().next());
    let mut count = 0;
    for option in options {
        assert!(page.contains(&format!("`{option}")), "{option}");
        count += 1;
    }
    assert!(count > 8, "{help}");
}
