//! `retin left`, as a person runs it.

#![allow(
    clippy::unwrap_used,
    reason = "a helper of a test that cannot go on has failed it"
)]

mod bench;

use bench::Bench;

const JOB: &str = "\
model tg4 \"Harrowgate TG-4 tone source\"

board psu \"Power supply\"
  rail V15 15V ±5%
  rail GND 0V
  electrolytic
    C1 2200uF 40V 18x35 p7.5
    C2 100uF 25V 8x12 p3.5 (+ V15, - GND)

board amp \"Amplifier\" as a1..a4
  copper double-sided plated
  rail V15 15V ±5%
  rail GND 0V
  electrolytic
    C1, C2 10uF 25V 5x11 p2

shelf main \"Drawers\"
  electrolytic 105°C
    E-10-50 10uF 50V 5x11 p2 have 20

job 26-102 \"TG-4 serial 13\"
  model tg4

plan
  keep    psu.C1
  replace psu.C2 with 100uF 35V 8x12 p3.5
  replace amp.C1, amp.C2 with E-10-50

steps
  photos photograph every board
  strip  remove psu.C2, amp.C1..C2 after photos
  wash   clean every board with isopropanol after strip 1h
  fill   fit psu.C2, amp.C1..C2 after wash
  look   inspect every board after fill
  ohms   measure psu.V15 after look unpowered
  first  power psu with lamp after ohms
  listen test every board after first

targets
  psu.V15 15V ±4% ripple below 5mV
  a1..a4.V15 15V ±5%

log
  2026-10-05
    09:00 photographed psu, amp
    09:30 removed psu.C2, a1..a4.C1..C2
    10:10 damaged a3.C1.+ pad lifted
    10:20 damaged a2.C1.- pad lifted
    10:40 repaired a2.C1.- wire 0.5mm to a2.C2.-
    11:00 cleaned psu, amp with isopropanol
    13:00 fitted a1..a2.C1..C2, a4.C1..C2 with E-10-50
    13:30 inspected a1..a2, a4 both sides
    13:40 measured a1.V15 14.9V
";

fn bench() -> Bench {
    let bench = Bench::new();
    bench.write("job.retin", JOB);
    bench
}

#[test]
fn what_is_left_is_told_by_board_by_step_and_by_the_clock() {
    let (said, _) = bench().run(&["left", "job.retin"], 0);
    insta::assert_snapshot!(said);
}

#[test]
fn json_holds_the_same() {
    let (said, _) = bench().run(&["left", "job.retin", "--output", "json"], 0);
    insta::assert_snapshot!(said);
}

#[test]
fn a_job_without_plan_steps_or_log_has_nothing_to_tell() {
    let bench = Bench::new();
    bench.write("job.retin", "job 26-103 \"TG-4 serial 14\"\n");
    let (said, _) = bench.run(&["left", "job.retin"], 0);
    insta::assert_snapshot!(said);
}

#[test]
fn a_file_without_a_job_is_wrong_use() {
    let bench = Bench::new();
    bench.write("shelf.retin", "shelf main \"Drawers\"\n");
    let (_, said) = bench.run(&["left", "shelf.retin"], 2);
    assert_eq!(
        said,
        "retin: shelf.retin holds no job, and what is left is left of a job\n"
    );
    bench.run(&["left", "none.retin"], 2);
}

#[test]
fn the_shipped_job_in_the_middle_of_its_work() {
    let examples = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples");
    let bench = Bench::new();
    for file in [
        "house.retin",
        "shelf.retin",
        "models/sm8.retin",
        "jobs/26-014.retin",
    ] {
        bench.write(file, std::fs::read(format!("{examples}/{file}")).unwrap());
    }
    let (said, _) = bench.run(&["left", "jobs/26-014.retin"], 0);
    insta::assert_snapshot!(said);
}
