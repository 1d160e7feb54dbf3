//! Text with places to fill in, numbered in the order they are visited.

use std::fmt::Write as _;

/// A text with numbered stops.
#[derive(Clone, Default, PartialEq, Eq, Debug)]
pub struct Snippet {
    /// Its pieces, in order.
    pub pieces: Vec<Piece>,
}

/// A piece of a [`Snippet`].
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Piece {
    /// Text that stands as it is.
    Text(String),
    /// A place to fill in.
    Stop {
        /// Its number, from 1; 0 is where the caret ends up.
        number: u32,
        /// What stands there until something is typed.
        placeholder: String,
    },
}

impl Snippet {
    /// Reads our own short form: `job <1:26-001> "<2>"` has two stops.
    pub(super) fn of(form: &str) -> Snippet {
        let mut pieces = Vec::new();
        let mut rest = form;
        while let Some(open) = rest.find('<') {
            let Some(length) = rest[open..].find('>') else {
                break;
            };
            if open > 0 {
                pieces.push(Piece::Text(rest[..open].to_owned()));
            }
            let stop = &rest[open + 1..open + length];
            let (number, placeholder) = stop.split_once(':').unwrap_or((stop, ""));
            pieces.push(Piece::Stop {
                number: number.parse().unwrap_or(0),
                placeholder: placeholder.to_owned(),
            });
            rest = &rest[open + length + 1..];
        }
        if !rest.is_empty() {
            pieces.push(Piece::Text(rest.to_owned()));
        }
        Snippet { pieces }
    }

    /// The text with every placeholder in its place.
    pub fn plain(&self) -> String {
        let pieces = self.pieces.iter().map(|piece| match piece {
            Piece::Text(text) => text.as_str(),
            Piece::Stop { placeholder, .. } => placeholder.as_str(),
        });
        pieces.collect()
    }

    /// The text with stops as `$1` and `${1:placeholder}`, the form that the
    /// language server protocol and most editors read.
    pub fn dollars(&self) -> String {
        let mut out = String::new();
        for piece in &self.pieces {
            match piece {
                Piece::Text(text) => out.push_str(&escaped(text)),
                Piece::Stop {
                    number,
                    placeholder,
                } if placeholder.is_empty() => {
                    let _ = write!(out, "${number}");
                }
                Piece::Stop {
                    number,
                    placeholder,
                } => {
                    let _ = write!(out, "${{{number}:{}}}", escaped(placeholder));
                }
            }
        }
        out
    }
}

fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        if matches!(letter, '\\' | '$' | '}') {
            out.push('\\');
        }
        out.push(letter);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::Snippet;

    #[test]
    fn stops_are_read_and_written() {
        let snippet = Snippet::of("job <1:26-001> \"<2>\"\n  <0>");
        assert_eq!(snippet.plain(), "job 26-001 \"\"\n  ");
        assert_eq!(snippet.dollars(), "job ${1:26-001} \"$2\"\n  $0");
    }

    #[test]
    fn signs_that_mean_something_in_a_snippet_are_escaped() {
        assert_eq!(Snippet::of("5$ }\\").dollars(), "5\\$ \\}\\\\");
    }
}
