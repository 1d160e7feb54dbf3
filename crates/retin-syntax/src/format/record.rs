//! One line of the outline as a row of cells.

use super::facts::{Order, Piece, arrange, spell};
use super::sheet::{AFTER, Column, HEAD, NAME, PINS, Row, Sheet, TAIL, Table, column_of};
use crate::span::Span;
use crate::tables::{ClaimSource, Kind, Property};
use crate::token::Token;
use crate::tree::{
    Claim, Fact, Lexeme, Line, LineId, LogLine, Pin, PlanLine, Record, Selector, SelectorChoice,
    Tree, Word,
};
use crate::value::{self, Value};

/// What a row has to be printed as typed for, but for the blanks between its words.
struct WouldChangeMeaning;

type Written = Result<Table, WouldChangeMeaning>;

/// Writes the row of a line that could be read.
pub(super) fn write_row(text: &str, tree: &Tree, id: LineId, sheet: &mut Sheet) -> Row {
    let line = tree.line(id);
    let mut writer = Writer {
        text,
        tree,
        line,
        sheet,
    };
    let table = writer.record().unwrap_or_else(|WouldChangeMeaning| {
        writer.sheet.abandon_row();
        writer.as_typed();
        Table::Plain
    });
    sheet.end_row(table)
}

/// The tokens of a line, a comment left out.
pub(super) fn tokens<'t>(tree: &'t Tree, line: &Line) -> &'t [Lexeme] {
    let all = &tree.lexemes[line.lexemes.0 as usize..line.lexemes.1 as usize];
    match all.split_last() {
        Some(((Token::Comment, _), rest)) => rest,
        _ => all,
    }
}

struct Writer<'t> {
    text: &'t str,
    tree: &'t Tree,
    line: &'t Line,
    sheet: &'t mut Sheet,
}

impl Writer<'_> {
    fn record(&mut self) -> Written {
        match &self.line.record {
            Record::Prose => {
                let prose = self.line.span.of(self.text).trim_end_matches([' ', '\t']);
                self.sheet.word(HEAD, prose);
                Ok(Table::Plain)
            }
            Record::Use { .. } | Record::Caution { .. } | Record::Broken => {
                self.as_typed();
                Ok(Table::Plain)
            }
            Record::Heading(heading) => {
                self.as_typed_with(heading.joints);
                Ok(Table::Plain)
            }
            Record::Setting { facts } => self.setting(facts),
            Record::Rail { name, facts } => {
                self.keyword();
                self.name(NAME, *name);
                let pieces = self.sorted(facts)?;
                self.in_columns(&pieces, |_| true);
                Ok(Table::Rails)
            }
            Record::Net { name, title } => {
                self.keyword();
                self.name(NAME, *name);
                self.name_if(NAME, *title);
                Ok(Table::Keyword)
            }
            Record::Zone { name, corners } => {
                self.keyword();
                self.name(NAME, *name);
                let [left, bottom, right, top] = corners.map(|corner| spell(self.text, corner));
                self.sheet
                    .word(PINS, &format!("{left},{bottom} to {right},{top}"));
                Ok(Table::Keyword)
            }
            Record::Changed {
                revision,
                names,
                text,
            } => {
                self.keyword();
                self.sheet.word(NAME, &spell(self.text, *revision));
                self.names(NAME, names);
                self.name(NAME, *text);
                Ok(Table::Keyword)
            }
            Record::Group { kind, facts } => {
                self.name(HEAD, *kind);
                let pieces = self.sorted(facts)?;
                self.in_one(HEAD, &pieces);
                Ok(Table::Plain)
            }
            Record::Part {
                names,
                kind,
                facts,
                pins,
            } => {
                self.names(HEAD, names);
                self.name_if(NAME, *kind);
                let pieces = self.sorted(facts)?;
                self.in_columns(&pieces, stands_before_pins);
                self.pins(PINS, pins);
                self.in_columns(&pieces, |piece| !stands_before_pins(piece));
                Ok(Table::Parts)
            }
            Record::Claim { claim, .. } => {
                self.keyword();
                self.claim(NAME, claim)?;
                Ok(Table::Keyword)
            }
            Record::GoBy { .. } => {
                let words = tokens(self.tree, self.line);
                self.lexemes(HEAD, &words[..words.len().min(2)]);
                self.lexemes(NAME, words.get(2..).unwrap_or_default());
                Ok(Table::Keyword)
            }
            Record::Section { name, facts, pins } => {
                self.keyword();
                self.name(NAME, *name);
                self.facts_and_pins(NAME, facts, pins)?;
                Ok(Table::Keyword)
            }
            Record::Exception { copies, facts } => {
                self.keyword();
                self.names(NAME, copies);
                let pieces = self.sorted(facts)?;
                self.in_one(PINS, &pieces);
                Ok(Table::Keyword)
            }
            Record::Join { from, to } => {
                self.names(HEAD, from);
                self.sheet.word(HEAD, "to");
                self.names(HEAD, to);
                Ok(Table::Plain)
            }
            Record::Survey { names, claim, .. } => {
                self.names(HEAD, names);
                let count = names.len() * 2 - 1;
                let source = tokens(self.tree, self.line).get(count);
                if let Some((token, span)) = source
                    && ClaimSource::of(*token).is_some()
                {
                    self.sheet.word(NAME, span.of(self.text));
                }
                self.claim(NAME, claim)?;
                Ok(Table::Survey)
            }
            Record::Plan(plan) => self.plan(plan),
            Record::Accept {
                rule,
                selector,
                because,
            } => {
                self.keyword();
                self.name(NAME, *rule);
                self.sheet.word(NAME, "on");
                self.selector(NAME, selector)?;
                if let Some(reason) = because {
                    self.sheet.word(TAIL, "because");
                    self.name(TAIL, *reason);
                }
                Ok(Table::Plan)
            }
            Record::For { .. } => {
                self.keyword();
                self.values(NAME, &tokens(self.tree, self.line)[1..]);
                Ok(Table::For)
            }
            Record::Step {
                name,
                selector,
                with,
                after,
                facts,
                ..
            } => {
                self.name(HEAD, *name);
                self.lexemes(
                    NAME,
                    tokens(self.tree, self.line).get(1..2).unwrap_or_default(),
                );
                if let Some(selector) = selector {
                    self.selector(NAME, selector)?;
                }
                self.names_after(NAME, "with", with);
                self.names_after(AFTER, "after", after);
                let pieces = self.in_typed_order(facts)?;
                self.in_one(TAIL, &pieces);
                Ok(Table::Steps)
            }
            Record::Target { point, to, facts } => {
                self.name(HEAD, *point);
                self.names_after(HEAD, "to", to.as_slice());
                let pieces = self.sorted(facts)?;
                self.target(&pieces);
                Ok(Table::Targets)
            }
            Record::Day { date } => {
                match date {
                    Some(date) => self.sheet.word(HEAD, &spell(self.text, *date)),
                    None => self.as_typed(),
                }
                Ok(Table::Plain)
            }
            Record::Entry(entry) => self.entry(entry),
        }
    }

    /// The line's first word.
    fn keyword(&mut self) {
        self.lexemes(HEAD, &tokens(self.tree, self.line)[..1]);
    }

    fn name(&mut self, column: Column, word: Word) {
        self.sheet.word(column, word.span.of(self.text));
    }

    fn name_if(&mut self, column: Column, word: Option<Word>) {
        if let Some(word) = word {
            self.name(column, word);
        }
    }

    fn names(&mut self, column: Column, names: &[Word]) {
        for (index, word) in names.iter().enumerate() {
            if index > 0 {
                self.sheet.glue(",");
            }
            self.name(column, *word);
        }
    }

    fn names_after(&mut self, column: Column, introduction: &str, names: &[Word]) {
        if !names.is_empty() {
            self.sheet.word(column, introduction);
            self.names(column, names);
        }
    }

    fn as_typed(&mut self) {
        self.lexemes(HEAD, tokens(self.tree, self.line));
    }

    /// The line's words as typed, but for one that is a value.
    fn as_typed_with(&mut self, value: Option<Word>) {
        let words = tokens(self.tree, self.line);
        let Some(value) = value else {
            return self.as_typed();
        };
        let at = words.partition_point(|lexeme| lexeme.1.start < value.span.start);
        let after = words.partition_point(|lexeme| lexeme.1.start < value.span.end);
        self.lexemes(HEAD, &words[..at]);
        self.sheet.word(HEAD, &spell(self.text, value));
        self.lexemes(HEAD, &words[after..]);
    }

    /// Words as typed, with one blank between them where it reads well.
    fn lexemes(&mut self, column: Column, lexemes: &[Lexeme]) {
        let mut open = false;
        for (token, span) in lexemes {
            let word = span.of(self.text);
            if open || matches!(token, Token::Comma | Token::Close) {
                self.sheet.glue(word);
            } else {
                self.sheet.word(column, word);
            }
            open = *token == Token::Open;
        }
    }

    /// Words as typed, values in their canonical spelling.
    fn values(&mut self, column: Column, lexemes: &[Lexeme]) {
        let mut at = 0;
        while let Some((token, span)) = lexemes.get(at) {
            at += 1;
            match (token, lexemes.get(at)) {
                (Token::Number, Some((Token::Unit, unit))) => {
                    at += 1;
                    let span = span.to(*unit);
                    let token = Token::Number;
                    self.sheet
                        .word(column, &spell(self.text, Word { span, token }));
                }
                _ => self.lexemes(column, &lexemes[at - 1..at]),
            }
        }
    }

    /// The kind of part that the line is about.
    fn kind(&self) -> Option<Kind> {
        let mut line = self.line;
        loop {
            match &line.record {
                Record::Group { kind, .. }
                | Record::Part {
                    kind: Some(kind), ..
                } => return Kind::of(kind.token),
                _ => line = self.tree.line(line.parent?),
            }
        }
    }

    fn sorted<'f>(
        &self,
        facts: impl IntoIterator<Item = &'f Fact>,
    ) -> Result<Vec<Piece>, WouldChangeMeaning> {
        arrange(self.text, facts, self.kind(), Order::OfProperties).ok_or(WouldChangeMeaning)
    }

    fn in_typed_order<'f>(
        &self,
        facts: impl IntoIterator<Item = &'f Fact>,
    ) -> Result<Vec<Piece>, WouldChangeMeaning> {
        arrange(self.text, facts, None, Order::AsTyped).ok_or(WouldChangeMeaning)
    }

    /// Each fact in the column of its property, prices with commas between them.
    fn in_columns(&mut self, pieces: &[Piece], wanted: impl Fn(&Piece) -> bool) {
        let mut before = None;
        for piece in pieces.iter().filter(|piece| wanted(piece)) {
            if piece.property == Property::Price && before == Some(Property::Price) {
                self.sheet.glue(",");
            }
            self.sheet.word(column_of(piece.property), &piece.text);
            before = Some(piece.property);
        }
    }

    fn in_one(&mut self, column: Column, pieces: &[Piece]) {
        for piece in pieces {
            self.sheet.word(column, &piece.text);
        }
    }

    fn pins(&mut self, column: Column, pins: &[Pin]) {
        for (index, pin) in pins.iter().enumerate() {
            if index == 0 {
                self.sheet.word(column, "(");
                self.sheet.glue(pin.lead.span.of(self.text));
            } else {
                self.sheet.glue(",");
                self.name(column, pin.lead);
            }
            self.name(column, pin.net);
        }
        if !pins.is_empty() {
            self.sheet.glue(")");
        }
    }

    fn facts_and_pins(
        &mut self,
        column: Column,
        facts: &[Fact],
        pins: &[Pin],
    ) -> Result<(), WouldChangeMeaning> {
        let pieces = self.sorted(facts)?;
        let (before, after): (Vec<_>, Vec<_>) = pieces.into_iter().partition(stands_before_pins);
        self.in_one(column, &before);
        self.pins(PINS, pins);
        self.in_one(if pins.is_empty() { column } else { TAIL }, &after);
        Ok(())
    }

    fn claim(&mut self, column: Column, claim: &Claim) -> Result<(), WouldChangeMeaning> {
        match claim {
            Claim::Facts { facts, pins } => return self.facts_and_pins(column, facts, pins),
            Claim::Sounds { lead, net } => {
                self.name(column, *lead);
                self.name(column, *net);
            }
            Claim::Reads { from, to, value } => {
                self.name(column, *from);
                self.sheet.word(column, "to");
                self.name(column, *to);
                self.sheet.word(column, &spell(self.text, *value));
            }
        }
        Ok(())
    }

    /// A property of a heading: the first word says which, the rest stays in its order.
    fn setting(&mut self, facts: &[Fact]) -> Written {
        let pieces = self.in_typed_order(facts)?;
        for (index, piece) in pieces.iter().enumerate() {
            match piece.text.split_once(' ') {
                Some((keyword, rest)) if index == 0 => {
                    self.sheet.word(HEAD, keyword);
                    self.sheet.word(NAME, rest);
                }
                None if index == 0 => self.sheet.word(HEAD, &piece.text),
                _ => self.sheet.word(NAME, &piece.text),
            }
        }
        Ok(Table::Keyword)
    }

    fn selector(&mut self, column: Column, selector: &Selector) -> Result<(), WouldChangeMeaning> {
        match &selector.choice {
            SelectorChoice::Names(names) => self.names(column, names),
            SelectorChoice::Every { kinds, facts } => {
                self.sheet.word(column, "every");
                let pieces = self.sorted(facts)?;
                self.in_one(column, &pieces);
                self.names(column, kinds);
            }
            SelectorChoice::Everything => self.sheet.word(column, "everything"),
        }
        self.names_after(column, "on", &selector.on);
        self.names_after(column, "except", &selector.except);
        Ok(())
    }

    fn plan(&mut self, plan: &PlanLine) -> Written {
        self.keyword();
        self.selector(NAME, &plan.selector)?;
        self.names_after(TAIL, "from", &plan.from);
        // `with + west`: the orientation belongs to the line and leaves no part behind.
        if plan.with.iter().any(|part| part.facts.is_empty()) {
            return Err(WouldChangeMeaning);
        }
        for (index, part) in plan.with.iter().enumerate() {
            self.sheet
                .word(TAIL, if index == 0 { "with" } else { "and" });
            let pieces = self.sorted(&part.facts)?;
            self.in_one(TAIL, &pieces);
        }
        self.pins(TAIL, &plan.pins);
        // A number behind `every electrolytic` belongs to the selector: where
        // one could come to stand there, all keep their places.
        let is_safe = |fact: &Fact| {
            matches!(
                fact.property,
                Some(Property::Orientation | Property::Mounting | Property::Because)
            ) && fact
                .words
                .first()
                .is_none_or(|word| word.token != Token::Number)
        };
        let pieces = if plan.facts.iter().all(is_safe) {
            self.sorted(&plan.facts)?
        } else {
            self.in_typed_order(&plan.facts)?
        };
        self.in_one(TAIL, &pieces);
        Ok(Table::Plan)
    }

    /// A condition is set off by a comma from the reading before it.
    fn target(&mut self, pieces: &[Piece]) {
        for (index, piece) in pieces.iter().enumerate() {
            if index > 0 && piece.property == Property::Condition {
                self.sheet.glue(",");
            }
            self.sheet.word(TAIL, &piece.text);
        }
    }

    /// The log stands as it was written: only spellings and blanks are made alike.
    fn entry(&mut self, entry: &LogLine) -> Written {
        let (table, verb_column) = match (entry.time, entry.by) {
            (Some(time), by) => {
                self.sheet.word(HEAD, &spell(self.text, time));
                match by {
                    Some(by) => {
                        self.name(NAME, by);
                        (Table::SignedEntries, NAME + 1)
                    }
                    None => (Table::Entries, NAME),
                }
            }
            (None, Some(by)) => {
                self.name(HEAD, by);
                (Table::Entries, NAME)
            }
            (None, None) => (Table::TimelessEntries, HEAD),
        };
        self.name(verb_column, entry.verb);
        let parts = entry.with.iter().chain(&entry.instead);
        let mut said: Vec<&Fact> = parts.flat_map(|part| &part.facts).collect();
        said.extend(&entry.facts);
        said.sort_by_key(|fact| fact.span.start);
        let pieces = self.in_typed_order(said)?;
        // What is told of the names stands apart from them.
        let told = entry.facts.iter().map(|fact| fact.span.start);
        let told = told.chain(entry.phrase.iter().map(|word| word.span.start));
        let told = told.min().unwrap_or(u32::MAX);
        let all = tokens(self.tree, self.line);
        let mut at = all.partition_point(|lexeme| lexeme.1.start < entry.verb.span.end);
        let mut pieces = pieces.iter().peekable();
        while let Some((token, span)) = all.get(at) {
            let column = if span.start < told { NAME + 2 } else { TAIL };
            match pieces.next_if(|piece| piece.span.start == span.start) {
                Some(piece) => {
                    self.sheet.word(column, &piece.text);
                    at += all[at..].partition_point(|lexeme| lexeme.1.start < piece.span.end);
                }
                None if *token == Token::Comma => {
                    self.sheet.glue(",");
                    at += 1;
                }
                None if *token == Token::Number => {
                    let unit = all.get(at + 1).filter(|lexeme| lexeme.0 == Token::Unit);
                    at += 1 + usize::from(unit.is_some());
                    let span = unit.map_or(*span, |unit| span.to(unit.1));
                    self.sheet.word(column, &self.spelled(span));
                }
                None => {
                    self.sheet.word(column, span.of(self.text));
                    at += 1;
                }
            }
        }
        Ok(table)
    }

    /// A value of an entry in its one spelling; a name that is a number keeps its own.
    fn spelled(&self, span: Span) -> String {
        let typed = span.of(self.text);
        match value::read(typed) {
            Ok(Value::Number(_)) | Err(_) => typed.to_owned(),
            Ok(value) => value.to_string(),
        }
    }
}

/// What says where a part sits and which way round stands behind its leads.
fn stands_before_pins(piece: &Piece) -> bool {
    piece.property.order() < Property::Zone.order()
}
