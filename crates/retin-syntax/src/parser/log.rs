//! The one-line grammar of a log entry; its verb decides which slots it has.

use super::grammar::{
    Input, Rule, fact, facts, is_connective, name, names, no_direction, opens_fact, plain_value,
    value, word_where,
};
use super::why::{Sort, Why};
use crate::span::Span;
use crate::tables::properties::Place;
use crate::tables::{Property, kinds, verbs};
use crate::token::Token;
use crate::tree::{
    Fact, Facts, Item, LogLine, Mends, Record, Selector, SelectorChoice, WithPart, Word,
};
use chumsky::prelude::*;
use smallvec::{SmallVec, smallvec};

/// One slot of an entry, in whatever order they were typed.
enum Slot {
    On(Vec<Word>),
    Except(Vec<Word>),
    To(Vec<Word>),
    Phrase(Word),
    With(Vec<WithPart>),
    Instead(WithPart),
    Fact(Fact),
}

/// What follows the verb.
#[derive(Default)]
struct Body {
    scope: Vec<Word>,
    choice: Option<(SelectorChoice, Span)>,
    items: Vec<Item>,
    slots: Vec<Slot>,
}

/// An entry of the log.
pub(super) fn entry<'t>() -> Rule<'t, Record> {
    let initials = word_where(|token| token == Token::Word).labelled(Sort::Initials);
    let done = || {
        choice([
            verb(|token| matches!(token, Token::Damaged | Token::Repaired))
                .then(told())
                .boxed(),
            verb(|token| matches!(token, Token::Ordered | Token::Arrived))
                .then(counted())
                .boxed(),
            verb(|token| {
                !matches!(
                    token,
                    Token::Damaged
                        | Token::Repaired
                        | Token::Ordered
                        | Token::Arrived
                        | Token::Corrected
                )
            })
            .then(worked())
            .boxed(),
        ])
        .boxed()
    };
    let plain = done().map(|(verb, body)| (verb, None, body));
    let corrected = verb(|token| token == Token::Corrected)
        .then(
            plain_value()
                // What a comma follows is a reading.
                .then_ignore(just(Token::Comma).not())
                .repeated()
                .at_most(2)
                .collect::<Vec<Word>>(),
        )
        .then(done().or_not())
        .then(slots(false))
        .map(|(((verb, when), then), more)| {
            let (inner, mut body) = match then {
                Some((inner, body)) => (Some(inner), body),
                None => (None, Body::default()),
            };
            body.slots.extend(more);
            let when = SmallVec::from_vec(when);
            (verb, Some(Mends { when, verb: inner }), body)
        });
    value()
        .or_not()
        .then(initials.or_not())
        .then(plain.boxed().or(corrected.boxed()))
        .map(|((time, by), (verb, mends, body))| line(time, by, verb, mends, body))
        .boxed()
}

/// A verb of the log that `accepts` takes.
fn verb<'t>(accepts: fn(Token) -> bool) -> Rule<'t, Word> {
    any()
        .filter(move |token| verbs::is_log_verb(*token) && accepts(*token))
        .map_with(|token, extra| Word {
            span: extra.span(),
            token,
        })
        .labelled(Sort::LogVerb)
        .boxed()
}

/// A word that can only be a name here; what lies in a direction is a lead.
fn plain_name<'t>() -> impl Parser<'t, Input<'t>, Word, extra::Err<Why>> + Clone {
    word_where(|token| {
        token.is_wordlike()
            && !matches!(
                token,
                Token::Text | Token::Number | Token::Every | Token::Everything | Token::As
            )
            && !is_connective(token)
            && !opens_fact(token, Place::Log)
    })
    .then_ignore(no_direction())
    .labelled(Sort::Name)
}

fn plain_names<'t>() -> Rule<'t, Vec<Word>> {
    plain_name()
        .separated_by(just(Token::Comma))
        .at_least(1)
        .collect()
        .boxed()
}

/// `every 25V electrolytic`, `everything`, or names.
fn chosen<'t>() -> Rule<'t, (SelectorChoice, Span)> {
    let values = plain_value()
        .map_with(|word, extra| Fact {
            span: extra.span(),
            property: None,
            words: smallvec![word],
        })
        .repeated()
        .collect::<Facts>();
    let kind = word_where(|token| {
        kinds::is_kind(token)
            || kinds::is_family(token)
            || matches!(token, Token::Board | Token::Rail | Token::Link)
    })
    .labelled(Sort::KindOfPart);
    // What stands behind the kinds is a reading, not what they are chosen by.
    let every = just(Token::Every)
        .ignore_then(values)
        .then(
            kind.separated_by(just(Token::Comma))
                .at_least(1)
                .collect::<Vec<Word>>(),
        )
        .map(|(facts, kinds)| SelectorChoice::Every { kinds, facts });
    choice([
        every.boxed(),
        just(Token::Everything)
            .to(SelectorChoice::Everything)
            .boxed(),
        plain_names().map(SelectorChoice::Names).boxed(),
    ])
    .map_with(|choice, extra| (choice, extra.span()))
    .boxed()
}

/// Parts, boards and nets; names that follow names without a comma are parts
/// of the boards before them.
fn worked<'t>() -> Rule<'t, Body> {
    let scoped = plain_names().map_with(|names, extra| (names, extra.span()));
    chosen()
        .then(scoped.or_not())
        .or_not()
        .then(slots(false))
        .map(|(what, slots)| {
            let (choice, scope) = match what {
                Some(((SelectorChoice::Names(scope), _), Some((names, span)))) => {
                    (Some((SelectorChoice::Names(names), span)), scope)
                }
                Some((choice, _)) => (Some(choice), Vec::new()),
                None => (None, Vec::new()),
            };
            Body {
                scope,
                choice,
                slots,
                ..Body::default()
            }
        })
        .boxed()
}

/// Points, and what is told of them in words.
fn told<'t>() -> Rule<'t, Body> {
    chosen()
        .or_not()
        .then(slots(true))
        .map(|(choice, slots)| Body {
            choice,
            slots,
            ..Body::default()
        })
        .boxed()
}

/// `20 E-100-50, 5 E-10-25`
fn counted<'t>() -> Rule<'t, Body> {
    plain_value()
        .or_not()
        .then(plain_name())
        .map(|(count, name)| Item { count, name })
        .separated_by(just(Token::Comma))
        .at_least(1)
        .collect::<Vec<Item>>()
        .or_not()
        .then(slots(false))
        .map(|(items, slots)| Body {
            items: items.unwrap_or_default(),
            slots,
            ..Body::default()
        })
        .boxed()
}

fn slots<'t>(is_told: bool) -> Rule<'t, Vec<Slot>> {
    let end = || {
        value()
            .or(name())
            .separated_by(just(Token::Comma))
            .at_least(1)
            .collect::<Vec<Word>>()
    };
    let described = || {
        facts(Place::Plan)
            .filter(|facts| !facts.is_empty())
            .map_with(|facts, extra| WithPart {
                span: extra.span(),
                facts,
            })
    };
    let with = just(Token::With).ignore_then(
        described()
            .separated_by(just(Token::And))
            .at_least(1)
            .collect::<Vec<WithPart>>(),
    );
    let phrase = plain_name()
        .filter(move |_| is_told)
        .then_ignore(just(Token::Comma).or_not());
    choice([
        just(Token::On).ignore_then(names()).map(Slot::On).boxed(),
        just(Token::Except)
            .ignore_then(names())
            .map(Slot::Except)
            .boxed(),
        just(Token::To).ignore_then(end()).map(Slot::To).boxed(),
        with.map(Slot::With).boxed(),
        just(Token::As)
            .ignore_then(described())
            .map(Slot::Instead)
            .boxed(),
        phrase.map(Slot::Phrase).boxed(),
        fact(Place::Log)
            .then_ignore(just(Token::Comma).or_not())
            .map(Slot::Fact)
            .boxed(),
    ])
    .labelled(Sort::Fact)
    .repeated()
    .collect()
    .boxed()
}

fn line(
    time: Option<Word>,
    by: Option<Word>,
    verb: Word,
    mends: Option<Mends>,
    body: Body,
) -> Record {
    let mut line = LogLine {
        time,
        by,
        verb,
        mends,
        scope: body.scope,
        selector: body.choice.map(|(choice, span)| Selector {
            span,
            choice,
            on: Vec::new(),
            except: Vec::new(),
        }),
        items: body.items,
        to: Vec::new(),
        phrase: Vec::new(),
        with: Vec::new(),
        instead: None,
        facts: Vec::new(),
    };
    let mut narrowing: [Vec<Word>; 2] = Default::default();
    for slot in body.slots {
        match slot {
            Slot::On(names) => narrowing[0].extend(names),
            Slot::Except(names) => narrowing[1].extend(names),
            Slot::To(names) => line.to.extend(names),
            Slot::Phrase(word) => line.phrase.push(word),
            Slot::With(parts) => line.with.extend(parts),
            Slot::Instead(part) => line.instead = Some(part),
            Slot::Fact(fact) => line.facts.push(fact),
        }
    }
    // What is said of the entry stands behind the last part and is read with it.
    for part in line.with.iter_mut().chain(&mut line.instead) {
        let (of_line, of_part): (Facts, Facts) = std::mem::take(&mut part.facts)
            .into_iter()
            .partition(is_of_entry);
        line.facts.extend(of_line);
        part.facts = of_part;
    }
    line.facts.sort_by_key(|fact| fact.span.start);
    let [on, except] = narrowing;
    if let Some(selector) = &mut line.selector {
        if let Some(last) = on.iter().chain(&except).map(|word| word.span).max() {
            selector.span = selector.span.to(last);
        }
        selector.on = on;
        selector.except = except;
    }
    Record::Entry(Box::new(line))
}

fn is_of_entry(fact: &Fact) -> bool {
    matches!(
        fact.property,
        Some(Property::Orientation | Property::Mounting | Property::Condition | Property::Because)
    )
}
