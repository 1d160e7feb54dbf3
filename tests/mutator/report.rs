//! What was counted, as a page.

use crate::job::{Edit, Found, Lines, Mutant};
use crate::{Count, Kind};
use std::fmt::Write as _;
use std::path::Path;

const HEAD: &str = "# Mistakes planted, and what was told

Into sound jobs of some two hundred parts, one mistake at a time is planted, at
places that follow from a seed. *Told* counts those that a rule meant for them
finds, *at the line* those told where the mistake stands (or, where something is
left out, where it is missed), *beside* those that are told at another line and
name this one as a second place, as where two sources contradict each other.
*Asked* are those that are told as a question only, *further* the other findings,
together and the most of one mistake. In the jobs as they are nothing is found.

| mistake | planted | told | at the line | beside | asked | further | most | by |
| --- | --- | --- | --- | --- | --- | --- | --- | --- |
";

const INVISIBLE: &str = "\n## What no rule tells

Either the files show nothing of it, or the line says why no rule has it yet.\n\n";

/// Compares the page with what was counted, or writes it.
pub fn hold(counts: &[(&Kind, Count)]) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("mutator/report.md");
    let page = page(counts);
    if std::env::var_os("UPDATE").is_some() {
        std::fs::write(&path, page).expect("the report can be written");
        return;
    }
    let held = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        held == page,
        "the report no longer holds; look at it, and write it anew with UPDATE=1\n{page}"
    );
}

fn page(counts: &[(&Kind, Count)]) -> String {
    let mut page = HEAD.to_owned();
    let share = |part: usize, of: usize| format!("{}%", 100 * part / of.max(1));
    for (kind, count) in counts.iter().filter(|(kind, _)| !kind.rules.is_empty()) {
        let by: Vec<String> = count
            .by
            .iter()
            .map(|(rule, times)| format!("{rule} {times}"))
            .collect();
        let _ = writeln!(
            page,
            "| {} | {} | {} | {} | {} | {} | {} | {} | {} |",
            kind.name,
            count.planted,
            share(count.detected, count.planted),
            share(count.on_the_line, count.planted),
            share(count.beside, count.planted),
            count.only_asked,
            count.further,
            count.most_further,
            by.join(", ")
        );
    }
    page.push_str(INVISIBLE);
    page.push_str("| mistake | planted | findings |\n| --- | --- | --- |\n");
    for (kind, count) in counts.iter().filter(|(kind, _)| kind.rules.is_empty()) {
        let _ = writeln!(
            page,
            "| {} | {} | {} |",
            kind.name, count.planted, count.further
        );
    }
    page
}

/// One mistake that was not told where it is.
pub fn astray(lines: &Lines, edits: &[Edit], mutant: &Mutant, findings: &[Found]) -> String {
    let mut text = String::new();
    for edit in edits.iter().take(3) {
        let _ = match edit {
            Edit::Put(at, to) => writeln!(text, "    {} => {}", lines.text(*at).trim(), to.trim()),
            Edit::Shift(..) => Ok(()),
            Edit::After(_, line) => writeln!(text, "    + {}", line.trim()),
            Edit::Take(at) => writeln!(text, "    - {}", lines.text(*at).trim()),
            Edit::Mark(at) => writeln!(text, "    at {}", lines.text(*at).trim()),
        };
    }
    for found in findings.iter().take(4) {
        let line = mutant.texts[found.at.0].lines().nth(found.at.1);
        let _ = writeln!(
            text,
            "      {} at \"{}\": {}",
            found.rule,
            line.unwrap_or_default().trim(),
            found.fact
        );
    }
    text
}

/// What went astray of one kind.
pub fn told(kind: &Kind, count: &Count) -> String {
    let mut text = format!(
        "{}: {} planted, {} told, {} at the line, {} beside\n",
        kind.name, count.planted, count.detected, count.on_the_line, count.beside
    );
    for one in count.astray.iter().take(3) {
        text.push_str(one);
    }
    text
}
