//! The tick sheet: step by step in the order of work, a box for every piece of
//! it, so that nothing is kept in mind and nothing has to be typed at the bench.

mod part;
mod pieces;
mod places;

use super::choice::Choice;
use super::document::{Block, Cell, Document, Group, Row, Table, Words};
use super::head::head;
use super::job::CheckedJob;
use super::settings::{Settings, Sort};
use super::{Refusal, sentence};
use crate::meaning::{PlaceId, Step};
use crate::time::cautions::{HOT_LEAD, cautions};
use crate::time::left::words::Wording;
use crate::time::left::{How, StepLeft, what_is_left};
use crate::time::step_progress::Piece;
use crate::time::working_order::new_parts;
use crate::time::{Content, Status};
use part::Parts;
use retin_syntax::tables::{PlanVerb, StepVerb};

/// What every page of it is headed.
pub const TITLE: &str = "Tick sheet";

/// Lines to write accidents on.
const ACCIDENT_LINES: usize = 8;

/// Pieces of a step from which on it is long: more than a page of them. It begins a
/// page, so that its pages can be taken to the bench by themselves.
const LONG_STEP: usize = 60;

/// A piece of work, and whether the log shows it done.
type Ticked = (Piece, bool);

/// What is done in one go.
struct Work {
    heading: String,
    /// As it is called where what is left of it is counted.
    called: String,
    verb: StepVerb,
    pieces: Vec<Ticked>,
}

/// Makes the tick sheet of a job.
///
/// # Errors
/// When something is asked for by a name that nothing has.
pub fn ticks(job: &CheckedJob<'_, '_>, settings: &Settings) -> Result<Document, Refusal> {
    let choice = Choice::of(job, &settings.wanted)?;
    let sheet = TickSheet {
        job,
        choice,
        sort: settings.sort,
        parts: Parts::of(job, new_parts(&job.chosen)),
        words: Wording {
            case: job.case,
            job: job.job,
            replay: &job.case.replay,
        },
    };
    let mut blocks = Vec::new();
    if !settings.wanted.is_everything() {
        let only = format!("Shown here: only {}.", settings.wanted.in_words());
        blocks.push(Block::Paragraph(only.into()));
    }
    sheet.open_accidents(&mut blocks);
    let before = blocks.len();
    if job.job.steps.is_empty() {
        sheet.by_plan(&mut blocks);
    } else {
        sheet.steps(&mut blocks);
    }
    if blocks.len() == before {
        blocks.push(Block::Paragraph("There is nothing to tick.".into()));
    }
    accident_lines(&mut blocks);
    Ok(Document {
        head: head(TITLE, &[job]),
        blocks,
        is_landscape: false,
    })
}

/// Everything that the pieces of the sheet are made from.
struct TickSheet<'s, 'c, 'a> {
    job: &'s CheckedJob<'c, 'a>,
    choice: Choice,
    sort: Option<Sort>,
    parts: Parts<'s, 'c, 'a>,
    words: Wording<'c, 'a>,
}

impl TickSheet<'_, '_, '_> {
    fn steps(&self, blocks: &mut Vec<Block>) {
        let case = self.job.case;
        let left = what_is_left(case, &case.replay, self.job.order.as_ref());
        let steps = left.map_or_else(Vec::new, |left| left.steps);
        let mut done: Vec<&str> = Vec::new();
        let at = blocks.len();
        for (index, step) in steps.iter().enumerate() {
            if !self.choice.takes_step(step.step) {
                continue;
            }
            if step.how == How::Done && !self.choice.names_steps() {
                done.push(self.words.step(step.step));
                continue;
            }
            let first = blocks.len();
            let pieces = self.step(index + 1, step, blocks);
            if pieces >= LONG_STEP && first > at {
                blocks.insert(first, Block::NewPage);
            }
        }
        if !done.is_empty() {
            let done = format!(
                "Done by the log, and left out here: {}. A step that is asked for by its \
                 name is printed with its ticks.",
                done.join(", ")
            );
            blocks.insert(at, Block::Paragraph(done.into()));
        }
    }

    /// Sets one step; gives how many pieces of work it has on the sheet.
    fn step(&self, number: usize, left: &StepLeft, blocks: &mut Vec<Block>) -> usize {
        let step = &self.job.job.steps[left.step];
        let pieces = self.wanted(&left.progress.done, &left.progress.left);
        let count = pieces.len();
        if count == 0 {
            return 0;
        }
        blocks.push(Block::Heading {
            level: 1,
            text: format!("{number}. {}: {}", step.name, step.does()),
        });
        blocks.push(Block::Paragraph(self.state(left, step)));
        let own = step.cautions.iter().copied();
        for caution in own.chain(cautions(self.job.case, step)) {
            blocks.push(Block::Caution(caution.into()));
        }
        self.work(
            &Work {
                heading: step.does(),
                called: step.name.to_owned(),
                verb: step.verb,
                pieces,
            },
            Some(step),
            blocks,
        );
        count
    }

    /// How far a step has come, what comes first, and why it is done.
    fn state(&self, left: &StepLeft, step: &Step<'_>) -> Words {
        let mut sentences = vec![self.words.state(left)];
        if left.how == How::Begun {
            let waits = self.words.waits_for(left);
            if !waits.is_empty() {
                sentences.push(format!("still to come first: {waits}"));
            }
        }
        if let Some(order) = &self.job.order {
            let meanwhile = order.meanwhile(self.job.job, left.step);
            if !meanwhile.is_empty() {
                let names: Vec<&str> = meanwhile
                    .iter()
                    .map(|step| self.words.step(*step))
                    .collect();
                sentences.push(format!("while it runs by itself: {}", names.join(", ")));
            }
        }
        sentences.extend(step.because.map(|because| format!("because {because}")));
        Words::plain(sentence(&sentences.join("; ")))
    }

    /// A job without steps is worked by its plan: out, then in.
    fn by_plan(&self, blocks: &mut Vec<Block>) {
        let case = self.job.case;
        let of = |verbs: &[PlanVerb], is_done: &dyn Fn(PlaceId) -> bool| -> Vec<Ticked> {
            let decisions = case.decisions.iter();
            let places = decisions.filter(|decision| {
                let is_meant = verbs.contains(&case.plan_line(decision.line).verb);
                is_meant && self.choice.takes_place(case, decision.place)
            });
            places
                .map(|decision| (Piece::Place(decision.place), is_done(decision.place)))
                .collect()
        };
        let is_out = |place| {
            let state = case.replay.place(place);
            state.content != Content::Old || state.removed.is_some()
        };
        let is_in = |place| case.replay.place(place).content == Content::New;
        let works = [
            Work {
                heading: "Take out".to_owned(),
                called: "what comes out".to_owned(),
                verb: StepVerb::Remove,
                pieces: of(&[PlanVerb::Replace, PlanVerb::Remove], &is_out),
            },
            Work {
                heading: "Put in".to_owned(),
                called: "what goes in".to_owned(),
                verb: StepVerb::Fit,
                pieces: of(&[PlanVerb::Replace, PlanVerb::Add], &is_in),
            },
        ];
        let is_unwanted = self.choice.names_steps();
        for work in works
            .iter()
            .filter(|work| !work.pieces.is_empty() && !is_unwanted)
        {
            blocks.push(Block::Heading {
                level: 1,
                text: work.heading.clone(),
            });
            blocks.push(Block::Caution(HOT_LEAD.into()));
            self.work(work, None, blocks);
        }
    }

    /// The pieces that are wanted, what is done among them.
    fn wanted(&self, done: &[Piece], left: &[Piece]) -> Vec<Ticked> {
        let done = done.iter().map(|piece| (*piece, true));
        let left = left.iter().map(|piece| (*piece, false));
        let mut pieces: Vec<Ticked> = done.chain(left).collect();
        pieces.retain(|(piece, _)| self.choice.takes_piece(self.job.case, *piece));
        pieces.sort_unstable();
        pieces
    }

    /// The tables of one work, with what is left at the end.
    fn work(&self, work: &Work, step: Option<&Step<'_>>, blocks: &mut Vec<Block>) {
        let places: Vec<(PlaceId, bool)> = work
            .pieces
            .iter()
            .filter_map(|(piece, is_done)| match piece {
                Piece::Place(place) => Some((*place, *is_done)),
                _ => None,
            })
            .collect();
        let mut tables = pieces::tables(self, work, step);
        if !places.is_empty() {
            tables.push(places::table(self, work.verb, &places));
        }
        let groups: usize = tables.iter().map(|table| table.groups.len()).sum();
        blocks.extend(tables.into_iter().map(Block::Table));
        if groups > 1 {
            let all = work.pieces.len();
            let left = work.pieces.iter().filter(|piece| !piece.1).count();
            blocks.push(Block::Paragraph(Words::strong(format!(
                "left of {}: {left} of {all}",
                work.called
            ))));
        }
    }

    /// Accidents that are not proven mended: nothing is to cover them.
    fn open_accidents(&self, blocks: &mut Vec<Block>) {
        let replay = &self.job.case.replay;
        let open = replay.accidents.iter().filter(|record| {
            record.status() != Status::Proven
                && record
                    .place()
                    .is_none_or(|place| self.choice.takes_place(self.job.case, place))
        });
        let items: Vec<Words> = open
            .map(|record| {
                Words::plain(format!(
                    "accident {}, {}: {}",
                    record.number,
                    self.words.accident(record),
                    self.words.status(record)
                ))
            })
            .collect();
        if !items.is_empty() {
            blocks.push(Block::Heading {
                level: 2,
                text: "Open accidents".to_owned(),
            });
            blocks.push(Block::List(items));
        }
    }
}

/// Lines for what goes wrong, to be typed into the log later.
fn accident_lines(blocks: &mut Vec<Block>) {
    blocks.push(Block::Heading {
        level: 1,
        text: "What went wrong".to_owned(),
    });
    blocks.push(Block::Paragraph(Words::plain(
        "A pad that lifts, a barrel that tears, a part that burns: write it down at once. \
         It is typed into the log later, as in: 10:40 damaged psu.C6.+ pad lifted",
    )));
    blocks.push(Block::WriteIn {
        heads: ["time", "initials", "place.pad", "what happened"]
            .map(str::to_owned)
            .to_vec(),
        lines: ACCIDENT_LINES,
    });
}

/// How many boxes of a group are not ticked: "left: 7".
fn foot(ticked: impl Iterator<Item = bool>) -> Words {
    let (mut all, mut left) = (0, 0);
    for is_done in ticked {
        all += 1;
        left += usize::from(!is_done);
    }
    if left == all {
        Words::strong(format!("left: {left}"))
    } else {
        Words::strong(format!("left: {left}")).and(format!(" of {all}"))
    }
}

/// Most copies of a board whose boxes stand in a column of their own.
const IN_A_COLUMN: usize = 4;

/// A table in which the boxes of copies stand below their rows, where a row has more
/// of them than a column holds.
fn with_copies_below(mut table: Table) -> Table {
    let rows = |table: &mut Table, act: &mut dyn FnMut(&mut Row)| {
        let groups = table.groups.iter_mut();
        groups.flat_map(|group| &mut group.rows).for_each(act);
    };
    let mut most = 0;
    rows(&mut table, &mut |row| {
        let boxes = row.cells.iter().map(|cell| match cell {
            Cell::Boxes(boxes) => boxes.len(),
            _ => 0,
        });
        most = most.max(boxes.max().unwrap_or(0));
    });
    if most > IN_A_COLUMN {
        rows(&mut table, &mut |row| {
            for cell in &mut row.cells {
                if let Cell::Boxes(boxes) = cell {
                    row.below.append(boxes);
                }
            }
        });
    }
    table
}

/// A table without the columns in which nothing stands.
fn without_empty_columns(mut table: Table) -> Table {
    let is_empty = |column: usize| {
        let mut rows = table.groups.iter().flat_map(|group| &group.rows);
        rows.all(|row| is_blank(row, column))
    };
    let empty: Vec<bool> = (0..table.columns.len()).map(is_empty).collect();
    let keep = |index: &mut usize| {
        let is_kept = !empty[*index];
        *index += 1;
        is_kept
    };
    let mut index = 0;
    table.columns.retain(|_| keep(&mut index));
    for row in table
        .groups
        .iter_mut()
        .flat_map(|group: &mut Group| &mut group.rows)
    {
        let mut index = 0;
        row.cells.retain(|_| keep(&mut index));
    }
    table
}

/// Whether nothing stands in a cell of a row, and nothing is to be written there.
fn is_blank(row: &Row, column: usize) -> bool {
    match row.cells.get(column) {
        Some(Cell::Words(words)) => words.is_empty(),
        Some(Cell::Lines(lines)) => lines.iter().all(Words::is_empty),
        Some(Cell::Boxes(boxes)) => boxes.is_empty(),
        Some(Cell::Box { .. } | Cell::Blank) => false,
        None => true,
    }
}
