//! Every limit of a file: what lies within is read, what goes beyond is told where it is.

use retin_syntax::tree::{Record, SyntaxError};
use retin_syntax::{Span, limits, parse};

/// What is told of a text: where, and as a sentence.
fn told(text: &str) -> Vec<(Span, String)> {
    let told = parse(text).errors.into_iter();
    told.map(|SyntaxError { span, message, .. }| (span, message))
        .collect()
}

/// Lines, each below the one before.
fn nested(levels: usize) -> String {
    (0..levels)
        .map(|level| format!("{}| deeper\n", "  ".repeat(level)))
        .collect()
}

#[test]
fn a_line_may_lie_eight_levels_deep() {
    assert_eq!(told(&nested(limits::DEPTH)), []);
    // What lies deeper still hangs on a line that is told.
    for levels in [limits::DEPTH + 1, limits::DEPTH + 2, 2000] {
        let text = nested(levels);
        let [(span, message)] = &told(&text)[..] else {
            panic!("{levels} levels: {:?}", told(&text));
        };
        let line = text.lines().nth(limits::DEPTH).unwrap_or_default();
        let start = text.find(line).unwrap_or_default() + line.len() - "| deeper".len();
        assert_eq!(
            *span,
            Span::new(start as u32, (start + "| deeper".len()) as u32)
        );
        assert_eq!(message, "this line lies more than 8 levels deep");
    }
    let beside = nested(limits::DEPTH + 1) + &format!("{}| and another\n", " ".repeat(40));
    assert_eq!(told(&beside).len(), 1, "below the one that is told");
    let beside = nested(limits::DEPTH + 1) + &format!("{}| and another\n", "  ".repeat(8));
    assert_eq!(told(&beside).len(), 2, "a line of its own");
}

#[test]
fn a_line_may_have_4096_bytes() {
    let text = |bytes: usize| {
        let before = "  owner \"";
        let filling = "x".repeat(bytes - before.len() - 1);
        format!("job 1\n{before}{filling}\"\n  serial \"5\"\n")
    };
    assert_eq!(told(&text(limits::LINE_BYTES)), []);
    let text = text(limits::LINE_BYTES + 1);
    assert_eq!(
        told(&text),
        [(
            Span::new(8, 6 + limits::LINE_BYTES as u32 + 1),
            "this line is 4097 bytes long; a line may have 4096 at most".into()
        )]
    );
    let lines = parse(&text).lines;
    assert_eq!(lines[1].record, Record::Broken);
    assert!(matches!(lines[2].record, Record::Setting { .. }));
}

#[test]
fn a_file_may_have_16_mebibytes() {
    let text = |bytes: usize| {
        let line = format!("{}\n", "#".repeat(1023));
        let heading = "job 1\n";
        let comments = line.repeat(bytes / line.len());
        format!("{heading}{}", &comments[..bytes - heading.len()])
    };
    let within = parse(&text(limits::FILE_BYTES));
    assert_eq!((within.errors.len(), within.lines.len()), (0, 1));
    let beyond = text(limits::FILE_BYTES + 1);
    assert_eq!(
        told(&beyond),
        [(
            Span::default(),
            "this file is 16777217 bytes long; a Retin file may have 16777216 at most".into()
        )]
    );
    assert!(parse(&beyond).lines.is_empty());
}
