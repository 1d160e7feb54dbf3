//! `retin left`: what is left to do on a job.

mod bar;
mod json;
mod text;

use crate::Status;
use crate::one_job::{self, Names};
use crate::output::Output;
use crate::terminal::{Color, complain, shows_every_character, width_of_output};
use retin::meaning::{Case, Job};
use retin::replacement::replacements;
use retin::time::Replay;
use retin::time::left::words::Wording;
use retin::time::left::{WhatIsLeft, what_is_left};
use retin::time::order::order;
use std::io::{self, Write};
use std::path::PathBuf;

/// Print what is left to do on a job: by board, by step, and by the clock.
///
/// It follows from the plan, the steps, the targets and the log. Copies of a board
/// that have come equally far stand together; one that has not is compared with its
/// siblings. Hours spent are those that the log shows, and hours to go are
/// estimated.
#[derive(clap::Args, Debug)]
#[command(after_help = EXAMPLES)]
pub struct Arguments {
    /// A job.
    #[arg(value_name = "JOB")]
    file: PathBuf,
    /// How to print what is left.
    #[arg(long, value_enum, value_name = "FORM", default_value_t = Output::Text)]
    output: Output,
    /// The folder that holds everything a job may use.
    #[arg(long, value_name = "FOLDER")]
    root: Option<PathBuf>,
    /// When to colour what is printed.
    #[arg(long, value_enum, value_name = "WHEN", default_value_t = Color::Auto)]
    color: Color,
}

const EXAMPLES: &str = "\
Examples:
  retin left jobs/26-031.retin
  retin left --output json jobs/26-031.retin > left.json

Exit status: 0 printed, 2 wrong use or a file that cannot be read.";

/// What is printed of a job.
struct Printed<'c, 'a> {
    case: &'c Case<'a>,
    job: &'c Job<'a>,
    replay: &'c Replay<'a>,
    words: Wording<'c, 'a>,
    left: WhatIsLeft,
}

/// Looks up what is left and prints it.
///
/// # Errors
/// When there is no current folder, `--root` cannot be reached, or standard
/// output cannot be written.
pub fn run(arguments: &Arguments) -> io::Result<Status> {
    one_job::with_case(
        &arguments.file,
        arguments.root.as_deref(),
        |case, names, out| print(arguments, case, names, out),
    )
}

fn print(
    arguments: &Arguments,
    case: &Case<'_>,
    names: Names<'_>,
    out: &mut dyn Write,
) -> io::Result<Status> {
    let chosen = replacements(case);
    let order = case.job.as_ref().and_then(|job| order(case, job, &chosen));
    let replay = &case.replay;
    let left = what_is_left(case, replay, order.as_ref());
    let (Some(job), Some(left)) = (&case.job, left) else {
        complain(&format!(
            "{} holds no job, and what is left is left of a job",
            arguments.file.display()
        ));
        return Ok(Status::Failed);
    };
    let printed = Printed {
        case,
        job,
        replay,
        words: Wording { case, job, replay },
        left,
    };
    match arguments.output {
        Output::Text => {
            let look = text::Look {
                colored: arguments.color.on_output(),
                width: width_of_output(),
                is_plain: !shows_every_character(),
            };
            text::print(&printed, names, look, out)?;
        }
        Output::Json => json::print(&printed, names, out)?,
    }
    Ok(Status::Fine)
}
