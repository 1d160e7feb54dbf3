//! Rails that are joined, and whose potentials contradict one another.

use super::{Judge, Rule};
use crate::check::{Answers, Choices};
use crate::finding::{Fault, Verdict};
use crate::meaning::{Act, BoardId, Case, Job, LogEntry, NetId, PlaceId, Point};
use crate::operating_point::{Bridge, bridges};
use crate::potentials::{Known, of_rail, shown};
use crate::sources::Origin;
use crate::stage::Stage;
use retin_syntax::tables::{Proof, Repair};
use rustc_hash::FxHashSet;
use std::collections::VecDeque;

pub(super) const RULE: Rule = Rule {
    name: "rails-conflict",
    at: Stage::Order,
    summary: "rails of different potential joined by a link, by a part without resistance, or by a repair",
    page: include_str!("rails_conflict.md"),
    judge: Judge::Choice(judge),
};

fn judge(case: &Case<'_>, choices: &Choices<'_, '_, '_>, answers: &mut Answers<'_, '_>) {
    linked(case, answers);
    for bridge in bridges(case, &choices.joiners()) {
        let place = PlaceId {
            part: bridge.part,
            copy: 0,
        };
        answers.answer(&[place], Verdict::failed(bridged(case, bridge)));
    }
    if let Some(job) = &case.job {
        repaired(case, job, answers);
    }
}

/// The potential that one net's own line states.
fn stated(case: &Case<'_>, net: NetId) -> Option<Known> {
    of_rail(net, case.nets.net(net).rail.as_ref()?)
}

fn name(case: &Case<'_>, net: NetId) -> String {
    let net = case.nets.net(net);
    format!("{}.{}", case.board(net.board).name, net.name)
}

/// Rails on nets that links join, each against the first of them.
fn linked(case: &Case<'_>, answers: &mut Answers<'_, '_>) {
    if case.links.is_empty() {
        return;
    }
    for (id, _) in case.nets.iter() {
        let (Some(own), Some(first)) = (stated(case, id), case.potentials.rail(&case.nets, id))
        else {
            continue;
        };
        if first.net == id {
            continue;
        }
        if !own.contradicts(first) {
            answers.answer(&[], Verdict::Passed);
            continue;
        }
        let mut fault = Fault::new(
            own.origin,
            format!(
                "the rail {} is at {} V, and a link joins it with {} at {} V",
                name(case, id),
                shown(own.nominal),
                name(case, first.net),
                shown(first.nominal)
            ),
            "joined like this one supply feeds the other, and what is judged by their potentials is judged wrongly",
            "measure both, and mend the potential or the link that is wrong",
        )
        .values(format!("{} V on {} V", shown(own.nominal), shown(first.nominal)));
        for (link, line) in way(case, id, first.net) {
            fault = fault.with(line, format!("joined here, by {link}"));
        }
        let fault = fault.with(
            first.origin,
            format!("{}: {} V", name(case, first.net), shown(first.nominal)),
        );
        answers.answer(&[], Verdict::failed(fault));
    }
}

/// The lines of links that lead from one net to another, by the fewest, each with the
/// name of its link.
fn way<'c>(case: &'c Case<'_>, from: NetId, to: NetId) -> Vec<(&'c str, Origin)> {
    let end = |net: NetId| {
        let net = case.nets.net(net);
        (net.board, net.name)
    };
    let (from, to) = (end(from), end(to));
    let lines: Vec<_> = case
        .links
        .iter()
        .flat_map(|link| link.joins.iter().map(|join| (link.name, join)))
        .collect();
    let mut seen: FxHashSet<(BoardId, &str)> = FxHashSet::from_iter([from]);
    let mut open = VecDeque::from([(from, Vec::new())]);
    while let Some((net, way)) = open.pop_front() {
        if net == to {
            return way;
        }
        for (link, join) in lines.iter().filter(|(_, join)| join.nets.contains(&net)) {
            for next in join.nets.iter().filter(|next| seen.insert(**next)) {
                let mut way = way.clone();
                way.push((*link, join.origin));
                open.push_back((*next, way));
            }
        }
    }
    Vec::new()
}

/// Repairs of the log that join two rails.
fn repaired(case: &Case<'_>, job: &Job<'_>, answers: &mut Answers<'_, '_>) {
    for (_, entry) in job.happened() {
        let Act::Repaired { how: Some(how), .. } = entry.act else {
            continue;
        };
        if !connects(how) {
            continue;
        }
        for from in entry.subject.points() {
            for to in &entry.to {
                let verdict = joined(case, entry, from, *to);
                let pads = [from, *to].into_iter().filter_map(|point| match point {
                    Point::Pad(pad) => Some(pad.place),
                    _ => None,
                });
                let mut places: Vec<PlaceId> = pads.collect();
                places.dedup();
                answers.answer(&places, verdict);
            }
        }
    }
}

/// Whether a repair makes a connection, which is proven from end to end.
fn connects(how: Repair) -> bool {
    let mut mends = how.row().mends.iter();
    mends.any(|accident| accident.row().proof == Proof::EndToEnd)
}

/// What a repair joins that ends at these two points.
fn joined(case: &Case<'_>, entry: &LogEntry<'_>, from: Point<'_>, to: Point<'_>) -> Verdict {
    let rail = |point: Point<'_>| {
        let (net, _) = case.net_of(point)?;
        stated(case, net).or_else(|| case.potentials.rail(&case.nets, net).copied())
    };
    let (Some(one), Some(other)) = (rail(from), rail(to)) else {
        return Verdict::NotApplicable;
    };
    if !one.contradicts(&other) {
        return Verdict::Passed;
    }
    let at = |point: Point<'_>, rail: &Known| {
        let (point, name) = (case.name_of_point(point), name(case, rail.net));
        let volts = shown(rail.nominal);
        if point == name {
            format!("{point} at {volts} V")
        } else {
            format!("{point} on {name} at {volts} V")
        }
    };
    let fault = Fault::new(
        entry.origin,
        format!(
            "this repair joins {} with {}",
            at(from, &one),
            at(to, &other)
        ),
        "at switch-on nothing but this connection lies between the two: a fuse blows, or the connection, the copper or the supply burns",
        "leave the power off, follow the copper at both ends and take the connection out; if it went elsewhere, correct the entry",
    );
    let here = |rail: &Known| format!("{}: {} V", name(case, rail.net), shown(rail.nominal));
    Verdict::failed(
        fault
            .with(one.origin, here(&one))
            .with(other.origin, here(&other))
            .values(format!(
                "{} V on {} V",
                shown(one.nominal),
                shown(other.nominal)
            )),
    )
}

/// Two rails with nothing between them but parts without resistance.
fn bridged(case: &Case<'_>, bridge: Bridge) -> Fault {
    let Bridge { part, one, other } = bridge;
    let kind = case
        .part(part)
        .kind
        .map_or("part".to_owned(), |kind| kind.word().to_owned());
    Fault::new(
        case.part(part).line,
        format!(
            "the {kind} {{place joins}} {} at {} V with {} at {} V, and nothing between them takes the difference",
            name(case, one.net),
            shown(one.nominal),
            name(case, other.net),
            shown(other.nominal)
        ),
        "two supplies against each other blow a fuse or burn what joins them; more likely a net or a value is written wrongly",
        "follow the copper from {place}, and mend the net or the potential that is wrong",
    )
    .with(one.origin, format!("{} V here", shown(one.nominal)))
    .with(other.origin, format!("{} V here", shown(other.nominal)))
    .values(format!("{} V on {} V", shown(one.nominal), shown(other.nominal)))
}
