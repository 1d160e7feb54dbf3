//! The files as a session knows them, and what an edit did to each.

use crate::moves::Moves;
use crate::sources::{FileId, SourceFile, Sources};
use retin_syntax::Span;
use retin_syntax::tree::{Line, LineId, Record, SyntaxError};
use std::ops::Range;
use std::sync::{Arc, Weak};

/// A file as it was when it was read.
#[derive(Debug)]
pub(super) struct KnownFile {
    /// The file itself, for as long as nothing takes its place.
    same: Weak<SourceFile>,
    path: String,
    text: String,
    lines: Vec<KnownLine>,
    errors: Vec<SyntaxError>,
    /// Whether two versions stand in it, not decided between.
    has_join: bool,
}

/// A line that says something.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
struct KnownLine {
    span: Span,
    indent: u32,
    /// Whether it belongs to no other line.
    is_outermost: bool,
}

/// What became of a file.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) enum Told {
    /// It is as it was.
    Same,
    /// It says the same, some of it elsewhere.
    Moved,
    /// One section says something else below its heading.
    Within(Within),
    /// It says something else.
    Otherwise,
}

/// A section that says something else below its heading.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Within {
    /// The line of the new outline that heads it.
    pub(super) section: LineId,
    /// The lines of the new outline that say something else, where each stands for one
    /// of before, as deep as it: then every other line belongs to what it belonged to.
    pub(super) line_by_line: Option<Range<LineId>>,
}

impl Within {
    /// The line that says something else, where it is one that stands for one.
    pub(super) fn only_line(&self) -> Option<LineId> {
        let lines = self.line_by_line.as_ref()?;
        (lines.end.0 == lines.start.0 + 1).then_some(lines.start)
    }
}

impl KnownFile {
    /// Every file of some.
    pub(super) fn all(sources: &Sources) -> Vec<KnownFile> {
        let files = (0..sources.len() as u32).map(FileId);
        files
            .map(|file| KnownFile::of(sources.shared(file)))
            .collect()
    }

    fn of(file: &Arc<SourceFile>) -> KnownFile {
        KnownFile {
            same: Arc::downgrade(file),
            path: file.path.clone(),
            text: file.text.clone(),
            lines: file.tree.lines.iter().map(KnownLine::of).collect(),
            errors: file.tree.errors.clone(),
            has_join: file.tree.has_join,
        }
    }

    /// Looks what became of the file, and where its lines went.
    pub(super) fn update(&mut self, id: FileId, file: &Arc<SourceFile>, moves: &mut Moves) -> Told {
        let now = Arc::downgrade(file);
        if Weak::ptr_eq(&self.same, &now) {
            return Told::Same;
        }
        self.same = now;
        if self.path != file.path {
            return Told::Otherwise;
        }
        if self.text == file.text {
            return Told::Same;
        }
        let window = Window::between(&self.text, &file.text);
        let told = self.compare(id, file, window, moves);
        // What says something else altogether is read from the beginning.
        if told != Told::Otherwise {
            self.take(file, window);
        }
        told
    }

    /// Takes the file as it is now: outside the window its lines are as they were.
    fn take(&mut self, file: &SourceFile, window: Window) {
        let new = &file.tree.lines;
        let starts_before = |span: Span, to: usize| (span.start as usize) < to;
        let new_index = |to| new.partition_point(|line| starts_before(line.span, to));
        let lines = &mut self.lines;
        let index = |to| lines.partition_point(|line| starts_before(line.span, to));
        let (first, behind) = (index(window.from), index(window.old_to));
        let by = file.text.len().wrapping_sub(self.text.len()) as u32;
        for line in &mut lines[behind..] {
            line.span.start = line.span.start.wrapping_add(by);
            line.span.end = line.span.end.wrapping_add(by);
        }
        let new = &new[first..new_index(window.new_to)];
        lines.splice(first..behind, new.iter().map(KnownLine::of));
        self.text.replace_range(
            window.from..window.old_to,
            &file.text[window.from..window.new_to],
        );
        self.errors.clone_from(&file.tree.errors);
    }

    fn compare(&self, id: FileId, file: &SourceFile, window: Window, moves: &mut Moves) -> Told {
        let has_join = self.has_join || file.tree.has_join;
        if file.tree.lexemes.is_empty() || self.lines.is_empty() || has_join {
            return Told::Otherwise;
        }
        let new = &file.tree.lines;
        let index = |to: usize| {
            self.lines
                .partition_point(|line| (line.span.start as usize) < to)
        };
        let new_index = |to: usize| new.partition_point(|line| (line.span.start as usize) < to);
        let (first, behind) = (index(window.from), index(window.old_to));
        let new_behind = new_index(window.new_to);
        if new_index(window.from) != first || new.len() - new_behind != self.lines.len() - behind {
            return Told::Otherwise;
        }
        let says_the_same = |old: &KnownLine, new: &Line| {
            // What would strike an overruling is reckoned to the end of its line,
            // comment and all.
            let reaches_on = matches!(new.record, Record::Accept { .. } | Record::For { .. });
            !reaches_on
                && old.indent == new.indent
                && old.span.of(&self.text) == new.span.of(&file.text)
        };
        let (olds, news) = (&self.lines[first..behind], &new[first..new_behind]);
        let pairs = olds.iter().zip(news);
        let before = pairs
            .take_while(|(old, new)| says_the_same(old, new))
            .count();
        let pairs = olds[before..].iter().rev().zip(news[before..].iter().rev());
        let after = pairs
            .take_while(|(old, new)| says_the_same(old, new))
            .count();
        let follow = |moves: &mut Moves, old: &KnownLine, new: &Line| {
            let begins = self.text[..old.span.start as usize].rfind('\n');
            let begins = begins.map_or(0, |at| at + 1);
            let by = new.span.start.wrapping_sub(old.span.start) as i32;
            moves.note(id, begins as u32, by);
        };
        for (old, new) in olds.iter().zip(news).take(before) {
            follow(moves, old, new);
        }
        let old_rest = &olds[olds.len() - after..];
        let new_rest = &news[news.len() - after..];
        for (old, new) in old_rest.iter().zip(new_rest) {
            follow(moves, old, new);
        }
        let by = file.text.len() as i64 - self.text.len() as i64;
        moves.note(id, window.old_to as u32, by as i32);
        let old_changed = &olds[before..olds.len() - after];
        let new_changed = &news[before..news.len() - after];
        if old_changed.is_empty() && new_changed.is_empty() {
            return if self.has_errors_of(id, file, moves) {
                Told::Moved
            } else {
                Told::Otherwise
            };
        }
        let is_below = !old_changed.iter().any(|line| line.is_outermost)
            && !new_changed.iter().any(|line| line.parent.is_none());
        let outermost = self.lines.iter().filter(|line| line.is_outermost);
        if !is_below || outermost.count() != file.tree.sections().count() {
            return Told::Otherwise;
        }
        let is_as_deep = |(old, new): (&KnownLine, &Line)| old.indent == new.indent;
        let is_line_by_line = old_changed.len() == new_changed.len()
            && old_changed.iter().zip(new_changed).all(is_as_deep);
        let changed = (first + before) as u32..(first + before + new_changed.len()) as u32;
        // The line before a change below a heading belongs to the same section.
        let mut line = match (first + before).checked_sub(1) {
            Some(line) => LineId(line as u32),
            None => return Told::Otherwise,
        };
        while let Some(parent) = file.tree.line(line).parent {
            line = parent;
        }
        Told::Within(Within {
            section: line,
            line_by_line: is_line_by_line.then_some(LineId(changed.start)..LineId(changed.end)),
        })
    }

    /// Whether nothing else is wrong with the file's lines than before.
    fn has_errors_of(&self, id: FileId, file: &SourceFile, moves: &Moves) -> bool {
        let mut errors = self.errors.clone();
        for error in &mut errors {
            error.span = moves.span(id, error.span);
            for (span, _) in &mut error.edits {
                *span = moves.span(id, *span);
            }
        }
        errors == file.tree.errors
    }
}

impl KnownLine {
    fn of(line: &Line) -> KnownLine {
        KnownLine {
            span: line.span,
            indent: line.indent,
            is_outermost: line.parent.is_none(),
        }
    }
}

/// The whole lines outside of which two texts are the same, by bytes.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
struct Window {
    from: usize,
    old_to: usize,
    new_to: usize,
}

impl Window {
    fn between(old: &str, new: &str) -> Window {
        let (old, new) = (old.as_bytes(), new.as_bytes());
        let same = alike(old, new);
        let most = old.len().min(new.len()) - same;
        let same_behind = alike_behind(old, new, most);
        // The line before belongs to it where the change begins with a line: its end
        // may have become another.
        let before = &old[..same.saturating_sub(1)];
        let from = before.iter().rposition(|byte| *byte == b'\n');
        let from = from.map_or(0, |at| at + 1);
        let behind = &old[old.len() - same_behind..];
        let more = behind.iter().position(|byte| *byte == b'\n');
        let more = more.map_or(behind.len(), |at| at + 1);
        let kept = same_behind - more;
        Window {
            from,
            old_to: old.len() - kept,
            new_to: new.len() - kept,
        }
    }
}

/// Bytes that are compared at once.
const STRIDE: usize = 64;

/// How many bytes are the same at the beginning.
fn alike(one: &[u8], other: &[u8]) -> usize {
    let strides = one.chunks_exact(STRIDE).zip(other.chunks_exact(STRIDE));
    let whole = strides.take_while(|(one, other)| one == other).count() * STRIDE;
    let rest = one[whole..].iter().zip(&other[whole..]);
    whole + rest.take_while(|(one, other)| one == other).count()
}

/// How many bytes are the same at the end, `most` at most.
fn alike_behind(one: &[u8], other: &[u8], most: usize) -> usize {
    let (one, other) = (&one[one.len() - most..], &other[other.len() - most..]);
    let strides = one.rchunks_exact(STRIDE).zip(other.rchunks_exact(STRIDE));
    let whole = strides.take_while(|(one, other)| one == other).count() * STRIDE;
    let left = most - whole;
    let rest = one[..left].iter().rev().zip(other[..left].iter().rev());
    whole + rest.take_while(|(one, other)| one == other).count()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn outside_the_window_texts_are_the_same(
            before in "[ab\n]{0,90}", old in "[ab\n]{0,5}", new in "[ab\n]{0,5}", behind in "[ab\n]{0,90}"
        ) {
            let (old, new) = (format!("{before}{old}{behind}"), format!("{before}{new}{behind}"));
            let window = Window::between(&old, &new);
            prop_assert_eq!(&old[..window.from], &new[..window.from]);
            prop_assert_eq!(&old[window.old_to..], &new[window.new_to..]);
            prop_assert!(window.from == 0 || old[..window.from].ends_with('\n'));
            let is_line = |text: &str, at: usize| at == text.len() || text[..at].ends_with('\n');
            prop_assert!(is_line(&old, window.old_to) && is_line(&new, window.new_to));
        }
    }
}
