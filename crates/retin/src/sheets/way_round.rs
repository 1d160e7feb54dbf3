//! Which way round a part belongs, for whoever holds it in a pair of pliers.

use super::document::Words;
use crate::meaning::{Case, NetId, PlaceId, Says};
use crate::polarity::{EvidenceOn, deciding_leads, evidence};
use retin_syntax::Token;
use retin_syntax::tables::{Direction, Kind, LeadSet};

/// Which way round a part belongs.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum WayRound {
    /// Either way is right.
    NoMatter,
    /// The sources say it, and do not contradict one another.
    Known {
        /// The sign or name of the lead that decides, as it stands on the part: `+`, `K`.
        sign: &'static str,
        /// Where it belongs: "plus toward rail V24, east".
        says: String,
        /// The net it is on, as its board calls it.
        net: Option<NetId>,
        /// The direction it lies in.
        direction: Option<Direction>,
        /// The one source that says so, where no second one confirms it.
        only: Option<&'static str>,
    },
    /// It is known where some leads belong, of a part that has more than two.
    Leads(String),
    /// The sources contradict one another: what the two strongest say.
    Disputed(String),
    /// No source says it.
    NotKnown,
}

impl WayRound {
    /// The way round of a part of this kind at a place.
    pub fn of(case: &Case<'_>, place: PlaceId, kind: Kind) -> Self {
        let Some((sign, _, word)) = deciding_leads(kind) else {
            return of_leads(case, place, kind);
        };
        let found = evidence(case, place, kind);
        if let Some((one, other)) = found.conflict() {
            return WayRound::Disputed(format!(
                "{} by {}, {} by {}",
                one.says, one.who, other.says, other.who
            ));
        }
        known(case, place, &found, sign, word)
    }

    /// It in words; empty where it does not matter.
    pub fn words(&self) -> Words {
        match self {
            WayRound::NoMatter => Words::default(),
            WayRound::Known {
                sign, says, only, ..
            } => {
                let words = Words::strong(format!("{sign}\u{a0}")).and(says.clone());
                match only {
                    Some(who) => {
                        let who = who.strip_prefix("the ").unwrap_or(who);
                        words.and(format!(" (not checked: {who} only)"))
                    }
                    None => words,
                }
            }
            WayRound::Leads(says) => Words::plain(says.clone()),
            WayRound::Disputed(sources) => {
                Words::strong("in dispute: ").and(format!("{sources}; settle it first"))
            }
            WayRound::NotKnown => Words::strong("way round not known"),
        }
    }
}

fn known(
    case: &Case<'_>,
    place: PlaceId,
    found: &EvidenceOn<'_>,
    sign: &'static str,
    word: &str,
) -> WayRound {
    let way = found.way_round();
    // The board's own name for a net that links join with others.
    let pins = &case.part(place.part).pins;
    let own = |common: NetId| {
        let pin = pins.iter().find(|pin| case.nets.common(pin.net) == common);
        pin.map_or(common, |pin| pin.net)
    };
    let net = way.net.map(own);
    let toward = net.map(|net| format!("toward {}", net_named(case, net)));
    let direction = way.direction.map(|direction| direction.word().to_owned());
    let says: Vec<String> = toward.into_iter().chain(direction).collect();
    if says.is_empty() {
        return WayRound::NotKnown;
    }
    let word = word.strip_prefix("the ").unwrap_or(word);
    WayRound::Known {
        sign,
        says: format!("{word} {}", says.join(", ")),
        net,
        direction: way.direction,
        only: match found.evidence.as_slice() {
            [only] => Some(only.who),
            _ => None,
        },
    }
}

fn net_named(case: &Case<'_>, net: NetId) -> String {
    let net = case.nets.net(net);
    if net.rail.is_some() {
        format!("rail {}", net.name)
    } else {
        net.name.to_owned()
    }
}

/// The way round of a part with more than two leads, or two that are alike.
fn of_leads(case: &Case<'_>, place: PlaceId, kind: Kind) -> WayRound {
    let has_way_round = match kind.row().leads {
        LeadSet::Polar
        | LeadSet::Diode
        | LeadSet::Bridge
        | LeadSet::Bipolar
        | LeadSet::FieldEffect
        | LeadSet::Regulator
        | LeadSet::Thyristor => true,
        LeadSet::Numbered => {
            kind.is_covered_by(Token::Semiconductor) || kind.token() == Token::Network
        }
        LeadSet::Plain | LeadSet::Wiper => false,
    };
    if !has_way_round {
        return WayRound::NoMatter;
    }
    let part = case.part(place.part);
    let is_numbered = kind.row().leads == LeadSet::Numbered;
    let lead = |lead: &str| {
        if is_numbered {
            format!("pin\u{a0}{lead}")
        } else {
            lead.to_owned()
        }
    };
    let mut lying: Vec<(&str, Direction, &str)> = Vec::new();
    let own = part
        .facts
        .orientations()
        .map(|row| (row, part.headline.phrase()));
    let claimed = case.claims_on(place).flat_map(|claim| {
        let facts = match &claim.says {
            Says::Facts { facts, .. } => Some(facts),
            Says::Sounds { .. } | Says::Reads { .. } => None,
        };
        let rows = facts.into_iter().flat_map(|facts| facts.orientations());
        rows.map(|row| (row, claim.source.phrase()))
    });
    for ((name, direction, _), who) in own.chain(claimed) {
        match lying.iter().find(|row| row.0 == name) {
            Some((_, other, first)) if *other != direction => {
                let name = lead(name);
                return WayRound::Disputed(format!(
                    "{name} {} by {first}, {name} {} by {who}",
                    other.word(),
                    direction.word()
                ));
            }
            Some(_) => {}
            None => lying.push((name, direction, who)),
        }
    }
    let mut leads: Vec<(&str, Vec<String>)> = Vec::new();
    let nets = part.pins.iter().map(|pin| {
        let toward = format!("toward {}", net_named(case, pin.net));
        (pin.lead, toward)
    });
    let directions = lying.iter().map(|row| (row.0, row.1.word().to_owned()));
    for (name, says) in nets.chain(directions) {
        match leads.iter_mut().find(|row| row.0 == name) {
            Some(row) => row.1.push(says),
            None => leads.push((name, vec![says])),
        }
    }
    if leads.is_empty() {
        return WayRound::NotKnown;
    }
    let says = leads
        .iter()
        .map(|(name, says)| format!("{} {}", lead(name), says.join(" and ")));
    WayRound::Leads(says.collect::<Vec<_>>().join(", "))
}
