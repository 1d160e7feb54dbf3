//! Counts above lines: findings, evidence, and what is left of boards, steps and
//! the job.
//!
//! One lens is one function in [`LENSES`]: it is given a line and what it
//! declares, and may say something above it. How a gate stands costs another
//! check, so that lens only names the gate; [`gate_state`] answers when it comes
//! into view.

use super::Snapshot;
use super::mention::{self, Role, Subject};
use crate::check::check_chosen;
use crate::finding::Severity;
use crate::meaning::{BoardId, PartId, PlaceId};
use crate::polarity::evidence;
use crate::sources::{FileId, Origin};
use crate::stage::Stage;
use crate::time::gate::{GATES, gate};
use crate::time::left::{BoardLeft, How};
use retin_syntax::tree::{HeadingKind, LineId, Record};

/// Something said above a line.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Lens {
    /// The line.
    pub origin: Origin,
    /// What is said.
    pub says: Says,
    /// What is listed when it is asked for more.
    pub shows: Vec<Origin>,
}

/// What a lens says.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Says {
    /// A text.
    Text(String),
    /// What [`gate_state`] says of this gate.
    Gate(Stage),
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
    /// The step that the line declares, as an index into the job's steps.
    step: Option<usize>,
}

/// Every lens.
const LENSES: &[fn(&Subjects<'_, '_>) -> Option<Lens>] = &[
    size_of_board,
    findings,
    way_round,
    left_of_board,
    left_of_step,
    stage,
    left_of_job,
    next_gate,
];

/// What is said above the lines of a file, in order.
pub fn lenses(snapshot: &Snapshot<'_>, file: FileId) -> Vec<Lens> {
    let tree = snapshot.tree(file);
    let mut lenses = Vec::new();
    for (at, line) in tree.lines.iter().enumerate() {
        if !matches!(
            line.record,
            Record::Heading(_) | Record::Part { .. } | Record::Step { .. }
        ) {
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
            step: declared.iter().find_map(|subject| match subject {
                Subject::Step(step) => Some(*step as usize),
                _ => None,
            }),
        };
        lenses.extend(LENSES.iter().filter_map(|lens| lens(&subjects)));
    }
    lenses
}

impl Subjects<'_, '_> {
    fn lens(&self, title: String, shows: Vec<Origin>) -> Option<Lens> {
        Some(Lens {
            origin: self.origin,
            says: Says::Text(title),
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

/// `left 23 of 85`; what is done, where nothing is left.
fn left_of(left: usize, all: usize, what: &str) -> String {
    if left == 0 {
        format!("all of {} done", counted(all, what))
    } else {
        format!("left {left} of {}", counted(all, what))
    }
}

/// How many parts are left to work on, and how many there are, over all copies.
fn left_on<'l>(boards: impl Iterator<Item = &'l BoardLeft>) -> (usize, usize) {
    boards.fold((0, 0), |(left, all), board| {
        let copies = board.copies.len();
        let work = board.work();
        (
            left + (work - board.done.len()) * copies,
            all + work * copies,
        )
    })
}

/// How much of the work on a board is left.
fn left_of_board(line: &Subjects<'_, '_>) -> Option<Lens> {
    let id = line.board?;
    let boards = &line.snapshot.left()?.boards;
    let (left, all) = left_on(
        boards
            .iter()
            .filter(|board| board.copies.iter().any(|copy| copy.0 == id)),
    );
    if all == 0 {
        return None;
    }
    line.lens(left_of(left, all, "part"), Vec::new())
}

/// How far a step has come.
fn left_of_step(line: &Subjects<'_, '_>) -> Option<Lens> {
    let job = line.snapshot.case.job.as_ref()?;
    let index = line.step?;
    let left = line.snapshot.left()?;
    let step = left.steps.iter().find(|step| step.step == index)?;
    let count = step.progress.left.len();
    let all = count + step.progress.done.len();
    let waits: Vec<&str> = step
        .waits_for
        .iter()
        .map(|first| job.steps[*first].name)
        .collect();
    let title = match step.how {
        How::Done => "done".to_owned(),
        How::Begun if all > 1 => format!("left {count} of {all}"),
        How::Begun => "begun".to_owned(),
        How::Free => "can begin".to_owned(),
        How::Waits if waits.is_empty() => "waits for a repair".to_owned(),
        How::Waits => format!("waits for {}", waits.join(", ")),
    };
    line.lens(title, Vec::new())
}

impl Subjects<'_, '_> {
    /// Whether the line is the heading of the job that is judged.
    fn heads_job(&self) -> bool {
        matches!(self.record, Record::Heading(heading) if heading.kind == HeadingKind::Job)
            && self.origin.file == self.snapshot.case.root
    }
}

/// How much of the whole job is left.
fn left_of_job(line: &Subjects<'_, '_>) -> Option<Lens> {
    if !line.heads_job() {
        return None;
    }
    let left = line.snapshot.left()?;
    let (parts, all_parts) = left_on(left.boards.iter());
    let steps = left.steps.iter().filter(|step| step.how != How::Done);
    let mut says = Vec::new();
    if all_parts > 0 {
        says.push(left_of(parts, all_parts, "part"));
    }
    if !left.steps.is_empty() {
        says.push(left_of(steps.count(), left.steps.len(), "step"));
    }
    if !left.accidents.is_empty() {
        says.push(format!(
            "{} open",
            counted(left.accidents.len(), "accident")
        ));
    }
    if says.is_empty() {
        return None;
    }
    line.lens(says.join(", "), Vec::new())
}

/// The gate that the job comes to next.
fn next_gate(line: &Subjects<'_, '_>) -> Option<Lens> {
    if !line.heads_job() {
        return None;
    }
    let now = line.snapshot.case.stage;
    let next = GATES.into_iter().find(|stage| *stage > now)?;
    Some(Lens {
        origin: line.origin,
        says: Says::Gate(next),
        shows: Vec::new(),
    })
}

/// How a gate stands: whether anything that was checked is in the way, and how
/// much was not checked. It costs another check of the whole job.
pub fn gate_state(snapshot: &Snapshot<'_>, stage: Stage) -> Option<String> {
    let case = snapshot.case;
    let report = check_chosen(case, Some(stage), snapshot.chosen());
    let gate = gate(case, report, &case.replay, snapshot.order())?;
    let unchecked = gate.sum(|tally| tally.not_checked);
    let in_the_way = match gate.obstacles.len() {
        0 => String::new(),
        count => format!(", {count} in the way"),
    };
    Some(format!(
        "gate {stage}: {}{in_the_way}, {unchecked} not checked",
        gate.verdict.word()
    ))
}

/// How far the job has come.
fn stage(line: &Subjects<'_, '_>) -> Option<Lens> {
    if !line.heads_job() {
        return None;
    }
    let snapshot = line.snapshot;
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
    use super::{Says, gate_state, lenses};

    #[test]
    fn counts_stand_above_boards_parts_and_the_job() {
        let text = with(MIXER, |snapshot, _| {
            let all = snapshot.files().flat_map(|file| lenses(snapshot, file));
            all.map(|lens| {
                let says = match lens.says {
                    Says::Text(text) => text,
                    Says::Gate(stage) => gate_state(snapshot, stage).unwrap_or_default(),
                };
                format!("{} | {says}", snapshot.of(lens.origin))
            })
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
