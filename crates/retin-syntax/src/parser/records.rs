//! The grammar of each kind of line.

use super::grammar::{
    Rule, because, fact, facts, name, names, opens_fact, pins, selector, text, value, word_where,
};
use super::why::Sort;
use crate::tables::properties::Place;
use crate::tables::{ClaimSource, PlanVerb, Property, StepVerb, kinds, verbs};
use crate::token::Token;
use crate::tree::{
    Claim, Fact, Facts, Heading, HeadingKind, Pin, PlanLine, Record, WithPart, Word,
};
use chumsky::prelude::*;
use std::cell::OnceCell;

/// The shapes a line may have; which one applies follows from the line's parent and first word.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Shape {
    Use,
    Heading,
    Setting(Place),
    Rail,
    Net,
    Zone,
    Changed,
    Group(Place),
    Part(Place),
    Claim,
    GoBy,
    Section,
    Exception,
    Pace,
    Join,
    Survey,
    Plan,
    Accept,
    For,
    Step,
    Caution,
    Target,
    Day,
    Entry,
}

/// How many different shapes there are, places counted.
const SLOTS: usize = 64;

/// The parsers, each built when it is first needed.
pub(super) struct Grammar<'t> {
    rules: [OnceCell<Rule<'t, Record>>; SLOTS],
}

impl<'t> Grammar<'t> {
    pub(super) fn new() -> Self {
        Grammar {
            rules: std::array::from_fn(|_| OnceCell::new()),
        }
    }

    /// The parser for lines of this shape.
    pub(super) fn rule(&self, shape: Shape) -> &Rule<'t, Record> {
        let slot = match shape {
            Shape::Use => 0,
            Shape::Heading => 1,
            Shape::Rail => 2,
            Shape::Net => 3,
            Shape::Zone => 4,
            Shape::Changed => 5,
            Shape::Claim => 6,
            Shape::GoBy => 7,
            Shape::Section => 8,
            Shape::Exception => 9,
            Shape::Join => 10,
            Shape::Survey => 11,
            Shape::Plan => 12,
            Shape::Accept => 13,
            Shape::For => 14,
            Shape::Step => 15,
            Shape::Caution => 16,
            Shape::Target => 17,
            Shape::Day => 18,
            Shape::Entry => 19,
            Shape::Setting(place) => 20 + place as usize,
            Shape::Group(place) => 33 + place as usize,
            Shape::Part(place) => 46 + place as usize,
            Shape::Pace => 59,
        };
        self.rules[slot].get_or_init(|| build(shape))
    }
}

fn build<'t>(shape: Shape) -> Rule<'t, Record> {
    match shape {
        Shape::Use => just(Token::Use)
            .ignore_then(text())
            .map(|path| Record::Use { path })
            .boxed(),
        Shape::Heading => heading(),
        Shape::Setting(place) => facts(place).map(|facts| Record::Setting { facts }).boxed(),
        Shape::Rail => just(Token::Rail)
            .ignore_then(name())
            .then(facts(Place::Board))
            .map(|(name, facts)| Record::Rail { name, facts })
            .boxed(),
        Shape::Net => just(Token::Net)
            .ignore_then(name())
            .then(text().or_not())
            .map(|(name, title)| Record::Net { name, title })
            .boxed(),
        Shape::Zone => zone(),
        Shape::Changed => just(Token::Changed)
            .ignore_then(value())
            .then(names())
            .then(text())
            .map(|((revision, names), text)| Record::Changed {
                revision,
                names,
                text,
            })
            .boxed(),
        Shape::Group(place) => kind()
            .then(facts(place))
            .map(|(kind, facts)| Record::Group { kind, facts })
            .boxed(),
        Shape::Part(place) => part(place),
        Shape::Claim => claim()
            .map(|(source, claim)| Record::Claim { source, claim })
            .boxed(),
        Shape::GoBy => go_by().map(|source| Record::GoBy { source }).boxed(),
        Shape::Section => just(Token::Section)
            .ignore_then(name())
            .then(facts(Place::Part))
            .then(pins().or_not())
            .then(facts(Place::Part))
            .map(|(((name, mut facts), pins), more)| {
                facts.extend(more);
                Record::Section {
                    name,
                    facts,
                    pins: pins.unwrap_or_default(),
                }
            })
            .boxed(),
        Shape::Exception => just(Token::On)
            .ignore_then(names())
            .then(facts(Place::Part))
            .map(|(copies, facts)| Record::Exception { copies, facts })
            .boxed(),
        Shape::Pace => pace(),
        Shape::Join => names()
            .then_ignore(just(Token::To))
            .then(names())
            .map(|(from, to)| Record::Join { from, to })
            .boxed(),
        Shape::Survey => survey(),
        Shape::Plan => plan(),
        Shape::Accept => just(Token::Accept)
            .ignore_then(name())
            .then_ignore(just(Token::On))
            .then(selector())
            .then(because().or_not())
            .map(|((rule, selector), because)| Record::Accept {
                rule,
                selector,
                because,
            })
            .boxed(),
        Shape::For => just(Token::For)
            .ignore_then(
                word_where(Token::is_wordlike)
                    .or(word_where(|token| token == Token::Comma))
                    .repeated()
                    .at_least(1)
                    .map_with(|(), extra| extra.span()),
            )
            .map(|values| Record::For { values })
            .boxed(),
        Shape::Step => step(),
        Shape::Caution => just(Token::Caution)
            .ignore_then(text())
            .map(|text| Record::Caution { text })
            .boxed(),
        Shape::Target => name()
            .then(just(Token::To).ignore_then(name()).or_not())
            .then(facts(Place::Targets))
            .map(|((point, to), facts)| Record::Target { point, to, facts })
            .boxed(),
        Shape::Day => value()
            .map(Some)
            .or(just(Token::Next).then(just(Token::Day)).to(None))
            .labelled(Sort::Date)
            .map(|date| Record::Day { date })
            .boxed(),
        Shape::Entry => super::log::entry(),
    }
}

/// A kind; a comma behind it means nothing, as behind any fact.
fn kind<'t>() -> Rule<'t, Word> {
    word_where(kinds::is_kind)
        .then_ignore(just(Token::Comma).or_not())
        .boxed()
}

fn source_of(token: Token) -> ClaimSource {
    ClaimSource::of(token).unwrap_or(ClaimSource::Found)
}

fn heading<'t>() -> Rule<'t, Record> {
    let title = || text().or_not();
    let named = |token: Token, kind: HeadingKind| {
        just(token)
            .ignore_then(name())
            .then(title())
            .map(move |(name, title)| Heading {
                kind,
                name: Some(name),
                title,
                copies: Vec::new(),
                joints: None,
            })
    };
    let alone = |token: Token, kind: HeadingKind| {
        just(token).map(move |_| Heading {
            kind,
            name: None,
            title: None,
            copies: Vec::new(),
            joints: None,
        })
    };
    let copies = just(Token::As).ignore_then(names()).or_not();
    let board = |token: Token, kind: HeadingKind| {
        named(token, kind)
            .then(copies.clone())
            .map(|(heading, copies)| Heading {
                copies: copies.unwrap_or_default(),
                ..heading
            })
    };
    let link = named(Token::Link, HeadingKind::Link)
        .then(value().then_ignore(just(Token::Joints)).or_not())
        .map(|(heading, joints)| Heading { joints, ..heading });
    choice((
        named(Token::Model, HeadingKind::Model),
        board(Token::Board, HeadingKind::Board),
        board(Token::Wiring, HeadingKind::Wiring),
        link,
        named(Token::Shelf, HeadingKind::Shelf),
        named(Token::Packages, HeadingKind::Packages),
        named(Token::Devices, HeadingKind::Devices),
        named(Token::Job, HeadingKind::Job),
        alone(Token::Minutes, HeadingKind::Minutes),
        alone(Token::Found, HeadingKind::Found),
        alone(Token::Plan, HeadingKind::Plan),
        alone(Token::Steps, HeadingKind::Steps),
        alone(Token::Targets, HeadingKind::Targets),
        alone(Token::Log, HeadingKind::Log),
    ))
    .map(Record::Heading)
    .boxed()
}

/// How long the shop takes for one thing.
fn pace<'t>() -> Rule<'t, Record> {
    let verb = word_where(|token| StepVerb::of(token).is_some());
    let subject = word_where(verbs::is_paced).labelled(Sort::Subject);
    let per = just(Token::Per).ignore_then(
        word_where(|token| matches!(token, Token::Lead | Token::Joint)).labelled(Sort::LeadOrJoint),
    );
    verb.then(
        subject
            .separated_by(just(Token::Comma))
            .at_least(1)
            .collect::<Vec<_>>(),
    )
    .then(value())
    .then(per.or_not())
    .map(|(((verb, subjects), time), per)| Record::Pace {
        verb: StepVerb::of(verb.token).unwrap_or(StepVerb::Inspect),
        subjects,
        time,
        per,
    })
    .boxed()
}

fn zone<'t>() -> Rule<'t, Record> {
    let corner = value().then_ignore(just(Token::Comma)).then(value());
    just(Token::Zone)
        .ignore_then(name())
        .then(corner.clone())
        .then_ignore(just(Token::To))
        .then(corner)
        .map(|((name, low), high)| Record::Zone {
            name,
            corners: [low.0, low.1, high.0, high.1],
        })
        .boxed()
}

fn part<'t>(place: Place) -> Rule<'t, Record> {
    names()
        .then(kind().or_not())
        .then(facts(place))
        .then(pins().or_not())
        .then(facts(place))
        .map(|((((names, kind), mut facts), pins), more)| {
            facts.extend(more);
            part_record(names, kind, facts, pins.unwrap_or_default())
        })
        .boxed()
}

/// A part; its kind may stand anywhere on the line.
pub(super) fn part_record(
    names: Vec<Word>,
    mut kind: Option<Word>,
    mut facts: Facts,
    pins: Vec<Pin>,
) -> Record {
    let is_kind = |fact: &Fact| fact.property == Some(Property::Kind);
    if kind.is_none()
        && let Some(at) = facts.iter().position(is_kind)
    {
        kind = facts.remove(at).words.first().copied();
    }
    Record::Part {
        names,
        kind,
        facts,
        pins,
    }
}

/// Values, nets and directions that a source states.
fn stated<'t>() -> Rule<'t, Claim> {
    facts(Place::Part)
        .then(pins().or_not())
        .then(facts(Place::Part))
        .map(|((mut facts, pins), more)| {
            facts.extend(more);
            Claim::Facts {
                facts,
                pins: pins.unwrap_or_default(),
            }
        })
        .boxed()
}

/// `go by found`
fn go_by<'t>() -> Rule<'t, ClaimSource> {
    just(Token::Go)
        .then(just(Token::By))
        .ignore_then(word_where(|token| ClaimSource::of(token).is_some()).labelled(Sort::Source))
        .map(|source| source_of(source.token))
        .boxed()
}

/// What was found of some parts, or which source the job goes by for them.
fn survey<'t>() -> Rule<'t, Record> {
    let says = claim().or(stated().map(|claim| (ClaimSource::Found, claim)));
    let settled = names()
        .then(go_by())
        .map(|(names, source)| Record::SurveyGoBy { names, source });
    let found = names()
        .then(says)
        .map(|(names, (source, claim))| Record::Survey {
            names,
            source,
            claim,
        });
    settled.or(found).boxed()
}

/// A source and what it claims.
fn claim<'t>() -> Rule<'t, (ClaimSource, Claim)> {
    let lead = || word_where(Token::is_wordlike).labelled(Sort::LeadOrDirection);
    let sounds = just(Token::Beep)
        .ignore_then(lead())
        .then(name())
        .map(|(lead, net)| (ClaimSource::Beep, Claim::Sounds { lead, net }));
    let reads = lead()
        .then_ignore(just(Token::To))
        .then(lead())
        .then(value())
        .map(|((from, to), value)| Claim::Reads { from, to, value });
    let source = word_where(|token| ClaimSource::of(token).is_some());
    let says = source
        .then(reads.or(stated()))
        .map(|(source, claim)| (source_of(source.token), claim));
    sounds.boxed().or(says.boxed()).boxed()
}

fn plan<'t>() -> Rule<'t, Record> {
    let with_part = facts(Place::Plan)
        .map_with(|facts, extra| WithPart {
            span: extra.span(),
            facts,
        })
        .filter(|part| !part.facts.is_empty());
    let with = just(Token::With).ignore_then(
        with_part
            .separated_by(just(Token::And))
            .at_least(1)
            .collect::<Vec<_>>(),
    );
    word_where(|token| PlanVerb::of(token).is_some())
        .then(selector())
        .then(just(Token::From).ignore_then(names()).or_not())
        .then(with.or_not())
        .then(pins().or_not())
        .then(
            fact(Place::Plan)
                .filter(is_of_plan_line)
                .then_ignore(just(Token::Comma).or_not())
                .repeated()
                .collect::<Facts>(),
        )
        .map(|(((((verb, selector), from), with), pins), mut facts)| {
            let mut with = with.unwrap_or_default();
            // What is said of the line stands behind the last new part and is
            // read with it: direction, mounting and reason belong to the line.
            for part in &mut with {
                let (of_line, of_part) = std::mem::take(&mut part.facts)
                    .into_iter()
                    .partition(is_of_plan_line);
                facts.extend::<Facts>(of_line);
                part.facts = of_part;
            }
            Record::Plan(PlanLine {
                verb: PlanVerb::of(verb.token).unwrap_or(PlanVerb::Replace),
                selector,
                from: from.unwrap_or_default(),
                with,
                facts,
                pins: pins.unwrap_or_default(),
            })
        })
        .boxed()
}

fn is_of_plan_line(fact: &Fact) -> bool {
    matches!(
        fact.property,
        Some(Property::Orientation | Property::Mounting | Property::Because)
    )
}

fn step<'t>() -> Rule<'t, Record> {
    let verb = word_where(|token| StepVerb::of(token).is_some()).labelled(Sort::StepVerb);
    name()
        .then(verb)
        .then(
            // `90min` is how long the step takes, `with` begins the next slot.
            word_where(|token| token == Token::Number || opens_fact(token, Place::Steps))
                .not()
                .ignore_then(selector())
                .or_not(),
        )
        .then(just(Token::With).ignore_then(names()).or_not())
        .then(just(Token::After).ignore_then(names()).or_not())
        .then(facts(Place::Steps))
        .map(
            |(((((name, verb), selector), with), after), facts)| Record::Step {
                name,
                verb: StepVerb::of(verb.token).unwrap_or(StepVerb::Inspect),
                selector,
                with: with.unwrap_or_default(),
                after: after.unwrap_or_default(),
                facts,
            },
        )
        .boxed()
}
