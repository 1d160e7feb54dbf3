//! `retin start`: lays down a folder with a first job to learn from.

use crate::Status;
use crate::read::trouble;
use crate::terminal::complain;
use std::fs;
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

/// Lay down a folder with a model sheet, a shelf and a first job.
///
/// The unit in it is made up; its files are commented and check clean. A file
/// that is there already is never overwritten.
#[derive(clap::Args, Debug)]
#[command(
    after_help = "Examples:\n  retin start bench\n  retin start bench --name \"Halden RX-2 receiver\""
)]
pub struct Arguments {
    /// The folder; it is made where it is not there yet.
    #[arg(value_name = "FOLDER")]
    folder: PathBuf,
    /// What to call the unit in place of the made-up one.
    #[arg(long, value_parser = unit_name)]
    name: Option<String>,
}

/// The name that `--name` takes the place of.
const UNIT: &str = "Oakmere TG-2";

/// Where each file goes, and what is in it.
const FILES: [(&str, &str); 4] = [
    ("models/tg2.retin", include_str!("start/model.retin")),
    ("shelf.retin", include_str!("start/shelf.retin")),
    ("jobs/26-001.retin", include_str!("start/job.retin")),
    ("README.md", include_str!("start/README.md")),
];

/// A name that can stand between quotes on one line.
fn unit_name(name: &str) -> Result<String, String> {
    let name = name.trim();
    if name.is_empty() || name.len() > 80 {
        return Err("a name has 1 to 80 letters".into());
    }
    if name
        .chars()
        .any(|character| character == '"' || character.is_control())
    {
        return Err("a name stands between quotes on one line, and can hold neither".into());
    }
    Ok(name.into())
}

/// Lays the files down.
///
/// # Errors
/// When standard output cannot be written.
pub fn run(arguments: &Arguments) -> io::Result<Status> {
    let there = FILES
        .iter()
        .find(|(name, _)| arguments.folder.join(name).symlink_metadata().is_ok());
    if let Some((name, _)) = there {
        complain(&format!(
            "{} is there already; nothing was written",
            arguments.folder.join(name).display()
        ));
        return Ok(Status::Failed);
    }
    for (name, text) in FILES {
        let path = arguments.folder.join(name);
        let text = match &arguments.name {
            Some(unit) => text.replace(UNIT, unit),
            None => text.to_owned(),
        };
        if let Err(error) = lay_down(&path, &text) {
            complain(&format!(
                "{} cannot be written: {}",
                path.display(),
                trouble(&error)
            ));
            return Ok(Status::Failed);
        }
    }
    let mut out = io::stdout();
    for (name, _) in FILES {
        writeln!(out, "wrote {}", arguments.folder.join(name).display())?;
    }
    writeln!(out, "\nNow: retin check {}", arguments.folder.display())?;
    Ok(Status::Fine)
}

fn lay_down(path: &Path, text: &str) -> io::Result<()> {
    if let Some(folder) = path.parent() {
        fs::create_dir_all(folder)?;
    }
    fs::File::create_new(path)?.write_all(text.as_bytes())
}
