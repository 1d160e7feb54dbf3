//! Which names stand behind the boards: only by these can anything there have asked for
//! a part or a net.

use super::build::sections_of;
use super::{Section, log, names};
use crate::sources::{FileId, Sources};
use retin_syntax::tree::{HeadingKind, Line, unquoted};
use rustc_hash::{FxHashMap, FxHashSet};

/// The names of paths, each for itself, with all that ranges stand for.
#[derive(Default, Debug)]
pub(super) struct Mentions {
    /// Those in sections that may name a place, but for the log.
    elsewhere: FxHashSet<String>,
    /// By name: the entries of the log on whose lines it stands, and maybe some on which
    /// it stood before.
    in_log: FxHashMap<String, Vec<usize>>,
}

impl Mentions {
    /// What the files mention, of which the root has one log at most.
    pub(super) fn of(sources: &Sources, root: FileId) -> Mentions {
        let mut mentions = Mentions::default();
        let files = (0..sources.len() as u32).map(FileId);
        for section in files.flat_map(|file| sections_of(sources, file)) {
            match section.heading.kind {
                HeadingKind::Board
                | HeadingKind::Wiring
                | HeadingKind::Packages
                | HeadingKind::Devices
                | HeadingKind::Shelf
                | HeadingKind::Minutes
                | HeadingKind::Model => {}
                HeadingKind::Log if section.file == root => {
                    for (at, (id, ..)) in log::entry_lines(section).into_iter().enumerate() {
                        mentions.note_entry(sources, section, section.tree.line(id), at);
                    }
                }
                _ => {
                    let end = section.tree.line(section.id).end as usize;
                    for line in &section.tree.lines[section.id.index()..end] {
                        let names = names_on(sources, section, line);
                        mentions.elsewhere.extend(names);
                    }
                }
            }
        }
        mentions
    }

    /// Notes what the line of an entry of the log names.
    pub(super) fn note_entry(
        &mut self,
        sources: &Sources,
        section: Section<'_>,
        line: &Line,
        at: usize,
    ) {
        for name in names_on(sources, section, line) {
            self.in_log.entry(name).or_default().push(at);
        }
    }

    /// The entries of the log that may have asked for a name; none where another section
    /// may have.
    pub(super) fn entries_naming(&self, name: &str) -> Option<&[usize]> {
        // At the end of a name a dot parts nothing, within a path it does.
        if name.starts_with('.') || name.ends_with('.') || name.contains("..") {
            return None;
        }
        let segments = names::segments(name);
        let is_elsewhere = segments.iter().all(|name| self.elsewhere.contains(*name));
        let in_log = self.in_log.get(segments[0]);
        (!is_elsewhere).then(|| in_log.map_or(&[][..], Vec::as_slice))
    }
}

/// Every name on a line, each piece of a path for itself.
fn names_on(sources: &Sources, section: Section<'_>, line: &Line) -> impl Iterator<Item = String> {
    let text = &sources.file(section.file).text;
    let words = &section.tree.lexemes[line.lexemes.0 as usize..line.lexemes.1 as usize];
    let words = words.iter().filter(|lexeme| lexeme.0.is_wordlike());
    let segments = words.flat_map(|(_, span)| names::segments(unquoted(span.of(text))));
    segments.flat_map(|name| names::expand(name).unwrap_or_default())
}
