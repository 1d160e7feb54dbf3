//! Writes the reading that proves a repair: continuity between its two ends.

use super::{Action, At, Sort, write};
use retin_syntax::tree::{LogLine, Record, SelectorChoice, Word};
use retin_syntax::{Span, Token};

pub(super) fn prove(at: &At<'_, '_>, found: &mut Vec<Action>) {
    let Some(Record::Entry(entry)) = at.record() else {
        return;
    };
    let Some((from, to)) = ends(entry).filter(|_| entry.verb.token == Token::Repaired) else {
        return;
    };
    if is_proved(at, from, to) {
        return;
    }
    let text = at.caret.text;
    let time = at
        .now
        .map_or_else(|| "?    ".to_owned(), |(_, time)| time.to_string());
    let line = format!(
        "{}    {time}  measured   {} to {}  ?",
        at.line_end(at.caret.file),
        from.span.of(text),
        to.span.of(text)
    );
    let end = at.caret.physical.end;
    let edit = at.edit(Span::new(end, end), line);
    found.push(write(
        "write the proof: measured from end to end",
        Sort::Writes,
        vec![edit],
    ));
}

/// The two ends that an entry names.
fn ends(entry: &LogLine) -> Option<(Word, Word)> {
    let SelectorChoice::Names(names) = &entry.selector.as_ref()?.choice else {
        return None;
    };
    Some((*names.first()?, *entry.to.first()?))
}

/// Whether a later entry measures between the two ends, either way round.
fn is_proved(at: &At<'_, '_>, one: Word, other: Word) -> bool {
    let text = at.caret.text;
    let wanted = [one.text(text), other.text(text)];
    let is_proof = |record: &Record| match record {
        Record::Entry(entry) if entry.verb.token == Token::Measured => {
            let Some((from, to)) = ends(entry) else {
                return false;
            };
            let read = [from.text(text), to.text(text)];
            read == wanted || read == [wanted[1], wanted[0]]
        }
        _ => false,
    };
    at.caret
        .tree
        .lines
        .iter()
        .any(|line| line.span.start > at.caret.offset && is_proof(&line.record))
}
