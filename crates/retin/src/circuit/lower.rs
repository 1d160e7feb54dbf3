//! Breaks elements down into ties (ideal voltages) and parts (currents).
//!
//! A tie fixes the difference of two potentials; a part is one of the seven
//! kinds of thing that [`stamp`](super::stamp) knows equations for. Which
//! ties and parts an element becomes never depends on the numbers that a
//! tolerance moves, so that a circuit is broken down once and evaluated for
//! many sets of values.

use super::element::{Circuit, Element, NodeId};
use super::models::{DiodeModel, JUNCTION_TEMPERATURE};
use super::result::Fault;
use super::units::{Quantity, Spread};
use super::validate;

/// Part of the track that stays in circuit at the very end of its travel.
const END_OF_TRAVEL: f64 = 1e-9;

/// The numbers of every element that a tolerance may move: its value, and
/// for a potentiometer its wiper position.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Scenario(pub(super) Vec<[f64; 2]>);

/// Value and second value of an element with their spreads, where it has any.
pub(super) fn spreads(element: &Element) -> [Option<Spread<f64>>; 2] {
    fn plain<Unit: Quantity>(spread: &Spread<Unit>) -> Option<Spread<f64>> {
        Some(Spread {
            nominal: spread.nominal.number(),
            low: spread.low.number(),
            high: spread.high.number(),
        })
    }
    match element {
        Element::Resistor { ohms, .. } => [plain(ohms), None],
        Element::Winding { ohms, .. } => [ohms.as_ref().and_then(plain), None],
        Element::Source { volts, .. } | Element::Zener { volts, .. } => [plain(volts), None],
        Element::CurrentSource { amps, .. } => [plain(amps), None],
        Element::Bipolar { model, .. } => [plain(&model.forward_gain), None],
        Element::Jfet { model, .. } => [plain(&model.threshold), plain(&model.beta)],
        Element::Regulator { model, .. } => [plain(&model.volts), None],
        Element::Potentiometer { ohms, position, .. } => [plain(ohms), plain(position)],
        _ => [None, None],
    }
}

impl Scenario {
    /// Every element at its nominal value.
    pub(super) fn nominal(circuit: &Circuit) -> Self {
        Self(
            circuit
                .elements()
                .iter()
                .map(|(_, element)| {
                    spreads(element).map(|spread| spread.map_or(0.0, |spread| spread.nominal))
                })
                .collect(),
        )
    }
}

/// One end of a part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pin {
    /// Node of the circuit, or one of the inner nodes numbered after them.
    pub(super) node: usize,
    /// Terminal of the element whose current this is; `None` inside it.
    pub(super) terminal: Option<usize>,
}

/// What a part does, with its numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Kind {
    /// Pins: both ends.
    Resistance { ohms: f64, track: bool },
    /// Pins: from, to.
    Current { amps: f64 },
    /// Pins: anode, cathode.
    Junction {
        saturation: f64,
        scale_volts: f64,
        breakdown: Option<Breakdown>,
    },
    /// Pins: collector, base, emitter.
    Bipolar {
        saturation: f64,
        forward_gain: f64,
        reverse_gain: f64,
        sign: f64,
    },
    /// Pins: drain, gate, source.
    Jfet {
        threshold: f64,
        beta: f64,
        modulation: f64,
        saturation: f64,
        sign: f64,
    },
    /// Pins: plus, minus, out, and the rails that are written down.
    Amplifier {
        gain: f64,
        upper_headroom: f64,
        lower_headroom: f64,
        supply_current: f64,
        upper_rail: Option<usize>,
        lower_rail: Option<usize>,
    },
    /// Pins: input, common, output.
    Regulator {
        volts: f64,
        dropout: f64,
        common_current: f64,
        sign: f64,
    },
}

/// The breakdown branch of a zener.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Breakdown {
    pub(super) volts: f64,
    pub(super) amps: f64,
}

/// One part of an element.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Part {
    pub(super) element: usize,
    pub(super) pins: Vec<Pin>,
    pub(super) kind: Kind,
    /// For a regulator, its voltage with its tolerance.
    pub(super) regulated: Option<Spread<f64>>,
}

/// An ideal voltage between two nodes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Tie {
    pub(super) element: usize,
    pub(super) plus: Pin,
    pub(super) minus: Pin,
    /// Potential of `plus` over `minus`, with its tolerance.
    pub(super) volts: Spread<f64>,
}

/// What one element becomes.
#[derive(Debug, Default)]
pub(super) struct Pieces {
    pub(super) parts: Vec<Part>,
    pub(super) tie: Option<Tie>,
}

/// Numbers inner nodes and places pins.
struct Builder {
    element: usize,
    next_node: usize,
    pieces: Pieces,
}

fn pin(node: NodeId, terminal: usize) -> Pin {
    Pin {
        node: node.0 as usize,
        terminal: Some(terminal),
    }
}

impl Builder {
    fn part(&mut self, pins: Vec<Pin>, kind: Kind) {
        self.pieces.parts.push(Part {
            element: self.element,
            pins,
            kind,
            regulated: None,
        });
    }

    fn tie(&mut self, plus: NodeId, minus: NodeId, volts: Spread<f64>) {
        self.pieces.tie = Some(Tie {
            element: self.element,
            plus: pin(plus, 0),
            minus: pin(minus, 1),
            volts,
        });
    }

    /// A junction with its series resistance, if any, on the anode side.
    fn diode(
        &mut self,
        anode: NodeId,
        cathode: NodeId,
        model: &DiodeModel,
        breakdown: Option<Breakdown>,
    ) {
        let kind = Kind::Junction {
            saturation: model.saturation.0,
            scale_volts: model.emission.0 * JUNCTION_TEMPERATURE.thermal_voltage().0,
            breakdown,
        };
        let mut junction_anode = pin(anode, 0);
        if model.series.0 > 0.0 {
            let inner = Pin {
                node: self.next_node,
                terminal: None,
            };
            self.next_node += 1;
            let ohms = model.series.0;
            self.part(
                vec![junction_anode, inner],
                Kind::Resistance { ohms, track: false },
            );
            junction_anode = inner;
        }
        self.part(vec![junction_anode, pin(cathode, 1)], kind);
    }
}

/// The pieces of one element at the given values; inner nodes are numbered
/// from `next_node`, which is moved on.
pub(super) fn pieces(
    element: &Element,
    place: usize,
    values: [f64; 2],
    next_node: &mut usize,
) -> Pieces {
    let mut build = Builder {
        element: place,
        next_node: *next_node,
        pieces: Pieces::default(),
    };
    let value = values[0];
    match element {
        Element::Resistor { a, b, .. }
        | Element::Winding {
            a,
            b,
            ohms: Some(_),
        } => build.part(
            vec![pin(*a, 0), pin(*b, 1)],
            Kind::Resistance {
                ohms: value,
                track: false,
            },
        ),
        Element::Conductor { a, b } | Element::Winding { a, b, ohms: None } => build.tie(
            *a,
            *b,
            Spread {
                nominal: 0.0,
                low: 0.0,
                high: 0.0,
            },
        ),
        Element::Source { plus, minus, volts } => build.tie(
            *plus,
            *minus,
            Spread {
                nominal: value,
                low: volts.low.0,
                high: volts.high.0,
            },
        ),
        Element::CurrentSource { from, to, .. } => build.part(
            vec![pin(*from, 0), pin(*to, 1)],
            Kind::Current { amps: value },
        ),
        Element::Diode {
            anode,
            cathode,
            model,
        }
        | Element::Led {
            anode,
            cathode,
            model,
        } => build.diode(*anode, *cathode, model, None),
        Element::Zener {
            anode,
            cathode,
            model,
            ..
        } => build.diode(
            *anode,
            *cathode,
            &model.forward,
            Some(Breakdown {
                volts: value,
                amps: model.test_current.0,
            }),
        ),
        Element::Bipolar {
            collector,
            base,
            emitter,
            polarity,
            model,
        } => build.part(
            vec![pin(*collector, 0), pin(*base, 1), pin(*emitter, 2)],
            Kind::Bipolar {
                saturation: model.saturation.0,
                forward_gain: value,
                reverse_gain: model.reverse_gain.0,
                sign: polarity.sign(),
            },
        ),
        Element::Jfet {
            drain,
            gate,
            source,
            polarity,
            model,
        } => build.part(
            vec![pin(*drain, 0), pin(*gate, 1), pin(*source, 2)],
            Kind::Jfet {
                threshold: value,
                beta: values[1],
                modulation: model.modulation.0,
                saturation: model.saturation.0,
                sign: polarity.sign(),
            },
        ),
        Element::OpAmp {
            plus,
            minus,
            out,
            rail_plus,
            rail_minus,
            model,
        } => {
            let mut pins = vec![pin(*plus, 0), pin(*minus, 1), pin(*out, 2)];
            let upper_rail = rail_plus.map(|rail| {
                pins.push(pin(rail, pins.len()));
                pins.len() - 1
            });
            let lower_rail = rail_minus.map(|rail| {
                pins.push(pin(rail, pins.len()));
                pins.len() - 1
            });
            build.part(
                pins,
                Kind::Amplifier {
                    gain: model.gain.0,
                    upper_headroom: model.upper_headroom.0,
                    lower_headroom: model.lower_headroom.0,
                    supply_current: model.supply_current.0,
                    upper_rail,
                    lower_rail,
                },
            );
        }
        Element::Regulator {
            input,
            common,
            output,
            polarity,
            model,
        } => build.pieces.parts.push(Part {
            element: place,
            pins: vec![pin(*input, 0), pin(*common, 1), pin(*output, 2)],
            kind: Kind::Regulator {
                volts: value,
                dropout: model.dropout.0,
                common_current: model.common_current.0,
                sign: polarity.sign(),
            },
            regulated: spreads(element)[0],
        }),
        Element::Potentiometer { a, wiper, b, .. } => {
            let position = values[1];
            let to_wiper = value * position.max(END_OF_TRAVEL);
            let from_wiper = value * (1.0 - position).max(END_OF_TRAVEL);
            build.part(
                vec![pin(*a, 0), pin(*wiper, 1)],
                Kind::Resistance {
                    ohms: to_wiper,
                    track: true,
                },
            );
            build.part(
                vec![pin(*wiper, 1), pin(*b, 2)],
                Kind::Resistance {
                    ohms: from_wiper,
                    track: true,
                },
            );
        }
        Element::Open { .. } | Element::Capacitor { .. } | Element::Unmodelled { .. } => {}
    }
    *next_node = build.next_node;
    build.pieces
}

/// A whole circuit broken down.
#[derive(Debug)]
pub(super) struct Lowered {
    /// Nodes of the circuit plus inner nodes.
    pub(super) nodes: usize,
    pub(super) ties: Vec<Tie>,
    pub(super) parts: Vec<Part>,
    /// Elements that make the nodes they touch unknown.
    pub(super) unusable: Vec<(usize, Vec<usize>)>,
    pub(super) faults: Vec<Fault>,
}

/// Breaks every element down at its nominal values and reports what cannot
/// be used.
pub(super) fn lower(circuit: &Circuit, scenario: &Scenario) -> Lowered {
    let mut lowered = Lowered {
        nodes: circuit.node_count(),
        ties: Vec::new(),
        parts: Vec::new(),
        unusable: Vec::new(),
        faults: Vec::new(),
    };
    for (place, (tag, element)) in circuit.elements().iter().enumerate() {
        let terminals = element.terminals();
        let before = lowered.faults.len();
        for &node in &terminals {
            if node.0 as usize >= circuit.node_count() {
                lowered.faults.push(Fault::NoSuchNode { tag: *tag, node });
            }
        }
        validate::check(*tag, element, &mut lowered.faults);
        if lowered.faults.len() > before || matches!(element, Element::Unmodelled { .. }) {
            let touched = terminals
                .iter()
                .map(|node| node.0 as usize)
                .filter(|&node| node < circuit.node_count())
                .collect();
            lowered.unusable.push((place, touched));
            continue;
        }
        let pieces = pieces(element, place, scenario.0[place], &mut lowered.nodes);
        lowered.parts.extend(pieces.parts);
        lowered.ties.extend(pieces.tie);
    }
    lowered
}

impl Kind {
    /// Which pins a direct current can pass between.
    pub(super) fn conducting_pins(&self, pins: &[Pin]) -> std::ops::Range<usize> {
        match self {
            Self::Current { .. } | Self::Amplifier { .. } => 0..0,
            _ => 0..pins.len(),
        }
    }

    /// Whether the kind is solved by iteration.
    pub(super) fn is_nonlinear(&self) -> bool {
        !matches!(self, Self::Resistance { .. } | Self::Current { .. })
    }

    /// The number words that, with its connections, say all about a part.
    pub(super) fn write_key(&self, key: &mut Vec<u64>) {
        let mut numbers = |discriminant: u64, values: &[f64]| {
            key.push(discriminant);
            key.extend(values.iter().map(|value| value.to_bits()));
        };
        match *self {
            Self::Resistance { ohms, track } => numbers(u64::from(track), &[ohms]),
            Self::Current { amps } => numbers(2, &[amps]),
            Self::Junction {
                saturation,
                scale_volts,
                breakdown,
            } => match breakdown {
                None => numbers(3, &[saturation, scale_volts]),
                Some(branch) => numbers(4, &[saturation, scale_volts, branch.volts, branch.amps]),
            },
            Self::Bipolar {
                saturation,
                forward_gain,
                reverse_gain,
                sign,
            } => numbers(5, &[saturation, forward_gain, reverse_gain, sign]),
            Self::Jfet {
                threshold,
                beta,
                modulation,
                saturation,
                sign,
            } => numbers(6, &[threshold, beta, modulation, saturation, sign]),
            Self::Amplifier {
                gain,
                upper_headroom,
                lower_headroom,
                supply_current,
                upper_rail,
                lower_rail,
            } => numbers(
                7 + u64::from(upper_rail.is_some()) + 2 * u64::from(lower_rail.is_some()),
                &[gain, upper_headroom, lower_headroom, supply_current],
            ),
            Self::Regulator {
                volts,
                dropout,
                common_current,
                sign,
            } => numbers(11, &[volts, dropout, common_current, sign]),
        }
    }
}
