//! The pictures that the log names.

use super::{Telling, heading, paragraph};
use crate::check::subject;
use crate::meaning::{Act, LogEntry, names};
use crate::sheets::document::Block;
use crate::sources::resolve;

/// How the names of pictures end that can be printed.
const PRINTED: &[&str] = &["jpg", "jpeg", "png", "webp", "gif"];

pub(super) fn photos(telling: &Telling<'_, '_, '_>, blocks: &mut Vec<Block>) {
    let from = &telling.case.sources.file(telling.case.root).path;
    let first_out = telling
        .job
        .happened()
        .find(|(_, entry)| matches!(entry.act, Act::Removed))
        .map_or(usize::MAX, |(index, _)| index);
    let mut photos = Vec::new();
    let mut unprinted = Vec::new();
    for (index, entry) in telling.job.happened() {
        let Act::Photographed { paths } = &entry.act else {
            continue;
        };
        for written in paths {
            let is_printed = written
                .rsplit_once('.')
                .is_some_and(|(_, end)| PRINTED.contains(&end.to_ascii_lowercase().as_str()));
            match resolve(from, written) {
                Ok(path) if is_printed => {
                    let when = if index < first_out {
                        ", before the first part came out"
                    } else {
                        ""
                    };
                    let caption = format!(
                        "{}{}{when}. {written}",
                        of(telling, entry),
                        telling.on_day(index)
                    );
                    photos.push(Block::Photo {
                        path,
                        caption: caption.into(),
                    });
                }
                _ => unprinted.push((*written).to_owned()),
            }
        }
    }
    if photos.is_empty() && unprinted.is_empty() {
        return;
    }
    blocks.push(heading(1, "Pictures"));
    blocks.extend(photos);
    if !unprinted.is_empty() {
        let names = unprinted.join(", ");
        blocks.push(paragraph(format!("Not printed here: {names}.")));
    }
}

/// What a picture shows.
fn of(telling: &Telling<'_, '_, '_>, entry: &LogEntry<'_>) -> String {
    let case = telling.case;
    let about = &entry.subject;
    if about.is_everything || about.is_nothing() {
        return "The whole unit".to_owned();
    }
    let boards = names::compress(about.boards.iter().map(|board| case.name_of_copy(*board)));
    let mut of = vec![boards];
    if !about.places.is_empty() {
        of.push(subject(case, &about.places));
    }
    of.extend(about.pads.iter().map(|pad| {
        let name = case.name_of(pad.place);
        format!("{name}.{}", pad.lead)
    }));
    of.retain(|name| !name.is_empty());
    of.join(", ")
}
