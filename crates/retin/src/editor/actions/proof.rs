//! Writes the reading that proves a repair: continuity between its two ends.

use super::{Action, At, Sort, write};
use retin_syntax::tree::{Record, Word};
use retin_syntax::{Span, Token};

pub(super) fn prove(at: &At<'_, '_>, found: &mut Vec<Action>) {
    let Some(Record::Entry {
        verb, names, to, ..
    }) = at.record()
    else {
        return;
    };
    let (Some(from), Some(to)) = (names.first(), to.first()) else {
        return;
    };
    if verb.token != Token::Repaired || is_proved(at, *from, *to) {
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

/// Whether a later entry measures between the two ends, either way round.
fn is_proved(at: &At<'_, '_>, one: Word, other: Word) -> bool {
    let text = at.caret.text;
    let ends = [one.text(text), other.text(text)];
    let is_proof = |record: &Record| match record {
        Record::Entry {
            verb, names, to, ..
        } if verb.token == Token::Measured => {
            let (Some(from), Some(to)) = (names.first(), to.first()) else {
                return false;
            };
            let read = [from.text(text), to.text(text)];
            read == ends || read == [ends[1], ends[0]]
        }
        _ => false,
    };
    at.caret
        .tree
        .lines
        .iter()
        .any(|line| line.span.start > at.caret.offset && is_proof(&line.record))
}
