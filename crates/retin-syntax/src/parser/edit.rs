//! Reads a file again after an edit, by reading only the lines it touches and
//! those whose reading depends on them.
//!
//! No token crosses a line, and a line is read by its own tokens and the lines
//! it belongs to. So every other line keeps its record; those behind the edit
//! are moved.

use super::lines::Lines;
use super::shift::Shift as _;
use super::{Outline, RawLine, parse};
use crate::lexer::{first_byte, lex_part};
use crate::limits;
use crate::span::Span;
use crate::token::Token;
use crate::tree::{Line, LineId, SyntaxError, Tree};

/// Where a text was changed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Change {
    /// Offset of the first byte that was replaced.
    pub start: u32,
    /// Offset one past the last byte that was replaced, in the text before.
    pub old_end: u32,
    /// Offset one past the last new byte, in the text after.
    pub new_end: u32,
}

/// The outline of `text`, made from the outline before the one `change`.
///
/// Equal to [`parse`] of the text, in the time that the touched lines take and
/// a little for moving the lines behind them.
pub fn edit(before: Tree, text: &str, change: Change) -> Tree {
    // Without tokens the file was empty, or too large to be read.
    if before.lexemes.is_empty()
        || text.len() > limits::FILE_BYTES
        || before.has_join
        || change.start < first_byte(text).max(MARK_BYTES)
    {
        return parse(text);
    }
    let Tree {
        mut lexemes,
        lines,
        errors,
        has_join: _,
    } = before;
    let by = change.new_end.wrapping_sub(change.old_end) as i32;

    // Whole lines around the change. The line end before them must not touch
    // the change: a new `\n` behind a `\r` would join it.
    let starts_before = lexemes.partition_point(|lexeme| lexeme.1.end < change.start);
    let first = lexemes[..starts_before]
        .iter()
        .rposition(|lexeme| lexeme.0 == Token::Newline)
        .map_or(0, |index| index + 1);
    let starts_behind = lexemes.partition_point(|lexeme| lexeme.1.start < change.old_end);
    let behind = lexemes[starts_behind..]
        .iter()
        .position(|lexeme| lexeme.0 == Token::Newline)
        .map_or(lexemes.len(), |index| starts_behind + index + 1);
    let from = match first {
        0 => 0,
        first => lexemes[first - 1].1.end,
    };
    let to = match lexemes.get(behind.wrapping_sub(1)) {
        Some(lexeme) if lexeme.0 == Token::Newline && behind > starts_behind => {
            lexeme.1.end.wrapping_add_signed(by)
        }
        _ => text.len() as u32,
    };
    if opens_join(Span::new(from, to).of(text)) {
        return parse(text);
    }

    if by != 0 {
        for lexeme in &mut lexemes[behind..] {
            lexeme.1.shift(by);
        }
    }
    let new = lex_part(text, from, to);
    let moved = new.len() as i32 - (behind - first) as i32;
    let new_behind = first + new.len();
    let ends = new.iter().filter(|lexeme| lexeme.0 == Token::Newline);
    let most = ends.count() + usize::from(new.last().is_some_and(|it| it.0 != Token::Newline));
    lexemes.splice(first..behind, new);

    let first_line = lines.partition_point(|line| (line.lexemes.0 as usize) < first);
    let behind_line = lines.partition_point(|line| (line.lexemes.0 as usize) < behind);
    let kept = lines.get(behind_line);
    let edge = kept.map_or(u32::MAX, |line| line.span.start);
    let mut old_errors: Vec<SyntaxError> = Vec::new();
    let mut new_errors: Vec<SyntaxError> = Vec::new();
    for error in errors {
        if error.span.start < from {
            new_errors.push(error);
        } else if error.span.start >= edge {
            old_errors.push(error);
        }
    }

    let mut outline = Outline::new(text, &lexemes);
    outline.stack = open_lines(&lines[..first_line]);
    outline.lines = Lines::around(lines, first_line, behind_line, most);
    outline.errors = new_errors;
    outline.read_lines(first, new_behind);
    let ids = Ids {
        before: first_line as u32,
        behind: behind_line as u32,
    };
    outline.keep(old_errors, ids, (moved, by));
    let (lines, errors) = outline.finish();
    Tree {
        lexemes,
        lines,
        errors,
        has_join: false,
    }
}

/// Which lines of the old outline the change left alone.
#[derive(Clone, Copy)]
struct Ids {
    /// All before this one.
    before: u32,
    /// This one and all behind it.
    behind: u32,
}

/// What opens the first of two versions.
const OPENS_JOIN: &str = "<<<<<<<";

/// Whether two versions that were joined and not decided between may stand in a text:
/// there a line means what lies around it makes of it. The marker's first sign is found
/// much faster than the whole, and most texts have none.
pub(super) fn opens_join(text: &str) -> bool {
    let sign = text.find('<');
    sign.is_some_and(|at| text[at..].contains(OPENS_JOIN))
}

/// Bytes at the start of a file that a byte order mark may take.
const MARK_BYTES: u32 = 3;

/// The lines that are open behind the last one, outermost first.
fn open_lines(lines: &[Line]) -> Vec<(u32, LineId)> {
    let mut open = Vec::new();
    let mut next = lines.len().checked_sub(1).map(|index| LineId(index as u32));
    while let Some(id) = next {
        let line = &lines[id.index()];
        open.push((line.indent, id));
        next = line.parent;
    }
    open.reverse();
    open
}

impl Outline<'_> {
    /// Takes over the lines behind an edit. One whose ancestors were all taken
    /// over keeps its record; another is read again.
    fn keep(&mut self, errors: Vec<SyntaxError>, ids: Ids, (moved, by): (i32, i32)) {
        let new_behind = self.lines.len() as u32;
        if self.keep_all(ids, (moved, by)) {
            for mut error in errors {
                error.shift(by);
                self.errors.push(error);
            }
            return;
        }
        let kept = self.lines.take_out();
        let starts: Vec<u32> = kept.iter().map(|line| line.span.start).collect();
        let mut was_kept: Vec<bool> = Vec::with_capacity(kept.len());
        let mut errors = errors.into_iter().peekable();
        for (index, mut line) in kept.into_iter().enumerate() {
            let next_start = starts.get(index + 1).copied().unwrap_or(u32::MAX);
            let mut own = Vec::new();
            while errors
                .peek()
                .is_some_and(|error| error.span.start < next_start)
            {
                own.extend(errors.next());
            }
            let id = LineId(self.lines.len() as u32);
            let parent = self.close_to(line.indent, id);
            let is_same_parent = match (line.parent, parent) {
                (None, None) => true,
                (Some(old), Some(new)) if old.0 < ids.before => old == new,
                (Some(old), Some(new)) if old.0 >= ids.behind => {
                    let index = old.0 - ids.behind;
                    was_kept[index as usize] && new.0 == new_behind + index
                }
                _ => false,
            };
            line.lexemes.0 = line.lexemes.0.wrapping_add_signed(moved);
            line.lexemes.1 = line.lexemes.1.wrapping_add_signed(moved);
            was_kept.push(is_same_parent);
            if is_same_parent {
                line.shift(by);
                for mut error in own {
                    error.shift(by);
                    self.errors.push(error);
                }
                line.parent = parent;
                line.end = id.0 + 1;
                self.stack.push((line.indent, id));
                self.lines.push(line);
            } else {
                let raw = self.raw_line(&line);
                self.line(&raw);
            }
        }
    }

    /// Takes over all lines behind an edit as they are, where the first of them
    /// belongs to what it belonged to and that was left alone: then so does every
    /// other. Else does not.
    fn keep_all(&mut self, ids: Ids, (moved, by): (i32, i32)) -> bool {
        let Some(first) = self.lines.kept().first() else {
            return true;
        };
        let (indent, mut ancestor) = (first.indent, first.parent);
        let new_behind = self.lines.len() as u32;
        self.close_to(indent, LineId(new_behind));
        for (_, open) in self.stack.iter().rev() {
            if ancestor != Some(*open) || open.0 >= ids.before {
                return false;
            }
            ancestor = self.lines[open.index()].parent;
        }
        if ancestor.is_some() {
            return false;
        }
        let more = new_behind.wrapping_sub(ids.behind);
        for (_, open) in &self.stack {
            let end = &mut self.lines[open.index()].end;
            *end = end.wrapping_add(more);
        }
        let kept = self.lines.take_over();
        let kept = if (moved, by, more) == (0, 0, 0) {
            &mut []
        } else {
            kept
        };
        for line in kept {
            line.lexemes.0 = line.lexemes.0.wrapping_add_signed(moved);
            line.lexemes.1 = line.lexemes.1.wrapping_add_signed(moved);
            line.shift(by);
            if let Some(parent) = line.parent.as_mut().filter(|it| it.0 >= ids.behind) {
                parent.0 = parent.0.wrapping_add(more);
            }
            line.end = line.end.wrapping_add(more);
        }
        self.stack = open_lines(self.lines.read());
        true
    }

    /// What is known of a line before its grammar is.
    fn raw_line(&self, line: &Line) -> RawLine {
        let (first, full_end) = (line.lexemes.0 as usize, line.lexemes.1 as usize);
        let start = match first {
            0 => first_byte(self.text),
            first => self.lexemes[first - 1].1.end,
        };
        let end = self
            .lexemes
            .get(full_end)
            .map_or(self.text.len() as u32, |lexeme| lexeme.1.start);
        let has_comment = self.lexemes[full_end - 1].0 == Token::Comment;
        RawLine {
            first,
            end: full_end - usize::from(has_comment),
            full_end,
            indent: line.indent,
            bytes: Span::new(start, end).len(),
            blanks: self.lexemes[first].1.start - start,
        }
    }
}
