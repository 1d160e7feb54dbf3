//! What an entry is about: parts, leads, boards, nets and links by their names.

use super::read::PASSED_OVER;
use super::{Pad, Subject};
use crate::meaning::build::Reader;
use crate::meaning::problem::ProblemKind;
use crate::meaning::{BoardCopy, BoardId, LinkId, NetId, PlaceId, names, nets};
use crate::sources::{FileId, Origin};
use retin_syntax::tables::{Accident, LogVerb, Repair};
use retin_syntax::token::Token;
use retin_syntax::tree::{self, LogLine, Selector, SelectorChoice, Word};

/// Boards that names are looked for on: a board, and one copy or all.
pub(super) type Scope = Vec<(BoardId, Option<u16>)>;

impl<'t, 'a> Reader<'t, 'a> {
    /// The board that all of a subject is on, where it is one board.
    pub(super) fn one_board(&self, subject: &Subject<'_>) -> Option<Scope> {
        let pads = subject.pads.iter().map(|pad| self.case.copy_of(pad.place));
        let places = subject.places.iter().map(|place| self.case.copy_of(*place));
        let nets = subject.nets.iter();
        let nets = nets.map(|(net, copy)| (self.case.nets.net(*net).board, *copy));
        let mut boards: Vec<BoardCopy> = pads.chain(places).chain(nets).collect();
        boards.dedup();
        match boards[..] {
            [(board, copy)] => Some(vec![(board, Some(copy))]),
            _ => None,
        }
    }

    /// What a selector is about, and how many words of the phrase it took as names.
    pub(super) fn subject(
        &mut self,
        file: FileId,
        line: &LogLine,
        selector: &Selector,
        verb: Option<LogVerb>,
    ) -> (Subject<'a>, usize) {
        let mut subject = Subject {
            origin: Some(Origin {
                file,
                span: selector.span,
            }),
            ..Subject::default()
        };
        let mut shift = 0;
        match &selector.choice {
            SelectorChoice::Names(words) => {
                if line.scope.is_empty() {
                    shift = self.names_of_line(file, words, &line.phrase, &mut subject);
                } else if let Some(scope) = self.scope(file, &line.scope) {
                    for word in words {
                        self.name(file, *word, Some(&scope), &mut subject);
                    }
                } else {
                    // What stands behind names without a comma is part of boards only.
                    for word in &line.scope {
                        self.name(file, *word, None, &mut subject);
                    }
                    for word in words {
                        let text = self.word(file, *word);
                        self.problem(
                            file,
                            word.span,
                            ProblemKind::Misplaced {
                                message: format!("`{text}` means nothing in this entry"),
                                consequence: PASSED_OVER,
                                help: "part names with commas; put a remark in quotes".into(),
                            },
                        );
                    }
                }
            }
            SelectorChoice::Everything => {
                subject.is_everything = true;
                let boards = 0..self.case.boards.len() as u32;
                subject.boards = boards
                    .flat_map(|board| self.case.copies_of(BoardId(board)))
                    .collect();
            }
            SelectorChoice::Every { kinds, facts } => {
                self.every_of(file, kinds, facts, &mut subject);
            }
        }
        self.narrow(file, selector, &line.scope, &mut subject);
        // What is done to parts is done to each of them.
        let is_of_parts = matches!(
            verb,
            Some(
                LogVerb::Removed
                    | LogVerb::Fitted
                    | LogVerb::Discharged
                    | LogVerb::Measured
                    | LogVerb::Adjusted
            )
        );
        if subject.is_everything && is_of_parts {
            subject.places = self.case.places().collect();
        }
        subject.places.sort_unstable();
        subject.places.dedup();
        subject.boards.sort_unstable();
        subject.boards.dedup();
        subject.links.sort_unstable();
        subject.links.dedup();
        (subject, shift)
    }

    /// Names without boards before them. `damaged ch3 C41.- pad lifted` has its
    /// part among the words of the phrase: gives how many it took from there.
    fn names_of_line(
        &mut self,
        file: FileId,
        words: &[Word],
        phrase: &[Word],
        subject: &mut Subject<'a>,
    ) -> usize {
        if let [first, rest @ ..] = phrase {
            let is_told = |words: &[Word]| {
                self.phrase(file, words).is_some_and(|(phrase, _)| {
                    Accident::told(&phrase).is_some() || Repair::told(&phrase).is_some()
                })
            };
            if (is_told(rest) || rest.is_empty())
                && !is_told(phrase)
                && let Some(scope) = self.scope_of(file, words)
            {
                self.name(file, *first, Some(&scope), subject);
                return 1;
            }
        }
        for word in words {
            self.name(file, *word, None, subject);
        }
        0
    }

    /// The boards that words name, or none where one of them names no board.
    fn scope_of(&self, file: FileId, words: &[Word]) -> Option<Scope> {
        let mut scope = Vec::new();
        for word in words {
            scope.extend(self.boards(self.word(file, *word))?);
        }
        Some(scope)
    }

    /// The boards before names of parts; a board that is none is reported.
    fn scope(&mut self, file: FileId, words: &[Word]) -> Option<Scope> {
        if let Some(scope) = self.scope_of(file, words) {
            return Some(scope);
        }
        let is_part = |reader: &Self, word: &Word| {
            let text = reader.word(file, *word);
            names::segments(text).len() > 1 || reader.is_part_anywhere(text)
        };
        if words.iter().any(|word| is_part(self, word)) {
            return None;
        }
        let mut scope = Vec::new();
        for word in words {
            let text = self.word(file, *word);
            match self.boards(text) {
                Some(boards) => scope.extend(boards),
                None => self.unknown_board(file, word.span, text),
            }
        }
        Some(scope)
    }

    /// Looks one name up, on the boards of `scope` where there are some.
    pub(in crate::meaning) fn name(
        &mut self,
        file: FileId,
        word: Word,
        scope: Option<&[(BoardId, Option<u16>)]>,
        subject: &mut Subject<'a>,
    ) {
        let text = self.word(file, word);
        let segments = names::segments(text);
        if let Some(boards) = self.boards(text) {
            for (board, copy) in boards {
                match copy {
                    Some(copy) => subject.boards.push((board, copy)),
                    None => subject.boards.extend(self.case.copies_of(board)),
                }
            }
            return;
        }
        if let Some(link) = self.case.links.iter().position(|link| link.name == text) {
            subject.links.push(LinkId(link as u32));
            return;
        }
        let on_board =
            nets::split_board(text).and_then(|(board, net)| Some((self.boards(board)?, net)));
        if let Some((boards, net)) = &on_board
            && let Some(nets) = self.nets_on(boards, net)
        {
            subject.nets.extend(nets);
            return;
        }
        let path = match (scope, &on_board) {
            (Some(scope), None) => {
                if segments.len() == 1
                    && let Some(nets) = self.nets_on(scope, text)
                {
                    subject.nets.extend(nets);
                    return;
                }
                // The other end may be on another board after all.
                let is_here = |name: &String| {
                    scope
                        .iter()
                        .all(|(board, _)| self.case.part_named(*board, name).is_some())
                };
                let is_here =
                    names::expand(segments[0]).is_ok_and(|names| names.iter().all(is_here));
                if !is_here && self.is_passed_over_on(scope, segments[0]) {
                    return;
                }
                if is_here || !self.is_part_anywhere(segments[0]) {
                    self.path(file, word.span, Some(scope.to_vec()), &segments)
                } else {
                    self.places(file, word)
                }
            }
            _ => {
                if segments.len() == 1
                    && !self.is_part_anywhere(text)
                    && let Some(net) = self.only_net(text)
                {
                    subject.nets.extend(net);
                    return;
                }
                self.places(file, word)
            }
        };
        match path.lead {
            None => subject.places.extend(path.places),
            Some(lead) => {
                let mut unknown = None;
                for place in path.places {
                    if self.has_lead(place, lead) {
                        subject.pads.push(Pad { place, lead });
                    } else {
                        unknown.get_or_insert(place);
                    }
                }
                if let Some(place) = unknown {
                    let kind = self.case.part(place.part).kind;
                    let leads = kind.map_or(&[][..], |kind| kind.row().leads.names());
                    let near = (!leads.is_empty()).then(|| leads.join(", "));
                    let name = format!("{}.{lead}", self.case.name_of(place));
                    self.unknown(file, word.span, "lead", &name, near);
                }
            }
        }
    }

    /// Whether a name is that of a part which is not read on one of these boards.
    fn is_passed_over_on(&self, scope: &[(BoardId, Option<u16>)], name: &str) -> bool {
        scope.iter().any(|&(board, copy)| {
            let board = match copy {
                Some(copy) => self.case.name_of_copy((board, copy)),
                None => self.case.board(board).name,
            };
            self.passed_over
                .hides_name("part", &format!("{board}.{name}"))
        })
    }

    fn has_lead(&self, place: PlaceId, lead: &str) -> bool {
        let part = self.case.part(place.part);
        let leads = part.kind.map_or(&[][..], |kind| kind.row().leads.names());
        leads.is_empty() || leads.contains(&lead) || part.pins.iter().any(|pin| pin.lead == lead)
    }

    /// The net of this name on each of the boards; none where one has no such net,
    /// or has a part of that name.
    fn nets_on(&self, boards: &[(BoardId, Option<u16>)], net: &str) -> Option<Vec<(NetId, u16)>> {
        let mut found = Vec::new();
        for (board, copy) in boards {
            if self.case.part_named(*board, net).is_some() {
                return None;
            }
            let id = self.case.nets.find(*board, net)?;
            match copy {
                Some(copy) => found.push((id, *copy)),
                None => found.extend(self.case.copies_of(*board).map(|(_, copy)| (id, copy))),
            }
        }
        Some(found)
    }

    /// A net that one board alone has.
    fn only_net(&self, name: &str) -> Option<Vec<(NetId, u16)>> {
        let boards = (0..self.case.boards.len() as u32).map(BoardId);
        let mut found = boards.filter_map(|board| {
            let net = self.case.nets.find(board, name)?;
            Some((board, net))
        });
        let (board, net) = found.next()?;
        if found.next().is_some() {
            return None;
        }
        Some(
            self.case
                .copies_of(board)
                .map(|(_, copy)| (net, copy))
                .collect(),
        )
    }

    fn every_of(
        &mut self,
        file: FileId,
        kinds: &[Word],
        facts: &tree::Facts,
        subject: &mut Subject<'a>,
    ) {
        let mut of_parts: Vec<Word> = Vec::new();
        for word in kinds {
            match word.token {
                Token::Board => {
                    let boards = (0..self.case.boards.len() as u32).map(BoardId);
                    let boards: Vec<BoardId> = boards
                        .filter(|board| !self.case.board(*board).is_wiring)
                        .collect();
                    let copies = boards
                        .into_iter()
                        .flat_map(|board| self.case.copies_of(board));
                    subject.boards.extend(copies);
                }
                Token::Rail => {
                    for (id, net) in self.case.nets.iter() {
                        if net.rail.is_some() {
                            let copies = self.case.copies_of(net.board);
                            subject.nets.extend(copies.map(|(_, copy)| (id, copy)));
                        }
                    }
                }
                Token::Link => {
                    subject.links = (0..self.case.links.len() as u32).map(LinkId).collect();
                }
                _ => of_parts.push(*word),
            }
        }
        if !of_parts.is_empty() {
            let places = self.every(file, &of_parts, facts);
            subject.places.extend(places);
        }
    }

    /// Keeps what `on` names and leaves out what `except` names.
    fn narrow(
        &mut self,
        file: FileId,
        selector: &Selector,
        scope: &[Word],
        subject: &mut Subject<'a>,
    ) {
        if !selector.on.is_empty() {
            let on = self.board_copies(file, &selector.on);
            let case = &self.case;
            subject
                .places
                .retain(|place| on.contains(&case.copy_of(*place)));
            subject
                .pads
                .retain(|pad| on.contains(&case.copy_of(pad.place)));
            subject.boards.retain(|board| on.contains(board));
            subject
                .nets
                .retain(|(net, copy)| on.contains(&(case.nets.net(*net).board, *copy)));
            subject.is_everything = false;
        }
        if selector.except.is_empty() {
            return;
        }
        let scope = self.scope_of(file, scope).filter(|scope| !scope.is_empty());
        let mut except = Subject::default();
        for word in &selector.except {
            self.name(file, *word, scope.as_deref(), &mut except);
        }
        let case = &self.case;
        subject.places.retain(|place| {
            !except.places.contains(place) && !except.boards.contains(&case.copy_of(*place))
        });
        subject.pads.retain(|pad| {
            !except.pads.contains(pad)
                && !except.places.contains(&pad.place)
                && !except.boards.contains(&case.copy_of(pad.place))
        });
        subject
            .boards
            .retain(|board| !except.boards.contains(board));
        subject.nets.retain(|net| !except.nets.contains(net));
        subject.links.retain(|link| !except.links.contains(link));
        subject.is_everything = false;
    }
}
