//! Parts of two leads that both meet one net.

use super::{Judge, Rule};
use crate::check::{OnBoard, Share};
use crate::finding::{Fault, Verdict};
use crate::meaning::{Case, PartId, PlaceId};
use crate::operating_point::joins;
use crate::stage::Stage;
use retin_syntax::Token;
use retin_syntax::tables::LeadSet;

pub(super) const RULE: Rule = Rule {
    name: "both-leads-on-one-net",
    at: Stage::List,
    summary: "a part of two leads with both on one net, where it does nothing",
    page: include_str!("both_leads_on_one_net.md"),
    judge: Judge::Board(judge),
};

fn judge(on: &OnBoard<'_, '_, '_>, share: &mut Share) {
    let board = on.case.board(on.board);
    for &part in &board.parts {
        let copies = 0..board.copies.len() as u16;
        let places: Vec<PlaceId> = copies.map(|copy| PlaceId { part, copy }).collect();
        share.answer(&places, verdict(on.case, part));
    }
}

fn verdict(case: &Case<'_>, id: PartId) -> Verdict {
    let part = case.part(id);
    let has_two = part.kind.is_some_and(|kind| {
        matches!(
            kind.row().leads,
            LeadSet::Polar | LeadSet::Plain | LeadSet::Diode
        )
    });
    let [one, other] = part.pins.as_slice() else {
        return Verdict::NotApplicable;
    };
    if !has_two {
        return Verdict::NotApplicable;
    }
    // A link of no resistance carries a net over a trace. A fuse never does.
    let is_fuse = part.kind.is_some_and(|kind| kind.token() == Token::Fuse);
    if one.net != other.net || (!is_fuse && joins(case, id)) {
        return Verdict::Passed;
    }
    let net = case.nets.net(one.net).name;
    let fault = Fault::new(
        other.origin,
        format!("{{place has}} both leads on `{net}`"),
        "a part like that does nothing; more likely one net is written wrongly, and then what it has to stand under power, and the potentials around it, are judged wrongly",
        "follow the copper from both leads, and mend the net that is wrong; if the board is like that, leave it",
    );
    Verdict::failed(
        fault
            .with(one.origin, "the other lead")
            .values(net)
            .question(),
    )
}
