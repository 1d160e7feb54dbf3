//! Laws of the parser: it reads anything, and what it says of a text is consistent.

mod written;

use proptest::prelude::*;
use retin_syntax::token::Token;
use retin_syntax::tree::{HeadingKind, Line, Record, SelectorChoice};
use retin_syntax::value;
use retin_syntax::{Tree, parse};

const SAMPLE: &str = include_str!("fixtures/sample.retin");

fn is_consistent(text: &str, tree: &Tree) -> Result<(), TestCaseError> {
    let mut end = 0;
    for (_, span) in &tree.lexemes {
        prop_assert!(
            span.start >= end && span.end > span.start,
            "{span:?} after {end}"
        );
        prop_assert!(
            text.get(span.range()).is_some(),
            "{span:?} cuts a character"
        );
        let between = text.get(end as usize..span.start as usize).unwrap_or("?");
        prop_assert!(
            between.trim_matches([' ', '\t', '\u{feff}']).is_empty(),
            "no token covers {between:?}"
        );
        end = span.end;
    }
    let covered = |at: usize| {
        tree.lines
            .iter()
            .any(|line| (line.lexemes.0 as usize..line.lexemes.1 as usize).contains(&at))
    };
    for (at, (token, _)) in tree.lexemes.iter().enumerate() {
        if !matches!(token, Token::Newline | Token::Comment) {
            prop_assert!(covered(at), "no line has token {at}");
        }
    }
    let count = tree.lines.len() as u32;
    let mut last = 0;
    for (index, line) in tree.lines.iter().enumerate() {
        let index = index as u32;
        prop_assert!(line.span.start >= last && line.span.end > line.span.start);
        last = line.span.end;
        prop_assert!(line.end > index && line.end <= count);
        let words = &tree.lexemes[line.lexemes.0 as usize..line.lexemes.1 as usize];
        for (_, span) in words.iter().filter(|lexeme| lexeme.0 != Token::Comment) {
            prop_assert!(line.span.start <= span.start && span.end <= line.span.end);
        }
        if let Some(parent) = line.parent {
            let above = tree.line(parent);
            prop_assert!(parent.0 < index && index < above.end && line.end <= above.end);
            prop_assert!(above.indent < line.indent || line.record == Record::Unresolved);
            prop_assert!(tree.children(parent).any(|(id, _)| id.0 == index));
        } else {
            prop_assert!(tree.sections().any(|(id, _)| id.0 == index));
        }
    }
    let is_broken = |line: &&Line| match line.record {
        Record::Broken => true,
        Record::Unresolved => line.span.of(text).starts_with("<<<<<<<"),
        _ => false,
    };
    let hangs_on_broken = |line: &&Line| {
        let above = line.parent.map(|parent| tree.line(parent));
        above.is_some_and(|above| above.record == Record::Broken)
    };
    let broken = || tree.lines.iter().filter(is_broken);
    let alone = broken().filter(|line| line.record == Record::Unresolved || !hangs_on_broken(line));
    prop_assert!(
        (alone.count()..=broken().count()).contains(&tree.errors.len()),
        "each broken line is reported once; what hangs on one need not be"
    );
    let mut last = 0;
    for error in &tree.errors {
        prop_assert!(text.get(error.span.range()).is_some());
        prop_assert!(error.span.start >= last);
        last = error.span.start;
        prop_assert!(!error.message.is_empty());
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn any_text(text in any::<String>()) {
        is_consistent(&text, &parse(&text))?;
    }

    #[test]
    fn any_bytes(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        let text = String::from_utf8_lossy(&bytes);
        is_consistent(&text, &parse(&text))?;
    }

    #[test]
    fn written_files(text in written::file()) {
        is_consistent(&text, &parse(&text))?;
    }

    #[test]
    fn mutated_samples(text in written::mutated(SAMPLE)) {
        is_consistent(&text, &parse(&text))?;
    }

    #[test]
    fn any_words(text in written::word_salad()) {
        is_consistent(&text, &parse(&text))?;
    }
}

/// The words of the facts on the last line of a text.
fn last_facts(text: &str) -> Vec<String> {
    let tree = parse(text);
    assert_eq!(tree.errors, [], "{text}");
    let facts = match tree.lines.last().map(|line| &line.record) {
        Some(Record::Part { facts, .. } | Record::Step { facts, .. }) => facts,
        Some(Record::Entry(entry)) => &entry.facts,
        other => panic!("{other:?}"),
    };
    facts
        .iter()
        .map(|fact| fact.span.of(text).to_owned())
        .collect()
}

#[test]
fn a_byte_order_mark_hides_no_heading() {
    let tree = parse("\u{feff}model lm8\n  revision 3\n");
    assert_eq!(tree.errors, []);
    assert!(
        matches!(&tree.lines[0].record, Record::Heading(heading) if heading.kind == HeadingKind::Model)
    );
}

#[test]
fn a_letter_is_a_unit_only_where_a_number_wants_one() {
    let part = |line: &str| last_facts(&format!("board b\n  {line}\n"));
    assert_eq!(part("F1 fuse 2A F"), ["2A", "F"]);
    assert_eq!(part("C1 film 10 F"), ["10 F"]);
    assert_eq!(part("D1 diode at 30,40 K east"), ["at 30,40", "K east"]);
    assert_eq!(part("Q1 npn 2N3904 V"), ["2N3904", "V"]);
    assert!(value::read("10 F").is_ok());
}

#[test]
fn a_kind_may_stand_anywhere_on_a_part_line() {
    let tree = parse("board b\n  C1 10nF film 5%\n");
    let Record::Part {
        kind: Some(kind),
        facts,
        ..
    } = &tree.lines[1].record
    else {
        panic!("{tree:?}");
    };
    assert_eq!(kind.token, Token::Film);
    assert_eq!(facts.len(), 2);
}

#[test]
fn a_slot_that_is_left_out_takes_no_word_of_the_next() {
    assert_eq!(last_facts("steps\n  dry inspect 90min\n"), ["90min"]);
    let tree = parse("steps\n  wash clean with isopropanol after strip\n");
    let Record::Step {
        selector,
        with,
        after,
        ..
    } = &tree.lines[1].record
    else {
        panic!("{tree:?}");
    };
    assert_eq!((selector, with.len(), after.len()), (&None, 1, 1));
    let tree = parse("log\n  2026-11-03\n    12:00 cleaned with isopropanol\n");
    let Record::Entry(entry) = &tree.lines[2].record else {
        panic!("{tree:?}");
    };
    assert_eq!((&entry.selector, entry.with.len()), (&None, 1));
    let tree = parse("steps\n  strip remove \"with\"\n");
    let Record::Step {
        selector: Some(selector),
        ..
    } = &tree.lines[1].record
    else {
        panic!("{tree:?}");
    };
    assert!(matches!(&selector.choice, SelectorChoice::Names(names) if names.len() == 1));
}

#[test]
fn a_number_that_lies_in_a_direction_is_a_lead() {
    for line in [
        "plan\n  remove every board 1 south because \"worn\"\n",
        "plan\n  replace every 47ohm resistor 2 north-west\n",
        "log\n  2026-10-05\n    09:00 ordered 2 south, 4.7kohm\n",
        "log\n  2026-10-05\n    corrected 09:00 47ohm, cold\n",
    ] {
        assert!(parse(line).errors.is_empty(), "{line}");
    }
}

#[test]
fn a_heading_behind_blanks_is_told_as_one() {
    let error = &parse("job 1\n  model a\n plan\n  keep C1\n").errors[0];
    let help = error.help.as_deref().unwrap_or_default();
    assert!(help.starts_with("`plan` opens a section"), "{help}");
}

#[test]
fn quotes_for_print_are_told_with_plain_ones() {
    let text = "use \u{201c}shelf.retin\u{201d}\n";
    let error = &parse(text).errors[0];
    assert_eq!(
        error.help.as_deref(),
        Some("these quotes are for print; write `\"shelf.retin\"`")
    );
    assert_eq!(error.edits[0].1, "\"shelf.retin\"");
}

/// Blanks before the place where something is missing once turned its span round.
#[test]
fn a_missing_word_after_blanks_has_a_place() {
    for text in [
        "model a\nboard b\n  rail   \n",
        "job 1\nplan\n  replace   C1   with   # nothing\n",
        "job 1\nplan\n  accept  value-mismatch   on   \n",
        "log\n  2026-11-03\n    09:10   \n",
        "board b\n  film\n    C1   (1   ,   2 x)\n",
    ] {
        is_consistent(text, &parse(text)).expect("a consistent tree");
        for error in &parse(text).errors {
            assert!(error.span.start <= error.span.end, "{text:?}: {error:?}");
        }
    }
}
