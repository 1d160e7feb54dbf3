//! Signs that the fonts lack: nothing warns of them while pages are set.

use crate::fonts::{has, is_without_width};
use retin::sheets::document::{Block, Cell, Document, Words};
use retin::sheets::drawing::Shape;
use std::collections::BTreeSet;

/// The signs of a document that no font has, each once, in the order of their
/// numbers.
pub(crate) fn missing(document: &Document) -> Vec<char> {
    let mut found = BTreeSet::new();
    for text in texts(document) {
        for sign in text.chars() {
            if !sign.is_control() && !is_without_width(sign) && !has(sign) {
                found.insert(sign);
            }
        }
    }
    found.into_iter().collect()
}

/// Every text of a document.
fn texts(document: &Document) -> Vec<&str> {
    let head = &document.head;
    let mut texts = vec![
        head.title.as_str(),
        &head.job,
        &head.unit,
        &head.file_revision,
    ];
    texts.extend(head.serial.as_deref());
    texts.extend(head.model_revision.as_deref());
    for block in &document.blocks {
        match block {
            Block::Heading { text, .. } => texts.push(text),
            Block::Paragraph(words) | Block::Caution(words) => of_words(words, &mut texts),
            Block::List(items) => items.iter().for_each(|words| of_words(words, &mut texts)),
            Block::Facts(facts) => {
                for (name, words) in facts {
                    texts.push(name);
                    of_words(words, &mut texts);
                }
            }
            Block::Table(table) => {
                texts.extend(table.columns.iter().map(|column| column.head.as_str()));
                for group in &table.groups {
                    for words in group.heading.iter().chain(&group.foot) {
                        of_words(words, &mut texts);
                    }
                    for cell in group.rows.iter().flat_map(|row| &row.cells) {
                        match cell {
                            Cell::Words(words) => of_words(words, &mut texts),
                            Cell::Lines(lines) => {
                                lines.iter().for_each(|words| of_words(words, &mut texts));
                            }
                            Cell::Boxes(boxes) => {
                                texts.extend(boxes.iter().map(|named| named.name.as_str()));
                            }
                            Cell::Box { .. } | Cell::Blank => {}
                        }
                    }
                }
            }
            Block::Drawing { drawing, caption } => {
                for shape in &drawing.shapes {
                    if let Shape::Text { text, .. } = shape {
                        texts.push(text);
                    }
                }
                caption.iter().for_each(|words| of_words(words, &mut texts));
            }
            Block::Photo { path, caption } => {
                texts.push(path);
                of_words(caption, &mut texts);
            }
            Block::WriteIn { heads, .. } => texts.extend(heads.iter().map(String::as_str)),
            Block::Labels(labels) => {
                for label in &labels.labels {
                    texts.push(&label.title);
                    texts.extend(label.lines.iter().map(String::as_str));
                }
            }
            Block::NewPage => {}
        }
    }
    texts
}

fn of_words<'a>(words: &'a Words, texts: &mut Vec<&'a str>) {
    texts.extend(words.runs.iter().map(|run| run.text.as_str()));
}
