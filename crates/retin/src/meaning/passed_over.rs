//! Names that stand only where nothing is read: on a line that cannot be read, in a
//! section or on a line whose own name is taken, in a file that is not here. What is
//! wrong is told there; that nobody knows these names is not told as well.

use super::build::{Reader, Section};
use super::names;
use super::problem::ProblemKind;
use crate::sources::FileId;
use retin_syntax::limits::{FILE_BYTES, RANGE_MEMBERS};
use retin_syntax::token::{RESERVED, Token};
use retin_syntax::tree::{Heading, HeadingKind, Line, LineId, Record, Tree, unquoted};
use rustc_hash::FxHashSet;

/// What a name is looked for as that a used file may bring.
const OF_FILES: &[&str] = &[
    "model sheet",
    "board",
    "part",
    "net",
    "shelf",
    "shelf entry",
    "device or package",
];

/// Most names that are kept in mind: more is no file that somebody wrote.
const MOST_NAMES: usize = 200_000;

/// Whether a used file may bring what is looked for.
pub(super) fn is_of_file(what: &str) -> bool {
    OF_FILES.contains(&what)
}

/// The names that stand only where nothing is read.
#[derive(Default)]
pub(super) struct PassedOver {
    /// As they are written, and behind the names of the boards they are on.
    names: FxHashSet<String>,
    /// How many were kept in mind so far, some of them more than once.
    kept: usize,
    /// Whether a file that is used is not read: any name may be one of its.
    pub(super) lacks_file: bool,
    /// Whether a section or a line is not read since its name is taken.
    pub(super) has_taken: bool,
}

impl PassedOver {
    /// Whether it is no wonder that nobody knows a name.
    pub(super) fn hides(&self, kind: &ProblemKind) -> bool {
        match kind {
            ProblemKind::UnknownName { what, name, .. } => self.hides_name(what, name),
            _ => false,
        }
    }

    /// The same, of a name that is looked for as a part, a board and so on.
    pub(super) fn hides_name(&self, what: &str, name: &str) -> bool {
        let is_of_file = is_of_file(what);
        if self.lacks_file && is_of_file {
            return true;
        }
        let names = match is_of_file || what == "step" {
            true if !self.names.is_empty() => spread(name),
            _ => return false,
        };
        !names.is_empty() && names.iter().all(|name| self.names.contains(name))
    }

    /// Keeps one name in mind.
    pub(super) fn note(&mut self, name: &str) {
        self.note_on(name, &[]);
    }

    /// Keeps a name in mind as it stands, and behind each board.
    fn note_on(&mut self, name: &str, boards: &[String]) {
        for name in spread(name) {
            self.kept += boards.len() + 1;
            if self.kept > MOST_NAMES {
                return;
            }
            let behind = boards.iter().map(|board| format!("{board}.{name}"));
            self.names.extend(behind);
            self.names.insert(name);
        }
    }

    /// Keeps every word of a line in mind, as it stands and behind each board.
    fn note_line(&mut self, text: &str, tree: &Tree, line: &Line, boards: &[String]) {
        let words = &tree.lexemes[line.lexemes.0 as usize..line.lexemes.1 as usize];
        for (_, span) in words.iter().filter(|lexeme| lexeme.0.is_wordlike()) {
            self.note_on(unquoted(span.of(text)), boards);
        }
    }
}

/// Every name that a path with ranges stands for, `ch1..ch8.C1`; none where a range
/// cannot be counted, or there are too many.
fn spread(path: &str) -> Vec<String> {
    let mut paths = vec![String::new()];
    for (index, segment) in names::segments(path).into_iter().enumerate() {
        let names = names::expand(segment).unwrap_or_default();
        if names.len() * paths.len() > RANGE_MEMBERS {
            return Vec::new();
        }
        let dot = if index == 0 { "" } else { "." };
        paths = paths
            .iter()
            .flat_map(|path| names.iter().map(move |name| format!("{path}{dot}{name}")))
            .collect();
    }
    paths
}

/// The line at the left margin that a line belongs to.
fn section_of(tree: &Tree, line: &Line) -> Option<LineId> {
    let mut section = None;
    let mut above = line.parent;
    while let Some(id) = above {
        section = Some(id);
        above = tree.line(id).parent;
    }
    section
}

/// The reserved word that a line begins with which cannot be read, or was meant to.
pub(super) fn meant(tree: &Tree, line: &Line) -> Option<Token> {
    let (first, at) = *tree.lexemes.get(line.lexemes.0 as usize)?;
    if first.reserved_text().is_some() {
        return Some(first);
    }
    let from = tree
        .errors
        .partition_point(|error| error.span.start < at.start);
    let edits = &tree.errors.get(from)?.edits;
    let (_, word) = edits.iter().find(|(span, _)| *span == at)?;
    let (_, token) = RESERVED.iter().find(|(text, _)| text == word)?;
    Some(*token)
}

impl Reader<'_, '_> {
    /// Keeps in mind what a section that is not read would have named, also behind
    /// the names of these boards.
    pub(super) fn pass_over(&mut self, section: Section<'_>, boards: &[String]) {
        self.pass_over_line(section, section.id, boards);
    }

    /// The same of one line of a section and those below it.
    pub(super) fn pass_over_line(&mut self, section: Section<'_>, id: LineId, boards: &[String]) {
        let text = self.text(section.file);
        self.passed_over.has_taken = true;
        for line in &section.tree.lines[id.index()..section.tree.line(id).end as usize] {
            self.passed_over.note_line(text, section.tree, line, boards);
        }
    }

    /// Keeps in mind what the lines of a file would have named that cannot be read.
    pub(super) fn pass_over_unread(&mut self, file: FileId) {
        let sources = self.sources;
        let text = self.text(file);
        let tree = &sources.file(file).tree;
        self.passed_over.lacks_file |= text.len() > FILE_BYTES;
        // A line that cannot be read is told among the errors of its file.
        if tree.errors.is_empty() {
            return;
        }
        let is_unread = |line: &&Line| is_unread(&line.record);
        for line in tree.lines.iter().filter(is_unread) {
            let first = tree.lexemes.get(line.lexemes.0 as usize);
            let section = section_of(tree, line).map(|id| &tree.line(id).record);
            match section {
                Some(Record::Heading(heading)) => match heading.kind {
                    HeadingKind::Board | HeadingKind::Wiring => {
                        let boards = boards_of(text, heading);
                        self.passed_over.note_line(text, tree, line, &boards);
                    }
                    HeadingKind::Shelf | HeadingKind::Packages | HeadingKind::Devices => {
                        self.passed_over.note_line(text, tree, line, &[]);
                    }
                    HeadingKind::Link => self.passed_over.note_line(text, tree, line, &[]),
                    HeadingKind::Plan if first.is_some_and(|first| first.0 == Token::Add) => {
                        self.passed_over.note_line(text, tree, line, &[]);
                    }
                    HeadingKind::Steps => {
                        if let Some((_, name)) = first {
                            self.passed_over.note(unquoted(name.of(text)));
                        }
                    }
                    _ => {}
                },
                section => {
                    let is_use = section.is_none() && meant(tree, line) == Some(Token::Use);
                    self.passed_over.lacks_file |= is_use;
                    self.passed_over.note_line(text, tree, line, &[]);
                }
            }
        }
    }
}

/// Whether nothing of a line is read.
pub(super) fn is_unread(record: &Record) -> bool {
    matches!(record, Record::Broken | Record::Unresolved)
}

/// The names that stand before a dot for what is on a board: its own, and its copies'.
pub(super) fn boards_of(text: &str, heading: &Heading) -> Vec<String> {
    let words = heading.name.iter().chain(&heading.copies);
    words
        .flat_map(|word| names::expand(word.text(text)).unwrap_or_default())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_stands_for_every_name_of_its_ranges() {
        assert_eq!(spread("C1"), ["C1"]);
        assert_eq!(
            spread("ch1..ch2.C1..C2"),
            ["ch1.C1", "ch1.C2", "ch2.C1", "ch2.C2"]
        );
        assert_eq!(spread("+"), ["+"]);
        assert!(spread("C2..C1").is_empty());
        assert!(spread("a1..a9999.b1..b9999").is_empty());
    }
}
