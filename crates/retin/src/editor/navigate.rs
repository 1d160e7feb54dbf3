//! From a name to what it stands for, and to where else it is written.

use super::caret::{Caret, physical};
use super::mention::{self, Role, Subject};
use super::{Position, Snapshot};
use crate::sources::Origin;
use retin_syntax::Span;

/// A place to go to.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Target {
    /// The name that is looked for.
    pub name: Origin,
    /// The line it stands in, without blanks before it.
    pub line: Origin,
}

/// A use of the name at the caret, within its file.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Highlight {
    /// The name.
    pub origin: Origin,
    /// Whether it brings the name in.
    pub role: Role,
}

/// Where what the word at the caret stands for is written down: the part's line,
/// the rail, the entry, the file.
pub fn definition(snapshot: &Snapshot<'_>, position: Position) -> Vec<Target> {
    let mut targets: Vec<Target> = subjects(snapshot, position)
        .into_iter()
        .flat_map(|subject| defined(snapshot, subject))
        .map(|name| target(snapshot, name))
        .collect();
    targets.sort_unstable();
    targets.dedup();
    targets
}

/// The heading under which the model sheet, the shelf or the job holds what the
/// word at the caret stands for.
pub fn declaration(snapshot: &Snapshot<'_>, position: Position) -> Vec<Target> {
    let case = snapshot.case;
    let mut targets: Vec<Target> = subjects(snapshot, position)
        .into_iter()
        .filter_map(|subject| match subject {
            Subject::Part(part) if case.part(part).is_added => {
                case.job.as_ref().map(|job| job.origin)
            }
            Subject::Part(part) => Some(case.board_of(part).origin),
            Subject::Net(net) => Some(case.board(case.nets.net(net).board).origin),
            Subject::Zone(board, _) => Some(case.board(board).origin),
            Subject::Board(_) | Subject::Copy(..) => case.model.as_ref().map(|model| model.origin),
            Subject::Entry(entry) => case
                .shelves
                .iter()
                .find(|shelf| shelf.entries.contains(&entry))
                .map(|shelf| shelf.origin),
            Subject::Step(_) => case.job.as_ref().map(|job| job.origin),
            subject => defined(snapshot, subject).first().copied(),
        })
        .map(|name| target(snapshot, name))
        .collect();
    targets.sort_unstable();
    targets.dedup();
    targets
}

/// Everywhere the files speak of what the word at the caret stands for, in the
/// order of the files.
pub fn references(
    snapshot: &Snapshot<'_>,
    position: Position,
    with_declaration: bool,
) -> Vec<Origin> {
    let mut found: Vec<Origin> = subjects(snapshot, position)
        .into_iter()
        .flat_map(|subject| snapshot.index().of_subject(subject))
        .filter(|mention| with_declaration || mention.role == Role::Uses)
        .map(|mention| mention.origin)
        .collect();
    found.sort_unstable();
    found.dedup();
    found
}

/// The same within the file of the caret.
pub fn highlight(snapshot: &Snapshot<'_>, position: Position) -> Vec<Highlight> {
    let wanted = subjects(snapshot, position);
    if wanted.is_empty() {
        return Vec::new();
    }
    snapshot
        .index()
        .in_file(position.file)
        .iter()
        .filter(|mention| {
            mention
                .subjects
                .iter()
                .any(|subject| wanted.contains(subject))
        })
        .map(|mention| Highlight {
            origin: mention.origin,
            role: mention.role,
        })
        .collect()
}

fn subjects(snapshot: &Snapshot<'_>, position: Position) -> Vec<Subject> {
    let caret = Caret::at(snapshot, position);
    if caret.is_in_prose() {
        return Vec::new();
    }
    mention::at(snapshot, &caret).map_or_else(Vec::new, |mention| mention.subjects)
}

/// Where a subject is written down; built-in devices and rules stand in no file.
fn defined(snapshot: &Snapshot<'_>, subject: Subject) -> Vec<Origin> {
    let case = snapshot.case;
    match subject {
        Subject::File(file) => vec![Origin {
            file,
            span: Span::new(0, 0),
        }],
        Subject::Copy(board, _) => vec![case.board(board).origin],
        Subject::Part(part) => vec![case.part(part).origin],
        Subject::Net(net) => vec![case.nets.net(net).origin],
        Subject::Entry(entry) => vec![case.entry(entry).origin],
        subject => snapshot.index().declarations(subject).collect(),
    }
}

fn target(snapshot: &Snapshot<'_>, name: Origin) -> Target {
    let text = snapshot.text(name.file);
    let whole = physical(text, name.span.start);
    let line = whole.of(text);
    let blanks = (line.len() - line.trim_start().len()) as u32;
    Target {
        name,
        line: Origin {
            file: name.file,
            span: Span::new(whole.start + blanks, whole.end),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{at, mixer};
    use super::{declaration, definition, highlight, references};

    fn lines(fixture: &str) -> Vec<String> {
        at(fixture, |snapshot, position| {
            definition(snapshot, position)
                .iter()
                .map(|target| snapshot.of(target.line).to_owned())
                .collect()
        })
    }

    #[test]
    fn a_name_leads_to_its_line() {
        let of = lines(&mixer("removed    psu.C1", "removed    psu.C$01"));
        assert!(of[0].starts_with("C1  2200uF"), "{of:?}");
        let of = lines(&mixer("psu.V24    24V", "psu.V$024    24V"));
        assert_eq!(of, ["rail       V24  24V  ±5%"]);
        let of = lines(&mixer("E-2200-50\n", "E-2200-5$00\n"));
        assert!(of[0].starts_with("E-2200-50   2200uF"));
        let of = lines(&mixer("after strip", "after $0strip"));
        assert_eq!(of, ["strip      remove every electrolytic"]);
        let of = lines(&mixer("use \"model", "use \"mo$0del"));
        assert!(of[0].starts_with("model lm8"));
        let of = lines(&mixer("ch1..ch8.C1  because", "c$0h1..ch8.C1  because"));
        assert!(of[0].starts_with("board channel"));
    }

    #[test]
    fn a_declaration_is_the_heading_on_the_sheet() {
        let fixture = mixer("removed    psu.C1", "removed    psu.C$01");
        at(&fixture, |snapshot, position| {
            let found = declaration(snapshot, position);
            assert_eq!(snapshot.of(found[0].line), "board psu \"Power supply\"");
        });
    }

    #[test]
    fn references_are_found_in_every_file() {
        let fixture = mixer("C1   10uF 25V", "C$01   10uF 25V");
        at(&fixture, |snapshot, position| {
            let all = references(snapshot, position, true);
            let texts: Vec<&str> = all.iter().map(|origin| snapshot.of(*origin)).collect();
            assert_eq!(texts, ["C1", "C1"]);
            assert_eq!(references(snapshot, position, false).len(), 1);
        });
        let fixture = mixer("(+ RAW, - GND)", "(+ RAW, - G$0ND)");
        at(&fixture, |snapshot, position| {
            assert_eq!(highlight(snapshot, position).len(), 5);
        });
    }

    #[test]
    fn odd_places_lead_nowhere() {
        for fixture in ["$0", "# psu.C$01 µ", "plan\n  keep (( $0", "job 1\n\n$0"] {
            assert_eq!(lines(fixture), Vec::<String>::new(), "{fixture:?}");
        }
    }
}
