//! Stamps an entry of the log with the time that the caller gives, and opens
//! the day where it is another one.

use super::{Action, At, Sort, write};
use retin_syntax::tables::verbs::is_log_verb;
use retin_syntax::tree::{LineId, Record};
use retin_syntax::{Span, Token};

pub(super) fn stamp(at: &At<'_, '_>, found: &mut Vec<Action>) {
    let Some((date, time)) = at.now else { return };
    let Some(parent) = at.caret.parent() else {
        return;
    };
    let Record::Day { date: day } = &at.caret.tree.line(parent).record else {
        return;
    };
    let lexemes = at.caret.lexemes();
    let first = lexemes.first().copied();
    let span = match first {
        // A time that nobody knows.
        Some((Token::Number, span)) if span.of(at.caret.text) == "?" => span,
        Some((token, span)) if is_log_verb(token) => Span::new(span.start, span.start),
        None => Span::new(at.caret.offset, at.caret.offset),
        _ => return,
    };
    let behind = if span.is_empty() { "  " } else { "" };
    let mut stamp = format!("{time}{behind}");
    let mut start = span;
    let today = date.to_string();
    let is_another_day = day.map(|day| day.text(at.caret.text)) != Some(today.as_str());
    if is_another_day && day.is_some() && is_last(at, parent) {
        // The day is opened above the entry, which then lies below it.
        start = Span::new(at.caret.physical.start, span.end);
        let end = at.line_end(at.caret.file);
        stamp = format!("  {date}{end}    {stamp}");
    }
    found.push(write(
        format!("stamp it {time}"),
        Sort::Writes,
        vec![at.edit(start, stamp)],
    ));
}

/// Whether nothing of the day follows the caret's line: what does would come to
/// lie below the new day.
fn is_last(at: &At<'_, '_>, day: LineId) -> bool {
    let line = at.caret.tree.line(day);
    let last = at.caret.tree.lines[line.end as usize - 1].span;
    last.start <= at.caret.physical.end
}
