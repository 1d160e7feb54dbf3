//! `retin merge` as git's driver, in real repositories.

#![allow(
    clippy::unwrap_used,
    reason = "a helper of a test that cannot go on has failed it"
)]

mod bench;

use bench::repository::Repository;
use bench::{Bench, outputs};
use std::fs;

const JOB: &str = "\
job 26-031 \"LM-8 serial 00417\"
  owner      \"Radio Merrin\"

plan
  replace    psu.C1  with E-2200-50
  replace    psu.C2  with E-100-50
  keep       psu.C3  # sound
  keep       psu.C4

targets
  psu.V24  24V ±5%

log
  2026-11-03
    09:10  removed    psu.C1
    12:00  noted      \"lunch\"
";

fn changed(text: &str, edits: &[(&str, &str)]) -> String {
    let mut text = text.to_owned();
    for (from, to) in edits {
        assert!(text.contains(from), "{from}");
        text = text.replace(from, to);
    }
    text
}

/// Two technicians' work on one day: both log, and both change the plan.
fn anna_and_bert() -> (String, String, String) {
    let plan_of_anna = ("keep       psu.C4", "leave      psu.C4  because \"sealed\"");
    let plan_of_bert = ("±5%", "±2%");
    let of_anna = "    09:40  measured   psu.C1  1840uF\n    12:00";
    let of_bert = "    15:00  cleaned    psu with isopropanol\n";
    let anna = changed(JOB, &[plan_of_anna, ("    12:00", of_anna)]);
    let bert = changed(JOB, &[plan_of_bert]) + of_bert;
    let both = changed(&anna, &[plan_of_bert]) + of_bert;
    (anna, bert, both)
}

#[test]
fn a_merge_joins_the_work_of_two() {
    let (anna, bert, both) = anna_and_bert();
    let repository = Repository::with_job(JOB);
    repository.branch("anna", "main", &anna);
    repository.branch("bert", "main", &bert);
    repository.git(&["merge", "--quiet", "anna"]);
    assert_eq!(repository.job(), both);
}

#[test]
fn a_rebase_joins_the_work_of_two() {
    let (anna, bert, both) = anna_and_bert();
    let repository = Repository::with_job(JOB);
    repository.branch("anna", "main", &anna);
    repository.branch("bert", "main", &bert);
    repository.git(&["rebase", "--quiet", "anna"]);
    assert_eq!(repository.job(), both);
    assert_eq!(
        repository.git(&["rev-list", "--count", "main..bert"]),
        "2\n"
    );
}

#[test]
fn a_cherry_pick_takes_one_entry_over() {
    let (anna, bert, _) = anna_and_bert();
    let repository = Repository::with_job(JOB);
    repository.branch("anna", "main", &anna);
    repository.branch("bert", "main", &bert);
    repository
        .bench
        .write("job.retin", bert.clone() + "    16:00  inspected  psu\n");
    repository.commit("one more");
    repository.git(&["switch", "--quiet", "anna"]);
    repository.git(&["cherry-pick", "bert"]);
    assert_eq!(repository.job(), anna + "    16:00  inspected  psu\n");
}

#[test]
fn a_revert_takes_an_entry_out_again() {
    let (anna, _, _) = anna_and_bert();
    let repository = Repository::with_job(JOB);
    repository.branch("anna", "main", &anna);
    repository
        .bench
        .write("job.retin", anna + "    16:00  inspected  psu\n");
    repository.commit("one more");
    repository.git(&["revert", "--no-edit", "HEAD~1"]);
    assert_eq!(
        repository.job(),
        format!("{JOB}    16:00  inspected  psu\n")
    );
}

#[test]
fn three_branches_come_together_one_after_the_other() {
    let (anna, bert, both) = anna_and_bert();
    let cleo = changed(
        JOB,
        &[(
            "  2026-11-03\n",
            "  2026-11-03\n    08:30  photographed  psu\n",
        )],
    );
    let repository = Repository::with_job(JOB);
    for (name, text) in [("anna", &anna), ("bert", &bert), ("cleo", &cleo)] {
        repository.branch(name, "main", text);
    }
    repository.git(&["switch", "--quiet", "main"]);
    for name in ["anna", "bert", "cleo"] {
        repository.git(&["merge", "--quiet", "--no-ff", "--no-edit", name]);
    }
    let all = changed(
        &both,
        &[(
            "  2026-11-03\n",
            "  2026-11-03\n    08:30  photographed  psu\n",
        )],
    );
    assert_eq!(repository.job(), all);
}

#[test]
fn a_record_changed_twice_is_a_conflict_that_check_names() {
    let repository = Repository::with_job(JOB);
    repository.branch("anna", "main", &changed(JOB, &[("E-2200-50", "E-2200-63")]));
    let bert = changed(JOB, &[("E-2200-50", "E-3300-50"), ("±5%", "±2%")]);
    repository.branch("bert", "main", &bert);
    let (is_done, said) = repository.try_git(&["merge", "--quiet", "anna"]);
    assert!(!is_done);
    assert!(
        said.contains("job.retin, line 5: both sides changed `replace psu.C1 with E-3300-50`"),
        "{said}"
    );
    let expected = changed(
        &bert,
        &[(
            "  replace    psu.C1  with E-3300-50\n",
            "<<<<<<< ours\n  replace    psu.C1  with E-3300-50\n=======\n  \
             replace    psu.C1  with E-2200-63\n>>>>>>> theirs\n",
        )],
    );
    assert_eq!(repository.job(), expected);
    assert_eq!(
        repository.git(&["diff", "--name-only", "--diff-filter=U"]),
        "job.retin\n"
    );
    let (out, _) = outputs(
        repository.retin(&["check", "--color", "never", "job.retin"]),
        1,
    );
    assert_eq!(
        out.matches("wo versions were joined here").count(),
        1,
        "{out}"
    );
    repository.bench.write("job.retin", &bert);
    repository.commit("decided");
    assert_eq!(repository.git(&["status", "--porcelain"]), "");
}

#[test]
fn a_line_taken_out_and_changed_is_a_conflict() {
    let repository = Repository::with_job(JOB);
    repository.branch(
        "anna",
        "main",
        &changed(JOB, &[("  keep       psu.C4\n", "")]),
    );
    let bert = changed(JOB, &[("keep       psu.C4", "remove     psu.C4")]);
    repository.branch("bert", "main", &bert);
    let (is_done, said) = repository.try_git(&["merge", "--quiet", "anna"]);
    assert!(!is_done);
    assert!(
        said.contains("ours changed and theirs took out `remove psu.C4`"),
        "{said}"
    );
    assert!(
        repository
            .job()
            .contains("<<<<<<< ours\n  remove     psu.C4\n=======\n>>>>>>> theirs\n")
    );
}

#[test]
fn a_side_that_reformats_the_file_is_not_in_the_way() {
    let careless = changed(
        JOB,
        &[
            ("replace    psu", "replace psu"),
            ("  keep       ", "  keep "),
        ],
    );
    let repository = Repository::with_job(&careless);
    repository.branch("anna", "main", &careless);
    outputs(repository.retin(&["format", "job.retin"]), 0);
    repository.commit("format");
    let canonical = repository.job();
    let bert = changed(&careless, &[("E-2200-50", "E-2200-63")]) + "    13:00  noted \"rain\"\n";
    repository.branch("bert", "main", &bert);
    repository.git(&["merge", "--quiet", "anna"]);
    let both =
        changed(&canonical, &[("E-2200-50", "E-2200-63")]) + "    13:00  noted      \"rain\"\n";
    assert_eq!(repository.job(), both);
}

#[test]
fn files_with_other_line_ends_keep_them() {
    let (anna, bert, both) = anna_and_bert();
    let crlf = |text: &str| text.replace('\n', "\r\n");
    let repository = Repository::with_job(&crlf(JOB));
    repository.branch("anna", "main", &crlf(&anna));
    repository.branch("bert", "main", &crlf(&bert));
    repository.git(&["merge", "--quiet", "anna"]);
    assert_eq!(repository.job(), crlf(&both));
}

/// Both merge the other's branch and decide a conflict differently; then they meet.
#[test]
fn crossed_merges_decide_nothing_by_themselves() {
    let anna = changed(JOB, &[("E-2200-50", "E-2200-63")]);
    let bert = changed(JOB, &[("E-2200-50", "E-3300-50")]);
    let repository = Repository::with_job(JOB);
    repository.branch("anna", "main", &anna);
    repository.branch("bert", "main", &bert);
    repository.git(&["branch", "bert-before"]);
    for (branch, other, decided) in [("bert", "anna", &anna), ("anna", "bert-before", &bert)] {
        repository.git(&["switch", "--quiet", branch]);
        let (is_done, said) = repository.try_git(&["merge", "--quiet", other]);
        assert!(!is_done, "{said}");
        let entry = format!("    13:00  noted      \"{branch} decided\"\n");
        repository
            .bench
            .write("job.retin", decided.clone() + &entry);
        repository.commit("decide");
    }
    assert_eq!(
        repository
            .git(&["merge-base", "--all", "anna", "bert"])
            .lines()
            .count(),
        2
    );
    let (is_done, said) = repository.try_git(&["merge", "--quiet", "bert"]);
    assert!(!is_done, "{said}");
    let job = repository.job();
    assert!(
        job.contains(
            "<<<<<<< ours\n  replace    psu.C1  with E-3300-50\n=======\n  \
         replace    psu.C1  with E-2200-63\n>>>>>>> theirs\n"
        ),
        "{job}"
    );
    assert!(
        job.contains("anna decided") && job.contains("bert decided"),
        "{job}"
    );
    assert_eq!(job.matches("<<<<<<<").count(), 1, "{job}");
}

/// Both merge the other's branch without a conflict, and go on.
#[test]
fn crossed_merges_without_conflict_stay_without() {
    let (anna, bert, both) = anna_and_bert();
    let repository = Repository::with_job(JOB);
    repository.branch("anna", "main", &anna);
    repository.branch("bert", "main", &bert);
    repository.git(&["branch", "bert-before"]);
    for (branch, other, time) in [("bert", "anna", "16"), ("anna", "bert-before", "17")] {
        repository.git(&["switch", "--quiet", branch]);
        repository.git(&["merge", "--quiet", "--no-edit", other]);
        let entry = format!("    {time}:00  noted      \"{branch}\"\n");
        repository.bench.write("job.retin", both.clone() + &entry);
        repository.commit("go on");
    }
    repository.git(&["merge", "--quiet", "bert"]);
    let end = "    16:00  noted      \"bert\"\n    17:00  noted      \"anna\"\n";
    assert_eq!(repository.job(), both + end);
}

#[test]
fn both_begin_a_job_of_one_name() {
    let repository = Repository::with_job(JOB);
    repository.branch("anna", "main", JOB);
    repository
        .bench
        .write("new.retin", "job 1\n\nplan\n  keep       psu.C1\n");
    repository.commit("anna");
    repository.branch("bert", "main", JOB);
    repository
        .bench
        .write("new.retin", "job 1\n\nplan\n  keep       psu.C2\n");
    repository.commit("bert");
    repository.git(&["merge", "--quiet", "anna"]);
    assert_eq!(
        repository.bench.read("new.retin"),
        "job 1\n\nplan\n  keep       psu.C2\n  keep       psu.C1\n"
    );
}

#[test]
fn what_is_no_text_is_joined_by_lines() {
    let latin = |line: &str| {
        [
            b"job 1\n  owner \"M\xfcller\"\n".as_slice(),
            line.as_bytes(),
        ]
        .concat()
    };
    let repository = Repository::with_job(JOB);
    repository.bench.write("old.retin", latin("a\n"));
    repository.commit("latin");
    repository.branch("anna", "main", JOB);
    repository.bench.write("old.retin", latin("b\n"));
    repository.commit("anna");
    repository.branch("bert", "main", JOB);
    repository.bench.write("old.retin", latin("c\n"));
    repository.commit("bert");
    let (is_done, said) = repository.try_git(&["merge", "--quiet", "anna"]);
    assert!(!is_done);
    assert!(said.contains("old.retin is joined line by line"), "{said}");
    let joined = fs::read(repository.bench.path("old.retin")).unwrap();
    assert_eq!(
        joined,
        latin("<<<<<<< ours\nc\n=======\nb\n>>>>>>> theirs\n")
    );
}

#[test]
fn installing_says_what_it_does_and_does_it_once() {
    let repository = Repository::new();
    repository.bench.write(".gitattributes", "*.png binary");
    let (out, _) = outputs(repository.retin(&["merge", "--install"]), 0);
    assert!(
        out.contains("set merge.retin.driver of this clone to: '"),
        "{out}"
    );
    assert!(
        out.contains("added `*.retin merge=retin` to .gitattributes"),
        "{out}"
    );
    let attributes = "*.png binary\n*.retin merge=retin\n";
    assert_eq!(repository.bench.read(".gitattributes"), attributes);
    let (out, _) = outputs(repository.retin(&["merge", "--install"]), 0);
    assert_eq!(
        out,
        "nothing to do: git joins Retin files with this program already\n"
    );
    assert_eq!(repository.bench.read(".gitattributes"), attributes);
}

#[cfg(unix)]
#[test]
fn a_program_in_a_folder_with_blanks_is_found() {
    let (anna, bert, both) = anna_and_bert();
    let repository = Repository::new();
    let tools = Bench::without_git();
    let program = tools.path("it's 100% my tools/retin");
    fs::create_dir_all(program.parent().unwrap()).unwrap();
    // By another process: a program that this one writes may still be open for
    // writing in a child that another test starts, and could not be run.
    let copied = std::process::Command::new("cp")
        .arg(env!("CARGO_BIN_EXE_retin"))
        .arg(&program)
        .status()
        .unwrap();
    assert!(copied.success());
    let mut command = assert_cmd::Command::new(&program);
    command
        .current_dir(repository.bench.path(""))
        .args(["merge", "--install"]);
    outputs(command, 0);
    repository.bench.write("job.retin", JOB);
    repository.commit("begin");
    repository.branch("anna", "main", &anna);
    repository.branch("bert", "main", &bert);
    repository.git(&["merge", "--quiet", "anna"]);
    assert_eq!(repository.job(), both);
}

#[test]
fn outside_a_repository_nothing_is_installed() {
    let bench = Bench::without_git();
    let mut command = bench.retin(&["merge", "--install"]);
    command.env("GIT_CEILING_DIRECTORIES", bench.path("").parent().unwrap());
    let (_, err) = outputs(command, 2);
    assert_eq!(
        err,
        "retin: git cannot be set up: this folder lies in no git repository with a work tree\n"
    );
}

#[test]
fn a_file_that_is_missing_stops_the_join() {
    let bench = Bench::without_git();
    bench.write("a.retin", "job 1\n");
    let (_, err) = bench.run(&["merge", "a.retin", "a.retin", "b.retin"], 129);
    assert_eq!(
        err,
        "retin: a.retin cannot be joined: b.retin cannot be read, it is not there\n"
    );
}
