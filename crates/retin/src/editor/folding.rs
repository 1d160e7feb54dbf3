//! What can be folded away: lines with what belongs to them, comments, prose.

use super::Snapshot;
use super::caret::physical;
use crate::sources::{FileId, Origin};
use retin_syntax::tree::Record;
use retin_syntax::{Span, Token};

/// What a fold hides.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum What {
    /// What belongs to a line.
    Lines,
    /// A run of comments.
    Comment,
    /// A run of prose.
    Prose,
    /// A run of `use` lines.
    Uses,
}

/// A run of lines that can be folded into its first.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Fold {
    /// From the first line's start to the last line's end.
    pub origin: Origin,
    /// What it hides.
    pub what: What,
}

/// The folds of a file, outer ones before those within.
pub fn folding(snapshot: &Snapshot<'_>, file: FileId) -> Vec<Fold> {
    let text = snapshot.text(file);
    let tree = snapshot.tree(file);
    let mut folds = Vec::new();
    let mut add = |first: Span, last: Span, what| {
        if first.start < last.start {
            folds.push(Fold {
                origin: Origin {
                    file,
                    span: Span::new(first.start, last.end),
                },
                what,
            });
        }
    };
    for (index, line) in tree.lines.iter().enumerate() {
        if line.end as usize > index + 1 {
            let last = tree.lines[line.end as usize - 1].span;
            add(
                physical(text, line.span.start),
                physical(text, last.start),
                What::Lines,
            );
        }
    }
    for (is_of, what) in [
        (is_prose as fn(&Record) -> bool, What::Prose),
        (is_use, What::Uses),
    ] {
        let runs = tree.lines.chunk_by(|one, other| {
            is_of(&one.record) && is_of(&other.record) && one.parent == other.parent
        });
        for run in runs.filter(|run| run.len() > 1) {
            let (first, last) = (run[0].span, run[run.len() - 1].span);
            add(
                physical(text, first.start),
                physical(text, last.start),
                what,
            );
        }
    }
    // Lines that hold nothing but a comment.
    let mut run: Option<(Span, Span)> = None;
    let mut is_line_start = true;
    let mut lines_between = 0;
    for (token, span) in &tree.lexemes {
        match token {
            Token::Newline => {
                is_line_start = true;
                lines_between += 1;
            }
            Token::Comment if is_line_start => {
                let whole = physical(text, span.start);
                run = match run {
                    Some((first, _)) if lines_between == 1 => Some((first, whole)),
                    other => {
                        if let Some((first, last)) = other {
                            add(first, last, What::Comment);
                        }
                        Some((whole, whole))
                    }
                };
                lines_between = 0;
                is_line_start = false;
            }
            _ => {
                if let Some((first, last)) = run.take() {
                    add(first, last, What::Comment);
                }
                is_line_start = false;
            }
        }
    }
    if let Some((first, last)) = run {
        add(first, last, What::Comment);
    }
    folds.sort_by_key(|fold| {
        (
            fold.origin.span.start,
            std::cmp::Reverse(fold.origin.span.end),
            fold.what,
        )
    });
    folds
}

fn is_prose(record: &Record) -> bool {
    matches!(record, Record::Prose)
}

fn is_use(record: &Record) -> bool {
    matches!(record, Record::Use { .. })
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{MIXER, with};
    use super::{What, folding};
    use crate::sources::FileId;

    fn folds(text: &str) -> Vec<(String, What)> {
        with(text, |snapshot, _| {
            folding(snapshot, FileId(0))
                .into_iter()
                .map(|fold| (snapshot.of(fold.origin).to_owned(), fold.what))
                .collect()
        })
    }

    #[test]
    fn lines_fold_with_what_belongs_to_them() {
        let found = folds("board b\n  film\n    C1  1µF\n\n  # end\n");
        assert_eq!(
            found,
            [
                ("board b\n  film\n    C1  1µF".into(), What::Lines),
                ("  film\n    C1  1µF".into(), What::Lines),
            ]
        );
    }

    #[test]
    fn comments_prose_and_uses_fold_in_runs() {
        let found = folds("# one\n# two\n\n# three\njob 1\n  | a\n  | b\n");
        assert_eq!(
            found,
            [
                ("# one\n# two".into(), What::Comment),
                ("job 1\n  | a\n  | b".into(), What::Lines),
                ("  | a\n  | b".into(), What::Prose),
            ]
        );
        with(MIXER, |snapshot, _| {
            assert_eq!(folding(snapshot, FileId(0))[0].what, What::Uses);
        });
    }

    #[test]
    fn nothing_folds_where_nothing_belongs_to_anything() {
        for text in ["", "\u{feff}", "# a\r\n", "plan", "x\ry\r"] {
            assert_eq!(folds(text), [], "{text:?}");
        }
    }
}
