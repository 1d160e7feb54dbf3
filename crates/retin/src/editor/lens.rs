//! Counts above lines: findings and evidence of parts and boards.
//!
//! One lens is one function in [`LENSES`]: it is given a line and what it
//! declares, and may say something above it.

use super::Snapshot;
use super::mention::{self, Role, Subject};
use crate::finding::Severity;
use crate::meaning::{BoardId, PartId, PlaceId};
use crate::polarity::evidence;
use crate::sources::{FileId, Origin};
use retin_syntax::tree::{HeadingKind, LineId, Record};

/// Something said above a line.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Lens {
    /// The line.
    pub origin: Origin,
    /// What is said.
    pub title: String,
    /// What is listed when it is asked for more.
    pub shows: Vec<Origin>,
}

/// A line with what it declares.
struct Subjects<'s, 'a> {
    snapshot: &'s Snapshot<'a>,
    origin: Origin,
    record: &'a Record,
    /// The board that the line heads.
    board: Option<BoardId>,
    /// The parts that the line declares.
    parts: Vec<PartId>,
}

/// Every lens. What follows from the log (what is left, how the gates stand) is
/// a function here too.
const LENSES: &[fn(&Subjects<'_, '_>) -> Option<Lens>] =
    &[size_of_board, findings, way_round, stage];

/// What is said above the lines of a file, in order.
pub fn lenses(snapshot: &Snapshot<'_>, file: FileId) -> Vec<Lens> {
    let tree = snapshot.tree(file);
    let mut lenses = Vec::new();
    for (at, line) in tree.lines.iter().enumerate() {
        if !matches!(line.record, Record::Heading(_) | Record::Part { .. }) {
            continue;
        }
        let id = LineId(at as u32);
        let declared: Vec<Subject> = mention::on_line(snapshot, file, id)
            .into_iter()
            .filter(|mention| mention.role == Role::Declares)
            .flat_map(|mention| mention.subjects)
            .collect();
        let subjects = Subjects {
            snapshot,
            origin: Origin {
                file,
                span: line.span,
            },
            record: &line.record,
            board: declared.iter().find_map(|subject| match subject {
                Subject::Board(board) => Some(*board),
                _ => None,
            }),
            parts: declared
                .iter()
                .filter_map(|subject| match subject {
                    Subject::Part(part) => Some(*part),
                    _ => None,
                })
                .collect(),
        };
        lenses.extend(LENSES.iter().filter_map(|lens| lens(&subjects)));
    }
    lenses
}

impl Subjects<'_, '_> {
    fn lens(&self, title: String, shows: Vec<Origin>) -> Option<Lens> {
        Some(Lens {
            origin: self.origin,
            title,
            shows,
        })
    }

    fn is_about(&self, place: &PlaceId) -> bool {
        self.parts.contains(&place.part)
            || self
                .board
                .is_some_and(|board| self.snapshot.case.part(place.part).board == board)
    }
}

/// How many parts a board holds, over all its copies.
fn size_of_board(line: &Subjects<'_, '_>) -> Option<Lens> {
    let case = line.snapshot.case;
    let board = case.board(line.board?);
    let parts = counted(board.parts.len(), "part");
    let title = match board.copies.len() {
        1 => parts,
        copies => format!(
            "{parts} on each of {copies} copies, {} in all",
            board.parts.len() * copies
        ),
    };
    line.lens(title, Vec::new())
}

/// How many findings are about a board or a part.
fn findings(line: &Subjects<'_, '_>) -> Option<Lens> {
    let found: Vec<_> = line
        .snapshot
        .report
        .findings
        .iter()
        .filter(|finding| finding.places.iter().any(|place| line.is_about(place)))
        .collect();
    if found.is_empty() {
        return None;
    }
    let counts: Vec<String> = [
        (Severity::Error, "error"),
        (Severity::Warning, "warning"),
        (Severity::Note, "note"),
    ]
    .into_iter()
    .filter_map(|(severity, word)| {
        let count = found
            .iter()
            .filter(|finding| finding.severity == severity)
            .count();
        (count > 0).then(|| counted(count, word))
    })
    .collect();
    let shows = found.iter().map(|finding| finding.fault.origin).collect();
    line.lens(counts.join(", "), shows)
}

/// How many sources say which way round a part, or the parts of a board, belong.
fn way_round(line: &Subjects<'_, '_>) -> Option<Lens> {
    let case = line.snapshot.case;
    let of = |part: PartId| {
        let place = PlaceId { part, copy: 0 };
        let kind = case.goes_by(place).kind?;
        crate::polarity::deciding_leads(kind)?;
        Some(evidence(case, place, kind))
    };
    if let Some(board) = line.board {
        let polar: Vec<_> = case
            .board(board)
            .parts
            .iter()
            .filter_map(|part| of(*part))
            .collect();
        if polar.is_empty() {
            return None;
        }
        let known = polar
            .iter()
            .filter(|found| found.agreeing() >= 2 && found.conflict().is_none())
            .count();
        return line.lens(
            format!("way round known of {known} of {}", polar.len()),
            Vec::new(),
        );
    }
    let [part] = line.parts[..] else { return None };
    let found = of(part)?;
    if found.evidence.is_empty() {
        return None;
    }
    let title = match found.conflict() {
        Some((one, other)) => format!("way round: {} against {}", one.who, other.who),
        None => match found.agreeing() {
            0 => format!(
                "way round: {}, none agreeing",
                counted(found.evidence.len(), "source")
            ),
            agreeing => format!("way round: {agreeing} sources agree"),
        },
    };
    let shows = found
        .evidence
        .iter()
        .map(|evidence| evidence.origin)
        .collect();
    line.lens(title, shows)
}

/// How far the job has come.
fn stage(line: &Subjects<'_, '_>) -> Option<Lens> {
    let Record::Heading(heading) = line.record else {
        return None;
    };
    let snapshot = line.snapshot;
    if heading.kind != HeadingKind::Job || line.origin.file != snapshot.case.root {
        return None;
    }
    let report = snapshot.report;
    let unchecked: u32 = report.tallies.iter().map(|tally| tally.not_checked).sum();
    line.lens(
        format!(
            "at {}: {}, {}, {unchecked} not checked",
            report.stage,
            counted(report.count(Severity::Error), "error"),
            counted(report.count(Severity::Warning), "warning"),
        ),
        report
            .findings
            .iter()
            .map(|finding| finding.fault.origin)
            .collect(),
    )
}

fn counted(count: usize, what: &str) -> String {
    if count == 1 {
        format!("1 {what}")
    } else {
        format!("{count} {what}s")
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{MIXER, with};
    use super::lenses;

    #[test]
    fn counts_stand_above_boards_parts_and_the_job() {
        let text = with(MIXER, |snapshot, _| {
            let all = snapshot.files().flat_map(|file| lenses(snapshot, file));
            all.map(|lens| format!("{} | {}", snapshot.of(lens.origin), lens.title))
                .collect::<Vec<_>>()
                .join("\n")
        });
        insta::assert_snapshot!(text);
    }

    #[test]
    fn files_of_nothing_have_none() {
        for text in ["", "# µ", "plan\n  keep (("] {
            with(text, |snapshot, _| {
                assert_eq!(lenses(snapshot, snapshot.case.root), [], "{text:?}");
            });
        }
    }
}
