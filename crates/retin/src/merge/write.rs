//! Joined records as text.

use super::layout::Layout;
use super::outline::{Node, columns};
use super::records::Joined;
use super::{Conflict, Merged};
use retin_syntax::lexer::BYTE_ORDER_MARK;

/// Writes the joined records as a text.
pub(super) fn write(joined: &[Joined<'_>], layout: &Layout) -> Merged {
    let mut writer = Writer::default();
    writer.joined(joined, None);
    let Writer {
        mut lines,
        conflicts,
    } = writer;
    lines.extend((0..layout.blanks).map(|_| String::new()));
    let mut text = String::new();
    if layout.has_mark {
        text.push(BYTE_ORDER_MARK);
    }
    text.push_str(&lines.join(layout.line_end));
    if layout.is_ended && !lines.is_empty() {
        text.push_str(layout.line_end);
    }
    Merged {
        text,
        conflicts,
        plain: None,
    }
}

#[derive(Default)]
struct Writer {
    lines: Vec<String>,
    conflicts: Vec<Conflict>,
}

impl Writer {
    /// Writes what belongs to a line that is indented by `above` columns.
    fn joined(&mut self, list: &[Joined<'_>], above: Option<u32>) {
        let indents = list.iter().filter_map(|joined| match joined {
            Joined::Line(line, _) => (!line.is_comment).then_some(line.indent),
            Joined::Whole(node) => (!node.is_comment()).then_some(node.indent),
            Joined::Undecided { ours, theirs, .. } => ours.or(*theirs).map(|node| node.indent),
            Joined::UndecidedLine { ours, .. } => Some(ours.indent),
        });
        let forced = forced(indents, above);
        for joined in list {
            match joined {
                Joined::Line(line, children) => {
                    let indent = forced.as_deref().unwrap_or(line.indent);
                    self.line(line.blanks, indent, &line.text);
                    self.joined(children, Some(columns(indent)));
                }
                Joined::Whole(node) => self.node(node, forced.as_deref()),
                Joined::Undecided {
                    ours,
                    theirs,
                    clash,
                } => {
                    let Some(shown) = ours.or(*theirs) else {
                        continue;
                    };
                    self.blanks(shown.blanks);
                    self.conflict(shown, *clash);
                    for (node, marker) in [(ours, "======="), (theirs, ">>>>>>> theirs")] {
                        if let Some(node) = node {
                            self.node_without_blanks(node, forced.as_deref());
                        }
                        self.lines.push(marker.into());
                    }
                }
                Joined::UndecidedLine {
                    ours,
                    theirs,
                    clash,
                    children,
                } => {
                    self.blanks(ours.blanks);
                    self.conflict(ours, *clash);
                    let indent = forced.as_deref().unwrap_or(ours.indent);
                    for (node, marker) in [(ours, "======="), (theirs, ">>>>>>> theirs")] {
                        self.line(0, indent, node.typed);
                        self.lines.push(marker.into());
                    }
                    self.joined(children, Some(columns(indent)));
                }
            }
        }
    }

    fn conflict(&mut self, shown: &Node<'_>, clash: super::Clash) {
        self.lines.push("<<<<<<< ours".into());
        self.conflicts.push(Conflict {
            line: self.lines.len() as u32,
            record: shown.says.clone(),
            clash,
        });
    }

    fn blanks(&mut self, count: u32) {
        self.lines.extend((0..count).map(|_| String::new()));
    }

    fn line(&mut self, blanks: u32, indent: &str, text: &str) {
        self.blanks(blanks);
        self.lines.push(format!("{indent}{text}"));
    }

    fn node(&mut self, node: &Node<'_>, forced: Option<&str>) {
        self.blanks(node.blanks);
        self.node_without_blanks(node, forced);
    }

    fn node_without_blanks(&mut self, node: &Node<'_>, forced: Option<&str>) {
        let indent = forced.unwrap_or(node.indent);
        self.line(0, indent, node.typed);
        let children = node.children.iter();
        let indents = children
            .filter(|child| !child.is_comment())
            .map(|child| child.indent);
        let forced = self::forced(indents, Some(columns(indent)));
        for child in &node.children {
            self.node(child, forced.as_deref());
        }
    }
}

/// The indentation to write a list with, where its own would give lines
/// another parent: they have to lie deeper than what they belong to, and none
/// deeper than the one before it.
fn forced<'n>(indents: impl Iterator<Item = &'n str>, above: Option<u32>) -> Option<String> {
    let mut first = None;
    let mut last = u32::MAX;
    let mut is_sound = true;
    for indent in indents {
        let width = columns(indent);
        is_sound &= width <= last && above.is_none_or(|above| width > above);
        last = width;
        first = first.or(Some(indent));
    }
    if is_sound {
        return None;
    }
    let first = first?;
    Some(match above {
        Some(above) if columns(first) <= above => " ".repeat(above as usize + 2),
        _ => first.to_owned(),
    })
}
