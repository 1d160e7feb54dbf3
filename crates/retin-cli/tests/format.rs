//! `retin format`: what it writes, and what it leaves alone.

#![allow(
    clippy::unwrap_used,
    reason = "a helper of a test that cannot go on has failed it"
)]

mod bench;

use bench::{Bench, outputs};
use std::fs;

const UNTIDY: &str = "model   rx3 \"Halden RX-3 receiver\"\n\tbuilt 1980..1984\n\n\n\nboard if \"Intermediate frequency\"\n    electrolytic\n        C1   25V 10 uF\n";
const TIDY: &str = "model rx3 \"Halden RX-3 receiver\"\n  built      1980..1984\n\nboard if \"Intermediate frequency\"\n  electrolytic\n    C1  10uF 25V\n";

#[test]
fn a_file_is_written_in_its_canonical_form() {
    let bench = Bench::new();
    bench.write("a.retin", UNTIDY);
    bench.write("b.retin", TIDY);
    let before = fs::metadata(bench.path("b.retin"))
        .unwrap()
        .modified()
        .unwrap();
    assert_eq!(
        bench.run(&["format", "."], 0),
        ("formatted a.retin\n".into(), String::new())
    );
    assert_eq!(bench.read("a.retin"), TIDY);
    assert_eq!(
        fs::metadata(bench.path("b.retin"))
            .unwrap()
            .modified()
            .unwrap(),
        before
    );
    assert_eq!(
        bench.run(&["format", "."], 0),
        (String::new(), String::new())
    );
    assert_eq!(
        fs::read_dir(bench.path(".")).unwrap().count(),
        3,
        "something was left behind"
    );
}

#[test]
fn check_lists_and_writes_nothing() {
    let bench = Bench::new();
    bench.write("jobs/a.retin", UNTIDY);
    bench.write("jobs/b.retin", TIDY);
    assert_eq!(bench.run(&["format", "--check"], 1).0, "jobs/a.retin\n");
    assert_eq!(bench.read("jobs/a.retin"), UNTIDY);
    assert_eq!(bench.run(&["format", "--check", "jobs/b.retin"], 0).0, "");
}

#[test]
fn standard_input_goes_to_standard_output() {
    let bench = Bench::new();
    for arguments in [&["format"][..], &["format", "-"]] {
        let mut command = bench.retin(arguments);
        command.write_stdin(UNTIDY);
        assert_eq!(outputs(command, 0), (TIDY.into(), String::new()));
    }
    let mut command = bench.retin(&["format", "--check", "-"]);
    command.write_stdin(UNTIDY);
    assert_eq!(outputs(command, 1).0, "standard input\n");
    let mut command = bench.retin(&["format", "-"]);
    command.write_stdin(&b"a\n\xff"[..]);
    assert!(outputs(command, 2).1.contains("byte 3 (line 2) is 0xff"));
    bench.run(&["format", "-", "a.retin"], 2);
}

#[test]
fn line_ends_stay_what_they_were() {
    let bench = Bench::new();
    bench.write("a.retin", UNTIDY.replace('\n', "\r\n"));
    bench.run(&["format", "a.retin"], 0);
    assert_eq!(bench.read("a.retin"), TIDY.replace('\n', "\r\n"));
}

#[test]
fn a_line_that_cannot_be_read_is_named_and_stays() {
    let bench = Bench::new();
    let broken = UNTIDY.replace("\tbuilt 1980..1984", "  bilt   1980");
    bench.write("a.retin", &broken);
    let (out, err) = bench.run(&["format", "a.retin"], 2);
    assert_eq!(out, "formatted a.retin\n");
    assert_eq!(
        err,
        "retin: a.retin: left as typed: line 2; `retin check` says what is wrong there\n"
    );
    assert_eq!(
        bench.read("a.retin"),
        TIDY.replace("  built      1980..1984", "  bilt   1980")
    );
}

#[test]
fn what_cannot_be_read_does_not_hide_the_others() {
    let bench = Bench::new();
    bench.write("a.retin", UNTIDY);
    bench.write("b.retin", b"\xff");
    let (out, err) = bench.run(&["format", ".", "c.retin"], 2);
    assert_eq!(out, "formatted a.retin\n");
    assert!(
        err.contains("b.retin cannot be formatted: it is not UTF-8 text: byte 1 (line 1)"),
        "{err}"
    );
    assert!(
        err.contains("c.retin cannot be read: it is not there"),
        "{err}"
    );
}

#[cfg(unix)]
mod unix {
    use super::*;
    use std::os::unix::fs::{PermissionsExt as _, symlink};
    use std::process::Command;

    fn mode(bench: &Bench, name: &str) -> u32 {
        fs::metadata(bench.path(name)).unwrap().permissions().mode() & 0o7777
    }

    #[test]
    fn permissions_stay() {
        let bench = Bench::new();
        bench.write("a.retin", UNTIDY);
        fs::set_permissions(bench.path("a.retin"), fs::Permissions::from_mode(0o640)).unwrap();
        bench.run(&["format", "a.retin"], 0);
        assert_eq!(mode(&bench, "a.retin"), 0o640);
    }

    #[test]
    fn a_write_protected_file_stays() {
        let bench = Bench::new();
        bench.write("a.retin", UNTIDY);
        fs::set_permissions(bench.path("a.retin"), fs::Permissions::from_mode(0o440)).unwrap();
        let (_, err) = bench.run(&["format", "a.retin"], 2);
        assert_eq!(
            err,
            "retin: a.retin cannot be formatted: it is write-protected\n"
        );
        assert_eq!(bench.read("a.retin"), UNTIDY);
    }

    #[test]
    fn a_link_stays_a_link() {
        let bench = Bench::new();
        bench.write("store/a.retin", UNTIDY);
        symlink("store/a.retin", bench.path("a.retin")).unwrap();
        bench.run(&["format", "a.retin"], 0);
        assert!(
            fs::symlink_metadata(bench.path("a.retin"))
                .unwrap()
                .is_symlink()
        );
        assert_eq!(bench.read("store/a.retin"), TIDY);
    }

    /// A limit on the size of files stands for a full disk: it also holds for
    /// those whom no permission stops.
    #[test]
    fn a_file_that_cannot_be_written_whole_stays_as_it_was() {
        let bench = Bench::new();
        bench.write("a.retin", UNTIDY);
        let output = Command::new("sh")
            .args([
                "-c",
                "trap '' XFSZ; ulimit -f 0; exec \"$0\" format a.retin",
                env!("CARGO_BIN_EXE_retin"),
            ])
            .current_dir(bench.path("."))
            .output()
            .unwrap();
        let err = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{err}");
        assert!(
            err.contains("a.retin cannot be formatted: its folder does not take the new text"),
            "{err}"
        );
        assert_eq!(bench.read("a.retin"), UNTIDY);
        assert_eq!(
            fs::read_dir(bench.path(".")).unwrap().count(),
            2,
            "something was left behind"
        );
    }
}
