//! The canonical form as edits line by line, and the indentation of a new line.

use super::caret::{Caret, physical};
use super::{Position, Snapshot};
use crate::finding::Edit;
use crate::sources::{FileId, Origin};
use retin_syntax::Span;
use retin_syntax::format::format_tree;
use retin_syntax::tree::{LineId, Record};

/// The edits that give a file its canonical form; each is within one line, or
/// changes the blank lines between two.
pub fn document(snapshot: &Snapshot<'_>, file: FileId) -> Vec<Edit> {
    let text = snapshot.text(file);
    let (formatted, _) = format_tree(text, snapshot.tree(file));
    edits(file, text, &formatted)
}

/// The same for the lines that a range touches. Columns are those of the whole
/// file, so that formatting it piece by piece gives its canonical form.
pub fn range(snapshot: &Snapshot<'_>, file: FileId, range: Span) -> Vec<Edit> {
    let text = snapshot.text(file);
    let last = text.len() as u32;
    let start = physical(text, super::caret::clamped(text, range.start.min(last))).start;
    let end = physical(text, super::caret::clamped(text, range.end.min(last))).end;
    let mut found = document(snapshot, file);
    found.retain(|edit| start <= edit.origin.span.start && edit.origin.span.end <= end);
    found
}

/// The indentation of the line at the caret after a new line was begun there:
/// that of what the line above holds, else its own.
pub fn after_newline(snapshot: &Snapshot<'_>, position: Position) -> Vec<Edit> {
    let caret = Caret::at(snapshot, position);
    let above = caret
        .tree
        .lines
        .partition_point(|line| line.span.start < caret.physical.start);
    let Some(above) = above.checked_sub(1).map(|at| LineId(at as u32)) else {
        return Vec::new();
    };
    let line = caret.tree.line(above);
    let depth = depth(&caret, above);
    // Behind a blank line a section may end; the caret stays where it was put.
    let between = Span::new(line.span.end, caret.physical.start).of(caret.text);
    let ends = between
        .matches('\n')
        .count()
        .max(between.matches('\r').count());
    let wanted = match line.record {
        _ if ends > 1 => return Vec::new(),
        Record::Heading(_) | Record::Group { .. } | Record::Day { .. } => depth + 1,
        _ => depth,
    };
    let blanks = " ".repeat(wanted * INDENT);
    let there = caret.physical.of(caret.text);
    let length = there.len() - there.trim_start_matches([' ', '\t']).len();
    let span = Span::new(caret.physical.start, caret.physical.start + length as u32);
    if span.of(caret.text) == blanks {
        return Vec::new();
    }
    vec![Edit {
        origin: caret.origin(span),
        text: blanks,
    }]
}

/// Blanks a level.
const INDENT: usize = 2;

/// How many lines a line lies below.
fn depth(caret: &Caret<'_>, line: LineId) -> usize {
    let mut depth = 0;
    let mut next = caret.tree.line(line).parent;
    while let Some(parent) = next {
        depth += 1;
        next = caret.tree.line(parent).parent;
    }
    depth
}

/// A line of text and its end.
struct Physical<'t> {
    /// The line without its end.
    text: &'t str,
    /// With its end.
    whole: Span,
}

fn lines(text: &str) -> Vec<Physical<'_>> {
    let bytes = text.as_bytes();
    let mut lines = Vec::new();
    let mut start = 0;
    let mut at = 0;
    while at < bytes.len() {
        let length = match bytes[at] {
            b'\r' if bytes.get(at + 1) == Some(&b'\n') => 2,
            b'\n' | b'\r' => 1,
            _ => {
                at += 1;
                continue;
            }
        };
        lines.push(Physical {
            text: &text[start..at],
            whole: Span::new(start as u32, (at + length) as u32),
        });
        at += length;
        start = at;
    }
    if start < bytes.len() {
        lines.push(Physical {
            text: &text[start..],
            whole: Span::new(start as u32, bytes.len() as u32),
        });
    }
    lines
}

/// The edits from a text to its canonical form. The formatter keeps every line
/// that is not blank, and their order, so each is compared with its own.
fn edits(file: FileId, old: &str, new: &str) -> Vec<Edit> {
    if old == new {
        return Vec::new();
    }
    let edit = |span: Span, text: &str| Edit {
        origin: Origin { file, span },
        text: text.to_owned(),
    };
    let (old_lines, new_lines) = (lines(old), lines(new));
    let is_blank =
        |line: &&Physical<'_>| line.text.trim_matches(['\u{feff}', ' ', '\t']).is_empty();
    let full = |lines: &[Physical<'_>]| -> Vec<usize> {
        (0..lines.len())
            .filter(|at| !is_blank(&&lines[*at]))
            .collect()
    };
    let (old_full, new_full) = (full(&old_lines), full(&new_lines));
    if old_full.len() != new_full.len() {
        return vec![edit(Span::new(0, old.len() as u32), new)];
    }
    let mut edits: Vec<Edit> = Vec::new();
    let mut compare = |from: Span, to: Span| {
        let (before, after) = (from.of(old), to.of(new));
        if before == after {
            return;
        }
        let edit = trimmed(file, from, before, after);
        // Two edits that touch are one, so that their order cannot matter.
        match edits.last_mut() {
            Some(last) if last.origin.span.end == edit.origin.span.start => {
                last.origin.span.end = edit.origin.span.end;
                last.text.push_str(&edit.text);
            }
            _ => edits.push(edit),
        }
    };
    let (mut old_end, mut new_end) = (0, 0);
    for (old_at, new_at) in old_full.into_iter().zip(new_full) {
        let (from, to) = (old_lines[old_at].whole, new_lines[new_at].whole);
        compare(Span::new(old_end, from.start), Span::new(new_end, to.start));
        compare(from, to);
        old_end = from.end;
        new_end = to.end;
    }
    compare(
        Span::new(old_end, old.len() as u32),
        Span::new(new_end, new.len() as u32),
    );
    edits
}

/// An edit without what stays the same at its two ends.
fn trimmed(file: FileId, span: Span, old: &str, new: &str) -> Edit {
    let start: usize = old
        .chars()
        .zip(new.chars())
        .take_while(|(old, new)| old == new)
        .map(|(letter, _)| letter.len_utf8())
        .sum();
    let end: usize = old[start..]
        .chars()
        .rev()
        .zip(new[start..].chars().rev())
        .take_while(|(old, new)| old == new)
        .map(|(letter, _)| letter.len_utf8())
        .sum();
    Edit {
        origin: Origin {
            file,
            span: Span::new(span.start + start as u32, span.end - end as u32),
        },
        text: new[start..new.len() - end].to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{applied, at, with};
    use super::{after_newline, document, range};
    use crate::sources::FileId;
    use proptest::prelude::*;
    use retin_syntax::Span;

    const UNTIDY: &str = "board   psu\n\n\n rail V24   24 V\n # own\n film\n   C1 0.1µF p5 63V\n   C22   1uF\n\n\n\n";

    #[test]
    fn the_edits_give_the_canonical_form_and_touch_no_other_line() {
        with(UNTIDY, |snapshot, _| {
            let edits = document(snapshot, FileId(0));
            assert_eq!(applied(snapshot, &edits), retin_syntax::format(UNTIDY).text);
            assert!(
                edits.iter().all(|edit| edit.origin.span.len() < 20),
                "{edits:?}"
            );
        });
        with("plan\n", |snapshot, _| {
            assert_eq!(document(snapshot, FileId(0)), [])
        });
    }

    #[test]
    fn a_range_changes_its_own_lines_only() {
        with(UNTIDY, |snapshot, _| {
            let start = UNTIDY.find("   C1").unwrap() as u32;
            let edits = range(snapshot, FileId(0), Span::new(start + 4, start + 5));
            let text = applied(snapshot, &edits);
            assert!(text.contains("\n    C1   100nF 63V  p5\n   C22"), "{text}");
            assert!(text.starts_with("board   psu\n\n\n rail"));
            assert_eq!(range(snapshot, FileId(0), Span::new(9999, 99999)).len(), 0);
        });
    }

    #[test]
    fn a_new_line_is_indented_by_what_stands_above() {
        let indented = |fixture: &str| {
            at(fixture, |snapshot, position| {
                applied(snapshot, &after_newline(snapshot, position))
            })
        };
        assert_eq!(indented("plan\n$0"), "plan\n  ");
        assert_eq!(indented("board b\n  film\n$0"), "board b\n  film\n    ");
        assert_eq!(
            indented("board b\n  film\n    C1 1µF\n$0"),
            "board b\n  film\n    C1 1µF\n    "
        );
        assert_eq!(indented("plan\n  keep x\n\n$0"), "plan\n  keep x\n\n");
        assert_eq!(indented("$0"), "");
        assert_eq!(indented("# µ\n$0"), "# µ\n");
        assert_eq!(
            indented("log\n  next day\n$0removed x"),
            "log\n  next day\n    removed x"
        );
    }

    proptest! {
        #[test]
        fn edits_give_what_the_formatter_gives(text in "(board b|  film|    C1 1 uF|\\|x|# c|\"|\u{feff}|[ \t]|\r\n|\r|\n|µ){0,30}") {
            with(&text.replace("$0", ""), |snapshot, _| {
                let edits = document(snapshot, FileId(0));
                let formatted = retin_syntax::format(snapshot.text(FileId(0))).text;
                assert_eq!(applied(snapshot, &edits), formatted);
            });
        }
    }
}
