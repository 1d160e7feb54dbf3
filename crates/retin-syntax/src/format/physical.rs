//! The lines of the text as an editor counts them.

use crate::span::Span;
use crate::token::Token;
use crate::tree::{LineId, Tree};

/// What stands on one line of the text.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Content {
    /// Nothing but blanks.
    Blank,
    /// A comment and nothing else.
    Comment {
        /// The comment.
        span: Span,
        /// Columns of blanks before it.
        indent: u32,
    },
    /// A line of the outline.
    Record(LineId),
}

/// One line of the text, without its line end.
#[derive(Clone, Copy, Debug)]
pub(super) struct Physical {
    /// From its first byte to its last.
    pub span: Span,
    /// What stands on it.
    pub content: Content,
}

/// Cuts the text at its line ends. A byte order mark belongs to no line.
pub(super) fn lines(text: &str, tree: &Tree) -> Vec<Physical> {
    let mut lines = Vec::with_capacity(tree.lines.len() * 5 / 4);
    let mut start = crate::lexer::first_byte(text);
    let mut record = 0;
    let mut first = None;
    let end = Span::new(text.len() as u32, text.len() as u32);
    for &(token, span) in tree.lexemes.iter().chain([&(Token::Newline, end)]) {
        if token != Token::Newline {
            first = first.or(Some((token, span)));
            continue;
        }
        let content = match first.take() {
            None => Content::Blank,
            Some((Token::Comment, span)) => Content::Comment {
                span,
                indent: crate::parser::columns(Span::new(start, span.start).of(text)),
            },
            Some(_) => {
                record += 1;
                Content::Record(LineId(record - 1))
            }
        };
        lines.push(Physical {
            span: Span::new(start, span.start),
            content,
        });
        start = span.end;
    }
    lines
}
