//! From a case to a circuit.

use super::{Doubt, Subject};
use crate::circuit::{
    Amps, BipolarModel, Circuit, DiodeModel, Element, NodeId, Ohms, OpAmpModel, Polarity, Ratio,
    RegulatorModel, Spread, Tag, Volts, ZenerModel,
};
use crate::library::Device;
use crate::meaning::{
    BoardId, Case, FactValue, GoingBy, NetId, Part, PartId, PinOn, PlaceId, Says,
};
use crate::potentials::of_rail;
use crate::rules::limits;
use retin_syntax::Token;
use retin_syntax::tables::{Kind, Property};
use retin_syntax::value::{Decimal, Dimension, Quantity, Tolerance, Value};
use rust_decimal::prelude::ToPrimitive;
use rustc_hash::{FxHashMap, FxHashSet};

/// A case as a circuit.
pub(super) struct Lowered {
    pub(super) circuit: Circuit,
    /// The node of each net that stands for all it is joined with.
    pub(super) nodes: FxHashMap<NetId, NodeId>,
    /// What each tag stands for.
    pub(super) subjects: Vec<Subject>,
    /// Nodes whose difference a rule may ask for.
    pub(super) pairs: Vec<(NodeId, NodeId)>,
    /// Whether anything conducts to a node that no rail holds, or joins two rails.
    pub(super) is_worth_solving: bool,
}

struct Lowering<'c, 'a> {
    case: &'c Case<'a>,
    lowered: Lowered,
    held: FxHashSet<NodeId>,
    reference: NodeId,
}

/// Makes a circuit of a case.
pub(super) fn lower(case: &Case<'_>) -> Lowered {
    let mut circuit = Circuit::new();
    let reference = circuit.ground();
    let mut lowering = Lowering {
        case,
        lowered: Lowered {
            circuit,
            nodes: FxHashMap::default(),
            subjects: Vec::new(),
            pairs: Vec::new(),
            is_worth_solving: false,
        },
        held: FxHashSet::default(),
        reference,
    };
    lowering.rails();
    if lowering.held.is_empty() {
        return lowering.lowered;
    }
    lowering.open_ends();
    lowering.parts();
    lowering.lowered
}

impl<'c, 'a> Lowering<'c, 'a> {
    fn node(&mut self, net: NetId) -> NodeId {
        let common = self.case.nets.common(net);
        let circuit = &mut self.lowered.circuit;
        *self
            .lowered
            .nodes
            .entry(common)
            .or_insert_with(|| circuit.node())
    }

    fn add(&mut self, subject: Subject, element: Element) {
        let conducts = !matches!(
            element,
            Element::Capacitor { .. } | Element::Unmodelled { .. } | Element::Source { .. }
        );
        let may_contradict = matches!(element, Element::Conductor { .. } | Element::Winding { .. });
        if conducts
            && (may_contradict
                || element
                    .terminals()
                    .iter()
                    .any(|node| !self.held.contains(node)))
        {
            self.lowered.is_worth_solving = true;
        }
        let tag = Tag(self.lowered.subjects.len() as u32);
        self.lowered.subjects.push(subject);
        self.lowered.circuit.add(tag, element);
    }

    /// Each rail as a source; of several on joined nets the first.
    fn rails(&mut self) {
        let case = self.case;
        for (id, net) in case.nets.iter() {
            let Some(rail) = &net.rail else { continue };
            let node = self.node(id);
            if self.held.contains(&node) {
                continue;
            }
            let spread = of_rail(id, rail).and_then(|known| {
                Some(Spread::between(
                    Volts(known.low.to_f64()?),
                    Volts(known.nominal.to_f64()?),
                    Volts(known.high.to_f64()?),
                ))
            });
            match spread {
                Some(volts) => {
                    self.held.insert(node);
                    let minus = self.reference;
                    self.add(
                        Subject::Rail(id),
                        Element::Source {
                            plus: node,
                            minus,
                            volts,
                        },
                    );
                }
                None => self.add(
                    Subject::OpenRail(id),
                    Element::Unmodelled {
                        terminals: vec![node],
                    },
                ),
            }
        }
    }

    /// Nets on which something must be that is not written: one lead alone is on
    /// them, or a link leads to a net with nothing on it. And nets by which the
    /// copies of a board meet each other: one copy does not stand for all there.
    fn open_ends(&mut self) {
        let nets = &self.case.nets;
        let mut leads: FxHashMap<NetId, u32> = FxHashMap::default();
        let mut ends: Vec<NetId> = Vec::new();
        for (id, net) in nets.iter() {
            *leads.entry(nets.common(id)).or_default() += net.leads;
            if net.leads == 0 && net.rail.is_none() && nets.common(id) != id {
                ends.push(id);
            }
        }
        for (id, _) in nets.iter() {
            if nets.common(id) == id && leads.get(&id).is_some_and(|leads| *leads == 1) {
                ends.push(id);
            }
        }
        let mut met: Vec<NetId> = Vec::new();
        for (id, net) in nets.iter() {
            let is_joined = |other: (NetId, &crate::meaning::Net<'_>)| {
                other.0 != id && nets.common(other.0) == nets.common(id)
            };
            if self.case.board(net.board).copies.len() > 1
                && !met.contains(&nets.common(id))
                && nets.iter().any(is_joined)
            {
                met.push(nets.common(id));
            }
        }
        for net in met {
            let node = self.node(net);
            if !self.held.contains(&node) {
                self.add(
                    Subject::Meeting(net),
                    Element::Unmodelled {
                        terminals: vec![node],
                    },
                );
            }
        }
        for end in ends {
            let node = self.node(end);
            if !self.held.contains(&node) {
                self.add(
                    Subject::OpenEnd(end),
                    Element::Unmodelled {
                        terminals: vec![node],
                    },
                );
            }
        }
    }

    fn parts(&mut self) {
        let case = self.case;
        let mut sections: FxHashMap<PartId, Vec<PartId>> = FxHashMap::default();
        let ids = || (0..case.parts.len() as u32).map(PartId);
        for id in ids() {
            if let Some(whole) = case.whole_of(id) {
                sections.entry(whole).or_default().push(id);
            }
        }
        let mut open_boards: Vec<(BoardId, PartId)> = Vec::new();
        for id in ids() {
            let part = case.part(id);
            if part.is_added || part.facts.has(Property::Unfitted) {
                continue;
            }
            let whole = case.whole_of(id);
            if whole.is_some_and(|whole| case.part(whole).facts.has(Property::Unfitted)) {
                continue;
            }
            let own = sections.get(&id).map_or(&[][..], Vec::as_slice);
            let old = case.goes_by(usual_copy(part, id));
            let device = old
                .word(Property::Device)
                .and_then(|device| case.library.device(device));
            let kind = old.kind.or_else(|| device?.kind);
            if kind.is_some_and(|kind| kind.token() == Token::Opamp) {
                // Sections of an amplifier are taken together with their whole.
                if whole.is_none() {
                    let is_written = !part.pins.is_empty()
                        || own
                            .iter()
                            .any(|section| !case.part(*section).pins.is_empty());
                    if is_written {
                        self.amplifiers(id, own, device);
                    } else {
                        open_boards.push((part.board, id));
                    }
                }
                continue;
            }
            if part.pins.is_empty() {
                let is_open = own.is_empty() && whole.is_none() && !is_idle_without_leads(kind);
                if is_open && !open_boards.iter().any(|(board, _)| *board == part.board) {
                    open_boards.push((part.board, id));
                }
                continue;
            }
            self.part(id, kind, &old, device);
        }
        for (board, example) in open_boards {
            let nets: Vec<NetId> = case
                .nets
                .iter()
                .filter(|(_, net)| net.board == board)
                .map(|(id, _)| id)
                .collect();
            let terminals = nets.into_iter().map(|net| self.node(net)).collect();
            self.add(
                Subject::OpenBoard(board, example),
                Element::Unmodelled { terminals },
            );
        }
    }

    fn part(
        &mut self,
        id: PartId,
        kind: Option<Kind>,
        old: &GoingBy<'_, '_>,
        device: Option<&Device<'_>>,
    ) {
        let case = self.case;
        let part = case.part(id);
        let is_capacitor = kind.is_some_and(|kind| kind.is_covered_by(Token::Capacitor));
        if let [one, other] = part.pins.as_slice() {
            let pair = (self.node(one.net), self.node(other.net));
            let is_resistor = kind.is_some_and(|kind| kind.token() == Token::Resistor);
            if (is_capacitor || is_resistor)
                && pair.0 != pair.1
                && !(self.held.contains(&pair.0) && self.held.contains(&pair.1))
            {
                self.lowered.pairs.push(pair);
            }
        }
        if is_capacitor {
            if let [one, other] = part.pins.as_slice() {
                let (a, b) = (self.node(one.net), self.node(other.net));
                self.add(Subject::Part(id), Element::Capacitor { a, b });
            }
            return;
        }
        let modelled = if has_disputed_leads(part) {
            Err(Doubt::Leads)
        } else {
            self.modelled(part, kind, old, device)
        };
        match modelled {
            Ok(element) => self.add(Subject::Part(id), element),
            Err(doubt) => self.unmodelled(id, part.pins.iter(), doubt),
        }
    }

    fn unmodelled<'p>(
        &mut self,
        id: PartId,
        pins: impl Iterator<Item = &'p PinOn<'p>>,
        doubt: Doubt,
    ) {
        let terminals: Vec<NodeId> = pins.map(|pin| self.node(pin.net)).collect();
        self.add(
            Subject::Doubtful(id, doubt),
            Element::Unmodelled { terminals },
        );
    }

    fn modelled(
        &mut self,
        part: &Part<'_>,
        kind: Option<Kind>,
        old: &GoingBy<'_, '_>,
        device: Option<&Device<'_>>,
    ) -> Result<Element, Doubt> {
        let kind = kind.ok_or(Doubt::Kind)?;
        let value = |dimension: Dimension| spread_of(kind, old, device, dimension);
        match kind.token() {
            Token::Resistor => {
                let [a, b] = self.leads(part, ["1", "2"])?;
                let ohms = value(Dimension::Resistance)?;
                Ok(if ohms.nominal == 0.0 {
                    Element::Conductor { a, b }
                } else {
                    Element::Resistor {
                        a,
                        b,
                        ohms: of_ohms(ohms),
                    }
                })
            }
            Token::Pot | Token::Trimmer | Token::Fader => {
                let [a, wiper, b] = self.leads(part, ["1", "2", "3"])?;
                Ok(Element::Potentiometer {
                    a,
                    wiper,
                    b,
                    ohms: of_ohms(value(Dimension::Resistance)?),
                    position: Spread::between(Ratio(0.0), Ratio(0.5), Ratio(1.0)),
                })
            }
            Token::Inductor => {
                let [a, b] = self.leads(part, ["1", "2"])?;
                let ohms = old
                    .quantity(Property::Resistance)
                    .filter(|ohms| ohms.dimension == Dimension::Resistance)
                    .and_then(|ohms| ohms.number.to_f64())
                    .ok_or(Doubt::Value)?;
                Ok(Element::Winding {
                    a,
                    b,
                    ohms: Some(Spread::exact(Ohms(ohms))),
                })
            }
            Token::Fuse => {
                let [a, b] = self.leads(part, ["1", "2"])?;
                Ok(Element::Conductor { a, b })
            }
            Token::Crystal => {
                let [a, b] = self.leads(part, ["1", "2"])?;
                Ok(Element::Open { a, b })
            }
            Token::Diode => {
                let [anode, cathode] = self.leads(part, ["A", "K"])?;
                let model = if old.is(Property::Material, Token::Germanium) {
                    DiodeModel::generic_germanium()
                } else if old.is(Property::Speed, Token::Schottky) {
                    return Err(Doubt::Kind);
                } else {
                    DiodeModel::generic_silicon()
                };
                Ok(Element::Diode {
                    anode,
                    cathode,
                    model,
                })
            }
            Token::Led => {
                let [anode, cathode] = self.leads(part, ["A", "K"])?;
                Ok(Element::Led {
                    anode,
                    cathode,
                    model: DiodeModel::generic_red_led(),
                })
            }
            Token::Zener => {
                let [anode, cathode] = self.leads(part, ["A", "K"])?;
                Ok(Element::Zener {
                    anode,
                    cathode,
                    volts: of_volts(value(Dimension::Voltage)?),
                    model: ZenerModel::generic(),
                })
            }
            Token::Npn | Token::Pnp => {
                let [collector, base, emitter] = self.leads(part, ["C", "B", "E"])?;
                // A germanium transistor leaks and has another junction.
                if old.is(Property::Material, Token::Germanium) {
                    return Err(Doubt::Kind);
                }
                Ok(Element::Bipolar {
                    collector,
                    base,
                    emitter,
                    polarity: if kind.token() == Token::Npn {
                        Polarity::Positive
                    } else {
                        Polarity::Negative
                    },
                    model: BipolarModel::with_gain(gain(old, device)),
                })
            }
            Token::Regulator | Token::NegativeRegulator => {
                let [input, common, output] = self.leads(part, ["in", "common", "out"])?;
                if self.held.contains(&output) {
                    return Err(Doubt::Supply);
                }
                let volts = value(Dimension::Voltage)?;
                let is_negative = kind.token() == Token::NegativeRegulator;
                let volts = if volts.nominal < 0.0 {
                    Spread::between(-volts.high, -volts.nominal, -volts.low)
                } else {
                    volts
                };
                Ok(Element::Regulator {
                    input,
                    common,
                    output,
                    polarity: if is_negative {
                        Polarity::Negative
                    } else {
                        Polarity::Positive
                    },
                    model: RegulatorModel {
                        volts: of_volts(volts),
                        dropout: Volts(limits::REGULATOR_DROPOUT_VOLTS),
                        common_current: Amps(limits::REGULATOR_OWN_AMPERES),
                    },
                })
            }
            _ => Err(Doubt::Kind),
        }
    }

    /// The nodes of leads that all have to be written, each once, and no other.
    fn leads<const COUNT: usize>(
        &mut self,
        part: &Part<'_>,
        names: [&str; COUNT],
    ) -> Result<[NodeId; COUNT], Doubt> {
        if part.pins.len() != COUNT {
            return Err(Doubt::Leads);
        }
        let mut nodes = [self.reference; COUNT];
        for (node, name) in nodes.iter_mut().zip(names) {
            let pin = part
                .pins
                .iter()
                .find(|pin| pin.lead == name)
                .ok_or(Doubt::Leads)?;
            *node = self.node(pin.net);
        }
        Ok(nodes)
    }

    /// The amplifiers of one chip: its own pins and those of its sections.
    fn amplifiers(&mut self, id: PartId, sections: &[PartId], device: Option<&Device<'_>>) {
        let case = self.case;
        let parts: Vec<&Part<'_>> = [id]
            .iter()
            .chain(sections)
            .map(|part| case.part(*part))
            .collect();
        let mut functions: Vec<(String, NetId)> = Vec::new();
        let mut is_clear = parts.iter().all(|part| !has_disputed_leads(part));
        for part in &parts {
            for pin in &part.pins {
                match function(pin.lead, device) {
                    Some(function) => functions.push((function, pin.net)),
                    None => is_clear = false,
                }
            }
        }
        let on = |wanted: &str| {
            functions
                .iter()
                .find(|(function, _)| function == wanted)
                .map(|(_, net)| *net)
        };
        let rails = (on("V+"), on("V-"));
        let outputs: Vec<String> = functions
            .iter()
            .filter_map(|(function, _)| Some(function.strip_prefix("OUT")?.to_owned()))
            .collect();
        let is_whole = |suffix: &String| {
            on(&format!("IN{suffix}+")).is_some() && on(&format!("IN{suffix}-")).is_some()
        };
        // Every input belongs to an output that is written too.
        let is_paired = functions
            .iter()
            .filter(|(function, _)| function.starts_with("IN"))
            .all(|(function, _)| {
                let suffix = function[2..].trim_end_matches(['+', '-']);
                outputs.iter().any(|output| output == suffix)
            });
        let has_other = functions
            .iter()
            .any(|(function, _)| !is_known_function(function));
        let (true, true, true, false, (Some(plus), Some(minus))) = (
            is_clear,
            is_paired,
            outputs.iter().all(is_whole) && !outputs.is_empty(),
            has_other,
            rails,
        ) else {
            let pins = parts.iter().flat_map(|part| part.pins.iter());
            self.unmodelled(id, pins, Doubt::Leads);
            return;
        };
        let (rail_plus, rail_minus) = (self.node(plus), self.node(minus));
        // What it draws is not known: unless they are rails, neither are these nets.
        self.add(
            Subject::Doubtful(id, Doubt::Supply),
            Element::Unmodelled {
                terminals: vec![rail_plus, rail_minus],
            },
        );
        for suffix in &outputs {
            let (Some(plus), Some(minus), Some(out)) = (
                on(&format!("IN{suffix}+")),
                on(&format!("IN{suffix}-")),
                on(&format!("OUT{suffix}")),
            ) else {
                continue;
            };
            let element = Element::OpAmp {
                plus: self.node(plus),
                minus: self.node(minus),
                out: self.node(out),
                rail_plus: Some(rail_plus),
                rail_minus: Some(rail_minus),
                model: OpAmpModel::ideal(),
            };
            self.add(Subject::Part(id), element);
        }
    }
}

/// What a pin of an amplifier does: by its number where the type is known, else
/// as it is written.
fn function(lead: &str, device: Option<&Device<'_>>) -> Option<String> {
    let function = if lead.bytes().all(|byte| byte.is_ascii_digit()) {
        device?.function_of(lead)?
    } else {
        lead
    };
    Some(match function {
        "VCC" | "VDD" | "VCC+" => "V+".to_owned(),
        "VEE" | "VSS" | "VCC-" => "V-".to_owned(),
        function => function.to_owned(),
    })
}

fn is_known_function(function: &str) -> bool {
    matches!(function, "V+" | "V-" | "NC")
        || ["OUT", "IN", "OFFSET"]
            .iter()
            .any(|start| function.starts_with(start))
}

/// The copy that stands for all: the first of which nothing is said alone.
fn usual_copy(part: &Part<'_>, id: PartId) -> PlaceId {
    let is_particular = |copy: u16| {
        part.claims.iter().any(|claim| claim.copy == Some(copy))
            || part
                .exceptions
                .iter()
                .any(|exception| exception.copies.contains(&copy))
    };
    let copies = part
        .exceptions
        .iter()
        .flat_map(|exception| exception.copies.iter().copied())
        .chain(part.claims.iter().filter_map(|claim| claim.copy))
        .max()
        .unwrap_or(0);
    // One copy more than is spoken of may not be there; then the first it is.
    let copy = (0..=copies).find(|copy| !is_particular(*copy)).unwrap_or(0);
    PlaceId { part: id, copy }
}

/// Whether another source puts a lead on another net than the job goes by.
fn has_disputed_leads(part: &Part<'_>) -> bool {
    part.claims.iter().any(|claim| match &claim.says {
        Says::Facts { pins, .. } => pins.iter().any(|claimed| {
            part.pins
                .iter()
                .any(|pin| pin.lead == claimed.lead && pin.net != claimed.net)
        }),
        _ => false,
    })
}

/// Kinds that carry no direct current of their own, so that it is no matter
/// where their unwritten leads are. What a connector joins, links say.
fn is_idle_without_leads(kind: Option<Kind>) -> bool {
    kind.is_some_and(|kind| {
        kind.is_covered_by(Token::Capacitor)
            || matches!(
                kind.token(),
                Token::Crystal | Token::Connector | Token::Socket
            )
    })
}

/// A value with its tolerance: as written, else as is usual for the kind.
fn spread_of(
    kind: Kind,
    old: &GoingBy<'_, '_>,
    device: Option<&Device<'_>>,
    dimension: Dimension,
) -> Result<Spread<f64>, Doubt> {
    let value = old
        .quantity(Property::Value)
        .or_else(|| device?.facts.quantity(Property::Value))
        .filter(|value| value.dimension == dimension)
        .ok_or(Doubt::Value)?;
    let usual = || {
        let fraction: Decimal = kind.row().usual_tolerance?.parse().ok()?;
        Some(Tolerance::relative(fraction))
    };
    let (low, high) = match old.tolerance().or_else(usual) {
        Some(tolerance) => tolerance.window(value).ok_or(Doubt::Value)?,
        None => (value, value),
    };
    let number = |quantity: Quantity| quantity.number.to_f64().ok_or(Doubt::Value);
    Ok(Spread::between(number(low)?, number(value)?, number(high)?))
}

fn of_ohms(spread: Spread<f64>) -> Spread<Ohms> {
    Spread::between(Ohms(spread.low), Ohms(spread.nominal), Ohms(spread.high))
}

fn of_volts(spread: Spread<f64>) -> Spread<Volts> {
    Spread::between(Volts(spread.low), Volts(spread.nominal), Volts(spread.high))
}

/// The current gain as the part or its type states it, else what is usual.
fn gain(old: &GoingBy<'_, '_>, device: Option<&Device<'_>>) -> Spread<Ratio> {
    let stated = old
        .get(Property::Gain)
        .map(|(_, stated)| stated)
        .or_else(|| device?.facts.get(Property::Gain));
    let ends = stated.and_then(|stated| match &stated.value {
        FactValue::Value(Value::Number(number)) => Some((number.to_f64()?, number.to_f64()?)),
        FactValue::Value(Value::Range { low, high }) => {
            Some((low.number.to_f64()?, high.number.to_f64()?))
        }
        _ => None,
    });
    match ends {
        Some((low, high)) if low > 0.0 => {
            Spread::between(Ratio(low), Ratio((low * high).sqrt()), Ratio(high))
        }
        _ => {
            let (low, usual, high) = limits::USUAL_GAIN;
            Spread::between(Ratio(low), Ratio(usual), Ratio(high))
        }
    }
}
