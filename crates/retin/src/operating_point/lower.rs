//! From a case to a circuit.

use super::pieces::Pieces;
use super::{Doubt, Subject};
use crate::circuit::{
    Amps, AmpsPerSquareVolt, BipolarModel, Circuit, DiodeModel, Element, JfetModel, NodeId, Ohms,
    OpAmpModel, Polarity, Ratio, RegulatorModel, Spread, Tag, Volts, ZenerModel,
};
use crate::library::Device;
use crate::meaning::{Case, FactValue, GoingBy, NetId, Part, PartId, PinOn, PlaceId, Says};
use crate::rules::limits;
use retin_syntax::Token;
use retin_syntax::tables::{Kind, Property};
use retin_syntax::value::{Decimal, Dimension, Quantity, Tolerance, Value};
use rust_decimal::prelude::ToPrimitive;
use rustc_hash::{FxHashMap, FxHashSet};

/// A piece of a case as a circuit.
pub(super) struct Lowered {
    pub(super) circuit: Circuit,
    /// The node of each net that stands for all it is joined with.
    pub(super) nodes: FxHashMap<NetId, NodeId>,
    pub(super) subjects: Subjects,
}

/// What each tag stands for. A rail, or a part, has the same tag in every piece.
#[derive(Debug)]
pub(super) struct Subjects {
    nets: u32,
    parts: u32,
    doubts: FxHashMap<PartId, Doubt>,
    /// What is neither a rail nor a whole part.
    others: Vec<Subject>,
}

impl Subjects {
    fn of_case(case: &Case<'_>) -> Self {
        Subjects {
            nets: case.nets.iter().count() as u32,
            parts: case.parts.len() as u32,
            doubts: FxHashMap::default(),
            others: Vec::new(),
        }
    }

    fn tag(&mut self, subject: Subject) -> Tag {
        Tag(match subject {
            Subject::Rail(net) => net.0,
            Subject::Part(part) => self.nets + part.0,
            Subject::Doubtful(part, doubt) => {
                self.doubts.insert(part, doubt);
                self.nets + part.0
            }
            other => return self.own_tag(other),
        })
    }

    /// A tag that nothing else has, as for one of a chip's amplifiers.
    fn own_tag(&mut self, subject: Subject) -> Tag {
        self.others.push(subject);
        Tag(self.nets + self.parts + self.others.len() as u32 - 1)
    }

    /// Takes a part not to be understood.
    pub(super) fn doubt(&mut self, tag: Tag, doubt: Doubt) {
        let Subject::Part(part) = self.of(tag) else {
            return;
        };
        match tag.0.checked_sub(self.nets + self.parts) {
            Some(place) => self.others[place as usize] = Subject::Doubtful(part, doubt),
            None => {
                self.doubts.insert(part, doubt);
            }
        }
    }

    /// What a tag stands for.
    pub(super) fn of(&self, tag: Tag) -> Subject {
        if let Some(place) = tag.0.checked_sub(self.nets + self.parts) {
            return self.others[place as usize];
        }
        let Some(part) = tag.0.checked_sub(self.nets).map(PartId) else {
            return Subject::Rail(NetId(tag.0));
        };
        match self.doubts.get(&part) {
            Some(doubt) => Subject::Doubtful(part, *doubt),
            None => Subject::Part(part),
        }
    }
}

struct Lowering<'c, 'a> {
    case: &'c Case<'a>,
    lowered: Lowered,
    held: FxHashSet<NodeId>,
    reference: NodeId,
}

/// Makes a circuit of a piece of a case.
pub(super) fn lower(case: &Case<'_>, pieces: &Pieces, piece: u32) -> Lowered {
    let mut circuit = Circuit::new();
    let reference = circuit.ground();
    let mut lowering = Lowering {
        case,
        lowered: Lowered {
            circuit,
            nodes: FxHashMap::default(),
            subjects: Subjects::of_case(case),
        },
        held: FxHashSet::default(),
        reference,
    };
    lowering.nets(pieces, piece);
    for (part, sections) in &pieces.piece(piece).parts {
        lowering.any_part(*part, sections);
    }
    lowering.lowered
}

impl<'c, 'a> Lowering<'c, 'a> {
    /// The node of a net; of a rail's, with the source that holds it.
    fn node(&mut self, net: NetId) -> NodeId {
        let case = self.case;
        let common = case.nets.common(net);
        if let Some(node) = self.lowered.nodes.get(&common) {
            return *node;
        }
        let node = self.lowered.circuit.node();
        self.lowered.nodes.insert(common, node);
        if let Some(rail) = case.potentials.rail(&case.nets, common) {
            let ends = (rail.low.to_f64(), rail.nominal.to_f64(), rail.high.to_f64());
            if let (Some(low), Some(nominal), Some(high)) = ends {
                self.held.insert(node);
                let volts = Spread::between(Volts(low), Volts(nominal), Volts(high));
                let minus = self.reference;
                let plus = node;
                self.add(
                    Subject::Rail(rail.net),
                    Element::Source { plus, minus, volts },
                );
            }
        }
        node
    }

    fn add(&mut self, subject: Subject, element: Element) {
        let tag = self.lowered.subjects.tag(subject);
        self.lowered.circuit.add(tag, element);
    }

    /// Adds an element under a tag of its own.
    fn add_own(&mut self, subject: Subject, element: Element) {
        let tag = self.lowered.subjects.own_tag(subject);
        self.lowered.circuit.add(tag, element);
    }

    /// The nets of the piece, and what makes one of them unknown.
    fn nets(&mut self, pieces: &Pieces, piece: u32) {
        let case = self.case;
        let nets = &pieces.piece(piece).nets;
        let mut marks: Vec<(Subject, NetId)> = Vec::new();
        for &common in nets {
            self.node(common);
            if pieces.is_met(common) {
                marks.push((Subject::Meeting(common), common));
            }
            if let Some(end) = pieces.end(common) {
                marks.push((Subject::OpenEnd(end), common));
            }
        }
        for (id, net) in case.nets.iter() {
            let common = case.nets.common(id);
            if pieces.of_net(common) != Some(piece) {
                continue;
            }
            // It holds nothing: nobody knows it, or it alternates.
            if net.rail.is_some() {
                marks.push((Subject::OpenRail(id), common));
            }
            for &(board, example) in pieces.open_boards() {
                if net.board == board {
                    marks.push((Subject::OpenBoard(board, example), common));
                }
            }
        }
        for (subject, common) in marks {
            let terminals = vec![self.node(common)];
            self.add(subject, Element::Unmodelled { terminals });
        }
    }

    fn any_part(&mut self, id: PartId, sections: &[PartId]) {
        let case = self.case;
        let part = case.part(id);
        let old = case.goes_by(usual_copy(part, id));
        let device = old
            .word(Property::Device)
            .and_then(|device| case.library.device(device));
        let kind = old.kind.or_else(|| device?.kind);
        if kind.is_some_and(|kind| kind.token() == Token::Opamp) {
            self.amplifiers(id, sections, device);
        } else {
            self.part(id, kind, &old, device);
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
            Token::Inductor | Token::Transformer => {
                // A transformer has one winding where two leads are all that is
                // written; each winding of several is a section.
                let [one, other] = part.pins.as_slice() else {
                    return Err(Doubt::Leads);
                };
                let (a, b) = (self.node(one.net), self.node(other.net));
                let ohms = [Property::Resistance, Property::Value]
                    .into_iter()
                    .filter_map(|property| old.quantity(property))
                    .find(|ohms| ohms.dimension == Dimension::Resistance)
                    .and_then(|ohms| ohms.number.to_f64())
                    .ok_or(Doubt::Winding)?;
                Ok(if ohms == 0.0 {
                    Element::Conductor { a, b }
                } else {
                    Element::Winding {
                        a,
                        b,
                        ohms: Some(Spread::exact(Ohms(ohms))),
                    }
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
            Token::NJfet | Token::PJfet => {
                let [drain, gate, source] = self.leads(part, ["D", "G", "S"])?;
                let (least, usual, most) = limits::USUAL_JFET_THRESHOLD;
                let (weak, common, strong) = limits::USUAL_JFET_BETA;
                Ok(Element::Jfet {
                    drain,
                    gate,
                    source,
                    polarity: if kind.token() == Token::NJfet {
                        Polarity::Positive
                    } else {
                        Polarity::Negative
                    },
                    model: JfetModel {
                        threshold: Spread::between(Volts(least), Volts(usual), Volts(most)),
                        beta: Spread::between(
                            AmpsPerSquareVolt(weak),
                            AmpsPerSquareVolt(common),
                            AmpsPerSquareVolt(strong),
                        ),
                        ..JfetModel::generic()
                    },
                })
            }
            Token::Regulator if leads_of(part, ADJUSTABLE).is_some() => {
                let [input, adjust, output] = self.leads(part, ADJUSTABLE)?;
                if self.held.contains(&output) {
                    return Err(Doubt::Supply);
                }
                let (least, usual, most) = limits::ADJUSTABLE_REFERENCE_VOLTS;
                Ok(Element::Regulator {
                    input,
                    common: adjust,
                    output,
                    polarity: Polarity::Positive,
                    model: RegulatorModel {
                        volts: Spread::between(Volts(least), Volts(usual), Volts(most)),
                        dropout: Volts(limits::ADJUSTABLE_DROPOUT_VOLTS),
                        common_current: Amps(limits::ADJUSTMENT_AMPERES),
                    },
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

    /// The nodes of the leads of [`leads_of`].
    fn leads<const COUNT: usize>(
        &mut self,
        part: &Part<'_>,
        names: [&str; COUNT],
    ) -> Result<[NodeId; COUNT], Doubt> {
        let nets = leads_of(part, names).ok_or(Doubt::Leads)?;
        Ok(nets.map(|net| self.node(net)))
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
        let terminals = vec![rail_plus, rail_minus];
        self.add_own(
            Subject::Doubtful(id, Doubt::Supply),
            Element::Unmodelled { terminals },
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
            self.add_own(Subject::Part(id), element);
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

/// The leads of a regulator whose output is set by two resistors.
const ADJUSTABLE: [&str; 3] = ["in", "adjust", "out"];

/// The nets of leads that all have to be written, each once, and no other.
pub(super) fn leads_of<const COUNT: usize>(
    part: &Part<'_>,
    names: [&str; COUNT],
) -> Option<[NetId; COUNT]> {
    let nets = names.map(|name| {
        let pin = part.pins.iter().find(|pin| pin.lead == name)?;
        Some(pin.net)
    });
    let is_whole = part.pins.len() == COUNT && nets.iter().all(Option::is_some);
    is_whole.then(|| nets.map(|net| net.unwrap_or(NetId(0))))
}

/// The copy that stands for all: the first of which nothing is said alone.
pub(super) fn usual_copy(part: &Part<'_>, id: PartId) -> PlaceId {
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
pub(super) fn is_idle_without_leads(kind: Option<Kind>) -> bool {
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
