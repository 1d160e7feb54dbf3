//! Nets, rails, and what joins the nets of different boards.

use super::again::say_the_same;
use super::build::{Reader, Section, near};
use super::problem::ProblemKind;
use super::{BoardCopy, BoardId, FactValue, Facts, Stated, names};
use crate::moves::follow_fields;
use crate::sources::Origin;
use retin_syntax::tables::Property;
use retin_syntax::tree::Record;
use retin_syntax::value::{Decimal, Value};
use rustc_hash::{FxHashMap, FxHashSet};
use std::ops::Range;

/// A net's place in [`Nets`].
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub struct NetId(pub u32);

/// A net of one board, on every copy of it.
#[derive(Debug)]
pub struct Net<'a> {
    /// The board.
    pub board: BoardId,
    /// Its name.
    pub name: &'a str,
    /// Where it is first named.
    pub origin: Origin,
    /// Whether a line of its own declares it.
    pub is_declared: bool,
    /// How many leads name it.
    pub leads: u32,
    /// The rail it is, where it is one.
    pub rail: Option<Rail<'a>>,
}

/// A net whose potential the model sheet states.
#[derive(Clone, Debug)]
pub struct Rail<'a> {
    /// Potential, tolerance, ripple.
    pub facts: Facts<'a>,
    /// The rail's line.
    pub origin: Origin,
}

impl Rail<'_> {
    /// Whether it is stated to be at ground, with nothing to read against it.
    pub fn is_ground(&self) -> bool {
        self.facts
            .range(Property::Volts)
            .is_some_and(|(low, high)| low.number.is_zero() && high.number.is_zero())
    }
}

/// A link's place in [`Case::links`](super::Case::links).
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub struct LinkId(pub u32);

/// A cable, a plug or a row of wires between boards.
#[derive(Debug)]
pub struct Link<'a> {
    /// Its name.
    pub name: &'a str,
    /// Where the name is written.
    pub origin: Origin,
    /// How many joints it has, where that is written.
    pub joints: Option<Decimal>,
    /// The boards it joins, each copy for itself; sorted.
    pub boards: Vec<BoardCopy>,
    /// Its lines, in the order written.
    pub joins: Vec<Join<'a>>,
}

/// A line of a link.
#[derive(Debug)]
pub struct Join<'a> {
    /// The nets that it joins, by board and name.
    pub nets: Vec<(BoardId, &'a str)>,
    /// The line.
    pub origin: Origin,
}

/// What was set aside of a board: its nets by name, and in their order.
type SetAside<'a> = (FxHashMap<&'a str, NetId>, Vec<NetId>);

/// Every net of every board.
#[derive(Debug, Default)]
pub struct Nets<'a> {
    nets: Vec<Net<'a>>,
    /// By board.
    by_name: Vec<FxHashMap<&'a str, NetId>>,
    /// By board.
    on_board: Vec<Vec<NetId>>,
    /// For each net, a net it is joined to, down to one that stands for all.
    joined: Vec<NetId>,
    /// The nets that links name.
    is_linked: FxHashSet<NetId>,
}

follow_fields!(Rail<'a> { facts, origin });
follow_fields!(Join<'a> { origin; nets });
follow_fields!(Net<'a> { origin, rail; board, name, is_declared, leads });
follow_fields!(Nets<'a> { nets; by_name, on_board, joined, is_linked });

impl<'a> Nets<'a> {
    /// The net with this id.
    pub fn net(&self, id: NetId) -> &Net<'a> {
        &self.nets[id.0 as usize]
    }

    /// The net with this id, where there is one.
    pub(crate) fn get(&self, id: NetId) -> Option<&Net<'a>> {
        self.nets.get(id.0 as usize)
    }

    /// Every net.
    pub fn iter(&self) -> impl Iterator<Item = (NetId, &Net<'a>)> {
        self.nets
            .iter()
            .enumerate()
            .map(|(index, net)| (NetId(index as u32), net))
    }

    /// Every net of a board, in the order named.
    pub fn on(&self, board: BoardId) -> impl Iterator<Item = (NetId, &Net<'a>)> {
        let on_board = self.on_board.get(board.0 as usize);
        let all = on_board.into_iter().flatten();
        all.map(|id| (*id, self.net(*id)))
    }

    /// The net of this name on a board.
    pub fn find(&self, board: BoardId, name: &str) -> Option<NetId> {
        self.by_name.get(board.0 as usize)?.get(name).copied()
    }

    /// A net of the board with a name like this.
    pub fn near(&self, board: BoardId, name: &str) -> Option<String> {
        near(name, self.on(board).map(|(_, net)| net.name))
    }

    /// Whether a link joins it with another net.
    pub(crate) fn is_joined(&self, id: NetId) -> bool {
        self.is_linked.contains(&id)
    }

    /// The one net that stands for all that are joined with this one.
    pub fn common(&self, mut id: NetId) -> NetId {
        while self.joined[id.0 as usize] != id {
            id = self.joined[id.0 as usize];
        }
        id
    }

    /// How many nets there are.
    pub(super) fn len(&self) -> usize {
        self.nets.len()
    }

    /// By net: how many leads name it.
    pub(super) fn leads(&self) -> Vec<u32> {
        self.nets.iter().map(|net| net.leads).collect()
    }

    /// Takes out what was named and joined since so many leads named each net.
    pub(super) fn strip(&mut self, leads: &[u32]) {
        for net in self.nets.drain(leads.len()..) {
            self.by_name[net.board.0 as usize].remove(net.name);
            let on_board = &mut self.on_board[net.board.0 as usize];
            on_board.retain(|id| (id.0 as usize) < leads.len());
        }
        for (net, leads) in self.nets.iter_mut().zip(leads) {
            net.leads = *leads;
        }
        self.is_linked.clear();
        self.joined.clear();
        self.joined.extend((0..leads.len() as u32).map(NetId));
    }

    /// Forgets the nets of a board, which keep their places for now; gives their names.
    pub(super) fn clear(&mut self, board: BoardId) -> Vec<&'a str> {
        let index = board.0 as usize;
        let Some(names) = self.by_name.get_mut(index) else {
            return Vec::new();
        };
        names.clear();
        let ids = std::mem::take(&mut self.on_board[index]);
        ids.iter().map(|id| self.net(*id).name).collect()
    }

    /// Takes the names of a board's nets, which keep their places; gives them to be
    /// put back.
    pub(super) fn set_aside(&mut self, board: BoardId) -> SetAside<'a> {
        let index = board.0 as usize;
        let names = self.by_name.get_mut(index).map(std::mem::take);
        let on_board = self.on_board.get_mut(index).map(std::mem::take);
        (names.unwrap_or_default(), on_board.unwrap_or_default())
    }

    /// Puts back what was set aside.
    pub(super) fn put_aside(&mut self, board: BoardId, (names, on_board): SetAside<'a>) {
        let index = board.0 as usize;
        if let (Some(by_name), Some(all)) =
            (self.by_name.get_mut(index), self.on_board.get_mut(index))
        {
            *by_name = names;
            *all = on_board;
        }
    }

    /// Takes the nets that were read from this one on.
    pub(super) fn take_behind(&mut self, from: usize) -> Vec<Net<'a>> {
        self.joined.truncate(from);
        self.nets.drain(from..).collect()
    }

    /// The names that stand for other nets than before on a board that was read anew;
    /// none where its rails, or the nets that lines of their own declare, are others.
    pub(super) fn named_otherwise(
        &self,
        were: Range<usize>,
        new: &[Net<'a>],
    ) -> Option<Vec<&'a str>> {
        let rail = |old: &Option<Rail<'_>>, new: &Option<Rail<'_>>| match (old, new) {
            (Some(old), Some(new)) => say_the_same(&old.facts, &new.facts),
            (None, None) => true,
            _ => false,
        };
        let is_stated = |net: &Net<'_>| net.is_declared || net.rail.is_some();
        let olds = &self.nets[were];
        let mut names = Vec::new();
        for at in 0..olds.len().max(new.len()) {
            let (old, new) = (olds.get(at), new.get(at));
            if let (Some(old), Some(new)) = (old, new)
                && old.name == new.name
            {
                if old.is_declared != new.is_declared || !rail(&old.rail, &new.rail) {
                    return None;
                }
                continue;
            }
            for net in old.into_iter().chain(new) {
                if is_stated(net) {
                    return None;
                }
                names.push(net.name);
            }
        }
        Some(names)
    }

    /// Puts other nets, none of them joined, in the place of those that a board had.
    pub(super) fn replace(&mut self, board: BoardId, were: Range<usize>, new: Vec<Net<'a>>) {
        let index = board.0 as usize;
        let ids = (were.start as u32..).map(NetId).take(new.len());
        self.by_name[index] = new.iter().map(|net| net.name).zip(ids.clone()).collect();
        self.on_board[index] = ids.collect();
        self.nets.splice(were, new);
        self.joined.clear();
        self.joined.extend((0..self.nets.len() as u32).map(NetId));
    }

    /// Takes over what was read anew of nets that are alike; `leads` is how many
    /// leads of the board itself name each.
    pub(super) fn take_over(&mut self, were: Range<usize>, new: Vec<Net<'a>>, leads: &mut [u32]) {
        for ((old, new), leads) in self.nets[were].iter_mut().zip(new).zip(leads) {
            old.origin = new.origin;
            old.rail = new.rail;
            old.leads = old.leads - *leads + new.leads;
            *leads = new.leads;
        }
    }

    /// The names of some nets that stand together.
    pub(super) fn names(&self, of: Range<usize>) -> Vec<&'a str> {
        self.nets[of].iter().map(|net| net.name).collect()
    }

    /// What the rails of a board say, in their order.
    pub(super) fn rails_in_words(&self, board: BoardId) -> Vec<String> {
        let rails = self.on(board).filter_map(|(_, net)| {
            let facts = net.rail.as_ref()?.facts.iter();
            let says: Vec<_> = facts.map(|fact| (fact.property, &fact.value)).collect();
            Some(format!("{} {says:?}", net.name))
        });
        rails.collect()
    }

    /// Puts the nets of a board, which were read last, from `from` on, where its nets
    /// stood before.
    pub(super) fn put_back(&mut self, board: BoardId, from: usize, to: Range<usize>) {
        let new: Vec<Net<'a>> = self.nets.drain(from..).collect();
        self.nets.splice(to.clone(), new);
        self.joined.clear();
        self.joined.extend((0..self.nets.len() as u32).map(NetId));
        self.renumber(board, to.start as i64 - from as i64);
    }

    /// Has the nets of a board known by other numbers.
    pub(super) fn renumber(&mut self, board: BoardId, by: i64) {
        let index = board.0 as usize;
        let shift = |id: &mut NetId| id.0 = (i64::from(id.0) + by) as u32;
        if let Some(on_board) = self.on_board.get_mut(index) {
            on_board.iter_mut().for_each(shift);
        }
        if let Some(names) = self.by_name.get_mut(index) {
            names.values_mut().for_each(shift);
        }
    }

    pub(super) fn declare(&mut self, board: BoardId, name: &'a str, origin: Origin) -> NetId {
        let id = self.entry(board, name, origin);
        self.nets[id.0 as usize].is_declared = true;
        id
    }

    /// The net a lead names; naming it makes it.
    pub(super) fn join(&mut self, board: BoardId, name: &'a str, origin: Origin) -> NetId {
        let id = self.entry(board, name, origin);
        self.nets[id.0 as usize].leads += 1;
        id
    }

    /// Notes where a lead that was read again names its net, if that is where the net
    /// was named first.
    pub(super) fn name_again(
        &mut self,
        id: NetId,
        here: Origin,
        was_here: impl Fn(&Origin) -> bool,
    ) {
        let net = &mut self.nets[id.0 as usize];
        if was_here(&net.origin) {
            net.origin = here;
        }
    }

    fn entry(&mut self, board: BoardId, name: &'a str, origin: Origin) -> NetId {
        let next = NetId(self.nets.len() as u32);
        let board_index = board.0 as usize;
        if self.by_name.len() <= board_index {
            self.by_name
                .resize_with(board_index + 1, FxHashMap::default);
            self.on_board.resize_with(board_index + 1, Vec::new);
        }
        let id = *self.by_name[board_index].entry(name).or_insert(next);
        if id == next {
            self.nets.push(Net {
                board,
                name,
                origin,
                is_declared: false,
                leads: 0,
                rail: None,
            });
            self.on_board[board_index].push(next);
            self.joined.push(next);
        }
        id
    }

    fn link(&mut self, one: NetId, other: NetId) {
        self.is_linked.extend([one, other]);
        let (one, other) = (self.common(one), self.common(other));
        // The older net stands for both, so that the result does not depend on the order of links.
        let (keep, give) = if one < other {
            (one, other)
        } else {
            (other, one)
        };
        self.joined[give.0 as usize] = keep;
    }
}

/// Notes a rail of a board; `is_told` says that a value of its line makes no sense.
pub(super) fn rail<'a>(
    reader: &mut Reader<'_, 'a>,
    board: BoardId,
    name: &'a str,
    origin: Origin,
    facts: Vec<Stated<'a>>,
    is_told: bool,
) {
    let id = reader.case.nets.declare(board, name, origin);
    if let Some(first) = &reader.case.nets.nets[id.0 as usize].rail {
        let first = first.origin;
        reader.problem(
            origin.file,
            origin.span,
            ProblemKind::DuplicateName {
                what: "rail",
                name: name.to_owned(),
                first,
            },
        );
        return;
    }
    let facts = Facts::of(facts);
    let is_unreadable = |fact: &Stated<'_>| fact.value == FactValue::Value(Value::Unreadable);
    let has_volts = facts.range(Property::Volts).is_some()
        || facts.get(Property::AcVolts).is_some()
        || facts.iter().any(is_unreadable);
    if !has_volts && !is_told {
        reader.problem(
            origin.file,
            origin.span,
            ProblemKind::Misplaced {
                message: format!("the rail `{name}` has no voltage"),
                consequence: "what hangs on it is checked neither for its rated voltage nor for which way round it goes",
                help: "write it behind the name, `rail V24 24V ±5%`; `?` stands for one that nobody knows".into(),
            },
        );
    }
    reader.case.nets.nets[id.0 as usize].rail = Some(Rail { facts, origin });
}

/// Reads a `link` section.
pub(super) fn link<'a>(reader: &mut Reader<'_, 'a>, section: Section<'_>) {
    let mut boards = Vec::new();
    let mut joins = Vec::new();
    for (_, line) in section.tree.children(section.id) {
        let Record::Join { from, to } = &line.record else {
            continue;
        };
        let mut ends = Vec::new();
        for word in from.iter().chain(to) {
            let text = reader.word(section.file, *word);
            ends.extend(reader.qualified_net(section.file, word.span, text));
            if let Some((board_text, _)) = split_board(text) {
                boards.extend(reader.copies_named(board_text));
            }
        }
        for pair in ends.windows(2) {
            reader.case.nets.link(pair[0], pair[1]);
        }
        let named = |id: &NetId| {
            let net = reader.case.nets.net(*id);
            (net.board, net.name)
        };
        joins.push(Join {
            nets: ends.iter().map(named).collect(),
            origin: Origin {
                file: section.file,
                span: line.span,
            },
        });
    }
    boards.sort_unstable();
    boards.dedup();
    let Some(name) = section.heading.name else {
        return;
    };
    let joints = section.heading.joints;
    let joints = joints.and_then(|word| reader.value(section.file, word.span));
    reader.case.links.push(Link {
        name: reader.word(section.file, name),
        origin: Origin {
            file: section.file,
            span: name.span,
        },
        joints: match joints {
            Some(Value::Number(number)) => Some(number),
            _ => None,
        },
        boards,
        joins,
    });
}

impl<'t, 'a> Reader<'t, 'a> {
    /// The nets that `psu.V24` or `ch1..ch8.V24` names; one for each board.
    pub(super) fn qualified_net(
        &mut self,
        file: crate::sources::FileId,
        span: retin_syntax::Span,
        text: &'a str,
    ) -> Vec<NetId> {
        let Some((board_text, net)) = split_board(text) else {
            let name = text.to_owned();
            self.problem(
                file,
                span,
                ProblemKind::UnknownName {
                    what: "board and net, written `psu.V24`,",
                    name,
                    near: None,
                },
            );
            return Vec::new();
        };
        let mut found: Vec<NetId> = Vec::new();
        for name in names::expand(board_text).unwrap_or_default() {
            let Some(&(board, _)) = self.case.boards_by_name.get(&name) else {
                self.unknown_board(file, span, &name);
                continue;
            };
            // A net that only a link names still exists: a connector's pin.
            let id = match self.case.nets.find(board, net) {
                Some(id) => id,
                None => self.case.nets.declare(board, net, Origin { file, span }),
            };
            if !found.contains(&id) {
                found.push(id);
            }
        }
        found
    }
}

/// `psu.6.3V` to `psu` and `6.3V`: the first single dot parts board from net.
pub(super) fn split_board(text: &str) -> Option<(&str, &str)> {
    let first = names::segments(text).first()?.len();
    let net = text.get(first + 1..)?;
    (first > 0 && !net.is_empty()).then(|| (&text[..first], net))
}
