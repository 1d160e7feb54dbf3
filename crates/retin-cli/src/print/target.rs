//! Where a sheet goes: to a file, whole or not at all, or to standard output.

use super::Arguments;
use super::form::Form;
use crate::Status;
use crate::replace;
use crate::terminal::{complain, shows_every_character, width_of_output};
use retin::sheets::Document;
use retin::sheets::document::Head;
use retin::sheets::page::PageSetting;
use retin::sheets::text::{Look, text};
use retin_paper::Pdf;
use std::io::{self, IsTerminal as _, Write as _};
use std::path::{Path, PathBuf};

/// Columns of a text that goes to no terminal.
const WIDTH: usize = 100;

/// Most jobs that the name of a file names.
const MOST_NAMED: usize = 3;

/// What is to be written.
pub(super) struct Printed<'p> {
    pub(super) document: &'p Document,
    /// The same for a spreadsheet, where there is such.
    pub(super) table: Option<&'p str>,
    pub(super) setting: PageSetting,
    /// The bytes of a photograph, by its path from the workspace's root.
    pub(super) photos: &'p dyn Fn(&str) -> Option<Vec<u8>>,
}

/// Sets a document and writes it where it is wanted.
///
/// # Errors
/// When standard output cannot be written.
pub(super) fn write(arguments: &Arguments, printed: &Printed<'_>) -> io::Result<Status> {
    let to = arguments.to.as_deref();
    let form = Form::of(arguments.form, to);
    let is_standard = match to {
        Some(to) => to == Path::new("-"),
        None => form.is_shown(),
    };
    if is_standard && form == Form::Pdf && io::stdout().is_terminal() {
        complain("a PDF is nothing for a terminal: write it to a file, or ask for --form text");
        return Ok(Status::Failed);
    }
    let Some(bytes) = set(form, printed, is_standard) else {
        return Ok(Status::Failed);
    };
    if is_standard {
        return to_standard_output(&bytes);
    }
    let path = match to {
        Some(to) => to.to_owned(),
        None => file_name(&printed.document.head, arguments.sheet.name, form),
    };
    let mut status = to_file(&path, &bytes)?;
    // The table lies beside the pages; it is the same order.
    if let Some(table) = printed.table.filter(|_| form != Form::Csv)
        && status == Status::Fine
    {
        status = to_file(&path.with_extension(Form::Csv.ending()), table.as_bytes())?;
    }
    Ok(status)
}

/// The bytes of a form; none where it cannot be made, which is told.
fn set(form: Form, printed: &Printed<'_>, is_standard: bool) -> Option<Vec<u8>> {
    match form {
        Form::Pdf => match retin_paper::pdf(printed.document, printed.setting, printed.photos) {
            Ok(pdf) => {
                tell_missing(&pdf);
                Some(pdf.bytes)
            }
            Err(error) => {
                complain(&error.to_string());
                None
            }
        },
        Form::Html => {
            let html = retin_paper::html(printed.document, printed.setting, printed.photos);
            Some(html.into_bytes())
        }
        Form::Text => {
            let look = Look {
                width: width_of_output().filter(|_| is_standard).unwrap_or(WIDTH),
                is_plain: is_standard && !shows_every_character(),
            };
            Some(text(printed.document, look).into_bytes())
        }
        Form::Csv => Some(printed.table.unwrap_or_default().as_bytes().to_vec()),
    }
}

/// Tells what does not stand on the pages as it should.
fn tell_missing(pdf: &Pdf) {
    if !pdf.missing_signs.is_empty() {
        let signs: Vec<String> = pdf.missing_signs.iter().map(char::to_string).collect();
        complain(&format!(
            "the fonts have no sign for {}: an empty frame stands there",
            signs.join(" ")
        ));
    }
    for photo in &pdf.missing_photos {
        complain(&format!("the photograph {photo} could not be read"));
    }
}

/// Writes a file, and says so.
fn to_file(path: &Path, bytes: &[u8]) -> io::Result<Status> {
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
