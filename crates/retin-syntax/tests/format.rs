//! The canonical form: how it looks, and the laws it keeps.

mod meaning;
mod written;

use meaning::{comments, meaning};
use proptest::prelude::*;
use retin_syntax::tree::Record;
use retin_syntax::{format, limits, parse};

const SAMPLE: &str = include_str!("fixtures/sample.retin");

/// The text before and after, for a snapshot.
fn before_and_after(text: &str) -> String {
    let formatted = format(text);
    let unread: String = formatted
        .unread
        .iter()
        .map(|error| format!("{}\n", error.message))
        .collect();
    format!(
        "{text}\n──── formatted ────\n{}──── left as typed: {:?} ────\n{unread}",
        formatted.text, formatted.untouched
    )
}

/// Every law at once.
fn keeps_the_laws(text: &str) -> Result<(), TestCaseError> {
    let before = parse(text);
    let formatted = format(text);
    let after = parse(&formatted.text);
    prop_assert_eq!(
        meaning(text, &before),
        meaning(&formatted.text, &after),
        "meaning changed:\n{}\n────\n{}",
        text,
        formatted.text
    );
    prop_assert_eq!(comments(text, &before), comments(&formatted.text, &after));
    prop_assert_eq!(
        broken_lines(text),
        broken_lines(&formatted.text),
        "a broken line changed"
    );
    let again = format(&formatted.text).text;
    prop_assert_eq!(
        &again,
        &formatted.text,
        "twice is not once, from:\n{}",
        text
    );
    Ok(())
}

/// The lines that could not be read, with all their blanks.
fn broken_lines(text: &str) -> Vec<&str> {
    let tree = parse(text);
    tree.lines
        .iter()
        .filter(|line| line.record == Record::Broken)
        .map(|line| {
            let before = &text[..line.span.start as usize];
            let start = before.rfind(['\n', '\r']).map_or(0, |at| at + 1);
            let rest = &text[line.span.start as usize..];
            let end = rest.find(['\n', '\r']).unwrap_or(rest.len());
            text[start..line.span.start as usize + end].trim_start_matches('\u{feff}')
        })
        .collect()
}

#[test]
fn the_sample() {
    insta::assert_snapshot!(before_and_after(SAMPLE));
}

/// One file for each heading, its lines typed carelessly.
#[test]
fn every_record() {
    for (name, text) in [
        ("model", include_str!("fixtures/model.retin")),
        ("parts", include_str!("fixtures/parts.retin")),
        ("shelf", include_str!("fixtures/shelf.retin")),
        ("job", include_str!("fixtures/job.retin")),
        ("log", include_str!("fixtures/log.retin")),
        ("broken", include_str!("fixtures/broken.retin")),
        ("comments", include_str!("fixtures/comments.retin")),
    ] {
        insta::assert_snapshot!(name, before_and_after(text));
        keeps_the_laws(text).unwrap();
    }
}

#[test]
fn line_ends_follow_the_first() {
    assert_eq!(
        format("job 1\r\n  serial \"a\"\n\n\n").text,
        "job 1\r\n  serial     \"a\"\r\n"
    );
    assert_eq!(
        format("\u{feff}job 1\n  serial \"a\"\r\n\r  owner \"b\"").text,
        "job 1\n  serial     \"a\"\n\n  owner      \"b\"\n"
    );
    assert_eq!(format("").text, "");
    assert_eq!(format("\n \t\n").text, "");
}

#[test]
fn a_code_behind_every_is_not_written_as_a_value_of_its_parts() {
    let text = "job 1\n\nsteps\n  ohms measure every rail R9 100ohm\n";
    keeps_the_laws(text).unwrap();
}

#[test]
fn a_broken_line_keeps_its_blanks_and_its_children() {
    let text = "board psu\n electrolytic\n  \tC1 (((   \n        found 10uF 5V\n";
    let formatted = format(text);
    // The broken line sits at four columns, where its siblings go as well.
    assert_eq!(
        formatted.text,
        "board psu\n  electrolytic\n  \tC1 (((   \n      found      10uF 5V\n"
    );
    assert_eq!(formatted.untouched, [3]);
}

#[test]
fn a_section_stays_where_new_indentation_would_move_a_broken_line() {
    // With the group at two columns, the broken line, typed at three, would be its child.
    let text = "board psu\n   electrolytic\n        C1   10uF\n   coper  single-sided\n\nboard other\n    copper   single-sided\n";
    let formatted = format(text);
    let expected = text.replace("    copper   ", "  copper     ");
    assert_eq!(formatted.text, expected);
    assert_eq!(formatted.untouched, [1, 2, 3, 4]);
}

#[test]
fn what_lies_over_the_limits_stays() {
    let wide = format!(
        "job 1\n   serial   \"{}\"\n",
        "x".repeat(limits::LINE_BYTES)
    );
    let formatted = format(&wide);
    assert_eq!(formatted.text, wide);
    assert_eq!(formatted.untouched, [2]);
    let huge = "\n".repeat(limits::FILE_BYTES + 1);
    let formatted = format(&huge);
    assert!(formatted.text == huge);
    assert_eq!(formatted.unread.len(), 1);
}

#[test]
fn words_that_would_join_stay_as_typed() {
    for line in [
        "  F1   fuse F   5",
        "  X1 chip X V 150",
        "  C1 film 5x11mm , V",
        "  C1 film 10uF ±   20 %",
        "  D1 diode   K east at 30,40 5",
    ] {
        keeps_the_laws(&format!("board psu\n{line}\n")).unwrap();
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn written_files(text in written::file()) {
        keeps_the_laws(&text)?;
    }

    #[test]
    fn any_text(text in any::<String>()) {
        keeps_the_laws(&text)?;
    }

    #[test]
    fn any_words(text in written::word_salad()) {
        keeps_the_laws(&text)?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn mutated_samples(text in written::mutated(SAMPLE)) {
        keeps_the_laws(&text)?;
    }
}

/// Guards the laws above: were all generated lines broken, they would hold for nothing.
#[test]
fn most_written_lines_can_be_read() {
    use proptest::strategy::ValueTree;
    use proptest::test_runner::TestRunner;
    let mut runner = TestRunner::deterministic();
    let (mut lines, mut broken) = (0, 0);
    for _ in 0..100 {
        let text = written::file().new_tree(&mut runner).unwrap().current();
        lines += parse(&text).lines.len();
        broken += broken_lines(&text).len();
    }
    assert!(lines > 500, "{lines}");
    assert!(broken * 3 < lines, "{broken} of {lines} are broken");
}
