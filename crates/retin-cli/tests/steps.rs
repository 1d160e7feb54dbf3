//! `retin steps`, as a person runs it.

#![allow(
    clippy::unwrap_used,
    reason = "a helper of a test that cannot go on has failed it"
)]

mod bench;

use bench::Bench;
use std::fs;
use std::path::Path;

const JOB: &str = r#"
model a "Amplifier"

board psu "Power supply"
  zone A 0,0 to 40,40
  zone B 40,0 to 80,40
  electrolytic
    C1 100uF 25V 8x12 p3.5 zone B at 60,20
    C2 10uF 25V 5x11 p2 zone B at 50,10
    C3 100uF 25V 8x12 p3.5 zone A at 10,10
    C4 10uF 25V 5x11 p2 zone A at 30,20
  trimmer
    VR1 1kohm
  opamp
    U1 TL072 DIP-8

job 1 "Amplifier serial 5"
  model a

steps
  fill fit every electrolytic
  photos photograph everything
  strip remove every electrolytic
  wash clean psu with isopropanol
  chip fit psu.U1 after strip 10min
    caution "static"
  tidy test
"#;

const MUDDLE: &str = r#"
model a "Amplifier"

board psu "Power supply"
  electrolytic
    C1 100uF 25V

job 1 "Amplifier serial 5"
  model a

steps
  strip remove psu.C1 after fill
  wash clean psu after strip
  fill fit psu.C1 after wash
  photos photograph psu after strip
"#;

fn printed(job: &str, arguments: &[&str], status: i32) -> String {
    let bench = Bench::new();
    bench.write("job.retin", job);
    let mut all = vec!["steps", "job.retin"];
    all.extend(arguments);
    let (out, err) = bench.run(&all, status);
    format!("{out}{err}")
}

#[test]
fn steps_stand_in_order_with_their_times_and_reasons() {
    insta::assert_snapshot!(printed(JOB, &[], 0));
}

#[test]
fn one_step_is_worked_bag_by_bag() {
    insta::assert_snapshot!(printed(JOB, &["--step", "fill"], 0));
}

#[test]
fn json_holds_the_same() {
    insta::assert_snapshot!(printed(JOB, &["--output", "json"], 0));
}

#[test]
fn json_of_one_step() {
    insta::assert_snapshot!(printed(JOB, &["--step", "fill", "--output", "json"], 0));
}

#[test]
fn what_cannot_be_put_in_order_is_told() {
    insta::assert_snapshot!(printed(MUDDLE, &[], 1));
}

#[test]
fn the_shipped_job_has_its_order() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples");
    let bench = Bench::new();
    for file in [
        "house.retin",
        "shelf.retin",
        "models/sm8.retin",
        "jobs/26-014.retin",
    ] {
        bench.write(file, fs::read(root.join(file)).unwrap());
    }
    let (all, _) = bench.run(&["steps", "jobs/26-014.retin"], 0);
    let (fill, _) = bench.run(&["steps", "jobs/26-014.retin", "--step", "fill"], 0);
    insta::assert_snapshot!(format!("{all}\n{fill}"));
}

#[test]
fn a_step_or_a_job_that_is_not_there_is_a_failure() {
    let told = printed(JOB, &["--step", "paint"], 2);
    assert!(told.contains("there is no step paint"), "{told}");
    let told = printed("model a \"Amplifier\"\n", &[], 2);
    assert!(told.contains("holds no job"), "{told}");
}
