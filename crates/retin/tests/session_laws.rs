//! Whatever is edited, in whatever order, a session knows and finds what a check of
//! the same files does. `REACH=1 cargo test … -- --nocapture` tells how far each
//! edit reached.

#![allow(
    clippy::unwrap_used,
    reason = "a helper of a test that cannot go on has failed it"
)]

#[path = "support/shipped.rs"]
mod shipped;

use proptest::prelude::*;
use proptest::sample::{Index, select};
use retin::check::{check, check_at};
use retin::editor::{Position, Snapshot, diagnostics, hover, symbols};
use retin::meaning::{Case, KeptWords};
use retin::session::{Done, Session};
use retin::sources::{FileId, SourceFile, Sources};
use retin::stage::Stage;
use shipped::SHIPPED;
use std::fmt::Write as _;
use std::sync::Arc;

/// Two copies of one board and a supply, linked, with a plan, steps, targets, a log
/// and findings of many sorts.
const UNIT: &[(&str, &str)] = &[
    (
        "job.retin",
        r#"use "model.retin"
use "shelf.retin"

job 26-001 "µ-unit"
  model    unit revision 1
  life     10000h
  inside   50°C
  agreed   45 EUR on 2026-11-01

found
  psu.C1   3300uF 35V + west
  psu.C2   beep - GND
  ch2.C2   47uF 35V
  ch2.C2   go by found

plan
  replace  every electrolytic except ch1.C3, ch2.C3  from main
  replace  ch1.C3, ch2.C3  with E-10 and E-10 in series
  accept   value-mismatch on psu.C1 because "größer"
    for    22uF in place of 10uF
  accept   volts-too-low on ch1.C1 because "seen"   # stays
  add      psu.C9  with E-100 (+ V24, - GND) because "rings"
  keep     every resistor

steps
  look     photograph everything
  strip    remove every electrolytic  1h  after look
  fill     fit psu.C1..C2 with iron  after strip
    caution "hot"
  prove    measure every rail  after fill

targets
  psu.V24            24V ±2% ripple below 5mV
  ch1.MID to ch1.GND  11.5..12.5V
  psu.V24 to psu.GND  above 200ohm, unpowered

log
  2026-11-03
    09:00  photographed  everything
    09:10  removed    psu.C1..C2  by AM
    10:05  damaged    psu.C1.-  pad lifted
    10:10  measured   ch1.C1  9.8uF
    11:05  repaired   psu.C1.-  wire 0.5mm to psu.C2.-
  next day
    ?      fitted     psu.C1 with E-100
    09:30  inspected  psu both sides
    09:40  measured   psu.V24 to psu.GND 1kohm unpowered
    10:00  powered    psu with lamp
    10:10  noted      "hums a little"
"#,
    ),
    (
        "model.retin",
        r#"model unit "Invented unit"
  revision   2
  headroom   25mm
  changed    2 psu.C1 "measured"

board psu "Supply"
  copper     double-sided plated
  size       100 x 80
  rail       V24  24V ±5%
  rail       GND  0V
  electrolytic 85°C radial
    C1  2200 µF 35V 16x31 p7.5 (+ V24, - GND) at 30,40
      silk     + east
      meter    + to - 23.8V
      go by    silk
    C2  100uF 35V 8x12 p3.5 (+ V24, - GND) at 34,40
  bridge
    D1  40V
  regulator
    U1  LM7824

board ch "Channel" as ch1..ch2
  rail       V24  24V ±5%
  rail       GND  0V
  net        MID "middle"
  zone       A 0,0 to 60,40
  electrolytic 85°C radial
    C1, C2  10 µF 25V 5x11 p2 (+ MID, - GND) at 30,40 zone A
      on       ch2 22uF because "factory change"
    C3      4k7 code 104J marked "x"
    C30     450V
      section  a 8uF (+ V24, - GND)
  npn
    Q1  2N3904 (E n1, B MID, C V24) matched with Q2
    Q2  2N3904
  resistor
    R1  10kohm (1 V24, 2 MID)
    R2  10kohm (1 MID, 2 GND)
    R3  1kohm (1 n1, 2 GND)

wiring loom "Loom"
  lamp
    L1  24V (1 A, 2 B)

link J1 "cable" 4 joints
  psu.V24 to ch1..ch2.V24
  psu.GND to ch1..ch2.GND
"#,
    ),
    (
        "shelf.retin",
        r#"shelf main "Drawers"
  electrolytic 105°C radial 20%
    E-10   10uF 50V 5x11 p2 life 5000h have 3 1 at 0.10 EUR, 10 at 0.05 EUR bin A
    E-100  100uF 50V 8x12 p3.5 life 5000h have 1 1 at 0.30 EUR
    E-2200 2200uF 35V 16x31 p7.5 life 5000h have 2 1 at 1.10 EUR

minutes
  fit electrolytic 15s per lead

packages own
  HG-7  leads 3
    order  E-C-B

devices own
  opamp
    HX-1  supply 10..30V (4 V-, 8 V+)
"#,
    ),
];

/// Boards that nothing joins, so that their nets are theirs alone, with a log that names
/// parts, leads and nets in every way.
const APART: &[(&str, &str)] = &[
    (
        "job.retin",
        r#"use "model.retin"
use "shelf.retin"

job 26-002 "Boards"
  model    unit revision 1

plan
  replace  every electrolytic  from main
  keep     every resistor

steps
  photos   photograph everything
  prove    measure every rail  after photos

targets
  b1.V24          24V ±5%
  b3.V24 to b3.GND  24V ±5%
  b2.n3           4..6V

log
  2026-11-03
    09:00  photographed  everything
    09:05  measured   b1.C1  10uF
    09:10  measured   b1.C1..C2, b2.C1  21uF
    09:12  measured   C31  9uF
    09:15  measured   b2.R1.1 to GND 5V
    09:20  measured   b3.n1  5V, unpowered
    09:25  measured   n9 to b1.GND  3V
    09:40  noted      "smells"
  2026-11-04
    09:00  removed    every electrolytic on b1
    09:10  fitted     b1.C1 with E-10
    09:20  inspected  b1
    09:30  measured   every rail  24V
"#,
    ),
    (
        "model.retin",
        r#"model unit "Invented unit"
  revision   1

board b1 "First"
  copper     double-sided plated
  rail       V24  24V ±5%
  rail       GND  0V
  electrolytic 85°C radial
    C1  10uF 25V 5x11 p2 (+ V24, - GND) at 30,40
    C2  22uF 25V 5x11 p2 (+ n2, - GND) at 60,40
  resistor
    R1  10kohm (1 V24, 2 n1)
    R2  10kohm (1 n1, 2 n2)

board w "Second" as b2..b4
  rail       V24  24V ±5%
  rail       GND  0V
  electrolytic 85°C radial
    C1  10uF 25V 5x11 p2 (+ V24, - GND) at 30,40
  resistor
    R1  10kohm (1 V24, 2 n1)
    R2  10kohm (1 n1, 2 n2)
    R3  10kohm (1 n2, 2 n3)
    R4  10kohm (1 n9, 2 n3)

board b5 "Third"
  rail       V24  24V ±5%
  rail       GND  0V
  electrolytic 85°C radial
    C31 10uF 25V 5x11 p2 (+ V24, - GND) at 30,40
  resistor
    R1  10kohm (1 V24, 2 n1)
    R2  10kohm (1 n1, 2 GND)
"#,
    ),
    (
        "shelf.retin",
        r#"shelf main "Drawers"
  electrolytic 105°C radial 20%
    E-10   10uF 50V 5x11 p2 life 5000h have 3 1 at 0.10 EUR, 10 at 0.05 EUR
    E-22   22uF 50V 5x11 p2 life 5000h have 3 1 at 0.10 EUR
"#,
    ),
];

/// One edit as drawn.
#[derive(Clone, Debug)]
enum Draw {
    /// So many characters go at a place, and these come.
    Text(Index, usize, String),
    /// A figure more, or another one, in a line.
    Figure(Index, Index, char),
    /// A letter in the first word of a line.
    Name(Index, char),
    /// Something behind a line.
    Behind(Index, &'static str),
    /// A line goes.
    Strike(Index),
    /// A line comes again below another one.
    Again(Index, Index),
    /// What was last done to the file is taken back.
    Undo,
    /// The file is closed, and is on the disk as it was at first.
    Close,
}

fn draw() -> impl Strategy<Value = Draw> {
    let bit = prop_oneof![
        4 => "[ -~]{0,4}",
        3 => select(vec![
            "\n", "\r", "\r\n", "  ", "\n  ", "\n    ", "\"", "#", " # µ", "|", "board x\n", "plan\n",
            "\nlog\n", "electrolytic", "µ", "\u{feff}", "\u{1F50A}", "10uF 25V", "replace ", "\n\n",
            "<<<<<<< a\n", "on ch1", "section", "go by found", "use \"shelf.retin\"\n", "use \"no.retin\"\n",
        ]).prop_map(str::to_owned),
    ];
    let behind = select(vec![
        "  # so",
        " ",
        "\n",
        "\n\n",
        "\r",
        "\n    ",
        "\n# -- above",
        " because \"so\"",
        " 25V",
        "\n  | prose",
        "\n      on ch1 22uF",
        "\n      found 47uF",
        "\n      go by found",
        "\n    C77 10uF 25V (+ V24, - GND)",
    ]);
    prop_oneof![
        4 => (any::<Index>(), 0usize..12, bit).prop_map(|(at, gone, new)| Draw::Text(at, gone, new)),
        6 => (any::<Index>(), any::<Index>(), select(vec!['0', '1', '4', '9', '.'])).prop_map(|(line, at, figure)| Draw::Figure(line, at, figure)),
        4 => (any::<Index>(), select(vec!['9', 'C', 'x', ' ', 'µ'])).prop_map(|(line, letter)| Draw::Name(line, letter)),
        6 => (any::<Index>(), behind).prop_map(|(line, new)| Draw::Behind(line, new)),
        2 => any::<Index>().prop_map(Draw::Strike),
        2 => (any::<Index>(), any::<Index>()).prop_map(|(from, to)| Draw::Again(from, to)),
        5 => Just(Draw::Undo),
        1 => Just(Draw::Close),
    ]
}

/// Which file, and what is done to it.
fn draws() -> impl Strategy<Value = Vec<(Index, Draw)>> {
    prop::collection::vec((any::<Index>(), draw()), 1..10)
}

/// The same, but for what changes what parts and nets are called.
fn draws_of_names() -> impl Strategy<Value = Vec<(Index, Draw)>> {
    let figures = select(vec!['1', '2', '3', '9', 'n']);
    let draw = prop_oneof![
        6 => (any::<Index>(), any::<Index>(), figures).prop_map(|(line, at, figure)| Draw::Figure(line, at, figure)),
        3 => (any::<Index>(), select(vec!['1', '3', '9'])).prop_map(|(line, letter)| Draw::Name(line, letter)),
        3 => Just(Draw::Undo),
    ];
    prop::collection::vec((any::<Index>(), draw), 1..14)
}

/// Starts of the lines of a text, and its end.
fn lines(text: &str) -> Vec<usize> {
    let ends = text.match_indices('\n').map(|(at, _)| at + 1);
    let mut starts: Vec<usize> = std::iter::once(0).chain(ends).collect();
    if *starts.last().unwrap() != text.len() {
        starts.push(text.len());
    }
    starts
}

/// A range of the text, and what comes in its place.
fn edit_of(text: &str, draw: &Draw) -> Option<(usize, usize, String)> {
    let starts = lines(text);
    let line = |index: &Index| {
        let at = index.index(starts.len().saturating_sub(1).max(1));
        (starts[at], *starts.get(at + 1).unwrap_or(&text.len()))
    };
    Some(match draw {
        Draw::Text(index, gone, new) => {
            let from = text.floor_char_boundary(index.index(text.len() + 1));
            let to = text
                .floor_char_boundary((from + gone).min(text.len()))
                .max(from);
            (from, to, new.clone())
        }
        Draw::Figure(index, which, figure) => {
            let (start, end) = line(index);
            let figures: Vec<usize> = text[start..end]
                .match_indices(|letter: char| letter.is_ascii_digit())
                .map(|(at, _)| start + at)
                .collect();
            if figures.is_empty() {
                return None;
            }
            let at = figures[which.index(figures.len())];
            (at, at + which.index(2), figure.to_string())
        }
        Draw::Name(index, letter) => {
            let (start, end) = line(index);
            let words = text[start..end].trim_start();
            let first = words.chars().next()?;
            let at = end - words.len() + first.len_utf8();
            (at, at, letter.to_string())
        }
        Draw::Behind(index, new) => {
            let (_, end) = line(index);
            let at = text[..end].trim_end_matches(['\n', '\r']).len();
            (at, at, (*new).to_owned())
        }
        Draw::Strike(index) => {
            let (start, end) = line(index);
            (start, end, String::new())
        }
        Draw::Again(from, to) => {
            let (start, end) = line(from);
            let (at, _) = line(to);
            (at, at, text[start..end].to_owned())
        }
        Draw::Undo | Draw::Close => return None,
    })
}

/// What lies on the disk, with what is open in an editor.
struct Desk {
    first: Vec<(String, String)>,
    files: Vec<Arc<SourceFile>>,
    /// The texts that each file had before.
    before: Vec<Vec<String>>,
}

impl Desk {
    fn of(files: Vec<(String, String)>) -> Desk {
        Desk {
            files: files
                .iter()
                .map(|(path, text)| Arc::new(SourceFile::new(path.clone(), text.clone())))
                .collect(),
            before: vec![Vec::new(); files.len()],
            first: files,
        }
    }

    fn apply(&mut self, index: usize, draw: &Draw) {
        let file = &mut self.files[index];
        let path = file.path.clone();
        match draw {
            Draw::Undo => {
                if let Some(text) = self.before[index].pop() {
                    *file = Arc::new(SourceFile::new(path, text));
                }
            }
            Draw::Close => *file = Arc::new(SourceFile::new(path, self.first[index].1.clone())),
            draw => {
                let Some((from, to, new)) = edit_of(&file.text, draw) else {
                    return;
                };
                self.before[index].push(file.text.clone());
                // Nobody else holds it, as in a server between two edits.
                let own = Arc::try_unwrap(std::mem::take(file)).unwrap();
                *file = Arc::new(own.edited(from as u32..to as u32, &new));
            }
        }
    }

    fn sources(&self) -> Sources {
        let mut sources = Sources::new();
        sources.add(self.files[0].clone());
        while let Some(wanted) = sources.wanted().map(str::to_owned) {
            match self.files.iter().find(|file| file.path == wanted) {
                Some(file) => {
                    sources.add(file.clone());
                }
                None => sources.refuse(wanted, "it was not found".into()),
            }
        }
        sources
    }
}

/// Everything a case holds, in words.
fn told(case: &Case<'_>) -> Vec<String> {
    let mut all = vec![
        format!("{:?}", case.model),
        format!("{:?} {:?}", case.links, case.minutes),
        format!("{:?}", case.shelves),
        format!("{:?}", case.stage),
        format!("{:?}", case.replay),
    ];
    all.extend(case.boards.iter().map(|board| format!("{board:?}")));
    all.extend(case.parts.iter().map(|part| format!("{part:?}")));
    all.extend(case.entries.iter().map(|entry| format!("{entry:?}")));
    all.extend(
        case.decisions
            .iter()
            .map(|decision| format!("{decision:?}")),
    );
    all.extend(case.plan.iter().map(|line| format!("{line:?}")));
    all.extend(case.acceptances.iter().map(|line| format!("{line:?}")));
    all.extend(case.problems.iter().map(|problem| format!("{problem:?}")));
    for device in case.library.devices().take(20) {
        all.push(format!("{device:?}"));
    }
    for package in case.library.packages().take(20) {
        all.push(format!("{package:?}"));
    }
    if let Some(job) = &case.job {
        all.push(format!(
            "{} {:?} {:?} {:?}",
            job.number, job.title, job.facts, job.found
        ));
        all.push(format!("{:?} {:?}", job.origin, job.plan));
        all.extend(job.steps.iter().map(|step| format!("{step:?}")));
        all.extend(job.targets.iter().map(|target| format!("{target:?}")));
        all.extend(job.log.iter().map(|entry| format!("{entry:?}")));
    }
    for (id, net) in case.nets.iter() {
        all.push(format!(
            "{net:?} {:?} {:?} {:?} {:?}",
            case.nets.common(id),
            case.nets.find(net.board, net.name),
            case.potentials.rail(&case.nets, id),
            case.potentials.known(case, id),
        ));
    }
    for part in &case.parts {
        let whole = case.part_named(part.board, &part.name);
        all.push(format!("{} is {whole:?}", part.name));
    }
    for board in &case.boards {
        for name in &board.copies {
            all.push(format!("{name} is {:?}", case.board_named(name)));
        }
    }
    for entry in &case.entries {
        all.push(format!(
            "{} is {:?}",
            entry.name,
            case.entry_named(&entry.name)
        ));
    }
    all
}

/// What features show of a case, at some places.
fn shown(snapshot: &Snapshot<'_>, shares: &[f64]) -> String {
    let mut text = String::new();
    for file in snapshot.files() {
        for found in diagnostics::diagnostics(snapshot, file) {
            let _ = writeln!(text, "{found:?}");
        }
        let _ = writeln!(text, "{:?}", symbols::outline(snapshot, file));
        for share in shares {
            let offset = (snapshot.text(file).len() as f64 * share) as u32;
            let _ = writeln!(
                text,
                "{:?}",
                hover::hover(snapshot, Position::new(file, offset))
            );
        }
    }
    text
}

fn holds(
    files: Vec<(String, String)>,
    draws: &[(Index, Draw)],
    shares: &[f64],
    asked: Option<Stage>,
) -> Result<(), TestCaseError> {
    let kept = KeptWords::new();
    let mut desk = Desk::of(files);
    let mut session = Session::new(desk.sources(), FileId(0), asked, &kept);
    for (number, (index, draw)) in draws.iter().enumerate() {
        session.let_go();
        desk.apply(index.index(desk.files.len()), draw);
        let sources = desk.sources();
        session.update(sources.clone(), FileId(0), asked, &kept);
        let case = Case::build(&sources, FileId(0));
        let report = match asked {
            None => check(&case),
            Some(stage) => check_at(&case, stage),
        };
        let done = session.done();
        if std::env::var_os("REACH").is_some() {
            eprintln!("reach {done:?}");
        }
        let (is, ought) = (told(session.case()), told(&case));
        for (is, ought) in is.iter().zip(&ought) {
            prop_assert_eq!(is, ought, "after {} edits, {:?}", number + 1, done);
        }
        prop_assert_eq!(is.len(), ought.len());
        let (is, ought) = (session.report(), &report);
        for (is, ought) in is.findings.iter().zip(&ought.findings) {
            prop_assert_eq!(is, ought, "after {} edits, {:?}", number + 1, done);
        }
        for (is, ought) in is.tallies.iter().zip(&ought.tallies) {
            prop_assert_eq!(is, ought, "after {} edits, {:?}", number + 1, done);
        }
        prop_assert_eq!(is, ought);
        let fresh = Snapshot::new(&case, &report);
        prop_assert_eq!(shown(&session.snapshot(), shares), shown(&fresh, shares));
    }
    Ok(())
}

fn owned(files: &[(&str, &str)]) -> Vec<(String, String)> {
    let own = |file: &(&str, &str)| (file.0.to_owned(), file.1.to_owned());
    files.iter().map(own).collect()
}

fn with_carriage_returns(files: &[(&str, &str)]) -> Vec<(String, String)> {
    let own = |file: &(&str, &str)| (file.0.to_owned(), file.1.replace('\n', "\r\n"));
    files.iter().map(own).collect()
}

fn shares() -> impl Strategy<Value = Vec<f64>> {
    prop::collection::vec(0.0..1.0, 3)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    #[test]
    fn edits_of_a_unit_and_a_full_check_agree(draws in draws(), shares in shares()) {
        holds(owned(UNIT), &draws, &shares, None)?;
    }

    #[test]
    fn edits_of_boards_apart_and_a_full_check_agree(draws in draws(), shares in shares()) {
        holds(owned(APART), &draws, &shares, None)?;
    }

    #[test]
    fn names_and_nets_of_boards_apart_and_a_full_check_agree(draws in draws_of_names()) {
        holds(owned(APART), &draws, &[], None)?;
    }

    #[test]
    fn edits_of_a_unit_before_power_and_a_full_check_agree(draws in draws()) {
        holds(owned(UNIT), &draws, &[], Some(Stage::Power))?;
    }

    #[test]
    fn edits_of_a_unit_with_carriage_returns_and_a_full_check_agree(draws in draws()) {
        holds(with_carriage_returns(UNIT), &draws, &[], None)?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(30))]

    #[test]
    fn edits_of_the_shipped_job_and_a_full_check_agree(draws in draws(), shares in shares()) {
        holds(owned(&SHIPPED), &draws, &shares, None)?;
    }
}

/// What a session has to do after a change of text in one of the files of a unit.
fn done_after(file: usize, old: &str, new: &str) -> Done {
    done_in(UNIT, file, old, new)
}

/// The same of any files.
fn done_in(files: &[(&str, &str)], file: usize, old: &str, new: &str) -> Done {
    let kept = KeptWords::new();
    let mut desk = Desk::of(owned(files));
    let mut session = Session::new(desk.sources(), FileId(0), None, &kept);
    session.let_go();
    let text = desk.files[file].text.clone();
    assert_eq!(text.matches(old).count(), 1, "{old}");
    let path = desk.files[file].path.clone();
    desk.files[file] = Arc::new(SourceFile::new(path, text.replacen(old, new, 1)));
    session.update(desk.sources(), FileId(0), None, &kept);
    session.done()
}

const JOB: usize = 0;
const MODEL: usize = 1;

#[test]
fn what_is_wrong_with_a_heading_stays_told() {
    let (right, backwards) = ("as b2..b4", "as b4..b2");
    let mut files = owned(APART);
    assert!(files[MODEL].1.contains(right));
    files[MODEL].1 = files[MODEL].1.replace(right, backwards);
    let told = after_renaming(files);
    assert!(told.iter().any(|line| line.contains("counts backwards")));
}

#[test]
fn a_log_whose_job_is_not_read_is_told_of_its_names() {
    let mut files = owned(APART);
    files[JOB].1 = files[JOB].1.replace("\njob ", "\nj0b ");
    let told = after_renaming(files);
    let is_told = |line: &String| line.contains("UnknownName") && line.contains("b2.C1");
    assert!(told.iter().any(is_told));
}

/// What is told after names of parts were edited one by one: the same as by a check.
fn after_renaming(mut files: Vec<(String, String)>) -> Vec<String> {
    let kept = KeptWords::new();
    let mut session = Session::new(Desk::of(files.clone()).sources(), FileId(0), None, &kept);
    let names = [
        ("    R4  ", "    R5  "),
        ("    C2  ", "    C4  "),
        ("    C1  10uF 25V", "    C7  10uF 25V"),
    ];
    for (old, new) in names {
        assert!(files[MODEL].1.contains(old), "{old}");
        files[MODEL].1 = files[MODEL].1.replace(old, new);
        let sources = Desk::of(files.clone()).sources();
        session.update(sources.clone(), FileId(0), None, &kept);
        assert_eq!(
            told(session.case()),
            told(&Case::build(&sources, FileId(0)))
        );
    }
    told(session.case())
}

#[test]
fn an_edit_reaches_no_farther_than_what_it_changes() {
    let in_part = |parts_read, entries_read, boards_judged| Done::InPart {
        parts_read,
        entries_read,
        boards_judged,
    };
    assert_eq!(
        done_after(JOB, "10:10  noted", "10:10  noted"),
        Done::Nothing
    );
    assert_eq!(
        done_after(JOB, "  # stays", "  # stays so"),
        in_part(0, 10, 3)
    );
    assert_eq!(
        done_after(MODEL, "    R3  ", "\n# above\n    R3  "),
        Done::Followed
    );
    assert_eq!(
        done_after(MODEL, "R3  1kohm", "R3  2kohm"),
        in_part(1, 0, 1)
    );
    assert_eq!(done_after(MODEL, "L1  24V", "L1  12V"), in_part(1, 0, 1));
    assert_eq!(done_after(JOB, "9.8uF", "9.9uF"), in_part(0, 1, 1));
    assert_eq!(done_after(JOB, "hums a little", "hums"), in_part(0, 1, 0));
    // A rail holds for every board it is carried to.
    assert_eq!(
        done_after(
            MODEL,
            "size       100 x 80\n  rail       V24  24V",
            "size       100 x 80\n  rail       V24  23V"
        ),
        in_part(5, 10, 3)
    );
    assert_eq!(
        done_after(JOB, "keep     every", "leave    every"),
        in_part(0, 10, 3)
    );
    assert_eq!(
        done_after(JOB, "11.5..12.5V", "11.6..12.5V"),
        in_part(0, 10, 0)
    );
    assert_eq!(
        done_after(JOB, "with iron  after strip", "after strip"),
        in_part(0, 10, 0)
    );
    // What other sections name is looked for there, and in the log entry by entry.
    let of_boards = |file, old, new| done_in(APART, file, old, new);
    assert_eq!(of_boards(MODEL, "    R4  ", "    R5  "), in_part(1, 0, 1));
    assert_eq!(of_boards(MODEL, "    C2  ", "    C4  "), in_part(1, 1, 2));
    assert_eq!(of_boards(MODEL, "    C31 ", "    C32 "), in_part(1, 1, 1));
    let (old, new) = ("2 n2)\n\nboard w", "2 n7)\n\nboard w");
    assert_eq!(of_boards(MODEL, old, new), in_part(4, 0, 1));
    assert_eq!(
        of_boards(MODEL, "(1 n2, 2 n3)", "(1 n2, 2 n7)"),
        in_part(5, 12, 3)
    );
    assert_eq!(
        of_boards(MODEL, "(1 n9, 2 n3)", "(1 n8, 2 n3)"),
        in_part(5, 1, 2)
    );
    assert_eq!(
        done_after(2, "supply 10..30V", "supply 12..30V"),
        Done::Whole
    );
    assert_eq!(done_after(MODEL, "\"Channel\"", "\"Strip\""), Done::Whole);
}
