//! Between the byte offsets of the core and the positions an editor counts in.

use tower_lsp::lsp_types::{Position, PositionEncodingKind, Range};

/// How an editor counts along a line.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Encoding {
    /// Bytes of UTF-8.
    Utf8,
    /// Code units of UTF-16: what every editor can do.
    Utf16,
}

impl Encoding {
    /// UTF-8 where the editor offers it, since then nothing is to be counted.
    pub fn chosen(offered: Option<&[PositionEncodingKind]>) -> Encoding {
        let offers_bytes =
            offered.is_some_and(|offered| offered.contains(&PositionEncodingKind::UTF8));
        if offers_bytes {
            Encoding::Utf8
        } else {
            Encoding::Utf16
        }
    }

    /// The protocol's word.
    pub fn kind(self) -> PositionEncodingKind {
        match self {
            Encoding::Utf8 => PositionEncodingKind::UTF8,
            Encoding::Utf16 => PositionEncodingKind::UTF16,
        }
    }
}

/// Where the lines of a text begin.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Lines {
    starts: Vec<u32>,
}

impl Lines {
    /// Finds the lines; `\n`, `\r\n` and `\r` end one, as the protocol says.
    pub fn of(text: &str) -> Lines {
        let mut starts = Vec::with_capacity(text.len() / 32 + 1);
        starts.push(0);
        starts.extend(starts_behind(text, 0..text.len()));
        Lines { starts }
    }

    /// Follows an edit: in `text`, as it is now, the bytes from the start of `old` to
    /// `new_end` stand for those that were `old`.
    pub fn edit(&mut self, text: &str, old: std::ops::Range<u32>, new_end: u32) {
        // Whether a line begins is decided by the byte there and the one before.
        let first = self.starts.partition_point(|start| *start < old.start);
        let behind = self.starts.partition_point(|start| *start <= old.end);
        let (first, behind) = (first.max(1), behind.max(1));
        let by = new_end.wrapping_sub(old.end);
        for start in &mut self.starts[behind..] {
            *start = start.wrapping_add(by);
        }
        let looked_at = old.start.saturating_sub(1) as usize..new_end as usize;
        self.starts
            .splice(first..behind, starts_behind(text, looked_at));
    }

    /// The offset of a position in bytes, moved to the end of its line or of
    /// the text where it lies behind it, and to the start of its character.
    pub fn offset(&self, text: &str, position: Position, encoding: Encoding) -> u32 {
        let Some(&start) = self.starts.get(position.line as usize) else {
            return text.len() as u32;
        };
        let line = self.line(text, position.line as usize);
        let along = match encoding {
            Encoding::Utf8 => line.floor_char_boundary(position.character as usize),
            Encoding::Utf16 => {
                let mut units = 0;
                line.char_indices()
                    .find(|(_, character)| {
                        units += character.len_utf16() as u32;
                        units > position.character
                    })
                    .map_or(line.len(), |(at, _)| at)
            }
        };
        start + along as u32
    }

    /// The position of an offset, moved into the text and to the start of its character.
    pub fn position(&self, text: &str, offset: u32, encoding: Encoding) -> Position {
        let offset = text.floor_char_boundary(offset as usize);
        let line = self
            .starts
            .partition_point(|start| *start as usize <= offset)
            - 1;
        let before = &text[self.starts[line] as usize..offset];
        let character = match encoding {
            Encoding::Utf8 => before.len() as u32,
            Encoding::Utf16 if before.is_ascii() => before.len() as u32,
            Encoding::Utf16 => before.chars().map(|c| c.len_utf16() as u32).sum(),
        };
        Position {
            line: line as u32,
            character,
        }
    }

    /// A span as a range.
    pub fn range(&self, text: &str, span: retin_syntax::Span, encoding: Encoding) -> Range {
        Range {
            start: self.position(text, span.start, encoding),
            end: self.position(text, span.end.max(span.start), encoding),
        }
    }

    /// A line without its end.
    fn line<'t>(&self, text: &'t str, index: usize) -> &'t str {
        let start = self.starts[index] as usize;
        let end = self
            .starts
            .get(index + 1)
            .map_or(text.len(), |end| *end as usize);
        text[start..end].trim_end_matches(['\n', '\r'])
    }
}

/// The lines that begin right behind one of some bytes.
fn starts_behind(text: &str, looked_at: std::ops::Range<usize>) -> impl Iterator<Item = u32> {
    let bytes = text.as_bytes();
    looked_at.filter_map(move |index| {
        let is_end = match bytes[index] {
            b'\n' => true,
            b'\r' => bytes.get(index + 1) != Some(&b'\n'),
            _ => false,
        };
        is_end.then_some(index as u32 + 1)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn at(line: u32, character: u32) -> Position {
        Position { line, character }
    }

    #[test]
    fn utf_16_counts_code_units() {
        let text = "a\u{1F50A}µ\r\nb";
        let lines = Lines::of(text);
        assert_eq!(lines.offset(text, at(0, 3), Encoding::Utf16), 5);
        assert_eq!(lines.position(text, 5, Encoding::Utf16), at(0, 3));
        assert_eq!(lines.position(text, 5, Encoding::Utf8), at(0, 5));
        assert_eq!(lines.position(text, 9, Encoding::Utf16), at(1, 0));
    }

    #[test]
    fn a_position_inside_a_character_is_moved_to_its_start() {
        let text = "\u{1F50A}x";
        let lines = Lines::of(text);
        assert_eq!(lines.offset(text, at(0, 1), Encoding::Utf16), 0);
        assert_eq!(lines.offset(text, at(0, 2), Encoding::Utf8), 0);
    }

    #[test]
    fn a_position_behind_the_line_or_the_text_is_moved_to_its_end() {
        let text = "ab\r\ncd";
        let lines = Lines::of(text);
        assert_eq!(lines.offset(text, at(0, 99), Encoding::Utf16), 2);
        assert_eq!(lines.offset(text, at(7, 0), Encoding::Utf16), 6);
    }

    #[test]
    fn a_lone_carriage_return_ends_a_line() {
        let lines = Lines::of("a\rb\n\rc");
        assert_eq!(lines.position("a\rb\n\rc", 2, Encoding::Utf8), at(1, 0));
        assert_eq!(lines.position("a\rb\n\rc", 5, Encoding::Utf8), at(3, 0));
    }

    proptest! {
        #[test]
        fn lines_after_an_edit_are_those_of_the_text(
            text in "[ab\r\n]{0,20}", from in 0usize..20, gone in 0usize..5, new in "[a\r\n]{0,4}"
        ) {
            let start = from.min(text.len());
            let end = (start + gone).min(text.len());
            let mut lines = Lines::of(&text);
            let mut edited = text.clone();
            edited.replace_range(start..end, &new);
            lines.edit(&edited, start as u32..end as u32, (start + new.len()) as u32);
            prop_assert_eq!(lines, Lines::of(&edited));
        }

        #[test]
        fn there_and_back_is_the_same_place(text in "[a-cµ\u{1F50A}\r\n]{0,40}", at in 0usize..80) {
            let offset = text.floor_char_boundary(at);
            let lines = Lines::of(&text);
            for encoding in [Encoding::Utf8, Encoding::Utf16] {
                let position = lines.position(&text, offset as u32, encoding);
                let back = lines.offset(&text, position, encoding) as usize;
                // Behind the first half of a line's end there is no position.
                let inside_end = text[..offset].ends_with('\r') && text[offset..].starts_with('\n');
                prop_assert!(back == offset || inside_end && back + 1 == offset);
            }
        }
    }
}
