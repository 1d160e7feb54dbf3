//! Files as text, and how they use one another. The shell reads the disk; this
//! module only ever sees what it is given.

use retin_syntax::parser::{Change, edit};
use retin_syntax::tree::{Record, Tree};
use retin_syntax::{Span, parse};
use rustc_hash::FxHashMap;
use std::ops::Range;
use std::sync::Arc;

/// A file's place in [`Sources`].
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub struct FileId(pub u32);

/// A span in a file.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub struct Origin {
    /// The file.
    pub file: FileId,
    /// Where in it.
    pub span: Span,
}

/// One file, read and parsed.
#[derive(Clone, Default, Debug)]
pub struct SourceFile {
    /// Path from the workspace's root, with `/` between its parts.
    pub path: String,
    /// The text.
    pub text: String,
    /// The outline.
    pub tree: Tree,
    /// The `use` lines, in order.
    pub uses: Vec<UseLine>,
}

/// A `use` line.
#[derive(Clone, Debug)]
pub struct UseLine {
    /// The path as written, quotes included.
    pub span: Span,
    /// The path from the workspace's root, or why there is none.
    pub target: Result<String, PathProblem>,
}

/// Why a path in a `use` line cannot be followed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum PathProblem {
    /// It begins at the root of the disk.
    Absolute,
    /// It climbs out of the workspace.
    LeavesWorkspace,
    /// Nothing stands between the quotes.
    Empty,
}

impl SourceFile {
    /// Parses a file; `path` is relative to the workspace's root.
    pub fn new(path: String, text: String) -> Self {
        let tree = parse(&text);
        SourceFile::of(path, text, tree)
    }

    /// The file after part of its text was replaced; only the lines that the
    /// change touches are read again.
    ///
    /// The range is moved into the text and to the starts of its characters.
    #[must_use]
    pub fn edited(self, range: Range<u32>, new: &str) -> Self {
        let SourceFile {
            path,
            mut text,
            tree,
            ..
        } = self;
        let start = text.floor_char_boundary(range.start as usize);
        let end = text.floor_char_boundary(range.end as usize).max(start);
        text.replace_range(start..end, new);
        let change = Change {
            start: start as u32,
            old_end: end as u32,
            new_end: (start + new.len()) as u32,
        };
        let tree = edit(tree, &text, change);
        SourceFile::of(path, text, tree)
    }

    fn of(path: String, text: String, tree: Tree) -> Self {
        let uses = tree
            .sections()
            .filter_map(|(_, line)| match &line.record {
                Record::Use { path: word } => Some(UseLine {
                    span: word.span,
                    target: resolve(&path, word.text(&text)),
                }),
                _ => None,
            })
            .collect();
        SourceFile {
            path,
            text,
            tree,
            uses,
        }
    }
}

/// A path written in the file at `from`, as a path from the workspace's root.
pub fn resolve(from: &str, written: &str) -> Result<String, PathProblem> {
    if written.trim().is_empty() {
        return Err(PathProblem::Empty);
    }
    let written = written.replace('\\', "/");
    if written.starts_with('/') || written.as_bytes().get(1) == Some(&b':') {
        return Err(PathProblem::Absolute);
    }
    let mut parts: Vec<&str> = from.split('/').collect();
    parts.pop();
    for part in written.split('/') {
        match part {
            "" | "." => {}
            ".." => {
                parts.pop().ok_or(PathProblem::LeavesWorkspace)?;
            }
            part => parts.push(part),
        }
    }
    Ok(parts.join("/"))
}

/// The files that a check looks at.
#[derive(Clone, Debug, Default)]
pub struct Sources {
    files: Vec<Arc<SourceFile>>,
    by_path: FxHashMap<String, FileId>,
    /// Files that could not be read, with the reason.
    refused: FxHashMap<String, String>,
}

impl Sources {
    /// No files yet.
    pub fn new() -> Self {
        Sources::default()
    }

    /// Adds a file, or gives the id it has.
    pub fn add(&mut self, file: Arc<SourceFile>) -> FileId {
        if let Some(&id) = self.by_path.get(&file.path) {
            return id;
        }
        let id = FileId(self.files.len() as u32);
        self.by_path.insert(file.path.clone(), id);
        self.files.push(file);
        id
    }

    /// Notes that a file which is used could not be read, and why.
    pub fn refuse(&mut self, path: String, reason: String) {
        self.refused.insert(path, reason);
    }

    /// Notes the same files as refused as another.
    pub(crate) fn refuse_as(&mut self, other: &Sources) {
        self.refused.clone_from(&other.refused);
    }

    /// Whether the same files are refused for the same reasons.
    pub(crate) fn has_refused_as(&self, other: &Sources) -> bool {
        self.refused == other.refused
    }

    /// A file that is used, but neither here nor refused yet.
    pub fn wanted(&self) -> Option<&str> {
        self.files
            .iter()
            .flat_map(|file| &file.uses)
            .filter_map(|line| line.target.as_deref().ok())
            .find(|path| !self.by_path.contains_key(*path) && !self.refused.contains_key(*path))
    }

    /// The file with this id.
    pub fn file(&self, id: FileId) -> &SourceFile {
        &self.files[id.0 as usize]
    }

    /// The file with this id, for who keeps it.
    pub fn shared(&self, id: FileId) -> &Arc<SourceFile> {
        &self.files[id.0 as usize]
    }

    /// The id of the file at this path.
    pub fn find(&self, path: &str) -> Option<FileId> {
        self.by_path.get(path).copied()
    }

    /// Why the file at this path could not be read.
    pub fn refusal(&self, path: &str) -> Option<&str> {
        self.refused.get(path).map(String::as_str)
    }

    /// The text at a place.
    pub fn text(&self, origin: Origin) -> &str {
        origin.span.of(&self.file(origin.file).text)
    }

    /// How many files there are.
    pub fn len(&self) -> usize {
        self.files.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.files.is_empty()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_is_read_from_the_file_that_writes_it() {
        assert_eq!(
            resolve("jobs/26-031.retin", "../models/lm8.retin"),
            Ok("models/lm8.retin".into())
        );
        assert_eq!(resolve("a.retin", "./b.retin"), Ok("b.retin".into()));
    }

    #[test]
    fn a_path_that_leaves_the_workspace_is_refused() {
        assert_eq!(
            resolve("jobs/a.retin", "../../x.retin"),
            Err(PathProblem::LeavesWorkspace)
        );
        assert_eq!(
            resolve("a.retin", "/etc/x.retin"),
            Err(PathProblem::Absolute)
        );
        assert_eq!(resolve("a.retin", "c:/x.retin"), Err(PathProblem::Absolute));
        assert_eq!(resolve("a.retin", "  "), Err(PathProblem::Empty));
    }
}
