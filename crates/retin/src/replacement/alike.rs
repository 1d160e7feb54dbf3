//! Places that are alike: what is true of a new part in one is true of it in the other.
//!
//! A board has a hundred capacitors of five values, so nearly every choice was made
//! before, and nearly every rule has answered before. [`Likeness`] says which places
//! share both. Where a rule finds a fault it is asked again, since a fault points at
//! its own lines.

use super::{NewSide, Replacement};
use crate::check::JudgeReplacement;
use crate::finding::Verdict;
use crate::meaning::{BoardId, Case, NetId, Part, PlanEntry, Stated};
use crate::rules::{self, Rule};
use retin_syntax::tables::{Kind, Property};
use std::hash::{Hash, Hasher};
use std::rc::Rc;

/// What the rules on new parts answered of a place, by the place of the rule among
/// [`rules::of_replacements`]; none where it is to be asked again.
pub(crate) type Answered = Rc<[Option<Verdict>]>;

/// Everything that a choice, and a rule on new parts, may look at of an old place:
/// its board, its nets, and what is written of it, word for word, but for its name
/// and its position.
///
/// A place of which more is said than its own line has no likeness, nor has one that
/// holds another part than the plan names.
#[derive(Clone, Copy, Debug)]
pub(super) struct Likeness<'c, 'a> {
    case: &'c Case<'a>,
    part: &'c Part<'a>,
    line: &'c PlanEntry<'a>,
}

impl<'c, 'a> Likeness<'c, 'a> {
    /// The likeness of a part, where it has one.
    pub(super) fn of(
        case: &'c Case<'a>,
        part: &'c Part<'a>,
        line: &'c PlanEntry<'a>,
        fitted: Option<usize>,
    ) -> Option<Self> {
        let is_plain = fitted.is_none()
            && !part.is_added
            && part.claims.is_empty()
            && part.exceptions.is_empty()
            && part.go_by.is_none()
            && part.go_by_here.is_empty();
        is_plain.then_some(Likeness { case, part, line })
    }

    /// The words of the line that count.
    fn words(&self) -> impl Iterator<Item = (Property, &'c str)> {
        let counts = |fact: &&Stated<'a>| fact.property != Property::At;
        let own = self.part.facts.own.iter().filter(counts);
        let case = self.case;
        own.map(move |fact| (fact.property, case.sources.text(fact.origin)))
    }

    fn pins(&self) -> impl Iterator<Item = (&'a str, NetId)> {
        self.part.pins.iter().map(|pin| (pin.lead, pin.net))
    }

    fn place(&self) -> (BoardId, Option<Kind>) {
        (self.part.board, self.part.kind)
    }
}

impl Hash for Likeness<'_, '_> {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.place().hash(state);
        for (_, net) in self.pins() {
            net.hash(state);
        }
        for (_, word) in self.words() {
            word.hash(state);
        }
    }
}

impl PartialEq for Likeness<'_, '_> {
    fn eq(&self, other: &Self) -> bool {
        let group = |part: &Part<'_>| {
            let facts = part.facts.inherited.as_ref();
            facts.map(|facts| std::ptr::from_ref(&**facts).cast::<()>())
        };
        std::ptr::eq(self.line, other.line)
            && self.place() == other.place()
            && self.part.headline == other.part.headline
            && group(self.part) == group(other.part)
            && self.pins().eq(other.pins())
            && self.words().eq(other.words())
    }
}

impl Eq for Likeness<'_, '_> {}

/// What every rule on new parts says of one; none where a rule speaks against it.
pub(super) fn ask_all(candidate: &Replacement<'_, '_>) -> Result<Answered, String> {
    let mut answered = Vec::with_capacity(rules::of_replacements().len());
    for (_, judge) in rules::of_replacements() {
        answered.push(match judge(candidate) {
            Verdict::Failed(fault) if !fault.is_question => return Err(fault.fact),
            Verdict::Failed(_) => None,
            verdict => Some(verdict),
        });
    }
    Ok(answered.into())
}

/// What the rules on new parts say of one that the plan names.
pub(super) fn ask_each(candidate: &Replacement<'_, '_>) -> Answered {
    let answer = |(_, judge): &(_, JudgeReplacement)| match judge(candidate) {
        Verdict::Failed(_) => None,
        verdict => Some(verdict),
    };
    rules::of_replacements().iter().map(answer).collect()
}

impl<'c, 'a> Replacement<'c, 'a> {
    /// The same place with another new part.
    pub(crate) fn with_new(&self, new: NewSide<'c, 'a>) -> Replacement<'c, 'a> {
        Replacement {
            new,
            answered: None,
            ..self.clone()
        }
    }

    /// What a rule says of the new part.
    pub(crate) fn verdict_of(&self, rule: &Rule, judge: JudgeReplacement) -> Verdict {
        let slot = rules::of_replacements()
            .iter()
            .position(|(name, _)| *name == rule.name);
        match slot {
            Some(slot) => self.verdict(slot, judge),
            None => judge(self),
        }
    }

    /// What the rules on new parts are known to say of it.
    pub(crate) fn answered(&self) -> Option<&Answered> {
        self.answered.as_ref()
    }

    /// What a rule says of the new part: `slot` is its place among
    /// [`rules::of_replacements`].
    pub(crate) fn verdict(&self, slot: usize, judge: JudgeReplacement) -> Verdict {
        let known = self
            .answered
            .as_ref()
            .and_then(|all| all.get(slot)?.clone());
        match known {
            Some(verdict) => {
                debug_assert_eq!(
                    verdict,
                    judge(self),
                    "places that are not alike were taken for it"
                );
                verdict
            }
            None => judge(self),
        }
    }
}
