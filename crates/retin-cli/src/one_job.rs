//! One file that a command is about, read together with all that it uses.

use crate::Status;
use crate::check::library::Library;
use crate::check::workspace::Workspace;
use crate::read;
use crate::select::shown;
use crate::terminal::complain;
use retin::meaning::Case;
use std::env;
use std::io::{self, BufWriter, Write};
use std::path::Path;

/// How files are named to the person: as they lie from the current folder.
#[derive(Clone, Copy, Debug)]
pub struct Names<'w> {
    root: &'w Path,
    here: &'w Path,
}

impl Names<'_> {
    /// The name of the file at this path from the workspace's root.
    pub fn of(&self, path: &str) -> String {
        shown(&self.root.join(path), self.here)
    }
}

/// Reads `path` and prints what `print` makes of it on standard output. What
/// cannot be read is told on standard error.
///
/// # Errors
/// When there is no current folder, `root` cannot be reached, or standard
/// output cannot be written.
pub fn with_case(
    path: &Path,
    root: Option<&Path>,
    print: impl FnOnce(&Case<'_>, Names<'_>, &mut dyn Write) -> io::Result<Status>,
) -> io::Result<Status> {
    let here = env::current_dir()?.canonicalize()?;
    let refuse = |reason: &str| {
        complain(&format!("{} cannot be read: {reason}", path.display()));
        Ok(Status::Failed)
    };
    let real = match here.join(path).canonicalize() {
        Ok(real) => real,
        Err(error) => return refuse(&read::trouble(&error)),
    };
    let named = [path.to_owned()];
    let workspace = Workspace::find(root, &named, &here)?;
    let Some(inside) = workspace.inside(&real) else {
        return refuse("it lies outside the workspace, or its name is no UTF-8 text");
    };
    let library = Library::new(&workspace);
    let file = match library.get(&inside) {
        Ok(file) => file,
        Err(refusal) => return refuse(&refusal.reason),
    };
    let (sources, root, unreadable) = library.with_used(file);
    let case = Case::build(&sources, root);
    let mut out = BufWriter::new(io::stdout().lock());
    let names = Names {
        root: &workspace.root,
        here: &here,
    };
    let status = print(&case, names, &mut out)?;
    match out.flush() {
        // Whoever read the output has seen enough; the status still counts.
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => return Err(error),
        _ => {}
    }
    for (used, reason) in &unreadable {
        let used = shown(&workspace.root.join(used), &here);
        complain(&format!("{used} cannot be read: {reason}"));
    }
    Ok(if unreadable.is_empty() {
        status
    } else {
        Status::Failed
    })
}
