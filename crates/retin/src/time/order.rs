//! The order of a job's steps: what the technician wrote, and what every bench
//! keeps besides.

use crate::meaning::{BoardCopy, Case, Job};
use crate::moves::{Moved, Moves};
use crate::replacement::Chosen;
use crate::sources::Origin;
use crate::time::bench_order::{Ground, PRECEDENCES, Precedence, Which, Work, share, supplies};
use crate::time::minutes::{Duration, duration};
use crate::time::working_order::new_parts;
use retin_syntax::Token;
use retin_syntax::tables::StepVerb;
use retin_syntax::value::Decimal;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Most steps that are put in order; nobody's bench has more in one job.
pub const MOST_STEPS: usize = 500;

/// Why one step comes before another.
#[derive(Clone, Copy, Debug)]
pub enum Why {
    /// Its line says so, at this word behind `after`.
    Written(Origin),
    /// Every bench does it so.
    Bench(&'static Precedence),
}

/// One step before another; both are indexes into the job's steps.
#[derive(Clone, Copy, Debug)]
pub struct Edge {
    /// The step that comes first.
    pub earlier: usize,
    /// The step that waits for it.
    pub later: usize,
    /// Why.
    pub why: Why,
}

/// Steps that wait for one another.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Circle {
    /// The steps; each waits for the next, and the last for the first.
    pub steps: Vec<usize>,
    /// The word behind `after` that closes the circle.
    pub origin: Origin,
}

/// A step that is written to come before what it has to wait for.
#[derive(Clone, Debug)]
pub struct TooEarly {
    /// The step that is too early.
    pub step: usize,
    /// The step it has to wait for.
    pub waits_for: usize,
    /// Why it has to.
    pub because: &'static Precedence,
    /// What is written instead: from the step that is too early to the one it
    /// has to wait for, each waited for by the next.
    pub written: Vec<usize>,
    /// The word behind `after` to mend.
    pub origin: Origin,
    /// The step that the word names, and the step in whose line it stands.
    pub mend: (usize, usize),
    /// Whether the contradiction follows only together with other things of the bench's order.
    pub is_indirect: bool,
}

/// The steps of a job, put in order.
#[derive(Debug)]
pub struct Order {
    /// The steps in an order in which each comes after what it waits for; as
    /// written where nothing decides.
    pub sequence: Vec<usize>,
    /// What comes before what, written lines first.
    pub edges: Vec<Edge>,
    /// Steps that wait for one another.
    pub circles: Vec<Circle>,
    /// Steps that are written to come too early.
    pub too_early: Vec<TooEarly>,
    /// How often the order that every bench keeps was asked for and is kept.
    pub kept: u32,
    /// How long each step takes, by the job's steps; empty where only what comes
    /// before what was asked for.
    pub durations: Vec<Duration>,
    /// The longest chain of steps of which each waits for the one before; empty
    /// where nobody asked how long the steps take.
    pub critical: Vec<usize>,
    /// The copies of boards that each step touches, by the job's steps.
    boards: Vec<Vec<BoardCopy>>,
    reach: Reach,
}

impl Moved for Order {
    fn follow(&mut self, moves: &Moves) {
        for edge in &mut self.edges {
            match &mut edge.why {
                Why::Written(origin) => origin.follow(moves),
                Why::Bench(_) => {}
            }
        }
        for circle in &mut self.circles {
            circle.origin.follow(moves);
        }
        for early in &mut self.too_early {
            early.origin.follow(moves);
        }
    }
}

/// Puts the steps of a job in order; none where there are too many to look at.
pub fn order(case: &Case<'_>, job: &Job<'_>, chosen: &[Chosen<'_, '_>]) -> Option<Order> {
    let mut order = precedence(case, job, chosen)?;
    let steps = job.steps.iter();
    order.durations = steps.map(|step| duration(case, step)).collect();
    order.critical = order.longest();
    Some(order)
}

/// The same without a word on how long it takes.
pub(crate) fn precedence(
    case: &Case<'_>,
    job: &Job<'_>,
    chosen: &[Chosen<'_, '_>],
) -> Option<Order> {
    let steps = &job.steps;
    if steps.len() > MOST_STEPS {
        return None;
    }
    let mut order = Order {
        sequence: Vec::with_capacity(steps.len()),
        edges: Vec::new(),
        circles: Vec::new(),
        too_early: Vec::new(),
        kept: 0,
        durations: Vec::new(),
        critical: Vec::new(),
        boards: steps.iter().map(|step| step.about.touched(case)).collect(),
        reach: Reach::new(steps.len()),
    };
    order.take_written(job);
    let written = order.reach.clone();
    let (new, supplies) = (new_parts(chosen), supplies(case));
    let works: Vec<Work<'_, '_>> = steps
        .iter()
        .map(|step| Work::of(case, &new, &supplies, step))
        .collect();
    for row in PRECEDENCES {
        order.take_bench(&works, row, &written);
    }
    order.told_once();
    order.sequence = order.sorted();
    Some(order)
}

impl Order {
    /// The time of all steps in seconds, as far as it is known.
    pub fn total(&self) -> Decimal {
        self.durations.iter().fold(Decimal::ZERO, |sum, duration| {
            sum.saturating_add(duration.seconds)
        })
    }

    /// The time of the longest chain in seconds.
    pub fn critical_seconds(&self) -> Decimal {
        let seconds = self
            .critical
            .iter()
            .map(|step| self.durations[*step].seconds);
        seconds.fold(Decimal::ZERO, Decimal::saturating_add)
    }

    /// Whether one step has to come before another, directly or by way of others.
    pub fn is_before(&self, earlier: usize, later: usize) -> bool {
        self.reach.has(earlier, later)
    }

    /// Why a step waits, edge by edge.
    pub fn waits_of(&self, step: usize) -> impl Iterator<Item = &Edge> {
        self.edges.iter().filter(move |edge| edge.later == step)
    }

    /// What may be done while a step needs nobody at the bench: steps that come
    /// after it in the order, do not wait for it, and are about other boards.
    pub fn meanwhile(&self, job: &Job<'_>, step: usize) -> Vec<usize> {
        if !runs_by_itself(job, step) {
            return Vec::new();
        }
        let is_free = |other: &usize| {
            !self.is_before(step, *other) && !share(&self.boards[step], &self.boards[*other])
        };
        let later = self
            .sequence
            .iter()
            .copied()
            .skip_while(|other| *other != step);
        later.skip(1).filter(is_free).collect()
    }

    fn take_written(&mut self, job: &Job<'_>) {
        for (later, step) in job.steps.iter().enumerate() {
            for waits in &step.after {
                let earlier = waits.step;
                if earlier == later || self.reach.has(later, earlier) {
                    let mut steps = self.path(later, earlier);
                    steps.reverse();
                    steps.rotate_right(1);
                    self.circles.push(Circle {
                        steps,
                        origin: waits.origin,
                    });
                    continue;
                }
                self.add(earlier, later, Why::Written(waits.origin));
            }
        }
    }

    fn take_bench(
        &mut self,
        works: &[Work<'_, '_>],
        precedence: &'static Precedence,
        written: &Reach,
    ) {
        let waits = |earlier: &Work<'_, '_>, later: &Work<'_, '_>| {
            !std::ptr::eq(earlier.step, later.step)
                && precedence.waits.is_none_or(|waits| waits(earlier, later))
        };
        let earlier: Vec<usize> = (0..works.len())
            .filter(|index| (precedence.is_earlier)(&works[*index]))
            .collect();
        for later in (0..works.len()).filter(|index| (precedence.is_later)(&works[*index])) {
            let work = &works[later];
            let among = |shares: &dyn Fn(&Work<'_, '_>) -> bool| -> Vec<usize> {
                let fits = |index: &&usize| {
                    let other = &works[**index];
                    waits(other, work) && shares(other)
                };
                earlier.iter().filter(fits).copied().collect()
            };
            match (precedence.which, precedence.ground) {
                (Which::All, ground) => {
                    let shares = |other: &Work<'_, '_>| match ground {
                        Ground::Place => share(&other.places, &work.places),
                        Ground::Board => share(&other.boards, &work.boards),
                        Ground::Unit => true,
                    };
                    for candidate in among(&shares) {
                        self.take_first(&[candidate], later, precedence, written);
                    }
                }
                (Which::First, Ground::Unit) => {
                    self.take_first(&among(&|_| true), later, precedence, written);
                }
                (Which::First, Ground::Board) => {
                    let mut taken: Vec<Vec<usize>> = Vec::new();
                    for copy in &work.boards {
                        let candidates = among(&|other| other.boards.binary_search(copy).is_ok());
                        if !taken.contains(&candidates) {
                            self.take_first(&candidates, later, precedence, written);
                            taken.push(candidates);
                        }
                    }
                }
                (Which::First, Ground::Place) => {
                    let candidates = among(&|other| share(&other.places, &work.places));
                    self.take_first(&candidates, later, precedence, written);
                }
            }
        }
    }

    /// Lets a step wait for the first candidate that is not written to come after it.
    fn take_first(
        &mut self,
        candidates: &[usize],
        later: usize,
        precedence: &'static Precedence,
        written: &Reach,
    ) {
        let Some(&first) = candidates.first() else {
            return;
        };
        let free = candidates
            .iter()
            .copied()
            .find(|candidate| !self.reach.has(later, *candidate));
        if let Some(free) = free {
            self.kept += 1;
            self.add(free, later, Why::Bench(precedence));
            return;
        }
        let direct = candidates
            .iter()
            .copied()
            .find(|candidate| written.has(later, *candidate));
        let blamed = direct.unwrap_or(first);
        // Steps that wait for one another are told as that, and not as this too.
        let is_in_circle =
            |circle: &Circle| circle.steps.contains(&later) && circle.steps.contains(&blamed);
        if self.circles.iter().any(is_in_circle) {
            return;
        }
        let path = self.path(later, blamed);
        let Some((origin, mend)) = self.last_written(&path) else {
            // The table contradicts itself here; its earlier row goes before.
            return;
        };
        self.too_early.push(TooEarly {
            step: later,
            waits_for: blamed,
            because: precedence,
            written: path,
            origin,
            mend,
            is_indirect: direct.is_none(),
        });
    }

    fn add(&mut self, earlier: usize, later: usize, why: Why) {
        if matches!(why, Why::Bench(_)) && self.reach.has(earlier, later) {
            return;
        }
        self.edges.push(Edge {
            earlier,
            later,
            why,
        });
        self.reach.add(earlier, later);
    }

    /// A shortest chain of edges from one step to another, both included; written
    /// ones are preferred.
    fn path(&self, from: usize, to: usize) -> Vec<usize> {
        for only_written in [true, false] {
            let mut before: Vec<Option<usize>> = vec![None; self.boards.len()];
            let mut front = vec![from];
            while !front.is_empty() && before[to].is_none() && from != to {
                let mut next = Vec::new();
                for edge in &self.edges {
                    let is_taken = !only_written || matches!(edge.why, Why::Written(_));
                    if is_taken
                        && front.contains(&edge.earlier)
                        && edge.later != from
                        && before[edge.later].is_none()
                    {
                        before[edge.later] = Some(edge.earlier);
                        next.push(edge.later);
                    }
                }
                front = next;
            }
            let mut path = vec![to];
            while let Some(step) = before[*path.last().unwrap_or(&to)] {
                path.push(step);
            }
            path.reverse();
            if path[0] == from {
                return path;
            }
        }
        vec![from, to]
    }

    /// The last written word of a chain, which holds its end back, with the step it
    /// names and the step in whose line it stands.
    fn last_written(&self, path: &[usize]) -> Option<(Origin, (usize, usize))> {
        path.windows(2).rev().find_map(|pair| {
            self.edges.iter().find_map(|edge| match edge.why {
                Why::Written(origin) if (edge.earlier, edge.later) == (pair[0], pair[1]) => {
                    Some((origin, (edge.earlier, edge.later)))
                }
                _ => None,
            })
        })
    }

    /// Leaves out what only follows from a shorter contradiction: it is mended with that.
    fn told_once(&mut self) {
        let all = std::mem::take(&mut self.too_early);
        let follows = |one: &TooEarly| {
            all.iter().any(|other| {
                other.written.len() < one.written.len()
                    && one
                        .written
                        .windows(other.written.len())
                        .any(|part| part == other.written)
            })
        };
        self.too_early = all.iter().filter(|one| !follows(one)).cloned().collect();
    }

    /// An order of all steps, as written wherever nothing decides.
    fn sorted(&self) -> Vec<usize> {
        let count = self.boards.len();
        let mut waits = vec![0_usize; count];
        let mut followers: Vec<Vec<usize>> = vec![Vec::new(); count];
        for edge in &self.edges {
            waits[edge.later] += 1;
            followers[edge.earlier].push(edge.later);
        }
        let mut free: BinaryHeap<Reverse<usize>> = (0..count)
            .filter(|step| waits[*step] == 0)
            .map(Reverse)
            .collect();
        let mut sequence = Vec::with_capacity(count);
        while let Some(Reverse(step)) = free.pop() {
            sequence.push(step);
            for follower in &followers[step] {
                waits[*follower] -= 1;
                if waits[*follower] == 0 {
                    free.push(Reverse(*follower));
                }
            }
        }
        sequence
    }

    fn longest(&self) -> Vec<usize> {
        let count = self.durations.len();
        let mut ends: Vec<Decimal> = vec![Decimal::ZERO; count];
        let mut before: Vec<Option<usize>> = vec![None; count];
        for step in &self.sequence {
            let mut begin = Decimal::ZERO;
            for edge in self.waits_of(*step) {
                let is_first = before[*step].is_none();
                if is_first || ends[edge.earlier] > begin {
                    begin = ends[edge.earlier];
                    before[*step] = Some(edge.earlier);
                }
            }
            ends[*step] = begin.saturating_add(self.durations[*step].seconds);
        }
        let last = self
            .sequence
            .iter()
            .copied()
            .max_by(|one, other| ends[*one].cmp(&ends[*other]).then(other.cmp(one)));
        let mut chain: Vec<usize> = Vec::new();
        let mut at = last;
        while let Some(step) = at {
            chain.push(step);
            at = before[step];
        }
        chain.reverse();
        chain
    }
}

/// Whether a step goes on while nobody stands by: what was washed dries, and what
/// was left on for an hour soaks.
fn runs_by_itself(job: &Job<'_>, step: usize) -> bool {
    let step = &job.steps[step];
    match step.verb {
        StepVerb::Clean => true,
        StepVerb::Power | StepVerb::Test => step.condition == Some(Token::Warm),
        _ => false,
    }
}

/// Which steps come before which, as bits.
#[derive(Clone, Debug)]
struct Reach {
    words: usize,
    bits: Vec<u64>,
}

impl Reach {
    fn new(count: usize) -> Self {
        let words = count.div_ceil(64);
        Reach {
            words,
            bits: vec![0; words * count],
        }
    }

    fn has(&self, earlier: usize, later: usize) -> bool {
        self.bits[earlier * self.words + later / 64] >> (later % 64) & 1 == 1
    }

    /// Takes in that one step comes before another, and all that follows from it.
    fn add(&mut self, earlier: usize, later: usize) {
        if self.has(earlier, later) {
            return;
        }
        let row = |step: usize| step * self.words..(step + 1) * self.words;
        let mut gained = self.bits[row(later)].to_vec();
        gained[later / 64] |= 1 << (later % 64);
        let count = self.bits.len() / self.words;
        for step in 0..count {
            if step != earlier && !self.has(step, earlier) {
                continue;
            }
            for (word, gained) in gained.iter().enumerate() {
                self.bits[step * self.words + word] |= gained;
            }
        }
    }
}
