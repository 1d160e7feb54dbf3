//! Joins of small files, and the laws of joining.

use super::{Clash, Merged, PlainReason, merge};

const BASE: &str = "\
use \"m.retin\"

job 26-031 \"LM-8 serial 00417\"
  owner      \"Radio Merrin\"

plan
  replace    psu.C1  with E-1
  keep       psu.C2
  keep       psu.C3  # sound

targets
  psu.V24  24V ±5%

log
  2026-11-03
    09:10  removed    psu.C1
    12:00  noted      \"lunch\"
";

fn changed(edits: &[(&str, &str)]) -> String {
    let mut text = BASE.to_owned();
    for (from, to) in edits {
        assert!(text.contains(from), "{from}");
        text = text.replace(from, to);
    }
    text
}

fn clean(base: &str, ours: &str, theirs: &str) -> String {
    let merged = merge(base, ours, theirs);
    assert_eq!(merged.conflicts, [], "{}", merged.text);
    assert_eq!(merged.plain, None);
    merged.text
}

#[test]
fn neighbouring_lines_are_no_conflict() {
    let ours = changed(&[("psu.C1  with E-1", "psu.C1  with E-2")]);
    let theirs = changed(&[("keep       psu.C2", "replace    psu.C2  with E-9")]);
    let both = changed(&[
        ("psu.C1  with E-1", "psu.C1  with E-2"),
        ("keep       psu.C2", "replace    psu.C2  with E-9"),
    ]);
    assert_eq!(clean(BASE, &ours, &theirs), both);
    assert_eq!(clean(BASE, &theirs, &ours), both);
}

#[test]
fn entries_of_one_day_come_together_in_time() {
    let ours = changed(&[(
        "    12:00",
        "    10:00  fitted     psu.C1 with E-1\n    ?      cleaned    psu\n    12:00",
    )]) + "    15:00  powered    psu\n";
    let theirs = changed(&[(
        "    12:00",
        "    09:40  measured   psu.C1  1840uF\n    12:00",
    )]) + "    14:00  inspected  psu\n  next day\n    08:00  noted      \"cold start\"\n";
    let merged = clean(BASE, &ours, &theirs);
    insta::assert_snapshot!(merged.split_once("log\n").map_or("", |(_, log)| log), @r#"
      2026-11-03
        09:10  removed    psu.C1
        09:40  measured   psu.C1  1840uF
        10:00  fitted     psu.C1 with E-1
        ?      cleaned    psu
        12:00  noted      "lunch"
        14:00  inspected  psu
        15:00  powered    psu
      next day
        08:00  noted      "cold start"
    "#);
    assert_eq!(clean(BASE, &theirs, &ours), merged);
}

#[test]
fn a_next_day_that_is_parted_from_its_day_gets_its_date() {
    let ours = format!(
        "{BASE}  2026-11-05\n    08:00  noted      \"a\"\n  next day\n    08:00  noted      \"b\"\n"
    );
    let theirs = format!("{BASE}  2026-11-04\n    08:00  noted      \"c\"\n");
    let merged = clean(BASE, &ours, &theirs);
    assert!(merged.contains("  2026-11-04\n    08:00  noted      \"c\"\n  2026-11-05\n"));
    assert!(merged.contains("  next day\n    08:00  noted      \"b\"\n"));
    let ours = format!(
        "{BASE}  next day\n    08:00  noted      \"a\"\n  next day\n    08:00  noted      \"b\"\n"
    );
    let without = BASE.replace(
        "  2026-11-03\n    09:10  removed    psu.C1\n    12:00  noted      \"lunch\"\n",
        "",
    );
    let merged = clean(BASE, &ours, &without);
    assert!(
        merged.ends_with("log\n  2026-11-04\n    08:00  noted      \"a\"\n  next day\n    08:00  noted      \"b\"\n"),
        "{merged}"
    );
}

#[test]
fn one_line_changed_twice_is_for_the_technician() {
    let ours = changed(&[("with E-1", "with E-2")]);
    let theirs = changed(&[("with E-1", "with E-3"), ("±5%", "±2%")]);
    let merged = merge(BASE, &ours, &theirs);
    assert_eq!(merged.conflicts.len(), 1);
    assert_eq!(merged.conflicts[0].clash, Clash::BothChanged);
    insta::assert_snapshot!(&merged.text[merged.text.find("plan").unwrap()..], @r#"
    plan
    <<<<<<< ours
      replace    psu.C1  with E-2
    =======
      replace    psu.C1  with E-3
    >>>>>>> theirs
      keep       psu.C2
      keep       psu.C3  # sound

    targets
      psu.V24  24V ±2%

    log
      2026-11-03
        09:10  removed    psu.C1
        12:00  noted      "lunch"
    "#);
    let at = merged.conflicts[0].line as usize - 1;
    assert_eq!(merged.text.lines().nth(at), Some("<<<<<<< ours"));
    assert_eq!(retin_syntax::parse(&merged.text).errors.len(), 1);
}

#[test]
fn two_verbs_for_one_part_contradict() {
    let ours = changed(&[("keep       psu.C2", "leave      psu.C2  because \"sealed\"")]);
    let theirs = changed(&[("keep       psu.C2", "remove     psu.C2")]);
    assert_eq!(merge(BASE, &ours, &theirs).conflicts.len(), 1);
}

#[test]
fn what_one_side_took_out_and_the_other_changed_is_kept_for_the_technician() {
    let ours = changed(&[("  psu.V24  24V ±5%\n", "")]);
    let theirs = changed(&[("±5%", "±2%")]);
    let merged = merge(BASE, &ours, &theirs);
    assert_eq!(merged.conflicts[0].clash, Clash::WeRemoved);
    assert!(
        merged
            .text
            .contains("<<<<<<< ours\n=======\n  psu.V24  24V ±2%\n>>>>>>> theirs\n"),
        "{}",
        merged.text
    );
}

#[test]
fn a_side_that_only_reformats_is_not_in_the_way() {
    let base = "job 26-031\n   owner   \"Radio Merrin\"\nplan\n    replace psu.C1 with 10 µF\n    keep psu.C2\n";
    let ours = retin_syntax::format(base).text;
    let theirs = base.replace("keep psu.C2", "remove psu.C2");
    let merged = clean(base, &ours, &theirs);
    assert_eq!(
        merged,
        ours.replace("keep       psu.C2", "remove     psu.C2")
    );
    assert_eq!(clean(base, &theirs, &ours), merged);
}

#[test]
fn indentation_of_two_kinds_keeps_what_belongs_together() {
    let base = "job 1\nplan\n keep psu.C1\n accept a on psu.C1\n";
    let ours = "job 1\nplan\n      keep psu.C1\n      keep psu.C3\n      accept a on psu.C1\n";
    let theirs = "job 1\nplan\n keep psu.C1\n accept a on psu.C1\n  for 22uF in place of 10uF\n keep psu.C4\n";
    let merged = clean(base, ours, theirs);
    let tree = retin_syntax::parse(&merged);
    assert_eq!(tree.errors, [], "{merged}");
    for line in ["keep psu.C3", "keep psu.C4", "for 22uF in place of 10uF"] {
        assert!(merged.contains(line), "{merged}");
    }
}

#[test]
fn comments_and_prose_of_both_sides_are_kept() {
    let ours = changed(&[
        (
            "  keep       psu.C2\n",
            "  # ours, above\n  keep       psu.C2  # ours, behind\n",
        ),
        ("  2026-11-03\n", "  2026-11-03\n    | ours\n"),
    ]);
    let theirs = changed(&[
        (
            "  keep       psu.C2\n",
            "  # theirs, above\n  remove     psu.C2\n    | theirs\n",
        ),
        ("# sound", "# theirs, changed"),
    ]);
    let merged = clean(BASE, &ours, &theirs);
    for piece in [
        "  # ours, above\n",
        "  # theirs, above\n",
        "  remove     psu.C2  # ours, behind\n    | theirs\n",
        "    | ours\n",
        "# theirs, changed",
    ] {
        assert!(merged.contains(piece), "{piece} is missing:\n{merged}");
    }
    assert!(!merged.contains("# sound"));
}

#[test]
fn an_edited_entry_replaces_the_old_one() {
    let ours = changed(&[("\"lunch\"", "\"dinner\"")]);
    let theirs = format!("{BASE}    13:00  noted      \"rain\"\n");
    let merged = clean(BASE, &ours, &theirs);
    assert!(merged.ends_with("    12:00  noted      \"dinner\"\n    13:00  noted      \"rain\"\n"));
}

#[test]
fn line_ends_and_the_end_of_the_file_are_kept() {
    let crlf = |text: &str| text.replace('\n', "\r\n");
    let ours = changed(&[("with E-1", "with E-2")]);
    let theirs = changed(&[("±5%", "±2%")]);
    let both = changed(&[("with E-1", "with E-2"), ("±5%", "±2%")]);
    assert_eq!(
        clean(&crlf(BASE), &crlf(&ours), &crlf(&theirs)),
        crlf(&both)
    );
    assert_eq!(clean(BASE, &ours, &crlf(&theirs)), crlf(&both));
    let bare = |text: &str| {
        text.replace(
            "    12:00  noted      \"lunch\"\n",
            "    12:00  noted \"x\"",
        )
    };
    assert_eq!(
        clean(&bare(BASE), &bare(&ours), &bare(&theirs)),
        bare(&both)
    );
}

#[test]
fn broken_lines_are_joined_as_lines() {
    let base = BASE.replace("keep       psu.C2", "kep        psu.C2 (");
    let ours = base.replace("kep        psu.C2 (", "keep       psu.C2");
    let theirs = base.replace("with E-1", "with E-2");
    let merged = clean(&base, &ours, &theirs);
    assert!(merged.contains("  replace    psu.C1  with E-2\n  keep       psu.C2\n"));
    let theirs = base.replace("kep        psu.C2 (", "kep        psu.C2 ((");
    assert_eq!(merge(&base, &ours, &theirs).conflicts.len(), 1);
}

#[test]
fn an_undecided_version_is_joined_line_by_line() {
    let ours = changed(&[(
        "  keep       psu.C2\n",
        "<<<<<<< ours\n  keep       psu.C2\n=======\n>>>>>>> theirs\n",
    )]);
    let theirs = changed(&[("±5%", "±2%")]);
    let Merged { text, plain, .. } = merge(BASE, &ours, &theirs);
    assert_eq!(plain, Some(PlainReason::Unresolved));
    assert!(text.contains("±2%") && text.contains("<<<<<<< ours"));
}

#[test]
fn an_undecided_origin_decides_nothing() {
    let base = changed(&[(
        "  replace    psu.C1  with E-1\n",
        "<<<<<<< ours\n  replace    psu.C1  with E-1\n=======\n  replace    psu.C1  with E-2\n>>>>>>> theirs\n",
    )]);
    let ours = changed(&[]);
    let theirs = changed(&[("with E-1", "with E-2")]);
    assert_eq!(merge(&base, &ours, &theirs).conflicts.len(), 1);
    let theirs = changed(&[("±5%", "±2%")]);
    assert_eq!(clean(&base, &ours, &theirs), theirs);
}

#[test]
fn both_add_a_section() {
    let base = "job 1\n\nplan\n  keep       psu.C1\n";
    let ours = format!("{base}\nlog\n  2026-11-03\n    09:00  noted      \"a\"\n");
    let theirs = format!("{base}\nlog\n  2026-11-03\n    08:00  noted      \"b\"\n");
    assert_eq!(
        clean(base, &ours, &theirs),
        format!(
            "{base}\nlog\n  2026-11-03\n    08:00  noted      \"b\"\n    09:00  noted      \"a\"\n"
        )
    );
}

#[test]
fn both_add_one_part_differently() {
    let base = "board psu\n  resistor\n    R1  10kohm\n";
    let ours = format!("{base}    R2  10kohm\n");
    let theirs = format!("{base}    R2  22kohm\n    R3  22kohm\n");
    let merged = merge(base, &ours, &theirs);
    assert_eq!(merged.conflicts.len(), 1);
    assert_eq!(merged.conflicts[0].clash, Clash::BothAdded);
    assert!(merged.text.ends_with(">>>>>>> theirs\n    R3  22kohm\n"));
}
