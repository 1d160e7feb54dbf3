//! Where a sheet goes: to a file, whole or not at all, or to standard output.

use super::form::Form;
use super::{Arguments, Settings};
use crate::Status;
use crate::replace;
use crate::terminal::{complain, shows_every_character, width_of_output};
use retin::sheets::Document;
use retin::sheets::document::Head;
use retin::sheets::text::{Look, text};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

/// Columns of a text that goes to no terminal.
const WIDTH: usize = 100;

/// Most jobs that the name of a file names.
const MOST_NAMED: usize = 3;

/// Sets a document and writes it where it is wanted.
///
/// # Errors
/// When standard output cannot be written.
pub(super) fn write(
    arguments: &Arguments,
    _settings: &Settings,
    document: &Document,
) -> io::Result<Status> {
    let to = arguments.to.as_deref();
    let form = Form::of(arguments.form, to);
    let is_standard = is_standard(to, form);
    let bytes = match form {
        Form::Text => {
            let look = Look {
                width: width_of_output().filter(|_| is_standard).unwrap_or(WIDTH),
                is_plain: is_standard && !shows_every_character(),
            };
            text(document, look).into_bytes()
        }
        // A table is made of jobs, and not of a document.
        Form::Csv => Vec::new(),
    };
    put(arguments, &document.head, form, &bytes)
}

/// Writes a sheet that is set already where it is wanted.
///
/// # Errors
/// When standard output cannot be written.
pub(super) fn put(
    arguments: &Arguments,
    head: &Head,
    form: Form,
    bytes: &[u8],
) -> io::Result<Status> {
    let to = arguments.to.as_deref();
    let is_standard = is_standard(to, form);
    if is_standard {
        return to_standard_output(bytes);
    }
    let named;
    let path = match to {
        Some(to) => to,
        None => {
            named = file_name(head, arguments.sheet.name, form);
            &named
        }
    };
    if path.extension().is_some_and(|ending| ending == "retin") {
        complain(&format!(
            "{} is the name of a job's file, and no sheet is written over one",
            path.display()
        ));
        return Ok(Status::Failed);
    }
    match replace::write(path, bytes) {
        Ok(()) => {
            writeln!(io::stdout(), "{}", path.display())?;
            Ok(Status::Fine)
        }
        Err(reason) => {
            complain(&format!("{} cannot be written: {reason}", path.display()));
            Ok(Status::Failed)
        }
    }
}

/// Whether a sheet of this form goes to standard output.
fn is_standard(to: Option<&Path>, form: Form) -> bool {
    match to {
        Some(to) => to == Path::new("-"),
        None => form == Form::Text,
    }
}

fn to_standard_output(bytes: &[u8]) -> io::Result<Status> {
    let mut out = io::stdout().lock();
    out.write_all(bytes)?;
    out.flush()?;
    Ok(Status::Fine)
}

/// The name of a sheet's file, beside where one is: `26-014-ticks.pdf`.
fn file_name(head: &Head, sheet: &str, form: Form) -> PathBuf {
    let jobs: Vec<&str> = head.job.split(", ").collect();
    let mut name = jobs[..jobs.len().min(MOST_NAMED)].join("-");
    if jobs.len() > MOST_NAMED {
        name.push_str("-and-more");
    }
    let is_plain = |sign: char| sign.is_alphanumeric() || matches!(sign, '-' | '_' | '.');
    let name: String = name
        .chars()
        .map(|sign| if is_plain(sign) { sign } else { '-' })
        .collect();
    let name = name.trim_start_matches(['.', '-']);
    PathBuf::from(format!("{name}-{sheet}.{}", form.ending()))
}
