//! Lines of two versions that were joined and not decided between.
//!
//! A join that cannot decide writes both versions between marker lines:
//!
//! ```text
//! <<<<<<< ours
//!   replace    psu.C1  with E-2200-50
//! =======
//!   replace    psu.C1  with E-2200-63
//! >>>>>>> theirs
//! ```
//!
//! The first version is read; the markers and the other versions are kept as
//! lines that say nothing, so that one undecided line is one error.

use crate::span::Span;
use crate::tree::SyntaxError;
use std::cell::OnceCell;

/// The four sorts of marker line.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Marker {
    /// `<<<<<<<`: the first version follows.
    Opens,
    /// `|||||||`: what both versions came from follows.
    Origin,
    /// `=======`: the second version follows.
    Parts,
    /// `>>>>>>>`: the end.
    Closes,
}

/// The marker that a whole line is, its line end left out.
pub fn marker(line: &str) -> Option<Marker> {
    let marker = match line.as_bytes().first()? {
        b'<' => Marker::Opens,
        b'|' => Marker::Origin,
        b'=' => Marker::Parts,
        b'>' => Marker::Closes,
        _ => return None,
    };
    let sign = line.get(..1)?;
    let rest = line.trim_start_matches(sign);
    let is_marker = line.len() - rest.len() >= 7 && (rest.is_empty() || rest.starts_with(' '));
    is_marker.then_some(marker)
}

/// Whether the text holds a join that is not decided.
pub fn is_unresolved(text: &str) -> bool {
    let mut opened = false;
    for line in text.split(['\n', '\r']) {
        match marker(line) {
            Some(Marker::Opens) => opened = true,
            Some(Marker::Closes) if opened => return true,
            _ => {}
        }
    }
    false
}

/// Where the parser is among the markers.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum State {
    /// Outside, or in the part that is read.
    Reading { is_open: bool },
    /// In a version that is not read.
    Skipping,
}

/// Follows the markers of a text line by line.
#[derive(Debug)]
pub(super) struct Unresolved {
    state: State,
    /// Where the last line that closes a join begins; looked for when one opens,
    /// which is hardly ever.
    last_close: OnceCell<Option<u32>>,
}

impl Unresolved {
    pub(super) fn new() -> Self {
        Unresolved {
            state: State::Reading { is_open: false },
            last_close: OnceCell::new(),
        }
    }

    fn last_close(&self, text: &str) -> Option<u32> {
        let look = || {
            text.rmatch_indices(">>>>>>>")
                .map(|(at, _)| at)
                .find(|at| *at == 0 || text[..*at].ends_with(['\n', '\r']))
                .map(|at| at as u32)
        };
        *self.last_close.get_or_init(look)
    }

    /// Whether the line is a marker, or belongs to a version that is not read.
    /// A marker that opens something comes with its error.
    pub(super) fn takes(&mut self, line: Span, text: &str) -> Option<Option<SyntaxError>> {
        let marker = marker(line.of(text));
        let is_inside = self.state != State::Reading { is_open: false };
        match (self.state, marker) {
            (_, Some(Marker::Opens))
                if is_inside || self.last_close(text).is_some_and(|last| line.end < last) =>
            {
                if !is_inside {
                    self.state = State::Reading { is_open: true };
                }
                Some(Some(error(line)))
            }
            (State::Reading { is_open: true } | State::Skipping, Some(Marker::Closes)) => {
                self.state = State::Reading { is_open: false };
                Some(None)
            }
            (State::Reading { is_open: true }, Some(Marker::Origin | Marker::Parts)) => {
                self.state = State::Skipping;
                Some(None)
            }
            (State::Skipping, _) => Some(None),
            _ => None,
        }
    }
}

fn error(at: Span) -> SyntaxError {
    SyntaxError {
        span: at,
        message: "two versions were joined here, and nobody has decided between them".into(),
        help: Some(
            "keep the lines above or those below `=======`, and delete the lines that begin \
             with `<<<<<<<`, `=======` and `>>>>>>>`; until then the lines above are read"
                .into(),
        ),
        edits: Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parse;
    use crate::tree::Record;

    const JOINED: &str = "\
plan
  keep       psu.C1
<<<<<<< ours
  replace    psu.C2  with E-1
    | said so
=======
  replace    psu.C2  with E-2
    | said otherwise
>>>>>>> theirs
  keep       psu.C3
";

    #[test]
    fn an_undecided_join_is_one_error_and_the_first_version_is_read() {
        let tree = parse(JOINED);
        assert_eq!(tree.errors.len(), 1, "{:?}", tree.errors);
        assert_eq!(tree.errors[0].span.of(JOINED), "<<<<<<< ours");
        let read = tree
            .lines
            .iter()
            .filter(|line| !matches!(line.record, Record::Unresolved));
        let read: Vec<&str> = read.map(|line| line.span.of(JOINED).trim()).collect();
        assert_eq!(
            read,
            [
                "plan",
                "keep       psu.C1",
                "replace    psu.C2  with E-1",
                "| said so",
                "keep       psu.C3"
            ]
        );
    }

    #[test]
    fn the_formatter_leaves_an_undecided_join_as_it_is() {
        assert_eq!(crate::format(JOINED).text, JOINED);
    }

    #[test]
    fn a_marker_alone_joins_nothing() {
        for text in [
            "<<<<<<< ours\nplan\n",
            "=======\n",
            ">>>>>>> theirs\n<<<<<<< a\n",
        ] {
            assert!(!is_unresolved(text));
            assert!(
                parse(text)
                    .lines
                    .iter()
                    .all(|line| line.record != Record::Unresolved)
            );
        }
    }
}
