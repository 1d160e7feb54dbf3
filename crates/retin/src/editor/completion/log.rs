//! The log: days, verbs, and what is still to be done.

use super::{List, What};
use crate::meaning::PlaceId;
use retin_syntax::Token;
use retin_syntax::tables::{PlanVerb, verbs};

/// Most places that are offered one by one.
const MOST_PLACES: usize = 100;

impl List<'_, '_> {
    pub(super) fn day(&mut self) {
        if self.is_first() {
            self.add(What::Keyword, "next day", "the log goes on after midnight");
        }
    }

    pub(super) fn log_entry(&mut self) {
        let before = self.caret.before();
        let Some(verb) = before
            .iter()
            .map(|lexeme| lexeme.0)
            .find(|token| verbs::is_log_verb(*token))
        else {
            // A time and initials may stand before the verb.
            if before.len() <= 2 {
                for (row, past) in verbs::STEP_VERBS {
                    self.word(*past, row.doc);
                }
                for (token, doc) in verbs::LOG_ONLY {
                    self.word(*token, doc);
                }
            }
            return;
        };
        const SLOTS: &[Token] = &[Token::With, Token::To, Token::Except, Token::By];
        let after_verb = self.last() == Some(verb);
        match self.slot(SLOTS) {
            Some((Token::With, 0)) if matches!(verb, Token::Cleaned | Token::Powered) => {}
            Some((Token::With, 0)) => {
                let places = self.entry_places();
                self.planned_entries(&places);
                self.entries_for(&places);
            }
            Some((Token::To | Token::Except, 0)) => self.parts(&[], true),
            Some((Token::By, 0)) => {}
            _ if after_verb || self.last() == Some(Token::Comma) => self.targets_of(verb),
            _ => {
                if self.facts_of_entry() {
                    return;
                }
                for (token, doc) in [
                    (Token::With, "with which part, or by what means"),
                    (Token::To, "the other end"),
                    (Token::Except, "without these"),
                    (Token::By, "initials of who did it"),
                    (Token::Esr, "series resistance"),
                    (Token::Leakage, "leakage current"),
                    (Token::Cold, "just switched on"),
                    (Token::Warm, "after warming up"),
                ] {
                    if !self.has(token) {
                        self.word(token, doc);
                    }
                }
            }
        }
    }

    fn facts_of_entry(&mut self) -> bool {
        use retin_syntax::value::Dimension as D;
        self.units_for(&[
            D::Voltage,
            D::Resistance,
            D::Capacitance,
            D::Current,
            D::Time,
        ])
    }

    /// What a verb may be about; what the plan wants and the log lacks first.
    fn targets_of(&mut self, verb: Token) {
        if matches!(verb, Token::Ordered | Token::Arrived) {
            self.shelves();
            return;
        }
        if matches!(
            verb,
            Token::Noted | Token::Approved | Token::Returned | Token::Corrected
        ) {
            return;
        }
        let open = self.not_done(verb);
        self.parts(&open, !matches!(verb, Token::Removed | Token::Fitted));
        if matches!(verb, Token::Removed | Token::Fitted) && !self.typed().contains('.') {
            // What is done comes last, for it may have to be done again.
            let case = self.snapshot.case;
            let done: Vec<PlaceId> = self.done(verb);
            for place in done {
                self.add(What::Part, case.name_of(place), "done");
            }
        }
    }

    fn done(&self, verb: Token) -> Vec<PlaceId> {
        let log = self.snapshot.case.job.iter().flat_map(|job| &job.log);
        let mut places: Vec<PlaceId> = log
            .filter(|entry| entry.verb == verb && !self.is_this(entry.origin.span.start))
            .flat_map(|entry| entry.subject.places.iter().copied())
            .collect();
        places.sort_unstable();
        places.dedup();
        places
    }

    fn is_this(&self, offset: u32) -> bool {
        self.snapshot.case.root == self.caret.file && self.caret.physical.touches(offset)
    }

    /// Places that the plan wants something of that the log does not tell yet.
    fn not_done(&self, verb: Token) -> Vec<PlaceId> {
        let case = self.snapshot.case;
        let is_wanted = |wanted: PlanVerb| match verb {
            Token::Removed => matches!(wanted, PlanVerb::Replace | PlanVerb::Remove),
            Token::Fitted => matches!(wanted, PlanVerb::Replace | PlanVerb::Add | PlanVerb::Socket),
            _ => false,
        };
        let done = self.done(verb);
        case.decisions
            .iter()
            .filter(|decision| is_wanted(case.plan_line(decision.line).verb))
            .map(|decision| decision.place)
            .filter(|place| done.binary_search(place).is_err())
            .take(MOST_PLACES)
            .collect()
    }

    /// The places that the entry names before `with`.
    fn entry_places(&self) -> Vec<PlaceId> {
        let text = self.caret.text;
        self.caret
            .before()
            .iter()
            .skip_while(|lexeme| !verbs::is_log_verb(lexeme.0))
            .skip(1)
            .take_while(|lexeme| lexeme.0 != Token::With)
            .flat_map(|lexeme| self.snapshot.case.places_named(lexeme.1.of(text)))
            .collect()
    }

    /// The entries that the plan puts into these places.
    fn planned_entries(&mut self, places: &[PlaceId]) {
        use crate::replacement::{Chosen, replacement_at};
        let case = self.snapshot.case;
        for place in places.iter().take(4) {
            if let Some(Chosen::New(new)) = replacement_at(case, *place)
                && let Some(name) = new.new.name
            {
                self.add_name(What::Shelf, name, "as planned");
            }
        }
    }
}
