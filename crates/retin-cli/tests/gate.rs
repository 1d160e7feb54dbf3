//! `retin gate`, as a person runs it.

#![allow(
    clippy::unwrap_used,
    reason = "a helper of a test that cannot go on has failed it"
)]

mod bench;

use bench::Bench;

const MODEL: &str = "\
model tg4 \"Harrowgate TG-4 tone source\"
  revision 1
  mains    230V 50Hz
  headroom 40mm

board psu \"Power supply\"
  copper single-sided
  rail RAW 24V ±20%
  rail V15 15V ±5%
  rail GND 0V
  electrolytic 85°C radial
    C1 2200uF 40V 18x35 p7.5 reservoir (+ RAW, - GND)
      beep - GND
    C2 100uF 25V 8x12 p3.5 bypass (+ V15, - GND)
      beep - GND
  regulator
    U1 7815 TO-220 (in RAW, common GND, out V15)

board amp \"Amplifier\" as a1..a2
  copper double-sided plated
  rail V15 15V ±5%
  rail GND 0V
  electrolytic 85°C radial
    C1 10uF 25V 5x11 p2 bypass (+ V15, - GND)
      beep - GND
  opamp
    U1 TL072 (4 GND, 8 V15)

link J1 \"supply to the amplifiers\" 6 joints
  psu.V15 to a1..a2.V15
  psu.GND to a1..a2.GND
";

const SHELF: &str = "\
shelf main \"Drawers\"
  electrolytic 105°C radial ±20%
    E-10-50    10uF 50V  5x11 p2    life 5000h  have 9
    E-100-35   100uF 35V 8x12 p3.5  life 5000h  have 9
    E-2200-50  2200uF 50V 18x35 p7.5 life 5000h ripple 2.5A have 9
  socket
    SK-8  DIP-8  have 9
";

const JOB: &str = "\
use \"model.retin\"
use \"shelf.retin\"

job 26-101 \"TG-4 serial 12\"
  model tg4 revision 1

plan
  replace every electrolytic from main
  keep    every regulator
  socket  amp.U1 with SK-8

steps
  photos photograph everything
  empty  discharge psu.C1 after photos
  strip  remove every electrolytic, opamp after empty
  wash   clean every board with isopropanol after strip
  fill   fit every electrolytic after wash
  look   inspect every board after fill
  ohms   measure every rail after look unpowered
  first  power psu with lamp after ohms
  volts  measure psu.RAW, psu.V15 after first
  joints solder every link after volts
  again  discharge psu.C1 after joints
  chips  fit amp.U1 after again
  listen test everything after chips

targets
  psu.V15 15V ±4%
  psu.RAW 20..28V
  psu.V15 to psu.GND above 200ohm, unpowered
";

const BEFORE_STRIP: &str = "
log
  2026-10-05
    09:00 photographed psu, amp
    09:20 discharged psu.C1
    09:21 measured psu.C1 0.1V
";

const BEFORE_FIT: &str = "    09:30 removed psu.C1..C2
    09:50 removed a1..a2.C1
    10:10 removed a1..a2.U1
    11:00 cleaned psu, amp with isopropanol
";

const BEFORE_POWER: &str = "    13:00 fitted psu.C1 with E-2200-50
    13:05 fitted psu.C2 with E-100-35
    13:10 fitted a1..a2.C1 with E-10-50
    13:20 fitted a1..a2.U1 with SK-8
    13:40 inspected psu, amp both sides
    14:00 measured psu.RAW to psu.GND 12kohm
    14:02 measured psu.V15 to psu.GND 4.2kohm
";

const BEFORE_CHIPS: &str = "    14:10 powered psu with lamp
    14:12 measured psu.RAW 23.4V
    14:13 measured psu.V15 15.02V
    14:20 soldered J1
    14:30 discharged psu.C1
    14:31 measured psu.C1 0.2V
";

const BEFORE_CLOSE: &str = "    14:40 fitted a1..a2.U1
    15:00 powered psu, amp 200mA
    15:10 tested psu, amp
";

/// The job, with its log up to a gate.
fn job_before(gate: &str) -> String {
    let logs = [
        ("order", ""),
        ("strip", BEFORE_STRIP),
        ("fit", BEFORE_FIT),
        ("power", BEFORE_POWER),
        ("chips", BEFORE_CHIPS),
        ("close", BEFORE_CLOSE),
    ];
    let last = logs.iter().position(|log| log.0 == gate).unwrap();
    let logs = logs[..=last].iter().map(|log| log.1);
    std::iter::once(JOB).chain(logs).collect()
}

fn bench(job: &str) -> Bench {
    let bench = Bench::new();
    bench.write("model.retin", MODEL);
    bench.write("shelf.retin", SHELF);
    bench.write("job.retin", job);
    bench
}

/// What a gate says of a job, with its exit status.
fn ask(gate: &str, job: &str, status: i32) -> String {
    bench(job).run(&["gate", gate, "job.retin"], status).0
}

#[test]
fn a_sound_job_is_let_through_at_each_gate() {
    for gate in ["order", "strip", "fit", "power", "chips", "close"] {
        let said = ask(gate, &job_before(gate), 0);
        assert!(said.starts_with("GO  "), "{said}");
        insta::assert_snapshot!(format!("go_{gate}"), said);
    }
}

#[test]
fn a_gate_that_was_passed_long_ago_is_still_answered() {
    let job = job_before("close");
    for gate in ["order", "power"] {
        let said = ask(gate, &job, 0);
        assert!(said.starts_with("GO  "), "{said}");
    }
    // Since then the reservoir has been charged again.
    for gate in ["strip", "fit", "chips"] {
        let said = ask(gate, &job, 1);
        assert!(said.contains("[charge-left]"), "{said}");
        assert!(said.contains("1 thing stands in the way"), "{said}");
    }
}

/// The job before a gate with one thing changed, and what stands in the way then.
fn in_the_way(gate: &str, changes: &[(&str, &str)]) -> String {
    let mut job = job_before(gate);
    let mut model = MODEL.to_owned();
    for (old, new) in changes {
        assert!(job.contains(old) || model.contains(old), "{old}");
        job = job.replace(old, new);
        model = model.replace(old, new);
    }
    let bench = bench(&job);
    bench.write("model.retin", model);
    let (said, _) = bench.run(&["gate", gate, "job.retin"], 1);
    assert!(said.starts_with("NO-GO  "), "{said}");
    let (_, rest) = said.split_once("\n\n").unwrap();
    let (obstacles, _) = rest.split_once("\nChecked: ").unwrap();
    format!("{gate}: {changes:?}\n{obstacles}")
}

/// Texts of the job or its model, and what stands there instead.
type Changes = &'static [(&'static str, &'static str)];

/// Each reason for a NO-GO, the gate, and the change of the job that it follows from.
const REASONS: &[(&str, &str, Changes)] = &[
    (
        "nothing-planned",
        "order",
        &[(
            "  replace every electrolytic from main\n  keep    every regulator\n  socket  amp.U1 with SK-8\n",
            "",
        )],
    ),
    (
        "no-picture",
        "strip",
        &[("photographed psu, amp", "photographed psu, a2")],
    ),
    (
        "charge-left",
        "strip",
        &[(
            "    09:20 discharged psu.C1\n    09:21 measured psu.C1 0.1V\n",
            "",
        )],
    ),
    (
        "charge-left-unread",
        "strip",
        &[("    09:21 measured psu.C1 0.1V\n", "")],
    ),
    (
        "charge-left-read",
        "strip",
        &[("psu.C1 0.1V", "psu.C1 18V")],
    ),
    (
        "charge-left-chips",
        "chips",
        &[(
            "    14:30 discharged psu.C1\n    14:31 measured psu.C1 0.2V\n",
            "",
        )],
    ),
    ("still-in", "fit", &[("removed a1..a2.C1", "removed a1.C1")]),
    (
        "not-cleaned",
        "fit",
        &[("cleaned psu, amp with", "cleaned psu with")],
    ),
    (
        "damage-below-part",
        "fit",
        &[(
            "    11:00",
            "    10:20 damaged a2.C1.+ pad lifted\n    11:00",
        )],
    ),
    (
        "accident-open",
        "power",
        &[(
            "    13:40",
            "    13:30 damaged a2.C1.+ pad lifted\n    13:32 repaired a2.C1.+ wire 0.5mm to a2.U1.8\n    13:40",
        )],
    ),
    (
        "left-over",
        "power",
        &[(
            "    13:10 fitted a1..a2.C1 with E-10-50\n",
            "    13:10 fitted a1.C1 with E-10-50\n",
        )],
    ),
    (
        "no-socket",
        "power",
        &[
            ("  chips  fit amp.U1 after again\n", ""),
            ("after chips", "after again"),
            ("    13:20 fitted a1..a2.U1 with SK-8\n", ""),
        ],
    ),
    (
        "left-over-chip",
        "close",
        &[("    14:40 fitted a1..a2.U1\n", "    14:40 fitted a1.U1\n")],
    ),
    (
        "joint-not-inspected",
        "power",
        &[("inspected psu, amp both", "inspected psu, a1 both")],
    ),
    (
        "ground-not-read",
        "power",
        &[(
            "    14:00 measured psu.RAW to psu.GND 12kohm\n    14:02 measured psu.V15 to psu.GND 4.2kohm\n",
            "",
        )],
    ),
    ("ground-not-read-short", "power", &[("12kohm", "3ohm")]),
    ("ground-not-read-target", "power", &[("4.2kohm", "120ohm")]),
    (
        "ground-not-read-since",
        "power",
        &[(
            "    14:02 measured psu.V15 to psu.GND 4.2kohm\n",
            "    14:02 measured psu.V15 to psu.GND 4.2kohm\n    14:04 soldered psu.C2\n    14:05 inspected psu.C2\n",
        )],
    ),
    (
        "supply-not-alone",
        "power",
        &[("power psu with lamp", "power psu, amp with lamp")],
    ),
    ("no-limit", "power", &[("power psu with lamp", "power psu")]),
    (
        "rail-not-read",
        "chips",
        &[("    14:13 measured psu.V15 15.02V\n", "")],
    ),
    ("rail-not-read-limits", "chips", &[("15.02V", "17.9V")]),
    (
        "reading-missing",
        "close",
        &[("    14:12 measured psu.RAW 23.4V\n", "")],
    ),
    (
        "not-tried",
        "close",
        &[
            ("  listen test everything after chips\n", ""),
            ("tested psu, amp", "tested psu, a1"),
        ],
    ),
    (
        "step-left",
        "power",
        &[
            (
                "  first  power",
                "  seen   photograph psu after look\n  first  power",
            ),
            ("after ohms", "after ohms, seen"),
        ],
    ),
    // A rule of the checker, from its own stage on.
    (
        "polarity-reversed",
        "fit",
        &[(
            "C2 100uF 25V 8x12 p3.5 bypass (+ V15, - GND)",
            "C2 100uF 25V 8x12 p3.5 bypass (+ GND, - V15)",
        )],
    ),
];

#[test]
fn each_reason_for_a_no_go_is_told_with_its_place() {
    for (name, gate, changes) in REASONS {
        let name = format!("no_go_{}", name.replace('-', "_"));
        insta::assert_snapshot!(name, in_the_way(gate, changes));
    }
}

#[test]
fn every_demand_has_a_job_that_it_stops() {
    for demand in retin::time::demands::DEMANDS {
        let is_shown = REASONS
            .iter()
            .any(|reason| reason.0.starts_with(demand.name));
        assert!(is_shown, "{}", demand.name);
    }
}

#[test]
fn json_holds_the_same() {
    let job = job_before("power").replace("inspected psu, amp both", "inspected psu, a1 both");
    let (said, _) = bench(&job).run(&["gate", "power", "job.retin", "--output", "json"], 1);
    let mut value: serde_json::Value = serde_json::from_str(&said).unwrap();
    assert_eq!(value["verdict"], "no-go");
    // The counts of every rule change with the rules; their form is that of `check`.
    assert!(
        value["checks"]
            .as_array()
            .is_some_and(|checks| checks.len() > 20)
    );
    value["checks"] = serde_json::Value::Null;
    value["counts"] = serde_json::Value::Null;
    insta::assert_snapshot!(serde_json::to_string_pretty(&value).unwrap());
}

#[test]
fn a_gate_or_a_job_that_is_not_there_is_wrong_use() {
    let bench = bench(JOB);
    let (_, said) = bench.run(&["gate", "power", "model.retin"], 2);
    assert_eq!(
        said,
        "retin: model.retin holds no job, and a gate is a gate of a job\n"
    );
    bench.run(&["gate", "power", "none.retin"], 2);
    bench.run(&["gate", "lunch", "job.retin"], 2);
    bench.run(&["gate", "list", "job.retin"], 2);
}

#[test]
fn what_cannot_be_read_lets_nothing_through() {
    let bench = bench(&job_before("order"));
    bench.write("shelf.retin", [0xff, 0xfe, 0x00, 0xd8]);
    let (said, _) = bench.run(&["gate", "order", "job.retin"], 2);
    assert!(said.starts_with("NO-GO  "), "{said}");
}

#[test]
fn the_shipped_job_in_the_middle_of_its_work_is_not_ready_for_power() {
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
    for (gate, status) in [("strip", 0), ("fit", 0), ("power", 1)] {
        let (said, _) = bench.run(&["gate", gate, "jobs/26-014.retin"], status);
        insta::assert_snapshot!(format!("shipped_{gate}"), said);
    }
}
