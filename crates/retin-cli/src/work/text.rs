//! Computations and answers for a person.

use crate::Status;
use crate::terminal::{HEADING, NAME, styled};
use retin::physics::asking::{Asked, example, needed, usual};
use retin::physics::catalogue::{Computation, Given, InputKind, Need, Output, Refusal};
use retin::physics::units::with_prefix;

/// The width of the words that stand before the facts of a computation.
const FACT: usize = 8;

/// One line a computation, in columns.
pub fn list(computations: &[&Computation], colored: bool) -> String {
    let width = computations
        .iter()
        .map(|computation| computation.name.len())
        .max()
        .unwrap_or(0);
    let mut text = String::new();
    for computation in computations {
        let name = styled(&format!("{:width$}", computation.name), NAME, colored);
        text.push_str(&format!("{name}  {}\n", computation.summary));
    }
    text
}

/// What a computation takes and gives, and where it comes from.
pub fn page(computation: &Computation, colored: bool) -> String {
    let mut text = format!(
        "{} – {}\n\nTakes\n",
        styled(computation.name, HEADING, colored),
        computation.summary
    );
    let rows: Vec<(&str, String, String)> = computation
        .inputs
        .iter()
        .map(|input| {
            let before = match input.lead {
                Some(lead) => format!("after `{lead}`"),
                None => String::new(),
            };
            let mut what = needed(input);
            match usual(input) {
                Some(usual) => what.push_str(&format!("; {usual} where nothing is said")),
                None if input.need == Need::Optional => what.push_str("; may be left out"),
                None => {}
            }
            (input.name, before, what)
        })
        .collect();
    let names = rows.iter().map(|row| row.0.len()).max().unwrap_or(0);
    let leads = rows
        .iter()
        .map(|row| row.1.chars().count())
        .max()
        .unwrap_or(0);
    for (name, before, what) in &rows {
        let line = if leads == 0 {
            format!("  {name:names$}  {what}\n")
        } else {
            format!("  {name:names$}  {before:leads$}  {what}\n")
        };
        text.push_str(&line);
    }
    text.push_str("\nGives\n");
    let mut given: Vec<&str> = computation.outputs.iter().map(|field| field.name).collect();
    given.dedup();
    text.push_str(&format!("  {}\n\n", given.join(", ")));
    text.push_str(&facts(computation, computation.cautions, colored));
    text.push_str(&fact(
        "Example",
        &format!("retin work {}", example(computation)),
        colored,
    ));
    text
}

/// The results, what they were computed from, and where the formula comes from.
pub fn answer(asked: &Asked, outputs: &[Output], colored: bool) -> String {
    let width = outputs
        .iter()
        .map(|output| output.name.len())
        .max()
        .unwrap_or(0);
    let mut text = String::new();
    for output in outputs {
        let value = plain_spaces(&output.value.to_string());
        let value = styled(&value, HEADING, colored);
        text.push_str(&format!("{:width$}  {value}\n", output.name));
    }
    let taken: Vec<String> = asked
        .taken
        .iter()
        .map(|taken| {
            let value = match &taken.value {
                Given::Word(word) => word.to_string(),
                Given::Number(number) => with_prefix(*number, unit(taken.input.kind)),
            };
            let usual = if taken.stands_in { " (usual)" } else { "" };
            format!("{} {}{usual}", taken.input.name, plain_spaces(&value))
        })
        .collect();
    text.push('\n');
    text.push_str(&fact("From", &taken.join(", "), colored));
    text.push_str(&facts(asked.computation, &asked.cautions(), colored));
    text
}

/// Why there is no answer, and what the command leaves with: a value outside of
/// the formula is [`Status::Found`], anything else wrong use.
pub fn refused(asked: &Asked, refusal: &Refusal) -> (String, Status) {
    let computation = asked.computation;
    let refused = plain_spaces(&refusal.to_string());
    match refusal {
        Refusal::OutOfValidity(_) => (
            format!(
                "{}: no answer, {refused}\nvalid: {}",
                computation.name, computation.validity
            ),
            Status::Found,
        ),
        _ => (
            format!(
                "{}: {refused}\nfor example: retin work {}",
                computation.name,
                example(computation)
            ),
            Status::Failed,
        ),
    }
}

fn facts(computation: &Computation, cautions: &[&str], colored: bool) -> String {
    let mut text = fact("Formula", computation.formula, colored);
    text.push_str(&fact("Source", computation.source, colored));
    text.push_str(&fact("Valid", computation.validity, colored));
    for caution in cautions {
        text.push_str(&fact("Caution", caution, colored));
    }
    text
}

fn fact(name: &str, text: &str, colored: bool) -> String {
    let name = styled(&format!("{name:FACT$}"), NAME, colored);
    format!("{name} {text}\n")
}

/// The unit of the numbers of an input; nothing where they are plain.
pub(super) fn unit(kind: InputKind) -> &'static str {
    match kind {
        InputKind::Quantity(dimension) => dimension.unit(),
        InputKind::Whole | InputKind::Word(_) => "",
    }
}

/// Spaces that may be searched for and copied like any other.
fn plain_spaces(text: &str) -> String {
    text.replace('\u{a0}', " ")
}
