//! The outline of a file, and a search for names over all files.

use super::Snapshot;
use crate::sources::{FileId, Origin};
use retin_syntax::Span;
use retin_syntax::tables::Kind;
use retin_syntax::tree::{HeadingKind, LineId, Record, Tree, Word};

/// What an entry of the outline is.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum What {
    /// A section of the file.
    Section(HeadingKind),
    /// A group of parts of one kind.
    Group,
    /// A part of the model.
    Part,
    /// An entry of a shelf, a device or a package.
    Entry,
    /// A rail or a net.
    Net,
    /// A line of the plan.
    Plan,
    /// A step.
    Step,
    /// A target.
    Target,
    /// A day of the log.
    Day,
    /// An entry of the log.
    Done,
}

/// An entry of a file's outline.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Symbol {
    /// Its name, or the line where it has none.
    pub name: String,
    /// A few words beside it.
    pub detail: String,
    /// What it is.
    pub what: What,
    /// The line with all that belongs to it.
    pub whole: Origin,
    /// The name.
    pub origin: Origin,
    /// What belongs to it.
    pub children: Vec<Symbol>,
}

/// Something found by its name.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Found {
    /// Its name.
    pub name: String,
    /// What it belongs to: the section it stands in.
    pub container: String,
    /// What it is.
    pub what: What,
    /// The name.
    pub origin: Origin,
}

/// Most names that a search gives.
const MOST_FOUND: usize = 256;

/// The outline of a file.
pub fn outline(snapshot: &Snapshot<'_>, file: FileId) -> Vec<Symbol> {
    let tree = snapshot.tree(file);
    let reader = Outline {
        text: snapshot.text(file),
        tree,
        file,
    };
    tree.sections()
        .filter_map(|(id, _)| reader.symbol(id, None))
        .collect()
}

/// Names that hold the letters of `query` in their order, large or small: those
/// that begin with it first, then the shorter ones.
pub fn search(snapshot: &Snapshot<'_>, query: &str) -> Vec<Found> {
    let wanted: Vec<char> = query
        .to_lowercase()
        .chars()
        .filter(|letter| !letter.is_whitespace())
        .collect();
    let mut found = Vec::new();
    for file in snapshot.files() {
        for section in outline(snapshot, file) {
            let container = section.name.clone();
            gather(&section, "", &wanted, &mut found);
            for child in &section.children {
                gather(child, &container, &wanted, &mut found);
                for inner in &child.children {
                    gather(inner, &container, &wanted, &mut found);
                }
            }
        }
    }
    let start = query.to_lowercase();
    found.sort_by_cached_key(|found| {
        let name = found.name.to_lowercase();
        (
            !name.starts_with(&start),
            name.chars().count(),
            name,
            found.origin,
        )
    });
    found.truncate(MOST_FOUND);
    found
}

fn gather(symbol: &Symbol, container: &str, wanted: &[char], found: &mut Vec<Found>) {
    let is_named = matches!(
        symbol.what,
        What::Section(_) | What::Part | What::Entry | What::Net | What::Step
    );
    if is_named && holds(&symbol.name, wanted) {
        found.push(Found {
            name: symbol.name.clone(),
            container: container.to_owned(),
            what: symbol.what,
            origin: symbol.origin,
        });
    }
}

fn holds(name: &str, wanted: &[char]) -> bool {
    let mut letters = name.chars().flat_map(char::to_lowercase);
    wanted
        .iter()
        .all(|wanted| letters.any(|letter| letter == *wanted))
}

struct Outline<'t> {
    text: &'t str,
    tree: &'t Tree,
    file: FileId,
}

impl Outline<'_> {
    fn symbol(&self, id: LineId, section: Option<HeadingKind>) -> Option<Symbol> {
        let line = self.tree.line(id);
        let word = |word: Word| (word.text(self.text).to_owned(), word.span);
        let words = |words: &[Word]| {
            let first = words.first()?.span;
            let span = words.last().map_or(first, |last| first.to(last.span));
            Some((span.of(self.text).to_owned(), span))
        };
        let whole_line = || (line.span.of(self.text).to_owned(), line.span);
        let mut inner = section;
        let ((name, span), what, detail) = match &line.record {
            Record::Heading(heading) => {
                inner = Some(heading.kind);
                let title = heading.title.map_or("", |title| title.text(self.text));
                let end = heading
                    .name
                    .map_or(line.span, |name| Span::new(line.span.start, name.span.end));
                let name = end.of(self.text);
                let name = if heading.name.is_some() {
                    name
                } else {
                    line.span.of(self.text)
                };
                (
                    (
                        name.to_owned(),
                        heading.name.map_or(line.span, |name| name.span),
                    ),
                    What::Section(heading.kind),
                    title.to_owned(),
                )
            }
            Record::Group { kind, .. } => {
                let count = self.tree.children(id).count();
                let doc = Kind::of(kind.token).map_or("", |kind| kind.row().doc);
                (
                    word(*kind),
                    What::Group,
                    format!("{}, {doc}", counted(count, "line", "lines")),
                )
            }
            Record::Part { names, .. } => {
                let (name, span) = words(names)?;
                let rest = Span::new(span.end, line.span.end).of(self.text).trim();
                let what = match section {
                    Some(HeadingKind::Board | HeadingKind::Wiring) => What::Part,
                    _ => What::Entry,
                };
                ((name, span), what, rest.to_owned())
            }
            Record::Rail { name, .. } | Record::Net { name, .. } => {
                let rest = Span::new(name.span.end, line.span.end).of(self.text).trim();
                (word(*name), What::Net, rest.to_owned())
            }
            Record::Plan(_) | Record::Accept { .. } => (whole_line(), What::Plan, String::new()),
            Record::Step { name, .. } => {
                let rest = Span::new(name.span.end, line.span.end).of(self.text).trim();
                (word(*name), What::Step, rest.to_owned())
            }
            Record::Target { point, .. } => {
                let rest = Span::new(point.span.end, line.span.end)
                    .of(self.text)
                    .trim();
                (word(*point), What::Target, rest.to_owned())
            }
            Record::Day { .. } => {
                let count = self.tree.children(id).count();
                (whole_line(), What::Day, counted(count, "entry", "entries"))
            }
            Record::Entry { .. } => (whole_line(), What::Done, String::new()),
            _ => return None,
        };
        let end = self.tree.lines[line.end as usize - 1].span.end;
        let children = self
            .tree
            .children(id)
            .filter_map(|(child, _)| self.symbol(child, inner))
            .collect();
        Some(Symbol {
            name,
            detail,
            what,
            whole: Origin {
                file: self.file,
                span: Span::new(line.span.start, end.max(line.span.end)),
            },
            origin: Origin {
                file: self.file,
                span,
            },
            children,
        })
    }
}

fn counted(count: usize, one: &str, several: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { several })
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{MIXER, with};
    use super::{Symbol, outline, search};
    use crate::sources::FileId;
    use std::fmt::Write as _;

    fn print(symbols: &[Symbol], depth: usize, out: &mut String) {
        for symbol in symbols {
            let blanks = "  ".repeat(depth);
            writeln!(out, "{blanks}{} | {}", symbol.name, symbol.detail).unwrap();
            let whole = symbol.whole.span;
            assert!(whole.touches(symbol.origin.span.start));
            for child in &symbol.children {
                assert!(whole.start <= child.whole.span.start);
                assert!(child.whole.span.end <= whole.end);
            }
            print(&symbol.children, depth + 1, out);
        }
    }

    #[test]
    fn the_outline_is_that_of_the_file() {
        let text = with(MIXER, |snapshot, _| {
            let mut out = String::new();
            for file in snapshot.files() {
                print(&outline(snapshot, file), 0, &mut out);
            }
            out
        });
        insta::assert_snapshot!(text);
    }

    #[test]
    fn names_are_found_by_their_letters() {
        with(MIXER, |snapshot, _| {
            let names = |query: &str| -> Vec<String> {
                search(snapshot, query)
                    .into_iter()
                    .map(|found| format!("{} in {}", found.name, found.container))
                    .collect()
            };
            assert_eq!(names("c1")[..2], ["C1 in board psu", "C1 in board channel"]);
            assert_eq!(names("e-100")[0], "E-100-50 in shelf main");
            assert_eq!(names("e22"), ["E-2200-50 in shelf main"]);
            assert_eq!(names("µ"), Vec::<String>::new());
            assert!(!names("").is_empty());
        });
    }

    #[test]
    fn files_of_nothing_have_no_outline() {
        for text in ["", "# only a comment", "\u{feff}nonsense µ\n  more"] {
            with(text, |snapshot, _| {
                assert_eq!(outline(snapshot, FileId(0)), [])
            });
        }
    }
}
