//! What is left as a person reads it.

use super::Printed;
use super::bar;
use crate::check::found::Texts;
use crate::one_job::Names;
use crate::terminal::{HEADING, NAME, harmless, styled};
use retin::time::left::{BoardLeft, How, StepLeft};
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
    let words = printed.words;
    let row = |board: &BoardLeft| {
        let mut below = words.beside(board);
        if !board.left.is_empty() {
            below.push(format!("left: {}", words.work(&board.left)));
        }
        Row {
            name: words.copies(&board.copies),
            done: board.done.len(),
            all: board.work(),
            says: words.done(board),
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
    let words = printed.words;
    let row = |step: &StepLeft| {
        let done = step.progress.done.len();
        let mut below = Vec::new();
        if step.how == How::Begun {
            below.push(format!("left: {}", words.pieces(step)));
            let waits = words.waits_for(step);
            if !waits.is_empty() {
                below.push(format!("still to come first: {waits}"));
            }
        }
        Row {
            name: words.step(step.step).to_owned(),
            done,
            all: done + step.progress.left.len(),
            says: words.state(step),
            below,
        }
    };
    let all: Vec<Row> = printed.left.steps.iter().map(row).collect();
    rows(&all, look, out)
}

fn accidents(
    printed: &Printed<'_, '_>,
    names: Names<'_>,
    look: Look,
    out: &mut dyn Write,
) -> io::Result<()> {
    if printed.replay.accidents.is_empty() {
        return Ok(());
    }
    title("Accidents", look, out)?;
    let open = &printed.left.accidents;
    writeln!(out, "  {}", printed.words.accidents(open.len()))?;
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
            printed.words.accident(record),
            printed.words.status(record),
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
    writeln!(out, "  spent: {}", hours.spent_in_words())?;
    writeln!(out, "  to go: {}", hours.to_go_in_words())
}
