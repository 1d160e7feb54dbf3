//! Targets: what to read where, and within which limits.

use super::build::{Reader, Section};
use super::log::{Point, Subject};
use super::{Case, FactValue, Facts, NetId, names, nets};
use crate::sources::{FileId, Origin};
use retin_syntax::tables::Property;
use retin_syntax::token::Token;
use retin_syntax::tree::{Record, Word};
use retin_syntax::value::{Quantity, Value};

/// A reading to expect.
#[derive(Debug)]
pub struct Target<'a> {
    /// The point, as written.
    pub point: &'a str,
    /// The net it is on; none where it is no net, or more than one.
    pub net: Option<NetId>,
    /// What it is measured against, as written, and its net; ground where none is written.
    pub to: Option<(&'a str, Option<NetId>)>,
    /// Every point that is meant, one for each copy of a board.
    pub points: Vec<Point<'a>>,
    /// Every point it is measured against.
    pub to_points: Vec<Point<'a>>,
    /// What is expected.
    pub facts: Facts<'a>,
    /// The line.
    pub origin: Origin,
}

/// The limits of a reading; none where there is no limit on that side.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Window {
    /// The least it may be.
    pub low: Option<Quantity>,
    /// The most it may be.
    pub high: Option<Quantity>,
}

impl Window {
    /// Whether a reading lies within; none where it is of another dimension.
    pub fn holds(&self, reading: Quantity) -> Option<bool> {
        let limits = [self.low, self.high];
        let is_alike = |limit: &Quantity| limit.dimension == reading.dimension;
        if !limits.iter().flatten().all(is_alike) || limits.iter().all(Option::is_none) {
            return None;
        }
        Some(
            self.low.is_none_or(|low| low.number <= reading.number)
                && self.high.is_none_or(|high| reading.number <= high.number),
        )
    }

    /// The limits in words: `23.5..24.5V`, `above 200ohm`.
    pub fn in_words(&self) -> String {
        match (self.low, self.high) {
            (Some(low), Some(high)) if low == high => low.to_string(),
            (Some(low), Some(high)) => Value::Range { low, high }.to_string(),
            (Some(low), None) => format!("above {low}"),
            (None, Some(high)) => format!("below {high}"),
            (None, None) => String::new(),
        }
    }
}

impl Target<'_> {
    /// Whether it is measured against ground.
    pub fn is_against_ground(&self, case: &Case<'_>) -> bool {
        self.to_points.iter().all(|to| case.is_at_ground(*to))
    }

    /// The limits of the reading; none where the line states none, or a value
    /// without a tolerance, which says nothing of how far off it may be.
    pub fn window(&self) -> Option<Window> {
        let mut window = Window {
            low: None,
            high: None,
        };
        for fact in self.facts.iter() {
            match (fact.property, &fact.value) {
                (
                    Property::Above | Property::Below,
                    FactValue::Limit {
                        above,
                        value: Value::Quantity(limit),
                    },
                ) => {
                    if *above {
                        window.low = Some(*limit);
                    } else {
                        window.high = Some(*limit);
                    }
                }
                (Property::Ripple | Property::Tolerance | Property::Condition, _) => {}
                (_, FactValue::Value(Value::Range { low, high })) => {
                    window.low = Some(*low);
                    window.high = Some(*high);
                }
                (_, FactValue::Value(Value::Quantity(nominal))) => {
                    let (low, high) = self.facts.tolerance()?.window(*nominal)?;
                    window.low = Some(low);
                    window.high = Some(high);
                }
                _ => {}
            }
        }
        (window.low.is_some() || window.high.is_some()).then_some(window)
    }

    /// The value expected, where the line states one.
    pub fn nominal(&self) -> Option<Quantity> {
        self.facts.iter().find_map(|fact| match fact.value {
            FactValue::Value(Value::Quantity(quantity))
                if !matches!(fact.property, Property::Ripple) =>
            {
                Some(quantity)
            }
            _ => None,
        })
    }

    /// The most that the ripple may be.
    pub fn ripple(&self) -> Option<Quantity> {
        match self.facts.get(Property::Ripple)?.value {
            FactValue::Limit {
                above: false,
                value: Value::Quantity(limit),
            }
            | FactValue::Value(Value::Quantity(limit)) => Some(limit),
            _ => None,
        }
    }

    /// `unpowered`, `cold` or `warm`, where it is written.
    pub fn condition(&self) -> Option<Token> {
        self.facts.choice(Property::Condition)
    }

    /// Whether the value follows from the circuit.
    pub fn is_solved(&self) -> bool {
        self.facts.is(Property::Expect, Token::Solved)
    }
}

/// Reads a `targets` section.
pub(super) fn targets<'a>(reader: &mut Reader<'_, 'a>, section: Section<'_>) {
    let file = section.file;
    let mut targets = Vec::new();
    for (_, line) in section.tree.children(section.id) {
        let Record::Target { point, to, facts } = &line.record else {
            continue;
        };
        let net = reader.net_of_point(file, *point);
        let points = reader.points(file, *point);
        let (to, to_points) = match to {
            Some(to) => {
                let net = reader.net_of_point(file, *to);
                (
                    Some((reader.word(file, *to), net)),
                    reader.points(file, *to),
                )
            }
            None => (None, Vec::new()),
        };
        targets.push(Target {
            point: reader.word(file, *point),
            net,
            to,
            points,
            to_points,
            facts: Facts::of(reader.facts(file, facts, None)),
            origin: Origin {
                file,
                span: line.span,
            },
        });
    }
    if let Some(job) = &mut reader.case.job {
        job.targets.extend(targets);
    }
}

impl<'t, 'a> Reader<'t, 'a> {
    /// Every point that a word of a target names. What it does not know has been
    /// reported when its net was looked up.
    fn points(&mut self, file: FileId, word: Word) -> Vec<Point<'a>> {
        let reported = self.case.problems.len();
        let mut subject = Subject::default();
        self.name(file, word, None, &mut subject);
        self.case.problems.truncate(reported);
        subject.points().collect()
    }

    /// The one net that a point of a target is on: a net itself, or a part's lead.
    fn net_of_point(&mut self, file: FileId, word: Word) -> Option<NetId> {
        let text = self.word(file, word);
        let mut nets: Vec<NetId> = if self.is_board_or_net(text) {
            let (boards, net) = nets::split_board(text)?;
            let boards = names::expand(boards).ok()?;
            boards
                .iter()
                .filter_map(|board| {
                    let (board, _) = self.case.boards_by_name.get(board)?;
                    self.case.nets.find(*board, net)
                })
                .collect()
        } else {
            let path = self.places(file, word);
            let lead = path.lead?;
            let parts = path.places.iter().map(|place| self.case.part(place.part));
            parts
                .filter_map(|part| part.pins.iter().find(|pin| pin.lead == lead))
                .map(|pin| pin.net)
                .collect()
        };
        nets.dedup();
        match nets[..] {
            [net] => Some(net),
            _ => None,
        }
    }
}
