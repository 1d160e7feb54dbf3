//! Names of parts, boards and nets, with or without what stands before the dot.

use super::{Completion, Insert, List, What, last_segment};
use crate::meaning::{BoardId, PlaceId, names};

impl List<'_, '_> {
    /// Nets of the board whose section the caret stands in.
    pub(super) fn nets_of_board(&mut self) {
        let snapshot = self.snapshot;
        let Some(board) = self.board() else { return };
        let typed = self.typed().to_owned();
        for (_, net) in snapshot.case.nets.iter() {
            // A net that only the word being typed names is no net yet.
            let is_typed = net.name == typed && net.leads <= 1 && !net.is_declared;
            if net.board == board && !is_typed {
                let detail = match &net.rail {
                    Some(rail) => {
                        let texts: Vec<&str> = rail
                            .facts
                            .iter()
                            .map(|fact| snapshot.of(fact.origin))
                            .collect();
                        texts.join(" ")
                    }
                    None => format!("{} leads", net.leads),
                };
                self.add_name(What::Net, net.name, detail);
            }
        }
    }

    /// `psu.V24`: boards, and behind a dot their nets.
    pub(super) fn qualified_nets(&mut self) {
        let (before, _) = last_segment(self.caret.text, self.caret.typed());
        if before.is_empty() {
            self.boards();
            return;
        }
        for board in self.boards_before(&before) {
            self.nets_behind_dot(board);
        }
    }

    fn nets_behind_dot(&mut self, board: BoardId) {
        let snapshot = self.snapshot;
        for (_, net) in snapshot.case.nets.iter() {
            if net.board == board {
                self.behind_dot(What::Net, net.name, "net");
            }
        }
    }

    /// Boards and their copies.
    pub(super) fn boards(&mut self) {
        let snapshot = self.snapshot;
        for board in &snapshot.case.boards {
            self.add_name(What::Board, board.name, board.title);
        }
        for board in &snapshot.case.boards {
            if board.copies.len() < 2 {
                continue;
            }
            for copy in &board.copies {
                self.add_name(What::Board, copy, format!("copy of {}", board.name));
            }
            let range = names::compress(board.copies.iter().map(String::as_str));
            self.add(What::Board, range, format!("every copy of {}", board.name));
        }
    }

    fn boards_before(&self, segment: &str) -> Vec<BoardId> {
        let first = names::segments(segment).first().copied().unwrap_or("");
        let mut boards: Vec<BoardId> = names::expand(first)
            .unwrap_or_default()
            .iter()
            .filter_map(|name| Some(self.snapshot.case.board_named(name)?.0))
            .collect();
        boards.dedup();
        boards
    }

    /// Parts of a board behind its dot, leads of a part behind its own; without a
    /// dot boards, and the names that only one board has. `first` come first.
    pub(super) fn parts(&mut self, first: &[PlaceId], has_nets: bool) {
        let snapshot = self.snapshot;
        let case = snapshot.case;
        let (before, _) = last_segment(self.caret.text, self.caret.typed());
        if before.is_empty() {
            for place in first {
                let value = self.value_of(*place);
                self.add(What::Part, case.name_of(*place), value);
            }
            self.boards();
            return;
        }
        let boards = self.boards_before(&before);
        let segments = names::segments(&before).len();
        if boards.is_empty() || segments > 1 {
            if let Some(part) = case.places_named(&before).first() {
                for pin in &case.part(part.part).pins {
                    let net = case.nets.net(pin.net).name;
                    self.behind_dot(What::Net, pin.lead, &format!("lead on {net}"));
                }
            }
            return;
        }
        for place in first {
            if boards.contains(&case.part(place.part).board) {
                let value = self.value_of(*place);
                self.behind_dot(What::Part, &case.part(place.part).name, &value);
            }
        }
        for board in boards {
            for part in &case.board(board).parts {
                let place = PlaceId {
                    part: *part,
                    copy: 0,
                };
                let value = self.value_of(place);
                self.behind_dot(What::Part, &case.part(*part).name, &value);
            }
            if has_nets {
                self.nets_behind_dot(board);
            }
        }
    }

    /// A part's kind and value in a few words.
    fn value_of(&self, place: PlaceId) -> String {
        let part = self.snapshot.case.part(place.part);
        let kind = part.kind.map_or("", |kind| kind.word());
        let value = part
            .facts
            .own
            .first()
            .map_or("", |fact| self.snapshot.of(fact.origin));
        format!("{kind} {value}").trim().to_owned()
    }

    fn behind_dot(&mut self, what: What, name: &str, detail: &str) {
        let (_, span) = last_segment(self.caret.text, self.caret.typed());
        let replaces = self.caret.origin(span);
        self.put(Completion {
            label: name.to_owned(),
            what,
            detail: detail.to_owned(),
            doc: String::new(),
            replaces,
            insert: Insert::Text(name.to_owned()),
            rank: 0,
        });
    }
}
