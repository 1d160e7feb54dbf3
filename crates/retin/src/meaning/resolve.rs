//! From names to the places they stand for.

use super::board::range_problem;
use super::build::{Reader, near};
use super::problem::ProblemKind;
use super::{BoardCopy, BoardId, PartId, PlaceId, names};
use crate::sources::FileId;
use retin_syntax::Span;
use retin_syntax::tree::Word;

/// What a path of names leads to.
#[derive(Clone, Debug, Default)]
pub(super) struct Path<'a> {
    pub(super) places: Vec<PlaceId>,
    /// A lead of these parts, where the path goes on to one.
    pub(super) lead: Option<&'a str>,
}

/// A board, or a copy of one, with what it is called.
type NamedBoard = (BoardId, String);

/// Names that stand for no part, each with the board it was looked for on.
#[derive(Default)]
struct Unknown(Vec<(Option<NamedBoard>, String)>);

impl<'t, 'a> Reader<'t, 'a> {
    /// The places a word names. A name that stands for nothing becomes a problem.
    pub(super) fn places(&mut self, file: FileId, word: Word) -> Path<'a> {
        let text = self.word(file, word);
        let segments = names::segments(text);
        let (boards, rest) = match self.boards(segments[0]) {
            Some(boards) if segments.len() > 1 => (Some(boards), &segments[1..]),
            _ => (None, &segments[..]),
        };
        // `nosuch.C1`: the first name looks like a board's and is none.
        if boards.is_none() && segments.len() > 1 && !self.is_part_anywhere(segments[0]) {
            self.unknown_board(file, word.span, segments[0]);
            return Path::default();
        }
        self.path(file, word.span, boards, rest)
    }

    /// Follows the names behind those of boards; without boards a name has to be
    /// clear by itself.
    pub(super) fn path(
        &mut self,
        file: FileId,
        span: Span,
        boards: Option<Vec<(BoardId, Option<u16>)>>,
        rest: &[&'a str],
    ) -> Path<'a> {
        let names = match names::expand(rest[0]) {
            Ok(names) => names,
            Err(problem) => {
                self.problem(
                    file,
                    span,
                    ProblemKind::BadRange {
                        message: range_problem(rest[0], &problem),
                    },
                );
                return Path::default();
            }
        };
        let mut path = Path {
            places: Vec::new(),
            lead: rest.get(1).copied(),
        };
        let mut unknown = Unknown::default();
        for name in names {
            // `C30.a` is a section, `C41.-` a lead.
            let section = rest.get(1).map(|section| format!("{name}.{section}"));
            match &boards {
                Some(boards) => {
                    self.on_boards(boards, &name, section.as_deref(), &mut path, &mut unknown)
                }
                None => self.anywhere(
                    (file, span),
                    &name,
                    section.as_deref(),
                    &mut path,
                    &mut unknown,
                ),
            }
        }
        self.unknown_parts(file, span, unknown);
        path
    }

    /// Notes the names of a path that stand for no part, as one mistake.
    fn unknown_parts(&mut self, file: FileId, span: Span, unknown: Unknown) {
        let told = unknown.0.into_iter().filter(|(board, name)| {
            let path = match board {
                Some((_, board)) => &format!("{board}.{name}"),
                None => name,
            };
            !self.passed_over.hides_name("part", path)
        });
        // Names that the same copies of boards lack are told together.
        let mut by_boards: Vec<(Vec<NamedBoard>, Vec<String>)> = Vec::new();
        let mut by_name: Vec<(String, Vec<NamedBoard>)> = Vec::new();
        for (board, name) in told {
            match by_name.last_mut().filter(|last| last.0 == name) {
                Some(last) => last.1.extend(board),
                None => by_name.push((name, board.into_iter().collect())),
            }
        }
        for (name, boards) in by_name {
            match by_boards.last_mut().filter(|last| last.0 == boards) {
                Some(last) => last.1.push(name),
                None => by_boards.push((boards, vec![name])),
            }
        }
        for (boards, names) in by_boards {
            let near = match &names[..] {
                [name] => self.near_part(boards.first().map(|board| board.0), name),
                _ => None,
            };
            let names = names::compress(names.iter().map(String::as_str));
            let boards = names::compress(boards.iter().map(|board| board.1.as_str()));
            let on_boards = |names: &str| match &boards[..] {
                "" => names.to_owned(),
                boards if boards.contains(", ") || names.contains(", ") => {
                    format!("{names} on {boards}")
                }
                boards => format!("{boards}.{names}"),
            };
            let kind = ProblemKind::UnknownName {
                what: "part",
                name: on_boards(&names),
                near: near.map(|near| on_boards(&near)),
            };
            self.problem(file, span, kind);
        }
    }

    /// The boards and copies that one segment names, or none where it names no board.
    pub(super) fn boards(&self, segment: &str) -> Option<Vec<(BoardId, Option<u16>)>> {
        if !names::is_range(segment) {
            return Some(vec![*self.case.boards_by_name.get(segment)?]);
        }
        let names = names::expand(segment).ok()?;
        names
            .iter()
            .map(|name| self.case.boards_by_name.get(name).copied())
            .collect()
    }

    pub(super) fn is_part_anywhere(&self, segment: &str) -> bool {
        if !names::is_range(segment) {
            return self.owners(segment).next().is_some();
        }
        let Ok(names) = names::expand(segment) else {
            return false;
        };
        names.iter().any(|name| self.owners(name).next().is_some())
    }

    fn owners<'s>(&'s self, name: &'s str) -> impl Iterator<Item = (BoardId, PartId)> + 's {
        (0..self.case.boards.len() as u32)
            .map(BoardId)
            .filter_map(move |board| Some((board, self.case.part_named(board, name)?)))
    }

    fn on_boards(
        &self,
        boards: &[(BoardId, Option<u16>)],
        name: &str,
        section: Option<&str>,
        path: &mut Path<'a>,
        unknown: &mut Unknown,
    ) {
        for &(board, copy) in boards {
            let find = |name: &str| self.case.part_named(board, name);
            let part = match section.and_then(find) {
                Some(part) => {
                    path.lead = None;
                    Some(part)
                }
                None => find(name),
            };
            let Some(part) = part else {
                let board_name = match copy {
                    Some(copy) => self.case.board(board).copies[copy as usize].clone(),
                    None => self.case.board(board).name.to_owned(),
                };
                unknown.0.push((Some((board, board_name)), name.to_owned()));
                continue;
            };
            match copy {
                Some(copy) => path.places.push(PlaceId { part, copy }),
                None => self.all_copies(part, path),
            }
        }
    }

    fn all_copies(&self, part: PartId, path: &mut Path<'a>) {
        let copies = self.case.board_of(part).copies.len() as u16;
        path.places
            .extend((0..copies).map(|copy| PlaceId { part, copy }));
    }

    /// A name without its board, which has to be clear all the same.
    fn anywhere(
        &mut self,
        (file, span): (FileId, Span),
        name: &str,
        section: Option<&str>,
        path: &mut Path<'a>,
        unknown: &mut Unknown,
    ) {
        if let Some(section) = section {
            let owners: Vec<_> = self.owners(section).collect();
            if let [(_, part)] = owners[..] {
                path.lead = None;
                self.all_copies(part, path);
                return;
            }
        }
        let owners: Vec<_> = self.owners(name).collect();
        match owners[..] {
            [] => unknown.0.push((None, name.to_owned())),
            [(_, part)] => self.all_copies(part, path),
            _ => {
                let places: Vec<_> = owners
                    .iter()
                    .map(|(board, _)| format!("`{}.{name}`", self.case.board(*board).copies[0]))
                    .collect();
                self.problem(
                    file,
                    span,
                    ProblemKind::Misplaced {
                        message: format!("`{name}` is the name of a part on more than one board"),
                        consequence: "none of them is meant by it, so none is planned, checked or ticked off by this line",
                        help: format!("say which: {}", places.join(" or ")),
                    },
                );
            }
        }
    }

    pub(super) fn near_part(&self, board: Option<BoardId>, name: &str) -> Option<String> {
        let parts = self
            .case
            .parts
            .iter()
            .filter(|part| board.is_none_or(|board| part.board == board));
        let range = self.range_with_a_dash(board, name);
        range.or_else(|| near(name, parts.map(|part| part.name.as_str())))
    }

    /// The range that a name with a dash in it was to be, `C1-C5` or `C1-5`, where both
    /// its ends are parts.
    fn range_with_a_dash(&self, board: Option<BoardId>, name: &str) -> Option<String> {
        let (first, last) = name.split_once(['-', '\u{2013}', '\u{2014}', '\u{2026}'])?;
        let letters = first.trim_end_matches(|sign: char| sign.is_ascii_digit());
        let is_part = |name: &str| match board {
            Some(board) => self.case.part_named(board, name).is_some(),
            None => self.case.parts.iter().any(|part| part.name == name),
        };
        let ends = [last.to_owned(), format!("{letters}{last}")];
        let last = ends.into_iter().find(|last| is_part(last))?;
        is_part(first).then(|| format!("{first}..{last}"))
    }

    /// Notes a board that does not exist.
    pub(super) fn unknown_board(&mut self, file: FileId, span: Span, name: &str) {
        let boards = self.case.boards.iter();
        let names =
            boards.flat_map(|board| board.copies.iter().map(String::as_str).chain([board.name]));
        let near = near(name, names);
        self.problem(
            file,
            span,
            ProblemKind::UnknownName {
                what: "board",
                name: name.to_owned(),
                near,
            },
        );
    }

    /// The copies of boards that `on` names.
    pub(super) fn board_copies(&mut self, file: FileId, words: &[Word]) -> Vec<(BoardId, u16)> {
        let mut copies = Vec::new();
        for word in words {
            for name in self.expand(file, *word) {
                match self.case.boards_by_name.get(&name).copied() {
                    None => self.unknown_board(file, word.span, &name),
                    Some((board, Some(copy))) => copies.push((board, copy)),
                    Some((board, None)) => {
                        let count = self.case.board(board).copies.len() as u16;
                        copies.extend((0..count).map(|copy| (board, copy)));
                    }
                }
            }
        }
        copies
    }

    /// The copies of boards that one segment of a path names, `ch1..ch8`; those it
    /// does not know are passed over.
    pub(super) fn copies_named(&self, segment: &str) -> Vec<BoardCopy> {
        let names = names::expand(segment).unwrap_or_default();
        let found = names
            .iter()
            .filter_map(|name| self.case.boards_by_name.get(name));
        let mut copies = Vec::new();
        for &(board, copy) in found {
            match copy {
                Some(copy) => copies.push((board, copy)),
                None => copies.extend(self.case.copies_of(board)),
            }
        }
        copies
    }

    /// Whether a word names a board, a copy of one, or a net of one, as steps, targets and the log may.
    pub(super) fn is_board_or_net(&self, text: &str) -> bool {
        if self.boards(text).is_some() {
            return true;
        }
        let Some((boards, net)) = super::nets::split_board(text) else {
            return false;
        };
        self.boards(boards).is_some_and(|boards| {
            boards
                .iter()
                .all(|(board, _)| self.case.nets.find(*board, net).is_some())
        })
    }
}
