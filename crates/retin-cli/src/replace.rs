//! Writes a file whole or not at all.

use std::fs;
use std::io::{self, Write as _};
use std::path::Path;
use tempfile::Builder;

/// Puts `text` in the place of the file at `path`, which keeps its
/// permissions. The text is written beside the file first and then takes its
/// name in one step, so that whatever goes wrong leaves the old file as it was.
///
/// # Errors
/// When the file may not be written, or its folder, or the disk is full.
pub fn replace(path: &Path, text: &str) -> io::Result<()> {
    // A link would be replaced by a file; what it leads to is meant.
    let path = path.canonicalize()?;
    let permissions = fs::metadata(&path)?.permissions();
    if permissions.readonly() {
        return Err(io::Error::new(io::ErrorKind::PermissionDenied, "it is write-protected"));
    }
    let folder = path.parent().unwrap_or(Path::new("."));
    let mut beside = Builder::new().prefix(".retin-").suffix(".tmp").tempfile_in(folder)?;
    beside.write_all(text.as_bytes())?;
    beside.as_file().set_permissions(permissions)?;
    beside.as_file().sync_all()?;
    beside.persist(&path)?;
    Ok(())
}
