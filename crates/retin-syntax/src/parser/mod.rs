//! Tokens to the outline of a file.
//!
//! The outline comes from indentation alone; each line is then read by the
//! one-line grammar that its parent allows. A line that cannot be read becomes
//! [`Record::Broken`] and spoils nothing else: lines below it are read by the
//! grammar of their section. Markers of an undecided join of two versions are
//! told in [`unresolved`].

mod edit;
mod everyday;
mod grammar;
mod lines;
mod log;
mod message;
mod records;
mod shift;
pub mod unresolved;
mod why;

use crate::lexer::{first_byte, lex};
use crate::limits;
use crate::span::Span;
use crate::tables::properties::{Place, takes};
use crate::tables::{ClaimSource, PlanVerb, StepVerb, kinds, verbs};
use crate::token::Token;
use crate::tree::{Heading, HeadingKind, Lexeme, Line, LineId, Record, SyntaxError, Tree};
use chumsky::prelude::*;
use edit::opens_join;
pub use edit::{Change, edit};
use lines::Lines;
use records::{Grammar, Shape};
use unresolved::Unresolved;

/// Reads a whole file. Never fails: what cannot be read is in [`Tree::errors`].
pub fn parse(text: &str) -> Tree {
    if text.len() > limits::FILE_BYTES {
        return Tree {
            errors: vec![SyntaxError {
                span: Span::default(),
                message: format!(
                    "this file is {} bytes long; a Retin file may have {} at most",
                    text.len(),
                    limits::FILE_BYTES
                ),
                help: Some("split it into several files and join them with `use`".into()),
                edits: Vec::new(),
            }],
            ..Tree::default()
        };
    }
    let lexemes = lex(text);
    let (lines, errors) = Outline::new(text, &lexemes).read();
    Tree {
        lexemes,
        lines,
        errors,
        has_join: opens_join(text),
    }
}

/// What one line of the text holds before its grammar is known.
struct RawLine {
    first: usize,
    /// One past the last token of the record, a comment left out.
    end: usize,
    /// One past the last token, a comment included.
    full_end: usize,
    indent: u32,
    /// Bytes of blanks before the first token.
    blanks: u32,
    bytes: u32,
}

struct Outline<'t> {
    text: &'t str,
    lexemes: &'t [Lexeme],
    grammar: Grammar<'t>,
    lines: Lines,
    errors: Vec<SyntaxError>,
    /// Open lines, outermost first, with their indentation.
    stack: Vec<(u32, LineId)>,
    unresolved: Unresolved,
}

impl<'t> Outline<'t> {
    fn new(text: &'t str, lexemes: &'t [Lexeme]) -> Self {
        Outline {
            text,
            lexemes,
            grammar: Grammar::new(),
            lines: Lines::default(),
            errors: Vec::new(),
            stack: Vec::new(),
            unresolved: Unresolved::new(),
        }
    }

    fn read(mut self) -> (Vec<Line>, Vec<SyntaxError>) {
        let ends = self
            .lexemes
            .iter()
            .filter(|lexeme| lexeme.0 == Token::Newline);
        self.lines.reserve(ends.count() + 1);
        self.read_lines(0, self.lexemes.len());
        self.finish()
    }

    /// Reads the lines that these tokens make; the first begins a line.
    fn read_lines(&mut self, from: usize, to: usize) {
        let mut at = from;
        let mut line_start = match from {
            0 => first_byte(self.text),
            from => self.lexemes[from - 1].1.end,
        };
        while at < to {
            let first = at;
            while at < to && self.lexemes[at].0 != Token::Newline {
                at += 1;
            }
            let full_end = at;
            let newline = self.lexemes.get(at).map(|lexeme| lexeme.1);
            at += 1;
            let mut end = full_end;
            if end > first && self.lexemes[end - 1].0 == Token::Comment {
                end -= 1;
            }
            if end > first {
                let start = self.lexemes[first].1.start;
                let raw = RawLine {
                    first,
                    end,
                    full_end,
                    indent: columns(Span::new(line_start, start).of(self.text)),
                    blanks: start - line_start,
                    bytes: newline.map_or(self.text.len() as u32, |span| span.start) - line_start,
                };
                self.line(&raw);
            }
            if let Some(span) = newline {
                line_start = span.end;
            }
        }
    }

    /// Closes all open lines at the end of the file.
    fn finish(mut self) -> (Vec<Line>, Vec<SyntaxError>) {
        let count = self.lines.len() as u32;
        while let Some((_, id)) = self.stack.pop() {
            self.lines[id.index()].end = count;
        }
        (self.lines.finish(), self.errors)
    }

    /// Closes the open lines that a line of this indentation does not belong
    /// to, and gives the one it does.
    fn close_to(&mut self, indent: u32, id: LineId) -> Option<LineId> {
        while let Some(&(open_indent, open)) = self.stack.last() {
            if open_indent < indent {
                break;
            }
            self.lines[open.index()].end = id.0;
            self.stack.pop();
        }
        self.stack.last().map(|open| open.1)
    }

    fn line(&mut self, raw: &RawLine) {
        let id = LineId(self.lines.len() as u32);
        let typed = Span::new(
            self.lexemes[raw.first].1.start - raw.blanks,
            self.lexemes[raw.full_end - 1].1.end,
        );
        if let Some(error) = self.unresolved.takes(typed, self.text) {
            self.errors.extend(error);
            self.lines.push(Line {
                span: self.lexemes[raw.first].1.to(self.lexemes[raw.end - 1].1),
                indent: raw.indent,
                parent: self.stack.last().map(|open| open.1),
                end: id.0 + 1,
                lexemes: (raw.first as u32, raw.full_end as u32),
                record: Record::Unresolved,
            });
            return;
        }
        let parent = self.close_to(raw.indent, id);
        let span = self.lexemes[raw.first].1.to(self.lexemes[raw.end - 1].1);
        let record = self.record(raw, span, parent);
        self.lines.push(Line {
            span,
            indent: raw.indent,
            parent,
            end: id.0 + 1,
            lexemes: (raw.first as u32, raw.full_end as u32),
            record,
        });
        self.stack.push((raw.indent, id));
    }

    fn record(&mut self, raw: &RawLine, span: Span, parent: Option<LineId>) -> Record {
        if raw.bytes as usize > limits::LINE_BYTES {
            return self.broken(
                span,
                format!(
                    "this line is {} bytes long; a line may have {} at most",
                    raw.bytes,
                    limits::LINE_BYTES
                ),
                Some("longer prose is a run of lines that begin with `|`".into()),
            );
        }
        if self.stack.len() > limits::DEPTH {
            // The line above lies too deep as well, and is told.
            return Record::Broken;
        }
        if self.stack.len() == limits::DEPTH {
            return self.broken(
                span,
                format!("this line lies more than {} levels deep", limits::DEPTH),
                Some("move it to the left, below what it belongs to".into()),
            );
        }
        let tokens = &self.lexemes[raw.first..raw.end];
        if tokens[0].0 == Token::Prose {
            return Record::Prose;
        }
        if let Some(&(token, at)) = tokens
            .iter()
            .find(|lexeme| matches!(lexeme.0, Token::Stray | Token::OpenText))
        {
            return self.unreadable_token(token, at, tokens);
        }
        match self.shape(tokens, raw.indent, parent) {
            Ok(shape) => self.apply(shape, tokens, span),
            Err(error) => {
                self.errors.extend(error);
                Record::Broken
            }
        }
    }

    fn broken(&mut self, span: Span, message: String, help: Option<String>) -> Record {
        self.errors.push(SyntaxError {
            span,
            message,
            help,
            edits: Vec::new(),
        });
        Record::Broken
    }

    fn unreadable_token(&mut self, token: Token, at: Span, line: &[Lexeme]) -> Record {
        let is_blank = |at: Span| at.of(self.text).starts_with(char::is_whitespace);
        if is_blank(at) {
            let blanks = line.iter().filter(|lexeme| is_blank(lexeme.1));
            let edits = blanks.map(|lexeme| (lexeme.1, " ".to_owned())).collect();
            self.errors.push(SyntaxError {
                span: at,
                message: "this blank is not an ordinary one, as it comes with text that was copied from elsewhere".into(),
                help: Some("write an ordinary blank in its place".into()),
                edits,
            });
            return Record::Broken;
        }
        if token == Token::OpenText {
            return self.broken(
                at,
                "a quote opened here is not closed on this line".into(),
                Some("close it with \" before the line ends".into()),
            );
        }
        if at.of(self.text).starts_with('|') {
            return self.broken(
                at,
                "`|` begins a line of prose and cannot follow other words".into(),
                Some("put the prose on a line of its own".into()),
            );
        }
        self.broken(
            at,
            "this character has no place in a line".into(),
            Some("remove it".into()),
        )
    }

    fn apply(&mut self, shape: Shape, tokens: &'t [Lexeme], span: Span) -> Record {
        if let Some(record) = everyday::everyday(shape, tokens) {
            return record;
        }
        let end = Span::new(span.end, span.end);
        let input = tokens.split_token_span(end);
        let (record, errors) = self.grammar.rule(shape).parse(input).into_output_errors();
        match (record, errors.first()) {
            (Some(record), None) => record,
            (_, Some(why)) => {
                self.errors.push(message::describe(shape, why, self.text));
                Record::Broken
            }
            (None, None) => Record::Broken,
        }
    }

    /// Which grammar a line is read by: its parent and its first word decide.
    ///
    /// What only follows from a line above that cannot be read is no error of its
    /// own: that line is told, once.
    fn shape(
        &self,
        tokens: &[Lexeme],
        indent: u32,
        parent: Option<LineId>,
    ) -> Result<Shape, Option<SyntaxError>> {
        match parent {
            Some(above) if self.lines[above.index()].record == Record::Broken => {
                self.below_broken(above, tokens)
            }
            parent => self.below(tokens, indent, parent).map_err(Some),
        }
    }

    fn below(
        &self,
        tokens: &[Lexeme],
        indent: u32,
        parent: Option<LineId>,
    ) -> Result<Shape, SyntaxError> {
        let (first, at) = tokens[0];
        let Some(parent) = parent else {
            return if indent > 0 {
                Err(SyntaxError {
                    span: at,
                    message: "this line is indented but belongs to nothing".into(),
                    help: Some(
                        "a file begins with a heading at the left margin, such as `model` or `job`"
                            .into(),
                    ),
                    edits: Vec::new(),
                })
            } else if first == Token::Use {
                Ok(Shape::Use)
            } else if message::HEADINGS.contains(&first) {
                Ok(Shape::Heading)
            } else {
                Err(message::not_a_heading(at, self.text))
            };
        };
        match &self.lines[parent.index()].record {
            Record::Heading(heading) => self.below_heading(heading, tokens),
            Record::Group { .. } => self.below_group(parent, tokens),
            Record::Part { .. } => self.below_part(parent, tokens),
            Record::Accept { .. } if first == Token::For => Ok(Shape::For),
            Record::Step { .. } if first == Token::Caution => Ok(Shape::Caution),
            Record::Day { .. } => self.entry(tokens),
            _ => Err(SyntaxError {
                span: at,
                message: "nothing but prose can stand below this line".into(),
                help: Some("move it to the left, or begin it with `|` if it is prose".into()),
                edits: Vec::new(),
            }),
        }
    }

    fn below_heading(&self, heading: &Heading, tokens: &[Lexeme]) -> Result<Shape, SyntaxError> {
        let (first, at) = tokens[0];
        let setting = |place: Place| {
            if takes(first, place).is_some() {
                Ok(Shape::Setting(place))
            } else {
                Err(message::not_a_property(at, place, self.text))
            }
        };
        match heading.kind {
            HeadingKind::Model if first == Token::Changed => Ok(Shape::Changed),
            HeadingKind::Model => setting(Place::Model),
            HeadingKind::Job => setting(Place::Job),
            HeadingKind::Board | HeadingKind::Wiring => match first {
                Token::Rail => Ok(Shape::Rail),
                Token::Net => Ok(Shape::Net),
                Token::Zone => Ok(Shape::Zone),
                _ if kinds::is_kind(first) => Ok(Shape::Group(Place::Part)),
                _ if takes(first, Place::Board).is_some() => Ok(Shape::Setting(Place::Board)),
                _ if names_its_kind(tokens) => Ok(Shape::Part(Place::Part)),
                _ => Err(message::not_a_board_line(at, self.text)),
            },
            HeadingKind::Shelf | HeadingKind::Devices => {
                let place = entry_place(heading.kind);
                if kinds::is_kind(first) {
                    Ok(Shape::Group(place))
                } else if !names_its_kind(tokens)
                    && let Some(kind) = message::nearly_a_kind(first, at, self.text)
                {
                    Err(message::not_a_group(at, kind, self.text))
                } else if takes(first, place).is_none() {
                    Ok(Shape::Part(place))
                } else {
                    setting(place)
                }
            }
            HeadingKind::Packages => Ok(Shape::Part(Place::Packages)),
            HeadingKind::Minutes if StepVerb::of(first).is_some() => Ok(Shape::Pace),
            HeadingKind::Minutes => Err(message::not_a_step_verb(at, self.text)),
            HeadingKind::Link => Ok(Shape::Join),
            HeadingKind::Found => Ok(Shape::Survey),
            HeadingKind::Plan if first == Token::Accept => Ok(Shape::Accept),
            HeadingKind::Plan if PlanVerb::of(first).is_some() => Ok(Shape::Plan),
            HeadingKind::Plan if verbs::is_log_verb(first) => {
                Err(message::past_in_a_plan(first, at, self.text))
            }
            HeadingKind::Plan => Err(message::not_a_plan_verb(at, self.text)),
            HeadingKind::Steps => match tokens.get(1) {
                Some((verb, at)) if verbs::is_log_verb(*verb) => {
                    Err(message::past_in_a_plan(*verb, *at, self.text))
                }
                _ => Ok(Shape::Step),
            },
            HeadingKind::Targets => Ok(Shape::Target),
            HeadingKind::Log => Ok(Shape::Day),
        }
    }

    /// An entry has a verb in the past tense: behind its time, or behind the
    /// time and the initials.
    fn entry(&self, tokens: &[Lexeme]) -> Result<Shape, SyntaxError> {
        let mut at = 0;
        if tokens[0].0 == Token::Number {
            at = 1;
            if tokens.get(1).is_some_and(|lexeme| lexeme.0 == Token::Unit) {
                at = 2;
            }
        }
        let Some(&(first, first_at)) = tokens.get(at) else {
            return Ok(Shape::Entry);
        };
        let second = tokens.get(at + 1);
        if verbs::is_log_verb(first)
            || (first == Token::Word && second.is_some_and(|lexeme| verbs::is_log_verb(lexeme.0)))
        {
            return Ok(Shape::Entry);
        }
        Err(message::not_a_log_verb(
            (first, first_at),
            second.copied(),
            self.text,
        ))
    }

    fn below_group(&self, group: LineId, tokens: &[Lexeme]) -> Result<Shape, SyntaxError> {
        let place = self.entry_place_of(group);
        let (first, at) = tokens[0];
        if takes(first, place).is_some() && first != Token::Word {
            return Err(message::property_below_group(at, self.text));
        }
        Ok(Shape::Part(place))
    }

    fn below_part(&self, part: LineId, tokens: &[Lexeme]) -> Result<Shape, SyntaxError> {
        let place = self.entry_place_of(part);
        let (first, at) = tokens[0];
        match (place, first) {
            (Place::Part, _) if ClaimSource::of(first).is_some() => Ok(Shape::Claim),
            (Place::Part, Token::Go) => Ok(Shape::GoBy),
            (Place::Part, Token::Section) => Ok(Shape::Section),
            (Place::Part, Token::On) => Ok(Shape::Exception),
            (Place::Part, _) => Err(message::not_a_claim(at, self.text)),
            _ if takes(first, place).is_some() => Ok(Shape::Setting(place)),
            _ => Err(message::not_a_property(at, place, self.text)),
        }
    }

    /// The grammar that a line below one that cannot be read goes by, as far as its
    /// section says.
    fn below_broken(
        &self,
        parent: LineId,
        tokens: &[Lexeme],
    ) -> Result<Shape, Option<SyntaxError>> {
        let first = tokens[0].0;
        let kind = self.heading_of(parent).ok_or(None)?.kind;
        match kind {
            HeadingKind::Board
            | HeadingKind::Wiring
            | HeadingKind::Shelf
            | HeadingKind::Devices => {
                let is_below_part = ClaimSource::of(first).is_some()
                    || matches!(first, Token::Go | Token::Section | Token::On);
                if is_below_part {
                    self.below_part(parent, tokens).map_err(|_| None)
                } else {
                    self.below_group(parent, tokens).map_err(|_| None)
                }
            }
            // Below a day stand entries, whatever the day says.
            HeadingKind::Log if self.is_below_heading(parent) => self.entry(tokens).map_err(Some),
            HeadingKind::Plan if first == Token::For => Ok(Shape::For),
            HeadingKind::Steps if first == Token::Caution => Ok(Shape::Caution),
            _ => Err(None),
        }
    }

    fn is_below_heading(&self, id: LineId) -> bool {
        let above = self.lines[id.index()].parent;
        above.is_some_and(|above| matches!(self.lines[above.index()].record, Record::Heading(_)))
    }

    fn heading_of(&self, mut id: LineId) -> Option<&Heading> {
        loop {
            let line = &self.lines[id.index()];
            if let Record::Heading(heading) = &line.record {
                return Some(heading);
            }
            id = line.parent?;
        }
    }

    fn entry_place_of(&self, id: LineId) -> Place {
        self.heading_of(id)
            .map_or(Place::Part, |heading| entry_place(heading.kind))
    }
}

/// How many columns the blanks before a line take; a tab counts as two.
pub(crate) fn columns(blanks: &str) -> u32 {
    blanks
        .bytes()
        .map(|byte| if byte == b'\t' { 2 } else { 1 })
        .sum()
}

fn entry_place(kind: HeadingKind) -> Place {
    match kind {
        HeadingKind::Shelf => Place::Shelf,
        HeadingKind::Devices => Place::Devices,
        HeadingKind::Packages => Place::Packages,
        _ => Place::Part,
    }
}

/// A part line outside a group says its kind somewhere.
fn names_its_kind(tokens: &[Lexeme]) -> bool {
    tokens.iter().skip(1).any(|lexeme| kinds::is_kind(lexeme.0))
}
