//! What is left as a person reads it.

use super::Printed;
use super::bar;
use crate::check::found::Texts;
use crate::one_job::Names;
use crate::terminal::{HEADING, NAME, harmless, styled};
use retin::time::left::{BoardLeft, How, StepLeft};
use retin::time::minutes::in_words;
use retin_syntax::value::Decimal;
use std::io::{self, Write};

/// How it is printed.
#[derive(Clone, Copy, Debug)]
pub(super) struct Look {
    /// Whether in colour.
    pub(super) colored: bool,
    /// Characters a line holds; none where the output is no terminal.
    pub(super) width: Option<usize>,
    /// Whether the terminal shows plain characters only.
    pub(super) is_plain: bool,
}

/// Prints everything that is left.
pub(super) fn print(
    printed: &Printed<'_, '_>,
    names: Names<'_>,
    look: Look,
    out: &mut dyn Write,
) -> io::Result<()> {
    let job = printed.job;
    let heading = format!("job {} {}", job.number, job.title);
    let heading = styled(&harmless(heading.trim_end()), HEADING, look.colored);
    writeln!(out, "{heading}; stage {}", printed.case.stage)?;
    boards(printed, look, out)?;
    steps(printed, look, out)?;
    accidents(printed, names, look, out)?;
    readings(printed, look, out)?;
    hours(printed, look, out)
}

fn title(text: &str, look: Look, out: &mut dyn Write) -> io::Result<()> {
    writeln!(out)?;
    writeln!(out, "{}", styled(text, HEADING, look.colored))
}

/// A line with a name, a bar where there is room for one, and what is to be said.
struct Row {
    name: String,
    done: usize,
    all: usize,
    says: String,
    below: Vec<String>,
}

fn rows(rows: &[Row], look: Look, out: &mut dyn Write) -> io::Result<()> {
    let wide = |text: &dyn Fn(&Row) -> usize| rows.iter().map(text).max().unwrap_or(0);
    let name_width = wide(&|row| row.name.chars().count());
    let says_width = wide(&|row| row.says.chars().count());
    let texts = name_width + says_width + 6;
    let bar_width = look.width.and_then(|width| bar::width(width, texts));
    for row in rows {
        let name = styled(
            &format!("{:name_width$}", harmless(&row.name)),
            NAME,
            look.colored,
        );
        let bar = bar_width.map_or(String::new(), |width| {
            format!("{}  ", bar::bar(width, row.done, row.all, look.is_plain))
        });
        let line = format!("  {name}  {bar}{}", harmless(&row.says));
        writeln!(out, "{}", line.trim_end())?;
        for below in &row.below {
            set_in(&harmless(below), name_width + 4, look, out)?;
        }
    }
    Ok(())
}

/// Prints a text below a name; on a terminal it is broken between words.
fn set_in(text: &str, indent: usize, look: Look, out: &mut dyn Write) -> io::Result<()> {
    let room = look.width.map(|width| width.saturating_sub(indent).max(20));
    let mut line = String::new();
    for word in text.split(' ') {
        let is_over = room.is_some_and(|room| {
            !line.is_empty() && line.chars().count() + 1 + word.chars().count() > room
        });
        if is_over {
            writeln!(out, "{:indent$}{line}", "")?;
            line.clear();
        } else if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    writeln!(out, "{:indent$}{line}", "")
}

fn boards(printed: &Printed<'_, '_>, look: Look, out: &mut dyn Write) -> io::Result<()> {
    title("Boards", look, out)?;
    if printed.left.boards.is_empty() {
        return writeln!(out, "  the plan works on no part");
    }
    let row = |board: &BoardLeft| {
        let (done, all) = (board.done.len(), board.work());
        let each = if board.copies.len() > 1 { " each" } else { "" };
        let parts = if all == 1 { "part" } else { "parts" };
        let says = if board.left.is_empty() {
            format!("all of {all} {parts} done{each}")
        } else {
            format!("{done} of {all} {parts} done{each}")
        };
        let mut below = printed.beside(board);
        if !board.left.is_empty() {
            below.push(format!("left: {}", printed.work(&board.left)));
        }
        Row {
            name: printed.copies(&board.copies),
            done,
            all,
            says,
            below,
        }
    };
    let all: Vec<Row> = printed.left.boards.iter().map(row).collect();
    rows(&all, look, out)
}

fn steps(printed: &Printed<'_, '_>, look: Look, out: &mut dyn Write) -> io::Result<()> {
    title("Steps", look, out)?;
    if printed.left.steps.is_empty() {
        return writeln!(out, "  the job has no steps");
    }
    let row = |step: &StepLeft| {
        let done = step.progress.done.len();
        let all = done + step.progress.left.len();
        let time = time(step);
        let mut below = Vec::new();
        let waits = printed.waits_for(step);
        let says = match step.how {
            How::Done => "done".to_owned(),
            How::Begun => format!("{done} of {all} done; {time} to go"),
            How::Free => format!("can begin; {time}"),
            How::Waits => format!("waits for {waits}; {time}"),
        };
        if step.how == How::Begun {
            below.push(format!("left: {}", printed.pieces(step)));
            if !waits.is_empty() {
                below.push(format!("still to come first: {waits}"));
            }
        }
        Row {
            name: printed.step(step.step).to_owned(),
            done,
            all,
            says,
            below,
        }
    };
    let all: Vec<Row> = printed.left.steps.iter().map(row).collect();
    rows(&all, look, out)
}

/// What is left of a step's time.
fn time(step: &StepLeft) -> String {
    match &step.missing {
        Some(_) if step.seconds.is_zero() => "its time is not known".to_owned(),
        Some(_) => format!("more than {}", in_words(step.seconds)),
        None => format!("about {}", in_words(step.seconds)),
    }
}

fn accidents(
    printed: &Printed<'_, '_>,
    names: Names<'_>,
    look: Look,
    out: &mut dyn Write,
) -> io::Result<()> {
    let all = printed.replay.accidents.len();
    if all == 0 {
        return Ok(());
    }
    title("Accidents", look, out)?;
    let open = &printed.left.accidents;
    match (open.len(), all) {
        (0, 1) => writeln!(out, "  the one that happened is repaired and proven")?,
        (0, _) => writeln!(out, "  all {all} are repaired and proven")?,
        (open, _) => writeln!(out, "  {open} of {all} open")?,
    }
    let texts = Texts::default();
    for accident in open {
        let record = &printed.replay.accidents[*accident];
        let at = printed.job.log.get(record.entry).map(|entry| {
            let spot = texts.spot(printed.case, entry.origin);
            let line = spot.text.position(spot.span.start).line;
            format!("  {}:{line}", names.of(&spot.text.path))
        });
        let text = format!(
            "{}. {}: {}{}",
            record.number,
            printed.accident(record),
            printed.status(record),
            at.unwrap_or_default()
        );
        writeln!(out, "  {}", harmless(&text))?;
    }
    Ok(())
}

fn readings(printed: &Printed<'_, '_>, look: Look, out: &mut dyn Write) -> io::Result<()> {
    if printed.job.targets.is_empty() {
        return Ok(());
    }
    title("Readings", look, out)?;
    let wanted = &printed.left.readings;
    if wanted.is_empty() {
        return writeln!(out, "  every target has its reading");
    }
    let texts: Vec<String> = wanted.iter().map(|one| one.in_words(printed.job)).collect();
    let text = format!("missing: {}", texts.join("; "));
    set_in(&harmless(&text), 2, look, out)
}

fn hours(printed: &Printed<'_, '_>, look: Look, out: &mut dyn Write) -> io::Result<()> {
    title("Hours", look, out)?;
    let hours = printed.left.hours;
    let spent = in_words(Decimal::from(hours.spent) * Decimal::from(60));
    if hours.spent == 0 {
        writeln!(out, "  spent: the log shows none")?;
    } else {
        writeln!(out, "  spent: {spent} between entries of the log")?;
    }
    let Some(to_go) = hours.to_go else {
        return writeln!(out, "  to go: not known, since the job has no steps");
    };
    let text = match (to_go.is_zero(), hours.unknown) {
        (true, 0) => "none".to_owned(),
        (false, 0) => format!("about {}", in_words(to_go)),
        (_, 1) => format!(
            "more than {}; the time of 1 step is not known whole",
            in_words(to_go)
        ),
        (_, count) => format!(
            "more than {}; the times of {count} steps are not known whole",
            in_words(to_go)
        ),
    };
    writeln!(out, "  to go: {text}")
}
