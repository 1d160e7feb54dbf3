//! A document as plain text, for a terminal or a file: nothing is cut, columns
//! stand below one another whatever the letters, and the same document gives the
//! same text.

mod table;
mod wrap;

use super::document::{Block, Document, Head, Labels, Words};
use wrap::{padded, shown, width, wrapped};

/// Least columns that anything is set in; a narrower terminal breaks the lines itself.
const LEAST_WIDTH: usize = 32;

/// Widest column of names beside what they say.
const WIDEST_NAME: usize = 24;

/// How a text is set.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Look {
    /// How many columns a line holds.
    pub width: usize,
    /// Whether only plain (ASCII) signs are used for boxes, lines and arrows.
    /// Letters of names are left as they are.
    pub is_plain: bool,
}

/// Sets a document as text.
pub fn text(document: &Document, look: Look) -> String {
    let look = Look {
        width: look.width.max(LEAST_WIDTH),
        ..look
    };
    let mut page = Page {
        look,
        out: String::new(),
    };
    page.head(&document.head);
    for block in &document.blocks {
        page.block(block);
    }
    page.out
}

/// A text as it grows.
struct Page {
    look: Look,
    out: String,
}

impl Page {
    /// Begins a new paragraph.
    fn gap(&mut self) {
        if !self.out.is_empty() && !self.out.ends_with("\n\n") {
            self.out.push('\n');
        }
    }

    fn line(&mut self, text: &str) {
        self.out.push_str(text.trim_end());
        self.out.push('\n');
    }

    fn rule(&self, width: usize, is_double: bool) -> String {
        let sign = match (self.look.is_plain, is_double) {
            (true, true) => '=',
            (true, false) => '-',
            (false, true) => '═',
            (false, false) => '─',
        };
        std::iter::repeat_n(sign, width).collect()
    }

    /// A text broken between words, its lines behind `first` and then behind
    /// `next`, which are equally wide.
    fn set_in(&mut self, first: &str, next: &str, text: &str) {
        let text = shown(text, self.look.is_plain);
        let room = self.look.width.saturating_sub(width(first));
        for (index, line) in wrapped(&text, room).iter().enumerate() {
            let before = if index == 0 { first } else { next };
            self.line(&format!("{before}{line}"));
        }
    }

    fn head(&mut self, head: &Head) {
        self.set_in("", "", &format!("{}: job {}", head.title, head.job));
        let mut unit = vec![head.unit.clone()];
        unit.extend(
            head.serial
                .as_ref()
                .map(|serial| format!("serial {serial}")),
        );
        unit.extend(
            head.model_revision
                .as_ref()
                .map(|revision| format!("model revision {revision}")),
        );
        unit.retain(|text| !text.is_empty());
        if !unit.is_empty() {
            self.set_in("", "", &unit.join(", "));
        }
        self.set_in(
            "",
            "",
            &format!(
                "file {}; not checked: {}",
                head.file_revision, head.not_checked
            ),
        );
        if head.errors > 0 {
            self.set_in("!! ", "!! ", &errors(head.errors));
        }
        let rule = self.rule(self.look.width, false);
        self.line(&rule);
    }

    fn block(&mut self, block: &Block) {
        self.gap();
        match block {
            Block::Heading { level, text } => self.heading(*level, text),
            Block::Paragraph(words) => self.set_in("", "", &words.text()),
            Block::Caution(words) => {
                self.set_in("!! ", "!! ", &format!("CAUTION  {}", words.text()));
            }
            Block::List(items) => {
                let dot = if self.look.is_plain { "- " } else { "• " };
                for item in items {
                    self.set_in(dot, "  ", &item.text());
                }
            }
            Block::Facts(facts) => self.facts(facts),
            Block::Table(table) => table::set(self, table),
            Block::Drawing { drawing, caption } => {
                self.set_in("", "", &drawing.says);
                self.caption(caption.as_ref());
            }
            Block::Photo { path, caption } => {
                self.set_in("", "", &format!("photo {path}"));
                self.caption(Some(caption));
            }
            Block::WriteIn { heads, lines } => self.write_in(heads, *lines),
            Block::Labels(labels) => self.labels(labels),
            Block::NewPage => {}
        }
    }

    fn heading(&mut self, level: u8, text: &str) {
        self.set_in("", "", text);
        let lines = wrapped(&shown(text, self.look.is_plain), self.look.width);
        let widest = lines.iter().map(|line| width(line)).max().unwrap_or(0);
        if level <= 2 {
            let rule = self.rule(widest, level <= 1);
            self.line(&rule);
        }
    }

    fn caption(&mut self, caption: Option<&Words>) {
        if let Some(caption) = caption.filter(|caption| !caption.is_empty()) {
            self.set_in("  ", "  ", &caption.text());
        }
    }

    fn facts(&mut self, facts: &[(String, Words)]) {
        let names: Vec<String> = facts
            .iter()
            .map(|(name, _)| shown(name, self.look.is_plain))
            .collect();
        let widest = names.iter().map(|name| width(name)).max().unwrap_or(0);
        let widest = widest.min(WIDEST_NAME);
        let indent = format!("{:widest$}  ", "");
        for (name, (_, words)) in names.iter().zip(facts) {
            if width(name) > widest {
                self.set_in("", "", name);
                self.set_in(&indent, &indent, &words.text());
            } else {
                let first = format!("{}  ", padded(name, widest, false));
                self.set_in(&first, &indent, &words.text());
            }
        }
    }

    fn write_in(&mut self, heads: &[String], lines: usize) {
        let columns = heads.len().max(1);
        let room = (self.look.width + 2) / columns;
        let room = room.saturating_sub(2).max(4);
        let row = |cell: &dyn Fn(usize) -> String| {
            let cells: Vec<String> = (0..columns)
                .map(|column| padded(&cell(column), room, false))
                .collect();
            cells.join("  ")
        };
        let heads: Vec<Vec<String>> = heads
            .iter()
            .map(|head| wrapped(&shown(head, self.look.is_plain), room))
            .collect();
        let height = heads.iter().map(Vec::len).max().unwrap_or(0);
        for line in 0..height {
            let line = row(&|column| {
                let head = heads.get(column).and_then(|lines| lines.get(line));
                head.cloned().unwrap_or_default()
            });
            self.line(&line);
        }
        let blank = "_".repeat(room);
        for _ in 0..lines {
            self.out.push('\n');
            let line = row(&|_| blank.clone());
            self.line(&line);
        }
    }

    fn labels(&mut self, labels: &Labels) {
        for label in &labels.labels {
            self.gap();
            self.set_in("", "", &label.title);
            for line in &label.lines {
                self.set_in("  ", "  ", line);
            }
        }
    }
}

/// What is said where a job has mistakes.
fn errors(count: usize) -> String {
    let are = if count == 1 { "error is" } else { "errors are" };
    format!("{count} {are} open: run retin check before you work from this sheet")
}

#[cfg(test)]
mod tests;
