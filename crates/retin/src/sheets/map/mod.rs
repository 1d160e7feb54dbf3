//! The placement map: every part of a board at its place and at true scale, from
//! both sides.
//!
//! `places` says what is on a board, `view` draws it, `labels` finds room for the
//! names, `signs` holds the marks and their legend. All lengths are millimetres.

mod geometry;
mod labels;
mod places;
mod signs;
mod tiles;
mod view;

use super::choice::Choice;
use super::document::{Block, Cell, Column, Document, Group, Row, Table, Width, Words};
use super::head::head;
use super::page::{Extent, PageSetting};
use super::width::lines_of;
use super::{CheckedJob, Refusal, Settings};
use crate::meaning::{BoardCopy, BoardId, names};
use crate::time::working_order::new_parts;
use geometry::Rectangle;
use places::{Asked, OnBoard, Unplaced};
use signs::Signs;
use view::{Looked, View, view};

/// The title of the sheet.
pub const TITLE: &str = "Placement map";

/// What a heading takes of a page, a line of it, a note below it, a caption, and a line
/// of that, in millimetres.
const HEADING: f64 = 1.1;
const HEADING_LINE: f64 = 5.5;
const NOTE: f64 = 5.5;
const CAPTION: f64 = 0.6;
const CAPTION_LINE: f64 = 4.0;

/// The size of the letters of a heading, and of a caption, in millimetres.
const HEADING_LETTERS: f64 = 4.6;
const CAPTION_LETTERS: f64 = 3.4;

/// How much larger everything is in big print.
const BIG: f64 = 1.7;

/// Scales that a board is enlarged to where its parts stand too close for their
/// names. ISO 5455 has 2:1, 5:1 and 10:1; those between save paper.
const ENLARGED: [f64; 7] = [2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0];

/// What of a board is shown, and how large.
#[derive(Clone, Copy, Debug)]
struct Shown {
    /// Whether from the solder side, mirrored.
    is_solder_side: bool,
    /// How many millimetres on paper one is on the board.
    scale: f64,
    /// The part of the board, in its own millimetres.
    cut: Rectangle,
    /// Whether names may lie over the outlines of bodies.
    may_lie_over: bool,
}

impl Shown {
    /// The side in words.
    fn side(self) -> &'static str {
        if self.is_solder_side {
            "solder side, mirrored"
        } else {
            "component side"
        }
    }
}

/// The map of one job.
///
/// # Errors
/// When something is asked for that the job does not have.
pub fn map(job: &CheckedJob<'_, '_>, settings: &Settings) -> Result<Document, Refusal> {
    let choice = Choice::of(job, &settings.wanted)?;
    let new = new_parts(&job.chosen);
    let steps: Vec<usize> = if settings.wanted.steps.is_empty() {
        Vec::new()
    } else {
        (0..job.job.steps.len())
            .filter(|step| choice.takes_step(*step))
            .collect()
    };
    let asked = Asked {
        job,
        choice: &choice,
        new: &new,
        steps: &steps,
    };
    let groups = groups(&asked);
    let setting = PageSetting::from(settings);
    let is_landscape = is_better_on_its_side(&asked, &groups, setting);
    let mut setter = Setter {
        job,
        settings,
        setting,
        is_landscape,
        room: setting.room(is_landscape),
        listed: Vec::new(),
        blocks: Vec::new(),
        signs: Signs::default(),
    };
    setter.say_what_is_asked();
    if groups.is_empty() {
        let words = "There is no part to show.";
        setter.blocks.push(Block::Paragraph(words.into()));
    }
    for (copies, board) in &groups {
        setter.board(copies, board);
    }
    setter.legend();
    Ok(Document {
        head: head(TITLE, &[job]),
        blocks: setter.blocks,
        is_landscape,
    })
}

/// The boards that are wanted; copies on which everything is the same together.
fn groups(asked: &Asked<'_, '_, '_>) -> Vec<(Vec<BoardCopy>, OnBoard)> {
    let case = asked.job.case;
    let mut groups: Vec<(Vec<BoardCopy>, OnBoard)> = Vec::new();
    for index in 0..case.boards.len() as u32 {
        let first = groups.len();
        for copy in case.copies_of(BoardId(index)) {
            if !asked.choice.takes_board(copy) {
                continue;
            }
            let shown = asked.on(copy);
            if !shown.is_wanted() {
                continue;
            }
            match groups[first..].iter_mut().find(|group| group.1 == shown) {
                Some(group) => group.0.push(copy),
                None => groups.push((vec![copy], shown)),
            }
        }
    }
    groups
}

/// Whether a board leaves no room for names beside it on an upright page, and all
/// take no more pages on their side.
fn is_better_on_its_side(
    asked: &Asked<'_, '_, '_>,
    groups: &[(Vec<BoardCopy>, OnBoard)],
    setting: PageSetting,
) -> bool {
    let drawn = || groups.iter().filter(|(_, board)| !board.placed.is_empty());
    let pages = |is_landscape| -> usize {
        let tiles = drawn().map(|(copies, board)| {
            let (name, heading) = headed(asked.job, copies);
            let room = room_below(setting, is_landscape, &heading, copies.len() > 1);
            let shown = Shown {
                is_solder_side: true,
                scale: 1.0,
                cut: board.field(),
                may_lie_over: false,
            };
            sheets(&name, board, shown, room, setting).0.len()
        });
        tiles.sum()
    };
    let is_wide = |field: Rectangle| {
        field.width() > setting.room(false).width - 40.0 && field.width() > field.height()
    };
    drawn().any(|(_, board)| is_wide(board.field())) && pages(true) <= pages(false)
}

/// The names of copies of a board, and the heading over them.
fn headed(job: &CheckedJob<'_, '_>, copies: &[BoardCopy]) -> (String, String) {
    let case = job.case;
    let name = names::compress(copies.iter().map(|copy| case.name_of_copy(*copy)));
    let title = copies.first().map_or("", |copy| case.board(copy.0).title);
    let heading = if title.is_empty() {
        name.clone()
    } else {
        format!("{name}: {title}")
    };
    (name, heading)
}

/// What stands below a drawing: which of how many sheets it is, and how many names
/// found no room on all of them.
fn caption(name: &str, shown: Shown, (sheet, count): (usize, usize), unnamed: usize) -> Words {
    let (side, scale) = (shown.side(), shown.scale);
    let mut caption = Words::strong(format!("{name}, {side}")).and(format!(", {scale}:1"));
    if count > 1 {
        caption = caption.and(format!(
            ", sheet {sheet} of {count}; lay the crosses in circles over one another"
        ));
    }
    if scale > 1.0 {
        caption = caption.and(", enlarged because the names have no room at 1:1");
    } else if unnamed > 0 {
        caption = caption.and(match unnamed {
            1 => "; one part stands too close for its name".to_owned(),
            many => format!("; {many} parts stand too close for their names"),
        });
    }
    caption
}

/// The sheets that what is shown is cut into, and the room of a drawing above its
/// caption.
fn sheets(
    name: &str,
    board: &OnBoard,
    shown: Shown,
    room: Extent,
    setting: PageSetting,
) -> (Vec<Rectangle>, Extent) {
    let larger = larger(setting);
    let cut_for = |count| {
        let longest = caption(name, shown, (count, count), board.placed.len()).text();
        let lines = lines_of(&longest, true, CAPTION_LETTERS * larger, room.width);
        let above = Extent {
            height: room.height - (CAPTION + CAPTION_LINE * lines as f64) * larger,
            ..room
        };
        (tiles::tiles(shown.cut, shown.scale, above), above)
    };
    let whole = cut_for(1);
    if whole.0.len() == 1 {
        return whole;
    }
    // That it is one of several is said in its caption, which takes room again.
    let (pieces, above) = cut_for(whole.0.len());
    (board.telling(pieces), above)
}

/// How much larger everything is than usual.
fn larger(setting: PageSetting) -> f64 {
    if setting.is_big { BIG } else { 1.0 }
}

/// The room of a drawing and its caption below a heading, and a note where it has one.
fn room_below(setting: PageSetting, is_landscape: bool, heading: &str, has_note: bool) -> Extent {
    let room = setting.room(is_landscape);
    let larger = larger(setting);
    let lines = lines_of(heading, true, HEADING_LETTERS * larger, room.width);
    let note = if has_note { NOTE } else { 0.0 };
    let around = HEADING + HEADING_LINE * lines as f64 + note;
    Extent {
        width: room.width,
        height: room.height - around * larger,
    }
}

struct Setter<'s, 'c, 'a> {
    job: &'s CheckedJob<'c, 'a>,
    settings: &'s Settings,
    setting: PageSetting,
    is_landscape: bool,
    /// The room of a drawing and its caption below the heading of its board.
    room: Extent,
    /// The parts without a position that were listed, by the copies they are on.
    listed: Vec<(BoardId, String, &'s [Unplaced])>,
    blocks: Vec<Block>,
    signs: Signs,
}

impl<'s> Setter<'s, '_, '_> {
    fn say_what_is_asked(&mut self) {
        let asked = self.settings.wanted.in_words();
        if !asked.is_empty() {
            let words = Words::strong("Shown here: ").and(asked);
            self.blocks.push(Block::Paragraph(words));
        }
    }

    fn board(&mut self, copies: &[BoardCopy], board: &'s OnBoard) {
        let (name, heading) = headed(self.job, copies);
        if self
            .blocks
            .iter()
            .any(|block| matches!(block, Block::Drawing { .. }))
        {
            self.blocks.push(Block::NewPage);
        }
        let (setting, is_landscape) = (self.setting, self.is_landscape);
        self.room = room_below(setting, is_landscape, &heading, copies.len() > 1);
        self.heading(1, heading);
        if copies.len() > 1 {
            let words = format!("The same on all {} copies.", copies.len());
            self.blocks.push(Block::Paragraph(words.into()));
        }
        if board.placed.is_empty() {
            let words = "No part of it has a position, so there is nothing to draw. \
                         A position is written on the part's line: \u{201c}at 30,40\u{201d}.";
            self.blocks.push(Block::Paragraph(words.into()));
        } else {
            for is_solder_side in [false, true] {
                self.side(&name, board, is_solder_side);
            }
        }
        self.damage(board);
        if let Some((board_id, _)) = copies.first() {
            self.unplaced(*board_id, name, board);
        }
    }

    /// One side at true scale, and enlarged where names found no room.
    fn side(&mut self, name: &str, board: &OnBoard, is_solder_side: bool) {
        let shown = Shown {
            is_solder_side,
            scale: 1.0,
            cut: self.cut(board),
            may_lie_over: false,
        };
        let unnamed = self.scale(name, shown, self.views(name, board, shown));
        if unnamed.is_empty() {
            return;
        }
        // Only what lies around them, at the smallest scale at which each of them
        // finds room for its name; where bodies overlap, over their outlines.
        let cut = board.around(&unnamed, shown.cut);
        let enlarged = |may_lie_over| {
            ENLARGED.map(|scale| Shown {
                scale,
                cut,
                may_lie_over,
                ..shown
            })
        };
        let mut found = None;
        for way in enlarged(false).into_iter().chain(enlarged(true)) {
            let views = self.views(name, board, way);
            let is_enough = missing(&views).iter().all(|name| !unnamed.contains(name));
            found = Some((way, views));
            if is_enough {
                break;
            }
        }
        let Some((way, views)) = found else {
            return;
        };
        let mut left = self.scale(name, way, views);
        left.retain(|name| unnamed.contains(name));
        if !left.is_empty() {
            let words = Words::strong("No room for the name of: ").and(left.join(", "));
            self.blocks.push(Block::Paragraph(words));
        }
    }

    /// The part of the board to show: the zone that is asked for, else all of it.
    fn cut(&self, board: &OnBoard) -> Rectangle {
        let wanted = &self.settings.wanted.zones;
        let corners: Vec<_> = board
            .zones
            .iter()
            .filter(|(name, ..)| wanted.contains(name))
            .flat_map(|(_, from, to)| [*from, *to])
            .collect();
        if corners.is_empty() {
            board.field()
        } else {
            Rectangle::holding(&corners)
        }
    }

    fn views(&self, name: &str, board: &OnBoard, shown: Shown) -> Vec<View> {
        let wanted = board.placed.iter().filter(|placed| placed.is_wanted);
        let (side, scale, count) = (shown.side(), shown.scale, wanted.count());
        let says = format!("{name}, {side}, {scale}:1, {count} parts");
        let (tiles, room) = sheets(name, board, shown, self.room, self.setting);
        let is_tile = tiles.len() > 1;
        tiles
            .into_iter()
            .map(|cut| {
                let look = Looked {
                    is_solder_side: shown.is_solder_side,
                    scale: shown.scale,
                    cut,
                    is_tile,
                    letters: if self.setting.is_big { 4.0 } else { 2.75 },
                    may_lie_over: shown.may_lie_over,
                };
                view(board, look, room, &says)
            })
            .collect()
    }

    /// Sets the views of one side at a scale; gives the names that found no room.
    fn scale(&mut self, name: &str, shown: Shown, views: Vec<View>) -> Vec<String> {
        let unnamed = missing(&views);
        let count = views.len();
        for (index, view) in views.into_iter().enumerate() {
            self.signs = self.signs.with(view.signs);
            let caption = caption(name, shown, (index + 1, count), unnamed.len());
            self.blocks.push(Block::Drawing {
                drawing: view.drawing,
                caption: Some(caption),
            });
        }
        unnamed
    }

    fn damage(&mut self, board: &OnBoard) {
        if board.damage.is_empty() {
            return;
        }
        self.heading(2, "Damage".into());
        let items = board.damage.iter().map(|damage| {
            Words::strong(damage.number.to_string()).and(format!("\u{a0} {}", damage.says))
        });
        self.blocks.push(Block::List(items.collect()));
    }

    /// The parts without a position, by coarse zone; alike ones together.
    fn unplaced(&mut self, id: BoardId, name: String, board: &'s OnBoard) {
        if board.unplaced.is_empty() {
            return;
        }
        let mut listed = self.listed.iter();
        if let Some((_, on, _)) = listed.find(|row| row.0 == id && row.2 == board.unplaced) {
            let words = format!("Parts without a position: the same as on {on}.");
            self.blocks.push(Block::Paragraph(words.into()));
            return;
        }
        self.listed.push((id, name, &board.unplaced));
        let has_zones = board.unplaced.iter().any(|part| !part.zone.is_empty());
        let heading = match (board.placed.is_empty(), has_zones) {
            (true, true) => "Parts by zone",
            (true, false) => "Parts",
            (false, true) => "Parts without a position, by zone",
            (false, false) => "Parts without a position",
        };
        self.heading(2, heading.into());
        let mut zones: Vec<&str> = board
            .unplaced
            .iter()
            .map(|part| part.zone.as_str())
            .collect();
        zones.sort_unstable();
        zones.dedup();
        // What has no zone comes last.
        zones.sort_by_key(|zone| zone.is_empty());
        let groups = zones.iter().map(|zone| {
            let mut alike: Vec<(&str, &str, Vec<&str>)> = Vec::new();
            for part in board.unplaced.iter().filter(|part| part.zone == *zone) {
                match alike
                    .iter_mut()
                    .find(|row| row.0 == part.value && row.1 == part.way)
                {
                    Some(row) => row.2.push(&part.name),
                    None => alike.push((&part.value, &part.way, vec![&part.name])),
                }
            }
            Group {
                heading: has_zones.then(|| {
                    if zone.is_empty() {
                        "no zone".into()
                    } else {
                        format!("zone {zone}").into()
                    }
                }),
                rows: alike
                    .into_iter()
                    .map(|(value, way, parts)| Row {
                        cells: vec![
                            Cell::Words(Words::strong(names::compress(parts.into_iter()))),
                            value.into(),
                            way.into(),
                        ],
                        is_done: false,
                        ..Row::default()
                    })
                    .collect(),
                foot: None,
            }
        });
        let column = |head: &str, width| Column {
            head: head.into(),
            width,
            is_right: false,
        };
        self.blocks.push(Block::Table(Table {
            columns: vec![
                column("part", Width::Share(1.0)),
                column("value", Width::Content),
                column("way round", Width::Share(2.0)),
            ],
            groups: groups.collect(),
        }));
    }

    fn legend(&mut self) {
        let wide = self.room.width.min(180.0);
        if let Some(drawing) = signs::legend(self.signs, wide, self.setting.is_big) {
            self.heading(1, "Signs on the maps".into());
            self.blocks.push(Block::Drawing {
                drawing,
                caption: None,
            });
        }
    }

    fn heading(&mut self, level: u8, text: String) {
        self.blocks.push(Block::Heading { level, text });
    }
}

/// The names that found no room in any of the views they are in.
fn missing(views: &[View]) -> Vec<String> {
    let mut missing: Vec<String> = views.iter().flat_map(|view| view.unnamed.clone()).collect();
    missing.sort();
    missing.dedup();
    let has_room = |name: &String| views.iter().any(|view| view.names.contains(name));
    missing.retain(|name| !has_room(name));
    missing
}

#[cfg(test)]
mod tests;
