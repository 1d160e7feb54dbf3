//! What questions are answered from: the desk as it is between two edits.

use super::desk::{Desk, Root};
use super::positions::Lines;
use super::settings::Settings;
use retin::editor::Snapshot;
use retin::meaning::KeptWords;
use retin::session::Session;
use retin::sources::{FileId, Origin, SourceFile};
use retin_syntax::Span;
use std::cell::{OnceCell, RefCell};
use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::sync::Arc;
use tower_lsp::lsp_types::{Location, Position, Range, TextEdit, Url};

/// A file, and where its lines begin.
type LinesOf = (Arc<SourceFile>, Rc<Lines>);

/// What is known of the roots from one edit to the next.
#[derive(Default)]
pub struct Sessions {
    words: KeptWords,
    known: RefCell<HashMap<PathBuf, Session>>,
    /// Lines of files that are not open, each with the file.
    closed_lines: RefCell<HashMap<PathBuf, LinesOf>>,
}

impl Sessions {
    /// A root as it is now, understood with what is known of it.
    fn of(&self, root: &Root, settings: &Settings) -> Session {
        let sources = root.sources.clone();
        match self.known.borrow_mut().remove(&root.path) {
            Some(mut session) => {
                session.update(sources, root.file, settings.stage, &self.words);
                session
            }
            None => Session::new(sources, root.file, settings.stage, &self.words),
        }
    }

    /// Keeps what was understood until the next edit, and lets go of the files.
    pub fn keep(&mut self, desk: &Desk, roots: Vec<Root>, judged: Vec<OnceCell<Session>>) {
        let known = self.known.get_mut();
        known.retain(|path, _| roots.iter().any(|root| root.path == *path));
        for (root, session) in roots.into_iter().zip(judged) {
            if let Some(mut session) = session.into_inner() {
                session.let_go();
                known.insert(root.path, session);
            }
        }
        let closed = self.closed_lines.get_mut();
        closed.retain(|path, _| desk.document(path).is_none());
    }
}

/// The roots of all open documents, each understood when first asked about.
pub struct Room<'r, 'j> {
    /// The desk.
    pub desk: &'j Desk,
    roots: &'r [Root],
    sessions: &'j Sessions,
    judged: &'j [OnceCell<Session>],
    snapshots: Vec<OnceCell<Snapshot<'j>>>,
}

/// The files to check for all that is open: each open document once.
pub fn roots(desk: &mut Desk) -> Vec<Root> {
    let paths: Vec<PathBuf> = desk.documents().map(|(path, _)| path.clone()).collect();
    paths
        .into_iter()
        .filter_map(|path| desk.root(&path))
        .collect()
}

impl<'r, 'j> Room<'r, 'j> {
    /// A room; `judged` has one empty cell a root.
    pub fn new(
        desk: &'j Desk,
        roots: &'r [Root],
        sessions: &'j Sessions,
        judged: &'j [OnceCell<Session>],
    ) -> Room<'r, 'j> {
        Room {
            desk,
            roots,
            sessions,
            judged,
            snapshots: roots.iter().map(|_| OnceCell::new()).collect(),
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
            let judged: &'j OnceCell<Session> = &self.judged[index];
            let session = judged.get_or_init(|| self.sessions.of(root, &self.desk.settings));
            session.snapshot()
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
    fn lines(&self, path: &Path, file: &Arc<SourceFile>) -> Rc<Lines> {
        if let Some(document) = self.desk.document(path) {
            return document.lines.clone();
        }
        let mut known = self.sessions.closed_lines.borrow_mut();
        match known.get(path) {
            Some((of, lines)) if Arc::ptr_eq(of, file) => lines.clone(),
            _ => {
                let lines = Rc::new(Lines::of(&file.text));
                known.insert(path.to_owned(), (file.clone(), lines.clone()));
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
        let shared = root.sources.shared(file);
        let text = shared.text.as_str();
        let lines = self.lines(root.path_of(file), shared);
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

impl<'r, 'j> Here<'_, 'r, 'j> {
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
