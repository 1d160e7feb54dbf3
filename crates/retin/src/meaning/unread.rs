//! What lines that cannot be read speak of, as far as single words say. A rule that
//! finds something missing asks here first: it may stand on such a line.

use super::passed_over::is_unread;
use super::problem::ProblemKind;
use super::{BoardId, Case, PartId, PlaceId, Shelf, names};
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
        let source = self.sources.file(self.root);
        let tree = &source.tree;
        let sections = tree.sections().filter(
            |(_, line)| matches!(&line.record, Record::Heading(heading) if heading.kind == kind),
        );
        let lines = sections.flat_map(|(id, _)| below(tree, id));
        let words = lines
            .filter(|line| is_unread(&line.record))
            .flat_map(|line| &tree.lexemes[line.lexemes.0 as usize..line.lexemes.1 as usize])
            .filter(|(token, _)| token.is_wordlike());
        let mut places = FxHashSet::default();
        let mut kinds: FxHashSet<Token> = FxHashSet::default();
        let mut left = MOST_NAMES;
        for (token, span) in words {
            kinds.insert(*token);
            self.name_places(unquoted(span.of(&source.text)), &mut left, &mut places);
        }
        let is_covered = |place: &PlaceId| {
            let kind = self.part(place.part).kind;
            let covered =
                kind.is_some_and(|kind| kinds.iter().any(|word| kind.is_covered_by(*word)));
            covered || kinds.contains(&Token::Everything)
        };
        if !kinds.is_empty() {
            places.extend(self.places().filter(is_covered));
        }
        places
    }

    /// Adds the places of a path, `psu.C1..C4`, `ch1` or `psu.C6.+`; each name that is
    /// looked up is taken off `left`.
    fn name_places(&self, path: &str, left: &mut usize, places: &mut FxHashSet<PlaceId>) {
        let segments = names::segments(path);
        let expanded = |segment: &str| names::expand(segment).unwrap_or_default();
        let first = expanded(segments[0]);
        let boards: Option<Vec<(BoardId, Option<u16>)>> =
            first.iter().map(|name| self.board_named(name)).collect();
        let (boards, parts) = match boards.filter(|boards| !boards.is_empty()) {
            Some(boards) => (boards, segments.get(1).map(|segment| expanded(segment))),
            None => {
                let all = (0..self.boards.len() as u32).map(|board| (BoardId(board), None));
                (all.collect(), Some(first))
            }
        };
        for (board, copy) in boards {
            let found: Vec<PartId> = match &parts {
                None => self.board(board).parts.clone(),
                Some(names) => {
                    let names = &names[..names.len().min(*left)];
                    *left -= names.len();
                    let found = names.iter().filter_map(|name| self.part_named(board, name));
                    found.collect()
                }
            };
            let copies = match copy {
                Some(copy) => copy..copy + 1,
                None => 0..self.board(board).copies.len() as u16,
            };
            for part in found {
                places.extend(copies.clone().map(|copy| PlaceId { part, copy }));
            }
        }
    }
}

/// Most names that are looked up: more is no line that somebody wrote.
const MOST_NAMES: usize = 200_000;

fn below(tree: &Tree, id: LineId) -> impl Iterator<Item = &Line> {
    tree.lines[id.index() + 1..tree.line(id).end as usize].iter()
}
