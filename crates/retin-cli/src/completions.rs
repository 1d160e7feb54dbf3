//! `retin completions`: what a shell needs to complete the command line.

use crate::Status;
use clap_complete::Shell;
use std::io::{self, Write as _};

/// Print the completions for a shell.
///
/// What is printed belongs where the shell looks for completions; its own
/// manual says where that is.
#[derive(clap::Args, Debug)]
#[command(
    after_help = "Example:\n  retin completions bash > ~/.local/share/bash-completion/completions/retin"
)]
pub struct Arguments {
    /// The shell.
    #[arg(value_enum)]
    shell: Shell,
}

/// Prints the completions.
///
/// # Errors
/// When standard output cannot be written.
pub fn run(arguments: &Arguments, mut command: clap::Command) -> io::Result<Status> {
    // Written at once: the generator panics on a pipe that is closed.
    let mut script = Vec::new();
    clap_complete::generate(arguments.shell, &mut command, "retin", &mut script);
    io::stdout().write_all(&script)?;
    Ok(Status::Fine)
}
