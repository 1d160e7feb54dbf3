//! Turns a part round: its mark, its direction, or the nets of its two leads.

use super::super::hover::facts_of;
use super::{Action, At, Sort, write};
use retin_syntax::tables::{Direction, Property};
use retin_syntax::tree::{Claim, Pin, Record};

pub(super) fn turn(at: &At<'_, '_>, found: &mut Vec<Action>) {
    let Some(record) = at.record() else { return };
    for fact in facts_of(record) {
        if fact.property == Some(Property::Orientation)
            && fact.span.touches(at.caret.offset)
            && let Some(word) = fact.words.get(1)
            && let Some(direction) = Direction::of(word.token)
        {
            let opposite = direction.opposite().word();
            let edit = at.edit(word.span, opposite);
            found.push(write(
                format!("turn it round: {opposite}"),
                Sort::Rewrites,
                vec![edit],
            ));
            return;
        }
    }
    let pins: &[Pin] = match record {
        Record::Part { pins, .. } | Record::Section { pins, .. } => pins,
        Record::Claim {
            claim: Claim::Facts { pins, .. },
            ..
        }
        | Record::Survey {
            claim: Claim::Facts { pins, .. },
            ..
        } => pins,
        Record::Plan(line) => &line.pins,
        _ => return,
    };
    let [one, other] = pins else { return };
    let whole = one.lead.span.to(other.net.span);
    if !whole.touches(at.caret.offset) {
        return;
    }
    let text = |pin: &Pin| pin.net.span.of(at.caret.text).to_owned();
    found.push(write(
        "turn it round: exchange the two nets",
        Sort::Rewrites,
        vec![
            at.edit(one.net.span, text(other)),
            at.edit(other.net.span, text(one)),
        ],
    ));
}
