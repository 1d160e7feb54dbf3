//! Files read from the disk, each once, and shared by the jobs that use them.

use super::workspace::Workspace;
use crate::read;
use retin::sources::{FileId, SourceFile, Sources};
use std::collections::HashMap;
use std::io;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

/// Why a file cannot be used.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Refusal {
    /// The end of a sentence.
    pub reason: String,
    /// Whether there is such a file. A path that leads nowhere is a mistake in
    /// the file that writes it, a file that cannot be read is one of the disk.
    pub is_there: bool,
}

type Loaded = Result<Arc<SourceFile>, Refusal>;

/// The files of a workspace that are in memory.
pub struct Library<'w> {
    workspace: &'w Workspace,
    files: Mutex<HashMap<String, Arc<OnceLock<Loaded>>>>,
}

impl<'w> Library<'w> {
    /// Nothing read yet.
    pub fn new(workspace: &'w Workspace) -> Self {
        Library {
            workspace,
            files: Mutex::default(),
        }
    }

    /// The file at a path from the root.
    ///
    /// # Errors
    /// When it is missing, unreadable, or a link that leaves the workspace.
    pub fn get(&self, path: &str) -> Loaded {
        let slot = {
            let mut files = self.files.lock().unwrap_or_else(PoisonError::into_inner);
            files.entry(path.to_owned()).or_default().clone()
        };
        slot.get_or_init(|| self.load(path)).clone()
    }

    /// Forgets a file that is not likely to be used again.
    pub fn forget(&self, path: &str) {
        self.files
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .remove(path);
    }

    fn load(&self, path: &str) -> Loaded {
        let real = self
            .workspace
            .root
            .join(path)
            .canonicalize()
            .map_err(|error| Refusal {
                is_there: error.kind() != io::ErrorKind::NotFound,
                reason: read::trouble(&error),
            })?;
        if !real.starts_with(&self.workspace.root) {
            return Err(Refusal {
                reason: "it is a link that leads out of the workspace".into(),
                is_there: true,
            });
        }
        let text = read::text(&real).map_err(|reason| Refusal {
            reason,
            is_there: true,
        })?;
        Ok(Arc::new(SourceFile::new(path.to_owned(), text)))
    }

    /// A file with everything it uses, and what of that is there but cannot be read.
    pub fn with_used(&self, file: Arc<SourceFile>) -> (Sources, FileId, Vec<(String, String)>) {
        let mut sources = Sources::new();
        let mut unreadable = Vec::new();
        let root = sources.add(file);
        while let Some(path) = sources.wanted().map(str::to_owned) {
            match self.get(&path) {
                Ok(used) => {
                    sources.add(used);
                }
                Err(refusal) => {
                    if refusal.is_there {
                        unreadable.push((path.clone(), refusal.reason.clone()));
                    }
                    sources.refuse(path, refusal.reason);
                }
            }
        }
        (sources, root, unreadable)
    }
}
