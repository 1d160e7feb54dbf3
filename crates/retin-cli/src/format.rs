//! `retin format`: writes files in their canonical form.

use crate::replace::replace;
use crate::select::{select, shown};
use crate::terminal::complain;
use crate::{Status, read};
use rayon::prelude::*;
use retin_syntax::format::{Formatted, format};
use std::env;
use std::fmt::Write as _;
use std::io::{self, IsTerminal as _, Read as _, Write as _};
use std::path::{Path, PathBuf};

/// Write files in their canonical form, in place.
///
/// Names of files and folders may be given; folders are searched as by `retin
/// check`. With `-`, or with no name where input comes from a pipe or a file,
/// standard input is formatted to standard output; with no name at a terminal,
/// the current folder.
///
/// A file is written whole or not at all, keeps its permissions and its sort of
/// line ends, and is left alone where it has its canonical form already. A
/// line that cannot be read stays as it was typed, and is named; the rest of
/// the file is formatted.
#[derive(clap::Args, Debug)]
#[command(after_help = EXAMPLES)]
pub struct Arguments {
    /// Files and folders to format, or `-`.
    #[arg(value_name = "PATH")]
    paths: Vec<PathBuf>,
    /// Write nothing; list the files that are not in their canonical form.
    #[arg(long)]
    check: bool,
}

const EXAMPLES: &str = "\
Examples:
  retin format .                  every file below the current folder
  retin format --check            list those that would change
  retin format - < notes.retin    to standard output

Exit status: 0 done, 1 with --check: some would change, 2 something could not be
read or written; so also where a line was left as typed.";

/// What became of one file.
enum Answer {
    /// It has its canonical form.
    Canonical,
    /// It had not.
    Changed,
    /// It could not be read or written; the end of a sentence.
    Failed(String),
}

/// Formats.
///
/// # Errors
/// When standard input cannot be read or standard output cannot be written.
pub fn run(arguments: &Arguments) -> io::Result<Status> {
    let is_dash = |path: &PathBuf| path.as_os_str() == "-";
    if arguments.paths.iter().any(is_dash) {
        if arguments.paths.len() > 1 {
            complain("`-` stands for standard input and cannot be named beside files");
            return Ok(Status::Failed);
        }
        return from_input(arguments.check);
    }
    if arguments.paths.is_empty() && !arguments.check && !io::stdin().is_terminal() {
        return from_input(false);
    }
    in_place(&arguments.paths, arguments.check)
}

fn from_input(is_check: bool) -> io::Result<Status> {
    let mut bytes = Vec::new();
    let most = retin_syntax::limits::FILE_BYTES as u64 + 1;
    io::stdin().lock().take(most).read_to_end(&mut bytes)?;
    let text = match read::from_bytes(bytes) {
        Ok(text) => text,
        Err(reason) => {
            complain(&format!("standard input cannot be formatted: {reason}"));
            return Ok(Status::Failed);
        }
    };
    let formatted = format(&text);
    let left = left_alone("standard input", &formatted);
    if let Some(left) = &left {
        complain(left);
    }
    if is_check {
        if formatted.text != text {
            writeln!(io::stdout(), "standard input")?;
        }
    } else {
        io::stdout().write_all(formatted.text.as_bytes())?;
    }
    Ok(if left.is_some() {
        Status::Failed
    } else if is_check && formatted.text != text {
        Status::Found
    } else {
        Status::Fine
    })
}

fn in_place(paths: &[PathBuf], is_check: bool) -> io::Result<Status> {
    let here = env::current_dir()?.canonicalize()?;
    let selection = select(paths, &here)?;
    if selection.files.is_empty() && selection.unreadable.is_empty() {
        complain("no file that ends in .retin is here");
        return Ok(Status::Failed);
    }
    let files: Vec<&PathBuf> = selection.files.iter().collect();
    let answers: Vec<(Answer, Option<String>)> = files
        .par_iter()
        .map(|path| format_file(path, &shown(path, &here), is_check))
        .collect();
    let mut status = Status::Fine;
    let mut list = String::new();
    for (path, (answer, left)) in files.iter().zip(answers) {
        let name = shown(path, &here);
        match answer {
            Answer::Canonical => {}
            Answer::Changed if is_check => {
                let _ = writeln!(list, "{name}");
                if status == Status::Fine {
                    status = Status::Found;
                }
            }
            Answer::Changed => {
                let _ = writeln!(list, "formatted {name}");
            }
            Answer::Failed(reason) => {
                complain(&format!("{name} cannot be formatted: {reason}"));
                status = Status::Failed;
            }
        }
        if let Some(left) = left {
            complain(&left);
            status = Status::Failed;
        }
    }
    for unreadable in &selection.unreadable {
        complain(&format!(
            "{} cannot be read: {}",
            unreadable.path, unreadable.reason
        ));
        status = Status::Failed;
    }
    match io::stdout().write_all(list.as_bytes()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => Err(error),
        _ => Ok(status),
    }
}

fn format_file(path: &Path, name: &str, is_check: bool) -> (Answer, Option<String>) {
    let text = match read::text(path) {
        Ok(text) => text,
        Err(reason) => return (Answer::Failed(reason), None),
    };
    let formatted = format(&text);
    let left = left_alone(name, &formatted);
    if formatted.text == text {
        return (Answer::Canonical, left);
    }
    if !is_check && let Err(reason) = replace(path, &formatted.text) {
        return (Answer::Failed(reason), left);
    }
    (Answer::Changed, left)
}

/// Most lines that are named one by one.
const MOST_LINES: usize = 8;

/// Which lines were left as typed, as a sentence.
fn left_alone(name: &str, formatted: &Formatted) -> Option<String> {
    let lines = &formatted.untouched;
    if lines.is_empty() {
        return None;
    }
    let mut text = format!(
        "{name}: left as typed: line{} ",
        if lines.len() == 1 { "" } else { "s" }
    );
    let shown: Vec<String> = lines.iter().take(MOST_LINES).map(u32::to_string).collect();
    text.push_str(&shown.join(", "));
    if lines.len() > MOST_LINES {
        let _ = write!(text, " and {} more", lines.len() - MOST_LINES);
    }
    text.push_str("; `retin check` says what is wrong there");
    Some(text)
}
