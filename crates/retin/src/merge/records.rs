//! Joins lists of records that belong to one line.

use super::Clash;
use super::layout::pick;
use super::outline::Node;
use retin_syntax::value::{self, Value};
use std::borrow::Cow;
use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};

/// A line of the result, or lines to be decided between.
#[derive(Debug)]
pub(super) enum Joined<'n> {
    /// A line and what belongs to it.
    Line(Line<'n>, Vec<Joined<'n>>),
    /// Everything below comes from one side.
    Whole(&'n Node<'n>),
    /// Two versions of a record, with all that belongs to them.
    Undecided {
        /// Ours; none where we took it out.
        ours: Option<&'n Node<'n>>,
        /// Theirs; none where they took it out.
        theirs: Option<&'n Node<'n>>,
        /// What the sides did.
        clash: Clash,
    },
    /// Two versions of a line whose children could be joined.
    UndecidedLine {
        /// Ours.
        ours: &'n Node<'n>,
        /// Theirs.
        theirs: &'n Node<'n>,
        /// What the sides did.
        clash: Clash,
        /// What belongs to the line, whichever is kept.
        children: Vec<Joined<'n>>,
    },
}

/// One line of the result.
#[derive(Debug)]
pub(super) struct Line<'n> {
    /// Its indentation, as a side has it.
    pub indent: &'n str,
    /// What stands on it.
    pub text: Cow<'n, str>,
    /// Blank lines before it.
    pub blanks: u32,
    /// Whether it is a comment.
    pub is_comment: bool,
    /// What it says, in canonical words.
    pub says: &'n str,
    /// When it was, of days and entries of the log.
    pub when: Option<&'n str>,
}

impl<'n> Line<'n> {
    fn of(node: &'n Node<'n>) -> Self {
        Line {
            indent: node.indent,
            text: Cow::Borrowed(node.typed),
            blanks: node.blanks,
            is_comment: node.is_comment(),
            says: &node.says,
            when: node.identity.when.as_deref(),
        }
    }
}

/// A record on the three sides, as indexes into their lists.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
struct Triple {
    base: Option<usize>,
    ours: Option<usize>,
    theirs: Option<usize>,
}

/// A record's place in the list of one side.
type OfSide = fn(&Triple) -> Option<usize>;

/// Joins three lists.
pub(super) fn join<'n>(
    base: &'n [Node<'n>],
    ours: &'n [Node<'n>],
    theirs: &'n [Node<'n>],
) -> Vec<Joined<'n>> {
    let triples = ordered(base, ours, theirs, triples(base, ours, theirs));
    let mut joined: Vec<Joined<'n>> = triples
        .into_iter()
        .filter_map(|triple| {
            decide(
                triple.base.map(|at| &base[at]),
                triple.ours.map(|at| &ours[at]),
                triple.theirs.map(|at| &theirs[at]),
            )
        })
        .collect();
    date_days(&mut joined);
    joined
}

fn decide<'n>(
    base: Option<&'n Node<'n>>,
    ours: Option<&'n Node<'n>>,
    theirs: Option<&'n Node<'n>>,
) -> Option<Joined<'n>> {
    match (base, ours, theirs) {
        (_, None, None) => None,
        (base, Some(ours), Some(theirs)) => Some(both(base, ours, theirs)),
        (None, Some(one), None) | (None, None, Some(one)) => Some(Joined::Whole(one)),
        (Some(base), Some(ours), None) => (!base.is_same(ours)).then_some(Joined::Undecided {
            ours: Some(ours),
            theirs: None,
            clash: Clash::TheyRemoved,
        }),
        (Some(base), None, Some(theirs)) => (!base.is_same(theirs)).then_some(Joined::Undecided {
            ours: None,
            theirs: Some(theirs),
            clash: Clash::WeRemoved,
        }),
    }
}

/// Which side a text is taken from.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Side {
    Ours,
    Theirs,
}

fn both<'n>(base: Option<&'n Node<'n>>, ours: &'n Node<'n>, theirs: &'n Node<'n>) -> Joined<'n> {
    let says = side(base, ours, theirs, |node| &node.says, |node| node.record);
    let comment = side(base, ours, theirs, |node| node.comment, |node| node.comment);
    let children = join(
        base.map_or(&[], |base| &base.children),
        &ours.children,
        &theirs.children,
    );
    let (Some(says), Some(comment)) = (says, comment) else {
        let clash = if base.is_some() {
            Clash::BothChanged
        } else {
            Clash::BothAdded
        };
        return Joined::UndecidedLine {
            ours,
            theirs,
            clash,
            children,
        };
    };
    let of = |side| match side {
        Side::Ours => ours,
        Side::Theirs => theirs,
    };
    let text = if says == comment || ours.comment == theirs.comment {
        Cow::Borrowed(of(says).typed)
    } else if of(comment).comment.is_empty() {
        Cow::Borrowed(of(says).record)
    } else {
        Cow::Owned(format!("{}  {}", of(says).record, of(comment).comment))
    };
    let line = Line {
        text,
        blanks: pick(
            base.map_or(ours.blanks, |base| base.blanks),
            ours.blanks,
            theirs.blanks,
        ),
        ..Line::of(of(says))
    };
    Joined::Line(line, children)
}

/// The side whose text holds: the one that changed it; where both say the same,
/// the one that changed its spelling. None where they contradict.
fn side<'n>(
    base: Option<&'n Node<'n>>,
    ours: &'n Node<'n>,
    theirs: &'n Node<'n>,
    says: impl Fn(&'n Node<'n>) -> &'n str,
    typed: impl Fn(&'n Node<'n>) -> &'n str,
) -> Option<Side> {
    let base = base.filter(|base| !base.is_contested);
    if says(ours) == says(theirs) {
        let is_kept = base.is_some_and(|base| typed(base) == typed(ours));
        return Some(if is_kept { Side::Theirs } else { Side::Ours });
    }
    let base = says(base?);
    if base == says(ours) {
        Some(Side::Theirs)
    } else if base == says(theirs) {
        Some(Side::Ours)
    } else {
        None
    }
}

/// Which records of the three lists are one.
fn triples(base: &[Node<'_>], ours: &[Node<'_>], theirs: &[Node<'_>]) -> Vec<Triple> {
    let in_ours = match_up(base, ours);
    let in_theirs = match_up(base, theirs);
    let mut triples: Vec<Triple> = (0..base.len())
        .map(|at| Triple {
            base: Some(at),
            ours: in_ours[at],
            theirs: in_theirs[at],
        })
        .collect();
    let rest = |matched: &[Option<usize>], count: usize| -> Vec<usize> {
        let mut is_matched = vec![false; count];
        for at in matched.iter().flatten() {
            is_matched[*at] = true;
        }
        (0..count).filter(|at| !is_matched[*at]).collect()
    };
    let our_own = rest(&in_ours, ours.len());
    let mut their_own = rest(&in_theirs, theirs.len());
    // What both added is one where it is alike, or where it cannot be two.
    for is_alike in [true, false] {
        for &at in &our_own {
            if triples.iter().any(|triple| triple.ours == Some(at)) {
                continue;
            }
            let one = &ours[at];
            let partner = their_own.iter().position(|other| {
                let other = &theirs[*other];
                one.identity.key == other.identity.key
                    && if is_alike {
                        one.says == other.says
                    } else {
                        one.identity.is_unique
                    }
            });
            let theirs = partner.map(|partner| their_own.remove(partner));
            if theirs.is_some() || !is_alike {
                triples.push(Triple {
                    base: None,
                    ours: Some(at),
                    theirs,
                });
            }
        }
    }
    triples.extend(their_own.into_iter().map(|at| Triple {
        base: None,
        ours: None,
        theirs: Some(at),
    }));
    triples
}

/// By record of `base`, the same one in `side`: among those about one thing
/// first the ones that say the same, then the ones that share the most of what
/// belongs to them, then in the order written.
fn match_up(base: &[Node<'_>], side: &[Node<'_>]) -> Vec<Option<usize>> {
    let mut by_key: BTreeMap<&str, (Vec<usize>, Vec<usize>)> = BTreeMap::new();
    for (at, node) in base.iter().enumerate() {
        by_key.entry(&node.identity.key).or_default().0.push(at);
    }
    for (at, node) in side.iter().enumerate() {
        if let Some(group) = by_key.get_mut(&*node.identity.key) {
            group.1.push(at);
        }
    }
    let mut matched = vec![None; base.len()];
    for (ours, theirs) in by_key.into_values() {
        let mut free = theirs;
        let mut open = Vec::new();
        for at in ours {
            match free
                .iter()
                .position(|other| base[at].says == side[*other].says)
            {
                Some(found) => matched[at] = Some(free.remove(found)),
                None => open.push(at),
            }
        }
        for at in open {
            let best = (0..free.len()).max_by_key(|index| {
                let shared = shared_children(&base[at], &side[free[*index]]);
                (shared, free.len() - index)
            });
            matched[at] = best.map(|best| free.remove(best));
        }
    }
    matched
}

fn shared_children(one: &Node<'_>, other: &Node<'_>) -> usize {
    if one.children.is_empty() || other.children.is_empty() {
        return 0;
    }
    let keys: BTreeSet<&str> = one
        .children
        .iter()
        .map(|child| child.identity.key.as_str())
        .collect();
    other
        .children
        .iter()
        .filter(|child| keys.contains(child.identity.key.as_str()))
        .count()
}

/// The records in the order of the result.
///
/// The side that changed the order leads, ours where both did. What the other
/// side alone has comes behind what it follows there, ours before theirs; in a
/// log, in the order of time.
fn ordered(
    base: &[Node<'_>],
    ours: &[Node<'_>],
    theirs: &[Node<'_>],
    triples: Vec<Triple>,
) -> Vec<Triple> {
    let our_order: OfSide = |triple| triple.ours;
    let their_order: OfSide = |triple| triple.theirs;
    let leads_theirs = is_in_order(&triples, our_order) && !is_in_order(&triples, their_order);
    let (lead, other) = if leads_theirs {
        (their_order, our_order)
    } else {
        (our_order, their_order)
    };
    let (lead_times, other_times) = if leads_theirs {
        (times(theirs), times(ours))
    } else {
        (times(ours), times(theirs))
    };
    let is_log = [base, ours, theirs].iter().any(|list| {
        list.iter()
            .any(|node| node.identity.is_log && node.identity.when.is_some())
    });
    let mut sequence: Vec<Triple> = triples
        .iter()
        .copied()
        .filter(|triple| lead(triple).is_some())
        .collect();
    sequence.sort_by_key(lead);
    let mut late: Vec<Triple> = triples
        .into_iter()
        .filter(|triple| lead(triple).is_none() && other(triple).is_some())
        .collect();
    late.sort_by_key(other);
    for triple in late {
        let Some(at) = other(&triple) else { continue };
        let before = sequence
            .iter()
            .enumerate()
            .filter_map(|(place, placed)| Some((other(placed).filter(|other| *other < at)?, place)))
            .max();
        let mut place = before.map_or(0, |(_, place)| place + 1);
        while let Some(next) = sequence.get(place)
            && let Some(in_lead) = lead(next)
            && other(next).is_none()
        {
            let comes_first = if is_log {
                match lead_times[in_lead].cmp(&other_times[at]) {
                    Ordering::Less => true,
                    Ordering::Equal => !leads_theirs,
                    Ordering::Greater => false,
                }
            } else {
                !leads_theirs
            };
            if !comes_first {
                break;
            }
            place += 1;
        }
        sequence.insert(place, triple);
    }
    sequence
}

fn is_in_order(triples: &[Triple], side: impl Fn(&Triple) -> Option<usize>) -> bool {
    let kept: Vec<usize> = triples
        .iter()
        .filter(|triple| triple.base.is_some())
        .filter_map(side)
        .collect();
    kept.is_sorted()
}

/// By record, the time it counts as: its own; else that of the one before; a
/// comment goes with the record that follows it.
fn times<'n>(nodes: &'n [Node<'_>]) -> Vec<Option<&'n str>> {
    let mut last = None;
    let mut times: Vec<Option<&str>> = Vec::with_capacity(nodes.len());
    for node in nodes {
        last = node.identity.when.as_deref().or(last);
        times.push(last);
    }
    let mut next = None;
    for (at, node) in nodes.iter().enumerate().rev() {
        if node.is_comment() {
            times[at] = next.or(times[at]);
        } else {
            next = times[at];
        }
    }
    times
}

/// Writes the date of every `next day` that no longer follows the day before.
fn date_days(joined: &mut [Joined<'_>]) {
    let mut before: Option<value::Date> = None;
    for joined in joined {
        let (when, says) = match joined {
            Joined::Line(line, _) => (line.when, line.says),
            Joined::Whole(node) => (node.identity.when.as_deref(), &*node.says),
            Joined::Undecided { .. } | Joined::UndecidedLine { .. } => {
                before = None;
                continue;
            }
        };
        let Some(when) = when.and_then(date) else {
            continue;
        };
        let follows = before.and_then(|day| day.0.tomorrow().ok()) == Some(when.0);
        before = Some(when);
        if says == "next day" && !follows {
            set_day(joined, when);
        }
    }
}

fn date(text: &str) -> Option<value::Date> {
    match value::read(text) {
        Ok(Value::Date(date)) => Some(date),
        _ => None,
    }
}

fn set_day(joined: &mut Joined<'_>, day: value::Date) {
    if let Joined::Whole(node) = joined {
        let line = Line::of(node);
        *joined = Joined::Line(line, node.children.iter().map(Joined::Whole).collect());
    }
    if let Joined::Line(line, _) = joined {
        let comment = line.text.find('#').map_or("", |at| &line.text[at..]);
        let text = format!("{day}  {comment}");
        line.text = Cow::Owned(text.trim_end().to_owned());
    }
}
