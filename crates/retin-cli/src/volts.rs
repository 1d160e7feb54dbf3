//! `retin volts`: what potential each net comes to, and what to read at the targets.

use crate::Status;
use crate::one_job;
use crate::output::Output;
use crate::terminal::{Color, HEADING, harmless, styled};
use retin::meaning::Case;
use retin::operating_point::{Expected, Reach, Reading, Row, readings, rows};
use retin::potentials::Basis;
use retin_syntax::value::{Decimal, Dimension, Quantity};
use serde::Serialize;
use std::io::{self, Write};
use std::path::PathBuf;

/// Show the voltage of every net, and the readings to expect at the targets.
///
/// What a rail states is shown as it is. Other nets are solved from the parts
/// that the model sheet writes down, over all their tolerances and the travel
/// of every control; where something is missing for that, it says what.
#[derive(clap::Args, Debug)]
#[command(after_help = EXAMPLES)]
pub struct Arguments {
    /// A job, or a model sheet.
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// How to print the table.
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
  retin volts models/lm8.retin
  retin volts --output json jobs/26-031.retin > volts.json";

/// Solves one file and prints the table.
///
/// # Errors
/// When there is no current folder, `--root` cannot be reached, or standard
/// output cannot be written.
pub fn run(arguments: &Arguments) -> io::Result<Status> {
    one_job::with_case(
        &arguments.file,
        arguments.root.as_deref(),
        |case, _, out| {
            match arguments.output {
                Output::Text => text(case, arguments.color.on_output(), out)?,
                Output::Json => json(case, out)?,
            }
            Ok(Status::Fine)
        },
    )
}

/// Significant digits that are printed.
const DIGITS: u32 = 4;

fn volts(volts: Decimal) -> String {
    let rounded = volts.round_sf(DIGITS).unwrap_or(volts).normalize();
    Quantity::new(rounded, Dimension::Voltage).to_string()
}

fn text(case: &Case<'_>, colored: bool, out: &mut dyn Write) -> io::Result<()> {
    let rows = rows(case);
    if rows.is_empty() {
        return writeln!(
            out,
            "no net is written down in this file or in what it uses"
        );
    }
    let nets = std::iter::once(["net", "volts", "least", "most", "by"].map(str::to_owned))
        .chain(rows.iter().map(|row| net_line(case, row)))
        .collect::<Vec<_>>();
    table(&nets, colored, out)?;
    let readings = readings(case);
    if !readings.is_empty() {
        writeln!(out)?;
        let headings = ["target", "expect", "least", "most", "by"].map(str::to_owned);
        let targets = std::iter::once(headings)
            .chain(readings.iter().map(target_line))
            .collect::<Vec<_>>();
        table(&targets, colored, out)?;
    }
    let is_solved = |row: &Row| matches!(row.potential, Ok((_, Basis::Solved)));
    if rows.iter().any(is_solved) {
        writeln!(out, "\n{LIMITS}")?;
    }
    Ok(())
}

/// What a reader has to know of a solved potential.
const LIMITS: &str = "\
Solved potentials are against ground, with nothing plugged in and no signal;
least and most are over the tolerances of parts and rails and the travel of
controls. Junctions are generic: allow some tens of millivolts for each.";

fn net_line(case: &Case<'_>, row: &Row) -> [String; 5] {
    let name = format!("{}.{}", row.board, row.net);
    match &row.potential {
        Ok((reach, Basis::Rail)) => line(name, reach, "rail"),
        Ok((reach, Basis::Solved)) => line(name, reach, "circuit"),
        Err(why) => unknown(name, &why.in_words(case)),
    }
}

fn target_line(reading: &Reading) -> [String; 5] {
    let name = reading.point.clone();
    match &reading.expected {
        Expected::Solved(reach) => line(name, reach, "circuit"),
        Expected::Unknown(why) => unknown(name, why),
        Expected::Stated(stated) => [
            name,
            String::new(),
            String::new(),
            String::new(),
            format!("target: {stated}"),
        ],
    }
}

fn line(name: String, reach: &Reach, by: &str) -> [String; 5] {
    [
        name,
        volts(reach.nominal),
        volts(reach.low),
        volts(reach.high),
        by.to_owned(),
    ]
}

fn unknown(name: String, why: &str) -> [String; 5] {
    [
        name,
        "?".into(),
        String::new(),
        String::new(),
        format!("not known: {why}"),
    ]
}

/// Prints lines in columns; the first is the heading.
fn table(lines: &[[String; 5]], colored: bool, out: &mut dyn Write) -> io::Result<()> {
    let width = |column: usize| {
        let widths = lines.iter().map(|line| line[column].chars().count());
        widths.max().unwrap_or(0)
    };
    let widths: [usize; 4] = std::array::from_fn(width);
    for (index, line) in lines.iter().enumerate() {
        let [name, nominal, low, high, by] = line;
        let [first, second, third, fourth] = widths;
        let text =
            format!("{name:first$}  {nominal:>second$}  {low:>third$}  {high:>fourth$}  {by}");
        let text = harmless(text.trim_end());
        writeln!(out, "{}", styled(&text, HEADING, colored && index == 0))?;
    }
    Ok(())
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Document {
    version: u32,
    nets: Vec<NetValue>,
    targets: Vec<TargetValue>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct NetValue {
    board: String,
    net: String,
    known_by: &'static str,
    #[serde(flatten)]
    volts: Option<VoltsValue>,
    #[serde(skip_serializing_if = "Option::is_none")]
    why: Option<String>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct TargetValue {
    point: String,
    known_by: &'static str,
    #[serde(flatten)]
    volts: Option<VoltsValue>,
    #[serde(skip_serializing_if = "Option::is_none")]
    why: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    stated: Option<String>,
}

/// Exact decimal numbers, in volts, as text.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct VoltsValue {
    volts: String,
    least: String,
    most: String,
}

impl From<&Reach> for VoltsValue {
    fn from(reach: &Reach) -> Self {
        let text = |volts: Decimal| volts.normalize().to_string();
        VoltsValue {
            volts: text(reach.nominal),
            least: text(reach.low),
            most: text(reach.high),
        }
    }
}

fn json(case: &Case<'_>, out: &mut dyn Write) -> io::Result<()> {
    let nets = rows(case).into_iter().map(|row| match &row.potential {
        Ok((reach, basis)) => NetValue {
            board: row.board,
            net: row.net,
            known_by: match basis {
                Basis::Rail => "rail",
                Basis::Solved => "solved",
            },
            volts: Some(reach.into()),
            why: None,
        },
        Err(why) => NetValue {
            why: Some(why.in_words(case)),
            board: row.board,
            net: row.net,
            known_by: "unknown",
            volts: None,
        },
    });
    let targets = readings(case).into_iter().map(|reading| {
        let (known_by, volts, why, stated) = match reading.expected {
            Expected::Solved(reach) => ("solved", Some((&reach).into()), None, None),
            Expected::Unknown(why) => ("unknown", None, Some(why), None),
            Expected::Stated(stated) => ("stated", None, None, Some(stated)),
        };
        TargetValue {
            point: reading.point,
            known_by,
            volts,
            why,
            stated,
        }
    });
    let document = Document {
        version: 1,
        nets: nets.collect(),
        targets: targets.collect(),
    };
    serde_json::to_writer_pretty(&mut *out, &document)?;
    writeln!(out)
}
