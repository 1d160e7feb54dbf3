//! Lines of a plan: verbs, selectors, what goes in, rules.

use super::super::choose;
use super::super::fit::fits;
use super::{Completion, Insert, List, What};
use crate::meaning::PlaceId;
use crate::rules::RULES;
use retin_syntax::tables::{Kind, Property, kinds, verbs};
use retin_syntax::{Span, Token};

const SLOTS: &[Token] = &[
    Token::Every,
    Token::On,
    Token::Except,
    Token::From,
    Token::With,
    Token::And,
    Token::Because,
    Token::Accept,
];

impl List<'_, '_> {
    pub(super) fn plan_line(&mut self) {
        let Some(first) = self.caret.before().first().map(|lexeme| lexeme.0) else {
            for row in verbs::PLAN_VERBS {
                self.word(row.token, row.doc);
            }
            self.word(Token::Accept, "overrule a rule, for a reason");
            return;
        };
        if self.in_brackets(None) {
            self.nets_of_planned_board();
            return;
        }
        match self.slot(SLOTS) {
            Some((Token::Accept, 0)) => self.rules(),
            Some((Token::Accept, 1)) => self.word(Token::On, "the parts it is about"),
            Some((Token::On, 0)) if first == Token::Accept => self.selector_start(),
            slot => self.selector_and_rest(slot, first),
        }
    }

    fn selector_and_rest(&mut self, slot: Option<(Token, usize)>, first: Token) {
        match slot {
            None if self.caret.before().len() == 1 || self.last() == Some(Token::Comma) => {
                self.selector_start();
            }
            Some((Token::Every, _)) if self.kinds_are_open() => self.kinds_and_families(),
            Some((Token::On, 0)) => self.boards(),
            Some((Token::On | Token::Except, _)) if self.last() == Some(Token::Comma) => {
                self.parts(&[], false);
            }
            Some((Token::Except, 0)) => self.parts(&[], false),
            Some((Token::From, 0)) => self.shelves(),
            Some((Token::With | Token::And, 0)) => self.new_parts(),
            Some((Token::With | Token::And, _)) => {
                self.word(Token::And, "a second part together with the first");
                if self.has(Token::And) {
                    self.add(What::Keyword, "in series", "one behind the other");
                    self.add(What::Keyword, "in parallel", "side by side");
                }
                self.word(Token::Because, "the reason");
            }
            Some((Token::Because, _)) => {}
            _ => self.after_selector(first),
        }
    }

    /// What may stand behind a selector.
    pub(super) fn after_selector(&mut self, first: Token) {
        if !self.has(Token::On) || (first == Token::Accept && self.has(Token::Every)) {
            self.word(Token::On, "only the parts on these boards");
        }
        if !self.has(Token::Except) {
            self.word(Token::Except, "without these");
        }
        if matches!(first, Token::Replace | Token::Add) && !self.has(Token::From) {
            self.word(Token::From, "a shelf to choose from");
        }
        if matches!(first, Token::Replace | Token::Add | Token::Socket) {
            self.word(Token::With, "the part that goes in");
        }
        self.word(Token::Because, "the reason");
    }

    /// Whether a kind may come next: behind `every`, its values and commas.
    pub(super) fn kinds_are_open(&self) -> bool {
        matches!(
            self.last(),
            Some(Token::Every | Token::Comma | Token::Number | Token::Unit)
        )
    }

    pub(super) fn kinds_and_families(&mut self) {
        let case = self.snapshot.case;
        let count = |covers: &dyn Fn(Kind) -> bool| {
            case.parts
                .iter()
                .filter(|part| part.kind.is_some_and(covers))
                .map(|part| case.board(part.board).copies.len())
                .sum::<usize>()
        };
        let mut rows: Vec<(usize, &str, &str)> = Kind::all()
            .map(|kind| (count(&|other| other == kind), kind.word(), kind.row().doc))
            .collect();
        for family in kinds::FAMILIES {
            let word = family.token.reserved_text().unwrap_or("");
            rows.push((
                count(&|kind| kind.is_covered_by(family.token)),
                word,
                family.doc,
            ));
        }
        rows.sort_by_key(|row| std::cmp::Reverse(row.0 > 0));
        for (count, word, doc) in rows {
            let detail = if count > 0 {
                format!("{count} here: {doc}")
            } else {
                doc.to_owned()
            };
            self.add(What::Kind, word, detail);
        }
    }

    pub(super) fn selector_start(&mut self) {
        if self.typed().contains('.') {
            self.parts(&[], false);
            return;
        }
        self.word(Token::Every, "every part of a kind");
        self.word(Token::Everything, "every part of the unit");
        let open: Vec<PlaceId> = self.undecided();
        self.parts(&open, false);
    }

    /// Places of kinds that age of which the plan says nothing yet.
    fn undecided(&self) -> Vec<PlaceId> {
        let case = self.snapshot.case;
        case.places()
            .filter(|place| {
                case.part(place.part)
                    .kind
                    .is_some_and(|kind| kind.row().ages)
                    && case.decision(*place).is_none()
                    && !case.is_unfitted(*place)
            })
            .take(MOST_FIRST)
            .collect()
    }

    pub(super) fn shelves(&mut self) {
        let snapshot = self.snapshot;
        for shelf in &snapshot.case.shelves {
            let count = shelf.entries.len();
            self.add_name(What::Shelf, shelf.name, format!("{count} entries"));
        }
    }

    /// Entries of the shelves: those that fit the places of the line first, best
    /// first, with why; then the others.
    fn new_parts(&mut self) {
        let places = self.chosen_places();
        self.entries_for(&places);
    }

    /// The places that the words between the verb and `with` choose.
    fn chosen_places(&self) -> Vec<PlaceId> {
        let before = self.caret.before();
        let end = before
            .iter()
            .position(|lexeme| matches!(lexeme.0, Token::From | Token::With))
            .unwrap_or(before.len());
        let (Some(first), Some(last)) = (before.get(1), before.get(end.saturating_sub(1))) else {
            return Vec::new();
        };
        if end < 2 {
            return Vec::new();
        }
        let selector = Span::new(first.1.start, last.1.end).of(self.caret.text);
        choose::written(self.snapshot.case, selector)
    }

    pub(super) fn entries_for(&mut self, places: &[PlaceId]) {
        let snapshot = self.snapshot;
        let case = snapshot.case;
        for fit in fits(case, places) {
            let entry = case.entry(fit.entry);
            let replaces = self.caret.origin(self.caret.typed());
            self.put(Completion {
                label: entry.name.clone(),
                what: What::Shelf,
                detail: format!("fits: {}", fit.why.join("; ")),
                doc: snapshot.of(entry.line).to_owned(),
                replaces,
                insert: Insert::Text(entry.name.clone()),
                rank: 0,
            });
        }
        for entry in &case.entries {
            let kind = entry.kind.map(|kind| kind.word().to_owned());
            let rated = [Property::Value, Property::Volts]
                .into_iter()
                .filter_map(|property| entry.facts.quantity(property))
                .map(|quantity| quantity.to_string());
            let words: Vec<String> = kind.into_iter().chain(rated).collect();
            self.add_name(What::Shelf, &entry.name, words.join(" "));
        }
    }

    /// Rules: those that found something first.
    fn rules(&mut self) {
        let findings = &self.snapshot.report.findings;
        let count = |name: &str| {
            findings
                .iter()
                .filter(|finding| finding.rule == name && !finding.places.is_empty())
                .count()
        };
        let mut rows: Vec<(usize, &str, &str)> = RULES
            .iter()
            .map(|rule| (count(rule.name), rule.name, rule.summary))
            .collect();
        rows.sort_by_key(|row| std::cmp::Reverse(row.0));
        for (count, name, summary) in rows {
            let detail = if count > 0 {
                format!("{count} found: {summary}")
            } else {
                summary.to_owned()
            };
            self.add(What::Rule, name, detail);
        }
    }

    /// The nets of the board that an `add` line names.
    fn nets_of_planned_board(&mut self) {
        let snapshot = self.snapshot;
        let text = self.caret.text;
        let board = self.caret.before().iter().find_map(|lexeme| {
            let name = lexeme.1.of(text).split('.').next()?;
            Some(snapshot.case.board_named(name)?.0)
        });
        let Some(board) = board else { return };
        for (_, net) in snapshot.case.nets.iter() {
            if net.board == board {
                self.add_name(What::Net, net.name, "net");
            }
        }
    }
}

/// Most places that are named one by one before the boards.
const MOST_FIRST: usize = 50;
