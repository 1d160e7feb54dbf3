//! Findings on their way to the editor: what was sent for which file, and what
//! has to be sent now.

use super::answer::diagnostics;
use super::notices::Notice;
use super::room::Room;
use super::transport::Outbox;
use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::path::PathBuf;
use tokio::sync::mpsc::UnboundedSender;
use tower_lsp::lsp_types::notification::PublishDiagnostics;
use tower_lsp::lsp_types::{Diagnostic, PublishDiagnosticsParams};

/// What was sent.
pub struct Board {
    /// Whether findings are pushed; not to an editor that asks for them.
    pub pushes: bool,
    outbox: Outbox,
    notices: UnboundedSender<Notice>,
    /// What each root said of each file.
    said: BTreeMap<PathBuf, BTreeMap<PathBuf, Vec<Diagnostic>>>,
    /// The files each root was judged with.
    used: BTreeMap<PathBuf, BTreeSet<PathBuf>>,
    /// What the editor shows of each file.
    shown: BTreeMap<PathBuf, Vec<Diagnostic>>,
    /// Whether every root has to be judged again.
    is_stale: bool,
}

impl Board {
    /// Nothing sent yet.
    pub fn new(outbox: Outbox, notices: UnboundedSender<Notice>) -> Board {
        Board {
            pushes: true,
            outbox,
            notices,
            said: BTreeMap::new(),
            used: BTreeMap::new(),
            shown: BTreeMap::new(),
            is_stale: false,
        }
    }

    /// Has every root judged again at the next occasion.
    pub fn forget(&mut self) {
        self.is_stale = true;
    }

    /// Says that there is much to do, where there is a reason.
    pub fn begin(&self, work: Option<&'static str>) {
        if let Some(why) = work {
            self.notice(Notice::Busy(why));
        }
    }

    /// Says that it is done.
    pub fn end(&self, work: Option<&'static str>) {
        if work.is_some() {
            self.notice(Notice::Free);
        }
    }

    fn notice(&self, notice: Notice) {
        // Whoever listens is gone only when the server ends.
        let _ = self.notices.send(notice);
    }

    /// Judges what the touched files have to do with, and sends what changed.
    pub fn publish(&mut self, room: &Room<'_, '_>, touched: &[PathBuf]) {
        if touched.is_empty() && !self.is_stale {
            return;
        }
        // After an edit an editor asks again by itself.
        if self.is_stale {
            self.notice(Notice::AskAgain);
        }
        if !self.pushes {
            self.is_stale = false;
            return;
        }
        let mut speaking: BTreeSet<PathBuf> = BTreeSet::new();
        let mut files: BTreeSet<PathBuf> = touched.iter().cloned().collect();
        for (index, root) in room.roots().iter().enumerate() {
            if !room.speaks_for_itself(index) {
                continue;
            }
            speaking.insert(root.path.clone());
            let used: BTreeSet<PathBuf> = root.paths().iter().cloned().collect();
            let is_new = self.used.get(&root.path) != Some(&used);
            let is_touched = touched.iter().any(|path| used.contains(path));
            if !is_new && !is_touched && !self.is_stale {
                continue;
            }
            let said = diagnostics::of_root(room, index);
            files.extend(said.keys().cloned());
            if let Some(before) = self.said.insert(root.path.clone(), said) {
                files.extend(before.into_keys());
            }
            self.used.insert(root.path.clone(), used);
        }
        self.is_stale = false;
        self.used.retain(|root, _| speaking.contains(root));
        self.said.retain(|root, said| {
            let stays = speaking.contains(root);
            if !stays {
                files.extend(said.keys().cloned());
            }
            stays
        });
        for path in files {
            self.show(room, path, touched);
        }
    }

    fn show(&mut self, room: &Room<'_, '_>, path: PathBuf, touched: &[PathBuf]) {
        let mut all: Vec<Diagnostic> = Vec::new();
        // What several say of one place is looked through, not all there is.
        let mut at: HashMap<(u32, u32), Vec<usize>> = HashMap::new();
        for said in self.said.values() {
            for diagnostic in said.get(&path).into_iter().flatten() {
                let start = diagnostic.range.start;
                let here = at.entry((start.line, start.character)).or_default();
                if !here.iter().any(|index| all[*index] == *diagnostic) {
                    here.push(all.len());
                    all.push(diagnostic.clone());
                }
            }
        }
        // A version is answered even where its findings are the same as before.
        let document = room.desk.document(&path);
        let is_due = touched.contains(&path) && document.is_some();
        if !is_due
            && self
                .shown
                .get(&path)
                .map_or(all.is_empty(), |old| *old == all)
        {
            return;
        }
        let Some(uri) = room.desk.uri_of(&path) else {
            return;
        };
        if all.is_empty() {
            self.shown.remove(&path);
        } else {
            self.shown.insert(path, all.clone());
        }
        self.outbox
            .tell::<PublishDiagnostics>(PublishDiagnosticsParams {
                uri,
                version: document.map(|document| document.version),
                diagnostics: all,
            });
    }
}
