//! `retin explain`: the page of a rule, or the list of all rules.

use crate::Status;
use crate::terminal::{Color, HEADING, NAME, complain, styled};
use retin::rules::{RULES, Rule, find};
use std::io::{self, Write as _};

/// Explain a rule: why it matters, what trips it, what to do.
///
/// Without a rule, all rules are listed, each with the stage from which its
/// findings are errors; before that they are warnings.
#[derive(clap::Args, Debug)]
#[command(after_help = "Examples:\n  retin explain\n  retin explain polarity-reversed")]
pub struct Arguments {
    /// The rule's name, as it stands in brackets in a finding.
    rule: Option<String>,
    /// When to colour what is printed.
    #[arg(long, value_enum, value_name = "WHEN", default_value_t = Color::Auto)]
    color: Color,
}

/// Prints the page or the list.
///
/// # Errors
/// When standard output cannot be written.
pub fn run(arguments: &Arguments) -> io::Result<Status> {
    let colored = arguments.color.on_output();
    let text = match &arguments.rule {
        None => list(colored),
        Some(name) => match find(name) {
            Some(rule) => page(rule, colored),
            None => {
                complain(&unknown(name));
                return Ok(Status::Failed);
            }
        },
    };
    io::stdout().write_all(text.as_bytes())?;
    Ok(Status::Fine)
}

fn list(colored: bool) -> String {
    let width =
        |text: fn(&Rule) -> &str| RULES.iter().map(|rule| text(rule).len()).max().unwrap_or(0);
    let (names, stages) = (width(|rule| rule.name), width(|rule| rule.at.word()));
    let mut text = String::new();
    for rule in RULES {
        let name = styled(&format!("{:names$}", rule.name), NAME, colored);
        text.push_str(&format!(
            "{name}  {:stages$}  {}\n",
            rule.at.word(),
            rule.summary
        ));
    }
    text
}

/// The page as it reads on a terminal: headings without their marks, examples
/// set in.
fn page(rule: &Rule, colored: bool) -> String {
    let mut text = String::new();
    let mut in_example = false;
    for line in rule.page.lines() {
        if line.starts_with("```") {
            in_example = !in_example;
        } else if in_example {
            if !line.is_empty() {
                text.push_str("    ");
            }
            text.push_str(line);
            text.push('\n');
        } else if let Some(heading) = line.strip_prefix("# ") {
            text.push_str(&styled(heading, HEADING, colored));
            text.push_str(&format!(" – an error {}\n", rule.at.phrase()));
        } else if let Some(heading) = line.strip_prefix("## ") {
            text.push_str(&styled(heading, HEADING, colored));
            text.push('\n');
        } else {
            text.push_str(line);
            text.push('\n');
        }
    }
    text
}

fn unknown(name: &str) -> String {
    let near = RULES
        .iter()
        .map(|rule| (strsim::jaro_winkler(rule.name, name), rule.name))
        .filter(|(likeness, _)| *likeness > 0.75)
        .max_by(|one, other| one.0.total_cmp(&other.0));
    match near {
        Some((_, near)) => format!("there is no rule `{name}`; is `{near}` meant?"),
        None => format!("there is no rule `{name}`; `retin explain` lists them all"),
    }
}
