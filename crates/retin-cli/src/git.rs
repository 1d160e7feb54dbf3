//! Asks git, by running it.

use std::ffi::OsStr;
use std::io;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

/// Runs git in a folder; nothing is read from standard input.
///
/// # Errors
/// When git cannot be run: the end of a sentence.
pub fn run<S: AsRef<OsStr>>(
    folder: &Path,
    arguments: impl IntoIterator<Item = S>,
) -> Result<Output, String> {
    Command::new("git")
        .current_dir(folder)
        // Names are names, whatever signs they hold.
        .arg("--literal-pathspecs")
        .args(arguments)
        .stdin(Stdio::null())
        .output()
        .map_err(|error| match error.kind() {
            io::ErrorKind::NotFound => "the program git is not installed".into(),
            _ => format!("git cannot be run: {error}"),
        })
}

/// What git printed, without the last line end; none where it refused.
///
/// # Errors
/// As [`run`].
pub fn answer<S: AsRef<OsStr>>(
    folder: &Path,
    arguments: impl IntoIterator<Item = S>,
) -> Result<Option<String>, String> {
    let output = run(folder, arguments)?;
    if !output.status.success() {
        return Ok(None);
    }
    let text = String::from_utf8(output.stdout)
        .map_err(|_| "git answers with something that is no UTF-8 text".to_owned())?;
    Ok(Some(text.trim_end_matches(['\n', '\r']).to_owned()))
}

/// The top folder of the work tree that a folder lies in.
///
/// # Errors
/// When git cannot be run, or the folder lies in no work tree: the end of a sentence.
pub fn top(folder: &Path) -> Result<PathBuf, String> {
    answer(folder, ["rev-parse", "--show-toplevel"])?
        .filter(|top| !top.is_empty())
        .map(PathBuf::from)
        .ok_or_else(|| "this folder lies in no git repository with a work tree".into())
}

/// What git said on standard error, on one line.
pub fn complaint(output: &Output) -> String {
    let text = String::from_utf8_lossy(&output.stderr);
    let lines: Vec<&str> = text.lines().map(str::trim).collect();
    lines.join("; ")
}
