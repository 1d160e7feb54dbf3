//! The outline after an edit is the outline of the text after it.

mod written;

use proptest::prelude::*;
use retin_syntax::parse;
use retin_syntax::parser::{Change, edit};
use retin_syntax::tree::{Line, Record};

const SAMPLE: &str = include_str!("fixtures/sample.retin");

/// One edit as drawn: where, how much goes, what comes.
type Draw = (prop::sample::Index, usize, String);

fn draws() -> impl Strategy<Value = Vec<Draw>> {
    let bit = prop_oneof![
        4 => "[ -~]{0,6}",
        2 => prop::sample::select(vec![
            "\n", "\r", "\r\n", "  ", "\n  ", "\"", "#", "|", "board x\n", "plan\n", "log\n",
            "electrolytic", "µ", "\u{feff}", "\u{1F50A}", "10uF 25V", "replace ", "\n\n",
        ]).prop_map(str::to_owned),
        1 => any::<String>(),
    ];
    prop::collection::vec((any::<prop::sample::Index>(), 0usize..40, bit), 1..12)
}

fn texts() -> impl Strategy<Value = String> {
    prop_oneof![
        written::file(),
        written::mutated(SAMPLE),
        written::word_salad(),
    ]
}

fn holds(start: String, draws: &[Draw]) -> Result<(), TestCaseError> {
    let mut text = start;
    let mut tree = parse(&text);
    for (index, length, new) in draws {
        let from = text.floor_char_boundary(index.index(text.len() + 1));
        let to = text
            .floor_char_boundary((from + length).min(text.len()))
            .max(from);
        text.replace_range(from..to, new);
        let change = Change {
            start: from as u32,
            old_end: to as u32,
            new_end: (from + new.len()) as u32,
        };
        tree = edit(tree, &text, change);
        prop_assert_eq!(&tree, &parse(&text), "after {:?} in {:?}", change, text);
        // Whoever looks for lines that cannot be read looks for errors first.
        let is_unread = |line: &Line| matches!(line.record, Record::Broken | Record::Unresolved);
        prop_assert!(!tree.errors.is_empty() || !tree.lines.iter().any(is_unread));
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn edits_of_a_sample_and_a_full_reading_agree(draws in draws()) {
        holds(SAMPLE.to_owned(), &draws)?;
    }

    #[test]
    fn edits_of_written_files_and_a_full_reading_agree(text in texts(), draws in draws()) {
        holds(text, &draws)?;
    }

    #[test]
    fn edits_of_any_text_and_a_full_reading_agree(text in any::<String>(), draws in draws()) {
        holds(text, &draws)?;
    }
}

#[test]
fn an_edit_of_a_long_file_moves_every_line_behind_it() {
    let before = SAMPLE.repeat(6_000 / SAMPLE.lines().count());
    let at = before.find("\n\n").expect("sections are apart") as u32;
    for new in ["", "  # a comment", "\nplan\n  keep psu.C1\n"] {
        let mut after = before.clone();
        after.insert_str(at as usize, new);
        let change = Change {
            start: at,
            old_end: at,
            new_end: at + new.len() as u32,
        };
        assert_eq!(edit(parse(&before), &after, change), parse(&after));
    }
}

#[test]
fn a_line_feed_behind_a_carriage_return_joins_it() {
    let before = "model a\rmodel b\r";
    let change = Change {
        start: 8,
        old_end: 8,
        new_end: 9,
    };
    let after = "model a\r\nmodel b\r";
    assert_eq!(edit(parse(before), after, change), parse(after));
}

#[test]
fn children_are_read_again_when_their_parent_changes() {
    let before = "board a\n  electrolytic\n    C1 10uF\n      found 22uF\n";
    let after = "shelf a\n  electrolytic\n    C1 10uF\n      found 22uF\n";
    let change = Change {
        start: 0,
        old_end: 5,
        new_end: 5,
    };
    let tree = edit(parse(before), after, change);
    assert_eq!(tree, parse(after));
    assert_eq!(tree.errors.len(), 1);
}
