//! What a rule says of one board, which holds as long as the board and what is
//! done to it stay as they are.

use super::JudgeReplacement as Judge;
use crate::finding::{Fault, Verdict};
use crate::meaning::{BoardCopy, BoardId, Case, Decision, PlaceId};
use crate::moves::{Moved, Moves};
use crate::replacement::Answered;
use crate::replacement::{Chosen, Replacement};
use crate::stage::Stage;
use rustc_hash::FxHashMap;
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::collections::hash_map::Entry;
use std::rc::Rc;

/// At which stage a case is judged.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct AsOf {
    pub(crate) stage: Stage,
    /// Whether somebody asks for this stage, rather than the log showing it.
    pub(crate) is_asked: bool,
}

impl AsOf {
    /// The stage that is asked for, or the one the log shows.
    pub(crate) fn of(case: &Case<'_>, asked: Option<Stage>) -> AsOf {
        AsOf {
            stage: asked.unwrap_or(case.stage),
            is_asked: asked.is_some(),
        }
    }

    /// Whether work on a board has come to a gate.
    ///
    /// The log says it board by board: a supply that is tried alone has come to
    /// power, and the boards that wait for it have not. Where a stage is asked
    /// for, it holds for every board.
    pub(crate) fn has_reached(self, case: &Case<'_>, gate: Stage, board: BoardCopy) -> bool {
        if self.is_asked {
            return self.stage >= gate;
        }
        let replay = &case.replay;
        match gate {
            Stage::Power => replay.returned.is_some() || replay.board(board).powered.is_some(),
            Stage::Close => replay.returned.is_some(),
            _ => self.stage >= gate,
        }
    }
}

/// One board, as the rules on boards look at it. They may look at nothing of
/// another one but for what is known of the potentials of nets that both share.
pub struct OnBoard<'s, 'c, 'a> {
    /// The case.
    pub case: &'c Case<'a>,
    /// The board, with all its copies.
    pub board: BoardId,
    /// Its places that get a new part, in their order.
    pub chosen: &'s [&'s Chosen<'c, 'a>],
    pub(crate) as_of: AsOf,
}

impl<'c, 'a> OnBoard<'_, 'c, 'a> {
    /// Every place on the board, part by part.
    pub fn places(&self) -> impl Iterator<Item = PlaceId> + use<'c, 'a> {
        self.case.places_on(self.board)
    }

    /// What the plan decides for places on the board.
    pub fn decisions(&self) -> impl Iterator<Item = &'c Decision> + use<'c, 'a> {
        let case = self.case;
        case.decisions_on(self.board)
    }

    /// The new parts, with the places for which none was found left out.
    pub fn new_parts(&self) -> impl Iterator<Item = &Replacement<'c, 'a>> {
        self.chosen.iter().filter_map(|chosen| match chosen {
            Chosen::New(replacement) => Some(&**replacement),
            Chosen::Nothing { .. } => None,
        })
    }

    /// Whether work on a copy of the board has come to a gate.
    pub fn has_reached(&self, gate: Stage, board: BoardCopy) -> bool {
        self.as_of.has_reached(self.case, gate, board)
    }
}

/// A board's share of a rule's answers.
#[derive(Clone, Default, PartialEq, Debug)]
pub struct Share {
    pub(super) passed: u32,
    pub(super) lacks: Vec<Lack>,
    pub(super) faults: Vec<(Vec<PlaceId>, Fault)>,
    /// Faults that are told together with those of other boards.
    pub(super) by_cause: Vec<(PlaceId, Fault)>,
}

/// A fact that targets lack, and which do.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Lack {
    pub(super) fact: Cow<'static, str>,
    pub(super) count: u32,
    pub(super) places: Vec<PlaceId>,
}

impl Share {
    /// Takes a rule's answer on one target, which may be the same on several places.
    pub fn answer(&mut self, places: &[PlaceId], verdict: Verdict) {
        let count = places.len().max(1) as u32;
        match verdict {
            Verdict::NotApplicable => {}
            Verdict::Passed => self.passed += count,
            Verdict::NotChecked(fact) => self.lacks(fact, count).extend_from_slice(places),
            Verdict::Failed(fault) => self.faults.push((places.to_vec(), *fault)),
        }
    }

    /// Where to note so many more targets that lack a fact.
    fn lacks(&mut self, fact: Cow<'static, str>, count: u32) -> &mut Vec<PlaceId> {
        let known = self.lacks.iter().position(|lack| lack.fact == fact);
        let at = known.unwrap_or_else(|| {
            self.lacks.push(Lack {
                fact,
                count: 0,
                places: Vec::new(),
            });
            self.lacks.len() - 1
        });
        let lack = &mut self.lacks[at];
        lack.count += count;
        &mut lack.places
    }

    /// Answers for many places. Those that fail with the same words fail for one
    /// cause, on whatever board: they are told as one, at the first line that has
    /// to do with it.
    pub fn answer_by_cause(&mut self, verdicts: impl Iterator<Item = (PlaceId, Verdict)>) {
        for (place, verdict) in verdicts {
            match verdict {
                Verdict::Failed(fault) => self.by_cause.push((place, *fault)),
                verdict => self.answer(&[place], verdict),
            }
        }
    }

    /// The same, copy by copy: a look that nobody took is one for each.
    pub fn answer_by_copy(&mut self, verdicts: impl Iterator<Item = (PlaceId, Verdict)>) {
        let mut failed = Vec::new();
        for (place, verdict) in verdicts {
            match verdict {
                Verdict::Failed(fault) => failed.push((place, *fault)),
                verdict => self.answer(&[place], verdict),
            }
        }
        self.faults.extend(together(failed, |place| place.copy));
    }

    /// Answers for the new parts of a board, those that are alike together.
    pub(super) fn answer_all<'s, 'c: 's, 'a: 'c>(
        &mut self,
        groups: impl Iterator<Item = &'s Alike<'s, 'c, 'a>>,
        slot: usize,
        judge: Judge,
    ) {
        for alike in groups {
            self.answer_alike(alike, slot, judge);
        }
        // As the places come, whichever are alike.
        self.faults
            .sort_by_key(|(places, _)| places.first().copied());
    }

    /// Answers once, where the answer is known of all.
    fn answer_alike(&mut self, alike: &Alike<'_, '_, '_>, slot: usize, judge: Judge) {
        let known = alike.known(slot);
        debug_assert!(
            known.is_none_or(|known| {
                let mut all = alike.all.iter();
                all.all(|one| one.verdict(slot, judge) == *known)
            }),
            "new parts that are not alike were taken for it"
        );
        match known {
            Some(Verdict::NotApplicable) => {}
            Some(Verdict::Passed) => self.passed += alike.count,
            Some(Verdict::NotChecked(fact)) => {
                let places = self.lacks(fact.clone(), alike.count);
                for replacement in &alike.all {
                    places.extend(replacement.places());
                }
            }
            Some(Verdict::Failed(_)) | None => {
                let mut places = Vec::new();
                for replacement in &alike.all {
                    places.clear();
                    places.extend(replacement.places());
                    self.answer(&places, replacement.verdict(slot, judge));
                }
            }
        }
    }
}

/// Faults that fail for one cause as one, each with its places: those of the same
/// words, kept apart by `key`. Each is told at its first line.
pub(super) fn together<K: Ord>(
    failed: impl IntoIterator<Item = (PlaceId, Fault)>,
    key: impl Fn(PlaceId) -> K,
) -> Vec<(Vec<PlaceId>, Fault)> {
    type Alike = (Vec<PlaceId>, Vec<Fault>);
    let mut causes: BTreeMap<(K, String), Alike> = BTreeMap::new();
    for (place, fault) in failed {
        let cause = causes.entry((key(place), fault.fact.clone())).or_default();
        cause.0.push(place);
        cause.1.push(fault);
    }
    let one = |(places, mut faults): Alike| {
        faults.sort_by_key(|fault| fault.origin);
        let last = faults.last().map(|fault| fault.origin);
        let mut first = faults.into_iter().next()?;
        if let Some(last) = last.filter(|last| *last != first.origin) {
            first = first.with(last, "and the last of them here");
        }
        Some((places, first))
    };
    causes.into_values().filter_map(one).collect()
}

impl Moved for Share {
    fn follow(&mut self, moves: &Moves) {
        let Share {
            passed: _,
            lacks: _,
            faults,
            by_cause,
        } = self;
        for (_, fault) in faults {
            fault.follow(moves);
        }
        for (_, fault) in by_cause {
            fault.follow(moves);
        }
    }
}

/// New parts of a board of which the rules on new parts are known to say the same.
pub(super) struct Alike<'s, 'c, 'a> {
    answered: Option<Answered>,
    all: Vec<&'s Replacement<'c, 'a>>,
    /// How many places they are for.
    count: u32,
}

impl<'s, 'c, 'a> Alike<'s, 'c, 'a> {
    /// The new parts of a board, those that are alike together, in the order of the
    /// first of each.
    pub(super) fn on(on: &'s OnBoard<'_, 'c, 'a>) -> Vec<Self> {
        let mut groups: Vec<Alike<'s, 'c, 'a>> = Vec::new();
        let mut by_answer: FxHashMap<*const (), usize> = FxHashMap::default();
        for replacement in on.new_parts() {
            let answered = replacement.answered();
            let count = replacement.copies.len() as u32;
            let known = answered.map(|answered| Rc::as_ptr(answered).cast::<()>());
            if let Some(known) = known {
                match by_answer.entry(known) {
                    Entry::Occupied(at) => {
                        let group: &mut Alike<'_, '_, '_> = &mut groups[*at.get()];
                        group.all.push(replacement);
                        group.count += count;
                        continue;
                    }
                    Entry::Vacant(at) => {
                        at.insert(groups.len());
                    }
                }
            }
            groups.push(Alike {
                answered: answered.cloned(),
                all: vec![replacement],
                count,
            });
        }
        groups
    }

    /// Whether a rule of another sort than on any new part judges them.
    pub(super) fn is_of_another_kind(&self) -> bool {
        self.all.iter().any(|one| one.is_of_another_kind())
    }

    fn known(&self, slot: usize) -> Option<&Verdict> {
        self.answered.as_ref()?.get(slot)?.as_ref()
    }
}
