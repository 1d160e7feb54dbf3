//! Runs every rule over a case and gathers the answers.

use crate::finding::{Fault, Finding, Label, Severity, Verdict};
use crate::meaning::{BoardCopy, Case, PlaceId, Problem, names};
use crate::replacement::{Chosen, Replacement, replacements};
use crate::rules::{Judge, RULES, Rule};
use crate::sources::Origin;
use crate::stage::Stage;
use crate::time::order::{MOST_STEPS, Order, precedence};
use crate::words::told_of;
use rustc_hash::{FxHashMap, FxHashSet};
use std::borrow::Cow;
use std::cell::OnceCell;
use std::collections::BTreeMap;
use std::rc::Rc;

/// How one rule answered over the whole case.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Tally {
    /// The rule's name.
    pub rule: &'static str,
    /// Targets that are in order.
    pub passed: u32,
    /// Targets that are not.
    pub failed: u32,
    /// Failures that the technician overruled in writing.
    pub accepted: u32,
    /// Targets that lack a fact.
    pub not_checked: u32,
    /// The facts that are missing, how often, and one place that lacks it.
    pub missing: Vec<Missing>,
}

/// A fact that would make targets checkable.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Missing {
    /// The fact, as "the new part's rated voltage".
    pub fact: String,
    /// How many targets lack it.
    pub count: u32,
    /// One of them.
    pub example: String,
}

/// What a check found.
#[derive(Clone, PartialEq, Debug)]
pub struct Report {
    /// What is wrong, in the order of the files.
    pub findings: Vec<Finding>,
    /// How each rule answered, in the order of the list.
    pub tallies: Vec<Tally>,
    /// How far the job has come.
    pub stage: Stage,
}

impl Report {
    /// How many findings weigh this much.
    pub fn count(&self, severity: Severity) -> usize {
        self.findings
            .iter()
            .filter(|finding| finding.severity == severity)
            .count()
    }
}

/// What became of one `accept` line.
#[derive(Clone, Default, PartialEq, Eq, Debug)]
pub struct Use {
    /// How many faults it silenced.
    pub silenced: u32,
    /// Values of a fault it would have silenced, had they not changed since.
    pub changed: Option<String>,
    /// Values of the faults it silenced without naming any, each once.
    pub unnamed: Vec<String>,
    /// The fact for want of which its rule could not look at one of its places.
    pub lacks: Option<Cow<'static, str>>,
}

/// The answers while they come in.
pub struct Answers<'c, 'a> {
    case: &'c Case<'a>,
    stage: Stage,
    /// Whether somebody asks for this stage, rather than the log showing it.
    is_asked: bool,
    rule: &'static Rule,
    tally: Tally,
    missing: FxHashMap<(Cow<'static, str>,), (u32, Vec<PlaceId>)>,
    found: Vec<(Vec<PlaceId>, Fault)>,
    /// By where it is best mended: which of those found have to do with it.
    found_at: FxHashMap<Origin, Vec<usize>>,
    uses: Vec<Use>,
    /// The order of the steps, once a rule has asked for it; none where there are too many.
    order: Rc<OnceCell<Option<Order>>>,
    /// The places that lines of the log speak of which cannot be read.
    unread: Rc<OnceCell<FxHashSet<PlaceId>>>,
}

/// Rules that find something that the log does not say, or that does not go with what
/// it says: where a line of it cannot be read, it may say so there.
const OF_THE_LOG: &[&str] = &[
    "impossible-entry",
    "accident-open",
    "joint-not-inspected",
    "barrel-not-proven",
    "left-over",
];

/// Checks a case at the stage its log shows.
pub fn check(case: &Case<'_>) -> Report {
    judge(case, case.stage, &replacements(case), false)
}

/// Checks a case as if it had come to `stage`, with every board of it.
pub fn check_at(case: &Case<'_>, stage: Stage) -> Report {
    judge(case, stage, &replacements(case), true)
}

/// Checks a case whose [`replacements`] are known already: as if it had come to
/// `stage`, with every board of it, or as its log shows where none is asked for.
pub fn check_chosen(case: &Case<'_>, stage: Option<Stage>, chosen: &[Chosen<'_, '_>]) -> Report {
    judge(case, stage.unwrap_or(case.stage), chosen, stage.is_some())
}

fn judge(case: &Case<'_>, stage: Stage, chosen: &[Chosen<'_, '_>], is_asked: bool) -> Report {
    let mut findings = Vec::new();
    let mut tallies = Vec::with_capacity(RULES.len());
    let mut uses = vec![Use::default(); case.acceptances.len()];
    // The place of the next rule among those on new parts.
    let mut slot = 0;
    let order = Rc::new(OnceCell::new());
    let unread = Rc::new(OnceCell::new());
    for rule in RULES {
        let mut answers = Answers {
            case,
            stage,
            is_asked,
            rule,
            tally: Tally {
                rule: rule.name,
                passed: 0,
                failed: 0,
                accepted: 0,
                not_checked: 0,
                missing: Vec::new(),
            },
            missing: FxHashMap::default(),
            found: Vec::new(),
            found_at: FxHashMap::default(),
            uses,
            order: order.clone(),
            unread: unread.clone(),
        };
        answers.run(chosen, slot);
        slot += usize::from(matches!(
            rule.judge,
            Judge::Replacement(_) | Judge::AnyReplacement(_)
        ));
        let (tally, found, used) = answers.finish();
        tallies.push(tally);
        findings.extend(found);
        uses = used;
    }
    findings.sort_by(|one, other| {
        (one.fault.origin, one.rule, &one.fault.fact).cmp(&(
            other.fault.origin,
            other.rule,
            &other.fault.fact,
        ))
    });
    Report {
        findings,
        tallies,
        stage,
    }
}

impl<'c, 'a> Answers<'c, 'a> {
    /// The stage the case is judged at.
    pub fn stage(&self) -> Stage {
        self.stage
    }

    /// Whether work on a board has come to a gate.
    ///
    /// The log says it board by board: a supply that is tried alone has come to
    /// power, and the boards that wait for it have not. Where a stage is asked
    /// for, it holds for every board.
    pub fn has_reached(&self, gate: Stage, board: BoardCopy) -> bool {
        if self.is_asked {
            return self.stage >= gate;
        }
        let replay = &self.case.replay;
        match gate {
            Stage::Power => replay.returned.is_some() || replay.board(board).powered.is_some(),
            Stage::Close => replay.returned.is_some(),
            _ => self.stage >= gate,
        }
    }

    fn run(&mut self, chosen: &[Chosen<'c, 'a>], slot: usize) {
        let case = self.case;
        match self.rule.judge {
            Judge::Problem(judge) => {
                for problem in &case.problems {
                    if let Some(fault) = judge(case, problem) {
                        self.answer(&[], Verdict::failed(fault));
                    }
                }
            }
            Judge::Case(judge) => judge(case, self),
            Judge::Place(judge) => {
                for place in case.places() {
                    let verdict = judge(case, place);
                    self.answer(&[place], verdict);
                }
            }
            Judge::Replacement(judge) => {
                self.replacements(chosen, (slot, judge), |new| !new.is_of_another_kind());
            }
            Judge::AnyReplacement(judge) => self.replacements(chosen, (slot, judge), |_| true),
            Judge::Choice(judge) => judge(case, chosen, self),
            Judge::Steps(judge) => {
                let Some(job) = case.job.as_ref().filter(|job| !job.steps.is_empty()) else {
                    return;
                };
                let known = self.order.clone();
                match known.get_or_init(|| precedence(case, job, chosen)) {
                    Some(order) => judge(case, job, order, self),
                    None => {
                        let fact = format!("the order of no more than {MOST_STEPS} steps");
                        self.answer(&[], Verdict::lacks(fact));
                    }
                }
            }
            Judge::Acceptance(judge) => {
                let uses = std::mem::take(&mut self.uses);
                for (acceptance, used) in case.acceptances.iter().zip(&uses) {
                    let verdict = judge(case, acceptance, used);
                    self.answer(&[], verdict);
                }
                self.uses = uses;
            }
        }
    }

    fn replacements(
        &mut self,
        chosen: &[Chosen<'c, 'a>],
        (slot, judge): (usize, JudgeReplacement),
        is_judged: fn(&Replacement<'c, 'a>) -> bool,
    ) {
        let mut places: Vec<PlaceId> = Vec::new();
        for chosen in chosen {
            if let Chosen::New(replacement) = chosen
                && is_judged(replacement)
            {
                places.clear();
                places.extend(replacement.places());
                self.answer(&places, replacement.verdict(slot, judge));
            }
        }
    }

    /// Takes a rule's answer on one target, which may be the same on several places.
    pub fn answer(&mut self, places: &[PlaceId], verdict: Verdict) {
        let count = places.len().max(1) as u32;
        match verdict {
            Verdict::Failed(_) if self.is_on_unread_line(places) => {
                let fact = "what a line of the log says of it that cannot be read";
                self.answer(places, Verdict::lacks(fact));
            }
            Verdict::NotApplicable => {}
            Verdict::Passed => self.tally.passed += count,
            Verdict::NotChecked(fact) => {
                self.tally.not_checked += count;
                self.note_lack(places, &fact);
                let missing = self.missing.entry((fact,)).or_default();
                missing.0 += count;
                if missing.1.is_empty() {
                    missing.1.extend(places.first());
                }
            }
            Verdict::Failed(fault) => {
                let open: Vec<PlaceId> = places
                    .iter()
                    .copied()
                    .filter(|place| !self.is_accepted(*place, &fault))
                    .collect();
                if open.is_empty() && !places.is_empty() {
                    self.tally.accepted += count;
                    return;
                }
                self.tally.accepted += (places.len() - open.len()) as u32;
                self.tally.failed += open.len().max(1) as u32;
                self.note(open, *fault);
            }
        }
    }

    /// Whether the log may say what this rule misses at these places.
    fn is_on_unread_line(&self, places: &[PlaceId]) -> bool {
        if places.is_empty() || !OF_THE_LOG.contains(&self.rule.name) {
            return false;
        }
        let unread = self.unread.get_or_init(|| self.case.unread_in_log());
        places.iter().all(|place| unread.contains(place))
    }

    /// Answers for many places. Those that fail with the same words fail for one
    /// cause: they are told as one, at the first line that has to do with it.
    pub fn answer_by_cause(&mut self, verdicts: impl Iterator<Item = (PlaceId, Verdict)>) {
        self.answer_together(verdicts, |_, _| None);
    }

    /// The same, board by board: a look that nobody took is one for each board.
    pub fn answer_by_board(&mut self, verdicts: impl Iterator<Item = (PlaceId, Verdict)>) {
        self.answer_together(verdicts, |case, place| Some(case.copy_of(place)));
    }

    fn answer_together(
        &mut self,
        verdicts: impl Iterator<Item = (PlaceId, Verdict)>,
        board_of: fn(&Case<'a>, PlaceId) -> Option<BoardCopy>,
    ) {
        type Cause = (Option<BoardCopy>, String);
        let mut failed: BTreeMap<Cause, (Vec<PlaceId>, Vec<Fault>)> = BTreeMap::new();
        for (place, verdict) in verdicts {
            match verdict {
                Verdict::Failed(fault) => {
                    let cause = (board_of(self.case, place), fault.fact.clone());
                    let together = failed.entry(cause).or_default();
                    together.0.push(place);
                    together.1.push(*fault);
                }
                verdict => self.answer(&[place], verdict),
            }
        }
        for (places, mut faults) in failed.into_values() {
            faults.sort_by_key(|fault| fault.origin);
            let last = faults.last().map(|fault| fault.origin);
            let Some(mut first) = faults.into_iter().next() else {
                continue;
            };
            if let Some(last) = last.filter(|last| *last != first.origin) {
                first = first.with(last, "and the last of them here");
            }
            self.answer(&places, Verdict::failed(first));
        }
    }

    /// Tells the `accept` lines for this rule that it could not look.
    fn note_lack(&mut self, places: &[PlaceId], fact: &str) {
        for (acceptance, used) in self.case.acceptances.iter().zip(&mut self.uses) {
            let concerns = |place| acceptance.selector.places.binary_search(place).is_ok();
            if acceptance.rule == self.rule.name && places.iter().any(concerns) {
                used.lacks
                    .get_or_insert_with(|| Cow::Owned(fact.to_owned()));
            }
        }
    }

    /// Whether an `accept` line silences a fault at a place.
    fn is_accepted(&mut self, place: PlaceId, fault: &Fault) -> bool {
        let mut silenced = false;
        for (acceptance, used) in self.case.acceptances.iter().zip(&mut self.uses) {
            if acceptance.rule != self.rule.name
                || acceptance.selector.places.binary_search(&place).is_err()
            {
                continue;
            }
            match (&acceptance.values, &fault.values) {
                (Some((given, _)), Some(now)) if given != now => used.changed = Some(now.clone()),
                (given, now) => {
                    used.silenced += 1;
                    silenced = true;
                    if given.is_none() {
                        used.unnamed.extend(
                            now.iter()
                                .filter(|now| !used.unnamed.contains(now))
                                .cloned()
                                .collect::<Vec<_>>(),
                        );
                    }
                }
            }
        }
        silenced
    }

    /// Keeps a fault, together with the same one at other places.
    fn note(&mut self, places: Vec<PlaceId>, fault: Fault) {
        let here = self.found_at.entry(fault.origin).or_default();
        let same = here.iter().copied().find(|index| {
            let known = &self.found[*index].1;
            known.fact == fault.fact
                && known.consequence == fault.consequence
                && known.remedy == fault.remedy
        });
        match same {
            Some(index) if !places.is_empty() => {
                let (known_places, known) = &mut self.found[index];
                known_places.extend(places);
                for label in fault.related {
                    if known.related.len() < MOST_LABELS && !known.related.contains(&label) {
                        known.related.push(label);
                    }
                }
            }
            Some(_) => {}
            None => {
                here.push(self.found.len());
                self.found.push((places, fault));
            }
        }
    }

    fn finish(mut self) -> (Tally, Vec<Finding>, Vec<Use>) {
        let mut missing: Vec<Missing> = self
            .missing
            .into_iter()
            .map(|((fact,), (count, example))| Missing {
                fact: fact.into_owned(),
                count,
                example: example
                    .first()
                    .map(|place| self.case.name_of(*place))
                    .unwrap_or_default(),
            })
            .collect();
        missing.sort_by(|one, other| other.count.cmp(&one.count).then(one.fact.cmp(&other.fact)));
        self.tally.missing = missing;
        let findings = self
            .found
            .into_iter()
            .map(|(places, fault)| {
                let severity = if fault.is_question {
                    Severity::Note
                } else if self.stage >= self.rule.at {
                    Severity::Error
                } else {
                    Severity::Warning
                };
                let subject = subject(self.case, &places);
                let is_one = places.iter().all(|place| *place == places[0]);
                Finding {
                    rule: self.rule.name,
                    severity,
                    fault: filled(fault, &subject, is_one),
                    subject,
                    places,
                }
            })
            .collect();
        (self.tally, findings, self.uses)
    }
}

/// Most second places a finding points at.
const MOST_LABELS: usize = 6;

fn filled(mut fault: Fault, subject: &str, is_one: bool) -> Fault {
    let fill = |text: &mut String| {
        if text.contains("{place") {
            *text = told_of(text, subject, is_one);
        }
    };
    fill(&mut fault.fact);
    fill(&mut fault.consequence);
    fill(&mut fault.remedy);
    for Label { text, .. } in &mut fault.related {
        fill(text);
    }
    fault
}

/// Places as a technician would write them: `ch1..ch8.C1..C12`.
pub fn subject(case: &Case<'_>, places: &[PlaceId]) -> String {
    let mut places = places.to_vec();
    places.sort_unstable();
    places.dedup();
    // Parts that fail on the same copies are named together.
    let mut groups: Vec<(Vec<u16>, Vec<&str>, PlaceId)> = Vec::new();
    for same_part in places.chunk_by(|one, other| one.part == other.part) {
        let copies: Vec<u16> = same_part.iter().map(|place| place.copy).collect();
        let part = case.part(same_part[0].part);
        let board = part.board;
        match groups
            .iter_mut()
            .find(|group| group.0 == copies && case.part(group.2.part).board == board)
        {
            Some(group) => group.1.push(&part.name),
            None => groups.push((copies, vec![&part.name], same_part[0])),
        }
    }
    let texts: Vec<String> = groups
        .iter()
        .map(|(copies, parts, first)| {
            let board = case.board_of(first.part);
            let boards = names::compress(
                copies
                    .iter()
                    .map(|copy| board.copies[*copy as usize].as_str()),
            );
            let parts = names::compress(parts.iter().copied());
            if boards.contains(", ") || parts.contains(", ") {
                format!("{parts} on {boards}")
            } else {
                format!("{boards}.{parts}")
            }
        })
        .collect();
    texts.join(" and ")
}

/// The rules that report what could not be made sense of.
pub(crate) type JudgeProblem = fn(&Case<'_>, &Problem) -> Option<Fault>;
/// The rules that look at one new part in its place.
pub(crate) type JudgeReplacement = fn(&Replacement<'_, '_>) -> Verdict;
