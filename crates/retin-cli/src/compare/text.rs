//! The differences for a person, board by board.

use crate::terminal::{HEADING, harmless, styled};
use crate::version::Version;
use retin::compare::Change;
use std::io::{self, Write};

/// Prints a headline with the count, then the differences of each board.
pub fn print(
    changes: &[Change],
    [old, new]: [&Version; 2],
    is_only_layout: bool,
    colored: bool,
    out: &mut impl Write,
) -> io::Result<()> {
    let names = harmless(&format!("from {} to {}", old.name, new.name));
    if changes.is_empty() {
        return if is_only_layout {
            writeln!(out, "only comments or layout differ {names}")
        } else {
            writeln!(out, "no difference {names}")
        };
    }
    let count = counted(changes.len());
    writeln!(
        out,
        "{}",
        styled(&format!("{count} {names}"), HEADING, colored)
    )?;
    for group in changes.chunk_by(|one, other| one.title() == other.title()) {
        let title = group[0].title();
        let title = harmless(&format!("{title}: {}", counted(group.len())));
        writeln!(out, "\n{}", styled(&title, HEADING, colored))?;
        for change in group {
            writeln!(out, "  {}", harmless(&change.sentence()))?;
        }
    }
    Ok(())
}

fn counted(count: usize) -> String {
    format!("{count} difference{}", if count == 1 { "" } else { "s" })
}
