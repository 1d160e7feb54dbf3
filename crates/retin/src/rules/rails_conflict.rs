//! Rails that are joined, and whose potentials contradict one another.

use super::{Judge, Rule};
use crate::check::{Answers, Choices};
use crate::finding::{Fault, Verdict};
use crate::meaning::{Case, NetId, PlaceId};
use crate::operating_point::{Bridge, bridges};
use crate::potentials::{Known, of_rail, shown};
use crate::stage::Stage;

pub(super) const RULE: Rule = Rule {
    name: "rails-conflict",
    at: Stage::Order,
    summary: "rails of different potential joined by a link, or by a part without resistance",
    page: include_str!("rails_conflict.md"),
    judge: Judge::Choice(judge),
};

fn judge(case: &Case<'_>, choices: &Choices<'_, '_, '_>, answers: &mut Answers<'_, '_>) {
    linked(case, answers);
    for bridge in bridges(case, choices.joiners().into_iter()) {
        let place = PlaceId {
            part: bridge.part,
            copy: 0,
        };
        answers.answer(&[place], Verdict::failed(bridged(case, bridge)));
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
