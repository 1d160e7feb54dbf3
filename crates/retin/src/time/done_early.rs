//! Entries of the log that do a step's work before what the step waits for is done.

use crate::meaning::{Act, BoardCopy, Case, Job, LinkId, LogEntry, PlaceId};
use crate::time::bench_order::share;
use crate::time::minutes::places_worked_on;
use crate::time::order::{Order, Why};
use retin_syntax::Token;
use retin_syntax::tables::StepVerb;
use rustc_hash::FxHashSet;

/// An entry that came too early.
#[derive(Clone, Debug)]
pub struct DoneEarly {
    /// The entry, as an index into the log.
    pub entry: usize,
    /// The step whose work it does.
    pub step: usize,
    /// The step that was not done yet.
    pub waits_for: usize,
    /// Why the one waits for the other, where it does so directly.
    pub why: Option<Why>,
    /// The boards at which it was not done.
    pub boards: Vec<BoardCopy>,
    /// The later entry that does it there after all; none where the log is silent.
    pub done_later: Option<usize>,
}

/// A step, as the log can answer for it.
struct Wanted {
    verb: StepVerb,
    places: Vec<PlaceId>,
    boards: Vec<BoardCopy>,
    links: Vec<LinkId>,
}

/// What one entry names.
struct Named {
    verb: StepVerb,
    places: Vec<PlaceId>,
    whole_boards: Vec<BoardCopy>,
    touched: Vec<BoardCopy>,
    links: Vec<LinkId>,
}

/// Whether it costs something to do such work too early: who looks, measures or
/// takes pictures early can do it again.
fn costs(verb: StepVerb) -> bool {
    matches!(
        verb,
        StepVerb::Remove
            | StepVerb::Clean
            | StepVerb::Fit
            | StepVerb::Solder
            | StepVerb::Power
            | StepVerb::Adjust
    )
}

/// The first entry for each pair of a step and one that it waits for. What the
/// entry names decides: what waits on one board does not hold up another.
pub fn done_early(case: &Case<'_>, job: &Job<'_>, order: &Order) -> Vec<DoneEarly> {
    // Most of a log costs nothing: it is readings and remarks.
    if !job
        .happened()
        .any(|(_, entry)| verb_of(&entry.act).is_some_and(costs))
    {
        return Vec::new();
    }
    let wanted: Vec<Wanted> = job
        .steps
        .iter()
        .map(|step| Wanted {
            verb: step.verb,
            places: places_worked_on(case, step),
            boards: step.about.touched(case),
            links: step.about.links.clone(),
        })
        .collect();
    let entries: Vec<(usize, Named)> = job
        .happened()
        .filter_map(|(index, entry)| Some((index, named(case, entry)?)))
        .collect();
    let mut done = Done::default();
    let mut early: Vec<DoneEarly> = Vec::new();
    let mut told: FxHashSet<(usize, usize)> = FxHashSet::default();
    for (at, (entry, named)) in entries.iter().enumerate() {
        if costs(named.verb)
            && let Some(step) = only_step(&wanted, named)
        {
            let before =
                order.sequence.iter().copied().filter(|other| {
                    order.is_before(*other, step) && !told.contains(&(step, *other))
                });
            for waits_for in before.collect::<Vec<_>>() {
                let first = &wanted[waits_for];
                let boards = done.missing_at(case, first, named);
                if boards.is_empty() {
                    continue;
                }
                let does_later = |later: &&(usize, Named)| {
                    later.1.verb == first.verb && share(&later.1.touched, &boards)
                };
                let done_later = entries[at + 1..].iter().find(does_later);
                let edge = order.waits_of(step).find(|edge| edge.earlier == waits_for);
                told.insert((step, waits_for));
                early.push(DoneEarly {
                    entry: *entry,
                    step,
                    waits_for,
                    why: edge.map(|edge| edge.why),
                    boards,
                    done_later: done_later.map(|later| later.0),
                });
                // What else is missing there is told once this is mended.
                break;
            }
        }
        done.take(named);
    }
    early
}

/// The one step whose work an entry does; none where it could be more than one.
fn only_step(wanted: &[Wanted], named: &Named) -> Option<usize> {
    let does = |step: &Wanted| {
        step.verb == named.verb
            && if step.places.is_empty() && step.links.is_empty() {
                share(&step.boards, &named.touched)
            } else {
                share(&step.places, &named.places) || share(&step.links, &named.links)
            }
    };
    let mut steps = (0..wanted.len()).filter(|step| does(&wanted[*step]));
    let first = steps.next()?;
    steps.next().is_none().then_some(first)
}

fn named(case: &Case<'_>, entry: &LogEntry<'_>) -> Option<Named> {
    let verb = verb_of(&entry.act)?;
    // A socket is no chip: what waits for the chip does not wait for its socket.
    if let Act::Fitted { with, .. } = &entry.act
        && with.iter().any(|part| {
            part.kind(case)
                .is_some_and(|kind| kind.token() == Token::Socket)
        })
    {
        return None;
    }
    let subject = &entry.subject;
    let mut places = subject.places.clone();
    places.extend(subject.pads.iter().map(|pad| pad.place));
    places.sort_unstable();
    places.dedup();
    let mut touched = subject.boards.clone();
    touched.extend(places.iter().map(|place| case.copy_of(*place)));
    let nets = subject.nets.iter();
    touched.extend(nets.map(|(net, copy)| (case.nets.net(*net).board, *copy)));
    for link in &subject.links {
        touched.extend(&case.link(*link).boards);
    }
    touched.sort_unstable();
    touched.dedup();
    Some(Named {
        verb,
        places,
        whole_boards: subject.boards.clone(),
        touched,
        links: subject.links.clone(),
    })
}

/// The step's verb for what was done; a correction tells it by its act alone.
pub(super) fn verb_of(act: &Act<'_>) -> Option<StepVerb> {
    Some(match act {
        Act::Photographed { .. } => StepVerb::Photograph,
        Act::Discharged => StepVerb::Discharge,
        Act::Removed => StepVerb::Remove,
        Act::Cleaned { .. } => StepVerb::Clean,
        Act::Repaired { .. } => StepVerb::Repair,
        Act::Fitted { .. } => StepVerb::Fit,
        Act::Soldered => StepVerb::Solder,
        Act::Inspected => StepVerb::Inspect,
        Act::Measured { .. } => StepVerb::Measure,
        Act::Powered { .. } => StepVerb::Power,
        Act::Adjusted { .. } => StepVerb::Adjust,
        Act::Tested => StepVerb::Test,
        _ => return None,
    })
}

/// What the log has done so far.
#[derive(Default)]
struct Done {
    places: FxHashSet<(StepVerb, PlaceId)>,
    whole_boards: FxHashSet<(StepVerb, BoardCopy)>,
    touched: FxHashSet<(StepVerb, BoardCopy)>,
    links: FxHashSet<(StepVerb, LinkId)>,
}

impl Done {
    fn take(&mut self, named: &Named) {
        let verb = named.verb;
        self.places
            .extend(named.places.iter().map(|place| (verb, *place)));
        self.whole_boards
            .extend(named.whole_boards.iter().map(|copy| (verb, *copy)));
        self.touched
            .extend(named.touched.iter().map(|copy| (verb, *copy)));
        self.links
            .extend(named.links.iter().map(|link| (verb, *link)));
    }

    fn has_place(&self, case: &Case<'_>, verb: StepVerb, place: PlaceId) -> bool {
        self.places.contains(&(verb, place))
            || self.whole_boards.contains(&(verb, case.copy_of(place)))
    }

    /// The boards that an entry touches at which a step is not done yet. Where
    /// both name the same places, only these count.
    fn missing_at(&self, case: &Case<'_>, first: &Wanted, named: &Named) -> Vec<BoardCopy> {
        let verb = first.verb;
        if share(&first.places, &named.places) {
            let mut boards: Vec<BoardCopy> = first
                .places
                .iter()
                .filter(|place| named.places.binary_search(place).is_ok())
                .filter(|place| !self.has_place(case, verb, **place))
                .map(|place| case.copy_of(*place))
                .collect();
            boards.dedup();
            return boards;
        }
        let is_missing = |copy: &&BoardCopy| {
            let mut places = first
                .places
                .iter()
                .filter(|place| case.copy_of(**place) == **copy)
                .peekable();
            if places.peek().is_some() {
                return places.any(|place| !self.has_place(case, verb, *place));
            }
            let mut links = first
                .links
                .iter()
                .filter(|link| case.link(**link).boards.binary_search(copy).is_ok())
                .peekable();
            if links.peek().is_some() {
                let is_soldered = self.whole_boards.contains(&(verb, **copy));
                return !is_soldered && links.any(|link| !self.links.contains(&(verb, *link)));
            }
            !self.touched.contains(&(verb, **copy))
        };
        let shared = named
            .touched
            .iter()
            .filter(|copy| first.boards.binary_search(copy).is_ok());
        shared.filter(is_missing).copied().collect()
    }
}
