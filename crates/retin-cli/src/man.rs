//! `retin man`: the manual pages.

use crate::Status;
use std::fs;
use std::io::{self, Write as _};
use std::path::PathBuf;

/// Print the manual page, or write one a subcommand into a folder.
#[derive(clap::Args, Debug)]
#[command(
    after_help = "Examples:\n  retin man | man -l -\n  retin man --out ~/.local/share/man/man1"
)]
pub struct Arguments {
    /// The folder to write the pages of all subcommands into.
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,
}

/// Prints or writes the manual.
///
/// # Errors
/// When standard output or the folder cannot be written.
pub fn run(arguments: &Arguments, command: clap::Command) -> io::Result<Status> {
    match &arguments.out {
        Some(folder) => {
            fs::create_dir_all(folder)?;
            clap_mangen::generate_to(command, folder)?;
        }
        None => {
            let mut page = Vec::new();
            clap_mangen::Man::new(command).render(&mut page)?;
            io::stdout().write_all(&page)?;
        }
    }
    Ok(Status::Fine)
}
