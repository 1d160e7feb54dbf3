//! The one thread that owns all documents. Edits come first, in the order they
//! were sent; then findings are published, then questions are answered.

use super::desk::Desk;
use super::pages::Pages;
use super::publish::Board;
use super::room::{Room, Sessions, roots};
use super::settings::Settings;
use retin::session::Session;
use std::cell::OnceCell;
use std::collections::VecDeque;
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, TryRecvError};
use tower_lsp::lsp_types::{
    DidChangeTextDocumentParams, DidCloseTextDocumentParams, DidOpenTextDocumentParams, Url,
};

/// A question with the way to answer it.
pub trait Ask: Send {
    /// Answers, unless nobody waits for it any more.
    fn answer(self: Box<Self>, room: &Room<'_, '_>);
}

/// All that can happen to the server.
pub enum Event {
    /// The editor has said what it can do, and where it works.
    Begun(Beginning),
    /// A document was opened.
    Opened(DidOpenTextDocumentParams),
    /// A document was changed.
    Changed(DidChangeTextDocumentParams),
    /// A document was closed.
    Closed(DidCloseTextDocumentParams),
    /// Files changed on the disk.
    Watched,
    /// Folders came to the workspace and left it.
    Folders {
        /// Came.
        added: Vec<Url>,
        /// Left.
        removed: Vec<Url>,
    },
    /// The user has set something.
    Set(Settings),
    /// A question.
    Asked(Box<dyn Ask>),
}

/// What the editor says when it begins.
pub struct Beginning {
    /// How it counts along a line.
    pub encoding: super::positions::Encoding,
    /// Its folders.
    pub folders: Vec<Url>,
    /// Whether it asks for findings, so that none are to be pushed.
    pub asks_for_findings: bool,
    /// The pages of the rules, where the editor shows links to them.
    pub pages: Option<Pages>,
    /// What the user has set.
    pub settings: Settings,
}

/// Runs until nobody can send events any more.
pub fn run(events: &Receiver<Event>, mut board: Board) {
    let mut desk = Desk::new();
    let mut sessions = Sessions::default();
    let mut waiting: VecDeque<Event> = VecDeque::new();
    loop {
        if waiting.is_empty() {
            match events.recv() {
                Ok(event) => waiting.push_back(event),
                Err(_) => return,
            }
        }
        drain(events, &mut waiting);
        let mut touched: Vec<PathBuf> = Vec::new();
        let mut questions: Vec<Box<dyn Ask>> = Vec::new();
        let work = waiting.iter().find_map(long_work);
        board.begin(work);
        for event in waiting.drain(..) {
            match event {
                Event::Asked(question) => questions.push(question),
                edit => apply(&mut desk, &mut board, edit, &mut touched),
            }
        }
        let roots = roots(&mut desk);
        let judged: Vec<OnceCell<Session>> = roots.iter().map(|_| OnceCell::new()).collect();
        {
            let room = Room::new(&desk, &roots, &sessions, &judged);
            board.publish(&room, &touched);
            board.end(work);
            for question in questions {
                question.answer(&room);
            }
            // Until the next edit the same room answers.
            while let Ok(event) = events.recv() {
                match event {
                    Event::Asked(question) => question.answer(&room),
                    edit => {
                        waiting.push_back(edit);
                        break;
                    }
                }
            }
        }
        if waiting.is_empty() {
            return;
        }
        sessions.keep(&desk, roots, judged);
    }
}

/// Why an event may have much read and judged; an edit has not.
fn long_work(event: &Event) -> Option<&'static str> {
    match event {
        Event::Opened(_) => Some("reading and judging what was opened"),
        Event::Watched => Some("reading what changed on the disk"),
        Event::Folders { .. } => Some("reading the folders"),
        Event::Set(_) => Some("judging by the settings"),
        _ => None,
    }
}

/// Takes all that has come in without waiting for more.
fn drain(events: &Receiver<Event>, waiting: &mut VecDeque<Event>) {
    loop {
        match events.try_recv() {
            Ok(event) => waiting.push_back(event),
            Err(TryRecvError::Empty | TryRecvError::Disconnected) => return,
        }
    }
}

fn apply(desk: &mut Desk, board: &mut Board, event: Event, touched: &mut Vec<PathBuf>) {
    match event {
        Event::Begun(beginning) => {
            desk.encoding = beginning.encoding;
            desk.folders = paths(&beginning.folders);
            desk.pages = beginning.pages;
            desk.settings = beginning.settings;
            board.pushes = !beginning.asks_for_findings;
        }
        Event::Opened(opened) => {
            let document = opened.text_document;
            touched.push(desk.open(document.uri, document.version, document.text));
        }
        Event::Changed(changed) => {
            let document = changed.text_document;
            touched.extend(desk.change(&document.uri, document.version, changed.content_changes));
        }
        Event::Closed(closed) => touched.extend(desk.close(&closed.text_document.uri)),
        Event::Watched => {
            desk.look_again();
            board.forget();
        }
        Event::Folders { added, removed } => {
            let gone = paths(&removed);
            desk.folders.retain(|folder| !gone.contains(folder));
            desk.folders.extend(paths(&added));
            desk.look_again();
            board.forget();
        }
        Event::Set(settings) if settings != desk.settings => {
            desk.settings = settings;
            board.forget();
        }
        Event::Set(_) | Event::Asked(_) => {}
    }
}

fn paths(folders: &[Url]) -> Vec<PathBuf> {
    folders
        .iter()
        .filter_map(|folder| folder.to_file_path().ok()?.canonicalize().ok())
        .collect()
}
