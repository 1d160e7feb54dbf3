//! Runs every rule over a case and gathers the answers.

mod share;

use crate::finding::{Fault, Finding, Label, Severity, Verdict};
use crate::meaning::{Act, BoardCopy, BoardId, Case, PartId, PlaceId, Problem, names};
use crate::moves::follow_fields;
use crate::operating_point::joins;
use crate::replacement::{Chosen, Replacement, replacements};
use crate::rules::{Judge, RULES, Rule};
use crate::shop::{BoardNeeds, Need};
use crate::sources::Origin;
use crate::stage::Stage;
use crate::time::order::{MOST_STEPS, Order, precedence};
use crate::time::working_order::fitted_heights;
use crate::words::told_of;
use retin_syntax::value::Decimal;
use rustc_hash::{FxHashMap, FxHashSet};
pub(crate) use share::AsOf;
use share::{Alike, together};
pub use share::{OnBoard, Share};
use std::borrow::Cow;
use std::cell::OnceCell;

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

follow_fields!(Report { findings; tallies, stage });

impl Report {
    /// Nothing found, and nothing looked at.
    pub(crate) fn empty(stage: Stage) -> Report {
        Report {
            findings: Vec::new(),
            tallies: Vec::new(),
            stage,
        }
    }

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
    as_of: AsOf,
    rule: &'static Rule,
    tally: Tally,
    missing: FxHashMap<(Cow<'static, str>,), (u32, Vec<PlaceId>)>,
    found: Vec<(Vec<PlaceId>, Fault)>,
    /// By where it is best mended: which of those found have to do with it.
    found_at: FxHashMap<Origin, Vec<usize>>,
    uses: Vec<Use>,
    /// The places that lines of the log speak of which cannot be read.
    unread: &'c OnceCell<FxHashSet<PlaceId>>,
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
    check_chosen(case, None, &replacements(case))
}

/// Checks a case as if it had come to `stage`, with every board of it.
pub fn check_at(case: &Case<'_>, stage: Stage) -> Report {
    check_chosen(case, Some(stage), &replacements(case))
}

/// Checks a case whose [`replacements`] are known already: as if it had come to
/// `stage`, with every board of it, or as its log shows where none is asked for.
pub fn check_chosen(case: &Case<'_>, stage: Option<Stage>, chosen: &[Chosen<'_, '_>]) -> Report {
    let as_of = AsOf::of(case, stage);
    let said: Vec<Said> = chosen_by_board(case, chosen)
        .into_iter()
        .enumerate()
        .map(|(board, chosen)| {
            Said::of(&OnBoard {
                case,
                board: BoardId(board as u32),
                chosen: &chosen,
                as_of,
            })
        })
        .collect();
    judge(case, as_of, chosen, &said, &OnceCell::new())
}

/// New parts by the board they are for.
pub(crate) fn chosen_by_board<'s, 'c, 'a>(
    case: &Case<'_>,
    chosen: &'s [Chosen<'c, 'a>],
) -> Vec<Vec<&'s Chosen<'c, 'a>>> {
    let mut by_board: Vec<Vec<&Chosen<'_, '_>>> = vec![Vec::new(); case.boards.len()];
    for chosen in chosen {
        by_board[case.part(chosen.part()).board.0 as usize].push(chosen);
    }
    by_board
}

/// What is said of one board, which holds as long as the board, and what is done to
/// it, stay as they are.
#[derive(Clone, Default, PartialEq, Debug)]
pub(crate) struct Said {
    /// By the rule's place among those on boards.
    shares: Vec<Share>,
    needs: BoardNeeds,
    /// The least and the most height of each new body, where it is known.
    pub(crate) heights: Vec<(PlaceId, Option<(Decimal, Decimal)>)>,
    /// The parts that join their nets, in the order written.
    joiners: Vec<PartId>,
}

follow_fields!(Said { shares, needs; heights, joiners });

impl Said {
    /// Asks every rule on boards of one.
    pub(crate) fn of(on: &OnBoard<'_, '_, '_>) -> Said {
        let new = on.new_parts();
        let parts = on.case.board(on.board).parts.iter().copied();
        Said {
            shares: shares_of(on),
            needs: BoardNeeds::of(on.case, on.board, on.chosen),
            heights: new.map(|new| (new.place, fitted_heights(new))).collect(),
            joiners: parts.filter(|part| joins(on.case, *part)).collect(),
        }
    }
}

fn shares_of(on: &OnBoard<'_, '_, '_>) -> Vec<Share> {
    let mut shares = Vec::with_capacity(RULES.len());
    let alike = Alike::on(on);
    // The place of the next rule among those on new parts.
    let mut slot = 0;
    for rule in RULES {
        let mut share = Share::default();
        match rule.judge {
            Judge::Place(judge) => {
                for place in on.places() {
                    share.answer(&[place], judge(on.case, place));
                }
            }
            Judge::Board(judge) | Judge::BoardAndUnit(judge, _) => judge(on, &mut share),
            Judge::Replacement(judge) => {
                let groups = alike.iter().filter(|alike| !alike.is_of_another_kind());
                share.answer_all(groups, slot, judge);
                slot += 1;
            }
            Judge::AnyReplacement(judge) => {
                share.answer_all(alike.iter(), slot, judge);
                slot += 1;
            }
            Judge::Problem(_)
            | Judge::Case(_)
            | Judge::Choice(_)
            | Judge::Steps(_)
            | Judge::Acceptance(_) => continue,
        }
        shares.push(share);
    }
    shares
}

/// What was chosen, as the rules that look at all of it see it.
pub struct Choices<'s, 'c, 'a> {
    /// What goes in at each place. What follows from it alone, as what it takes from
    /// the shelves, may be known of more places than are here.
    pub chosen: &'s [Chosen<'c, 'a>],
    said: &'s [Said],
}

impl Choices<'_, '_, '_> {
    /// What the job still takes of each entry, in the order of the entries.
    pub(crate) fn needs(&self) -> Vec<Need> {
        BoardNeeds::together(self.said.iter().map(|said| &said.needs))
    }

    /// The parts of all boards that join their nets, in the order written.
    pub(crate) fn joiners(&self) -> Vec<PartId> {
        let mut joiners: Vec<PartId> = Vec::new();
        for said in self.said {
            joiners.extend_from_slice(&said.joiners);
        }
        joiners.sort_unstable();
        joiners
    }

    /// Whether a rule asks for what is chosen at every place.
    pub(crate) fn are_all_asked_for(case: &Case<'_>) -> bool {
        case.job.as_ref().is_some_and(|job| {
            let replaces = |act: &Act<'_>| {
                matches!(
                    act,
                    Act::Arrived {
                        instead: Some(_),
                        ..
                    }
                )
            };
            job.approval().is_some() || job.log.iter().any(|entry| replaces(&entry.act))
        })
    }
}

/// Gathers what the rules say of each board, and asks those that look at more.
///
/// Where the order of the steps is known already, `order` holds it; else it is put
/// there, and then `chosen` has to hold what is chosen at every place.
pub(crate) fn judge(
    case: &Case<'_>,
    as_of: AsOf,
    chosen: &[Chosen<'_, '_>],
    said: &[Said],
    order: &OnceCell<Option<Order>>,
) -> Report {
    let choices = Choices { chosen, said };
    let mut findings = Vec::new();
    let mut tallies = Vec::with_capacity(RULES.len());
    let mut uses = vec![Use::default(); case.acceptances.len()];
    // The place of the next rule among those on boards.
    let mut slot = 0;
    let unread = OnceCell::new();
    for rule in RULES {
        let mut answers = Answers {
            case,
            as_of,
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
            unread: &unread,
        };
        if rule.judge.is_on_boards() {
            answers.gather(said.iter().map(|said| &said.shares[slot]));
            slot += 1;
        }
        answers.run(&choices, order);
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
        stage: as_of.stage,
    }
}

impl<'c, 'a> Answers<'c, 'a> {
    /// The stage the case is judged at.
    pub fn stage(&self) -> Stage {
        self.as_of.stage
    }

    /// Whether work on a board has come to a gate.
    pub fn has_reached(&self, gate: Stage, board: BoardCopy) -> bool {
        self.as_of.has_reached(self.case, gate, board)
    }

    /// Takes what the rule says of each board.
    fn gather<'s>(&mut self, shares: impl Iterator<Item = &'s Share>) {
        let mut by_cause = Vec::new();
        for share in shares {
            self.tally.passed += share.passed;
            for lack in &share.lacks {
                self.lack(lack.fact.clone(), lack.count, &lack.places);
            }
            for (places, fault) in &share.faults {
                self.fault(places, fault.clone());
            }
            by_cause.extend_from_slice(&share.by_cause);
        }
        for (places, fault) in together(by_cause, |_| ()) {
            self.fault(&places, fault);
        }
    }

    /// Asks a rule that looks at more than one board.
    fn run(&mut self, choices: &Choices<'_, '_, '_>, order: &OnceCell<Option<Order>>) {
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
            Judge::Board(_)
            | Judge::Place(_)
            | Judge::Replacement(_)
            | Judge::AnyReplacement(_) => {}
            Judge::Choice(judge) | Judge::BoardAndUnit(_, judge) => judge(case, choices, self),
            Judge::Steps(judge) => {
                let Some(job) = case.job.as_ref().filter(|job| !job.steps.is_empty()) else {
                    return;
                };
                match order.get_or_init(|| precedence(case, job, choices.chosen)) {
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

    /// Takes a rule's answer on one target, which may be the same on several places.
    pub fn answer(&mut self, places: &[PlaceId], verdict: Verdict) {
        let count = places.len().max(1) as u32;
        match verdict {
            Verdict::NotApplicable => {}
            Verdict::Passed => self.tally.passed += count,
            Verdict::NotChecked(fact) => self.lack(fact, count, places),
            Verdict::Failed(fault) => self.fault(places, *fault),
        }
    }

    /// So many targets lack a fact.
    fn lack(&mut self, fact: Cow<'static, str>, count: u32, places: &[PlaceId]) {
        self.tally.not_checked += count;
        self.note_lack(places, &fact);
        let missing = self.missing.entry((fact,)).or_default();
        missing.0 += count;
        if missing.1.is_empty() {
            missing.1.extend(places.first());
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

    fn fault(&mut self, places: &[PlaceId], fault: Fault) {
        if self.is_on_unread_line(places) {
            let fact = "what a line of the log says of it that cannot be read";
            self.lack(fact.into(), places.len() as u32, places);
            return;
        }
        let open: Vec<PlaceId> = places
            .iter()
            .copied()
            .filter(|place| !self.is_accepted(*place, &fault))
            .collect();
        if open.is_empty() && !places.is_empty() {
            self.tally.accepted += places.len() as u32;
            return;
        }
        self.tally.accepted += (places.len() - open.len()) as u32;
        self.tally.failed += open.len().max(1) as u32;
        self.note(open, fault);
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
                } else if self.as_of.stage >= self.rule.at {
                    Severity::Error
                } else {
                    Severity::Warning
                };
                let subject = subject_in_brief(self.case, &places);
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
    named(case, places, &|parts| {
        names::compress(parts.iter().copied())
    })
}

/// The same where a sentence has to hold them: of very many, the first and how many
/// more there are.
fn subject_in_brief(case: &Case<'_>, places: &[PlaceId]) -> String {
    named(case, places, &|parts| {
        names::compress_briefly(parts.iter().copied())
    })
}

fn named(case: &Case<'_>, places: &[PlaceId], compress: &dyn Fn(&[&str]) -> String) -> String {
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
            let parts = compress(parts);
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
