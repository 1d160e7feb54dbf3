//! Every sentence that a comparison says, on the shipped job edited in many ways, to be
//! read aloud.

#[path = "support/shipped.rs"]
mod shipped;

use retin::compare::compare;
use retin::meaning::Case;
use retin::sources::{FileId, SourceFile, Sources};
use shipped::SHIPPED;
use std::sync::Arc;

/// The shipped files, with words exchanged; each is exchanged where it stands first.
fn sources(edits: &[(&str, &str)]) -> Sources {
    let mut texts: Vec<String> = SHIPPED.iter().map(|file| file.1.to_owned()).collect();
    for (from, to) in edits {
        let text = texts.iter_mut().find(|text| text.contains(from));
        let text = text.unwrap_or_else(|| panic!("no file has {from:?}"));
        *text = text.replacen(from, to, 1);
    }
    let mut sources = Sources::new();
    for ((path, _), text) in SHIPPED.iter().zip(texts) {
        sources.add(Arc::new(SourceFile::new((*path).to_owned(), text)));
    }
    sources
}

fn told(edits: &[(&str, &str)]) -> String {
    let (old, new) = (sources(&[]), sources(edits));
    let (old, new) = (Case::build(&old, FileId(0)), Case::build(&new, FileId(0)));

    let sentences = |changes: Vec<retin::compare::Change>| -> Vec<String> {
        let lines = changes.iter();
        lines
            .map(|change| format!("{}: {}", change.title(), change.sentence()))
            .collect()
    };
    let there = sentences(compare(&old, &new));
    let back = sentences(compare(&new, &old));
    format!("{}\n\nand back\n\n{}", there.join("\n"), back.join("\n"))
}

#[test]
fn facts_of_parts_and_what_sources_say() {
    insta::assert_snapshot!(told(&[
        (
            "C1   4700uF  40V   22x35 p10  reservoir",
            "C1   6800uF  63V   25x40 p10  filter"
        ),
        (
            "    C1   6800uF  63V   25x40 p10  filter  (+ RAW+, - GND)   zone A at 30,60\n      silk       + north",
            "    C1   6800uF  63V   25x40 p10  filter  (+ GND, - RAW+)   zone B at 32,60\n      silk       + south\n      go by      silk"
        ),
        (
            "C2   4700uF  40V   22x35 p10  reservoir",
            "C2   4700uF  40V   22x35 p10  reservoir unfitted"
        ),
        ("      beep       + GND\n", ""),
        (
            "C4     10uF  25V    5x11 p2 ",
            "C4     10uF  25V  life 2000h  code 106 marked \"NS\" "
        ),
        (
            "      list       100uF 25V\n",
            "      list       100uF 35V\n"
        ),
        (
            "      meter      + to - 48.1V",
            "      meter      + to - 47.2V\n      beep       - GND"
        ),
        ("unfitted          at 105,85", "at 105,85"),
        (
            "Q1  HR-48  (B ZREF, C RAW48, E P48)",
            "Q1  HR-48  (B ZREF, C RAW48, E P48) leads B-C-E matched with Q2"
        ),
        (
            "electrolytic 85°C radial\n    C1    47uF",
            "electrolytic 105°C axial per list\n    C1    47uF"
        ),
        ("  tantalum radial", "  tantalum axial"),
        (
            "  fuse 250VAC 5x20\n    F1, F2     1A T",
            "  fuse 250VAC 5x20\n    F1, F2     1A F"
        ),
        ("VR1  1kohm  p5 linear", "VR1  1kohm  p5 log"),
    ]));
}

#[test]
fn sheet_boards_nets_and_prose() {
    insta::assert_snapshot!(told(&[
        ("  net        BUS \"to the mixing amplifiers\"\n", ""),
        ("size       260 x 35", "size       262 x 35"),
        (
            "copper     double-sided plated\n  size       262",
            "copper     double-sided unplated\n  size       262"
        ),
        ("rail       P48   48V ±8%", "rail       P48   48V ±5%"),
        (
            "      | A rail below ground: plus goes to ground here.\n",
            "      | Plus goes to ground here.\n"
        ),
        (
            "board channel \"Channel strip\" as ch1..ch8",
            "board channel \"Input strip\" as ch1..ch6"
        ),
        ("  connector\n    J1, J2\n", "  connector\n    J1, J3\n"),
        (
            "remove     electrolytic, bipolar  50s",
            "remove     electrolytic  45s"
        ),
        ("HR-48  leads B-C-E risky", "HR-48  leads E-C-B risky"),
        ("use \"house.retin\"\n", ""),
    ]));
}

#[test]
fn job_plan_steps_targets_and_log() {
    insta::assert_snapshot!(told(&[
        (
            "  complaint  \"hum on all strips, strip 5 crackles, the mute relay drops out\"\n",
            ""
        ),
        ("inside     50°C", "inside     45°C\n  margin     20%"),
        (
            "agreed     1150.00 EUR on 2026-09-14",
            "agreed     1150.00 EUR on 2026-09-14\n  agreed     1300.00 EUR on 2026-09-20"
        ),
        (
            "psu.C9      meter 43uF",
            "psu.C9      meter 41uF\n  psu.C9 go by meter"
        ),
        ("  ch5.C1      47uF 63V\n", ""),
        ("  keep       every relay\n", ""),
        (
            "socket     master.U3, master.U4          with SK-8",
            "socket     master.U3                     with SK-8"
        ),
        (
            "leave      psu.C12                       because \"renewed in 2021, measured sound\"",
            "replace    psu.C12                       with T-2U2-35"
        ),
        ("47uF in place of 22uF", "47uF in place of 20uF"),
        (
            "absent     inlet.LS1",
            "remove     inlet.LS1                     because \"noisy\""
        ),
        (
            "replace    master.C16, master.C17        with E-22-50 and E-22-50 in series",
            "keep       master.C16, master.C17"
        ),
        (
            "    caution \"the 48 V reservoir holds its charge for minutes\"\n",
            ""
        ),
        (
            "  wash       clean every board with isopropanol  after bare    1h",
            "  wash       clean every board with isopropanol  after bare    2h\n    caution \"open the window\""
        ),
        (
            "  listen     test channel                        after chips   2h because \"all eight, both outputs\"\n",
            ""
        ),
        (
            "psu.P48             48V ±8%",
            "psu.P48             48V ±5%\n  psu.ZREF            9.1V ±5%"
        ),
        ("  master.C12.+        20..28V\n", ""),
        ("    09:36  measured   psu.C2  0.1V\n", ""),
        (
            "    14:00  inspected  psu\n",
            "    14:00  inspected  psu\n    14:05  measured   psu.C4  9.8uF, leakage 2uA\n"
        ),
        (
            "10:40  damaged    psu.C6.+  pad lifted",
            "10:40  damaged    psu.C6.-  pad lifted"
        ),
    ]));
}

#[test]
fn shelves_and_lines_that_make_no_sense() {
    insta::assert_snapshot!(told(&[
        (
            "have 30   1 at 0.08 EUR, 50 at 0.05 EUR  bin A1",
            "have 28   1 at 0.09 EUR, 50 at 0.05 EUR  bin A9 coming 50"
        ),
        (
            "    B-10-50  10uF 50V  6.3x11 p2.5  life 2000h  have 60  1 at 0.22 EUR, 25 at 0.17 EUR  bin C1\n",
            ""
        ),
        (
            "SK-8   DIP-8   have 10  1 at 0.35 EUR  bin G1",
            "SK-8   DIP-8   have 10  1 at 0.35 EUR\n    SK-16  DIP-16  have 4  1 at 0.55 EUR"
        ),
        (
            "maker      \"Hollin & Rusk\" lot \"8114\" sampled 2",
            "maker      \"Hollin & Rusk\""
        ),
        ("  keep       every lamp\n", "  keep       every lmap\n"),
        ("  keep       inlet.RV1\n", "  keep       inlet.RV9\n"),
        ("life       10000h\n", "life       10000h\n\nfound\n"),
    ]));
}
