//! Why a line cannot be read: what was expected, gathered without allocating.
//!
//! The parsing library's own rich errors cost several times the parsing itself;
//! a line needs no more than its first few expectations. They are kept small,
//! since the library moves them about at every word.

use super::grammar::Input;
use crate::span::Span;
use crate::token::Token;
use chumsky::DefaultExpected;
use chumsky::error::{Error, LabelError};
use chumsky::util::MaybeRef;

/// Something that could have stood where a line went wrong.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Expected {
    /// A certain word or sign.
    Token(Token),
    /// Anything of a sort.
    Sort(Sort),
}

/// A sort of words that has a name of its own.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Sort {
    Name,
    Text,
    Value,
    Pins,
    Word,
    Position,
    Size,
    WithName,
    Fact,
    KindOfPart,
    Selector,
    Source,
    Date,
    LeadOrDirection,
    StepVerb,
    LogVerb,
    Initials,
}

impl Sort {
    /// What it is called.
    pub(super) fn phrase(self) -> &'static str {
        match self {
            Sort::Name => "a name",
            Sort::Text => "text in quotes",
            Sort::Value => "a value",
            Sort::Pins => "leads and nets in brackets",
            Sort::Word => "a word",
            Sort::Position => "a position such as 30,40",
            Sort::Size => "a size such as 120 x 80",
            Sort::WithName => "`with` and a name",
            Sort::Fact => "a value or a property",
            Sort::KindOfPart => "a kind of part",
            Sort::Selector => "a part's name or `every`",
            Sort::Source => "a source such as `found`",
            Sort::Date => "a date such as 2026-11-03",
            Sort::LeadOrDirection => "a lead or a direction",
            Sort::StepVerb => "what the step does, such as `remove`",
            Sort::LogVerb => "what was done, such as `removed`",
            Sort::Initials => "initials",
        }
    }
}

/// Where a line went wrong, and what could have stood there.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Why {
    pub(super) span: Span,
    expected: [Option<Expected>; MOST],
    /// Whether it lies inside of a fact, whose own name says less.
    is_inside: bool,
}

/// Most expectations that are kept: more would not be read.
const MOST: usize = 6;

impl Why {
    fn gather(expected: impl Iterator<Item = Expected>, span: Span) -> Self {
        let mut why = Why {
            span,
            expected: [None; MOST],
            is_inside: false,
        };
        for one in expected {
            why.expect(one);
        }
        why
    }

    fn expect(&mut self, one: Expected) {
        for slot in &mut self.expected {
            match slot {
                Some(known) if *known == one => return,
                Some(_) => {}
                None => {
                    *slot = Some(one);
                    return;
                }
            }
        }
    }

    /// Where something else was expected than a word that begins nothing here.
    pub(super) fn nothing_begins(span: Span) -> Self {
        Why::gather(std::iter::empty(), span)
    }

    /// The same, found behind the word that a fact begins with.
    pub(super) fn inside(mut self) -> Self {
        self.is_inside = true;
        self
    }

    /// What could have stood there.
    pub(super) fn expected(&self) -> impl Iterator<Item = Expected> {
        self.expected.into_iter().flatten()
    }
}

impl<'t> Error<'t, Input<'t>> for Why {
    /// Of two the one that got farther counts.
    fn merge(mut self, other: Self) -> Self {
        if self.span.start != other.span.start {
            return if self.span.start < other.span.start {
                other
            } else {
                self
            };
        }
        for one in other.expected() {
            self.expect(one);
        }
        self
    }
}

impl<'t> LabelError<'t, Input<'t>, DefaultExpected<'t, Token>> for Why {
    fn expected_found<E: IntoIterator<Item = DefaultExpected<'t, Token>>>(
        expected: E,
        _found: Option<MaybeRef<'t, Token>>,
        span: Span,
    ) -> Self {
        let tokens = expected.into_iter().filter_map(|one| match one {
            DefaultExpected::Token(token) => Some(Expected::Token(*token)),
            _ => None,
        });
        Why::gather(tokens, span)
    }
}

impl<'t> LabelError<'t, Input<'t>, Sort> for Why {
    fn expected_found<E: IntoIterator<Item = Sort>>(
        expected: E,
        _found: Option<MaybeRef<'t, Token>>,
        span: Span,
    ) -> Self {
        Why::gather(expected.into_iter().map(Expected::Sort), span)
    }

    fn label_with(&mut self, label: Sort) {
        if self.is_inside {
            return;
        }
        self.expected = [None; MOST];
        self.expected[0] = Some(Expected::Sort(label));
    }
}
