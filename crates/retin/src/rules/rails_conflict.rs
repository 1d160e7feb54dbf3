//! Rails that are joined, and whose potentials contradict one another.

use super::{Judge, Rule};
use crate::check::Answers;
use crate::finding::{Fault, Verdict};
use crate::meaning::{Case, NetId, PartId, PlaceId};
use crate::operating_point::Subject;
use crate::potentials::{Known, of_rail, shown};
use crate::stage::Stage;

pub(super) const RULE: Rule = Rule {
    name: "rails-conflict",
    at: Stage::Order,
    summary: "rails of different potential joined by a link, or by a part without resistance",
    page: include_str!("rails_conflict.md"),
    judge: Judge::Case(judge),
};

fn judge(case: &Case<'_>, answers: &mut Answers<'_, '_>) {
    linked(case, answers);
    let solved = case.potentials.solved();
    for subjects in solved.conflicts() {
        if let Some((places, fault)) = bridged(case, &subjects) {
            answers.answer(&places, Verdict::failed(fault));
        }
    }
    for parts in solved.unsolved() {
        let mut names: Vec<String> = parts
            .iter()
            .take(MOST_NAMES)
            .map(|part| format!("{}.{}", case.board_of(*part).name, case.part(*part).name))
            .collect();
        names.dedup();
        let places: Vec<PlaceId> = parts.first().map(|part| place(*part)).into_iter().collect();
        answers.answer(
            &places,
            Verdict::lacks(format!(
                "an operating point of the circuit with {}: none was found",
                names.join(", ")
            )),
        );
    }
}

/// Most parts that are named of a circuit without an operating point.
const MOST_NAMES: usize = 4;

fn place(part: PartId) -> PlaceId {
    PlaceId { part, copy: 0 }
}

/// The potential that one net's own line states.
fn stated(case: &Case<'_>, net: NetId) -> Option<Known> {
    of_rail(net, case.nets.net(net).rail.as_ref()?)
}

/// Whether no potential is within the tolerance of both.
fn contradict(one: &Known, other: &Known) -> bool {
    one.high < other.low || other.high < one.low
}

fn name(case: &Case<'_>, net: NetId) -> String {
    let net = case.nets.net(net);
    format!("{}.{}", case.board(net.board).name, net.name)
}

/// Rails on nets that links join, each against the first of them.
fn linked(case: &Case<'_>, answers: &mut Answers<'_, '_>) {
    for (id, _) in case.nets.iter() {
        let (Some(own), Some(first)) = (stated(case, id), case.potentials.of(&case.nets, id))
        else {
            continue;
        };
        if first.net == id {
            continue;
        }
        if !contradict(&own, first) {
            answers.answer(&[], Verdict::Passed);
            continue;
        }
        let fault = Fault::new(
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
        .with(
            first.origin,
            format!("{}: {} V", name(case, first.net), shown(first.nominal)),
        )
        .values(format!("{} V on {} V", shown(own.nominal), shown(first.nominal)));
        answers.answer(&[], Verdict::failed(fault));
    }
}

/// Two rails with nothing between them but parts without resistance.
fn bridged(case: &Case<'_>, subjects: &[Subject]) -> Option<(Vec<PlaceId>, Fault)> {
    let rails: Vec<Known> = subjects
        .iter()
        .filter_map(|subject| match subject {
            Subject::Rail(net) => stated(case, *net),
            _ => None,
        })
        .collect();
    let parts: Vec<PartId> = subjects
        .iter()
        .filter_map(|subject| match subject {
            Subject::Part(part) => Some(*part),
            _ => None,
        })
        .collect();
    let (one, other) = rails
        .iter()
        .enumerate()
        .flat_map(|(index, one)| rails[index + 1..].iter().map(move |other| (one, other)))
        .find(|(one, other)| contradict(one, other))?;
    let first = *parts.first()?;
    let kind = case
        .part(first)
        .kind
        .map_or("part".to_owned(), |kind| kind.word().to_owned());
    let fault = Fault::new(
        case.part(first).line,
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
    .values(format!("{} V on {} V", shown(one.nominal), shown(other.nominal)));
    Some((vec![place(first)], fault))
}
