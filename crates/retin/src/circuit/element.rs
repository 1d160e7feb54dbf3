//! The circuit as plain data: nodes, and elements between them.

use super::models::{
    BipolarModel, DiodeModel, JfetModel, OpAmpModel, Polarity, RegulatorModel, ZenerModel,
};
use super::units::{Amps, Ohms, Ratio, Spread, Volts};

/// A node of the circuit (everything joined by copper), as numbered by
/// [`Circuit::node`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NodeId(pub u32);

/// The caller's own name for an element; comes back in results and faults.
/// Several elements may share one (the sections of a part).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Tag(pub u32);

/// One thing that conducts, or is known not to. Currents of the result are
/// listed in the order in which [`Element::terminals`] gives the terminals.
#[derive(Debug, Clone, PartialEq)]
pub enum Element {
    /// Fixed resistor.
    Resistor {
        /// One end.
        a: NodeId,
        /// Other end.
        b: NodeId,
        /// Resistance; above zero (a link is a [`Element::Conductor`]).
        ohms: Spread<Ohms>,
    },
    /// A link without resistance.
    Conductor {
        /// One end.
        a: NodeId,
        /// Other end.
        b: NodeId,
    },
    /// A place known to be open: an empty place, an open switch.
    Open {
        /// One end.
        a: NodeId,
        /// Other end.
        b: NodeId,
    },
    /// Capacitor: open at direct current.
    Capacitor {
        /// One end.
        a: NodeId,
        /// Other end.
        b: NodeId,
    },
    /// Inductor or one winding of a transformer.
    Winding {
        /// One end.
        a: NodeId,
        /// Other end.
        b: NodeId,
        /// Resistance of the wire; `None` where not known, taken as a link.
        ohms: Option<Spread<Ohms>>,
    },
    /// Ideal voltage source: a rail, a battery.
    Source {
        /// The terminal at the higher potential for positive `volts`.
        plus: NodeId,
        /// The other terminal.
        minus: NodeId,
        /// Potential of `plus` over `minus`.
        volts: Spread<Volts>,
    },
    /// Ideal current source; not taken as a connection between its ends.
    CurrentSource {
        /// Node the current is drawn from.
        from: NodeId,
        /// Node the current is pushed into.
        to: NodeId,
        /// Current through the source, from `from` to `to`.
        amps: Spread<Amps>,
    },
    /// Junction diode.
    Diode {
        /// Anode.
        anode: NodeId,
        /// Cathode.
        cathode: NodeId,
        /// Junction.
        model: DiodeModel,
    },
    /// Light-emitting diode: a diode with another junction.
    Led {
        /// Anode.
        anode: NodeId,
        /// Cathode.
        cathode: NodeId,
        /// Junction.
        model: DiodeModel,
    },
    /// Zener diode.
    Zener {
        /// Anode.
        anode: NodeId,
        /// Cathode, positive in breakdown.
        cathode: NodeId,
        /// Breakdown voltage; a magnitude.
        volts: Spread<Volts>,
        /// Junction and test current.
        model: ZenerModel,
    },
    /// Bipolar transistor.
    Bipolar {
        /// Collector.
        collector: NodeId,
        /// Base.
        base: NodeId,
        /// Emitter.
        emitter: NodeId,
        /// NPN or PNP.
        polarity: Polarity,
        /// Parameters.
        model: BipolarModel,
    },
    /// Junction field-effect transistor.
    Jfet {
        /// Drain.
        drain: NodeId,
        /// Gate.
        gate: NodeId,
        /// Source.
        source: NodeId,
        /// N-channel or P-channel.
        polarity: Polarity,
        /// Parameters.
        model: JfetModel,
    },
    /// Operational amplifier.
    OpAmp {
        /// Non-inverting input.
        plus: NodeId,
        /// Inverting input.
        minus: NodeId,
        /// Output.
        out: NodeId,
        /// Upper rail; `None` where not written down: no upper limit.
        rail_plus: Option<NodeId>,
        /// Lower rail; `None` where not written down: no lower limit.
        rail_minus: Option<NodeId>,
        /// Parameters.
        model: OpAmpModel,
    },
    /// Series voltage regulator.
    Regulator {
        /// Unregulated side.
        input: NodeId,
        /// Common or adjustment pin.
        common: NodeId,
        /// Regulated side.
        output: NodeId,
        /// For positive or negative voltage.
        polarity: Polarity,
        /// Parameters.
        model: RegulatorModel,
    },
    /// Potentiometer or trimmer with an ideal wiper. Resistance of each part
    /// of the track is its length; a taper is the caller's, who gives the
    /// position as a part of the resistance. At the very end of travel one
    /// thousand-millionth of the track stays in circuit, so that two such
    /// contacts in parallel still share their current.
    Potentiometer {
        /// End of the track at position 0.
        a: NodeId,
        /// Wiper.
        wiper: NodeId,
        /// End of the track at position 1.
        b: NodeId,
        /// Resistance of the whole track.
        ohms: Spread<Ohms>,
        /// Resistance from `a` to the wiper as a part of the whole, 0 to 1.
        position: Spread<Ratio>,
    },
    /// A part that is there but whose behaviour is not written down (a value
    /// that cannot be read, a chip without a model). The nodes it touches are
    /// unknown unless something holds them.
    Unmodelled {
        /// Every node it touches.
        terminals: Vec<NodeId>,
    },
}

impl Element {
    /// The nodes of the element's terminals, in the order of its fields.
    /// Rails of an amplifier that are not written down are left out.
    pub fn terminals(&self) -> Vec<NodeId> {
        match self {
            Self::Resistor { a, b, .. }
            | Self::Conductor { a, b }
            | Self::Open { a, b }
            | Self::Capacitor { a, b }
            | Self::Winding { a, b, .. } => vec![*a, *b],
            Self::Source { plus, minus, .. } => vec![*plus, *minus],
            Self::CurrentSource { from, to, .. } => vec![*from, *to],
            Self::Diode { anode, cathode, .. }
            | Self::Led { anode, cathode, .. }
            | Self::Zener { anode, cathode, .. } => vec![*anode, *cathode],
            Self::Bipolar {
                collector,
                base,
                emitter,
                ..
            } => vec![*collector, *base, *emitter],
            Self::Jfet {
                drain,
                gate,
                source,
                ..
            } => vec![*drain, *gate, *source],
            Self::OpAmp {
                plus,
                minus,
                out,
                rail_plus,
                rail_minus,
                ..
            } => {
                let mut nodes = vec![*plus, *minus, *out];
                nodes.extend(rail_plus);
                nodes.extend(rail_minus);
                nodes
            }
            Self::Regulator {
                input,
                common,
                output,
                ..
            } => vec![*input, *common, *output],
            Self::Potentiometer { a, wiper, b, .. } => vec![*a, *wiper, *b],
            Self::Unmodelled { terminals } => terminals.clone(),
        }
    }
}

/// A circuit, or whatever part of one is written down.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Circuit {
    nodes: u32,
    ground: Option<NodeId>,
    elements: Vec<(Tag, Element)>,
}

impl Circuit {
    /// A circuit without nodes or elements.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a node.
    pub fn node(&mut self) -> NodeId {
        let node = NodeId(self.nodes);
        self.nodes += 1;
        node
    }

    /// Adds a node and makes it the reference at 0 V. A later call moves the
    /// reference.
    pub fn ground(&mut self) -> NodeId {
        let node = self.node();
        self.set_ground(node);
        node
    }

    /// Makes a node the reference at 0 V.
    pub fn set_ground(&mut self, node: NodeId) {
        self.ground = Some(node);
    }

    /// Adds an element and returns its place in [`Circuit::elements`].
    pub fn add(&mut self, tag: Tag, element: Element) -> usize {
        self.elements.push((tag, element));
        self.elements.len() - 1
    }

    /// Puts another element at a place returned by [`Circuit::add`]; does
    /// nothing where no such place is.
    pub fn replace(&mut self, place: usize, element: Element) {
        if let Some(slot) = self.elements.get_mut(place) {
            slot.1 = element;
        }
    }

    /// How many nodes there are; their ids run from 0.
    pub fn node_count(&self) -> usize {
        self.nodes as usize
    }

    /// The reference node.
    pub fn ground_node(&self) -> Option<NodeId> {
        self.ground
    }

    /// Every element with its tag, in the order in which they were added.
    pub fn elements(&self) -> &[(Tag, Element)] {
        &self.elements
    }

    /// Adds a resistor.
    pub fn resistor(&mut self, tag: Tag, a: NodeId, b: NodeId, ohms: impl Into<Spread<Ohms>>) {
        let ohms = ohms.into();
        self.add(tag, Element::Resistor { a, b, ohms });
    }

    /// Adds a voltage source.
    pub fn source(
        &mut self,
        tag: Tag,
        plus: NodeId,
        minus: NodeId,
        volts: impl Into<Spread<Volts>>,
    ) {
        let volts = volts.into();
        self.add(tag, Element::Source { plus, minus, volts });
    }
}
