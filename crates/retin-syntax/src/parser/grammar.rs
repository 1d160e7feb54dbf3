//! The pieces that the one-line grammars share: words, values, facts, pins and selectors.

use super::why::Why;
use crate::span::Span;
use crate::tables::properties::{Place, Property, Takes, takes};
use crate::tables::{Direction, kinds};
use crate::token::Token;
use crate::tree::{Fact, Facts, Pin, Selector, SelectorChoice, Word};
use chumsky::input::MappedInput;
use chumsky::prelude::*;
use smallvec::{SmallVec, smallvec};

/// The tokens of one line.
pub(super) type Input<'t> = MappedInput<'t, Token, Span, &'t [(Token, Span)]>;
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
    word_where(Token::is_wordlike).labelled("a name")
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
    word_where(|token| token == Token::Text).labelled("text in quotes")
}

/// A number, with its unit where that stands apart.
pub(super) fn value<'t>() -> impl Parser<'t, Input<'t>, Word, extra::Err<Why>> + Clone {
    just(Token::Number)
        .then(just(Token::Unit).or_not())
        .map_with(|_, extra| Word {
            span: extra.span(),
            token: Token::Number,
        })
        .labelled("a value")
}

/// `(+ V24, - GND)`
pub(super) fn pins<'t>() -> Rule<'t, Vec<Pin>> {
    let pin = name().then(name()).map(|(lead, net)| Pin { lead, net });
    pin.separated_by(just(Token::Comma))
        .allow_trailing()
        .at_least(1)
        .collect()
        .delimited_by(just(Token::Open), just(Token::Close))
        .labelled("leads and nets in brackets")
        .boxed()
}

/// One fact, as `place` allows it.
pub(super) fn fact<'t>(place: Place) -> Rule<'t, Fact> {
    let introduced = move |wanted: Takes| {
        any().filter(move |token| takes(*token, place).is_some_and(|row| row.takes == wanted))
    };
    let made = move |token: Token, words: SmallVec<[Word; 2]>, span: Span| Fact {
        span,
        property: takes(token, place).map(|row| row.property),
        words,
    };
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
        value().map(|word| smallvec![word]).boxed()
    };
    let point = value()
        .then_ignore(just(Token::Comma))
        .then(value())
        .map(|(x, y)| smallvec![x, y]);
    // `120 x 80` or `120x80`.
    let size = value()
        .then(
            word_where(|token| token == Token::Word)
                .ignore_then(value())
                .or_not(),
        )
        .map(|(first, second)| [first].into_iter().chain(second).collect());
    let one_word = word_where(Token::is_wordlike).map(|word| smallvec![word]);
    let with_names = just(Token::With)
        .ignore_then(names())
        .map(SmallVec::from_vec);

    // Boxed one by one: as one nested type they take the compiler minutes.
    let named = choice([
        introduced(Takes::Value)
            .then(argument.labelled("a value"))
            .boxed(),
        introduced(Takes::Nothing)
            .map(|token| (token, smallvec![]))
            .boxed(),
        introduced(Takes::Word)
            .then(one_word.labelled("a word"))
            .boxed(),
        introduced(Takes::Text)
            .then(text().map(|word| smallvec![word]))
            .boxed(),
        introduced(Takes::Point)
            .then(point.labelled("a position such as 30,40"))
            .boxed(),
        introduced(Takes::Size)
            .then(size.labelled("a size such as 120 x 80"))
            .boxed(),
        introduced(Takes::WithNames)
            .then(with_names.labelled("`with` and a name"))
            .boxed(),
    ])
    .map_with(move |(token, words), extra| made(token, words, extra.span()));

    // A lead with the direction it lies in; a kind or a direction is no lead.
    let orientation = word_where(|token| {
        token.is_wordlike() && Direction::of(token).is_none() && !kinds::is_kind(token)
    })
    .then(word_where(|token| Direction::of(token).is_some()))
    .map_with(|(lead, direction), extra| Fact {
        span: extra.span(),
        property: Some(Property::Orientation),
        words: smallvec![lead, direction],
    });
    let mounting = just(Token::In)
        .ignore_then(word_where(|token| {
            matches!(token, Token::Series | Token::Parallel)
        }))
        .filter(move |_| place == Place::Plan)
        .map_with(|word, extra| Fact {
            span: extra.span(),
            property: Some(Property::Mounting),
            words: smallvec![word],
        });
    let price = value()
        .filter(move |_| place == Place::Shelf)
        .then_ignore(just(Token::At))
        .then(value())
        .map_with(|(quantity, money), extra| Fact {
            span: extra.span(),
            property: Some(Property::Price),
            words: smallvec![quantity, money],
        });
    let bare_value = value().map_with(|word, extra| Fact {
        span: extra.span(),
        property: None,
        words: smallvec![word],
    });
    let bare_word = word_where(|token| {
        matches!(token, Token::Word | Token::Text | Token::Unit)
            || Property::of_choice(token).is_some()
            || kinds::is_kind(token)
    })
    .map_with(|word, extra| Fact {
        span: extra.span(),
        property: if kinds::is_kind(word.token) {
            Some(Property::Kind)
        } else {
            Property::of_choice(word.token)
        },
        words: smallvec![word],
    });
    choice([
        named.boxed(),
        orientation.boxed(),
        mounting.boxed(),
        price.boxed(),
        bare_value.boxed(),
        bare_word.boxed(),
    ])
    .boxed()
}

/// Any number of facts; a comma between two is allowed and means nothing.
pub(super) fn facts<'t>(place: Place) -> Rule<'t, Facts> {
    fact(place)
        .then_ignore(just(Token::Comma).or_not())
        .repeated()
        .collect()
        .labelled("a value or a property")
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
    let values = value()
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
    .labelled("a kind of part");
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
    .labelled("a part's name or `every`")
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
