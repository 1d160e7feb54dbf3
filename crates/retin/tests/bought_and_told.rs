//! Order lists, labels and reports as text, for the shipped jobs and for nasty
//! ones. They are read as the one reads them who buys, bags, or pays.

#![allow(
    clippy::unwrap_used,
    reason = "a helper of a test that cannot go on has failed it"
)]

use retin::meaning::Case;
use retin::sheets::labels::labels;
use retin::sheets::orders::{orders, orders_csv};
use retin::sheets::report::report;
use retin::sheets::text::{Look, text};
use retin::sheets::{CheckedJob, Document, FileRevision, Refusal, Settings};
use retin::shop::Spares;
use retin::sources::{SourceFile, Sources};
use std::path::Path;
use std::sync::Arc;

/// The sources of a job: a text of its own, or a file of the examples.
fn sources(job: &str) -> (Sources, retin::sources::FileId) {
    let examples = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples");
    let read = |path: &str| {
        let text = std::fs::read_to_string(examples.join(path)).unwrap();
        Arc::new(SourceFile::new(path.to_owned(), text))
    };
    let mut sources = Sources::new();
    let root = if job.contains('\n') {
        let path = format!("jobs/{}.retin", job.len());
        sources.add(Arc::new(SourceFile::new(path, job.into())))
    } else {
        sources.add(read(job))
    };
    while let Some(path) = sources.wanted().map(str::to_owned) {
        sources.add(read(&path));
    }
    (sources, root)
}

/// Makes something of several jobs.
fn with_jobs<T>(jobs: &[&str], make: impl FnOnce(&[CheckedJob<'_, '_>]) -> T) -> T {
    let sources: Vec<_> = jobs.iter().map(|job| sources(job)).collect();
    let cases: Vec<Case<'_>> = sources
        .iter()
        .map(|(sources, root)| Case::build(sources, *root))
        .collect();
    let jobs: Vec<CheckedJob<'_, '_>> = cases
        .iter()
        .map(|case| CheckedJob::of(case, FileRevision::NotInGit).unwrap())
        .collect();
    make(&jobs)
}

fn shown(document: Result<Document, Refusal>) -> String {
    match document {
        Ok(document) => text(
            &document,
            Look {
                width: 100,
                is_plain: false,
            },
        ),
        Err(refusal) => format!("refused: {}", refusal.reason),
    }
}

fn order_list(jobs: &[&str], settings: &Settings) -> String {
    with_jobs(jobs, |jobs| shown(orders(jobs, settings)))
}

fn label_sheet(jobs: &[&str], settings: &Settings) -> String {
    with_jobs(jobs, |jobs| shown(labels(jobs, settings)))
}

fn told(job: &str, settings: &Settings) -> String {
    with_jobs(&[job], |jobs| shown(report(&jobs[0], settings)))
}

const SOUND: &str = "jobs/26-014.retin";
const NIGHT: &str = "jobs/26-019.retin";
const PUBLISHED: &str = "published/26-001.retin";

/// Everything that a shelf and a plan can say about buying.
const BUYING: &str = "\
model a \"Receiver\"

board b \"Board\" as b1..b3
  electrolytic
    C1..C9 10uF 25V 5x11 p2
    C10 100uF 25V
  opamp DIP-8
    U1, U2 TL072
  resistor
    R1 10kohm 0.25W

shelf s \"Shelf\"
  electrolytic ±20% 105°C radial
    E-10   10uF 25V 5x11 p2 maker \"Okker\" have 3 coming 2 pack 10 1 at 0.21 EUR, 50 at 0.10 EUR bin A1
    E-100  100uF 25V 6.3x11 p2.5 1 at 0.30 EUR, 10 at 1 USD
  opamp DIP-8
    A-072  TL072 have 0 spare 2 5 at 0.355 EUR
  socket
    SK-8   DIP-8 have 100

job 26-077 \"Receiver serial 3\"
  model a

plan
  replace every electrolytic on b1, b2 from s
  replace every electrolytic on b3 except b3.C10 with E-10
  replace b3.C10 with E-100 and 47uF 63V 8x12 in parallel
  replace every opamp with A-072
  socket every opamp with SK-8
  replace every resistor from s

log
  2026-11-02
    10:30 ordered 30 E-10, 4 A-072
  2026-11-05
    10:00 arrived 2 A-072
    11:00 fitted b1.U1 with SK-8
";

/// Text that would like to be a formula, a markup or another line.
const HOSTILE: &str = "\
model a \"<b>Receiver</b>\"

board b \"=1+1\"
  electrolytic
    =C1 10uF 25V
    @C2 10uF 25V
    +C3 47uF 25V
    C4 47uF 25V

shelf s \"Shelf\"
  electrolytic
    \"=HYPERLINK\" 10uF 25V maker \"@SUM(1)\" have 0 1 at 0.10 EUR
    \"+E-47\" 47uF 25V maker \"-2+3\" have 0 1 at 30 JPY bin =A1

job \"=26-066\" \"Receiver <script>alert(1)</script>\"
  model a

plan
  replace b.=C1, b.@C2 with \"=HYPERLINK\"
  replace b.+C3 with \"+E-47\"
  replace b.C4 with 47uF 35V device \"=cmd|A1\"
";

const EMPTY: &str = "job 26-000 \"Nothing yet\"\n  complaint \"dead\"\n";

#[test]
fn a_job_is_ordered_for_once() {
    let told = order_list(&[SOUND, SOUND], &Settings::default());
    assert_eq!(
        told,
        "refused: job 26-014 is named twice, and its parts would be ordered twice"
    );
}

#[test]
fn the_order_list_of_the_sound_job() {
    insta::assert_snapshot!(order_list(&[SOUND], &Settings::default()));
}

#[test]
fn the_order_list_of_two_jobs() {
    insta::assert_snapshot!(order_list(&[SOUND, NIGHT], &Settings::default()));
}

#[test]
fn packs_breaks_spares_and_what_is_to_be_found() {
    insta::assert_snapshot!(order_list(&[BUYING], &Settings::default()));
    let settings = Settings {
        spares: Some(Spares::NONE),
        ..Settings::default()
    };
    insta::assert_snapshot!(order_list(&[BUYING], &settings));
}

#[test]
fn orders_of_jobs_that_want_nothing() {
    let closed = format!("{BUYING}  2026-12-01\n    09:00 returned\n");
    let cases = [EMPTY, PUBLISHED, &closed];
    let told: Vec<String> = cases
        .iter()
        .map(|job| order_list(&[job], &Settings::default()))
        .collect();
    insta::assert_snapshot!(told.join("\n=====\n"));
}

#[test]
fn hostile_words_stay_words() {
    insta::assert_snapshot!(order_list(&[HOSTILE], &Settings::default()));
    insta::assert_snapshot!(with_jobs(&[HOSTILE, BUYING], |jobs| {
        orders_csv(jobs, &Settings::default()).unwrap()
    }));
    insta::assert_snapshot!(label_sheet(&[HOSTILE], &Settings::default()));
}

#[test]
fn labels_of_the_sound_job() {
    insta::assert_snapshot!(label_sheet(&[SOUND], &Settings::default()));
}

#[test]
fn labels_for_what_comes_out() {
    let mut settings = Settings::default();
    settings.wanted.steps = vec!["strip".into()];
    settings.wanted.boards = vec!["psu".into(), "ch1..ch2".into()];
    insta::assert_snapshot!(label_sheet(&[SOUND], &settings));
}

#[test]
fn labels_that_cannot_be_made() {
    let step = |name: &str| {
        let mut settings = Settings::default();
        settings.wanted.steps = vec![name.into()];
        label_sheet(&[SOUND], &settings)
    };
    let cut = Settings {
        cut: Some("30x20".into()),
        ..Settings::default()
    };
    let told = [
        step("wash"),
        step("nosuch"),
        label_sheet(&[SOUND], &cut),
        label_sheet(&[EMPTY], &Settings::default()),
    ];
    insta::assert_snapshot!(told.join("\n=====\n"));
}

/// Two hundred references of one value on the smallest label: every one of them
/// is on some label.
#[test]
fn no_reference_is_left_off_the_labels() {
    let parts: String = (0..200)
        .map(|number| format!("    C{} 10uF 25V\n", 2 * number + 1))
        .collect();
    let job = format!(
        "model a \"A\"\n\nboard b \"B\"\n  electrolytic\n{parts}\njob 1 \"Unit\"\n  model a\n\nplan\n  replace every electrolytic with 10uF 25V\n"
    );
    let settings = Settings {
        cut: Some("48.5x25.4".into()),
        ..Settings::default()
    };
    let told = label_sheet(&[&job], &settings);
    let words: Vec<&str> = told
        .split(|sign: char| !sign.is_ascii_alphanumeric())
        .collect();
    for number in 0..200 {
        let name = format!("C{}", 2 * number + 1);
        assert!(words.contains(&name.as_str()), "{name} is missing:\n{told}");
    }
}

/// A job from the first picture to the return, with nearly everything in it.
const WHOLE: &str = "\
model a \"Receiver\"

board psu \"Power supply\"
  copper double-sided plated
  rail V24 24V ±5%
  rail GND 0V
  electrolytic
    C1 2200uF 40V (+ V24, - GND)
    C2 100uF 35V (+ V24, - GND)
    C3 10uF 35V (+ V24, - GND)
  trimmer
    VR1 1kohm
  opamp DIP-8
    U1 TL072

board strip \"Strip\" as s1..s3
  rail V24 24V ±5%
  rail GND 0V
  electrolytic
    C1 10uF 35V (+ V24, - GND)
  resistor
    R1 10kohm 0.25W

shelf s \"Shelf\"
  electrolytic ±20% 105°C radial
    E-2200 2200uF 50V 18x40 p7.5 have 4 1 at 2.10 EUR, 10 at 1.72 EUR
    E-100  100uF 50V 8x12 p3.5 have 9 1 at 150 JPY
    E-10   10uF 50V 5x11 p2 have 9
  socket
    SK-8   DIP-8 have 9 1 at 0.35 EUR

job 26-080 \"Receiver serial 9\"
  | It came in with its lid loose.
  model a
  owner \"Radio Merrin\"
  arrived 2026-10-02
  complaint \"hum, and nothing below 100 Hz\"
  agreed 100.00 EUR on 2026-10-05
  rate 60.00 EUR

found
  psu.C1 3300uF 35V
    | An earlier repair; the leads were bent to reach.
  psu.C2 100uF 35V
  psu.C2 meter 61uF

plan
  replace every electrolytic from s
  replace psu.C3 with 10uF 63V 5x11
  socket  psu.U1 with SK-8
  keep    every trimmer
  keep    every resistor on s1, s2
  leave   s3.R1 because \"charred, and the owner wants it seen\"
  leave   psu.U1 because \"works\"
  accept  volts-too-low on psu.C1 because \"the rail never reaches it\"

steps
  strip remove every electrolytic
  fill  fit every electrolytic after strip
  try   test everything after fill

targets
  psu.V24 24V ±2% ripple below 5mV
  psu.V24 to psu.GND above 200ohm, unpowered
  s1..s3.V24 24V ±5%

log
  2026-10-06
    09:00 photographed everything \"photos/0301.jpg\", \"../../out.jpg\"
    09:10 measured psu.V24 22.9V, ripple 60mV
    09:20 removed psu.C1..C3
    09:30 measured psu.C1 1840uF, esr 0.62ohm
    09:31 measured psu.C3 4uF
    09:40 damaged psu.C2.- barrel torn
    09:45 damaged psu at 30,40 burnt
    09:50 MK repaired psu.C2.- wire 0.5mm to psu.C3.-
    09:52 MK measured psu.C2.- to psu.C3.- 0.1ohm both sides
    10:00 MK removed s1..s2.C1
    10:20 approved 120.00 EUR \"by phone\"
    10:30 photographed psu \"photos/burnt.png\"
    11:00 cleaned psu with isopropanol
    12:00 fitted psu.C1 with E-2200
      | The new one stands on a drop of glue.
    12:05 fitted psu.C2, psu.C3
    12:10 fitted s1..s2.C1
    12:20 inspected psu both sides
    12:30 measured psu.C1 2310uF
    12:31 measured psu.V24 to GND 850ohm unpowered
    12:40 powered psu with lamp 100mA
    12:45 measured psu.V24 24.1V cold, 23.4V warm, ripple 3mV
    12:50 adjusted psu.VR1 to 10mV
    12:55 measured s1.V24 24.0V cold, 24.0V warm
    13:00 measured s2.V24 21V
    13:30 tested psu, s1
  2026-10-08
    10:00 corrected 2026-10-06 09:31 measured psu.C3 4.1uF
";

#[test]
fn the_report_on_the_sound_job() {
    insta::assert_snapshot!(told(SOUND, &Settings::default()));
}

#[test]
fn the_report_on_a_whole_job() {
    insta::assert_snapshot!(told(WHOLE, &Settings::default()));
}

#[test]
fn reports_on_jobs_with_little_in_them() {
    let mut part = Settings::default();
    part.wanted.boards = vec!["psu".into()];
    let reports = [
        told(EMPTY, &Settings::default()),
        told(HOSTILE, &Settings::default()),
        told(SOUND, &part),
    ];
    insta::assert_snapshot!(reports.join("\n=====\n"));
}

/// The one word that no report may say of a unit.
#[test]
fn no_report_calls_a_unit_safe() {
    for job in [SOUND, NIGHT, PUBLISHED, WHOLE, EMPTY] {
        let report = told(job, &Settings::default());
        for (at, _) in report.match_indices("safe") {
            let before = report[..at].split_whitespace().rev().take(3);
            let before: Vec<&str> = before.collect();
            assert_eq!(before, ["is", "unit", "the"], "{report}");
        }
        let words: Vec<&str> = report.split_whitespace().collect();
        assert!(
            words.join(" ").contains("and not that the unit is safe"),
            "{report}"
        );
    }
}
