//! The `retin` command: the only part of Retin that knows disks and terminals.
//!
//! One file a subcommand; each has its arguments and a `run` that gives the
//! [`Status`] to leave with.

mod check;
mod compare;
mod completions;
mod explain;
mod format;
mod gate;
mod git;
mod left;
mod man;
mod merge;
mod one_job;
mod output;
mod print;
mod read;
mod replace;
mod select;
mod serve;
mod start;
mod steps;
mod terminal;
mod version;
mod volts;
mod work;

use clap::{CommandFactory, Parser, Subcommand};
use mimalloc::MiMalloc;
use std::io;
use std::process::ExitCode;

/// A check makes many small things and drops them again, on every core at once.
/// Here this allocator is the faster one; what it is worth stands in `DEVELOPERS.md`.
#[global_allocator]
static ALLOCATOR: MiMalloc = MiMalloc;

/// Checks and tidies the written record of a restoration job.
#[derive(Parser, Debug)]
#[command(name = "retin", version, max_term_width = 100, after_help = EXAMPLES)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

const EXAMPLES: &str = "\
Examples:
  retin start bench               lay down a folder with a first job
  retin check                     check every job below the current folder
  retin format jobs/26-031.retin  write one file in its canonical form
  retin explain volts-too-low     why a finding matters and what to do
  retin compare HEAD~1:jobs/26-031.retin jobs/26-031.retin
                                  what changed, in the words of the bench
  retin gate power jobs/26-031.retin  does anything stand in the way of first power?
  retin left jobs/26-031.retin    what is left to do
  retin print ticks jobs/26-031.retin  a sheet of boxes to tick, for the bench
  retin work corner 10k 10nF      compute something

Exit status: 0 nothing wrong, 1 errors found, 2 wrong use or a file that cannot be read.";

#[derive(Subcommand, Debug)]
enum Command {
    Check(check::Arguments),
    Format(format::Arguments),
    Explain(explain::Arguments),
    Gate(gate::Arguments),
    Left(left::Arguments),
    Steps(steps::Arguments),
    Volts(volts::Arguments),
    Print(print::Arguments),
    Compare(compare::Arguments),
    Merge(merge::Arguments),
    Serve(serve::Arguments),
    Start(start::Arguments),
    Work(work::Arguments),
    Completions(completions::Arguments),
    Man(man::Arguments),
}

/// What the command leaves with.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Status {
    /// Nothing is wrong.
    Fine,
    /// Errors were found, or files that are not in their canonical form, or
    /// differences, or conflicts, or something stands before a gate, or a value
    /// lies where a formula is not valid.
    Found,
    /// The command was used wrongly, or something could not be read or written.
    Failed,
    /// A join that git asked for could not be made. Git takes this for a
    /// failure, where a smaller number would mean conflicts.
    Abandoned,
}

impl From<Status> for ExitCode {
    fn from(status: Status) -> Self {
        ExitCode::from(match status {
            Status::Fine => 0,
            Status::Found => 1,
            Status::Failed => 2,
            Status::Abandoned => 129,
        })
    }
}

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    match run(arguments) {
        Ok(status) => status.into(),
        // Whoever read the output has seen enough.
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Status::Fine.into(),
        Err(error) => {
            terminal::complain(&error.to_string());
            Status::Failed.into()
        }
    }
}

fn run(arguments: Arguments) -> io::Result<Status> {
    match arguments.command {
        Command::Check(arguments) => check::run(&arguments),
        Command::Format(arguments) => format::run(&arguments),
        Command::Explain(arguments) => explain::run(&arguments),
        Command::Gate(arguments) => gate::run(&arguments),
        Command::Left(arguments) => left::run(&arguments),
        Command::Steps(arguments) => steps::run(&arguments),
        Command::Volts(arguments) => volts::run(&arguments),
        Command::Print(arguments) => print::run(&arguments),
        Command::Compare(arguments) => compare::run(&arguments),
        Command::Merge(arguments) => merge::run(&arguments),
        Command::Serve(arguments) => serve::run(&arguments),
        Command::Start(arguments) => start::run(&arguments),
        Command::Work(arguments) => work::run(&arguments),
        Command::Completions(arguments) => completions::run(&arguments, Arguments::command()),
        Command::Man(arguments) => man::run(&arguments, Arguments::command()),
    }
}
