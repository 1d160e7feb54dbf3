//! The pieces that the one-line grammars share: words, values, facts, pins and selectors.

use super::why::{Sort, Why};
use crate::span::Span;
use crate::tables::properties::{Place, Property, Takes, takes};
use crate::tables::{Direction, kinds};
use crate::token::Token;
use crate::tree::{Fact, Facts, Pin, Selector, SelectorChoice, Word};
use chumsky::input::{InputRef, MappedInput};
use chumsky::prelude::*;
use smallvec::{SmallVec, smallvec};

/// The tokens of one line.
pub(super) type Input<'t> = MappedInput<'t, Token, Span, &'t [(Token, Span)]>;
/// The same while it is read.
type LineRef<'t, 'p> = InputRef<'t, 'p, Input<'t>, extra::Err<Why>>;
/// A parser that can be stored beside others.
pub(super) type Rule<'t, O> = Boxed<'t, 't, Input<'t>, O, extra::Err<Why>>;

impl chumsky::span::Span for Span {
    type Context = ();
    type Offset = u32;

    /// Nothing read between two tokens begins after the blanks and ends before
    /// them; it is an empty span at its beginning.
    fn new((): (), range: std::ops::Range<u32>) -> Self {
        Span::new(range.start, range.end.max(range.start))
    }

    fn context(&self) -> Self::Context {}

    fn start(&self) -> u32 {
        self.start
    }

    fn end(&self) -> u32 {
        self.end
    }
}

/// Any one token that `accepts` takes, as a word.
pub(super) fn word_where<'t>(
    accepts: fn(Token) -> bool,
) -> impl Parser<'t, Input<'t>, Word, extra::Err<Why>> + Clone {
    any()
        .filter(move |token| accepts(*token))
        .map_with(|token, extra| Word {
            span: extra.span(),
            token,
        })
}

/// A word in a slot where every word is a name.
pub(super) fn name<'t>() -> impl Parser<'t, Input<'t>, Word, extra::Err<Why>> + Clone {
    word_where(Token::is_wordlike).labelled(Sort::Name)
}

/// Names with commas between them.
pub(super) fn names<'t>() -> Rule<'t, Vec<Word>> {
    name()
        .separated_by(just(Token::Comma))
        .at_least(1)
        .collect()
        .boxed()
}

/// Text in quotes.
pub(super) fn text<'t>() -> impl Parser<'t, Input<'t>, Word, extra::Err<Why>> + Clone {
    word_where(|token| token == Token::Text).labelled(Sort::Text)
}

/// A number, with its unit where that stands apart.
pub(super) fn value<'t>() -> impl Parser<'t, Input<'t>, Word, extra::Err<Why>> + Clone {
    just(Token::Number)
        .then(just(Token::Unit).or_not())
        .map_with(|_, extra| Word {
            span: extra.span(),
            token: Token::Number,
        })
        .labelled(Sort::Value)
}

/// A value, but for a number that lies in a direction: that is a lead, as in `1 north`.
pub(super) fn plain_value<'t>() -> impl Parser<'t, Input<'t>, Word, extra::Err<Why>> + Clone {
    value().then_ignore(no_direction())
}

/// Takes nothing, where what follows is no direction: before one stands a lead.
pub(super) fn no_direction<'t>() -> impl Parser<'t, Input<'t>, (), extra::Err<Why>> + Clone {
    word_where(|token| Direction::of(token).is_some()).not()
}

/// `(+ V24, - GND)`
pub(super) fn pins<'t>() -> Rule<'t, Vec<Pin>> {
    let pin = name().then(name()).map(|(lead, net)| Pin { lead, net });
    pin.separated_by(just(Token::Comma))
        .allow_trailing()
        .at_least(1)
        .collect()
        .delimited_by(just(Token::Open), just(Token::Close))
        .labelled(Sort::Pins)
        .boxed()
}

/// One fact, as `place` allows it.
pub(super) fn fact<'t>(place: Place) -> Rule<'t, Fact> {
    let limit = just(Token::Above).or(just(Token::Below));
    let limited = limit
        .map_with(|token, extra| Word {
            span: extra.span(),
            token,
        })
        .or_not()
        .then(value())
        .map(|(limit, value)| {
            limit
                .into_iter()
                .chain([value])
                .collect::<SmallVec<[Word; 2]>>()
        });
    let argument = if place == Place::Targets {
        limited.boxed()
    } else {
        // `R47` is a value that does not begin like one.
        let coded = word_where(|token| token == Token::Word);
        value().or(coded).map(|word| smallvec![word]).boxed()
    };
    let point = value()
        .then_ignore(just(Token::Comma))
        .then(value())
        .map(|(x, y)| smallvec![x, y]);
    // `120 x 80` or `120x80`; that the word is a cross is seen when it is read.
    let size = value()
        .then(
            word_where(|token| matches!(token, Token::Word | Token::By))
                .ignore_then(value())
                .or_not(),
        )
        .map(|(first, second)| [first].into_iter().chain(second).collect());
    let one_word = word_where(Token::is_wordlike).map(|word| smallvec![word]);
    // In `matched with Q2, + east` the names end before the lead.
    let with_names = just(Token::With).ignore_then(
        name()
            .and_is(
                any()
                    .then(any())
                    .filter(|(lead, next)| is_direction_of(*lead, *next))
                    .not(),
            )
            .separated_by(just(Token::Comma))
            .at_least(1)
            .collect::<Vec<Word>>(),
    );

    // One for each way a property takes its value. Boxed one by one: as one
    // nested type they take the compiler minutes.
    let introduced = |wanted: Takes| match wanted {
        Takes::Value => argument.clone().labelled(Sort::Value).boxed(),
        Takes::Nothing => empty().map(|()| smallvec![]).boxed(),
        Takes::Word => one_word.clone().labelled(Sort::Word).boxed(),
        Takes::Text => text().map(|word| smallvec![word]).boxed(),
        Takes::Point => point.clone().labelled(Sort::Position).boxed(),
        Takes::Size => size.clone().labelled(Sort::Size).boxed(),
        Takes::WithNames => with_names
            .clone()
            .map(SmallVec::from_vec)
            .labelled(Sort::WithName)
            .boxed(),
        Takes::Names => names().map(SmallVec::from_vec).boxed(),
    };
    let by_taking = Takes::ALL.map(introduced);
    let price = value();
    // The first word says which way: trying them in turn would cost more than
    // all else on the line.
    custom(move |input: &mut LineRef<'t, '_>| {
        let before = input.cursor();
        let token = input.next();
        let first = input.span_since(&before);
        let Some(token) = token else {
            return Err(Why::nothing_begins(first));
        };
        let word = |token: Token, span: Span| Word { span, token };
        let (property, words): (_, SmallVec<[Word; 2]>) = if let Some(row) = takes(token, place) {
            let words = input
                .parse(&by_taking[row.takes as usize])
                .map_err(Why::inside)?;
            (Some(row.property), words)
        } else if let Some(direction) = input.peek().filter(|next| is_direction_of(token, *next)) {
            let lead = word(token, first);
            let at = next_span(input);
            (
                Some(Property::Orientation),
                smallvec![lead, word(direction, at)],
            )
        } else if token == Token::In && place == Place::Plan {
            let mounting = input.peek();
            let at = next_span(input);
            match mounting {
                Some(mounting @ (Token::Series | Token::Parallel)) => {
                    (Some(Property::Mounting), smallvec![word(mounting, at)])
                }
                _ => return Err(Why::nothing_begins(at)),
            }
        } else if token == Token::Number {
            unit_of_number(input);
            let value = word(token, input.span_since(&before));
            match input.peek() {
                Some(Token::At) if place == Place::Shelf => {
                    let quantity_only = input.save();
                    input.skip();
                    match input.parse(&price) {
                        Ok(money) => (Some(Property::Price), smallvec![value, money]),
                        Err(_) => {
                            input.rewind(quantity_only);
                            (None, smallvec![value])
                        }
                    }
                }
                _ => (None, smallvec![value]),
            }
        } else if kinds::is_kind(token) {
            (Some(Property::Kind), smallvec![word(token, first)])
        } else {
            let property = Property::of_choice(token);
            let is_bare = matches!(token, Token::Word | Token::Text | Token::Unit);
            if property.is_none() && !is_bare {
                return Err(Why::nothing_begins(first));
            }
            (property, smallvec![word(token, first)])
        };
        Ok(Fact {
            span: input.span_since(&before),
            property,
            words,
        })
    })
    .boxed()
}

/// Takes one token, and tells where it stood.
fn next_span(input: &mut LineRef<'_, '_>) -> Span {
    let before = input.cursor();
    input.skip();
    input.span_since(&before)
}

/// Takes the unit that stands apart from the number before it.
fn unit_of_number(input: &mut LineRef<'_, '_>) {
    if input.peek() == Some(Token::Unit) {
        input.skip();
    }
}

/// Whether a word is a lead that lies in a direction, `+ east`; a kind or a
/// direction is no lead.
pub(super) fn is_direction_of(lead: Token, next: Token) -> bool {
    Direction::of(next).is_some()
        && lead.is_wordlike()
        && Direction::of(lead).is_none()
        && !kinds::is_kind(lead)
}

/// Any number of facts; a comma between two is allowed and means nothing.
pub(super) fn facts<'t>(place: Place) -> Rule<'t, Facts> {
    fact(place)
        .then_ignore(just(Token::Comma).or_not())
        .repeated()
        .collect()
        .labelled(Sort::Fact)
        .boxed()
}

/// `because "…"`
pub(super) fn because<'t>() -> Rule<'t, Word> {
    just(Token::Because).ignore_then(text()).boxed()
}

/// Whether the word joins two slots of a line. As a name it has to be quoted.
pub(super) fn is_connective(token: Token) -> bool {
    matches!(
        token,
        Token::On
            | Token::Except
            | Token::From
            | Token::With
            | Token::And
            | Token::To
            | Token::After
            | Token::Because
    )
}

/// Whether the word begins a fact in `place`, so that as a name it has to be quoted.
pub(super) fn opens_fact(token: Token, place: Place) -> bool {
    takes(token, place).is_some() || Property::of_choice(token) == Some(Property::Condition)
}

/// Which parts a line is about.
pub(super) fn selector<'t>() -> Rule<'t, Selector> {
    let values = plain_value()
        .map_with(|word, extra| Fact {
            span: extra.span(),
            property: None,
            words: smallvec![word],
        })
        .repeated()
        .collect::<Vec<Fact>>();
    let kind = word_where(|token| {
        kinds::is_kind(token)
            || kinds::is_family(token)
            || matches!(token, Token::Board | Token::Rail | Token::Link)
    })
    .labelled(Sort::KindOfPart);
    let every = just(Token::Every)
        .ignore_then(values.clone())
        .then(
            kind.separated_by(just(Token::Comma))
                .at_least(1)
                .collect::<Vec<Word>>(),
        )
        .then(values)
        .map(|((mut facts, kinds), more)| {
            facts.extend(more);
            SelectorChoice::Every { kinds, facts }
        });
    let named = word_where(|token| {
        token.is_wordlike()
            && !matches!(token, Token::Every | Token::Everything)
            && !is_connective(token)
    })
    .labelled(Sort::Selector)
    .separated_by(just(Token::Comma))
    .at_least(1)
    .collect()
    .map(SelectorChoice::Names);
    let what = choice([
        every.boxed(),
        just(Token::Everything)
            .to(SelectorChoice::Everything)
            .boxed(),
        named.boxed(),
    ]);
    what.then(just(Token::On).ignore_then(names()).or_not())
        .then(just(Token::Except).ignore_then(names()).or_not())
        .map_with(|((choice, on), except), extra| Selector {
            span: extra.span(),
            choice,
            on: on.unwrap_or_default(),
            except: except.unwrap_or_default(),
        })
        .boxed()
}
