//! Moves the spans of what was read, when text before it grew or shrank.

use crate::span::Span;
use crate::tree::{
    Claim, Fact, Heading, Item, Line, LogLine, Mends, Pin, PlanLine, Record, Selector,
    SelectorChoice, SyntaxError, WithPart, Word,
};
use smallvec::{Array, SmallVec};

/// What has a place in the text.
pub(super) trait Shift {
    /// Moves it by so many bytes.
    fn shift(&mut self, by: i32);
}

impl Shift for Span {
    fn shift(&mut self, by: i32) {
        self.start = self.start.wrapping_add_signed(by);
        self.end = self.end.wrapping_add_signed(by);
    }
}

impl<T: Shift> Shift for Option<T> {
    fn shift(&mut self, by: i32) {
        if let Some(inner) = self {
            inner.shift(by);
        }
    }
}

impl<T: Shift> Shift for [T] {
    fn shift(&mut self, by: i32) {
        for one in self {
            one.shift(by);
        }
    }
}

impl<T: Shift> Shift for Vec<T> {
    fn shift(&mut self, by: i32) {
        self.as_mut_slice().shift(by);
    }
}

impl<A: Array> Shift for SmallVec<A>
where
    A::Item: Shift,
{
    fn shift(&mut self, by: i32) {
        self.as_mut_slice().shift(by);
    }
}

/// Implements [`Shift`] for a struct by naming every field that has a place.
/// The pattern has no `..`, so that a new field cannot be forgotten.
macro_rules! shift_fields {
    ($type:ident { $($placed:ident),* $(; $($fixed:ident),*)? }) => {
        impl Shift for $type {
            fn shift(&mut self, by: i32) {
                let $type { $($placed,)* $($($fixed: _,)*)? } = self;
                $($placed.shift(by);)*
            }
        }
    };
}

shift_fields!(Word { span; token });
shift_fields!(Fact { span, words; property });
shift_fields!(Pin { lead, net });
shift_fields!(Selector {
    span,
    choice,
    on,
    except
});
shift_fields!(Heading { name, title, copies, joints; kind });
shift_fields!(PlanLine { selector, from, with, facts, pins; verb });
shift_fields!(WithPart { span, facts });
shift_fields!(LogLine {
    time,
    by,
    verb,
    mends,
    scope,
    selector,
    items,
    to,
    phrase,
    with,
    instead,
    facts
});
shift_fields!(Mends { when, verb });
shift_fields!(Item { count, name });
impl Shift for SyntaxError {
    fn shift(&mut self, by: i32) {
        let SyntaxError {
            span,
            edits,
            message: _,
            help: _,
        } = self;
        span.shift(by);
        for (span, _) in edits {
            span.shift(by);
        }
    }
}
shift_fields!(Line { span, record; indent, parent, end, lexemes });

impl Shift for SelectorChoice {
    fn shift(&mut self, by: i32) {
        match self {
            SelectorChoice::Names(names) => names.shift(by),
            SelectorChoice::Every { kinds, facts } => {
                kinds.shift(by);
                facts.shift(by);
            }
            SelectorChoice::Everything => {}
        }
    }
}

impl Shift for Claim {
    fn shift(&mut self, by: i32) {
        match self {
            Claim::Facts { facts, pins } => {
                facts.shift(by);
                pins.shift(by);
            }
            Claim::Sounds { lead, net } => {
                lead.shift(by);
                net.shift(by);
            }
            Claim::Reads { from, to, value } => {
                from.shift(by);
                to.shift(by);
                value.shift(by);
            }
        }
    }
}

/// Moves all the places named.
macro_rules! shift_all {
    ($by:ident; $($placed:ident),*) => {{ $($placed.shift($by);)* }};
}

impl Shift for Record {
    fn shift(&mut self, by: i32) {
        match self {
            Record::Use { path } => path.shift(by),
            Record::Heading(heading) => heading.shift(by),
            Record::Setting { facts } => facts.shift(by),
            Record::Rail { name, facts } => shift_all!(by; name, facts),
            Record::Net { name, title } => shift_all!(by; name, title),
            Record::Zone { name, corners } => shift_all!(by; name, corners),
            Record::Changed {
                revision,
                names,
                text,
            } => shift_all!(by; revision, names, text),
            Record::Group { kind, facts } => shift_all!(by; kind, facts),
            Record::Part {
                names,
                kind,
                facts,
                pins,
            } => shift_all!(by; names, kind, facts, pins),
            Record::Claim { source: _, claim } => claim.shift(by),
            Record::GoBy { source: _ } => {}
            Record::Section { name, facts, pins } => shift_all!(by; name, facts, pins),
            Record::Exception { copies, facts } => shift_all!(by; copies, facts),
            Record::Join { from, to } => shift_all!(by; from, to),
            Record::Survey {
                names,
                source: _,
                claim,
            } => shift_all!(by; names, claim),
            Record::Pace {
                verb: _,
                subjects,
                time,
                per,
            } => shift_all!(by; subjects, time, per),
            Record::SurveyGoBy { names, source: _ } => names.shift(by),
            Record::Plan(line) => line.shift(by),
            Record::Accept {
                rule,
                selector,
                because,
            } => shift_all!(by; rule, selector, because),
            Record::For { values } => values.shift(by),
            Record::Step {
                name,
                verb: _,
                selector,
                with,
                after,
                facts,
            } => shift_all!(by; name, selector, with, after, facts),
            Record::Caution { text } => text.shift(by),
            Record::Target { point, to, facts } => shift_all!(by; point, to, facts),
            Record::Day { date } => date.shift(by),
            Record::Entry(entry) => entry.shift(by),
            Record::Prose | Record::Broken | Record::Unresolved => {}
        }
    }
}
