//! Potentials as a table, net by net, and the readings to expect of a job's targets.

use super::{Reach, Unknown};
use crate::meaning::{Case, NetId, Target};
use crate::potentials::{Basis, Known};
use retin_syntax::Token;
use retin_syntax::tables::Property;

/// One net and what is known of its potential.
#[derive(Clone, PartialEq, Debug)]
pub struct Row {
    /// Its board's name.
    pub board: String,
    /// Its own name.
    pub net: String,
    /// The potential against ground in volts and how it is known, or why it is not.
    pub potential: Result<(Reach, Basis), Unknown>,
}

/// A target of the job and the reading to expect.
#[derive(Clone, PartialEq, Debug)]
pub struct Reading {
    /// The point, as written, with what it is measured against.
    pub point: String,
    /// What to expect there.
    pub expected: Expected,
}

/// What a target expects.
#[derive(Clone, PartialEq, Debug)]
pub enum Expected {
    /// What its line states, as written.
    Stated(String),
    /// What follows from the circuit, in volts.
    Solved(Reach),
    /// It wants what follows from the circuit, and that is not known: why.
    Unknown(String),
}

/// Every net of a case, in the order of the boards.
pub fn rows(case: &Case<'_>) -> Vec<Row> {
    let mut rows: Vec<(u32, Row)> = case
        .nets
        .iter()
        .map(|(id, net)| {
            let row = Row {
                board: case.board(net.board).name.to_owned(),
                net: net.name.to_owned(),
                potential: potential(case, id),
            };
            (net.board.0, row)
        })
        .collect();
    rows.sort_by_key(|(board, _)| *board);
    rows.into_iter().map(|(_, row)| row).collect()
}

fn potential(case: &Case<'_>, net: NetId) -> Result<(Reach, Basis), Unknown> {
    let known = case.potentials.known(case, net)?;
    Ok((reach(&known), known.basis))
}

fn reach(known: &Known) -> Reach {
    Reach {
        low: known.low,
        nominal: known.nominal,
        high: known.high,
    }
}

/// The readings to expect of every target of the job, in the order written.
pub fn readings(case: &Case<'_>) -> Vec<Reading> {
    let targets = case.job.iter().flat_map(|job| &job.targets);
    targets
        .map(|target| Reading {
            point: match target.to {
                Some((to, _)) => format!("{} to {to}", target.point),
                None => target.point.to_owned(),
            },
            expected: expected(case, target),
        })
        .collect()
}

fn expected(case: &Case<'_>, target: &Target<'_>) -> Expected {
    if !target.facts.is(Property::Expect, Token::Solved) {
        let words: Vec<&str> = target
            .facts
            .iter()
            .map(|fact| case.sources.text(fact.origin))
            .collect();
        return Expected::Stated(words.join(" "));
    }
    let Some(net) = target.net else {
        return Expected::Unknown("the point is not one net".into());
    };
    let of = |net| potential(case, net).map_err(|why| why.in_words(case));
    let reach = match target.to {
        None => of(net).map(|(reach, _)| reach),
        Some((_, None)) => Err("what it is measured against is not one net".into()),
        Some((_, Some(to))) => of(net).and(of(to)).and_then(|_| {
            let between = case.potentials.between(case, net, to);
            between.ok_or_else(|| {
                "no operating point was found over all tolerances of the two points".into()
            })
        }),
    };
    match reach {
        Ok(reach) => Expected::Solved(reach),
        Err(why) => Expected::Unknown(why),
    }
}
