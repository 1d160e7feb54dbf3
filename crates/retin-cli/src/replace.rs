//! Writes a file whole or not at all.

use crate::read::trouble;
use std::fs::{self, Permissions};
use std::io::{self, Write as _};
use std::path::Path;
use tempfile::{Builder, NamedTempFile};

/// Puts `text` in the place of the file at `path`, which keeps its
/// permissions. The text is written beside the file first and then takes its
/// name in one step, so that whatever goes wrong leaves the old file as it was.
///
/// # Errors
/// When the file may not be written, or its folder, or the disk is full: the
/// reason, as the end of a sentence.
pub fn replace(path: &Path, text: &str) -> Result<(), String> {
    let in_words = |error: io::Error| trouble(&error);
    // A link would be replaced by a file; what it leads to is meant.
    let path = path.canonicalize().map_err(in_words)?;
    let permissions = fs::metadata(&path).map_err(in_words)?.permissions();
    if permissions.readonly() {
        return Err("it is write-protected".into());
    }
    let folder = path.parent().unwrap_or(Path::new("."));
    write_beside(folder, text, permissions)
        .and_then(|beside| beside.persist(&path).map_err(io::Error::from))
        .map(|_| ())
        .map_err(|error| format!("its folder does not take the new text, {}", trouble(&error)))
}

fn write_beside(folder: &Path, text: &str, permissions: Permissions) -> io::Result<NamedTempFile> {
    let mut beside = Builder::new()
        .prefix(".retin-")
        .suffix(".tmp")
        .tempfile_in(folder)?;
    beside.write_all(text.as_bytes())?;
    beside.as_file().set_permissions(permissions)?;
    beside.as_file().sync_all()?;
    Ok(beside)
}
