//! What grows around the caret: segment, word, fact, line, what belongs to it,
//! section, file.

use super::caret::Caret;
use super::hover::facts_of;
use super::{Position, Snapshot, mention};
use retin_syntax::{Span, Token};

/// The spans around the caret, each within the next; the last is the whole file.
pub fn selection(snapshot: &Snapshot<'_>, position: Position) -> Vec<Span> {
    let caret = Caret::at(snapshot, position);
    let mut spans = Vec::new();
    let mention = mention::at(snapshot, &caret);
    spans.extend(mention.map(|mention| mention.origin.span));
    if let Some((token, span)) = caret.lexeme() {
        if token == Token::Text && span.len() > 2 {
            spans.push(Span::new(span.start + 1, span.end - 1));
        }
        spans.push(span);
    }
    if let Some(line) = caret.line {
        let record = &caret.tree.line(line).record;
        let fact = facts_of(record)
            .into_iter()
            .find(|fact| fact.span.touches(caret.offset));
        spans.extend(fact.map(|fact| fact.span));
        spans.extend(brackets(&caret));
        spans.push(caret.tree.line(line).span);
        let mut next = Some(line);
        while let Some(id) = next {
            let line = caret.tree.line(id);
            let last = caret.tree.lines[line.end as usize - 1].span;
            spans.push(Span::new(line.span.start, last.end.max(line.span.end)));
            next = line.parent;
        }
    }
    spans.push(caret.physical);
    spans.push(Span::new(0, caret.text.len() as u32));
    grown(&caret, spans)
}

/// The brackets around the caret.
fn brackets(caret: &Caret<'_>) -> Option<Span> {
    let lexemes = caret.lexemes();
    let open = lexemes
        .iter()
        .rfind(|lexeme| lexeme.0 == Token::Open && lexeme.1.start <= caret.offset)?;
    let close = lexemes
        .iter()
        .find(|lexeme| lexeme.0 == Token::Close && lexeme.1.end >= caret.offset)?;
    (open.1.start < close.1.start).then(|| open.1.to(close.1))
}

/// The spans that hold the caret, in order, each larger than the one before.
fn grown(caret: &Caret<'_>, mut spans: Vec<Span>) -> Vec<Span> {
    spans.retain(|span| span.touches(caret.offset));
    spans.sort_by_key(|span| span.len());
    let mut grown: Vec<Span> = Vec::with_capacity(spans.len());
    for span in spans {
        let holds = grown
            .last()
            .is_none_or(|last| span.start <= last.start && last.end <= span.end && span != *last);
        if holds && (!span.is_empty() || grown.is_empty()) {
            grown.push(span);
        }
    }
    grown
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{at, mixer};
    use super::selection;

    fn grown(fixture: &str) -> Vec<String> {
        at(fixture, |snapshot, position| {
            selection(snapshot, position)
                .into_iter()
                .map(|span| span.of(snapshot.text(position.file)).to_owned())
                .collect()
        })
    }

    #[test]
    fn it_grows_from_the_segment_to_the_file() {
        let of = grown("plan\n  keep  ch1.C$01 because \"µ\"\n");
        assert_eq!(of[0], "ch1.C1");
        assert_eq!(of[1], "keep  ch1.C1 because \"µ\"");
        let of = grown(&mixer("removed    psu.C1", "removed    psu.C$01"));
        assert_eq!(of[..3], ["C1", "psu.C1", "09:10  removed    psu.C1"]);
        let of = grown(&mixer("life 5000h  have 40", "life 50$000h  have 40"));
        assert_eq!(of[..2], ["5000h", "life 5000h"]);
    }

    #[test]
    fn each_holds_the_one_before() {
        for fixture in [
            "$0",
            "a$0",
            "# µ$0\n",
            "board b\n  (+ $0, - GND)\n",
            "\"te$0xt\"",
        ] {
            at(fixture, |snapshot, position| {
                let spans = selection(snapshot, position);
                assert!(!spans.is_empty());
                for pair in spans.windows(2) {
                    assert!(pair[1].start <= pair[0].start && pair[0].end <= pair[1].end);
                    assert_ne!(pair[0], pair[1]);
                }
            });
        }
    }
}
