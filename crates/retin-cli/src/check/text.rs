//! Findings as a person reads them, with the lines they lie in.

use super::found::{Checked, Found, Outcome, Spot, Text};
use super::workspace::Workspace;
use crate::select::shown;
use crate::terminal::{HEADING, harmless, styled};
use ariadne::{Color, Config, IndexType, Label, Report, ReportKind, Source};
use clap::builder::styling::AnsiColor;
use retin::finding::Severity;
use retin_syntax::Span;
use std::collections::BTreeMap;
use std::fmt;
use std::io::{self, Write};
use std::ops::Range;
use std::path::Path;
use std::sync::Arc;

/// How much is printed, and how.
#[derive(Clone, Copy, Debug)]
pub struct Look {
    /// Whether in colour.
    pub colored: bool,
    /// Whether notes are shown.
    pub with_notes: bool,
    /// Whether the counts are shown.
    pub with_summary: bool,
}

/// Most facts that are named for want of which something was not checked.
const MOST_MISSING: usize = 3;
/// Most files that are named for one finding.
const MOST_FILES: usize = 3;

/// Prints everything.
///
/// # Errors
/// When the output cannot be written.
pub fn print(
    outcome: &Outcome,
    workspace: &Workspace,
    here: &Path,
    look: Look,
    out: &mut impl Write,
) -> io::Result<()> {
    let name = |path: &str| harmless(&shown(&workspace.root.join(path), here));
    let mut files = Files {
        name: &name,
        sources: Vec::new(),
    };
    let is_shown = |found: &&Found| look.with_notes || found.severity > Severity::Note;
    for found in outcome.found.iter().filter(is_shown) {
        print_finding(found, outcome, &mut files, look, out)?;
        writeln!(out)?;
    }
    if !look.with_summary {
        return Ok(());
    }
    if let Some(first) = outcome.found.iter().find(is_shown) {
        writeln!(out, "More on a rule: retin explain {}\n", first.rule)?;
    }
    for checked in &outcome.checked {
        print_tally(checked, &name(&checked.path), look, out)?;
    }
    if !outcome.checked.is_empty() {
        writeln!(out)?;
    }
    // Of what could not be read nothing is counted: it would look as if nothing were wrong.
    if outcome.unreadable.is_empty() || !outcome.checked.is_empty() {
        print_counts(outcome, look, out)?;
    }
    if workspace.is_guessed
        && outcome
            .found
            .iter()
            .any(|found| found.fact.contains("out of the workspace"))
    {
        writeln!(
            out,
            "The workspace is taken to be {}; name another folder with `--root`.",
            harmless(&shown(&workspace.root, here)),
        )?;
    }
    Ok(())
}

fn print_finding(
    found: &Found,
    outcome: &Outcome,
    files: &mut Files<'_>,
    look: Look,
    out: &mut impl Write,
) -> io::Result<()> {
    let (color, style) = match found.severity {
        Severity::Error => (Color::Red, AnsiColor::Red.on_default().bold()),
        Severity::Warning => (Color::Yellow, AnsiColor::Yellow.on_default().bold()),
        Severity::Note => (Color::Cyan, AnsiColor::Cyan.on_default().bold()),
    };
    let kind = format!("{}[{}]", found.severity.word(), found.rule);
    writeln!(
        out,
        "{}: {}",
        styled(&kind, style, look.colored),
        harmless(&sentence(found))
    )?;
    write_excerpt(found, color, files, look, out)?;
    let mut tail = |what: &str, text: &str| {
        let what = styled(what, HEADING, look.colored);
        writeln!(out, "  {what} {}", harmless(text))
    };
    tail("note:", &found.consequence)?;
    if let Some(jobs) = other_jobs(found, outcome, files.name) {
        tail("note:", &jobs)?;
    }
    tail("help:", &found.remedy)?;
    if let Some(fix) = &found.fix {
        tail("as an edit:", &fix.title)?;
    }
    Ok(())
}

/// The lines that a finding points at, and what stands there.
fn write_excerpt(
    found: &Found,
    color: Color,
    files: &mut Files<'_>,
    look: Look,
    out: &mut impl Write,
) -> io::Result<()> {
    let at = files.place(&found.at);
    // Lines of one file are drawn in one frame only where they come in order;
    // the file to mend is drawn first.
    let mut related: Vec<(bool, &str, u32, usize)> = found
        .related
        .iter()
        .enumerate()
        .map(|(index, (spot, _))| {
            let path = spot.text.path.as_str();
            (path != found.at.text.path, path, spot.span.start, index)
        })
        .collect();
    related.sort_unstable();
    let before = related
        .iter()
        .filter(|label| !label.0 && label.2 < found.at.span.start)
        .count();
    let mut labels = Vec::with_capacity(related.len() + 1);
    for (_, _, _, index) in related {
        let (spot, text) = &found.related[index];
        let place = files.place(spot);
        labels.push(
            Label::new(place)
                .with_color(Color::Blue)
                .with_message(harmless(text)),
        );
    }
    labels.insert(
        before,
        Label::new(at.clone())
            .with_color(color)
            .with_message("here"),
    );
    let labels = labels
        .into_iter()
        .enumerate()
        .map(|(order, label)| label.with_order(order as i32));
    let config = Config::default()
        .with_index_type(IndexType::Char)
        .with_color(look.colored)
        .with_tab_width(2);
    let mut excerpt = Vec::new();
    Report::build(ReportKind::Error, at)
        .with_config(config)
        .with_labels(labels)
        .finish()
        .write(&mut *files, &mut excerpt)?;
    // The library's own headline has no room for the rule's name in our form.
    for line in String::from_utf8_lossy(&excerpt).lines().skip(1) {
        writeln!(out, "{}", line.trim_end())?;
    }
    Ok(())
}

/// The sentence of fact with a capital, unless it begins with a name.
fn sentence(found: &Found) -> String {
    let fact = &found.fact;
    let first_word = fact.split(' ').next().unwrap_or_default();
    let is_name = !found.subject.is_empty() && fact.starts_with(&found.subject);
    if is_name || !first_word.bytes().all(|byte| byte.is_ascii_lowercase()) {
        return fact.clone();
    }
    let mut text = fact.clone();
    if let Some(first) = text.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    text
}

/// For which jobs a finding in a shared file was found, where that is a question.
fn other_jobs(found: &Found, outcome: &Outcome, name: &dyn Fn(&str) -> String) -> Option<String> {
    let paths: Vec<&String> = found
        .found_for
        .iter()
        .filter_map(|index| Some(&outcome.checked.get(*index)?.path))
        .collect();
    if outcome.checked.len() < 2 || paths.contains(&&found.at.text.path) {
        return None;
    }
    let mut text = String::from("found for ");
    let names: Vec<String> = paths
        .iter()
        .take(MOST_FILES)
        .map(|path| name(path))
        .collect();
    text.push_str(&names.join(", "));
    if paths.len() > MOST_FILES {
        text.push_str(&format!(" and {} more", paths.len() - MOST_FILES));
    }
    Some(text)
}

fn print_tally(checked: &Checked, path: &str, look: Look, out: &mut impl Write) -> io::Result<()> {
    write!(out, "{}", styled(path, HEADING, look.colored))?;
    if let Some((number, title)) = &checked.job {
        write!(out, "  job {}", harmless(number))?;
        if !title.is_empty() {
            write!(out, ", {}", harmless(title))?;
        }
        write!(out, "; stage {}", checked.stage)?;
    }
    let sum =
        |count: fn(&retin::check::Tally) -> u32| checked.tallies.iter().map(count).sum::<u32>();
    write!(
        out,
        "\n  checked {} on {}: {} passed, {} failed",
        counted(checked.tallies.len(), "rule"),
        counted(checked.places, "place"),
        sum(|tally| tally.passed),
        sum(|tally| tally.failed),
    )?;
    let accepted = sum(|tally| tally.accepted);
    if accepted > 0 {
        write!(out, ", {accepted} accepted")?;
    }
    writeln!(out, ", {} not checked", sum(|tally| tally.not_checked))?;
    let missing = missing(checked);
    for (fact, count, example) in missing.iter().take(MOST_MISSING) {
        write!(out, "  not checked: {count} × {}", harmless(fact))?;
        if example.is_empty() {
            writeln!(out)?;
        } else {
            writeln!(out, ", e.g. {}", harmless(example))?;
        }
    }
    let others: u32 = missing
        .iter()
        .skip(MOST_MISSING)
        .map(|missing| missing.1)
        .sum();
    if others > 0 {
        writeln!(out, "  not checked: {others} more, for want of other facts")?;
    }
    Ok(())
}

/// The facts that are missing over all rules, the most frequent first: the
/// fact, how often, one place.
fn missing(checked: &Checked) -> Vec<(&str, u32, &str)> {
    let mut facts: BTreeMap<&str, (u32, &str)> = BTreeMap::new();
    for missing in checked.tallies.iter().flat_map(|tally| &tally.missing) {
        let known = facts.entry(&missing.fact).or_insert((0, &missing.example));
        known.0 += missing.count;
    }
    let mut facts: Vec<(&str, u32, &str)> = facts
        .into_iter()
        .map(|(fact, (count, example))| (fact, count, example))
        .collect();
    facts.sort_by(|one, other| other.1.cmp(&one.1).then(one.0.cmp(other.0)));
    facts
}

fn print_counts(outcome: &Outcome, look: Look, out: &mut impl Write) -> io::Result<()> {
    let errors = outcome.count(Severity::Error);
    let warnings = outcome.count(Severity::Warning);
    let notes = outcome.count(Severity::Note);
    let mut line = format!(
        "{}, {}, {}",
        counted(errors, "error"),
        counted(warnings, "warning"),
        counted(notes, "note")
    );
    if notes > 0 && !look.with_notes {
        line.push_str(" (not shown)");
    }
    writeln!(out, "{}", styled(&line, HEADING, look.colored))
}

fn counted(count: usize, what: &str) -> String {
    if count == 1 {
        format!("1 {what}")
    } else {
        format!("{count} {what}s")
    }
}

/// A place as ariadne takes it: which file, and the bytes in it.
type Place = (usize, Range<usize>);

/// The files that were pointed at so far.
struct Files<'n> {
    name: &'n dyn Fn(&str) -> String,
    sources: Vec<(Arc<Text>, Source<String>)>,
}

impl Files<'_> {
    fn place(&mut self, spot: &Spot) -> Place {
        let known = self
            .sources
            .iter()
            .position(|(text, _)| Arc::ptr_eq(text, &spot.text));
        let index = known.unwrap_or_else(|| {
            self.sources
                .push((spot.text.clone(), Source::from(harmless(&spot.text.text))));
            self.sources.len() - 1
        });
        (index, whole_characters(&spot.text.text, spot.span))
    }
}

/// A span moved into the text, counted in characters, at least one where there is one.
///
/// The drawing library can count bytes, but slices the text of a second file by
/// its count of characters then.
fn whole_characters(text: &str, span: Span) -> Range<usize> {
    let start = text.floor_char_boundary(span.start as usize);
    let end = text.ceil_char_boundary((span.end as usize).max(start));
    let first = text[..start].chars().count();
    if end > start {
        return first..first + text[start..end].chars().count();
    }
    let next = text[start..].chars().next();
    let is_on_line = next.is_some_and(|next| !matches!(next, '\n' | '\r'));
    first..first + usize::from(is_on_line)
}

impl ariadne::Cache<usize> for Files<'_> {
    type Storage = String;

    fn fetch(&mut self, id: &usize) -> Result<&Source<String>, impl fmt::Debug> {
        self.sources.get(*id).map(|(_, source)| source).ok_or(*id)
    }

    fn display<'a>(&self, id: &'a usize) -> Option<impl fmt::Display + 'a> {
        self.sources
            .get(*id)
            .map(|(text, _)| (self.name)(&text.path))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_span_that_cuts_a_character_or_leaves_the_text_is_mended() {
        let text = "10µF\nx";
        assert_eq!(whole_characters(text, Span::new(3, 3)), 2..3);
        assert_eq!(whole_characters(text, Span::new(0, 3)), 0..3);
        assert_eq!(whole_characters(text, Span::new(5, 5)), 4..4);
        assert_eq!(whole_characters(text, Span::new(90, 95)), 6..6);
        assert_eq!(whole_characters("", Span::new(0, 1)), 0..0);
    }
}
