//! What is not a record: line ends, the byte order mark, the end of the file.

use retin_syntax::lexer::BYTE_ORDER_MARK;

/// How a text is laid out.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Layout {
    /// What ends a line.
    pub line_end: &'static str,
    /// Whether a byte order mark stands at the start.
    pub has_mark: bool,
    /// Whether the last line is ended.
    pub is_ended: bool,
    /// Blank lines after the last line.
    pub blanks: u32,
}

impl Layout {
    /// The layout of the joined text: each trait follows the side that changed it.
    pub fn of(versions: [&str; 3]) -> Layout {
        let [base, ours, theirs] = versions.map(Layout::of_one);
        Layout {
            line_end: pick(base.line_end, ours.line_end, theirs.line_end),
            has_mark: pick(base.has_mark, ours.has_mark, theirs.has_mark),
            is_ended: pick(base.is_ended, ours.is_ended, theirs.is_ended),
            blanks: pick(base.blanks, ours.blanks, theirs.blanks),
        }
    }

    fn of_one(text: &str) -> Layout {
        let first = text.find(['\n', '\r']).map(|at| &text[at..]);
        let line_end = match first {
            Some(rest) if rest.starts_with("\r\n") => "\r\n",
            Some(rest) if rest.starts_with('\r') => "\r",
            _ => "\n",
        };
        let body = text.trim_end_matches([' ', '\t', '\n', '\r']);
        let ends = text[body.len()..].matches(line_end).count() as u32;
        Layout {
            line_end,
            has_mark: text.starts_with(BYTE_ORDER_MARK),
            is_ended: body.is_empty() || ends > 0,
            blanks: ends.saturating_sub(1),
        }
    }
}

/// What the side says that changed it; ours where both did.
pub(super) fn pick<T: PartialEq>(base: T, ours: T, theirs: T) -> T {
    if ours == base { theirs } else { ours }
}
