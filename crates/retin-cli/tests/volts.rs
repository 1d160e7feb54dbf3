//! `retin volts`, as a person runs it.

#![allow(
    clippy::unwrap_used,
    reason = "a helper of a test that cannot go on has failed it"
)]

mod bench;

use bench::Bench;

const JOB: &str = r#"
model a "Amplifier"

board amp "Amplifier board"
  rail V24 24V ±5%
  rail GND 0V
  resistor 5%
    R1 22kohm (1 V24, 2 BASE)
    R2 10kohm (1 BASE, 2 GND)
    R3 1kohm (1 EMIT, 2 GND)
    R4 1kohm (1 V24, 2 PIN)
  npn
    Q1 2N3904 (E EMIT, B BASE, C V24)

job 1 "Amplifier serial 5"
  model a

targets
  amp.V24 24V ±5%
  amp.EMIT expect solved, warm
  amp.Q1.B to amp.EMIT expect solved
  amp.PIN expect solved
"#;

#[test]
fn nets_and_targets_stand_in_columns() {
    let bench = Bench::new();
    bench.write("job.retin", JOB);
    let output = bench.retin(&["volts", "job.retin"]).output().unwrap();
    assert!(output.status.success());
    insta::assert_snapshot!(String::from_utf8(output.stdout).unwrap());
}

#[test]
fn json_holds_the_same() {
    let bench = Bench::new();
    bench.write("job.retin", JOB);
    let output = bench
        .retin(&["volts", "job.retin", "--output", "json"])
        .output()
        .unwrap();
    assert!(output.status.success());
    insta::assert_snapshot!(String::from_utf8(output.stdout).unwrap());
}

#[test]
fn a_file_that_is_not_there_is_a_failure() {
    let bench = Bench::new();
    bench.retin(&["volts", "none.retin"]).assert().code(2);
}
