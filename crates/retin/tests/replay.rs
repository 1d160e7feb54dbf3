//! The log replayed: what states it brings a unit to, and the laws of replaying.

use proptest::prelude::*;
use retin::check::check;
use retin::meaning::{Case, PlaceId};
use retin::sources::{FileId, SourceFile, Sources};
use retin::time::{Content, Status, replay};
use std::fmt::Write as _;
use std::sync::Arc;

const UNIT: &str = "model a \"Amplifier\"

board psu \"Supply\"
  copper single-sided
  rail V24 24V
  rail GND 0V
  electrolytic
    C1..C4 10uF 25V (+ V24, - GND)
  trimmer
    VR1 1kohm

board strip \"Strip\" as ch1..ch3
  copper double-sided plated
  electrolytic
    C1..C3 10uF 25V
  opamp socketed
    U1 TL072

shelf main
  electrolytic
    E-10-50 10uF 50V
    E-22-50 22uF 50V

job 1
  model a

plan
  replace every electrolytic with E-10-50
  keep every opamp, trimmer

log
";

fn sources(log: &str) -> (Sources, FileId) {
    let mut sources = Sources::new();
    let root = sources.add(Arc::new(SourceFile::new(
        "job.retin".into(),
        format!("{UNIT}{log}"),
    )));
    (sources, root)
}

fn place(case: &Case<'_>, name: &str) -> PlaceId {
    *case
        .places_named(name)
        .first()
        .expect("a place of the unit")
}

/// A day of work with an accident, told as what the replay makes of it.
#[test]
fn a_day_of_work() {
    let (sources, root) = sources(
        "  2026-11-03
    09:00  photographed  everything
    09:10  MK removed    every electrolytic on psu except psu.C4
    09:20  removed    ch1, ch2 C1..C3 except C2
    09:30  damaged    psu.C1.-  pad lifted
    09:32  damaged    ch1.C1.+  barrel torn
    09:40  repaired   psu.C1.-  wire 0.5mm to psu.C2.-
    09:42  measured   psu.C2.- to C1.-  0.1ohm
    09:45  repaired   ch1.C1.+  barrel wired
    09:46  measured   ch1.C1.+ to ch1.C2.+  0.2ohm
    10:00  fitted     psu C1..C3 with E-10-50
    10:10  fitted     ch1 C1 with E-22-50
    10:20  inspected  psu
    10:30  removed    ch1.C3
    11:00  powered    psu with lamp  100mA
    11:05  measured   psu.V24  24.1V cold, 23.9V warm, ripple 3mV
  next day
    08:00  corrected  2026-11-03 10:10 fitted ch1.C1 with E-10-50
    08:05  corrected  10:30 because \"it was C3 of the second strip\"
    08:10  corrected  2026-11-03 10:30 because \"it was C3 of the second strip\"
",
    );
    let case = Case::build(&sources, root);
    let replay = replay(&case);
    let mut told = String::new();
    for name in ["psu.C1", "psu.C4", "ch1.C1", "ch1.C2", "ch1.C3", "ch3.C1"] {
        let state = replay.state(&case, place(&case, name));
        let _ = writeln!(
            told,
            "{name}: {:?}, removed by {:?}, fitted by {:?}, looked at by {:?}, left: {:?}",
            state.place.content,
            state.place.removed,
            state.place.fitted,
            state.inspected(),
            replay.left_at(&case, place(&case, name)),
        );
    }
    for record in &replay.accidents {
        let _ = writeln!(
            told,
            "accident {} of entry {}: {:?}, {:?}, one side by {:?}",
            record.number,
            record.entry,
            record.accident,
            record.status(),
            record.one_side
        );
    }
    for impossible in &replay.impossible {
        let _ = writeln!(
            told,
            "impossible: entry {}, {:?}",
            impossible.entry, impossible.kind
        );
    }
    for problem in &case.problems {
        let _ = writeln!(told, "problem: {:?}", problem.kind);
    }
    let _ = writeln!(told, "minutes worked: {}", replay.minutes_worked());
    insta::assert_snapshot!(told);
}

#[test]
fn a_state_can_be_asked_for_at_any_entry() {
    let (sources, root) = sources(
        "  2026-11-03
    09:10  removed    psu.C1
    09:40  fitted     psu.C1 with E-10-50
  2026-11-05
    09:00  removed    psu.C1
",
    );
    let case = Case::build(&sources, root);
    let replay = replay(&case);
    let place = place(&case, "psu.C1");
    let contents: Vec<Content> = (0..4)
        .map(|entry| replay.before(&case, place, entry).place.content)
        .collect();
    assert_eq!(
        contents,
        [Content::Old, Content::Empty, Content::New, Content::Empty]
    );
    let day = |text: &str| match retin_syntax::value::read(text) {
        Ok(retin_syntax::value::Value::Date(date)) => date,
        other => panic!("{other:?}"),
    };
    let on = |text: &str| replay.on(&case, place, day(text)).place.content;
    assert_eq!(on("2026-11-02"), Content::Old);
    assert_eq!(on("2026-11-04"), Content::New);
    assert_eq!(on("2026-11-09"), Content::Empty);
}

#[test]
fn a_beep_or_a_low_reading_proves_a_wire_and_a_high_one_does_not() {
    for (reading, status) in [
        ("0.2ohm", Status::Proven),
        ("beep", Status::Proven),
        ("4.7kohm", Status::Repaired),
    ] {
        let (sources, root) = sources(&format!(
            "  2026-11-03
    09:30  damaged    psu.C1.-  pad lifted
    09:40  repaired   psu.C1.-  wire 0.5mm to psu.C2.-
    09:42  measured   psu.C1.- to psu.C2.-  {reading}
"
        ));
        let case = Case::build(&sources, root);
        assert_eq!(replay(&case).accidents[0].status(), status, "{reading}");
    }
}

/// An entry as a tired hand may write it.
fn entry() -> impl Strategy<Value = String> {
    let target = prop::sample::select(
        &[
            "psu.C1",
            "psu.C1..C4",
            "ch1..ch3.C2",
            "ch2 C1..C3",
            "strip",
            "psu",
            "psu.V24",
            "psu.C1.-",
            "ch1.U1",
            "psu.VR1",
            "every electrolytic",
            "everything",
            "nosuch.C9",
            "psu.C99",
            "psu.C1.x",
            "every board",
            "",
        ][..],
    );
    let what = prop::sample::select(
        &[
            "removed {}",
            "fitted {} with E-10-50",
            "fitted {}",
            "fitted {} with E-22-50",
            "damaged {} pad lifted",
            "damaged {} reversed",
            "damaged {} fell over",
            "repaired {} wire 0.5mm to psu.C2.-",
            "repaired {} turned",
            "repaired {} part renewed",
            "measured {} to psu.C2.- 0.1ohm both sides",
            "measured {} 24.1V cold, 23V warm",
            "measured {} 9uF, esr 0.6ohm",
            "inspected {}",
            "inspected {} both sides",
            "cleaned {} with isopropanol",
            "powered {} with lamp 100mA",
            "powered {}",
            "adjusted {} to minimum",
            "soldered {}",
            "photographed {}",
            "discharged {}",
            "tested {}",
            "returned",
            "noted \"so\"",
            "measured {}",
            "fited {}",
        ][..],
    );
    let time = prop::sample::select(&["09:10 ", "09:40 ", "23:50 ", "? ", "", "MK ", "25:99 "][..]);
    (time, what, target)
        .prop_map(|(time, what, target)| format!("{time}{}", what.replace("{}", target)))
}

fn correction() -> impl Strategy<Value = String> {
    let when = prop::sample::select(
        &[
            "09:10 ",
            "2026-11-03 09:10 ",
            "2026-11-04 09:40 ",
            "",
            "5V ",
        ][..],
    );
    (when, entry()).prop_map(|(when, entry)| {
        let entry = entry.trim_start_matches(|letter: char| !letter.is_ascii_lowercase());
        format!("corrected {when}{entry}")
    })
}

fn days(entries: &[String]) -> String {
    let mut log = String::from("  2026-11-03\n");
    for (index, entry) in entries.iter().enumerate() {
        if index % 7 == 6 {
            log.push_str("  next day\n");
        }
        let _ = writeln!(log, "    {entry}");
    }
    log
}

/// Every state of the unit after each of so many entries.
fn states(case: &Case<'_>, entries: usize) -> String {
    let replay = replay(case);
    let mut told = String::new();
    for entry in 0..=entries {
        for place in case.places() {
            let _ = writeln!(told, "{:?}", replay.before(case, place, entry));
        }
    }
    told
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn replaying_never_panics_and_is_the_same_twice(
        entries in prop::collection::vec(prop_oneof![5 => entry(), 1 => correction()], 0..30)
    ) {
        let (sources, root) = sources(&days(&entries));
        let case = Case::build(&sources, root);
        prop_assert_eq!(replay(&case), replay(&case));
        prop_assert_eq!(check(&case), check(&case));
    }

    #[test]
    fn an_entry_that_corrects_nothing_changes_no_state_before_it(
        entries in prop::collection::vec(entry(), 1..14)
    ) {
        let before = &entries[..entries.len() - 1];
        let (short, short_root) = sources(&days(before));
        let (long, long_root) = sources(&days(&entries));
        let (short, long) = (Case::build(&short, short_root), Case::build(&long, long_root));
        let count = short.job.as_ref().map_or(0, |job| job.log.len());
        prop_assert_eq!(states(&short, count), states(&long, count));
    }
}
