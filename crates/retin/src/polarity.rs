//! Evidence of which way round a part belongs, gathered from every source.
//!
//! A source points either at a net ("plus is on V24") or in a direction ("plus
//! is east"). A beep test in a direction ties the two together; without one,
//! nets are compared with nets and directions with directions.

use crate::meaning::{Act, Case, Claim, NetId, Part, PlaceId, Says};
use crate::potentials::{Basis, shown};
use crate::rules::limits;
use crate::sources::Origin;
use retin_syntax::Token;
use retin_syntax::tables::{ClaimSource, Direction, Kind, LeadSet};
use retin_syntax::value::{Decimal, Quantity};
use std::fmt;

/// Who says so where both potentials are written.
pub const THE_RAILS: &str = "the rails";

/// Who says so where a potential is solved from the circuit.
pub const THE_CIRCUIT: &str = "the circuit";

/// Where a source says the deciding lead belongs.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Points {
    /// On this net.
    Net(NetId),
    /// In this direction.
    Direction(Direction),
}

/// What a source says; it is put into words only where somebody reads it.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Saying<'a> {
    /// "plus on V24".
    On {
        /// The word for the deciding lead.
        word: &'static str,
        /// The net.
        net: &'a str,
    },
    /// "- sounding to GND".
    Sounding {
        /// The lead.
        lead: &'a str,
        /// The net.
        net: &'a str,
    },
    /// "0.6V from A to K".
    Reading {
        /// What was read.
        voltage: Quantity,
        /// The red probe.
        from: &'a str,
        /// The black probe.
        to: &'a str,
    },
    /// "plus east".
    Towards {
        /// The word for the deciding lead.
        word: &'static str,
        /// Where it lies.
        direction: Direction,
    },
}

impl fmt::Display for Saying<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Saying::On { word, net } => write!(f, "{word} on {net}"),
            Saying::Sounding { lead, net } => write!(f, "{lead} sounding to {net}"),
            Saying::Reading { voltage, from, to } => write!(f, "{voltage} from {from} to {to}"),
            Saying::Towards { word, direction } => write!(f, "{word} {}", direction.word()),
        }
    }
}

/// Two potentials, and how far they are apart at least, in volts.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Apart<'a> {
    /// The higher net and its potential.
    pub higher: (&'a str, Decimal),
    /// The lower one.
    pub lower: (&'a str, Decimal),
    /// How far they are apart at least.
    pub least: Decimal,
}

impl fmt::Display for Apart<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{} at {} V is {} V or more above {} at {} V",
            self.higher.0,
            shown(self.higher.1),
            shown(self.least),
            self.lower.0,
            shown(self.lower.1),
        )
    }
}

/// One source's word on the way round a part belongs.
#[derive(Clone, PartialEq, Debug)]
pub struct Evidence<'a> {
    /// Where it points.
    pub points: Points,
    /// Who says so, as the subject of a sentence.
    pub who: &'static str,
    /// What it says, in a few words: "plus on V24".
    pub says: Saying<'a>,
    /// How it comes to say so, where that is not said already: both potentials
    /// and how far they are apart.
    pub because: Option<Apart<'a>>,
    /// Where it is written.
    pub origin: Origin,
    /// How much it weighs, strongest highest: copper and rails before paper,
    /// the sound original before the print on the board. *Common practice, no source.*
    pub strength: u8,
}

/// All evidence on one place, strongest first.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct EvidenceOn<'a> {
    /// What each source says.
    pub evidence: Vec<Evidence<'a>>,
    /// The beep test that ties a direction to a net.
    tie: Option<Tie>,
    /// The two nets of the place.
    nets: Option<(NetId, NetId)>,
}

/// Where the deciding lead belongs, as far as the sources say it.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug)]
pub struct WayRound {
    /// The net it is on, of all that are joined the one that stands for them.
    pub net: Option<NetId>,
    /// The direction it lies in.
    pub direction: Option<Direction>,
}

/// A direction and the net that the lead lying there is on.
#[derive(Clone, Copy, PartialEq, Debug)]
struct Tie {
    direction: Direction,
    net: NetId,
    origin: Origin,
}

/// The lead that decides the way round, the other one, and the word for the first.
pub fn deciding_leads(kind: Kind) -> Option<(&'static str, &'static str, &'static str)> {
    match kind.row().leads {
        LeadSet::Polar => Some(("+", "-", "plus")),
        LeadSet::Diode => Some(("K", "A", "the cathode")),
        _ => None,
    }
}

/// Gathers the evidence on one place.
pub fn evidence<'a>(case: &Case<'a>, place: PlaceId, kind: Kind) -> EvidenceOn<'a> {
    let Some(leads) = deciding_leads(kind) else {
        return EvidenceOn::default();
    };
    let part = case.part(place.part);
    let net_of = |lead: &str| part.pins.iter().find(|pin| pin.lead == lead);
    let mut found = EvidenceOn::default();
    let on = (net_of(leads.0), net_of(leads.1));
    if let (Some(one), Some(other)) = on {
        found.nets = Some((case.nets.common(one.net), case.nets.common(other.net)));
    }
    if let Some(pin) = on.0 {
        found.add(
            Points::Net(case.nets.common(pin.net)),
            part.headline.phrase(),
            Saying::On {
                word: leads.2,
                net: case.nets.net(pin.net).name,
            },
            pin.origin,
            40,
        );
    }
    if let (Some(one), Some(other)) = on {
        rails(case, kind, leads.2, (one.net, other.net), &mut found);
    }
    for (lead, direction, origin) in part.facts.orientations() {
        oriented(
            leads,
            part.headline.phrase(),
            lead,
            direction,
            origin,
            40,
            &mut found,
        );
    }
    for claim in case.claims_on(place) {
        claimed(case, part, claim, leads, &mut found);
    }
    if let Some(decision) = case.decision(place)
        && let Some((lead, direction, origin)) = case.plan_line(decision.line).orientation
    {
        oriented(leads, "the plan", lead, direction, origin, 10, &mut found);
    }
    let state = case.replay.place(place);
    if let Some((lead, direction, origin)) = state
        .fitted
        .and_then(|index| case.job.as_ref()?.told(index))
        .and_then(|entry| match entry.act {
            Act::Fitted { orientation, .. } => orientation,
            _ => None,
        })
    {
        oriented(leads, "the log", lead, direction, origin, 5, &mut found);
    }
    found.evidence.sort_by(|one, other| {
        other
            .strength
            .cmp(&one.strength)
            .then(one.origin.cmp(&other.origin))
    });
    found
}

/// The deciding lead of a polar part or a zener sits on the higher potential.
fn rails<'a>(
    case: &Case<'a>,
    kind: Kind,
    word: &'static str,
    nets: (NetId, NetId),
    found: &mut EvidenceOn<'a>,
) {
    if !kind.is_polar() && kind.token() != Token::Zener {
        return;
    }
    let known = |net| case.potentials.of(case, net);
    let (Some(one), Some(other)) = (known(nets.0), known(nets.1)) else {
        return;
    };
    let Some(over) = case.potentials.between(case, nets.0, nets.1) else {
        return;
    };
    let is_solved = one.basis == Basis::Solved || other.basis == Basis::Solved;
    let doubt = if is_solved {
        limits::SOLVED_DOUBT
    } else {
        Decimal::ZERO
    };
    let (higher, known) = if over.low >= doubt && over.high > doubt {
        (nets.0, one)
    } else if over.high <= -doubt && over.low < -doubt {
        (nets.1, other)
    } else {
        return;
    };
    let (lower_net, lower) = if higher == nets.0 {
        (nets.1, other)
    } else {
        (nets.0, one)
    };
    let name = |net| case.nets.net(net).name;
    // The rail that makes the difference is the one to look at, not ground.
    let origin = if lower.nominal.is_zero() || known.basis == Basis::Solved {
        known.origin
    } else {
        lower.origin
    };
    found.evidence.push(Evidence {
        points: Points::Net(case.nets.common(higher)),
        who: if is_solved { THE_CIRCUIT } else { THE_RAILS },
        says: Saying::On {
            word,
            net: name(higher),
        },
        because: Some(Apart {
            higher: (name(higher), known.nominal),
            lower: (name(lower_net), lower.nominal),
            least: over.low.abs().min(over.high.abs()),
        }),
        origin,
        strength: if is_solved { 85 } else { 100 },
    });
}

fn claimed<'a>(
    case: &Case<'a>,
    part: &Part<'a>,
    claim: &Claim<'a>,
    leads: (&str, &str, &'static str),
    found: &mut EvidenceOn<'a>,
) {
    let who = claim.source.phrase();
    let strength = match claim.source {
        ClaimSource::Meter => 90,
        ClaimSource::Beep => 80,
        ClaimSource::Found => 60,
        ClaimSource::Silk => 20,
        ClaimSource::Schematic | ClaimSource::List => 40,
    };
    match &claim.says {
        Says::Facts { facts, pins, .. } => {
            for (lead, direction, origin) in facts.orientations() {
                oriented(leads, who, lead, direction, origin, strength, found);
            }
            for pin in pins.iter().filter(|pin| pin.lead == leads.0) {
                let says = Saying::On {
                    word: leads.2,
                    net: case.nets.net(pin.net).name,
                };
                found.add(
                    Points::Net(case.nets.common(pin.net)),
                    who,
                    says,
                    pin.origin,
                    strength,
                );
            }
        }
        Says::Sounds { lead, net } => {
            let common = case.nets.common(*net);
            let name = case.nets.net(*net).name;
            if let Some(direction) = direction(lead) {
                found.tie.get_or_insert(Tie {
                    direction,
                    net: common,
                    origin: claim.origin,
                });
                return;
            }
            // The other lead sounds: the deciding one is on the other net.
            let on = if *lead == leads.0 {
                Some(common)
            } else if *lead == leads.1 {
                found.nets.and_then(|nets| other_of(nets, common))
            } else {
                None
            };
            if let Some(on) = on {
                found.add(
                    Points::Net(on),
                    who,
                    Saying::Sounding { lead, net: name },
                    claim.origin,
                    strength,
                );
            }
        }
        Says::Reads { from, to, voltage } => {
            if voltage.number.is_zero() {
                return;
            }
            let higher = if voltage.number.is_sign_negative() {
                to
            } else {
                from
            };
            let says = Saying::Reading {
                voltage: *voltage,
                from,
                to,
            };
            let points = if let Some(direction) = direction(higher) {
                Points::Direction(direction)
            } else {
                let pin = part.pins.iter().find(|pin| pin.lead == *higher);
                let Some(pin) = pin else { return };
                Points::Net(case.nets.common(pin.net))
            };
            found.add(points, who, says, claim.origin, strength);
        }
    }
}

fn oriented(
    leads: (&str, &str, &'static str),
    who: &'static str,
    lead: &str,
    direction: Direction,
    origin: Origin,
    strength: u8,
    found: &mut EvidenceOn<'_>,
) {
    let towards = if lead == leads.0 {
        direction
    } else if lead == leads.1 {
        direction.opposite()
    } else {
        return;
    };
    found.add(
        Points::Direction(towards),
        who,
        Saying::Towards {
            word: leads.2,
            direction: towards,
        },
        origin,
        strength,
    );
}

fn direction(word: &str) -> Option<Direction> {
    Direction::all().find(|direction| direction.word() == word)
}

fn other_of(nets: (NetId, NetId), one: NetId) -> Option<NetId> {
    if one == nets.0 {
        Some(nets.1)
    } else if one == nets.1 {
        Some(nets.0)
    } else {
        None
    }
}

impl<'a> EvidenceOn<'a> {
    fn add(
        &mut self,
        points: Points,
        who: &'static str,
        says: Saying<'a>,
        origin: Origin,
        strength: u8,
    ) {
        self.evidence.push(Evidence {
            points,
            who,
            says,
            because: None,
            origin,
            strength,
        });
    }

    /// The beep test by which two sources are compared, where it takes one.
    pub fn tie_of(
        &self,
        case: &Case<'_>,
        one: &Evidence<'_>,
        other: &Evidence<'_>,
    ) -> Option<(Origin, String)> {
        let is_direction =
            |evidence: &Evidence<'_>| matches!(evidence.points, Points::Direction(_));
        let tie = self
            .tie
            .filter(|_| is_direction(one) != is_direction(other))?;
        let text = format!(
            "the beep test: the {} pad is on {}",
            tie.direction.word(),
            case.nets.net(tie.net).name
        );
        Some((tie.origin, text))
    }

    /// A direction as the net of the lead that lies there, where a beep test ties the two.
    fn as_net(&self, points: Points) -> Option<NetId> {
        match points {
            Points::Net(net) => Some(net),
            Points::Direction(direction) => {
                let tie = self.tie?;
                if agree(direction, tie.direction) {
                    Some(tie.net)
                } else {
                    other_of(self.nets?, tie.net)
                }
            }
        }
    }

    /// Where the deciding lead belongs by the strongest source of each sort; a beep
    /// test makes a direction of a net, and a net of a direction.
    pub fn way_round(&self) -> WayRound {
        let mut way = WayRound::default();
        for evidence in &self.evidence {
            match evidence.points {
                Points::Net(net) => way.net = way.net.or(Some(net)),
                Points::Direction(direction) => {
                    way.direction = way.direction.or(Some(direction));
                }
            }
        }
        WayRound {
            net: way
                .net
                .or_else(|| self.as_net(Points::Direction(way.direction?))),
            direction: way.direction.or_else(|| self.as_direction(way.net?)),
        }
    }

    /// The direction of the lead that is on a net, where a beep test ties the two.
    fn as_direction(&self, net: NetId) -> Option<Direction> {
        let tie = self.tie?;
        if net == tie.net {
            Some(tie.direction)
        } else if other_of(self.nets?, tie.net) == Some(net) {
            Some(tie.direction.opposite())
        } else {
            None
        }
    }

    /// Whether two sources point the same way; none where they cannot be compared.
    pub fn compare(&self, one: &Evidence<'_>, other: &Evidence<'_>) -> Option<bool> {
        if let (Points::Direction(one), Points::Direction(other)) = (one.points, other.points) {
            return Some(agree(one, other));
        }
        Some(self.as_net(one.points)? == self.as_net(other.points)?)
    }

    /// The first two sources, strongest first, that contradict one another.
    pub fn conflict(&self) -> Option<(&Evidence<'a>, &Evidence<'a>)> {
        self.pairs()
            .find(|(one, other)| self.compare(one, other) == Some(false))
    }

    /// How many sources point the same way as another one.
    pub fn agreeing(&self) -> usize {
        self.evidence
            .iter()
            .enumerate()
            .filter(|(index, one)| {
                let others = self
                    .evidence
                    .iter()
                    .enumerate()
                    .filter(|(other, _)| other != index);
                others
                    .into_iter()
                    .any(|(_, other)| self.compare(one, other) == Some(true))
            })
            .count()
    }

    fn pairs(&self) -> impl Iterator<Item = (&Evidence<'a>, &Evidence<'a>)> {
        self.evidence.iter().enumerate().flat_map(|(index, one)| {
            self.evidence[index + 1..]
                .iter()
                .map(move |other| (one, other))
        })
    }
}

/// Directions that are the same, or next to one another on the compass.
fn agree(one: Direction, other: Direction) -> bool {
    let apart = (one as i8 - other as i8).rem_euclid(8);
    matches!(apart, 0 | 1 | 7)
}
