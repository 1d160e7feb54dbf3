//! `retin check`: judges jobs and prints what is wrong.

pub mod found;
pub mod json;
mod judge;
pub mod library;
mod progress;
mod sarif;
mod text;
pub mod workspace;

use crate::Status;
use crate::select::select;
use crate::terminal::{Color, complain};
use clap::ValueEnum;
use found::Outcome;
use retin::finding::Severity;
use retin::stage::Stage;
use std::env;
use std::io::{self, BufWriter, Write as _};
use std::path::{Path, PathBuf};
use workspace::Workspace;

/// Check jobs, model sheets and shelves, and say what is wrong.
///
/// Names of files and folders may be given; without any, the current folder is
/// checked. In a folder every file that ends in .retin is looked at, except in
/// hidden folders and in folders named `target`; .gitignore plays no part. A
/// model sheet or a shelf that one of the jobs uses is judged with that job.
///
/// Files are only read inside the workspace: the nearest folder above the
/// paths that holds .git; else the current folder; else the folder the paths
/// have in common; or the folder named with --root.
#[derive(clap::Args, Debug)]
#[command(after_help = EXAMPLES)]
pub struct Arguments {
    /// Files and folders to check.
    #[arg(value_name = "PATH")]
    paths: Vec<PathBuf>,
    /// How to print what was found.
    #[arg(long, value_enum, value_name = "FORM", default_value_t = Output::Text)]
    output: Output,
    /// Judge the jobs as if they had come to this stage.
    #[arg(long, value_name = "STAGE", value_parser = stage_parser())]
    stage: Option<Stage>,
    /// Leave out notes: questions, and things worth knowing.
    #[arg(long)]
    without_notes: bool,
    /// Print the findings only, no summary.
    #[arg(long, short)]
    quiet: bool,
    /// The folder that holds everything a job may use.
    #[arg(long, value_name = "FOLDER")]
    root: Option<PathBuf>,
    /// When to colour what is printed.
    #[arg(long, value_enum, value_name = "WHEN", default_value_t = Color::Auto)]
    color: Color,
}

const EXAMPLES: &str = "\
Examples:
  retin check                          every job below the current folder
  retin check jobs/26-031.retin        one job with all it uses
  retin check --stage power jobs       is anything in the way of first power?
  retin check --output json > out.json

Exit status: 0 no errors, 1 errors found, 2 wrong use or a file that cannot be read.";

/// The forms of output.
#[derive(ValueEnum, Clone, Copy, PartialEq, Eq, Debug)]
enum Output {
    /// For a person.
    Text,
    /// For programs; described in syntax/output.md.
    Json,
    /// The Static Analysis Results Interchange Format, version 2.1.0.
    Sarif,
}

fn stage_parser() -> impl clap::builder::TypedValueParser<Value = Stage> {
    use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser as _};
    let words = Stage::ALL.map(|stage| PossibleValue::new(stage.word()).help(stage.phrase()));
    PossibleValuesParser::new(words)
        .try_map(|word| Stage::named(&word).ok_or_else(|| format!("there is no stage `{word}`")))
}

/// Checks and prints.
///
/// # Errors
/// When there is no current folder, `--root` cannot be reached, or standard
/// output cannot be written.
pub fn run(arguments: &Arguments) -> io::Result<Status> {
    let here = env::current_dir()?.canonicalize()?;
    let workspace = Workspace::find(arguments.root.as_deref(), &arguments.paths, &here)?;
    let selection = select(&arguments.paths, &here)?;
    if selection.files.is_empty() && selection.unreadable.is_empty() {
        complain("no file that ends in .retin is here; `retin start FOLDER` lays down a first job");
        return Ok(Status::Failed);
    }
    let outcome = judge::judge(selection, &workspace, &here, arguments.stage);
    match print(arguments, &outcome, &workspace, &here) {
        // Whoever read the output has seen enough; the status still counts.
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => return Err(error),
        _ => {}
    }
    for unreadable in &outcome.unreadable {
        complain(&format!(
            "{} cannot be read: {}",
            unreadable.path, unreadable.reason
        ));
    }
    Ok(if !outcome.unreadable.is_empty() {
        Status::Failed
    } else if outcome.count(Severity::Error) > 0 {
        Status::Found
    } else {
        Status::Fine
    })
}

fn print(
    arguments: &Arguments,
    outcome: &Outcome,
    workspace: &Workspace,
    here: &Path,
) -> io::Result<()> {
    let mut out = BufWriter::new(io::stdout().lock());
    match arguments.output {
        Output::Text => {
            let look = text::Look {
                colored: arguments.color.on_output(),
                with_notes: !arguments.without_notes,
                with_summary: !arguments.quiet,
            };
            text::print(outcome, workspace, here, look, &mut out)?;
        }
        Output::Json => json::print(outcome, workspace, here, &mut out)?,
        Output::Sarif => sarif::print(outcome, &mut out)?,
    }
    out.flush()
}
