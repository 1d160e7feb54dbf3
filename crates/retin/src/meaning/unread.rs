//! What lines that cannot be read speak of, as far as single words say. A rule that
//! finds something missing asks here first: it may stand on such a line.

use super::passed_over::is_unread;
use super::problem::ProblemKind;
use super::{Case, PlaceId, Shelf};
use crate::sources::FileId;
use retin_syntax::token::Token;
use retin_syntax::tree::{HeadingKind, Line, LineId, Record, Tree, unquoted};
use rustc_hash::FxHashSet;

impl Case<'_> {
    /// Whether every file is here, and every line of it is read.
    pub fn is_read_whole(&self) -> bool {
        self.problems.iter().all(|problem| {
            !matches!(
                problem.kind,
                ProblemKind::Unreadable { .. } | ProblemKind::Use { is_read: false, .. }
            )
        })
    }

    /// Whether every line of a shelf is read.
    pub fn is_shelf_read_whole(&self, shelf: &Shelf<'_>) -> bool {
        let tree = &self.sources.file(shelf.origin.file).tree;
        let mut sections = tree.sections();
        let section = sections.find(|(_, line)| {
            line.span.start <= shelf.origin.span.start && shelf.origin.span.end <= line.span.end
        });
        section.is_none_or(|(id, _)| below(tree, id).all(|line| !is_unread(&line.record)))
    }

    /// The places that lines of the plan speak of which cannot be read.
    pub fn unread_in_plan(&self) -> FxHashSet<PlaceId> {
        self.unread_in(HeadingKind::Plan)
    }

    /// The places that lines of the log speak of which cannot be read.
    pub fn unread_in_log(&self) -> FxHashSet<PlaceId> {
        self.unread_in(HeadingKind::Log)
    }

    fn unread_in(&self, kind: HeadingKind) -> FxHashSet<PlaceId> {
        let tree = &self.sources.file(self.root).tree;
        let sections = tree.sections().filter(
            |(_, line)| matches!(&line.record, Record::Heading(heading) if heading.kind == kind),
        );
        let lines = sections.flat_map(|(id, _)| below(tree, id));
        lines
            .filter(|line| is_unread(&line.record))
            .flat_map(|line| self.spoken_of(self.root, line))
            .collect()
    }

    /// The places that the words of a line name, or cover by their kind.
    fn spoken_of(&self, file: FileId, line: &Line) -> Vec<PlaceId> {
        let source = self.sources.file(file);
        let words = &source.tree.lexemes[line.lexemes.0 as usize..line.lexemes.1 as usize];
        let mut places = Vec::new();
        for (token, span) in words.iter().filter(|lexeme| lexeme.0.is_wordlike()) {
            let path = unquoted(span.of(&source.text));
            let named = self.places_named(path);
            // `psu.C6.+` is a lead of psu.C6.
            let part = path.rsplit_once('.').map_or(path, |split| split.0);
            match named.is_empty() {
                true => places.extend(self.places_named(part)),
                false => places.extend(named),
            }
            places.extend(self.places().filter(|place| {
                let kind = self.part(place.part).kind;
                *token == Token::Everything || kind.is_some_and(|kind| kind.is_covered_by(*token))
            }));
        }
        places
    }
}

fn below(tree: &Tree, id: LineId) -> impl Iterator<Item = &Line> {
    tree.lines[id.index() + 1..tree.line(id).end as usize].iter()
}
