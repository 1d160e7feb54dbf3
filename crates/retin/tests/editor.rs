//! No feature of the editor panics, at any offset of any text, and every place
//! it answers with lies in a text and between two characters.

#![allow(
    clippy::unwrap_used,
    reason = "a test fails where its files are missing"
)]

use proptest::prelude::*;
use retin::check::check;
use retin::editor::actions::{Asked, actions};
use retin::editor::hover::{hover, markdown};
use retin::editor::{
    Position, Snapshot, completion, diagnostics, folding, format, inlay, lens, linked, links,
    navigate, rename, selection, signature, symbols, tokens,
};
use retin::finding::Edit;
use retin::meaning::Case;
use retin::sources::{FileId, Origin, SourceFile, Sources};
use retin_syntax::Span;
use std::path::Path;
use std::sync::Arc;

/// The files of a shipped job, the job first.
fn shipped(job: &str) -> Vec<(String, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples");
    [
        job,
        "models/sm8.retin",
        "shelf.retin",
        "house.retin",
        "jobs/surplus.retin",
    ]
    .into_iter()
    .map(|path| {
        let text = std::fs::read_to_string(root.join(path)).unwrap();
        (path.to_owned(), text)
    })
    .collect()
}

/// A unit small enough to be read anew for every case.
fn small() -> Vec<(String, String)> {
    let text = r#"use "model.retin"

job 26-001 "µ-unit"
  model    unit
  life     10000h
  inside   50°C

found
  main.C1  3300uF 35V + west
  main.C2  beep - GND

plan
  replace  every electrolytic except main.C3  from main
  replace  main.C3  with E-10 and E-10 + west in series
  accept   value-mismatch on main.C1 because "größer"
    for    22uF in place of 10uF
  add      main.C9  with E-10 (+ V24, - GND) because "rings"

steps
  strip    remove every electrolytic  1h
  fill     fit main.C1..C2 with iron  after strip
    caution "hot"

targets
  main.V24            24V ±2% ripple below 5mV
  main.V24 to main.GND  above 200ohm, unpowered

log
  2026-11-03
    09:10  removed    main.C1..C2  by AM
    10:05  damaged    main.C1.-  pad lifted
    11:05  repaired   main.C1.-  wire 0.5mm to main.C2.-
  next day
    ?      fitted     main.C1 with E-10
"#;
    let model = r#"model unit "Invented unit"
  revision   1
  changed    1 main.C1 "measured"

board main "Main board" as a1..a2
  rail       V24  24V ±5%
  rail       GND  0V
  net        MID "middle"
  zone       A 0,0 to 60,40
  electrolytic 85°C radial
    C1, C2  10 µF 25V 5x11 p2 (+ V24, - GND) at 30,40 zone A
      silk     + east
      meter    + to - 23.8V
      go by    silk
      on       a2 22uF because "factory change"
    C3      4k7 code 104J marked "x"
    C30     450V
      section  a 8uF (+ V24, - GND)
  npn
    Q1  2N3904 (E MID, B GND, C V24) matched with Q2
    Q2  2N3904
  resistor
    R1  10kohm (1 V24, 2 MID)
    R2  10kohm (1 MID, 2 GND)

link J1 "cable" 4 joints
  main.V24 to main.MID

shelf main "Drawers"
  electrolytic 105°C
    E-10  10uF 50V 5x11 p2 life 5000h have 3 1 at 0.10 EUR, 10 at 0.05 EUR bin A

packages own
  HG-7  leads 3
    order  E-C-B

devices own
  opamp
    HX-1  supply 10..30V (4 V-, 8 V+)
"#;
    vec![
        ("job.retin".into(), text.into()),
        ("model.retin".into(), model.into()),
    ]
}

/// A change of a text at a share of its length.
#[derive(Clone, Debug)]
enum Mutation {
    Delete(f64, usize),
    Insert(f64, String),
    Move(f64, f64, usize),
}

fn mutation() -> impl Strategy<Value = Mutation> {
    let piece = prop_oneof![
        "(\\(|\\)|,|\\.|\\.\\.|\"|#|\\||\\?|µ|\u{feff}|\r|\n|\n    |\n  |  )",
        "(with|from|every|on|except|after|to|because|at|accept|section|go by|replace|10uF|C1..C9999999|psu\\.|E-10)( )?",
        "\\PC{0,6}",
    ];
    prop_oneof![
        (0.0..1.0, 1usize..40).prop_map(|(at, length)| Mutation::Delete(at, length)),
        (0.0..1.0, piece).prop_map(|(at, text)| Mutation::Insert(at, text)),
        (0.0..1.0, 0.0..1.0, 1usize..60)
            .prop_map(|(from, to, length)| Mutation::Move(from, to, length)),
    ]
}

fn at(text: &str, share: f64) -> usize {
    let mut at = (text.len() as f64 * share) as usize;
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

fn cut(text: &mut String, share: f64, length: usize) -> String {
    let start = at(text, share);
    let end = text[start..]
        .char_indices()
        .nth(length)
        .map_or(text.len(), |(length, _)| start + length);
    text.drain(start..end).collect()
}

fn mutate(text: &mut String, mutation: &Mutation) {
    match mutation {
        Mutation::Delete(share, length) => {
            cut(text, *share, *length);
        }
        Mutation::Insert(share, piece) => {
            let at = at(text, *share);
            text.insert_str(at, piece);
        }
        Mutation::Move(from, to, length) => {
            let piece = cut(text, *from, *length);
            let at = at(text, *to);
            text.insert_str(at, &piece);
        }
    }
}

fn look(files: Vec<(String, String)>, shares: &[f64]) {
    let mut sources = Sources::new();
    for (path, text) in files {
        sources.add(Arc::new(SourceFile::new(path, text)));
    }
    let case = Case::build(&sources, FileId(0));
    let report = check(&case);
    let snapshot = Snapshot::new(&case, &report);
    for file in snapshot.files() {
        whole(&snapshot, file);
        let length = snapshot.text(file).len();
        for share in shares {
            everything_at(
                &snapshot,
                Position::new(file, (length as f64 * share) as u32),
            );
        }
        everything_at(&snapshot, Position::new(file, 0));
        everything_at(&snapshot, Position::new(file, length as u32 + 9));
    }
    symbols::search(&snapshot, "c1");
}

fn is_there(snapshot: &Snapshot<'_>, origin: Origin) {
    let text = snapshot.text(origin.file);
    assert!(
        text.get(origin.span.range()).is_some(),
        "{origin:?} of {}",
        text.len()
    );
}

fn are_edits(snapshot: &Snapshot<'_>, edits: &[Edit]) {
    let mut origins: Vec<Origin> = edits.iter().map(|edit| edit.origin).collect();
    origins.sort_unstable();
    for origin in &origins {
        is_there(snapshot, *origin);
    }
    for pair in origins.windows(2) {
        assert!(
            pair[0].file != pair[1].file || pair[0].span.end <= pair[1].span.start,
            "{edits:?}"
        );
    }
}

fn whole(snapshot: &Snapshot<'_>, file: FileId) {
    let all = Span::new(0, snapshot.text(file).len() as u32);
    for coloured in tokens::tokens(snapshot, file, None) {
        is_there(
            snapshot,
            Origin {
                file,
                span: coloured.span,
            },
        );
    }
    for hint in inlay::inlay(snapshot, file, all) {
        let offset = hint.position.offset as usize;
        assert!(snapshot.text(file).is_char_boundary(offset));
    }
    for fold in folding::folding(snapshot, file) {
        is_there(snapshot, fold.origin);
    }
    for lens in lens::lenses(snapshot, file) {
        is_there(snapshot, lens.origin);
        if let lens::Says::Gate(stage) = lens.says {
            lens::gate_state(snapshot, stage);
        }
    }
    for link in links::links(snapshot, file) {
        is_there(snapshot, link.origin);
    }
    for found in diagnostics::diagnostics(snapshot, file) {
        is_there(snapshot, found.origin);
    }
    symbols::outline(snapshot, file);
    are_edits(snapshot, &format::document(snapshot, file));
}

fn everything_at(snapshot: &Snapshot<'_>, position: Position) {
    if let Some(hover) = hover(snapshot, position) {
        is_there(snapshot, hover.origin);
        markdown(&hover);
    }
    for found in completion::completion(snapshot, position) {
        is_there(snapshot, found.replaces);
    }
    if let Some(found) = signature::signature(snapshot, position) {
        for (start, end) in &found.parts {
            assert!(found.label.get(*start as usize..*end as usize).is_some());
        }
        assert!(
            found
                .active
                .is_none_or(|at| (at as usize) < found.parts.len())
        );
    }
    for target in navigate::definition(snapshot, position) {
        is_there(snapshot, target.line);
    }
    navigate::declaration(snapshot, position);
    for origin in navigate::references(snapshot, position, true) {
        is_there(snapshot, origin);
    }
    navigate::highlight(snapshot, position);
    for origin in linked::linked(snapshot, position) {
        is_there(snapshot, origin);
    }
    if let Ok(fix) = rename::rename(snapshot, position, "ZZ9") {
        are_edits(snapshot, &fix.edits);
    }
    for span in selection::selection(snapshot, position) {
        is_there(
            snapshot,
            Origin {
                file: position.file,
                span,
            },
        );
    }
    are_edits(snapshot, &format::after_newline(snapshot, position));
    let span = Span::new(position.offset, position.offset + 3);
    format::range(snapshot, position.file, span);
    tokens::tokens(snapshot, position.file, Some(span));
    inlay::inlay(snapshot, position.file, span);
    let asked = Asked {
        file: position.file,
        span,
        now: None,
    };
    for action in actions(snapshot, asked) {
        are_edits(snapshot, &action.fix.edits);
    }
}

#[test]
fn every_offset_of_a_small_job_is_answered() {
    let files = small();
    let longest = files.iter().map(|file| file.1.len()).max().unwrap();
    let shares: Vec<f64> = (0..=longest).map(|at| at as f64 / longest as f64).collect();
    look(files, &shares);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn mutated_texts_are_answered(
        mutations in prop::collection::vec((any::<bool>(), mutation()), 1..12),
        shares in prop::collection::vec(0.0..1.0f64, 12),
    ) {
        let mut files = small();
        for (is_first, mutation) in &mutations {
            mutate(&mut files[usize::from(!is_first)].1, mutation);
        }
        look(files, &shares);
    }
}

proptest! {
    // The whole shelf and model are read anew for each, which takes its time.
    #![proptest_config(ProptestConfig::with_cases(6))]

    #[test]
    fn mutated_examples_are_answered(
        mutations in prop::collection::vec((0usize..3, mutation()), 4..40),
        shares in prop::collection::vec(0.0..1.0f64, 10),
        job in 0usize..2,
    ) {
        let mut files = shipped(["jobs/26-014.retin", "jobs/26-019.retin"][job]);
        for (file, mutation) in &mutations {
            mutate(&mut files[*file].1, mutation);
        }
        look(files, &shares);
    }
}
