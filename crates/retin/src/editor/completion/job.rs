//! Lines of `found`, `steps` and `targets`.

use super::{List, What};
use retin_syntax::Token;
use retin_syntax::tables::properties::Place;
use retin_syntax::tables::{ClaimSource, Kind, verbs};
use retin_syntax::value::Dimension;

impl List<'_, '_> {
    /// A line of `found`: parts, and a claim.
    pub(super) fn survey(&mut self) {
        if self.is_first() || self.last() == Some(Token::Comma) {
            self.parts(&[], false);
            return;
        }
        match self.last() {
            Some(Token::Go) => {
                self.word(Token::By, "whose claim the job goes by");
                return;
            }
            Some(Token::By) => {
                for (_, token, doc) in ClaimSource::all() {
                    self.word(token, doc);
                }
                return;
            }
            _ => {}
        }
        let kind = self.kind_of_first();
        if self.last() == Some(Token::Beep) {
            self.leads(kind);
            self.directions();
            return;
        }
        let has_source = self
            .caret
            .before()
            .iter()
            .any(|lexeme| ClaimSource::of(lexeme.0).is_some());
        if !has_source && self.caret.before().len() == 1 && self.typed().is_empty() {
            for (_, token, doc) in ClaimSource::all() {
                self.word(token, doc);
            }
            self.add(What::Keyword, "go by", "whose claim the job goes by");
        }
        self.facts(Place::Part, kind);
    }

    /// The kind of the part that the line's first word names.
    fn kind_of_first(&self) -> Option<Kind> {
        let first = self.caret.before().first()?;
        let places = self.snapshot.case.places_named(first.1.of(self.caret.text));
        self.snapshot.case.part(places.first()?.part).kind
    }

    /// A step: its name, its verb, what it is about, means, and what comes before.
    pub(super) fn step(&mut self) {
        const SLOTS: &[Token] = &[
            Token::Every,
            Token::On,
            Token::Except,
            Token::With,
            Token::After,
            Token::Because,
        ];
        match self.caret.before().len() {
            0 => {}
            1 => {
                for (row, _) in verbs::STEP_VERBS {
                    self.word(row.token, row.doc);
                }
            }
            _ => match self.slot(SLOTS) {
                Some((Token::After, behind))
                    if behind == 0 || self.last() == Some(Token::Comma) =>
                {
                    self.steps();
                }
                Some((Token::Every, _)) if self.kinds_are_open() => {
                    self.kinds_and_families();
                    self.add(What::Kind, "board", "every board");
                    self.add(What::Kind, "rail", "every rail");
                    self.add(What::Kind, "link", "every link");
                }
                Some((Token::On, 0)) => self.boards(),
                Some((Token::Except, 0)) => self.parts(&[], true),
                Some((Token::With | Token::Because, 0)) => {}
                None if self.caret.before().len() == 2 || self.last() == Some(Token::Comma) => {
                    if !self.typed().contains('.') {
                        self.word(Token::Every, "every part of a kind");
                        self.word(Token::Everything, "every part of the unit");
                    }
                    self.parts(&[], true);
                    self.word(Token::After, "the steps that come first");
                }
                _ => {
                    if !self.units_for(&[Dimension::Time]) {
                        for (token, doc) in [
                            (Token::On, "only the parts on these boards"),
                            (Token::Except, "without these"),
                            (Token::With, "tools and means"),
                            (Token::After, "the steps that come first"),
                            (Token::Because, "the reason"),
                        ] {
                            if !self.has(token) {
                                self.word(token, doc);
                            }
                        }
                    }
                }
            },
        }
    }

    /// The other steps.
    fn steps(&mut self) {
        let snapshot = self.snapshot;
        let text = self.caret.text;
        let before = self.caret.before();
        let named: Vec<&str> = before.iter().map(|lexeme| lexeme.1.of(text)).collect();
        for step in snapshot.case.job.iter().flat_map(|job| &job.steps) {
            if !named.contains(&step.name) {
                self.add_name(What::Step, step.name, "step");
            }
        }
    }

    /// How long the shop takes for one thing.
    pub(super) fn pace(&mut self) {
        if self.is_first() {
            for (row, _) in verbs::STEP_VERBS {
                self.word(row.token, row.doc);
            }
        } else if self.caret.before().len() == 1 || self.last() == Some(Token::Comma) {
            self.kinds_and_families();
        } else if self.last() == Some(Token::Per) {
            self.word(Token::Lead, "the time is for each lead");
            self.word(Token::Joint, "the time is for each joint");
        } else if !self.units_for(&[Dimension::Time]) {
            self.word(Token::Per, "for each lead or joint, not for the whole part");
        }
    }

    /// A reading to expect.
    pub(super) fn target(&mut self) {
        if self.is_first() || self.last() == Some(Token::To) {
            self.parts(&[], true);
            return;
        }
        if self.units_for(&[
            Dimension::Voltage,
            Dimension::Resistance,
            Dimension::Current,
            Dimension::Frequency,
            Dimension::Ratio,
        ]) {
            return;
        }
        if self.last() == Some(Token::Expect) {
            self.word(Token::Solved, "the reading follows from the circuit");
            return;
        }
        for (token, doc) in [
            (Token::To, "what it is measured against, if not ground"),
            (Token::Above, "the reading has to be above"),
            (Token::Below, "the reading has to be below"),
            (
                Token::Expect,
                "`expect solved`: the reading follows from the circuit",
            ),
            (Token::Ripple, "ripple voltage"),
            (Token::Unpowered, "with the unit off and discharged"),
            (Token::Cold, "just switched on"),
            (Token::Warm, "after warming up"),
        ] {
            if !self.has(token) {
                self.word(token, doc);
            }
        }
    }
}
