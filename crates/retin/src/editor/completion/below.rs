//! The lines that may stand directly below a heading or a part.

use super::{List, What, entry_place};
use retin_syntax::Token;
use retin_syntax::tables::properties::{PROPERTIES, Place};
use retin_syntax::tables::{ClaimSource, Kind, Property, PropertyRow, kinds};
use retin_syntax::tree::{HeadingKind, LineId, Record};

impl List<'_, '_> {
    pub(super) fn below_heading(&mut self, heading: LineId, section: HeadingKind) {
        match section {
            HeadingKind::Model => self.setting_line(heading, Place::Model),
            HeadingKind::Job => self.setting_line(heading, Place::Job),
            HeadingKind::Board | HeadingKind::Wiring => self.board_line(heading),
            HeadingKind::Shelf | HeadingKind::Devices => {
                if self.is_first() {
                    self.kinds();
                } else {
                    self.part_line(section, None);
                }
            }
            HeadingKind::Packages => self.part_line(section, None),
            HeadingKind::Minutes => self.pace(),
            HeadingKind::Link => self.join(),
            HeadingKind::Found => self.survey(),
            HeadingKind::Plan => self.plan_line(),
            HeadingKind::Steps => self.step(),
            HeadingKind::Targets => self.target(),
            HeadingKind::Log => self.day(),
        }
    }

    /// Settings of a heading, those it lacks only.
    fn setting_line(&mut self, heading: LineId, place: Place) {
        if !self.is_first() {
            self.value_of_setting(place);
            return;
        }
        if place == Place::Model {
            self.word(Token::Changed, "what a revision of the sheet changed");
        }
        self.settings(heading, place);
    }

    fn settings(&mut self, heading: LineId, place: Place) {
        let tree = self.caret.tree;
        let there: Vec<Property> = tree
            .children(heading)
            .filter(|(id, _)| Some(*id) != self.caret.line)
            .filter_map(|(_, line)| match &line.record {
                Record::Setting { facts } => facts.first()?.property,
                _ => None,
            })
            .collect();
        for row in PROPERTIES {
            let may_repeat = row.property == Property::Agreed;
            if row.belongs_in(place)
                && is_a_setting(row, place)
                && (may_repeat || !there.contains(&row.property))
                && let Some(word) = row.token.and_then(Token::reserved_text)
            {
                self.add(What::Property, word, row.doc);
            }
        }
    }

    fn board_line(&mut self, heading: LineId) {
        if self.is_first() {
            self.word(Token::Rail, "a net whose voltage is known");
            self.word(Token::Net, "a net, with a title");
            self.word(Token::Zone, "a named rectangle of the board");
            self.settings(heading, Place::Board);
            self.kinds();
            return;
        }
        match self.caret.before().first().map(|lexeme| lexeme.0) {
            Some(Token::Rail) => {
                if self.caret.before().len() > 1 {
                    self.units_for(&[retin_syntax::value::Dimension::Voltage]);
                    self.add(What::Property, "ripple", "ripple voltage");
                }
            }
            Some(Token::Net | Token::Zone) => {}
            Some(token) if kinds::is_kind(token) => {
                self.facts(Place::Part, Kind::of(token));
            }
            Some(token)
                if retin_syntax::tables::properties::takes(token, Place::Board).is_some() =>
            {
                self.value_of_setting(Place::Board);
            }
            _ => self.part_line(HeadingKind::Board, None),
        }
    }

    pub(super) fn kinds(&mut self) {
        for kind in Kind::all() {
            self.add(What::Kind, kind.word(), kind.row().doc);
        }
    }

    /// A line below a part: a claim, a choice of source, a section, an exception.
    pub(super) fn below_part(&mut self, section: HeadingKind, part: LineId, kind: Option<Kind>) {
        let place = entry_place(section);
        if place != Place::Part {
            if self.is_first() {
                for row in PROPERTIES {
                    if row.belongs_in(place)
                        && let Some(word) = row.token.and_then(Token::reserved_text)
                    {
                        self.add(What::Property, word, row.doc);
                    }
                }
            } else {
                self.facts(place, kind);
            }
            return;
        }
        let first = self.caret.before().first().map(|lexeme| lexeme.0);
        match first {
            None => {
                for (_, token, doc) in ClaimSource::all() {
                    self.word(token, doc);
                }
                self.add(What::Keyword, "go by", "whose claim the job goes by");
                self.word(Token::Section, "one of several parts in one body");
                if let Some(board) = self.board()
                    && self.snapshot.case.board(board).copies.len() > 1
                {
                    self.word(Token::On, "copies of the board that differ");
                }
            }
            Some(Token::Go) => {
                if self.last() == Some(Token::By) {
                    let sources = self.sources_of(part);
                    for (source, token, doc) in ClaimSource::all() {
                        if sources.contains(&source) {
                            self.word(token, doc);
                        }
                    }
                } else {
                    self.word(Token::By, "whose claim the job goes by");
                }
            }
            Some(Token::Beep) => match self.caret.before().len() {
                1 => {
                    self.leads(kind);
                    self.directions();
                }
                2 => self.nets_of_board(),
                _ => {}
            },
            Some(Token::On) if self.caret.before().len() == 1 => {
                if let Some(board) = self.board() {
                    for copy in &self.snapshot.case.board(board).copies {
                        self.add_name(What::Board, copy, "");
                    }
                }
            }
            Some(_) => self.facts(Place::Part, kind),
        }
    }

    /// The sources that say something of a part.
    fn sources_of(&self, part: LineId) -> Vec<ClaimSource> {
        let tree = self.caret.tree;
        let claimed = tree
            .children(part)
            .filter_map(|(_, line)| match &line.record {
                Record::Claim { source, .. } => Some(*source),
                _ => None,
            });
        [ClaimSource::Schematic]
            .into_iter()
            .chain(claimed)
            .collect()
    }

    /// A line of a link.
    fn join(&mut self) {
        if self.is_first() || matches!(self.last(), Some(Token::To | Token::Comma)) {
            self.qualified_nets();
        } else if !self.has(Token::To) {
            self.word(Token::To, "the other end");
        }
    }
}

/// Whether a property may open a line below its heading.
fn is_a_setting(row: &PropertyRow, place: Place) -> bool {
    !matches!(
        (row.property, place),
        (Property::On, Place::Job) | (Property::Ripple, Place::Board)
    )
}
