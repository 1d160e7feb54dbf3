//! Order lists, labels and reports as text, for the shipped jobs and for nasty
//! ones. They are read as the one reads them who buys, bags, or pays.

#![allow(
    clippy::unwrap_used,
    reason = "a helper of a test that cannot go on has failed it"
)]

use retin::meaning::Case;
use retin::sheets::labels::labels;
use retin::sheets::orders::{orders, orders_csv};
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
        sources.add(Arc::new(SourceFile::new("jobs/a.retin".into(), job.into())))
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
    \"=C1\" 10uF 25V
    \"@C2\" 10uF 25V
    \"+C3\" 47uF 25V
    \"-C4\" 47uF 25V

shelf s \"Shelf\"
  electrolytic
    \"=HYPERLINK\" 10uF 25V maker \"@SUM(1)\" have 0 1 at 0.10 EUR
    \"+E-47\" 47uF 25V maker \"-2+3\" have 0 1 at 30 JPY bin \"=A1\"

job \"=26-066\" \"Receiver <script>alert(1)</script>\"
  model a

plan
  replace b.\"=C1\", b.\"@C2\" with \"=HYPERLINK\"
  replace b.\"+C3\" with \"+E-47\"
  replace b.\"-C4\" with 47uF 35V marked \"=1\"
";

const EMPTY: &str = "job 26-000 \"Nothing yet\"\n  complaint \"dead\"\n";

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
