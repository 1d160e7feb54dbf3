//! What questions are answered from: the desk as it is between two edits.

use super::desk::{Desk, Root};
use super::positions::Lines;
use retin::check::{Report, check, check_at};
use retin::editor::Snapshot;
use retin::meaning::Case;
use retin::sources::{FileId, Origin};
use retin_syntax::Span;
use std::cell::{OnceCell, RefCell};
use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::rc::Rc;
use tower_lsp::lsp_types::{Location, Position, Range, TextEdit, Url};

/// What a root means and what is wrong with it.
pub struct Judged<'r> {
    case: Case<'r>,
    report: Report,
}

/// The roots of all open documents, each understood when first asked about.
pub struct Room<'r, 'j> {
    /// The desk.
    pub desk: &'j Desk,
    roots: &'r [Root],
    judged: &'j [OnceCell<Judged<'r>>],
    snapshots: Vec<OnceCell<Snapshot<'j>>>,
    /// Lines of files that are not open.
    closed_lines: RefCell<HashMap<PathBuf, Rc<Lines>>>,
}

/// The files to check for all that is open: each open document once.
pub fn roots(desk: &mut Desk) -> Vec<Root> {
    let paths: Vec<PathBuf> = desk.documents().map(|(path, _)| path.clone()).collect();
    paths
        .into_iter()
        .filter_map(|path| desk.root(&path))
        .collect()
}

impl<'r: 'j, 'j> Room<'r, 'j> {
    /// A room; `judged` has one empty cell a root.
    pub fn new(
        desk: &'j Desk,
        roots: &'r [Root],
        judged: &'j [OnceCell<Judged<'r>>],
    ) -> Room<'r, 'j> {
        Room {
            desk,
            roots,
            judged,
            snapshots: roots.iter().map(|_| OnceCell::new()).collect(),
            closed_lines: RefCell::default(),
        }
    }

    /// The roots, in the order of their paths.
    pub fn roots(&self) -> &'r [Root] {
        self.roots
    }

    /// A root, understood.
    pub fn snapshot(&self, index: usize) -> &Snapshot<'j> {
        self.snapshots[index].get_or_init(|| {
            let root = &self.roots[index];
            let judged = self.judged[index].get_or_init(|| {
                let case = Case::build(&root.sources, root.file);
                let report = match self.desk.settings.stage {
                    None => check(&case),
                    Some(stage) => check_at(&case, stage),
                };
                Judged { case, report }
            });
            Snapshot::new(&judged.case, &judged.report)
        })
    }

    /// The root that speaks for a file: a file with a job for itself, a sheet
    /// with the first open job that uses it, else for itself.
    pub fn speaker(&self, path: &Path) -> Option<(usize, FileId)> {
        let own = self.roots.iter().position(|root| root.path == path);
        if let Some(own) = own
            && self.roots[own].holds_job()
        {
            return Some((own, self.roots[own].file));
        }
        let user = self.roots.iter().enumerate().find_map(|(index, root)| {
            let file = root.find(path)?;
            root.holds_job().then_some((index, file))
        });
        user.or_else(|| own.map(|own| (own, self.roots[own].file)))
    }

    /// Whether a root is judged for its own sake: one that holds a job, or a
    /// sheet that no open job uses.
    pub fn speaks_for_itself(&self, index: usize) -> bool {
        self.speaker(&self.roots[index].path)
            .is_some_and(|(speaker, _)| speaker == index)
    }

    /// Where the lines of a file begin.
    fn lines(&self, path: &Path, text: &str) -> Rc<Lines> {
        if let Some(document) = self.desk.document(path) {
            return document.lines.clone();
        }
        let mut known = self.closed_lines.borrow_mut();
        match known.get(path) {
            Some(lines) => lines.clone(),
            None => {
                let lines = Rc::new(Lines::of(text));
                known.insert(path.to_owned(), lines.clone());
                lines
            }
        }
    }

    /// A file as it is spoken for; none where nothing open has to do with it.
    pub fn here(&self, uri: &Url) -> Option<Here<'_, 'r, 'j>> {
        let path = self.desk.path_of(uri);
        let (index, file) = self.speaker(&path)?;
        Some(self.file(index, file))
    }

    /// One of the files of a root.
    pub fn file(&self, index: usize, file: FileId) -> Here<'_, 'r, 'j> {
        let root = &self.roots[index];
        let text = root.sources.file(file).text.as_str();
        let lines = self.lines(root.path_of(file), text);
        Here {
            room: self,
            root,
            snapshot: self.snapshot(index),
            file,
            text,
            lines,
        }
    }
}

/// One file in a room, with the ways between its offsets and the editor's positions.
pub struct Here<'x, 'r, 'j> {
    /// The room.
    pub room: &'x Room<'r, 'j>,
    /// What is checked with it.
    pub root: &'r Root,
    /// What that means.
    pub snapshot: &'x Snapshot<'j>,
    /// The file.
    pub file: FileId,
    text: &'r str,
    lines: Rc<Lines>,
}

impl<'r: 'j, 'j> Here<'_, 'r, 'j> {
    /// The place of a position.
    pub fn place(&self, position: Position) -> retin::editor::Position {
        retin::editor::Position::new(self.file, self.offset(position))
    }

    /// The offset of a position.
    pub fn offset(&self, position: Position) -> u32 {
        self.lines
            .offset(self.text, position, self.room.desk.encoding)
    }

    /// A range as a span.
    pub fn span(&self, range: Range) -> Span {
        let (start, end) = (self.offset(range.start), self.offset(range.end));
        Span::new(start.min(end), end.max(start))
    }

    /// An offset as a position.
    pub fn position(&self, offset: u32) -> Position {
        self.lines
            .position(self.text, offset, self.room.desk.encoding)
    }

    /// A span of this file as a range.
    pub fn range(&self, span: Span) -> Range {
        self.lines.range(self.text, span, self.room.desk.encoding)
    }

    /// The same root's file that an origin is in.
    fn beside(&self, file: FileId) -> Option<Here<'_, 'r, 'j>> {
        let index = self
            .room
            .roots
            .iter()
            .position(|root| std::ptr::eq(root, self.root))?;
        Some(self.room.file(index, file))
    }

    /// An origin in any file of the root.
    pub fn location(&self, origin: Origin) -> Option<Location> {
        let uri = self.room.desk.uri_of(self.root.path_of(origin.file))?;
        let range = if origin.file == self.file {
            self.range(origin.span)
        } else {
            self.beside(origin.file)?.range(origin.span)
        };
        Some(Location { uri, range })
    }

    /// Edits of this file.
    pub fn text_edits(&self, edits: &[retin::finding::Edit]) -> Vec<TextEdit> {
        edits
            .iter()
            .filter(|edit| edit.origin.file == self.file)
            .map(|edit| TextEdit {
                range: self.range(edit.origin.span),
                new_text: edit.text.clone(),
            })
            .collect()
    }
}
