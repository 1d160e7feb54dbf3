//! Texts with a caret for the tests of the features.
//!
//! `$0` is the caret. A line `=== path` begins another file; the first file is
//! `job.retin`, and the check begins there.

use super::caret::Caret;
use super::{Position, Snapshot};
use crate::check::check;
use crate::finding::Edit;
use crate::meaning::Case;
use crate::sources::{FileId, SourceFile, Sources};
use std::sync::Arc;

/// Paths and texts.
type Files = Vec<(String, String)>;

/// The files of a fixture without the caret, and where it stood.
fn read(fixture: &str) -> (Files, Option<(usize, usize)>) {
    let mut files: Files = vec![("job.retin".into(), String::new())];
    for line in fixture.split_inclusive('\n') {
        if let Some(path) = line.strip_prefix("=== ") {
            files.push((path.trim().to_owned(), String::new()));
        } else if let Some((_, text)) = files.last_mut() {
            text.push_str(line);
        }
    }
    let mut caret = None;
    for (index, (_, text)) in files.iter_mut().enumerate() {
        if let Some(offset) = text.find("$0") {
            text.replace_range(offset..offset + 2, "");
            caret = Some((index, offset));
        }
    }
    (files, caret)
}

/// Looks at a fixture whose caret may be left out.
pub(crate) fn with<T>(fixture: &str, look: impl FnOnce(&Snapshot<'_>, Option<Position>) -> T) -> T {
    let (files, caret) = read(fixture);
    let mut sources = Sources::new();
    for (path, text) in files {
        sources.add(Arc::new(SourceFile::new(path, text)));
    }
    let case = Case::build(&sources, FileId(0));
    let report = check(&case);
    let snapshot = Snapshot::new(&case, &report);
    let position = caret.map(|(file, offset)| Position::new(FileId(file as u32), offset as u32));
    look(&snapshot, position)
}

/// Looks at a fixture from its caret.
pub(crate) fn at<T>(fixture: &str, look: impl FnOnce(&Snapshot<'_>, Position) -> T) -> T {
    with(fixture, |snapshot, position| {
        look(snapshot, position.expect("the fixture has a caret, `$0`"))
    })
}

/// Looks at the line around the caret.
pub(crate) fn at_caret<T>(fixture: &str, look: impl FnOnce(&Snapshot<'_>, Caret<'_>) -> T) -> T {
    at(fixture, |snapshot, position| {
        look(snapshot, Caret::at(snapshot, position))
    })
}

/// A unit with a supply, eight strips, a shelf and a job on it. Invented.
pub(crate) const MIXER: &str = r#"use "model.retin"
use "shelf.retin"

job 26-031 "LM-8 serial 00417"
  model      lm8 revision 3
  life       10000h
  inside     50°C

found
  psu.C2  meter 61uF

plan
  replace    psu.C1                  with E-2200-50
  replace    every electrolytic      from main
  keep       every film
  accept     value-mismatch on ch1..ch8.C1  because "lower corner wanted"

steps
  strip      remove every electrolytic
  fill       fit every electrolytic   after strip

targets
  psu.V24    24V ±2%

log
  2026-11-03
    09:10  removed    psu.C1
    09:40  measured   psu.C1  1840uF
=== model.retin
model lm8 "Pellworth LM-8 location mixer"
  revision   3
  headroom   38mm

board psu "Power supply"
  rail       RAW  34V ±15%
  rail       V24  24V  ±5%
  rail       GND   0V
  zone       A  0,0 to 60,40

  electrolytic 85°C radial
    C1  2200uF 40V  22x40 p10   (+ RAW, - GND)  zone A
      list       2200uF 40V
      silk       + east
    C2   100uF 35V   8x12 p3.5  (+ V24, - GND)
  resistor ±5%
    R1, R2  10kohm 0.25W  (1 V24, 2 MID)
    R3      10kohm 0.25W  (1 MID, 2 GND)

board channel "Channel strip" as ch1..ch8
  rail       V24  24V  ±5%
  rail       GND   0V
  electrolytic
    C1   10uF 25V  5x11 p2  coupling  (+ V24, - OUT)
  film
    C2  100nF 63V  p5

link J2
  psu.V24 to ch1..ch8.V24
  psu.GND to ch1..ch8.GND
=== shelf.retin
shelf main "Drawers A to F"
  electrolytic ±20% 105°C radial
    E-10-50       10uF 50V   5x11 p2    life 5000h  have 120  1 at 0.10 EUR
    E-100-50     100uF 50V   8x12 p3.5  life 5000h  have 40   1 at 0.21 EUR
    E-2200-50   2200uF 50V  18x40 p7.5  life 5000h  have 3    1 at 2.10 EUR
"#;

/// [`MIXER`] with a text in it replaced by one that holds the caret.
pub(crate) fn mixer(old: &str, new: &str) -> String {
    assert!(MIXER.contains(old), "the fixture has no `{old}`");
    MIXER.replacen(old, new, 1)
}

/// The files after some edits, as one fixture.
pub(crate) fn applied(snapshot: &Snapshot<'_>, edits: &[Edit]) -> String {
    let mut out = String::new();
    for file in snapshot.files() {
        let source = snapshot.sources.file(file);
        if file != FileId(0) {
            out.push_str(&format!("=== {}\n", source.path));
        }
        let mut text = source.text.clone();
        let mut own: Vec<&Edit> = edits
            .iter()
            .filter(|edit| edit.origin.file == file)
            .collect();
        own.sort_by_key(|edit| std::cmp::Reverse(edit.origin.span.start));
        for edit in own {
            text.replace_range(edit.origin.span.range(), &edit.text);
        }
        out.push_str(&text);
    }
    out
}
