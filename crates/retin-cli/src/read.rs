//! Reads one file from the disk, or says plainly why not.

use retin_syntax::limits::FILE_BYTES;
use std::fs::{self, File};
use std::io::{self, Read as _};
use std::path::Path;

/// The text of a file.
///
/// # Errors
/// The reason as the end of a sentence: "it is not there".
pub fn text(path: &Path) -> Result<String, String> {
    let in_words = |error: io::Error| trouble(&error);
    // Asked before opening: opening a pipe would wait for its other end.
    let known = fs::metadata(path).map_err(in_words)?;
    if known.is_dir() {
        return Err("it is a folder".into());
    }
    if !known.is_file() {
        return Err("it is not a file".into());
    }
    if known.len() > FILE_BYTES as u64 {
        return Err(too_large());
    }
    let mut bytes = Vec::with_capacity(known.len() as usize);
    File::open(path)
        .map_err(in_words)?
        .take(FILE_BYTES as u64 + 1)
        .read_to_end(&mut bytes)
        .map_err(in_words)?;
    from_bytes(bytes)
}

/// Bytes as text.
///
/// # Errors
/// As [`text`]: too many bytes, or bytes that are no UTF-8, with their place.
pub fn from_bytes(bytes: Vec<u8>) -> Result<String, String> {
    if bytes.len() > FILE_BYTES {
        return Err(too_large());
    }
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        let bytes = error.as_bytes();
        format!(
            "it is not UTF-8 text: byte {} (line {}) is {:#04x}; save it as UTF-8",
            at + 1,
            line_of(&bytes[..at]),
            bytes[at],
        )
    })
}

/// The number of the line that follows these bytes; `\n`, `\r\n` and `\r` end one.
fn line_of(before: &[u8]) -> usize {
    let ends = before
        .iter()
        .enumerate()
        .filter(|(index, byte)| {
            **byte == b'\n' || **byte == b'\r' && before.get(index + 1) != Some(&b'\n')
        })
        .count();
    ends + 1
}

fn too_large() -> String {
    format!("it is larger than {} MiB", FILE_BYTES / (1024 * 1024))
}

/// Why the system refuses, as the end of a sentence.
pub fn trouble(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "it is not there".into(),
        io::ErrorKind::PermissionDenied => "permission is denied".into(),
        _ => error.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bytes_that_are_no_text_are_told_with_their_line() {
        let told = from_bytes(b"model a\r\n\rboard \xff\n".to_vec());
        assert_eq!(
            told,
            Err("it is not UTF-8 text: byte 17 (line 3) is 0xff; save it as UTF-8".into())
        );
    }

    #[test]
    fn a_refused_permission_is_told_in_plain_words() {
        assert_eq!(
            trouble(&io::ErrorKind::PermissionDenied.into()),
            "permission is denied"
        );
    }

    #[test]
    fn a_file_that_is_too_large_is_refused() {
        assert_eq!(
            from_bytes(vec![b' '; FILE_BYTES + 1]),
            Err("it is larger than 16 MiB".into())
        );
    }
}
