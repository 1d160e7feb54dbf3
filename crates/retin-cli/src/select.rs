//! Which files a command is about: those named, and those in folders named.

use crate::read;
use ignore::WalkBuilder;
use std::collections::BTreeSet;
use std::io;
use std::path::{Path, PathBuf};

/// A file or folder that cannot be read, and why.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Unreadable {
    /// As the person sees it: relative to the current folder.
    pub path: String,
    /// The end of a sentence.
    pub reason: String,
}

/// The files a command is about, sorted, each once and by its real path.
#[derive(Default, Debug)]
pub struct Selection {
    /// Real paths, symbolic links followed.
    pub files: BTreeSet<PathBuf>,
    /// What was named and cannot be read.
    pub unreadable: Vec<Unreadable>,
}

/// Finds the files: each path that is one, whatever its name, and in each
/// folder all that end in `.retin`. Hidden files and folders and folders named
/// `target` are passed over, and symbolic links to folders are not followed;
/// `.gitignore` plays no part, since a job that git does not keep can still be
/// wrong. Without any path, the current folder.
///
/// # Errors
/// When there is no current folder.
pub fn select(paths: &[PathBuf], here: &Path) -> io::Result<Selection> {
    let mut selection = Selection::default();
    let current = [PathBuf::from(".")];
    for path in if paths.is_empty() { &current } else { paths } {
        match here.join(path).canonicalize() {
            Ok(real) if real.is_dir() => selection.walk(&real, here),
            Ok(real) => {
                selection.files.insert(real);
            }
            Err(error) => selection.refuse(shown(&here.join(path), here), read::trouble(&error)),
        }
    }
    Ok(selection)
}

impl Selection {
    fn refuse(&mut self, path: String, reason: String) {
        self.unreadable.push(Unreadable { path, reason });
    }

    fn walk(&mut self, folder: &Path, here: &Path) {
        let walker = WalkBuilder::new(folder)
            .standard_filters(false)
            .hidden(true)
            .filter_entry(|entry| {
                entry.depth() == 0 || entry.file_name() != "target" || !is_folder(entry)
            })
            .build();
        for entry in walker {
            match entry {
                Ok(entry)
                    if is_folder(&entry)
                        || entry.path().extension().is_none_or(|end| end != "retin") => {}
                Ok(entry) => match entry.path().canonicalize() {
                    // A link to a folder whose name ends like a file's.
                    Ok(real) if real.is_dir() => {}
                    Ok(real) => {
                        self.files.insert(real);
                    }
                    Err(error) => self.refuse(shown(entry.path(), here), read::trouble(&error)),
                },
                Err(error) => {
                    let reason = error
                        .io_error()
                        .map_or_else(|| error.to_string(), read::trouble);
                    let path = path_of(&error)
                        .map_or_else(|| shown(folder, here), |path| shown(path, here));
                    self.refuse(path, reason);
                }
            }
        }
    }
}

fn is_folder(entry: &ignore::DirEntry) -> bool {
    entry.file_type().is_some_and(|kind| kind.is_dir())
}

fn path_of(error: &ignore::Error) -> Option<&Path> {
    match error {
        ignore::Error::WithPath { path, .. } => Some(path),
        ignore::Error::WithDepth { err, .. } | ignore::Error::WithLineNumber { err, .. } => {
            path_of(err)
        }
        _ => None,
    }
}

/// A path as the person at the terminal would write it: from the current
/// folder, with `/` between its parts.
pub fn shown(path: &Path, here: &Path) -> String {
    let relative = pathdiff::diff_paths(path, here).unwrap_or_else(|| path.to_owned());
    let parts: Vec<String> = relative
        .components()
        .map(|part| part.as_os_str().to_string_lossy().into_owned())
        .collect();
    let joined = parts.join("/");
    if joined.is_empty() {
        ".".into()
    } else {
        joined
    }
}
