//! A version as nodes: each record with the lines that belong to it.

use super::identity::{self, Identity};
use retin_syntax::parser::unresolved::{Marker, marker};
use retin_syntax::token::Token;
use retin_syntax::tree::{LineId, Record, Tree};
use retin_syntax::{Span, parse};

/// A record, or a comment that stands on a line of its own.
#[derive(Debug)]
pub(crate) struct Node<'t> {
    /// What it is about.
    pub identity: Identity,
    /// What it says, in canonical words with single blanks; without a comment.
    pub says: String,
    /// The comment behind it, as typed.
    pub comment: &'t str,
    /// The blanks before it, as typed.
    pub indent: &'t str,
    /// The line as typed, without indentation, comment, and blanks between.
    pub record: &'t str,
    /// The line as typed, without indentation.
    pub typed: &'t str,
    /// How many blank lines stand before it.
    pub blanks: u32,
    /// Where its record stands in the text; of a comment, the comment.
    pub span: Span,
    /// Whether an earlier join left it undecided; then it equals nothing.
    pub is_contested: bool,
    /// What belongs to it.
    pub children: Vec<Node<'t>>,
}

impl Node<'_> {
    /// Whether this is a comment.
    pub fn is_comment(&self) -> bool {
        self.record.is_empty()
    }

    /// Whether both say the same, comments and all that belongs to them included.
    pub fn is_same(&self, other: &Node<'_>) -> bool {
        !self.is_contested
            && !other.is_contested
            && self.says == other.says
            && self.comment == other.comment
            && self.children.len() == other.children.len()
            && self
                .children
                .iter()
                .zip(&other.children)
                .all(|(one, other)| one.is_same(other))
    }
}

/// One line of the text that is not blank.
struct Physical {
    line: Span,
    first: Span,
    /// The record; none for a comment.
    id: Option<LineId>,
    blanks: u32,
}

/// Reads a version. `canonical` is its canonical form, record by record the same.
pub(crate) fn read<'t>(text: &'t str, canonical: &str, is_base: bool) -> Vec<Node<'t>> {
    let tree = parse(text);
    let canonical_tree = parse(canonical);
    let words = if canonical_tree.lines.len() == tree.lines.len() {
        (canonical, &canonical_tree)
    } else {
        (text, &tree)
    };
    let identities = identity::of_all(words.0, words.1);
    let contested = if is_base {
        contested(text, &tree)
    } else {
        Vec::new()
    };
    let physical = physical(text, &tree);
    let mut open: Vec<(u32, Node<'t>)> = Vec::new();
    let mut roots = Vec::new();
    let mut identities: Vec<Option<Identity>> = identities.into_iter().map(Some).collect();
    for (at, line) in physical.iter().enumerate() {
        let indent = Span::new(line.line.start, line.first.start).of(text);
        let typed = Span::new(line.first.start, line.line.end)
            .of(text)
            .trim_end();
        let (depth, node) = match line.id {
            Some(id) => {
                let outline = tree.line(id);
                if outline.record == Record::Unresolved {
                    continue;
                }
                let comment = match tree.lexemes[..outline.lexemes.1 as usize].last() {
                    Some((Token::Comment, span)) => span.of(text).trim_end(),
                    _ => "",
                };
                let node = Node {
                    identity: identities[id.index()].take().unwrap_or_default(),
                    says: says(words.0, words.1, id),
                    comment,
                    indent,
                    record: outline.span.of(text).trim_end(),
                    typed,
                    blanks: line.blanks,
                    span: outline.span,
                    is_contested: contested.contains(&id),
                    children: Vec::new(),
                };
                (outline.indent, node)
            }
            None => {
                // A comment belongs where the line after it does, unless it
                // is typed deeper and so closes the lines before.
                let next = physical[at..].iter().find_map(|line| line.id);
                let next = next.map_or(0, |id| tree.line(id).indent);
                let node = Node {
                    identity: Identity::comment(typed),
                    says: typed.to_owned(),
                    comment: typed,
                    indent,
                    record: "",
                    typed,
                    blanks: line.blanks,
                    span: line.first,
                    is_contested: false,
                    children: Vec::new(),
                };
                (columns(indent).max(next), node)
            }
        };
        close(&mut open, &mut roots, depth);
        if node.is_comment() {
            match open.last_mut() {
                Some((_, parent)) => parent.children.push(node),
                None => roots.push(node),
            }
        } else {
            open.push((depth, node));
        }
    }
    close(&mut open, &mut roots, 0);
    roots
}

/// Closes the nodes that a line at this depth does not belong to.
fn close<'t>(open: &mut Vec<(u32, Node<'t>)>, roots: &mut Vec<Node<'t>>, depth: u32) {
    while open.last().is_some_and(|last| last.0 >= depth) {
        let Some((_, node)) = open.pop() else { return };
        match open.last_mut() {
            Some((_, parent)) => parent.children.push(node),
            None => roots.push(node),
        }
    }
}

/// How many columns blanks take; a tab counts as two.
pub(crate) fn columns(blanks: &str) -> u32 {
    blanks
        .bytes()
        .map(|byte| if byte == b'\t' { 2 } else { 1 })
        .sum()
}

/// The words of a line with single blanks between them, its comment left out.
fn says(text: &str, tree: &Tree, id: LineId) -> String {
    let line = tree.line(id);
    let (first, end) = line.lexemes;
    let mut says = String::with_capacity(line.span.len() as usize);
    for (token, span) in &tree.lexemes[first as usize..end as usize] {
        if *token == Token::Comment {
            continue;
        }
        if !says.is_empty() {
            says.push(' ');
        }
        says.push_str(span.of(text).trim_end());
    }
    says
}

fn physical(text: &str, tree: &Tree) -> Vec<Physical> {
    let end = Span::new(text.len() as u32, text.len() as u32);
    let mut lines = Vec::new();
    let mut start = text.len() - text.trim_start_matches('\u{feff}').len();
    let mut record = 0;
    let mut first = None;
    let mut blanks = 0;
    for &(token, span) in tree.lexemes.iter().chain([&(Token::Newline, end)]) {
        if token != Token::Newline {
            first = first.or(Some((token, span)));
            continue;
        }
        match first.take() {
            None => blanks += 1,
            Some((token, first)) => {
                let id = (token != Token::Comment).then(|| {
                    record += 1;
                    LineId(record - 1)
                });
                lines.push(Physical {
                    line: Span::new(start as u32, span.start),
                    first,
                    id,
                    blanks: std::mem::take(&mut blanks),
                });
            }
        }
        start = span.end as usize;
    }
    lines
}

/// The records that stand in the part of an undecided join that is read.
fn contested(text: &str, tree: &Tree) -> Vec<LineId> {
    let mut is_open = false;
    let mut contested = Vec::new();
    for (index, line) in tree.lines.iter().enumerate() {
        if line.record != Record::Unresolved {
            if is_open {
                contested.push(LineId(index as u32));
            }
            continue;
        }
        match marker(line.span.of(text)) {
            Some(Marker::Opens) => is_open = true,
            Some(Marker::Origin | Marker::Parts | Marker::Closes) => is_open = false,
            None => {}
        }
    }
    contested
}
