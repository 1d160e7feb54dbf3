//! `retin compare` between files, and between revisions in real repositories.

#![allow(
    clippy::unwrap_used,
    reason = "a helper of a test that cannot go on has failed it"
)]

mod bench;

use bench::repository::Repository;
use bench::{Bench, JOB, MODEL, SHELF, outputs};

/// A repository with a job, its model and its shelf, in one commit.
fn repository() -> Repository {
    let repository = Repository::new();
    repository.bench.write("models/rx3.retin", MODEL);
    repository.bench.write("shelf.retin", SHELF);
    repository.bench.write("jobs/26-007.retin", JOB);
    repository.commit("begin");
    repository
}

fn compare(repository: &Repository, arguments: &[&str], status: i32) -> (String, String) {
    let mut all = vec!["compare"];
    all.extend(arguments);
    outputs(repository.retin(&all), status)
}

#[test]
fn since_the_last_commit() {
    let repository = repository();
    let job = JOB.replace("keep if.C33", "keep if.C3")
        + "\nlog\n  2026-11-03\n    09:10  removed    if.C1..C3\n    13:00  fitted     if.C1 with E-10-50\n";
    repository.bench.write("jobs/26-007.retin", job);
    let model = MODEL.replace("C1  10uF 25V", "C1  22uF 25V");
    repository.bench.write("models/rx3.retin", model);
    let shelf = SHELF.replace("10uF 50V  5x11 p2  have 9", "10uF 50V  5x11 p2  have 7");
    repository.bench.write("shelf.retin", shelf);
    let sides = ["HEAD:jobs/26-007.retin", "jobs/26-007.retin"];
    let (out, _) = compare(&repository, &sides, 1);
    insta::assert_snapshot!(out);
    repository.commit("work");
    let (committed, _) = compare(
        &repository,
        &["HEAD~1:jobs/26-007.retin", "HEAD:jobs/26-007.retin"],
        1,
    );
    let lines = |text: &str| text.lines().skip(1).map(str::to_owned).collect::<Vec<_>>();
    assert_eq!(lines(&committed), lines(&out));
    let (out, _) = compare(
        &repository,
        &["HEAD:jobs/26-007.retin", "jobs/26-007.retin"],
        0,
    );
    assert_eq!(
        out,
        "no difference from HEAD:jobs/26-007.retin to jobs/26-007.retin\n"
    );
}

#[test]
fn comments_and_layout_are_told_as_such() {
    let repository = repository();
    outputs(repository.retin(&["format", "."]), 0);
    repository.bench.write(
        "shelf.retin",
        format!(
            "# checked in spring\n{}",
            repository.bench.read("shelf.retin")
        ),
    );
    let sides = ["HEAD:jobs/26-007.retin", "jobs/26-007.retin"];
    let (out, _) = compare(&repository, &sides, 0);
    assert_eq!(
        out,
        "only comments or layout differ from HEAD:jobs/26-007.retin to jobs/26-007.retin\n"
    );
}

#[test]
fn a_path_may_begin_at_the_current_folder() {
    let repository = repository();
    let mut command = repository.retin(&["compare", "HEAD:./26-007.retin", "26-007.retin"]);
    command.current_dir(repository.bench.path("jobs"));
    let (out, _) = outputs(command, 0);
    assert!(out.starts_with("no difference"), "{out}");
}

#[test]
fn for_programs() {
    let repository = repository();
    let job = JOB.replace("with E-100-25", "with 47uF 25V");
    repository.bench.write("jobs/26-007.retin", job);
    let (out, _) = compare(
        &repository,
        &[
            "--output",
            "json",
            "HEAD:jobs/26-007.retin",
            "jobs/26-007.retin",
        ],
        1,
    );
    let version = env!("CARGO_PKG_VERSION");
    insta::assert_snapshot!(out.replace(&format!("\"{version}\""), "\"VERSION\""));
}

#[test]
fn two_units_are_compared_by_what_was_done() {
    let bench = Bench::with_mistakes();
    let log = "\nlog\n  2026-11-03\n    09:10  removed    if.C1, if.C2\n";
    bench.write("jobs/26-007.retin", format!("{JOB}{log}"));
    let other = JOB.replace("26-007 \"RX-3 serial 0311\"", "26-012 \"RX-3 serial 0402\"");
    let log =
        "\nlog\n  2026-12-01\n    11:00  removed    if.C1, if.C2\n    11:30  removed    if.C3\n";
    bench.write("jobs/26-012.retin", format!("{other}{log}"));
    let (out, _) = bench.run(&["compare", "jobs/26-007.retin", "jobs/26-012.retin"], 1);
    insta::assert_snapshot!(out);
}

#[test]
fn what_cannot_be_read_is_told() {
    let repository = repository();
    let file = "jobs/26-007.retin";
    for (side, reason) in [
        ("jobs/nothing.retin", "it is not there"),
        (
            "nothing:jobs/26-007.retin",
            "git knows no revision `nothing`",
        ),
        ("--help:jobs/26-007.retin", ""),
        (
            "HEAD:jobs/nothing.retin",
            "there is no file `jobs/nothing.retin` at that revision; paths begin at the top of \
             the repository, or with `./`",
        ),
        ("HEAD:jobs", "it is a folder"),
        (
            "HEAD:../../x.retin",
            "the path climbs out of the repository",
        ),
        (
            ":jobs/26-007.retin",
            "write a revision before the colon, `HEAD:jobs/26-031.retin`",
        ),
    ] {
        let (_, err) = compare(&repository, &[side, file], 2);
        if !reason.is_empty() {
            assert_eq!(err, format!("retin: {side} cannot be read: {reason}\n"));
        }
    }
    let bench = Bench::without_git();
    bench.write("a.retin", "job 1\n");
    let mut command = bench.retin(&["compare", "HEAD:a.retin", "a.retin"]);
    command.env("GIT_CEILING_DIRECTORIES", bench.path("").parent().unwrap());
    let (_, err) = outputs(command, 2);
    assert_eq!(
        err,
        "retin: HEAD:a.retin cannot be read: this folder lies in no git repository\n"
    );
}

#[test]
fn a_sheet_that_is_missing_at_a_revision_is_no_failure_of_the_disk() {
    let repository = repository();
    repository.git(&["rm", "--quiet", "--cached", "shelf.retin"]);
    repository.git(&["commit", "--quiet", "--message", "forget the shelf"]);
    let sides = ["HEAD:jobs/26-007.retin", "HEAD~1:jobs/26-007.retin"];
    let (out, err) = compare(&repository, &sides, 1);
    assert!(out.contains("E-100-25"), "{out}");
    assert_eq!(err, "");
}
