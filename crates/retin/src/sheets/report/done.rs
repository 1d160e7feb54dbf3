//! What was done, board by board; copies that have come equally far are told once.

use super::{Telling, heading, kinds, paragraph, prose, table};
use crate::meaning::{Act, BoardCopy, BoardId, LogEntry, PlaceId, names};
use crate::sheets::document::{Block, Cell, Width, Words};
use crate::time::Content;
use crate::typeset;
use crate::words::listed;
use retin_syntax::tree::HeadingKind;

pub(super) fn done(telling: &Telling<'_, '_, '_>, blocks: &mut Vec<Block>) {
    blocks.push(heading(1, "What was done"));
    let before = blocks.len();
    let case = telling.case;
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    for board in (0..case.boards.len() as u32).map(BoardId) {
        let mut groups: Vec<(Vec<BoardCopy>, Vec<String>)> = Vec::new();
        for copy in case.copies_of(board) {
            let told = on_board(telling, copy);
            if told.is_empty() {
                continue;
            }
            match groups.iter_mut().find(|group| group.1 == told) {
                Some(group) => group.0.push(copy),
                None => groups.push((vec![copy], told)),
            }
        }
        for (copies, told) in groups {
            let names = names::compress(copies.iter().map(|copy| case.name_of_copy(*copy)));
            let mut name = vec![Words::strong(case.board(board).title)];
            name.push(names.into());
            name.retain(|words| !words.is_empty());
            rows.push(vec![
                Cell::Lines(name),
                Cell::Lines(told.into_iter().map(Words::plain).collect()),
            ]);
        }
    }
    if !rows.is_empty() {
        blocks.push(table(
            &[
                ("board", Width::Share(2.0), false),
                ("what was done to each", Width::Share(3.0), false),
            ],
            rows,
        ));
    }
    let joined = links(telling);
    if !joined.is_empty() {
        blocks.push(paragraph(format!("Joints made: {}.", joined.join(", "))));
    }
    let written = prose::prose(
        telling,
        &[
            HeadingKind::Plan,
            HeadingKind::Steps,
            HeadingKind::Targets,
            HeadingKind::Log,
        ],
    );
    blocks.extend(written.into_iter().map(paragraph));
    if blocks.len() == before {
        blocks.push(paragraph("Nothing yet, by the log."));
    }
}

/// The links that were soldered, by name.
fn links(telling: &Telling<'_, '_, '_>) -> Vec<String> {
    let mut joined: Vec<String> = Vec::new();
    for (_, entry) in telling.job.happened() {
        if !matches!(entry.act, Act::Soldered) {
            continue;
        }
        for link in &entry.subject.links {
            let name = telling.case.link(*link).name.to_owned();
            if !joined.contains(&name) {
                joined.push(name);
            }
        }
    }
    joined
}

/// What was done to one board, as beginnings of sentences.
fn on_board(telling: &Telling<'_, '_, '_>, board: BoardCopy) -> Vec<String> {
    let case = telling.case;
    let state = telling.replay.board(board);
    let mut told = Vec::new();
    let places = || {
        let parts = case.board(board.0).parts.iter();
        parts.map(|part| PlaceId {
            part: *part,
            copy: board.1,
        })
    };
    let of = |is_told: &dyn Fn(PlaceId) -> bool| -> Vec<PlaceId> {
        places().filter(|place| is_told(*place)).collect()
    };
    let with_kinds =
        |places: &[PlaceId]| kinds::counted(places.iter().map(|place| case.goes_by(*place).kind));
    let out = of(&|place| telling.replay.place(place).removed.is_some());
    if !out.is_empty() {
        told.push(format!("taken out: {}", with_kinds(&out)));
    }
    let entries = || {
        telling
            .job
            .happened()
            .filter(|(_, entry)| entry.subject.boards.contains(&board))
            .map(|(_, entry)| entry)
    };
    let with: Vec<String> = entries()
        .flat_map(cleaned_with)
        .fold(Vec::new(), |mut means, mean| {
            if !means.contains(&mean) {
                means.push(mean);
            }
            means
        });
    if state.cleaned.is_some() {
        told.push(if with.is_empty() {
            "cleaned".to_owned()
        } else {
            format!("cleaned with {}", listed(&with))
        });
    }
    let sockets = of(&|place| telling.replay.place(place).socketed.is_some());
    if !sockets.is_empty() {
        let sockets = crate::words::counted(sockets.len(), "socket", "sockets");
        told.push(format!("put in: {sockets}"));
    }
    let fitted = of(&|place| {
        let state = telling.replay.place(place);
        state.content == Content::New && state.fitted.is_some()
    });
    if !fitted.is_empty() {
        told.push(format!("put in: {}", with_kinds(&fitted)));
        let unseen = fitted
            .iter()
            .filter(|place| telling.replay.state(case, **place).inspected().is_none())
            .count();
        told.push(match unseen {
            0 => "all new joints looked at".to_owned(),
            unseen if unseen == fitted.len() => "new joints not looked at yet".to_owned(),
            unseen => format!("new joints looked at, but for those of {unseen}"),
        });
    }
    let adjusted = of(&|place| telling.replay.place(place).adjusted.is_some());
    if !adjusted.is_empty() {
        let names = adjusted
            .iter()
            .map(|place| case.part(place.part).name.as_str());
        told.push(format!("set: {}", names::compress(names)));
    }
    if let Some(entry) = state.powered {
        told.push(format!("first power{}", with_limit(telling, entry)));
    }
    if let Some(entry) = state.tested {
        told.push(format!("functions tried{}", telling.on_day(entry)));
    }
    told
}

fn cleaned_with(entry: &LogEntry<'_>) -> Vec<String> {
    match &entry.act {
        Act::Cleaned { with } => with.iter().map(|means| (*means).to_owned()).collect(),
        _ => Vec::new(),
    }
}

/// How first power came, and when: " through a lamp on 2026-09-20".
fn with_limit(telling: &Telling<'_, '_, '_>, entry: usize) -> String {
    let limit = match telling.job.told(entry).map(|told| &told.act) {
        Some(Act::Powered { has_lamp, limit }) => {
            let lamp = if *has_lamp { " through a lamp" } else { "" };
            let limit = limit.map_or(String::new(), |limit| {
                format!(" limited to {}", typeset::quantity(limit))
            });
            format!("{lamp}{limit}")
        }
        _ => String::new(),
    };
    format!("{limit}{}", telling.on_day(entry))
}
