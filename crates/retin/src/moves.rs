//! Where things went when text before them grew or shrank.
//!
//! A case and what was found in it point into the files by offsets. After an edit
//! that says nothing new, in a comment or between lines, they hold as they are
//! but for these, and moving them costs a small part of reading again.

use crate::sources::{FileId, Origin};
use retin_syntax::Span;
use std::sync::Arc;

/// How far the lines of files went.
#[derive(Clone, Default, PartialEq, Eq, Debug)]
pub struct Moves {
    files: Vec<(FileId, Vec<Step>)>,
}

/// What begins here, up to the next step, went so many bytes.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
struct Step {
    from: u32,
    by: i32,
}

impl Moves {
    /// Notes that whatever begins at `from`, in the text before, went so many
    /// bytes. Steps of a file come in the order of its text.
    pub fn note(&mut self, file: FileId, from: u32, by: i32) {
        let at = match self.files.iter().position(|row| row.0 == file) {
            Some(at) => at,
            None => {
                self.files.push((file, Vec::new()));
                self.files.len() - 1
            }
        };
        let steps = &mut self.files[at].1;
        if steps.last().map_or(0, |step| step.by) != by {
            steps.push(Step { from, by });
        }
    }

    /// The only step, where there is one: nearly every edit is of one line, behind
    /// which all goes the same way, and then everything there is asks for it.
    #[inline]
    fn only(&self) -> Option<(FileId, Step)> {
        match self.files.as_slice() {
            [(file, steps)] => match steps.as_slice() {
                [step] => Some((*file, *step)),
                _ => None,
            },
            _ => None,
        }
    }

    /// Whether nothing moves.
    pub fn is_empty(&self) -> bool {
        self.files.iter().all(|row| row.1.is_empty())
    }

    /// Where the first thing of a file that moves begins; none where none does.
    pub(crate) fn first_in(&self, file: FileId) -> Option<u32> {
        let (_, steps) = self.files.iter().find(|row| row.0 == file)?;
        Some(steps.first()?.from)
    }

    /// A span of the text before, in the text after.
    #[inline]
    pub fn span(&self, file: FileId, span: Span) -> Span {
        let Some((of, step)) = self.only() else {
            return self.span_by_steps(file, span);
        };
        let by = |offset: u32| if offset < step.from { 0 } else { step.by };
        if file != of {
            return span;
        }
        Span {
            start: span.start.wrapping_add_signed(by(span.start)),
            end: span.end.wrapping_add_signed(by(last_of(span))),
        }
    }

    fn span_by_steps(&self, file: FileId, span: Span) -> Span {
        match self.files.iter().find(|row| row.0 == file) {
            Some((_, steps)) => moved(steps, span),
            None => span,
        }
    }
}

fn moved(steps: &[Step], span: Span) -> Span {
    let by = |offset: u32| {
        let step = steps.iter().rev().find(|step| step.from <= offset);
        step.map_or(0, |step| step.by)
    };
    if steps.first().is_none_or(|first| span.end < first.from) {
        return span;
    }
    Span {
        start: span.start.wrapping_add_signed(by(span.start)),
        end: span.end.wrapping_add_signed(by(last_of(span))),
    }
}

/// What of a span the end goes by: what ends with a line stays with it, wherever the
/// next one went.
fn last_of(span: Span) -> u32 {
    span.end.saturating_sub(1).max(span.start)
}

/// What points into files.
pub(crate) trait Moved {
    /// Follows what it points at.
    fn follow(&mut self, moves: &Moves);
}

impl Moved for Origin {
    fn follow(&mut self, moves: &Moves) {
        self.span = moves.span(self.file, self.span);
    }
}

impl<T: Moved> Moved for Option<T> {
    fn follow(&mut self, moves: &Moves) {
        if let Some(inner) = self {
            inner.follow(moves);
        }
    }
}

impl<T: Moved> Moved for [T] {
    fn follow(&mut self, moves: &Moves) {
        for one in self {
            one.follow(moves);
        }
    }
}

impl<T: Moved> Moved for Vec<T> {
    fn follow(&mut self, moves: &Moves) {
        self.as_mut_slice().follow(moves);
    }
}

impl<T: Moved> Moved for Box<T> {
    fn follow(&mut self, moves: &Moves) {
        (**self).follow(moves);
    }
}

/// What many point at together: whoever comes first after it has moved makes the
/// one that the others then share.
#[derive(Debug)]
pub(crate) struct Shared<T> {
    last: Option<(Arc<T>, Arc<T>)>,
}

impl<T> Default for Shared<T> {
    fn default() -> Self {
        Shared { last: None }
    }
}

impl<T: Moved + Clone> Shared<T> {
    /// Follows, together with the neighbours that share it.
    pub(crate) fn follow(&mut self, shared: &mut Arc<T>, moves: &Moves) {
        if let Some((old, new)) = &self.last
            && Arc::ptr_eq(old, shared)
        {
            *shared = new.clone();
            return;
        }
        let mut new = T::clone(shared);
        new.follow(moves);
        let new = Arc::new(new);
        let old = std::mem::replace(shared, new.clone());
        self.last = Some((old, new));
    }
}

/// Implements [`Moved`] for a struct by naming every field: first those that point
/// into files, then those that do not. The pattern has no `..`, so that a new field
/// cannot be forgotten.
macro_rules! follow_fields {
    ($type:ident $(<$($life:lifetime),+>)? { $($placed:ident),* $(; $($fixed:ident),*)? }) => {
        impl $(<$($life),+>)? $crate::moves::Moved for $type $(<$($life),+>)? {
            fn follow(&mut self, moves: &$crate::moves::Moves) {
                let $type { $($placed,)* $($($fixed: _,)*)? } = self;
                $($crate::moves::Moved::follow($placed, moves);)*
            }
        }
    };
}

pub(crate) use follow_fields;

#[cfg(test)]
mod tests {
    use super::*;

    proptest::proptest! {
        #[test]
        fn one_step_is_as_any_other(from in 0..9u32, by in -3..4i32, start in 3..9u32, long in 0..4u32) {
            let mut one = Moves::default();
            one.note(FileId(0), from, by);
            let span = Span::new(start, start + long);
            proptest::prop_assert_eq!(one.span(FileId(0), span), one.span_by_steps(FileId(0), span));
            proptest::prop_assert_eq!(one.span(FileId(1), span), span);
        }
    }

    #[test]
    fn what_ends_a_line_stays_with_it() {
        let mut moves = Moves::default();
        let file = FileId(0);
        moves.note(file, 10, 0);
        moves.note(file, 20, 5);
        moves.note(file, 30, 5);
        moves.note(file, 40, 2);
        let span = |start, end| moves.span(file, Span::new(start, end));
        assert_eq!(span(12, 20), Span::new(12, 20));
        assert_eq!(span(20, 20), Span::new(25, 25));
        assert_eq!(span(19, 21), Span::new(19, 26));
        assert_eq!(span(31, 40), Span::new(36, 45));
        assert_eq!(span(45, 48), Span::new(47, 50));
        assert_eq!(moves.span(FileId(1), Span::new(25, 30)), Span::new(25, 30));
        assert_eq!(moves.first_in(file), Some(20));
    }
}
