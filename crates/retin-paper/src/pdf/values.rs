//! A document as the values that the template reads: measured, cut to columns,
//! lengths in millimetres.

use super::height::{ABOVE_BOXES, BETWEEN_BOXES, Height, LEADING};
use super::keep::{self, Kept};
use super::starts::{BELOW, Columns, Starts};
use crate::columns::{INSET, lies_on_its_side};
use crate::measure::{broken, broken_text, clean, lines_of, width};
use crate::svg::{Layer, layers, picture};
use crate::{POINT, PageSetting, Sizes, boxes, head, labels, photo};
use retin::sheets::document::{Block, Cell, Document, Head, Labels, NamedBox, Table, Words};
use retin::sheets::drawing::{Anchor, Drawing, Shape};
use retin::sheets::page::Extent;
use typst::foundations::{Array, Bytes, Dict, IntoValue, NoneValue, Value, dict};

/// Letters of one paragraph above which it may be broken over two pages, since it
/// might not fit on one.
const LONG: usize = 1500;

/// The values of one document, and the photographs that are missing.
pub(super) fn sheet(
    document: &Document,
    setting: PageSetting,
    photos: &dyn Fn(&str) -> Option<Vec<u8>>,
) -> (Dict, Vec<String>) {
    let is_landscape = lies_on_its_side(document, setting);
    let mut setter = Setter {
        setting,
        sizes: Sizes::of(setting),
        room: setting.room(is_landscape),
        photos,
        missing_photos: Vec::new(),
    };
    let blocks: Array = document
        .blocks
        .iter()
        .enumerate()
        .map(|(index, block)| {
            let mut value = match block {
                Block::Table(table) => setter.table(table, setter.tail(&document.blocks, index)),
                _ => setter.block(block),
            };
            let is_sticky = setter.stays_with_next(&document.blocks, index);
            value.insert("sticky".into(), is_sticky.into_value());
            Value::Dict(value)
        })
        .collect();
    let (head, top) = setter.head(&document.head);
    let page = setting.page(is_landscape);
    let sizes = setter.sizes;
    let sheet = dict! {
        "name" => clean(&head::title(&document.head)).as_str(),
        "language" => "en",
        "size" => sizes.text,
        "big" => setting.is_big,
        "box" => sizes.tick_box,
        "row" => sizes.row,
        "leading" => LEADING,
        "between-boxes" => BETWEEN_BOXES,
        "above-boxes" => ABOVE_BOXES,
        "write" => sizes.write,
        "page" => dict! {
            "width" => page.width,
            "height" => page.height,
            "top" => top,
            "bottom" => setting.bottom(),
            "left" => PageSetting::LEFT,
            "right" => PageSetting::RIGHT,
        },
        "head" => head,
        "foot" => dict! {
            "not-checked" => head::not_checked(&document.head).as_str(),
            "errors" => optional(head::errors(&document.head).as_deref()),
            "revision" => clean(&document.head.file_revision).as_str(),
        },
        "blocks" => blocks,
    };
    (sheet, setter.missing_photos)
}

/// Whether a paragraph says what follows it, and stays with it: one between a heading
/// and what stands below that, and one in bold alone.
fn leads(blocks: &[Block], index: usize) -> bool {
    let Block::Paragraph(words) = &blocks[index] else {
        return false;
    };
    let is_before = |block: &Block| !matches!(block, Block::Heading { .. } | Block::NewPage);
    let is_bold = words.runs.iter().all(|run| run.is_strong);
    let is_short = words.text().chars().count() <= LONG;
    let is_below_heading = blocks[..index]
        .iter()
        .rev()
        .find(|block| !matches!(block, Block::Paragraph(_)))
        .is_some_and(|block| matches!(block, Block::Heading { .. }));
    is_short && (is_bold || is_below_heading) && blocks.get(index + 1).is_some_and(is_before)
}

struct Setter<'a> {
    setting: PageSetting,
    sizes: Sizes,
    room: Extent,
    photos: &'a dyn Fn(&str) -> Option<Vec<u8>>,
    missing_photos: Vec<String>,
}

impl Setter<'_> {
    /// The size of the text, in millimetres.
    fn size(&self) -> f64 {
        self.sizes.text * POINT
    }

    /// The head, and how much of the page it takes from above: more than usual
    /// where its lines are long.
    fn head(&self, head: &Head) -> (Dict, f64) {
        let size = self.sizes.head * POINT;
        // Beside it stands the number of the page.
        let room = self.room.width - width("page 0000 of 0000", false, size) - 4.0;
        let title = broken_text(&head::title(head), true, size * 1.35, room);
        let lines: Vec<String> = head::lines(head)
            .iter()
            .map(|line| broken_text(line, false, size, room))
            .collect();
        let taken = |text: &str, is_strong, factor: f64| {
            let words = if is_strong {
                Words::strong(text)
            } else {
                Words::plain(text)
            };
            lines_of(&words, false, size * factor, room) as f64 * factor
        };
        let usual = 1.35 + 2.0;
        let needed = taken(&title, true, 1.35)
            + lines
                .iter()
                .map(|line| taken(line, false, 1.0))
                .sum::<f64>();
        let more = (needed - usual).max(0.0) * size * 1.3;
        let dict = dict! {
            "size" => self.sizes.head,
            "title" => title.as_str(),
            "lines" => lines.iter().map(|line| line.as_str().into_value()).collect::<Array>(),
        };
        (
            dict,
            (self.setting.top() + more).min(self.room.height / 2.0),
        )
    }

    fn starts(&self) -> Starts {
        Starts {
            sizes: self.sizes,
            room: self.room,
        }
    }

    /// Whether a paragraph or a caution stays with what follows it.
    fn stays_with_next(&self, blocks: &[Block], index: usize) -> bool {
        let Block::Caution(words) = &blocks[index] else {
            return leads(blocks, index);
        };
        if words.text().chars().count() > LONG {
            return false;
        }
        // In big print a heading with its cautions can take so much of a page that
        // what follows has to begin on the next.
        let is_held = |index: &usize| {
            matches!(blocks[*index], Block::Heading { .. } | Block::Caution(_))
                || leads(blocks, *index)
        };
        let before = (0..index).rev().take_while(is_held).count();
        let after = (index..blocks.len()).take_while(is_held).count();
        let end = (index + after + 1).min(blocks.len());
        let starts = self.starts();
        let whole: f64 = blocks[index - before..end]
            .iter()
            .map(|block| starts.of(block))
            .sum();
        whole < self.room.height
    }

    /// How much of what follows a table has to stand on the page of its last row: a
    /// lead, which belongs to what stands above it, and the beginning of what it leads.
    fn tail(&self, blocks: &[Block], index: usize) -> f64 {
        let Some(lead @ Block::Heading { level: 3.., .. }) = blocks.get(index + 1) else {
            return 0.0;
        };
        let led = blocks
            .get(index + 2)
            .map_or(0.0, |led| self.starts().of(led));
        self.starts().of(lead) + led
    }

    fn block(&mut self, block: &Block) -> Dict {
        let (size, width) = (self.size(), self.room.width);
        match block {
            Block::Heading { level, text } => dict! {
                "kind" => "heading",
                "level" => i64::from((*level).clamp(1, 3)),
                "text" => broken_text(text, true, size * 1.35, width).as_str(),
            },
            Block::Paragraph(words) => dict! {
                "kind" => "paragraph",
                "words" => runs(&broken(words, false, size, width)),
            },
            Block::Caution(words) => dict! {
                "kind" => "caution",
                "long" => words.text().chars().count() > LONG,
                "words" => runs(&broken(words, false, size, width - 4.0 - size * 3.0)),
            },
            Block::List(items) => dict! {
                "kind" => "list",
                "whole" => self.starts().is_whole(items),
                "items" => items
                    .iter()
                    .map(|words| runs(&broken(words, false, size, width - size * 2.0)).into_value())
                    .collect::<Array>(),
            },
            Block::Facts(facts) => self.facts(facts),
            Block::Table(table) => self.table(table, 0.0),
            Block::Drawing { drawing, caption } => self.drawing(drawing, caption.as_ref()),
            Block::Photo { path, caption } => self.photo(path, caption),
            Block::WriteIn { heads, lines } => self.write_in(heads, *lines),
            Block::Labels(labels) => self.labels(labels),
            Block::NewPage => dict! { "kind" => "new-page" },
        }
    }

    fn facts(&self, facts: &[(String, Words)]) -> Dict {
        let size = self.size();
        let widest = facts
            .iter()
            .map(|(name, _)| width(name, false, size))
            .fold(0.0, f64::max);
        let names = (widest * 1.02 + 0.4).min(self.room.width * 0.4);
        let rest = self.room.width - names - 3.0;
        dict! {
            "kind" => "facts",
            "width" => names,
            "facts" => facts
                .iter()
                .map(|(name, words)| dict! {
                    "name" => broken_text(name, false, size, names).as_str(),
                    "words" => runs(&broken(words, false, size, rest)),
                }.into_value())
                .collect::<Array>(),
        }
    }

    /// A table; `tail` is how much of what follows it stands with its last row.
    fn table(&self, table: &Table, tail: f64) -> Dict {
        let size = self.size();
        let columns = Columns::of(table, self.sizes, self.room.width);
        let inner = |index: usize| columns.inner(index);
        let across = columns.across();
        let heads: Array = table
            .columns
            .iter()
            .enumerate()
            .map(|(index, column)| {
                let head = Words::strong(column.head.as_str());
                runs_in_lines(&[broken(&head, true, size, inner(index))])
            })
            .collect();
        let mut groups = Array::new();
        let mut tail_kept = 0.0;
        for (index, group) in table.groups.iter().enumerate() {
            let heights = columns.heights(group, self.sizes);
            let whole = Columns::whole(&heights);
            let tail = if index + 1 == table.groups.len() {
                tail
            } else {
                0.0
            };
            let kept = keep::group(group, &whole, tail, self.room.height);
            // The rows that are kept reach over the foot, if it is kept as well.
            let below = group.rows.iter().filter(|row| !row.below.is_empty());
            let over = kept.iter().map(|kept| kept.with_next).sum::<usize>()
                - group.rows.len()
                - below.count();
            let is_foot_alone = over == 0;
            if over > usize::from(group.foot.is_some()) {
                tail_kept = tail;
            }
            let mut rows = Array::new();
            for ((row, (height, below)), kept) in group.rows.iter().zip(heights).zip(kept) {
                let cells: Array = (0..table.columns.len())
                    .map(|index| self.cell(row.cells.get(index), inner(index)))
                    .collect();
                let Kept { with_next, is_long } = kept;
                // What is broken over two pages has no height of its own.
                let exact = |height: Height| height.exact().filter(|_| !is_long);
                rows.push(
                    dict! {
                        "cells" => cells,
                        "height" => optional(exact(height)),
                        "below-height" => optional(below.and_then(exact)),
                        "below" => if row.below.is_empty() {
                            Value::None
                        } else {
                            self.boxes(&row.below, across - BELOW)
                        },
                        "done" => row.is_done,
                        "long" => is_long,
                        "keep" => with_next as i64,
                    }
                    .into_value(),
                );
            }
            let line = |words: &Option<Words>, factor: f64| match words {
                Some(words) => runs_in_lines(&[broken(words, true, size * factor, across)]),
                None => Value::None,
            };
            groups.push(
                dict! {
                    "heading" => line(&group.heading, 1.08),
                    "rows" => rows,
                    "foot" => line(&group.foot, 1.0),
                    "foot-alone" => is_foot_alone,
                }
                .into_value(),
            );
        }
        dict! {
            "kind" => "table",
            "widths" => columns.widths.iter().map(|width| width.into_value()).collect::<Array>(),
            "aligns" => table
                .columns
                .iter()
                .map(|column| if column.is_right { "right" } else { "left" }.into_value())
                .collect::<Array>(),
            "heads" => if Columns::has_heads(table) { heads.into_value() } else { Value::None },
            // A heading stands again on the next page until another takes its
            // place, so it must not where a later group has none.
            "repeats" => table.groups.iter().all(|group| group.heading.is_some()),
            "groups" => groups,
            "tail" => tail_kept,
        }
    }

    fn cell(&self, cell: Option<&Cell>, column: f64) -> Value {
        let fit = |words: &Words| broken(words, false, self.size(), column);
        match cell {
            Some(Cell::Words(words)) => dict! {
                "kind" => "lines",
                "lines" => runs_in_lines(&[fit(words)]),
            },
            Some(Cell::Lines(lines)) => dict! {
                "kind" => "lines",
                "lines" => runs_in_lines(&lines.iter().map(fit).collect::<Vec<_>>()),
            },
            Some(Cell::Box { is_ticked }) => dict! { "kind" => "box", "ticked" => *is_ticked },
            Some(Cell::Boxes(boxes)) => return self.boxes(boxes, column),
            Some(Cell::Blank) | None => dict! { "kind" => "blank" },
        }
        .into_value()
    }

    fn boxes(&self, boxes: &[NamedBox], room: f64) -> Value {
        let layout = boxes::layout(boxes, room, self.sizes);
        let named = |named: &NamedBox| {
            let name = broken_text(&named.name, false, self.size(), layout.name);
            dict! { "ticked" => named.is_ticked, "name" => name.as_str() }.into_value()
        };
        dict! {
            "kind" => "boxes",
            "columns" => layout.columns as i64,
            "width" => layout.width,
            "boxes" => boxes.iter().map(named).collect::<Array>(),
        }
        .into_value()
    }

    fn drawing(&self, drawing: &Drawing, caption: Option<&Words>) -> Dict {
        let layers: Array = layers(drawing)
            .map(|layer| {
                match layer {
                    Layer::Shapes(shapes) => dict! {
                        "kind" => "shapes",
                        "picture" => Bytes::from_string(picture(drawing, shapes)),
                    },
                    Layer::Texts(shapes) => dict! {
                        "kind" => "texts",
                        "texts" => shapes
                            .iter()
                            .filter_map(|shape| text(shape, drawing.width))
                            .collect::<Array>(),
                    },
                }
                .into_value()
            })
            .collect();
        let caption =
            caption.map(|words| runs(&broken(words, false, self.size(), self.room.width)));
        dict! {
            "kind" => "drawing",
            "width" => finite(drawing.width),
            "height" => finite(drawing.height),
            "says" => clean(&drawing.says).as_str(),
            "caption" => caption.map_or(Value::None, IntoValue::into_value),
            "layers" => layers,
        }
    }

    fn photo(&mut self, path: &str, caption: &Words) -> Dict {
        let caption = broken(caption, false, self.size(), self.room.width - 4.0);
        let Some(photo) = (self.photos)(path).and_then(photo::read) else {
            self.missing_photos.push(path.to_owned());
            let missing = photo::missing(path);
            return dict! {
                "kind" => "photo",
                "picture" => NoneValue,
                "missing" => broken_text(&missing, true, self.size(), self.room.width - 4.0).as_str(),
                "caption" => runs(&caption),
            };
        };
        let (width, height) = photo::extent(&photo, self.room.width, self.room.height * 0.45);
        dict! {
            "kind" => "photo",
            "width" => width,
            "height" => height,
            "alt" => caption.text().as_str(),
            "picture" => Bytes::new(photo.bytes),
            "caption" => runs(&caption),
        }
    }

    fn write_in(&self, heads: &[String], lines: usize) -> Dict {
        let size = self.size();
        let widths = crate::columns::write_in(heads, self.sizes, self.room.width);
        let heads: Array = heads
            .iter()
            .zip(&widths)
            .map(|(head, width)| {
                let head = Words::strong(head.as_str());
                runs_in_lines(&[broken(&head, true, size, width - 2.0 * INSET - 0.2)])
            })
            .collect();
        dict! {
            "kind" => "write-in",
            "widths" => widths.into_iter().map(IntoValue::into_value).collect::<Array>(),
            "heads" => heads,
            "lines" => lines as i64,
            "whole" => lines as f64 * (self.sizes.write + 2.0 * self.sizes.row) < self.room.height * 0.7,
        }
    }

    fn labels(&self, labels: &Labels) -> Dict {
        let pages: Array = labels::pages(labels, self.setting)
            .into_iter()
            .map(|page| {
                page.into_iter()
                    .map(|label| label_value(&label))
                    .collect::<Array>()
                    .into_value()
            })
            .collect();
        dict! { "kind" => "labels", "pages" => pages }
    }
}

fn label_value(label: &labels::Placed) -> Value {
    let lines: Array = label
        .lines
        .iter()
        .map(|line| {
            dict! {
                "x" => label.x + line.x,
                "y" => label.y + line.y,
                "size" => line.size,
                "strong" => line.is_strong,
                "text" => line.text.as_str(),
            }
            .into_value()
        })
        .collect();
    lines.into_value()
}

/// A text of a drawing that is so wide.
fn text(shape: &Shape, room: f64) -> Option<Value> {
    let Shape::Text {
        at,
        size,
        anchor,
        is_strong,
        is_upright,
        text,
    } = shape
    else {
        return None;
    };
    let value = dict! {
        "x" => finite(at.x),
        "y" => finite(at.y),
        "size" => finite(*size),
        "has-room" => width(text, *is_strong, *size) * 1.1 < room,
        "anchor" => match anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        },
        "strong" => *is_strong,
        "upright" => *is_upright,
        "text" => clean(text).as_str(),
    };
    Some(value.into_value())
}

/// Lines of words.
fn runs_in_lines(lines: &[Words]) -> Value {
    lines
        .iter()
        .map(|words| runs(words).into_value())
        .collect::<Array>()
        .into_value()
}

/// Words run by run.
fn runs(words: &Words) -> Array {
    words
        .runs
        .iter()
        .map(|run| dict! { "text" => run.text.as_str(), "strong" => run.is_strong }.into_value())
        .collect()
}

fn optional(value: Option<impl IntoValue>) -> Value {
    value.map_or(Value::None, IntoValue::into_value)
}

fn finite(value: f64) -> f64 {
    if value.is_finite() { value } else { 0.0 }
}
