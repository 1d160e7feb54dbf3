//! `retin work`: the computations of the bench, listed, explained and done.

mod json;
mod text;

use crate::Status;
use crate::terminal::{Color, complain};
use clap::ValueEnum;
use retin::physics::asking::{Misunderstanding, ask, named};
use retin::physics::catalogue::{Computation, computations};
use std::io::{self, Write as _};

/// Compute what the bench asks: life, discharge, ripple, corners, wires and more.
///
/// Without a name, all computations are listed. With a name alone, the
/// computation is explained: its formula, what it takes, its source and where it
/// is valid. With values, it is done. Values are written as in a job file, with
/// their units; the word before a value says what it is for where two are of a
/// kind. The answer says what was taken for what.
#[derive(clap::Args, Debug)]
#[command(after_help = EXAMPLES)]
pub struct Arguments {
    /// The computation's name, or the first word of it (`trace` for `trace-width`).
    name: Option<String>,
    /// Values with their units, and the words that say what they are for.
    #[arg(allow_negative_numbers = true)]
    values: Vec<String>,
    /// How to print the answer.
    #[arg(long, value_enum, value_name = "FORM", default_value_t = Form::Text)]
    output: Form,
    /// When to colour what is printed.
    #[arg(long, value_enum, value_name = "WHEN", default_value_t = Color::Auto)]
    color: Color,
}

const EXAMPLES: &str = "\
Examples:
  retin work                                            list all
  retin work life                                       explain one
  retin work life 2000h 105C at 65C
  retin work discharge 220uF 350V through 100kohm to 50V
  retin work corner 10k 10nF
  retin work jumper 0.5mm 120mm 2A
  retin work trace 1A 10C
  retin work preferred 319ohm E24

Exit status: 0 answered, 1 a value lies where the formula is not valid, 2 not understood.";

/// How to print the answer.
#[derive(ValueEnum, Clone, Copy, PartialEq, Eq, Debug)]
enum Form {
    /// For a person.
    Text,
    /// For programs; described in syntax/work.md.
    Json,
}

/// Lists, explains or computes.
///
/// # Errors
/// When standard output cannot be written.
pub fn run(arguments: &Arguments) -> io::Result<Status> {
    let colored = arguments.color.on_output();
    let Some(name) = &arguments.name else {
        let all: Vec<&Computation> = computations().collect();
        return print(&match arguments.output {
            Form::Text => text::list(&all, colored),
            Form::Json => json::explained(&all)?,
        });
    };
    let candidates = named(&name.to_lowercase());
    if candidates.is_empty() {
        complain(&unknown(name));
        return Ok(Status::Failed);
    }
    if arguments.values.is_empty() {
        return print(&match (arguments.output, candidates.as_slice()) {
            (Form::Text, [only]) => text::page(only, colored),
            (Form::Text, several) => text::list(several, colored),
            (Form::Json, several) => json::explained(several)?,
        });
    }
    let asked = match ask(&candidates, &arguments.values.join(" ")) {
        Ok(asked) => asked,
        Err(trouble) => {
            complain(&in_words(&trouble, name));
            return Ok(Status::Failed);
        }
    };
    match asked.run() {
        Ok(outputs) => print(&match arguments.output {
            Form::Text => text::answer(&asked, &outputs, colored),
            Form::Json => json::answer(&asked, &outputs)?,
        }),
        Err(refusal) => {
            let (message, status) = text::refused(&asked, &refusal);
            complain(&message);
            Ok(status)
        }
    }
}

fn print(text: &str) -> io::Result<Status> {
    io::stdout().write_all(text.as_bytes())?;
    Ok(Status::Fine)
}

/// What was not understood, and how the computation may be asked for.
fn in_words(trouble: &Misunderstanding, name: &str) -> String {
    match trouble.example() {
        Some(example) => format!("{trouble}\nfor example: retin work {example}"),
        None => format!("{trouble}\n`retin work {name}` explains what it takes"),
    }
}

fn unknown(name: &str) -> String {
    let near = computations()
        .map(|computation| {
            let likeness = strsim::jaro_winkler(computation.name, name);
            (likeness, computation.name)
        })
        .filter(|(likeness, _)| *likeness > 0.75)
        .max_by(|one, other| one.0.total_cmp(&other.0));
    match near {
        Some((_, near)) => format!("there is no computation `{name}`; is `{near}` meant?"),
        None => format!("there is no computation `{name}`; `retin work` lists them all"),
    }
}
