//! A file with all it uses: as it lies on the disk, or at a revision.

use crate::check::library::Library;
use crate::check::workspace::Workspace;
use crate::select::shown;
use crate::{git, read};
use retin::sources::{FileId, SourceFile, Sources};
use retin_syntax::limits::FILE_BYTES;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// A file with all it uses.
pub struct Version {
    /// As it was asked for.
    pub name: String,
    /// The files.
    pub sources: Sources,
    /// The file itself.
    pub root: FileId,
    /// Files that are there and cannot be read: path from the root, reason.
    pub unreadable: Vec<(String, String)>,
    /// Where it comes from.
    pub place: Place,
}

/// Where a file comes from.
#[derive(Debug)]
pub enum Place {
    /// The disk.
    Disk {
        /// The workspace's root.
        root: PathBuf,
        /// The current folder.
        here: PathBuf,
    },
    /// A revision of git.
    Revision {
        /// The revision, as it was asked for.
        name: String,
        /// The folder that git was asked in.
        here: PathBuf,
    },
}

impl Version {
    /// A file as a person would name it.
    pub fn name_of(&self, path: &str) -> String {
        match &self.place {
            Place::Disk { root, here } => shown(&root.join(path), here),
            Place::Revision { name, .. } => format!("{name}:{path}"),
        }
    }
}

/// Reads FILE, or REVISION:PATH.
///
/// # Errors
/// The outer ones when `--root` cannot be reached; the inner one is the reason
/// that it cannot be read, as the end of a sentence.
pub fn read(name: &str, here: &Path, root: Option<&Path>) -> io::Result<Result<Version, String>> {
    // A drive's letter is no revision.
    let is_drive = name.as_bytes().get(1) == Some(&b':')
        && name
            .as_bytes()
            .get(2)
            .is_some_and(|sign| matches!(sign, b'/' | b'\\'));
    match name.split_once(':') {
        Some((revision, path)) if !is_drive && !here.join(name).exists() => {
            Ok(at_revision(name, revision, path, here))
        }
        _ => on_disk(name, here, root),
    }
}

fn on_disk(name: &str, here: &Path, root: Option<&Path>) -> io::Result<Result<Version, String>> {
    let path = PathBuf::from(name);
    let real = match here.join(&path).canonicalize() {
        Ok(real) => real,
        Err(error) => return Ok(Err(read::trouble(&error))),
    };
    let workspace = Workspace::find(root, std::slice::from_ref(&path), here)?;
    let Some(inside) = workspace.inside(&real) else {
        return Ok(Err(
            "it lies outside the workspace, or its name is no UTF-8 text".into(),
        ));
    };
    let library = Library::new(&workspace);
    let file = match library.get(&inside) {
        Ok(file) => file,
        Err(refusal) => return Ok(Err(refusal.reason)),
    };
    let (sources, root, unreadable) = library.with_used(file);
    Ok(Ok(Version {
        name: name.to_owned(),
        sources,
        root,
        unreadable,
        place: Place::Disk {
            root: workspace.root.clone(),
            here: here.to_owned(),
        },
    }))
}

fn at_revision(name: &str, revision: &str, path: &str, here: &Path) -> Result<Version, String> {
    if git::answer(here, ["rev-parse", "--git-dir"])?.is_none() {
        return Err("this folder lies in no git repository".into());
    }
    if revision.is_empty() {
        return Err("write a revision before the colon, `HEAD:jobs/26-031.retin`".into());
    }
    let tree = if revision.starts_with('-') {
        None
    } else {
        let tree = format!("{revision}^{{tree}}");
        git::answer(here, ["rev-parse", "--verify", "--quiet", &tree])?
    };
    let Some(tree) = tree else {
        return Err(format!("git knows no revision `{revision}`"));
    };
    let path = from_top(path, here)?;
    let file = match file_at(here, &tree, &path)? {
        Ok(text) => Arc::new(SourceFile::new(path, text)),
        Err(refusal) if !refusal.is_there => {
            return Err(format!(
                "there is no file `{path}` at that revision; paths begin at the top of the \
                 repository, or with `./`"
            ));
        }
        Err(refusal) => return Err(refusal.reason),
    };
    let mut sources = Sources::new();
    let root = sources.add(file);
    let mut unreadable = Vec::new();
    while let Some(path) = sources.wanted().map(str::to_owned) {
        match file_at(here, &tree, &path)? {
            Ok(text) => {
                sources.add(Arc::new(SourceFile::new(path, text)));
            }
            Err(refusal) => {
                if refusal.is_there {
                    unreadable.push((path.clone(), refusal.reason.clone()));
                }
                sources.refuse(path, refusal.reason);
            }
        }
    }
    Ok(Version {
        name: name.to_owned(),
        sources,
        root,
        unreadable,
        place: Place::Revision {
            name: revision.to_owned(),
            here: here.to_owned(),
        },
    })
}

/// A path from the top of the repository; one that begins with `./` or `../`
/// begins at the current folder.
fn from_top(path: &str, here: &Path) -> Result<String, String> {
    let path = path.replace('\\', "/");
    let before = if path.starts_with("./") || path.starts_with("../") {
        git::answer(here, ["rev-parse", "--show-prefix"])?.unwrap_or_default()
    } else {
        String::new()
    };
    let mut parts: Vec<&str> = Vec::new();
    for part in before.split('/').chain(path.split('/')) {
        match part {
            "" | "." => {}
            ".." => {
                parts.pop().ok_or("the path climbs out of the repository")?;
            }
            part => parts.push(part),
        }
    }
    Ok(parts.join("/"))
}

/// Why a file of a revision cannot be used.
struct Refusal {
    /// The end of a sentence.
    reason: String,
    /// Whether there is such a file.
    is_there: bool,
}

/// The text of a file in a tree of git.
fn file_at(here: &Path, tree: &str, path: &str) -> Result<Result<String, Refusal>, String> {
    let refuse = |reason: &str, is_there| {
        Ok(Err(Refusal {
            reason: reason.to_owned(),
            is_there,
        }))
    };
    if path.is_empty() {
        return refuse("it is a folder", true);
    }
    let listed = git::answer(here, ["ls-tree", "-z", "--full-tree", tree, "--", path])?;
    let listed = listed.unwrap_or_default();
    // Mode, sort and name of the object, then its path.
    let listed = listed.trim_end_matches('\0').split_once('\t');
    let Some((object, _)) = listed.filter(|(_, listed)| *listed == path) else {
        return refuse("it is not there", false);
    };
    let object: Vec<&str> = object.split(' ').collect();
    let [mode, sort, object] = object[..] else {
        return refuse("git answers with something that is not understood", true);
    };
    match (mode, sort) {
        (_, "tree") => return refuse("it is a folder", true),
        ("120000", _) => return refuse("it is a link at that revision", true),
        (_, "blob") => {}
        _ => return refuse("it is not a file", true),
    }
    let size = git::answer(here, ["cat-file", "-s", object])?;
    if size
        .and_then(|size| size.parse::<u64>().ok())
        .is_none_or(|size| size > FILE_BYTES as u64)
    {
        return refuse("it is larger than a Retin file may be", true);
    }
    let output = git::run(here, ["cat-file", "blob", object])?;
    if !output.status.success() {
        let reason = format!("git refuses, {}", git::complaint(&output));
        return refuse(&reason, true);
    }
    match read::from_bytes(output.stdout) {
        Ok(text) => Ok(Ok(text)),
        Err(reason) => refuse(&reason, true),
    }
}
