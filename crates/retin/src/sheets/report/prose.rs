//! The prose of a job's file: what the technician wrote for the report.

use super::Telling;
use retin_syntax::tree::{HeadingKind, LineId, Record, Tree};

/// The paragraphs below the sections of these sorts, in the order written. Lines
/// of prose that follow one another are one paragraph.
pub(super) fn prose(telling: &Telling<'_, '_, '_>, sorts: &[HeadingKind]) -> Vec<String> {
    let file = telling.case.sources.file(telling.case.root);
    let mut paragraphs = Vec::new();
    for (id, line) in file.tree.sections() {
        if let Record::Heading(heading) = &line.record
            && sorts.contains(&heading.kind)
        {
            below(&file.tree, &file.text, id, &mut paragraphs);
        }
    }
    paragraphs
}

fn below(tree: &Tree, text: &str, id: LineId, paragraphs: &mut Vec<String>) {
    let mut run: Vec<&str> = Vec::new();
    let end = |run: &mut Vec<&str>, paragraphs: &mut Vec<String>| {
        if !run.is_empty() {
            paragraphs.push(run.join(" "));
            run.clear();
        }
    };
    for (child, line) in tree.children(id) {
        if matches!(line.record, Record::Prose) {
            let words = line.span.of(text).trim_start_matches('|').trim();
            if words.is_empty() {
                end(&mut run, paragraphs);
            } else {
                run.push(words);
            }
            continue;
        }
        end(&mut run, paragraphs);
        below(tree, text, child, paragraphs);
    }
    end(&mut run, paragraphs);
}
