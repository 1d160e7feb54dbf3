//! What stands on paper: each kind of sheet as text, of the shipped job and of
//! jobs that are hard on a page.

#![allow(
    clippy::unwrap_used,
    reason = "a helper of a test that cannot go on has failed it"
)]

#[path = "support/shipped.rs"]
mod shipped;

use retin::meaning::Case;
use retin::sheets::document::{Block, Cell, Document};
use retin::sheets::settings::{Sort, Wanted};
use retin::sheets::text::{Look, text};
use retin::sheets::{CheckedJob, FileRevision, Make, SHEETS, Settings, find};
use retin::sources::{FileId, SourceFile, Sources};
use shipped::SHIPPED;
use std::collections::BTreeSet;
use std::sync::Arc;

fn sources(files: &[(&str, &str)]) -> (Sources, FileId) {
    let file = |path: &str| {
        let (path, text) = files.iter().find(|file| file.0 == path).unwrap();
        Arc::new(SourceFile::new((*path).to_owned(), (*text).to_owned()))
    };
    let mut sources = Sources::new();
    let root = sources.add(file(files[0].0));
    while let Some(path) = sources.wanted().map(str::to_owned) {
        sources.add(file(&path));
    }
    (sources, root)
}

fn with_job<T>(files: &[(&str, &str)], look: impl FnOnce(&CheckedJob<'_, '_>) -> T) -> T {
    let (sources, root) = sources(files);
    let case = Case::build(&sources, root);
    let revision = FileRevision::Committed {
        commit: "0123456789".into(),
        date: "2026-09-18".into(),
        is_changed: false,
    };
    look(&CheckedJob::of(&case, revision).unwrap())
}

fn document(kind: &str, job: &CheckedJob<'_, '_>, settings: &Settings) -> Document {
    match find(kind).unwrap().make {
        Make::One(make) => make(job, settings).unwrap(),
        Make::Several(make) => make(
            &[CheckedJob::of(job.case, job.revision.clone()).unwrap()],
            settings,
        )
        .unwrap(),
        Make::Two(make) => make([job, job], settings).unwrap(),
    }
}

fn printed(kind: &str, files: &[(&str, &str)], settings: &Settings) -> String {
    with_job(files, |job| {
        text(
            &document(kind, job, settings),
            Look {
                width: 100,
                is_plain: false,
            },
        )
    })
}

fn of_file(kind: &str, file: &str) -> String {
    printed(kind, &[("job.retin", file)], &Settings::default())
}

fn sorted(sort: Sort) -> Settings {
    Settings {
        sort: Some(sort),
        ..Settings::default()
    }
}

/// Whether each box of a document is ticked, the names beside boxes left out.
fn boxes(document: &Document) -> Vec<bool> {
    let mut boxes = Vec::new();
    for block in &document.blocks {
        let Block::Table(table) = block else { continue };
        // Boxes for two sides are no pieces of work.
        let is_copies = |column: usize| table.columns[column].head == "copies";
        for row in table.groups.iter().flat_map(|group| &group.rows) {
            for (column, cell) in row.cells.iter().enumerate() {
                match cell {
                    Cell::Box { is_ticked } => boxes.push(*is_ticked),
                    Cell::Boxes(named) if is_copies(column) => {
                        boxes.extend(named.iter().map(|one| one.is_ticked));
                    }
                    _ => {}
                }
            }
            boxes.extend(row.below.iter().map(|one| one.is_ticked));
        }
    }
    boxes
}

#[test]
fn the_tick_sheet_of_the_shipped_job() {
    insta::assert_snapshot!(printed("ticks", &SHIPPED, &Settings::default()));
}

#[test]
fn the_bring_up_card_of_the_shipped_job() {
    insta::assert_snapshot!(printed("card", &SHIPPED, &Settings::default()));
}

#[test]
fn what_is_left_of_the_shipped_job() {
    insta::assert_snapshot!(printed("left", &SHIPPED, &Settings::default()));
}

#[test]
fn a_job_does_not_differ_from_itself() {
    insta::assert_snapshot!(printed("differences", &SHIPPED, &Settings::default()));
}

#[test]
fn a_step_by_board_by_zone_by_height_and_by_name() {
    let step = |sort| Settings {
        wanted: Wanted {
            steps: vec!["fill".into()],
            boards: vec!["psu".into(), "ch1..ch3".into()],
            kinds: vec!["electrolytic".into()],
            ..Wanted::default()
        },
        ..sorted(sort)
    };
    let all = [Sort::Board, Sort::Zone, Sort::Height, Sort::Reference].map(|sort| {
        let printed = printed("ticks", &SHIPPED, &step(sort));
        let (_, table) = printed.split_once("before you eat").unwrap();
        let (table, _) = table.split_once("What went wrong").unwrap();
        format!("by {}\n{}", sort.name(), table.trim_matches('\n'))
    });
    insta::assert_snapshot!(all.join("\n\n"));
}

#[test]
fn a_step_that_is_done_is_printed_with_its_ticks_where_it_is_asked_for() {
    let settings = Settings {
        wanted: Wanted {
            steps: vec!["empty".into(), "bare".into(), "photos".into()],
            ..Wanted::default()
        },
        ..Settings::default()
    };
    insta::assert_snapshot!(printed("ticks", &SHIPPED, &settings));
}

/// However the places are sorted, each piece of work has one box, and it is ticked
/// where the log shows it done.
#[test]
fn every_piece_of_work_has_one_box() {
    with_job(&SHIPPED, |job| {
        let case = job.case;
        let left = retin::time::left::what_is_left(case, &case.replay, job.order.as_ref()).unwrap();
        for sort in Sort::ALL {
            for step in &left.steps {
                let settings = Settings {
                    wanted: Wanted {
                        steps: vec![job.job.steps[step.step].name.to_owned()],
                        ..Wanted::default()
                    },
                    ..sorted(sort)
                };
                let boxes = boxes(&document("ticks", job, &settings));
                let ticked = boxes.iter().filter(|ticked| **ticked).count();
                assert_eq!(
                    ticked,
                    step.progress.done.len(),
                    "{}",
                    settings.wanted.in_words()
                );
                assert_eq!(
                    boxes.len() - ticked,
                    step.progress.left.len(),
                    "{}",
                    settings.wanted.in_words()
                );
            }
        }
    });
}

/// Board by board, the sheet shows what it shows of all boards.
#[test]
fn boards_together_are_the_whole_unit() {
    with_job(&SHIPPED, |job| {
        let count = |boards: &[&str]| {
            let settings = Settings {
                wanted: Wanted {
                    steps: vec!["fill".into()],
                    boards: boards.iter().map(|board| (*board).to_owned()).collect(),
                    ..Wanted::default()
                },
                ..Settings::default()
            };
            boxes(&document("ticks", job, &settings)).len()
        };
        let all = count(&[]);
        let parts = [&["psu"][..], &["inlet", "master"], &["ch1..ch7"], &["ch8"]];
        assert_eq!(parts.iter().map(|boards| count(boards)).sum::<usize>(), all);
    });
}

#[test]
fn a_name_that_nothing_has_is_refused() {
    type NamesOf = fn(&mut Wanted) -> &mut Vec<String>;
    let asked: [(&str, NamesOf); 5] = [
        ("washing", |wanted| &mut wanted.steps),
        ("ch1..ch9", |wanted| &mut wanted.boards),
        ("Q", |wanted| &mut wanted.zones),
        ("electrolitic", |wanted| &mut wanted.kinds),
        ("E-10-51", |wanted| &mut wanted.values),
    ];
    with_job(&SHIPPED, |job| {
        let mut refusals = Vec::new();
        for (name, list) in asked {
            let mut settings = Settings::default();
            list(&mut settings.wanted).push(name.to_owned());
            let Make::One(make) = find("ticks").unwrap().make else {
                panic!("a tick sheet is of one job");
            };
            refusals.push(make(job, &settings).unwrap_err().reason);
        }
        insta::assert_snapshot!(refusals.join("\n"));
    });
}

#[test]
fn a_job_with_nothing_in_it() {
    let all: Vec<String> = ["ticks", "card", "left", "differences"]
        .iter()
        .map(|kind| of_file(kind, "job 1\n"))
        .collect();
    insta::assert_snapshot!(all.join("\n\n"));
}

#[test]
fn a_step_of_more_than_a_page_begins_a_page() {
    let job = |parts: usize| {
        let lines: String = (1..=parts)
            .map(|number| format!("    C{number}  10uF 25V (+ V, - GND)\n"))
            .collect();
        format!(
            "model m\n  revision 1\n\nboard b \"Board\"\n  rail V 15V\n  rail GND 0V\n  electrolytic\n\
             {lines}\njob 26-1 \"m\"\n  model m revision 1\n\nplan\n  remove every electrolytic\n\n\
             steps\n  look  inspect every board\n  strip  remove every electrolytic  after look\n"
        )
    };
    let new_pages = |parts| {
        with_job(&[("job.retin", &job(parts))], |job| {
            let blocks = document("ticks", job, &Settings::default()).blocks;
            let is_new_page = |block: &&Block| matches!(block, Block::NewPage);
            let count = blocks.iter().filter(is_new_page).count();
            let strip = |block: &Block| matches!(block, Block::Heading { text, .. } if text.contains("strip"));
            let heading = blocks.iter().position(strip).unwrap();
            (count, matches!(blocks[heading - 1], Block::NewPage))
        })
    };
    assert_eq!(new_pages(59), (0, false));
    assert_eq!(new_pages(60), (1, true));
}

#[test]
fn a_job_without_steps_is_ticked_by_its_plan() {
    let file = "\
model a \"Amplifier\"

board amp \"Amplifier\"
  rail V15 15V
  rail GND 0V
  electrolytic
    C1 10uF 25V (+ V15, - GND)

job 1 \"Amplifier serial 5\"
  model a

plan
  replace amp.C1 with 10uF 35V
";
    insta::assert_snapshot!(of_file("ticks", file));
}

/// Sixteen copies, names of thirty letters, letters of other scripts, and sources
/// that contradict one another or are silent.
const HARD: &str = "\
model organiser \"Überlanges Gerät für Prüfungen „Grün“ — מכשיר\"

board strip \"Kanalstreifen\" as s1..s16
  copper double-sided plated
  rail V15 15V ±5%
  rail V-15 -15V ±5%
  rail GND 0V
  electrolytic 85°C axial
    C1                             22uF 25V 8x18 p22.5 (+ V15, - GND)
      silk + east
    C2                             10uF 25V 5x11 p2 (+ GND, - V15)
      silk + north
    CapacitorOfTheSecondInputStage 47uF 25V 8x12 p3.5
    קבל3                           47uF 25V 8x12 p3.5 (+ V15, - GND)
  bipolar
    C5 22uF 25V 8x12 p3.5
  npn TO-92
    Q1 2N3904 (E GND, B IN, C V15)
      silk E south

shelf main \"Schubladen\"
  electrolytic 105°C radial
    E-22-35-RADIAL-LOW-IMPEDANCE-X 22uF 35V 8x18 p3.5 have 40 bin \"Zürich Ä17\"
      maker \"Someone\" lot \"L-2041\"
    E-47-35 47uF 35V 10x20 p5 have 40
    E-10-50 10uF 50V 5x11 p2 have 40 bin B2
  npn
    Q-3904 2N3904 TO-92 have 40

job 26-099 \"Gerät Nr. 7\"
  model organiser

plan
  replace strip.C1 with E-22-35-RADIAL-LOW-IMPEDANCE-X
  replace strip.C2 with E-10-50
  replace strip.CapacitorOfTheSecondInputStage with E-47-35
  replace strip.קבל3 with E-47-35
  replace strip.C5 with E-47-35 and E-47-35 in series
  replace strip.Q1 with Q-3904

steps
  out  remove every electrolytic, bipolar, npn
  fill fit every electrolytic, bipolar, npn after out because \"low ones first\"
    caution \"the frame is sharp\"

targets
  s1..s16.V15  15V ±2%  ripple below 5mV
  s2.Q1.B      -20..20mV
  s3.Q1.B      0.6V ±10%
  s1.Q1.C      12mA ±10% warm
  s1.V15 to s1.GND  above 200ohm, unpowered

log
  2026-10-05
    09:30 removed s1..s16.C1, s1..s2.C2
    13:00 fitted s1.C1 with E-22-35-RADIAL-LOW-IMPEDANCE-X
    14:00 damaged s4.C1.+ pad lifted
    15:00 measured s1.V15 to s1.GND 4.7kohm
    15:10 measured s1.V15 15.1V, ripple 12mV
    15:11 measured s2.V15 17V
    15:12 measured s2.Q1.B 4mV
";

#[test]
fn sixteen_copies_and_names_that_are_hard_to_set() {
    insta::assert_snapshot!(of_file("ticks", HARD));
}

#[test]
fn a_card_takes_readings_of_rails_against_ground_only() {
    let read_on_card = |log: &str| {
        let card = of_file(
            "card",
            &format!(
                "\
model a \"Mixer\"

board psu \"Supply\"
  rail +15 15V ±2%
  rail -15 -15V ±2%
  rail GND 0V
  electrolytic
    C1 2200uF 25V reservoir (+ +15, - GND)
  resistor
    R2 47ohm (1 -15, 2 GND)

job 1 \"Mixer serial 5\"
  model a

log
  2026-10-05
{log}"
            ),
        );
        ["222", "13.7"].map(|figure| card.contains(figure))
    };
    let elsewhere = "    09:00 measured psu.C1.+ to psu.R2.1 222ohm
    09:10 powered psu with lamp 100mA
    09:20 measured psu.+15 to psu.-15 13.7V
";
    assert_eq!(read_on_card(elsewhere), [false, false]);
    let to_ground = elsewhere
        .replace("psu.R2.1", "psu.R2.2")
        .replace("to psu.-15", "to psu.GND");
    assert_eq!(read_on_card(&to_ground), [true, true]);
}

#[test]
fn a_card_with_readings_within_and_out_of_limits() {
    insta::assert_snapshot!(of_file("card", HARD));
}

#[test]
fn what_is_left_of_sixteen_copies() {
    insta::assert_snapshot!(of_file("left", HARD));
}

#[test]
fn two_units_differ() {
    let other = HARD
        .replace(
            "job 26-099 \"Gerät Nr. 7\"",
            "job 26-100 \"Gerät Nr. 8\"\n  serial \"8-B\"",
        )
        .replace("replace strip.C2 with E-10-50", "keep strip.C2");
    let (old, old_root) = sources(&[("job.retin", HARD)]);
    let (new, new_root) = sources(&[("job.retin", &other)]);
    let (old, new) = (Case::build(&old, old_root), Case::build(&new, new_root));
    let old = CheckedJob::of(&old, FileRevision::NotInGit).unwrap();
    let new = CheckedJob::of(&new, FileRevision::NotCommitted).unwrap();
    let Make::Two(make) = find("differences").unwrap().make else {
        panic!("differences are between two");
    };
    let document = make([&old, &new], &Settings::default()).unwrap();
    insta::assert_snapshot!(text(
        &document,
        Look {
            width: 100,
            is_plain: true
        }
    ));
}

/// Whatever is printed says the job, the revision and what was not checked, and
/// the same job prints the same twice.
#[test]
fn every_sheet_carries_its_head_and_is_the_same_twice() {
    for sheet in SHEETS {
        let (one, other) = (of_file(sheet.name, HARD), of_file(sheet.name, HARD));
        assert_eq!(one, other, "{}", sheet.name);
        for word in [
            sheet.title,
            "26-099",
            "0123456789 of 2026-09-18",
            "not checked: ",
        ] {
            assert!(one.contains(word), "{}: {word}", sheet.name);
        }
        let denied = "not that the unit is safe";
        let words = one
            .to_lowercase()
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ");
        assert!(
            !words.replace(denied, "").contains("safe"),
            "{}",
            sheet.name
        );
    }
}

/// Each kind has a section of its own in the reference, under its name.
#[test]
fn every_sheet_is_documented() {
    let page = include_str!("../../../syntax/print.md");
    let names: BTreeSet<&str> = SHEETS.iter().map(|sheet| sheet.name).collect();
    assert_eq!(names.len(), SHEETS.len(), "two sheets have one name");
    for sheet in SHEETS {
        let heading = format!("## `{}`: ", sheet.name);
        assert!(
            page.lines().any(|line| line.starts_with(&heading)),
            "{heading}"
        );
    }
}
