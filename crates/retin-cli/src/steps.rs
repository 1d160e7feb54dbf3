//! `retin steps`: in which order a job is worked on, how long it takes, and what
//! one's hands do next within a step.

mod json;
mod text;

use crate::Status;
use crate::one_job;
use crate::output::Output;
use crate::terminal::{Color, complain};
use retin::meaning::{BoardCopy, Case, Job};
use retin::replacement::{Chosen, replacements};
use retin::time::minutes::Duration;
use retin::time::order::{MOST_STEPS, Order, order};
use retin_syntax::value::Decimal;
use std::collections::BTreeMap;
use std::io::{self, Write};
use std::path::PathBuf;

/// Print the steps of a job in an order that can be worked, with their times.
///
/// Each step comes after what it waits for: what its line says, and what every
/// bench does first. A time that no line says is estimated from what the step is
/// about; the shop may have times of its own. With --step, one step part by part:
/// all of one value together, low bodies before tall ones.
#[derive(clap::Args, Debug)]
#[command(after_help = EXAMPLES)]
pub struct Arguments {
    /// A job.
    #[arg(value_name = "JOB")]
    file: PathBuf,
    /// Print the working order of this step.
    #[arg(long, value_name = "NAME")]
    step: Option<String>,
    /// How to print the steps.
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
  retin steps jobs/26-031.retin
  retin steps jobs/26-031.retin --step fill
  retin steps --output json jobs/26-031.retin > steps.json";

/// What is printed of a job.
struct Steps<'c, 'a> {
    case: &'c Case<'a>,
    job: &'c Job<'a>,
    chosen: Vec<Chosen<'c, 'a>>,
    order: Order,
}

/// Puts the steps of one job in order and prints them.
///
/// # Errors
/// When there is no current folder, `--root` cannot be reached, or standard
/// output cannot be written.
pub fn run(arguments: &Arguments) -> io::Result<Status> {
    one_job::with_case(
        &arguments.file,
        arguments.root.as_deref(),
        |case, _, out| print(arguments, case, out),
    )
}

fn print(arguments: &Arguments, case: &Case<'_>, out: &mut dyn Write) -> io::Result<Status> {
    let path = arguments.file.display();
    let Some(job) = &case.job else {
        complain(&format!("{path} holds no job, and steps belong to a job"));
        return Ok(Status::Failed);
    };
    let chosen = replacements(case);
    let Some(order) = order(case, job, &chosen) else {
        complain(&format!(
            "{path} has {} steps, and no more than {MOST_STEPS} are put in order",
            job.steps.len()
        ));
        return Ok(Status::Failed);
    };
    let steps = Steps {
        case,
        job,
        chosen,
        order,
    };
    if let Some(name) = &arguments.step {
        let Some(step) = job.steps.iter().position(|step| step.name == name) else {
            let names: Vec<&str> = job.steps.iter().map(|step| step.name).collect();
            complain(&format!(
                "there is no step {name} in {path}; there are {}",
                names.join(", ")
            ));
            return Ok(Status::Failed);
        };
        match arguments.output {
            Output::Text => text::one(&steps, step, arguments.color.on_output(), out)?,
            Output::Json => json::one(&steps, step, out)?,
        }
        return Ok(Status::Fine);
    }
    match arguments.output {
        Output::Text => text::all(&steps, arguments.color.on_output(), out)?,
        Output::Json => json::all(&steps, out)?,
    }
    let is_sound = steps.order.circles.is_empty() && steps.order.too_early.is_empty();
    Ok(if is_sound {
        Status::Fine
    } else {
        Status::Found
    })
}

impl Steps<'_, '_> {
    fn duration(&self, step: usize) -> &Duration {
        &self.order.durations[step]
    }

    /// The time of every copy of a board, in seconds, in the order of the model sheet.
    fn by_board(&self) -> BTreeMap<BoardCopy, Decimal> {
        let mut by_board: BTreeMap<BoardCopy, Decimal> = BTreeMap::new();
        for (copy, seconds) in self.order.durations.iter().flat_map(|one| &one.by_board) {
            let held = by_board.entry(*copy).or_default();
            *held = held.saturating_add(*seconds);
        }
        by_board
    }

    /// What is missing for a whole estimate, each once.
    fn missing(&self) -> Vec<&str> {
        let mut missing: Vec<&str> = Vec::new();
        for duration in &self.order.durations {
            if let Some(fact) = duration.missing.as_deref()
                && !missing.contains(&fact)
            {
                missing.push(fact);
            }
        }
        missing
    }

    fn name(&self, step: usize) -> &str {
        self.job.steps[step].name
    }

    fn names(&self, steps: &[usize]) -> Vec<&str> {
        steps.iter().map(|step| self.name(*step)).collect()
    }
}
