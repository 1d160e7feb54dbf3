//! Facts with their values read: the step from words to quantities.

use super::build::{Reader, near};
use super::problem::ProblemKind;
use crate::sources::{FileId, Origin};
use retin_syntax::Span;
use retin_syntax::tables::properties::{FUSE_SPEEDS, MAINS_CLASSES};
use retin_syntax::tables::{Direction, Kind, Property};
use retin_syntax::token::Token;
use retin_syntax::tree;
use retin_syntax::value::{
    self, Body, Decimal, Dimension, Money, Quantity, Tolerance, Value, ValueErrorKind,
};
use std::sync::Arc;

/// The value of a fact.
#[derive(Clone, PartialEq, Debug)]
pub enum FactValue<'a> {
    /// A value with its unit.
    Value(Value),
    /// A limit: at least, or at most, a value.
    Limit {
        /// Whether the reading has to be above.
        above: bool,
        /// The limit.
        value: Value,
    },
    /// A name or a code.
    Word(&'a str),
    /// A reserved word: `radial`, `coupling`.
    Choice(Token),
    /// A position in mm.
    Point(Decimal, Decimal),
    /// A lead lies in a direction.
    Orientation {
        /// The lead.
        lead: &'a str,
        /// The direction.
        direction: Direction,
    },
    /// From this many on, at this price.
    Price {
        /// How many.
        quantity: Decimal,
        /// The price of one.
        money: Money,
    },
    /// Names after `with`.
    Names(Vec<&'a str>),
    /// The word alone says it.
    Flag,
}

impl<'a> FactValue<'a> {
    /// The quantity, where it is one.
    pub fn quantity(&self) -> Option<Quantity> {
        match self {
            FactValue::Value(Value::Quantity(quantity)) => Some(*quantity),
            _ => None,
        }
    }

    /// The number, where it has no unit.
    pub fn number(&self) -> Option<Decimal> {
        match self {
            FactValue::Value(Value::Number(number)) => Some(*number),
            _ => None,
        }
    }

    /// The length in mm, where it is one or a bare number of mm.
    pub fn millimetres(&self) -> Option<Decimal> {
        match self {
            FactValue::Value(Value::Number(number) | Value::Pitch(number)) => Some(*number),
            FactValue::Value(Value::Quantity(quantity))
                if quantity.dimension == Dimension::Length =>
            {
                Some(quantity.number)
            }
            _ => None,
        }
    }

    /// The tolerance, where it is one.
    pub fn tolerance(&self) -> Option<Tolerance> {
        match self {
            FactValue::Value(Value::Tolerance(tolerance)) => Some(*tolerance),
            _ => None,
        }
    }

    /// The body, where it is one.
    pub fn body(&self) -> Option<Body> {
        match self {
            FactValue::Value(Value::Body(body)) => Some(*body),
            _ => None,
        }
    }

    /// The name or code, where it is one.
    pub fn word(&self) -> Option<&'a str> {
        match self {
            FactValue::Word(word) => Some(word),
            _ => None,
        }
    }

    /// The reserved word, where it is one.
    pub fn choice(&self) -> Option<Token> {
        match self {
            FactValue::Choice(token) => Some(*token),
            _ => None,
        }
    }

    /// What stands for itself in a list of properties: a value, a name or a
    /// reserved word.
    pub fn in_words(&self) -> Option<String> {
        match self {
            FactValue::Value(value) => Some(value.to_string()),
            FactValue::Word(word) => Some((*word).to_owned()),
            FactValue::Choice(token) => token.reserved_text().map(str::to_owned),
            _ => None,
        }
    }
}

/// A fact with its value read.
#[derive(Clone, PartialEq, Debug)]
pub struct Stated<'a> {
    /// What it is about.
    pub property: Property,
    /// What it says.
    pub value: FactValue<'a>,
    /// Where it is written.
    pub origin: Origin,
}

/// The facts of one line together with those its group passes down.
#[derive(Clone, Default, PartialEq, Debug)]
pub struct Facts<'a> {
    /// The line's own.
    pub own: Vec<Stated<'a>>,
    /// The group's; the line's own go before them.
    pub inherited: Option<Arc<Vec<Stated<'a>>>>,
}

impl<'a> Facts<'a> {
    /// Facts of one line only.
    pub fn of(own: Vec<Stated<'a>>) -> Self {
        Facts {
            own,
            inherited: None,
        }
    }

    /// The facts, the line's own first.
    pub fn iter(&self) -> impl Iterator<Item = &Stated<'a>> {
        self.own
            .iter()
            .chain(self.inherited.iter().flat_map(|facts| facts.iter()))
    }

    /// What is said of a property; the line's own goes before the group's.
    pub fn get(&self, property: Property) -> Option<&Stated<'a>> {
        let of = |facts: &'_ [Stated<'a>]| facts.iter().position(|fact| fact.property == property);
        match of(&self.own) {
            Some(index) => self.own.get(index),
            None => {
                let inherited = self.inherited.as_deref()?;
                inherited.get(of(inherited)?)
            }
        }
    }

    /// Every statement of a property.
    pub fn all(&self, property: Property) -> impl Iterator<Item = &Stated<'a>> {
        self.iter().filter(move |fact| fact.property == property)
    }

    /// Whether a property is stated at all.
    pub fn has(&self, property: Property) -> bool {
        self.get(property).is_some()
    }

    /// Whether the property is given by this word.
    pub fn is(&self, property: Property, word: Token) -> bool {
        self.all(property)
            .any(|fact| fact.value == FactValue::Choice(word))
    }

    /// Where a property is written.
    pub fn origin(&self, property: Property) -> Option<Origin> {
        self.get(property).map(|fact| fact.origin)
    }

    /// The quantity of a property.
    pub fn quantity(&self, property: Property) -> Option<Quantity> {
        self.get(property)?.value.quantity()
    }

    /// The two ends of a property that is a range; a single quantity is both ends.
    pub fn range(&self, property: Property) -> Option<(Quantity, Quantity)> {
        match self.get(property)?.value {
            FactValue::Value(Value::Quantity(quantity)) => Some((quantity, quantity)),
            FactValue::Value(Value::Range { low, high }) => Some((low, high)),
            _ => None,
        }
    }

    /// The number of a property that has no unit.
    pub fn number(&self, property: Property) -> Option<Decimal> {
        self.get(property)?.value.number()
    }

    /// A length in mm, of a property that is a length or a bare number of mm.
    pub fn millimetres(&self, property: Property) -> Option<Decimal> {
        self.get(property)?.value.millimetres()
    }

    /// The tolerance.
    pub fn tolerance(&self) -> Option<Tolerance> {
        self.get(Property::Tolerance)?.value.tolerance()
    }

    /// The body.
    pub fn body(&self) -> Option<Body> {
        self.get(Property::Body)?.value.body()
    }

    /// A name or code.
    pub fn word(&self, property: Property) -> Option<&'a str> {
        self.get(property)?.value.word()
    }

    /// The reserved word that a property is given by.
    pub fn choice(&self, property: Property) -> Option<Token> {
        self.get(property)?.value.choice()
    }

    /// The way a lead lies, with where that is written.
    pub fn orientations(&self) -> impl Iterator<Item = (&'a str, Direction, Origin)> {
        self.iter().filter_map(|fact| match fact.value {
            FactValue::Orientation { lead, direction } => Some((lead, direction, fact.origin)),
            _ => None,
        })
    }

    /// A position on the board in mm.
    pub fn point(&self, property: Property) -> Option<(Decimal, Decimal)> {
        match self.get(property)?.value {
            FactValue::Point(x, y) => Some((x, y)),
            _ => None,
        }
    }
}

/// What a property's value has to be.
fn expected(property: Property) -> Expect {
    use Dimension as D;
    use Property as P;
    match property {
        P::Life => Expect::Dimension(D::Time),
        P::Esr | P::Resistance => Expect::Dimension(D::Resistance),
        P::Leakage | P::Current => Expect::Dimension(D::Current),
        P::Slew => Expect::Dimension(D::SlewRate),
        P::Bandwidth | P::Frequency => Expect::Dimension(D::Frequency),
        P::Recovery => Expect::Dimension(D::Time),
        P::Reverse | P::Supply | P::Volts => Expect::Dimension(D::Voltage),
        P::Inside | P::Temperature => Expect::Dimension(D::Temperature),
        P::Travel | P::Shaft | P::Room | P::Headroom | P::Row | P::Wire => Expect::Length,
        P::Have | P::Coming | P::Spare | P::Pack | P::Sampled | P::Gangs | P::Revision => {
            Expect::Count
        }
        P::Arrived | P::On => Expect::Date,
        P::Agreed | P::Rate => Expect::Money,
        P::Margin => Expect::Ratio,
        _ => Expect::Anything,
    }
}

enum Expect {
    Anything,
    Dimension(Dimension),
    Length,
    Count,
    Date,
    Money,
    Ratio,
}

impl Expect {
    fn accepts(&self, value: &Value) -> bool {
        match (self, value) {
            (_, Value::Unreadable) | (Expect::Anything, _) => true,
            (Expect::Dimension(wanted), Value::Quantity(quantity)) => quantity.dimension == *wanted,
            (Expect::Dimension(wanted), Value::Range { low, .. }) => low.dimension == *wanted,
            (Expect::Length, Value::Quantity(quantity)) => quantity.dimension == Dimension::Length,
            (Expect::Count, Value::Number(number)) => {
                number.is_integer() && !number.is_sign_negative()
            }
            (Expect::Date, Value::Date(_)) | (Expect::Money, Value::Money(_)) => true,
            (Expect::Ratio, value) => value.as_ratio().is_some(),
            _ => false,
        }
    }

    fn phrase(&self) -> String {
        match self {
            Expect::Anything => "a value".into(),
            Expect::Dimension(dimension) => dimension.with_article().into(),
            Expect::Length => "a length such as 12mm".into(),
            Expect::Count => "a whole number".into(),
            Expect::Date => "a date such as 2026-10-02".into(),
            Expect::Money => "an amount of money such as 450 EUR".into(),
            Expect::Ratio => "a percentage such as 80%".into(),
        }
    }
}

impl<'t, 'a> Reader<'t, 'a> {
    /// Reads the facts of one line; what makes no sense becomes a problem and is left out.
    pub(crate) fn facts(
        &mut self,
        file: FileId,
        facts: &tree::Facts,
        kind: Option<Kind>,
    ) -> Vec<Stated<'a>> {
        let mut stated = Vec::with_capacity(facts.len());
        let mut facts = facts.iter().peekable();
        while let Some(fact) = facts.next() {
            if let Some(end) = facts.next_if(|next| self.is_decimal_comma(file, fact, next)) {
                self.decimal_comma(file, fact, end);
                continue;
            }
            if fact.property.is_none() && fact.span.of(self.text(file)).starts_with('[') {
                let mut last = fact;
                while !last.span.of(self.text(file)).ends_with(']')
                    && let Some(next) = facts.next()
                {
                    last = next;
                }
                self.square_brackets(file, fact.span.to(last.span));
                continue;
            }
            let misspelt = |next: &&tree::Fact| self.misspelt_direction(file, fact, next, kind);
            if let Some((at, near)) = facts.peek().and_then(misspelt) {
                facts.next();
                let kind = ProblemKind::UnknownName {
                    what: "direction",
                    name: at.of(self.text(file)).to_owned(),
                    near: Some(near),
                };
                self.problem(file, at, kind);
                continue;
            }
            let origin = Origin {
                file,
                span: fact.span,
            };
            if let Some((property, value)) = self.fact(file, fact, kind) {
                if let Some(first) = said_before(&stated, property, &value) {
                    self.said_twice(file, first, origin);
                }
                stated.push(Stated {
                    property,
                    value,
                    origin,
                });
            }
        }
        stated
    }

    /// Whether two facts are the two halves of `4,7kohm`, of `p2,5` or of
    /// `agreed 480,00 EUR`.
    pub(super) fn is_decimal_comma(
        &self,
        file: FileId,
        fact: &tree::Fact,
        next: &tree::Fact,
    ) -> bool {
        let text = self.text(file);
        let Some(word) = fact.words.last() else {
            return false;
        };
        let is_digit = |letter: char| letter.is_ascii_digit();
        let written = word.span.of(text);
        let is_number = match word.token {
            Token::Number => written.starts_with(is_digit),
            Token::Word => value::read(written).is_ok(),
            _ => false,
        };
        is_number
            && written.ends_with(is_digit)
            && next.property.is_none()
            && next.span.of(text).starts_with(is_digit)
            && word.span.end + 1 == next.span.start
            && text[word.span.end as usize..].starts_with(',')
    }

    /// Notes leads and nets that stand in square brackets.
    fn square_brackets(&mut self, file: FileId, span: Span) {
        let inside = span.of(self.text(file)).trim_matches(['[', ']']);
        let kind = ProblemKind::Misplaced {
            message: "leads and nets stand in round brackets".into(),
            consequence: "nothing says what the part is connected to, so neither its way round nor its voltage is checked",
            help: format!("write `({inside})`"),
        };
        self.problem(file, span, kind);
    }

    /// Where two words are a lead and a direction that is misspelt, as `+ wset`: where
    /// the direction stands, and the one it is nearly.
    fn misspelt_direction(
        &self,
        file: FileId,
        lead: &tree::Fact,
        direction: &tree::Fact,
        kind: Option<Kind>,
    ) -> Option<(Span, String)> {
        if direction.words.first()?.token != Token::Word {
            return None;
        }
        let text = self.text(file);
        let means_nothing = |fact: &tree::Fact, may_be_number: bool| {
            let word = fact.words.first()?;
            let written = word.text(text);
            let is_bare = fact.property.is_none() && word.token != Token::Text;
            let is_value = match value::read(written) {
                Ok(Value::Number(_)) => !may_be_number,
                Ok(_) => true,
                Err(error) => error.kind != ValueErrorKind::NotAValue,
            };
            (is_bare && !is_value && self.named(written, kind).is_none()).then_some(written)
        };
        let misspelt = means_nothing(direction, false)?;
        let lead = means_nothing(lead, true)?;
        let mut words = Direction::all().map(Direction::word);
        let near = near(misspelt, words.clone());
        // What stands behind a sign was to be a direction, whatever it is.
        let all =
            || matches!(lead, "+" | "-").then(|| words.by_ref().collect::<Vec<_>>().join(", "));
        Some((direction.span, near.or_else(all)?))
    }

    pub(super) fn decimal_comma(&mut self, file: FileId, fact: &tree::Fact, end: &tree::Fact) {
        let word = fact.words.last().map_or(fact.span, |word| word.span);
        let span = word.to(end.span);
        let written = span.of(self.text(file)).to_owned();
        let suggestions = vec![written.replacen(',', ".", 1)];
        self.problem(
            file,
            span,
            ProblemKind::NotAValue {
                written,
                error: ValueErrorKind::DecimalComma { suggestions },
            },
        );
    }

    /// Notes that one line says two different things of one property.
    fn said_twice(&mut self, file: FileId, first: Origin, second: Origin) {
        let text = self.text(file);
        let message = format!(
            "this line says the same thing twice, and differently: {} and {}",
            first.span.of(text),
            second.span.of(text)
        );
        let help =
            "keep the one that is meant; what another source says goes below, `list 25V`".into();
        let kind = ProblemKind::Misplaced {
            message,
            consequence: "the first one counts, and if that is the wrong one, so is the part chosen by it",
            help,
        };
        self.problem(file, second.span, kind);
    }

    fn fact(
        &mut self,
        file: FileId,
        fact: &tree::Fact,
        kind: Option<Kind>,
    ) -> Option<(Property, FactValue<'a>)> {
        let text = self.text(file);
        let Some(property) = fact.property else {
            return self.bare(file, fact, kind);
        };
        let Some(first) = fact.words.first() else {
            return Some((property, FactValue::Flag));
        };
        let value = match property {
            Property::Orientation => FactValue::Orientation {
                lead: self.keep(first.text(text)),
                direction: Direction::of(fact.words.get(1)?.token)?,
            },
            Property::Price => {
                let quantity = self.value(file, first.span)?;
                let money = self.value(file, fact.words.get(1)?.span)?;
                match (quantity, money) {
                    (Value::Number(quantity), Value::Money(money)) => {
                        FactValue::Price { quantity, money }
                    }
                    (_, found) => {
                        return self.mismatch(
                            file,
                            fact.span,
                            "a price".into(),
                            "a quantity and money, `10 at 1.72 EUR`".into(),
                            &found,
                        );
                    }
                }
            }
            Property::At | Property::Size => {
                let (x, y) = if let Some(second) = fact.words.get(1) {
                    if property == Property::Size {
                        self.cross_between(file, first.span, second.span);
                    }
                    (
                        self.millimetres(file, first.span)?,
                        self.millimetres(file, second.span)?,
                    )
                } else {
                    match self.value(file, first.span)? {
                        Value::Body(Body::Round { diameter, length }) => (diameter, length),
                        found => {
                            return self.mismatch(
                                file,
                                first.span,
                                "size".into(),
                                "two lengths, `120 x 80`".into(),
                                &found,
                            );
                        }
                    }
                };
                FactValue::Point(x, y)
            }
            Property::Matched => {
                let names = fact.words.iter();
                FactValue::Names(names.map(|word| self.keep(word.text(text))).collect())
            }
            _ if fact.words.len() == 2 && matches!(first.token, Token::Above | Token::Below) => {
                FactValue::Limit {
                    above: first.token == Token::Above,
                    value: self.value(file, fact.words[1].span)?,
                }
            }
            Property::Above | Property::Below => FactValue::Limit {
                above: property == Property::Above,
                value: self.value(file, first.span)?,
            },
            _ if first.token == Token::Text => FactValue::Word(self.keep(first.text(text))),
            _ if is_worded(property) => {
                if first.token.reserved_text().is_some() {
                    FactValue::Choice(first.token)
                } else {
                    FactValue::Word(self.keep(first.text(text)))
                }
            }
            _ if first.token.reserved_text().is_some() => FactValue::Choice(first.token),
            _ => {
                let value = self.value(file, first.span)?;
                let expect = expected(property);
                if !expect.accepts(&value) {
                    let what = word_of(property);
                    return self.mismatch(file, first.span, what, expect.phrase(), &value);
                }
                FactValue::Value(value)
            }
        };
        Some((property, value))
    }

    /// A word without a property's name: a value, or the name of a device or package.
    fn bare(
        &mut self,
        file: FileId,
        fact: &tree::Fact,
        kind: Option<Kind>,
    ) -> Option<(Property, FactValue<'a>)> {
        let word = fact.words.first()?;
        let text = word.text(self.text(file));
        if word.token != Token::Number
            && let Some(named) = self.named(text, kind)
        {
            return Some(named);
        }
        if word.token == Token::Text {
            return Some((Property::Marked, FactValue::Word(self.keep(text))));
        }
        match value::read(text) {
            Ok(Value::Number(number)) => {
                if let Some(named) = self.named(text, kind) {
                    return Some(named);
                }
                self.bare_number(file, word.span, number, kind);
                None
            }
            Ok(value) => {
                if let Some((kind, wanted)) = wanted_instead(&value, kind) {
                    let what = format!("the kind `{}`", kind.word());
                    let expected = wanted.with_article().to_owned();
                    return self.mismatch(file, word.span, what, expected, &value);
                }
                let Some(property) = Property::of_bare_value(&value, kind) else {
                    let expected = "a value of the part".to_owned();
                    return self.mismatch(file, word.span, "a part".into(), expected, &value);
                };
                Some((property, FactValue::Value(value)))
            }
            Err(error) if error.kind == ValueErrorKind::NotAValue => {
                if let Some(named) = self.named(text, kind) {
                    return Some(named);
                }
                let near = self.near_word(text);
                self.problem(
                    file,
                    word.span,
                    ProblemKind::UnknownName {
                        what: "device or package",
                        name: text.to_owned(),
                        near,
                    },
                );
                None
            }
            Err(error) => {
                if let Some(named) = self.named(text, kind) {
                    return Some(named);
                }
                self.not_a_value(file, word.span, &error);
                None
            }
        }
    }

    /// A word that the kind or the library gives a meaning.
    fn named(&self, text: &'t str, kind: Option<Kind>) -> Option<(Property, FactValue<'a>)> {
        let token = kind.map(Kind::token);
        let property = if token == Some(Token::Fuse) && FUSE_SPEEDS.contains(&text) {
            Property::FuseSpeed
        } else if token == Some(Token::MainsCapacitor) && MAINS_CLASSES.contains(&text) {
            Property::MainsClass
        } else if self.case.library.package(text).is_some() {
            Property::Package
        } else if self.case.library.device(text).is_some() {
            Property::Device
        } else {
            return None;
        };
        Some((property, FactValue::Word(self.keep(text))))
    }

    /// Notes a size whose two lengths are joined by anything but a cross.
    fn cross_between(&mut self, file: FileId, first: Span, second: Span) {
        let between = Span::new(first.end, second.start);
        let joined = between.of(self.text(file)).trim();
        if !matches!(joined, "x" | "X" | "×") {
            let message = format!("`{joined}` does not join the two lengths of a size");
            let help = "write a cross between them, `size 120 x 80`".into();
            let kind = ProblemKind::Misplaced {
                message,
                consequence: "the size is taken from the two lengths, whatever this was to say",
                help,
            };
            self.problem(file, between, kind);
        }
    }

    fn bare_number(&mut self, file: FileId, span: Span, number: Decimal, kind: Option<Kind>) {
        let expected = kind.and_then(|kind| kind.row().value);
        let written = span.of(self.text(file)).to_owned();
        let suggestions = match expected {
            Some(Dimension::Resistance) => vec![format!("{number}ohm"), format!("{number}kohm")],
            Some(Dimension::Capacitance) => vec![format!("{number}pF"), format!("{number}uF")],
            Some(Dimension::Voltage) => vec![format!("{number}V")],
            Some(Dimension::Current) => vec![format!("{number}A"), format!("{number}mA")],
            Some(Dimension::Frequency) => vec![format!("{number}Hz")],
            _ => Vec::new(),
        };
        self.problem(
            file,
            span,
            ProblemKind::BareNumber {
                number: written,
                expected,
                suggestions,
            },
        );
    }

    /// Reads a value where only a value may stand.
    pub(super) fn value(&mut self, file: FileId, span: Span) -> Option<Value> {
        match value::read(span.of(self.text(file))) {
            Ok(value) => Some(value),
            Err(error) => {
                self.not_a_value(file, span, &error);
                None
            }
        }
    }

    fn not_a_value(&mut self, file: FileId, span: Span, error: &value::ValueError) {
        let blamed = Span::new(
            span.start + error.start,
            (span.start + error.end).min(span.end),
        );
        let text = span.of(self.text(file));
        // Suggestions are written for the whole word, so they have to replace it.
        let at = if blamed.is_empty() || !error.suggestions().is_empty() {
            span
        } else {
            blamed
        };
        self.problem(
            file,
            at,
            ProblemKind::NotAValue {
                written: text.to_owned(),
                error: error.kind.clone(),
            },
        );
    }

    fn mismatch<T>(
        &mut self,
        file: FileId,
        span: Span,
        what: String,
        expected: String,
        found: &Value,
    ) -> Option<T> {
        let found = format!("{found} is {}", found.kind_in_words());
        self.problem(
            file,
            span,
            ProblemKind::WrongDimension {
                what,
                expected,
                found,
            },
        );
        None
    }

    /// A length that may be written without its unit, in mm.
    pub(super) fn millimetres(&mut self, file: FileId, span: Span) -> Option<Decimal> {
        match self.value(file, span)? {
            Value::Number(number) => Some(number),
            Value::Quantity(quantity) if quantity.dimension == Dimension::Length => {
                Some(quantity.number)
            }
            found => self.mismatch(
                file,
                span,
                "a position".into(),
                "a length in mm".into(),
                &found,
            ),
        }
    }
}

/// What a kind takes in place of a value that is no property of it: ohms on a
/// capacitor, farads on a resistor. A coil alone has a resistance beside its value.
fn wanted_instead(value: &Value, kind: Option<Kind>) -> Option<(Kind, Dimension)> {
    const VALUES: [Dimension; 3] = [
        Dimension::Capacitance,
        Dimension::Resistance,
        Dimension::Inductance,
    ];
    let kind = kind?;
    let wanted = kind.row().value.filter(|wanted| VALUES.contains(wanted))?;
    let dimension = match value {
        Value::Quantity(quantity) => quantity.dimension,
        Value::Range { low, .. } => low.dimension,
        _ => return None,
    };
    let is_winding = wanted == Dimension::Inductance && dimension == Dimension::Resistance;
    let is_other = VALUES.contains(&dimension) && dimension != wanted && !is_winding;
    is_other.then_some((kind, wanted))
}

/// Properties whose value is a word, even where it looks like a number.
fn is_worded(property: Property) -> bool {
    matches!(
        property,
        Property::Device
            | Property::Package
            | Property::Code
            | Property::Leads
            | Property::Order
            | Property::Bin
            | Property::Zone
            | Property::Model
            | Property::By
            | Property::Copper
            | Property::Per
            | Property::MainsPlace
            | Property::Expect
    )
}

/// Where a line has already said something else of a property that has one value.
fn said_before(stated: &[Stated<'_>], property: Property, value: &FactValue<'_>) -> Option<Origin> {
    let has_one_value = matches!(
        property,
        Property::Value
            | Property::Volts
            | Property::AcVolts
            | Property::Tolerance
            | Property::Body
            | Property::Pitch
            | Property::Temperature
            | Property::Package
            | Property::Device
            | Property::Have
            | Property::At
    );
    let first = stated.iter().find(|fact| fact.property == property)?;
    (has_one_value && first.value != *value).then_some(first.origin)
}

/// The reserved word for a property, for messages.
fn word_of(property: Property) -> String {
    retin_syntax::tables::properties::PROPERTIES
        .iter()
        .filter(|row| row.property == property)
        .find_map(|row| row.token?.reserved_text())
        .map_or_else(|| "this property".into(), |word| format!("`{word}`"))
}
