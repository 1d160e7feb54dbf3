//! The one canonical form of a file.
//!
//! [`format`] never changes what a file says, loses no comment and no prose,
//! and formatting its result changes nothing.
//!
//! # The form
//!
//! - **Indentation**: two spaces a level. The level is that of the outline, not
//!   the columns typed; tabs become spaces.
//! - **Line ends**: every line ends as the first line of the file does, `\n` or
//!   `\r\n`; a lone `\r` is made `\n`. The file ends with exactly one line end. A
//!   byte order mark is dropped. No line ends with blanks.
//! - **Blank lines** group, and one groups as well as three: runs become one.
//!   None stands at the start or the end of a file, and one stands before every
//!   heading and every `use` that does not follow another `use`; before the
//!   comments directly above it, where there are any.
//! - **Comments** on lines of their own take the indentation of the line that
//!   follows. One typed deeper than that closes the block before it and takes
//!   the indentation of the deepest line there that is not deeper. Comments
//!   behind a line stand two blanks behind it, and in one column in a run of
//!   such lines, but for lines 24 characters longer than the shortest. The
//!   text of comments and of prose never changes, but for blanks at its end.
//! - **Order**: the facts of groups, parts, claims, sections, exceptions, rails
//!   and targets stand in the order of [`PROPERTIES`](crate::tables::properties::PROPERTIES),
//!   facts of one property as typed. A part's kind stands behind its names; its
//!   leads stand before what says where it sits. A word that is no value and no
//!   reserved word is a device, or a package where it looks like one (`TO-92`)
//!   or follows another such word; two of them never change places. The speed
//!   of a fuse and the class of a mains capacitor are known words. A value
//!   that cannot be understood stays behind the fact it was typed behind.
//!   Settings of headings, steps, log entries and plan lines keep the order
//!   they were typed in; the orientation, `in series` and the reason stand last
//!   on a plan line. The values of `every` stand before the kinds.
//! - **Spelling**: each value as [`value`](crate::value) prints it. What does
//!   not read as a value, text in quotes, names, codes and bare numbers (which
//!   may be types, `7805`) stay as typed. A board's size is `120 x 80`.
//! - **Commas** stand between names, leads and prices, and in positions. In the
//!   log they stay where they were typed between readings. In targets one
//!   stands before `unpowered`, `cold` and `warm`. All others mean nothing and
//!   are dropped.
//! - **Columns**: keywords take eleven columns. Consecutive siblings of one
//!   sort (and of one kind, where they name it), not parted by a blank line,
//!   line up: names, then each bare property
//!   (numbers to the right), then the properties with names, counts, prices,
//!   drawer, leads, position. One blank parts related columns, two the others.
//!   A cell much longer than usual juts out and widens nothing; properties
//!   with names widen a run only where at least half of its lines have them.
//!   The log has fixed columns only, since a new entry must not move old ones.
//!
//! # What is left alone
//!
//! A line that could not be read stays as it was typed, byte for byte, with its
//! indentation; the lines around it are formatted. Where new indentation around
//! it would give it or another line another parent, the whole section, from its
//! heading to the next, is left as typed. So is a section that begins with an
//! indented line. A line is also left where its form would be longer than
//! [`LINE_BYTES`](crate::limits::LINE_BYTES), and a file where it or its form
//! would be longer than [`FILE_BYTES`](crate::limits::FILE_BYTES). Where the
//! order or the spelling would make a line read otherwise (`F 5` as `5 F`),
//! its words stay as typed and only the blanks between them change.

mod comments;
mod facts;
mod physical;
mod record;
mod sheet;

use crate::limits;
use crate::parser::parse;
use crate::span::Span;
use crate::token::Token;
use crate::tree::{LineId, Record, SyntaxError, Tree};
use physical::{Content, Physical};
use sheet::{Columns, Row, Run, Sheet, Table};

/// A file in its canonical form.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Formatted {
    /// The whole file.
    pub text: String,
    /// What could not be read, with places in the text that was given.
    pub unread: Vec<SyntaxError>,
    /// The lines of the text that was given that were left as typed, counted from 1.
    pub untouched: Vec<u32>,
}

/// Formats a whole file. Never fails: what cannot be read is left as typed.
pub fn format(text: &str) -> Formatted {
    let tree = parse(text);
    let (text, untouched) = format_tree(text, &tree);
    Formatted {
        text,
        unread: tree.errors,
        untouched,
    }
}

/// Formats the file that `tree` was read from; gives its canonical form and
/// the lines, counted from 1, that were left as typed.
pub fn format_tree(text: &str, tree: &Tree) -> (String, Vec<u32>) {
    if text.len() > limits::FILE_BYTES {
        return (text.to_owned(), Vec::new());
    }
    let layout = Layout::new(text, tree);
    let formatted = layout.print();
    if formatted.len() > limits::FILE_BYTES {
        return (text.to_owned(), Vec::new());
    }
    (formatted, layout.untouched())
}

/// Everything that has to be known before the first line can be printed.
struct Layout<'t> {
    text: &'t str,
    tree: &'t Tree,
    physical: Vec<Physical>,
    /// By line of the outline: how deep it lies.
    levels: Vec<u32>,
    /// By line of the outline: its cells, or none where it stays as typed.
    rows: Vec<Option<Row>>,
    /// By line of the outline: columns of indentation.
    indents: Vec<u32>,
    /// By line of the outline: the line its section begins with, where the
    /// section is left as typed.
    raw_section: Vec<Option<LineId>>,
    sheet: Sheet,
}

impl<'t> Layout<'t> {
    fn new(text: &'t str, tree: &'t Tree) -> Self {
        let mut levels: Vec<u32> = Vec::with_capacity(tree.lines.len());
        for line in &tree.lines {
            levels.push(line.parent.map_or(0, |parent| levels[parent.index()] + 1));
        }
        let mut layout = Layout {
            text,
            tree,
            physical: physical::lines(text, tree),
            rows: Vec::with_capacity(tree.lines.len()),
            indents: Vec::with_capacity(tree.lines.len()),
            raw_section: vec![None; tree.lines.len()],
            levels,
            sheet: Sheet::default(),
        };
        layout.write_rows();
        layout.leave_unsafe_sections();
        layout
    }

    fn write_rows(&mut self) {
        for (index, line) in self.tree.lines.iter().enumerate() {
            let indent = self.levels[index] * 2;
            let row = (!matches!(line.record, Record::Broken | Record::Unresolved))
                .then(|| {
                    let id = LineId(index as u32);
                    record::write_row(self.text, self.tree, id, &mut self.sheet)
                })
                .filter(|row| {
                    let comment = self
                        .comment(LineId(index as u32))
                        .map_or(0, |comment| comment.len() + 2);
                    let bytes = indent as usize + self.sheet.least_bytes(*row) + comment;
                    bytes <= limits::LINE_BYTES
                });
            self.indents
                .push(if row.is_some() { indent } else { line.indent });
            self.rows.push(row);
        }
    }

    /// Lines that keep their indentation beside lines that do not may end up
    /// below another parent: then the section stays as it is.
    fn leave_unsafe_sections(&mut self) {
        let mut stack: Vec<LineId> = Vec::new();
        for (root, section) in self.tree.sections() {
            let lines = root.index()..section.end as usize;
            let mut is_safe = section.indent == 0;
            stack.clear();
            for index in lines.clone() {
                let indent = self.indents[index];
                while stack
                    .last()
                    .is_some_and(|open| self.indents[open.index()] >= indent)
                {
                    stack.pop();
                }
                is_safe &= stack.last().copied() == self.tree.lines[index].parent;
                stack.push(LineId(index as u32));
            }
            if !is_safe {
                for index in lines {
                    self.rows[index] = None;
                    self.indents[index] = self.tree.lines[index].indent;
                    self.raw_section[index] = Some(root);
                }
            }
        }
    }

    /// The comment behind a line, without blanks at its end.
    fn comment(&self, id: LineId) -> Option<&'t str> {
        let (first, end) = self.tree.line(id).lexemes;
        match self.tree.lexemes[first as usize..end as usize].last() {
            Some((Token::Comment, span)) => Some(trimmed(self.text, *span)),
            _ => None,
        }
    }

    fn untouched(&self) -> Vec<u32> {
        let mut untouched = Vec::new();
        for (index, line) in self.physical.iter().enumerate() {
            if let Content::Record(id) = line.content
                && self.rows[id.index()].is_none()
            {
                untouched.push(index as u32 + 1);
            }
        }
        untouched
    }

    /// The columns of each run, and by line of the outline the run it is in.
    fn runs(&self) -> (Vec<Columns>, Vec<Option<usize>>) {
        let mut runs: Vec<Run> = Vec::new();
        let mut run_of = vec![None; self.tree.lines.len()];
        // By level: the run that was last added to, and what its rows have in common.
        let mut open: Vec<Option<(Alike, usize)>> = Vec::new();
        let mut blanks = 0;
        for line in &self.physical {
            let id = match line.content {
                Content::Blank => {
                    blanks += 1;
                    continue;
                }
                Content::Comment { .. } => continue,
                Content::Record(id) => id,
            };
            let Some(row) = self.rows[id.index()].filter(|row| row.table != Table::Plain) else {
                continue;
            };
            let level = self.levels[id.index()] as usize;
            if open.len() <= level {
                open.resize(level + 1, None);
            }
            let line = self.tree.line(id);
            let alike = Alike {
                parent: line.parent,
                table: row.table,
                kind: match &line.record {
                    Record::Part { kind, .. } => kind.map(|kind| kind.token),
                    _ => None,
                },
                blanks,
            };
            let run = match open[level] {
                Some((last, run)) if row.table.is_shared() && last == alike => run,
                _ => {
                    runs.push(Run::new(row.table));
                    runs.len() - 1
                }
            };
            open[level] = Some((alike, run));
            runs[run].add(&self.sheet, row);
            run_of[id.index()] = Some(run);
        }
        (runs.iter().map(Run::columns).collect(), run_of)
    }

    /// The text of every line that is not left as typed, comments left out.
    fn bodies(&self) -> Bodies {
        let (columns, run_of) = self.runs();
        let mut bodies = Bodies {
            text: String::with_capacity(self.text.len() * 5 / 4),
            places: Vec::with_capacity(self.rows.len()),
        };
        for (index, row) in self.rows.iter().enumerate() {
            let start = bodies.text.len();
            let mut width = 0;
            if let Some(row) = row {
                let columns = match run_of[index] {
                    Some(run) => &columns[run],
                    None => &Columns::NONE,
                };
                width = self.sheet.write(*row, columns, &mut bodies.text);
                let comment = self
                    .comment(LineId(index as u32))
                    .map_or(0, |comment| comment.len() + 2);
                let bytes = self.indents[index] as usize + bodies.text.len() - start + comment;
                if bytes > limits::LINE_BYTES {
                    bodies.text.truncate(start);
                    let row = row.unaligned();
                    width = self.sheet.write(row, &Columns::NONE, &mut bodies.text);
                }
            }
            bodies.places.push(Body {
                start,
                end: bodies.text.len(),
                width: width + self.indents[index],
            });
        }
        bodies
    }

    /// By line of the outline: the column of the comment behind it.
    fn comment_columns(&self, bodies: &Bodies, section_starts: &[bool]) -> Vec<u32> {
        let mut columns = vec![0; self.rows.len()];
        let mut run: Vec<LineId> = Vec::new();
        let mut widths: Vec<u32> = Vec::new();
        let mut close = |run: &mut Vec<LineId>| {
            widths.clear();
            widths.extend(run.iter().map(|id| bodies.places[id.index()].width));
            let column = comments::trailing_column(&widths);
            for id in run.drain(..) {
                columns[id.index()] = column;
            }
        };
        for (line, starts_section) in self.physical.iter().zip(section_starts) {
            if *starts_section {
                close(&mut run);
            }
            match line.content {
                Content::Record(id)
                    if self.rows[id.index()].is_some() && self.comment(id).is_some() =>
                {
                    run.push(id);
                }
                _ => close(&mut run),
            }
        }
        close(&mut run);
        columns
    }

    /// By line of the text: whether a blank line has to stand before it.
    fn section_starts(&self, companions: &[Option<LineId>]) -> Vec<bool> {
        let mut starts = vec![false; self.physical.len()];
        let mut before: Option<LineId> = None;
        for (index, line) in self.physical.iter().enumerate() {
            let Content::Record(id) = line.content else {
                continue;
            };
            let previous = before.replace(id);
            let is_use = |id: LineId| matches!(self.tree.line(id).record, Record::Use { .. });
            let opens = match self.tree.line(id).record {
                Record::Heading(_) => true,
                Record::Use { .. } => !previous.is_some_and(is_use),
                _ => false,
            };
            if opens {
                let above = self.physical[..index]
                    .iter()
                    .zip(companions)
                    .rev()
                    .take_while(|(line, companion)| {
                        matches!(line.content, Content::Comment { .. }) && **companion == Some(id)
                    })
                    .count();
                starts[index - above] = true;
            }
        }
        starts
    }

    fn print(&self) -> String {
        let line_end = line_end(self.text, self.tree);
        let bodies = self.bodies();
        let companions = comments::companions(self.tree, &self.levels, &self.physical);
        let section_starts = self.section_starts(&companions);
        let comment_columns = self.comment_columns(&bodies, &section_starts);
        let mut out = String::with_capacity(bodies.text.len() + self.text.len() / 4);
        let mut blank = false;
        let mut before: Option<LineId> = None;
        for (index, line) in self.physical.iter().enumerate() {
            if line.content == Content::Blank {
                blank = true;
                continue;
            }
            if (blank || section_starts[index]) && !out.is_empty() {
                out.push_str(line_end);
            }
            blank = false;
            match line.content {
                Content::Blank => {}
                Content::Comment { span, .. } => {
                    let companion = companions[index];
                    let section = |id: LineId| self.raw_section[id.index()];
                    let stays = companion.and_then(section).is_some()
                        && companion.and_then(section) == before.and_then(section);
                    if stays {
                        let typed = Span::new(line.span.start, span.start);
                        out.push_str(typed.of(self.text));
                    } else {
                        let indent = companion.map_or(0, |id| self.indents[id.index()]);
                        push_blanks(&mut out, indent);
                    }
                    out.push_str(trimmed(self.text, span));
                }
                Content::Record(id) => {
                    before = Some(id);
                    if self.rows[id.index()].is_some() {
                        self.print_line(id, &bodies, comment_columns[id.index()], &mut out);
                    } else {
                        out.push_str(line.span.of(self.text));
                    }
                }
            }
            out.push_str(line_end);
        }
        out
    }

    fn print_line(&self, id: LineId, bodies: &Bodies, column: u32, out: &mut String) {
        let body = &bodies.places[id.index()];
        let indent = self.indents[id.index()];
        push_blanks(out, indent);
        out.push_str(&bodies.text[body.start..body.end]);
        if let Some(comment) = self.comment(id) {
            let mut gap = column.saturating_sub(body.width).max(2);
            let bytes = indent as usize + (body.end - body.start) + gap as usize + comment.len();
            if bytes > limits::LINE_BYTES {
                gap = 2;
            }
            push_blanks(out, gap);
            out.push_str(comment);
        }
    }
}

/// What the rows of a run have in common.
#[derive(Clone, Copy, PartialEq, Eq)]
struct Alike {
    parent: Option<LineId>,
    table: Table,
    /// The kind, of parts that name it themselves.
    kind: Option<Token>,
    /// How many blank lines stand before the row.
    blanks: u32,
}

/// The printed lines, by line of the outline.
struct Bodies {
    text: String,
    places: Vec<Body>,
}

struct Body {
    start: usize,
    end: usize,
    /// Characters, indentation included.
    width: u32,
}

fn push_blanks(out: &mut String, count: u32) {
    out.extend(std::iter::repeat_n(' ', count as usize));
}

fn trimmed(text: &str, span: Span) -> &str {
    span.of(text).trim_end_matches([' ', '\t'])
}

/// The line end of the file's first line.
fn line_end(text: &str, tree: &Tree) -> &'static str {
    let first = tree
        .lexemes
        .iter()
        .find(|lexeme| lexeme.0 == Token::Newline);
    match first {
        Some((_, span)) if span.of(text) == "\r\n" => "\r\n",
        _ => "\n",
    }
}
