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
pub fn replace(path: &Path, text: impl AsRef<[u8]>) -> Result<(), String> {
    let in_words = |error: io::Error| trouble(&error);
    // A link would be replaced by a file; what it leads to is meant.
    let path = path.canonicalize().map_err(in_words)?;
    let permissions = fs::metadata(&path).map_err(in_words)?.permissions();
    if permissions.readonly() {
        return Err("it is write-protected".into());
    }
    let folder = path.parent().unwrap_or(Path::new("."));
    write_beside(folder, text.as_ref(), Some(permissions))
        .and_then(|beside| beside.persist(&path).map_err(io::Error::from))
        .map(|_| ())
        .map_err(|error| format!("its folder does not take the new text, {}", trouble(&error)))
}

/// Writes a file that is not there yet, whole or not at all.
///
/// # Errors
/// When there is such a file, or its folder does not take it: the reason, as
/// the end of a sentence.
pub fn create(path: &Path, text: impl AsRef<[u8]>) -> Result<(), String> {
    let folder = path.parent().unwrap_or(Path::new("."));
    write_beside(folder, text.as_ref(), None)
        .and_then(|beside| beside.persist_noclobber(path).map_err(io::Error::from))
        .map(|_| ())
        .map_err(|error| format!("its folder does not take it, {}", trouble(&error)))
}

/// Writes a file whole or not at all, whether there is one already or not.
///
/// # Errors
/// As [`replace`] and [`create`].
pub fn write(path: &Path, text: impl AsRef<[u8]>) -> Result<(), String> {
    if path.exists() {
        replace(path, text)
    } else {
        create(path, text)
    }
}

fn write_beside(
    folder: &Path,
    bytes: &[u8],
    permissions: Option<Permissions>,
) -> io::Result<NamedTempFile> {
    let mut builder = Builder::new();
    builder.prefix(".retin-").suffix(".tmp");
    #[cfg(unix)]
    if permissions.is_none() {
        // What everybody's new files have; the system takes away what it withholds.
        use std::os::unix::fs::PermissionsExt as _;
        builder.permissions(Permissions::from_mode(0o666));
    }
    let mut beside = builder.tempfile_in(folder)?;
    beside.write_all(bytes)?;
    if let Some(permissions) = permissions {
        beside.as_file().set_permissions(permissions)?;
    }
    beside.as_file().sync_all()?;
    Ok(beside)
}
