//! `retin merge`: joins two versions of a file, as git's driver for Retin files.

mod install;

use crate::Status;
use crate::read::{from_bytes, trouble};
use crate::replace::replace;
use crate::terminal::complain;
use retin::merge::{Clash, Merged, PlainReason, merge, merge_bytes};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// Join two versions of a file, record by record.
///
/// Git runs this where two technicians changed one file: BASE is what both
/// began with, OURS and THEIRS are the two versions. The joined file takes the
/// place of OURS. What only one side changed is taken over, entries of the log
/// come together in time, and a record that both changed differently stands
/// twice between marker lines, for you to decide.
///
/// `retin merge --install`, run once in a repository, has git do so by itself.
/// syntax/merge.md says what is joined how, and how to undo it.
#[derive(clap::Args, Debug)]
#[command(after_help = EXAMPLES)]
pub struct Arguments {
    /// What both versions came from.
    #[arg(value_name = "BASE", required_unless_present = "install")]
    base: Option<PathBuf>,
    /// Our version; the joined file is written here.
    #[arg(value_name = "OURS", required_unless_present = "install")]
    ours: Option<PathBuf>,
    /// Their version.
    #[arg(value_name = "THEIRS", required_unless_present = "install")]
    theirs: Option<PathBuf>,
    /// What to call the file in messages.
    #[arg(value_name = "NAME")]
    name: Option<String>,
    /// Have git join the Retin files of this repository with this program.
    #[arg(long, conflicts_with = "base")]
    install: bool,
}

const EXAMPLES: &str = "\
Examples:
  retin merge --install                        once in every clone
  retin merge base.retin ours.retin theirs.retin

Exit status: 0 joined, 1 joined with conflicts to decide, 2 wrong use, 129 nothing
was written, since a file cannot be read or written.";

/// Joins, or sets git up to join.
///
/// # Errors
/// Never; what goes wrong is told.
pub fn run(arguments: &Arguments) -> io::Result<Status> {
    if arguments.install {
        return install::install();
    }
    let (Some(base), Some(ours), Some(theirs)) =
        (&arguments.base, &arguments.ours, &arguments.theirs)
    else {
        return Ok(Status::Failed);
    };
    let shown = ours.display().to_string();
    let name = arguments.name.as_deref().unwrap_or(&shown);
    let mut bytes = Vec::with_capacity(3);
    for path in [base, ours, theirs] {
        match fs::read(path) {
            Ok(read) => bytes.push(read),
            Err(error) => {
                complain(&format!(
                    "{name} cannot be joined: {} cannot be read, {}",
                    path.display(),
                    trouble(&error)
                ));
                return Ok(Status::Abandoned);
            }
        }
    }
    Ok(join(name, ours, bytes))
}

fn join(name: &str, ours: &Path, bytes: Vec<Vec<u8>>) -> Status {
    let texts: Result<Vec<String>, String> = bytes.iter().cloned().map(from_bytes).collect();
    let (joined, is_clean) = match &texts {
        Ok(texts) => {
            let merged = merge(&texts[0], &texts[1], &texts[2]);
            tell(name, &merged);
            let is_clean = merged.conflicts.is_empty();
            (merged.text.into_bytes(), is_clean)
        }
        Err(reason) => {
            let (joined, is_clean) = merge_bytes(&bytes[0], &bytes[1], &bytes[2]);
            complain(&format!(
                "{name} is joined line by line, since a version cannot be read: {reason}"
            ));
            if !is_clean {
                complain(&format!("{name}: both sides changed the same lines"));
            }
            (joined, is_clean)
        }
    };
    if let Err(reason) = replace(ours, &joined) {
        complain(&format!("{name} cannot be joined: {reason}"));
        return Status::Abandoned;
    }
    if is_clean {
        Status::Fine
    } else {
        Status::Found
    }
}

/// Says what the technician has to decide, and what was not joined by records.
fn tell(name: &str, merged: &Merged) {
    if let Some(reason) = merged.plain {
        let reason = match reason {
            PlainReason::TooLong => "a version is too long to be read",
            PlainReason::Unresolved => {
                "a version holds an earlier join that nobody decided, between `<<<<<<<` and `>>>>>>>`"
            }
            PlainReason::Unreadable => "joined by records it could not be read",
        };
        complain(&format!("{name} is joined line by line, since {reason}"));
    }
    for conflict in &merged.conflicts {
        let what = match conflict.clash {
            Clash::BothChanged => "both sides changed",
            Clash::BothAdded => "both sides added, differently,",
            Clash::TheyRemoved => "ours changed and theirs took out",
            Clash::WeRemoved => "theirs changed and ours took out",
            Clash::Lines => "both sides changed the lines that follow",
        };
        let record = match conflict.record.as_str() {
            "" => String::new(),
            record => format!(" `{record}`"),
        };
        complain(&format!("{name}, line {}: {what}{record}", conflict.line));
    }
}
