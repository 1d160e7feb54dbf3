//! A gate's answer as a person reads it.

use crate::check::found::Texts;
use crate::one_job::Names;
use crate::terminal::{HEADING, NAME, harmless, styled};
use clap::builder::styling::AnsiColor;
use retin::meaning::Case;
use retin::sources::Origin;
use retin::time::gate::{Gate, Obstacle, Verdict, behind};
use std::io::{self, Write};

/// Most facts that are named for want of which something was not checked.
const MOST_MISSING: usize = 10;
/// Most second places that are named for one obstacle.
const MOST_RELATED: usize = 3;

/// Prints the answer: the verdict is its first word.
pub(super) fn print(
    case: &Case<'_>,
    gate: &Gate,
    names: Names<'_>,
    colored: bool,
    out: &mut dyn Write,
) -> io::Result<()> {
    let style = match gate.verdict {
        Verdict::Go => AnsiColor::Green.on_default().bold(),
        Verdict::NoGo => AnsiColor::Red.on_default().bold(),
    };
    let verdict = styled(gate.verdict.word(), style, colored);
    writeln!(out, "{verdict}  {}", harmless(&heading(case, gate)))?;
    writeln!(out)?;
    let behind = behind(gate.stage);
    match gate.obstacles.len() {
        0 => writeln!(
            out,
            "Nothing that was checked stands in the way of {behind}."
        )?,
        1 => writeln!(out, "1 thing stands in the way of {behind}:")?,
        count => writeln!(out, "{count} things stand in the way of {behind}:")?,
    }
    let texts = Texts::default();
    let place = |origin: Origin| {
        let spot = texts.spot(case, origin);
        let line = spot.text.position(spot.span.start).line;
        format!("{}:{line}", names.of(&spot.text.path))
    };
    for (index, obstacle) in gate.obstacles.iter().enumerate() {
        writeln!(out)?;
        // What several have in common is said below the last of them.
        let is_alike = gate.obstacles.get(index + 1).is_some_and(|next| {
            next.name == obstacle.name
                && next.fault.consequence == obstacle.fault.consequence
                && next.fault.remedy == obstacle.fault.remedy
        });
        print_obstacle(index + 1, obstacle, !is_alike, &place, colored, out)?;
    }
    writeln!(out)?;
    counts(gate, out)?;
    elsewhere(case, gate, names, out)?;
    if !gate.cautions.is_empty() {
        writeln!(out)?;
    }
    for caution in &gate.cautions {
        writeln!(out, "{} {caution}.", styled("Caution:", HEADING, colored))?;
    }
    if gate.verdict == Verdict::Go {
        writeln!(out)?;
        let not_checked = gate.sum(|tally| tally.not_checked);
        let rest = match not_checked {
            0 => "What nobody wrote down was not looked at.".to_owned(),
            1 => "1 check was not made, for want of a fact.".to_owned(),
            count => format!("{count} checks were not made, for want of facts."),
        };
        writeln!(
            out,
            "GO means that nothing which was checked stands in the way, and no more. {rest}\n\
             It does not say that the unit is safe.",
        )?;
    }
    Ok(())
}

fn heading(case: &Case<'_>, gate: &Gate) -> String {
    let mut text = format!("gate {}", gate.stage);
    if let Some(job) = &case.job {
        text.push_str(&format!("; job {}", job.number));
        if !job.title.is_empty() {
            text.push_str(&format!(", {}", job.title));
        }
    }
    if case.stage > gate.stage {
        text.push_str(&format!("; the log is at stage {} already", case.stage));
    }
    text
}

fn print_obstacle(
    number: usize,
    obstacle: &Obstacle,
    is_whole: bool,
    place: &dyn Fn(Origin) -> String,
    colored: bool,
    out: &mut dyn Write,
) -> io::Result<()> {
    let fault = &obstacle.fault;
    writeln!(
        out,
        "{number}. {}  [{}]",
        harmless(&sentence(&fault.fact, &obstacle.subject)),
        styled(obstacle.name, NAME, colored),
    )?;
    writeln!(out, "   {}", harmless(&place(fault.origin)))?;
    for label in fault.related.iter().take(MOST_RELATED) {
        let at = place(label.origin);
        writeln!(out, "   {}  {}", harmless(&at), harmless(&label.text))?;
    }
    if !is_whole {
        return Ok(());
    }
    writeln!(out, "   {}.", harmless(&sentence(&fault.consequence, "")))?;
    writeln!(out, "   {}.", harmless(&sentence(&fault.remedy, "")))
}

/// A sentence with a capital, unless it begins with a name.
fn sentence(text: &str, subject: &str) -> String {
    let first_word = text.split(' ').next().unwrap_or_default();
    let is_name = !subject.is_empty() && text.starts_with(subject);
    let first_word = first_word.trim_end_matches([',', ':']);
    if is_name || !first_word.bytes().all(|byte| byte.is_ascii_lowercase()) {
        return text.to_owned();
    }
    let mut text = text.to_owned();
    if let Some(first) = text.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    text
}

fn counts(gate: &Gate, out: &mut dyn Write) -> io::Result<()> {
    let accepted = gate.sum(|tally| tally.accepted);
    writeln!(
        out,
        "Checked: {} passed{}, {} not checked",
        gate.sum(|tally| tally.passed),
        if accepted > 0 {
            format!(", {accepted} accepted in writing")
        } else {
            String::new()
        },
        gate.sum(|tally| tally.not_checked),
    )?;
    for missing in gate.missing.iter().take(MOST_MISSING) {
        let example = if missing.example.is_empty() {
            String::new()
        } else {
            format!(", e.g. {}", missing.example)
        };
        let text = format!("not checked: {} × {}{example}", missing.count, missing.fact);
        writeln!(out, "  {}", harmless(&text))?;
    }
    let others = gate.missing.iter().skip(MOST_MISSING);
    let others: u32 = others.map(|missing| missing.count).sum();
    if others > 0 {
        writeln!(out, "  not checked: {others} more, for want of other facts")?;
    }
    Ok(())
}

/// What was found and stands in the way of nothing yet.
fn elsewhere(
    case: &Case<'_>,
    gate: &Gate,
    names: Names<'_>,
    out: &mut dyn Write,
) -> io::Result<()> {
    let mut kinds = Vec::new();
    match gate.later {
        0 => {}
        1 => kinds.push("1 thing that a later gate asks about".to_owned()),
        count => kinds.push(format!("{count} things that a later gate asks about")),
    }
    match gate.notes {
        0 => {}
        1 => kinds.push("1 question".to_owned()),
        count => kinds.push(format!("{count} questions")),
    }
    if kinds.is_empty() {
        return Ok(());
    }
    writeln!(
        out,
        "Found besides: {}; see retin check --stage {} {}",
        kinds.join(" and "),
        gate.stage,
        harmless(&names.of(&case.sources.file(case.root).path))
    )
}
