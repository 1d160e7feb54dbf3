//! The revision of a job's file, as git knows it.

use crate::git;
use crate::version::{Place, Version};
use retin::sheets::FileRevision;
use std::path::Path;

/// Letters of a commit's name that are printed. Git's own short names grow with
/// the repository, and a sheet printed twice has to be the same.
const COMMIT_LETTERS: usize = 10;

/// The revision of the file that a version began with.
pub(super) fn of(version: &Version) -> FileRevision {
    let path = &version.sources.file(version.root).path;
    let known = match &version.place {
        Place::Disk { root, .. } => on_disk(&root.join(path)),
        // Paths of a revision begin at the top of the repository.
        Place::Revision { name, here } => git::top(here)
            .ok()
            .and_then(|top| last_commit(&top, name, path, false)),
    };
    known.unwrap_or(FileRevision::NotInGit)
}

fn on_disk(file: &Path) -> Option<FileRevision> {
    let folder = file.parent()?;
    let name = file.file_name()?.to_str()?;
    git::answer(folder, ["rev-parse", "--is-inside-work-tree"])
        .ok()
        .flatten()
        .filter(|answer| answer == "true")?;
    let same = git::run(folder, ["diff", "--quiet", "HEAD", "--", name]).ok()?;
    let commit = last_commit(folder, "HEAD", name, !same.status.success());
    Some(commit.unwrap_or(FileRevision::NotCommitted))
}

/// The last commit that touched a file.
fn last_commit(folder: &Path, from: &str, path: &str, is_changed: bool) -> Option<FileRevision> {
    let arguments = [
        "log",
        "--no-show-signature",
        "-1",
        "--format=%H %cs",
        from,
        "--",
        path,
    ];
    let answer = git::answer(folder, arguments).ok().flatten()?;
    let (commit, date) = answer.split_once(' ')?;
    Some(FileRevision::Committed {
        commit: commit.get(..COMMIT_LETTERS)?.to_owned(),
        date: date.to_owned(),
        is_changed,
    })
}
