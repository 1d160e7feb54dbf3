//! Why a line cannot be read: what was expected, gathered without allocating.
//!
//! The parsing library's own rich errors cost several times the parsing itself;
//! a line needs no more than its first few expectations.

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
    /// Anything of a sort, in words.
    Label(&'static str),
}

/// Where a line went wrong, and what could have stood there.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Why {
    pub(super) span: Span,
    expected: [Option<Expected>; MOST],
}

/// Most expectations that are kept: more would not be read.
const MOST: usize = 6;

impl Why {
    fn gather(expected: impl Iterator<Item = Expected>, span: Span) -> Self {
        let mut why = Why {
            span,
            expected: [None; MOST],
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

    /// What could have stood there.
    pub(super) fn expected(&self) -> impl Iterator<Item = Expected> {
        self.expected.into_iter().flatten()
    }
}

impl<'t> Error<'t, Input<'t>> for Why {
    fn merge(mut self, other: Self) -> Self {
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

impl<'t> LabelError<'t, Input<'t>, &'static str> for Why {
    fn expected_found<E: IntoIterator<Item = &'static str>>(
        expected: E,
        _found: Option<MaybeRef<'t, Token>>,
        span: Span,
    ) -> Self {
        Why::gather(expected.into_iter().map(Expected::Label), span)
    }

    fn label_with(&mut self, label: &'static str) {
        self.expected = [None; MOST];
        self.expected[0] = Some(Expected::Label(label));
    }
}
