//! From an offset in a file to the line it stands on, and the words around it.

use super::{Position, Snapshot};
use crate::sources::{FileId, Origin};
use retin_syntax::lexer::BYTE_ORDER_MARK;
use retin_syntax::tree::{Lexeme, LineId, Tree};
use retin_syntax::{Span, Token};

/// A place in a file with the line around it.
#[derive(Clone, Copy, Debug)]
pub struct Caret<'a> {
    /// The file.
    pub file: FileId,
    /// Bytes from the file's start; within the text, and between two characters.
    pub offset: u32,
    /// The file's text.
    pub text: &'a str,
    /// The file's outline.
    pub tree: &'a Tree,
    /// The line of text, blanks and comment included, without its end.
    pub physical: Span,
    /// The line of the outline that stands there; none on a blank line and on
    /// one that holds a comment only.
    pub line: Option<LineId>,
}

impl<'a> Caret<'a> {
    /// The caret at a position, which is moved into the text where it lies outside.
    pub fn at(snapshot: &Snapshot<'a>, position: Position) -> Caret<'a> {
        let text = snapshot.text(position.file);
        let tree = snapshot.tree(position.file);
        let offset = clamped(text, position.offset);
        let physical = physical(text, offset);
        let next = tree
            .lines
            .partition_point(|line| line.span.start < physical.end);
        let line = next
            .checked_sub(1)
            .filter(|index| tree.lines[*index].span.start >= physical.start)
            .map(|index| LineId(index as u32));
        Caret {
            file: position.file,
            offset,
            text,
            tree,
            physical,
            line,
        }
    }

    /// The tokens of the line, a comment included.
    pub fn lexemes(&self) -> &'a [Lexeme] {
        let first = self
            .tree
            .lexemes
            .partition_point(|lexeme| lexeme.1.start < self.physical.start);
        let count =
            self.tree.lexemes[first..].partition_point(|lexeme| lexeme.1.start < self.physical.end);
        &self.tree.lexemes[first..first + count]
    }

    /// The token under the caret; where it stands between two, the one that
    /// follows, unless only the one before is a word.
    pub fn lexeme(&self) -> Option<Lexeme> {
        let lexemes = self.lexemes();
        let touching = |lexeme: &&Lexeme| lexeme.1.touches(self.offset);
        lexemes
            .iter()
            .rfind(|lexeme| touching(lexeme) && lexeme.0.is_wordlike())
            .or_else(|| lexemes.iter().rfind(touching))
            .copied()
    }

    /// From the start of the word that is being typed to the caret; empty where
    /// none is.
    pub fn typed(&self) -> Span {
        let word = self.lexemes().iter().rfind(|(token, span)| {
            (token.is_wordlike() || *token == Token::OpenText)
                && span.start < self.offset
                && self.offset <= span.end
        });
        Span::new(word.map_or(self.offset, |word| word.1.start), self.offset)
    }

    /// The tokens before the word that is being typed.
    pub fn before(&self) -> &'a [Lexeme] {
        let start = self.typed().start;
        let lexemes = self.lexemes();
        &lexemes[..lexemes.partition_point(|lexeme| lexeme.1.end <= start)]
    }

    /// Whether the caret stands in a comment or in prose, of which nothing is read.
    pub fn is_in_prose(&self) -> bool {
        self.lexemes().iter().any(|(token, span)| {
            matches!(token, Token::Comment | Token::Prose)
                && span.start < self.offset
                && self.offset <= span.end
        })
    }

    /// Columns of indentation: those of the line, or where the line is blank or
    /// about to be, those before the caret.
    pub fn indent(&self) -> u32 {
        let line = self.physical.of(self.text);
        let blanks = unmarked(line);
        let start = self.physical.start as usize + line.len() - blanks.len();
        let typed = (self.offset as usize).saturating_sub(start);
        let counted = if self.line.is_some() {
            blanks.len()
        } else {
            typed
        };
        blanks
            .bytes()
            .take(counted)
            .map_while(|letter| match letter {
                b' ' => Some(1),
                b'\t' => Some(2),
                _ => None,
            })
            .sum()
    }

    /// The line that the line of the caret belongs to, as its indentation says.
    pub fn parent(&self) -> Option<LineId> {
        if let Some(line) = self.line {
            return self.tree.line(line).parent;
        }
        let above = self
            .tree
            .lines
            .partition_point(|line| line.span.start < self.physical.start);
        let mut candidate = above.checked_sub(1).map(|index| LineId(index as u32));
        let indent = self.indent();
        while let Some(line) = candidate {
            if self.tree.line(line).indent < indent {
                return candidate;
            }
            candidate = self.tree.line(line).parent;
        }
        None
    }

    /// A span of this file as an origin.
    pub fn origin(&self, span: Span) -> Origin {
        Origin {
            file: self.file,
            span,
        }
    }
}

/// A line without the mark that some editors put before the first character.
fn unmarked(line: &str) -> &str {
    line.trim_start_matches(BYTE_ORDER_MARK)
}

/// The nearest place not behind `offset` that lies in the text and between two characters.
pub fn clamped(text: &str, offset: u32) -> u32 {
    let mut offset = (offset as usize).min(text.len());
    while !text.is_char_boundary(offset) {
        offset -= 1;
    }
    offset as u32
}

/// The line of text around an offset, without its end.
pub fn physical(text: &str, offset: u32) -> Span {
    fn is_end(byte: &u8) -> bool {
        matches!(byte, b'\n' | b'\r')
    }
    let bytes = text.as_bytes();
    let at = offset as usize;
    let start = bytes[..at].iter().rposition(is_end);
    let length = bytes[at..].iter().position(is_end);
    Span::new(
        start.map_or(0, |before| before as u32 + 1),
        length.map_or(bytes.len(), |length| at + length) as u32,
    )
}

#[cfg(test)]
mod tests {
    use super::super::fixture::at_caret;
    use retin_syntax::Token;

    fn typed(text: &str) -> (String, Vec<Token>) {
        at_caret(text, |_, caret| {
            let before = caret.before().iter().map(|lexeme| lexeme.0).collect();
            (caret.typed().of(caret.text).to_owned(), before)
        })
    }

    #[test]
    fn the_word_that_is_typed_ends_at_the_caret() {
        assert_eq!(
            typed("plan\n  keep psu.C$01 on ch1"),
            ("psu.C".into(), vec![Token::Keep])
        );
        assert_eq!(typed("plan\n  keep $0"), (String::new(), vec![Token::Keep]));
        assert_eq!(typed("$0plan"), (String::new(), vec![]));
        assert_eq!(
            typed("# 50 µF $0\nplan"),
            (String::new(), vec![Token::Comment])
        );
    }

    #[test]
    fn a_blank_line_belongs_to_what_its_columns_say() {
        let parent = |text: &str| {
            at_caret(text, |_, caret| {
                caret
                    .parent()
                    .map(|line| caret.tree.line(line).span.of(caret.text).to_owned())
            })
        };
        let board = "board psu\n  film\n    C1 1uF\n";
        assert_eq!(parent(&format!("{board}$0")), None);
        assert_eq!(
            parent(&format!("{board}  $0")).as_deref(),
            Some("board psu")
        );
        assert_eq!(parent(&format!("{board}    $0")).as_deref(), Some("film"));
        assert_eq!(
            parent(&format!("{board}      $0")).as_deref(),
            Some("C1 1uF")
        );
        assert_eq!(parent("  $0"), None);
    }

    #[test]
    fn a_caret_outside_the_text_or_within_a_character_is_moved() {
        assert_eq!(super::clamped("10µF", 3), 2);
        assert_eq!(super::clamped("10µF", 99), 5);
        assert_eq!(super::clamped("", 7), 0);
    }

    #[test]
    fn a_lone_carriage_return_ends_a_line() {
        assert_eq!(
            super::physical("a\rbc\r\nd", 3),
            retin_syntax::Span::new(2, 4)
        );
    }
}
