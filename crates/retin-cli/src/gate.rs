//! `retin gate`: whether anything that was checked stands in the way of the next stage.

mod json;
mod text;

use crate::Status;
use crate::one_job::{self, Names};
use crate::output::Output;
use crate::terminal::{Color, complain};
use retin::check::check_chosen;
use retin::meaning::Case;
use retin::replacement::replacements;
use retin::stage::Stage;
use retin::time::gate::{GATES, Verdict, gate};
use retin::time::order::order;
use std::io::{self, Write};
use std::path::PathBuf;

/// Answer GO or NO-GO before a stage of the work, and say what stands in the way.
///
/// A gate asks the rules of the checker that protect the stage behind it, and for
/// work that has to be done before: pictures and empty reservoirs before the first
/// part comes out, clean boards before the first one goes in, mended accidents,
/// inspected joints and rails read against ground before first power, proven rails
/// before the chips, readings before hand-over. GO means that nothing which was
/// checked stands in the way; it calls no unit safe.
#[derive(clap::Args, Debug)]
#[command(after_help = EXAMPLES)]
pub struct Arguments {
    /// The gate.
    #[arg(value_name = "NAME", value_parser = gate_parser())]
    name: Stage,
    /// A job.
    #[arg(value_name = "JOB")]
    file: PathBuf,
    /// How to print the answer.
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
  retin gate power jobs/26-031.retin
  retin gate --output json close jobs/26-031.retin > gate.json

Exit status: 0 GO, 1 NO-GO, 2 wrong use or a file that cannot be read.";

fn gate_parser() -> impl clap::builder::TypedValueParser<Value = Stage> {
    use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser as _};
    let words = GATES.map(|stage| PossibleValue::new(stage.word()).help(stage.phrase()));
    PossibleValuesParser::new(words)
        .try_map(|word| Stage::named(&word).ok_or_else(|| format!("there is no gate `{word}`")))
}

/// Asks the gate and prints its answer.
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
    let report = check_chosen(case, Some(arguments.name), &chosen);
    let Some(gate) = gate(case, report, replay, order.as_ref()) else {
        complain(&format!(
            "{} holds no job, and a gate is a gate of a job",
            arguments.file.display()
        ));
        return Ok(Status::Failed);
    };
    let status = match gate.verdict {
        Verdict::Go => Status::Fine,
        Verdict::NoGo => Status::Found,
    };
    let printed = match arguments.output {
        Output::Text => text::print(case, &gate, names, arguments.color.on_output(), out),
        Output::Json => json::print(case, &gate, names, out),
    };
    match printed {
        // Whoever read the output has seen enough; the status still counts.
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => Err(error),
        _ => Ok(status),
    }
}
