//! What the log shows done, what is left, and gates, over small jobs.

#![allow(
    clippy::unwrap_used,
    reason = "a helper of a test that cannot go on has failed it"
)]

use proptest::prelude::*;
use retin::check::check_at;
use retin::meaning::Case;
use retin::replacement::replacements;
use retin::sources::{SourceFile, Sources};
use retin::stage::Stage;
use retin::time::gate::{GATES, Gate, Verdict, gate};
use retin::time::left::{How, WhatIsLeft, what_is_left};
use retin::time::order::order;
use retin_syntax::value::Decimal;
use std::sync::Arc;

const HEAD: &str = "\
model a \"Amplifier\"

board amp \"Amplifier\" as a1..a3
  rail V15 15V
  rail GND 0V
  electrolytic
    C1 10uF 25V (+ V15, - GND)
    C2 10uF 25V (+ V15, - GND)

job 1 \"Amplifier serial 5\"
  model a

plan
  replace every electrolytic with 10uF 35V

steps
  before photograph every board
  strip  remove every electrolytic after before
  fill   fit every electrolytic after strip
  after  photograph every board after fill 30min

";

fn with_case<T>(log: &str, look: impl FnOnce(&Case<'_>) -> T) -> T {
    let mut sources = Sources::new();
    let text = format!("{HEAD}{log}");
    let root = sources.add(Arc::new(SourceFile::new("job.retin".into(), text)));
    look(&Case::build(&sources, root))
}

fn left(log: &str) -> WhatIsLeft {
    with_case(log, |case| {
        assert_eq!(case.problems, []);
        let chosen = replacements(case);
        let order = order(case, case.job.as_ref().unwrap(), &chosen);
        what_is_left(case, &case.replay, order.as_ref()).unwrap()
    })
}

fn ask(case: &Case<'_>) -> Vec<Gate> {
    let chosen = replacements(case);
    let order = case.job.as_ref().and_then(|job| order(case, job, &chosen));
    let ask = |stage| gate(case, check_at(case, stage), &case.replay, order.as_ref());
    GATES.into_iter().filter_map(ask).collect()
}

const ALL_OUT: &str = "\
log
  2026-10-05
    09:00 photographed amp
    10:00 removed a1..a3.C1..C2
";

#[test]
fn a_picture_counts_for_the_step_it_was_taken_in() {
    let left = left(ALL_OUT);
    let states: Vec<How> = left.steps.iter().map(|step| step.how).collect();
    assert_eq!(states, [How::Done, How::Done, How::Free, How::Waits]);
    let again = format!("{ALL_OUT}    11:00 fitted a1..a3.C1..C2\n    12:00 photographed a2\n");
    let left = self::left(&again);
    let last = &left.steps[3];
    assert_eq!((last.progress.done.len(), last.progress.left.len()), (1, 2));
    // Two of three boards are left of half an hour.
    assert_eq!(last.seconds, Decimal::from(20 * 60));
    assert_eq!(left.hours.to_go, Some(Decimal::from(20 * 60)));
    assert_eq!(left.hours.spent, 180);
}

#[test]
fn a_copy_is_compared_with_most_of_its_siblings() {
    let behind = left(&format!(
        "{ALL_OUT}    11:00 fitted a1..a3.C1\n    11:10 fitted a1.C2, a3.C2\n    12:00 inspected amp\n"
    ));
    let [alike, one] = &behind.boards[..] else {
        panic!("{:?}", behind.boards);
    };
    assert_eq!((alike.copies.len(), alike.beside.is_none()), (2, true));
    let beside = one.beside.as_ref().unwrap();
    assert_eq!((beside.behind.len(), beside.ahead.len()), (1, 0));
    let ahead = left(&format!(
        "{ALL_OUT}    11:00 fitted a1.C1..C2\n    12:00 inspected a1\n"
    ));
    let beside = ahead.boards[0].beside.as_ref().unwrap();
    assert_eq!((beside.behind.len(), beside.ahead.len()), (0, 2));
}

#[test]
fn one_board_may_be_finished_before_the_next_is_opened() {
    let by_board = |log: &str| {
        let steps = "\
  s1 remove a1.C1..C2 after before
  f1 fit a1.C1..C2 after s1
  s2 remove a2..a3.C1..C2 after f1
  f2 fit a2..a3.C1..C2 after s2
";
        let old = "\
  strip  remove every electrolytic after before
  fill   fit every electrolytic after strip
  after  photograph every board after fill 30min
";
        let mut sources = Sources::new();
        let text = format!("{}{log}", HEAD.replace(old, steps));
        let root = sources.add(Arc::new(SourceFile::new("job.retin".into(), text)));
        let case = Case::build(&sources, root);
        let names = |gate: &Gate| {
            gate.obstacles
                .iter()
                .map(|one| one.name)
                .collect::<Vec<_>>()
        };
        names(&ask(&case)[2])
    };
    let log = "log\n  2026-10-05\n    09:00 photographed amp\n    10:00 removed a1.C1..C2\n";
    assert!(!by_board(log).contains(&"still-in"));
    let filled = format!("{log}    11:00 fitted a1.C1..C2\n");
    assert!(by_board(&filled).contains(&"still-in"));
}

/// A supply whose rails were read against one another, and not to ground.
const READ_ELSEWHERE: &str = "\
model a \"Mixer\"

board psu \"Supply\"
  rail +15 15V ±2%
  rail -15 -15V ±2%
  rail GND 0V
  electrolytic
    C1 2200uF 25V reservoir (+ +15, - GND)
  resistor
    R2 47ohm (1 -15, 2 GND)
  opamp DIP-8 socketed
    U1 TL072 (8 +15, 4 -15)

job 1 \"Mixer serial 5\"
  model a

plan
  socket psu.U1

steps
  cold measure psu.+15, psu.-15 unpowered
  lamp power psu with lamp after cold

targets
  psu.C1.+ to psu.R2.1 below 1ohm, unpowered

log
  2026-10-05
    09:00 photographed psu
    09:10 removed psu.U1
    09:20 measured psu.C1.+ to psu.R2.1 0.1ohm
";

#[test]
fn a_rail_is_read_when_a_probe_sits_at_ground() {
    let told = |log: &str, stage: Stage| {
        let mut sources = Sources::new();
        let text = format!("{READ_ELSEWHERE}{log}");
        let root = sources.add(Arc::new(SourceFile::new("job.retin".into(), text)));
        let case = Case::build(&sources, root);
        assert_eq!(case.problems, []);
        let gates = ask(&case);
        let gate = gates.iter().find(|gate| gate.stage == stage).unwrap();
        let of_rails = |name: &str| ["ground-not-read", "rail-not-read"].contains(&name);
        let told = gate.obstacles.iter().filter(|one| of_rails(one.name));
        told.map(|one| one.fault.fact.clone()).collect::<Vec<_>>()
    };
    assert_eq!(
        told("", Stage::Power),
        ["the log has no resistance to ground of psu.+15, psu.-15"]
    );
    let cold =
        "    09:30 measured psu.C1.+ to psu.R2.2 900ohm\n    09:31 measured psu.-15 800ohm\n";
    assert_eq!(told(cold, Stage::Power), [""; 0]);
    let powered =
        "    10:00 powered psu with lamp 100mA\n    10:10 measured psu.+15 to psu.-15 30V\n";
    assert_eq!(
        told(powered, Stage::Chips),
        [
            "the log has no reading of psu.+15 under power; it feeds psu.U1",
            "the log has no reading of psu.-15 under power; it feeds psu.U1",
        ]
    );
    let read = "    10:20 measured psu.+15 15V\n    10:21 measured psu.-15 to psu.GND -15V\n";
    assert_eq!(told(&format!("{powered}{read}"), Stage::Chips), [""; 0]);
}

#[test]
fn a_step_that_reads_rails_is_done_when_they_were_read_to_ground() {
    let is_done = |log: &str| {
        let mut sources = Sources::new();
        let text = format!("{READ_ELSEWHERE}{log}");
        let root = sources.add(Arc::new(SourceFile::new("job.retin".into(), text)));
        let case = Case::build(&sources, root);
        let order = order(&case, case.job.as_ref().unwrap(), &replacements(&case));
        let left = what_is_left(&case, &case.replay, order.as_ref()).unwrap();
        left.steps[0].how == How::Done
    };
    assert!(!is_done(""));
    assert!(is_done(
        "    09:30 measured psu.C1.+ to psu.R2.2 900ohm\n    09:31 measured psu.-15 800ohm\n"
    ));
}

#[test]
fn a_charge_is_gone_where_it_was_read_across_the_part() {
    let is_told = |read: &str| {
        let mut sources = Sources::new();
        let text =
            format!("{READ_ELSEWHERE}    09:30 discharged psu.C1\n    09:31 measured {read}\n");
        let root = sources.add(Arc::new(SourceFile::new("job.retin".into(), text)));
        let case = Case::build(&sources, root);
        assert_eq!(case.problems, []);
        let gates = ask(&case);
        let mut obstacles = gates.iter().flat_map(|gate| &gate.obstacles);
        obstacles.any(|one| one.name == "charge-left")
    };
    for elsewhere in [
        "psu.C1.+ to psu.R2.1 0V",
        "psu.C1.+ to psu.C1.+ 0V",
        "psu.C1.- 0V",
        "psu.C1.- to psu.R2.2 0V",
    ] {
        assert!(is_told(elsewhere), "{elsewhere}");
    }
    for across in [
        "psu.C1 0V",
        "psu.C1.+ 0V",
        "psu.C1.+ to psu.C1.- 0V",
        "psu.C1.- to psu.C1.+ 0V",
        "psu.+15 to psu.GND 0V",
    ] {
        assert!(!is_told(across), "{across}");
    }
}

#[test]
fn an_answer_follows_from_its_obstacles() {
    with_case(ALL_OUT, |case| {
        for gate in ask(case) {
            assert_eq!(gate.verdict == Verdict::Go, gate.obstacles.is_empty());
            let named: u32 = gate.missing.iter().map(|missing| missing.count).sum();
            assert_eq!(named, gate.sum(|tally| tally.not_checked));
        }
    });
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Whatever stands in the log, every gate answers, and the same at every run.
    #[test]
    fn any_log_is_answered(entries in prop::collection::vec(
        prop::sample::select(vec![
            "photographed amp", "removed a1.C1", "removed a1..a3.C1..C2", "fitted a1.C1",
            "fitted a1..a3.C1..C2", "damaged a1.C1.+ pad lifted", "repaired a1.C1.+",
            "measured a1.C1.+ to a1.C1.+ 0.1ohm", "powered amp", "inspected amp",
            "cleaned amp", "tested", "discharged a1.C1", "measured a1.V15 3ohm", "returned",
        ]),
        0..12,
    )) {
        let lines: String = entries.iter().map(|entry| format!("    ? {entry}\n")).collect();
        let log = format!("log\n  2026-10-05\n{lines}");
        let answers = || with_case(&log, |case| {
            let chosen = replacements(case);
            let order = case.job.as_ref().and_then(|job| order(case, job, &chosen));
            (ask(case), what_is_left(case, &case.replay, order.as_ref()))
        });
        let first = answers();
        prop_assert_eq!(first.0.len(), GATES.len());
        prop_assert_eq!(first, answers());
    }
}
