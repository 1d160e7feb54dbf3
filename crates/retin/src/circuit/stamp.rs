//! One island as a system of equations.
//!
//! Modified nodal analysis: one row a node (the currents that leave it sum to
//! zero), and one row each for the parts whose current is an unknown of its
//! own: amplifiers, regulators, tracks of potentiometers, and resistors far
//! smaller than the island's largest, whose conductance would swamp the other
//! conductances of its nodes in the last digits.

use super::element::Circuit;
use super::islands::Plan;
use super::junction::{self, JfetParameters, TwoJunctions};
use super::lower::{Kind, Scenario, pieces};
use super::result::Regime;

/// A resistor this much smaller than the greatest of its island gets its
/// current as an unknown.
const SMALL_RESISTANCE: f64 = 1e-6;

/// A potential: a constant plus an unknown.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Place {
    pub(super) variable: Option<usize>,
    pub(super) offset: f64,
}

/// Most pins a part has.
pub(super) const MOST_PINS: usize = 5;

/// A part with its pins placed among the unknowns of its island.
#[derive(Debug, Clone)]
pub(super) struct PlacedPart {
    pub(super) kind: Kind,
    pub(super) pins: [Place; MOST_PINS],
    pub(super) pin_count: usize,
    /// The unknown that is this part's current.
    pub(super) branch: Option<usize>,
}

/// One island at one set of values.
#[derive(Debug, Clone)]
pub(super) struct Problem {
    /// Unknown potentials; unknown currents follow them.
    pub(super) potentials: usize,
    pub(super) size: usize,
    pub(super) parts: Vec<PlacedPart>,
}

/// Where a nonlinear part is linearised.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct State {
    pub(super) volts: [f64; 2],
    pub(super) regime: Regime,
    /// Whether an amplifier's output delivers current.
    pub(super) sources: bool,
}

impl Problem {
    /// Places the parts of an island of the plan, at their nominal values.
    pub(super) fn of(plan: &Plan, island: usize, offsets: &[f64]) -> Self {
        let potentials = plan.islands[island].roots.len();
        let indices = &plan.islands[island].parts;
        let greatest = indices
            .iter()
            .filter_map(|&index| match plan.lowered.parts[index].kind {
                Kind::Resistance { ohms, .. } => Some(ohms),
                _ => None,
            })
            .fold(0.0_f64, f64::max);
        let mut size = potentials;
        let mut parts = Vec::with_capacity(indices.len());
        for &index in indices {
            let part = &plan.lowered.parts[index];
            let mut pins = [Place::default(); MOST_PINS];
            for (place, pin) in pins.iter_mut().zip(&part.pins) {
                *place = plan.place(pin.node, island, offsets);
            }
            let own_current = match part.kind {
                Kind::Resistance { ohms, track } => track || ohms < SMALL_RESISTANCE * greatest,
                Kind::Amplifier { .. } | Kind::Regulator { .. } => true,
                _ => false,
            } && potentials > 0;
            parts.push(PlacedPart {
                kind: part.kind,
                pins,
                pin_count: part.pins.len(),
                branch: own_current.then(|| {
                    size += 1;
                    size - 1
                }),
            });
        }
        Self {
            potentials,
            size,
            parts,
        }
    }

    /// Moves the island to another set of values; connections and unknowns
    /// stay.
    pub(super) fn set_values(
        &mut self,
        circuit: &Circuit,
        plan: &Plan,
        island: usize,
        scenario: &Scenario,
        offsets: &[f64],
    ) {
        let indices = &plan.islands[island].parts;
        let mut next = 0;
        while next < indices.len() {
            let element = plan.lowered.parts[indices[next]].element;
            let mut unused = 0;
            let fresh = pieces(
                &circuit.elements()[element].1,
                element,
                scenario.0[element],
                &mut unused,
            );
            // A series resistance and its junction share every inner node, a
            // potentiometer's halves need not share an island.
            while next < indices.len() && plan.lowered.parts[indices[next]].element == element {
                let index = indices[next];
                let first = plan.first_part_of(index);
                self.parts[next].kind = fresh.parts[index - first].kind;
                for (place, pin) in self.parts[next]
                    .pins
                    .iter_mut()
                    .zip(&plan.lowered.parts[index].pins)
                {
                    *place = plan.place(pin.node, island, offsets);
                }
                next += 1;
            }
        }
    }

    /// Everything about the island in words: equal words, equal answer.
    pub(super) fn key(&self) -> Vec<u64> {
        let mut key = vec![self.potentials as u64];
        for part in &self.parts {
            part.kind.write_key(&mut key);
            for place in &part.pins[..part.pin_count] {
                key.push(place.variable.map_or(u64::MAX, |variable| variable as u64));
                key.push(place.offset.to_bits());
            }
        }
        key
    }

    pub(super) fn is_nonlinear(&self) -> bool {
        self.parts.iter().any(|part| part.kind.is_nonlinear())
    }

    /// Potential at a pin.
    pub(super) fn volts(&self, place: Place, unknowns: &[f64], scale: f64) -> f64 {
        place.offset * scale + place.variable.map_or(0.0, |variable| unknowns[variable])
    }

    /// The two voltages a part's equations go by, without regard to limits.
    pub(super) fn controls(&self, part: &PlacedPart, unknowns: &[f64], scale: f64) -> [f64; 2] {
        let volts = |pin: usize| self.volts(part.pins[pin], unknowns, scale);
        match part.kind {
            Kind::Junction { .. } => [volts(0) - volts(1), 0.0],
            Kind::Bipolar { sign, .. } | Kind::Jfet { sign, .. } => {
                [sign * (volts(1) - volts(2)), sign * (volts(1) - volts(0))]
            }
            _ => [0.0, 0.0],
        }
    }
}

impl Plan {
    /// Where a node's potential stands among an island's unknowns.
    fn place(&self, node: usize, island: usize, offsets: &[f64]) -> Place {
        if self.unknown[node].is_some() {
            return Place::default();
        }
        Place {
            variable: self.variable[self.forest.root[node]]
                .and_then(|(of, variable)| (of == island).then_some(variable)),
            offset: offsets[node],
        }
    }

    /// The first part of the element that a part belongs to.
    fn first_part_of(&self, part: usize) -> usize {
        let element = self.lowered.parts[part].element;
        let mut first = part;
        while first > 0 && self.lowered.parts[first - 1].element == element {
            first -= 1;
        }
        first
    }
}

/// The rows of a system as they are written, always in the same order.
#[derive(Debug, Default)]
pub(super) struct Rows {
    pub(super) entries: Vec<(usize, usize)>,
    pub(super) values: Vec<f64>,
    pub(super) right: Vec<f64>,
    /// Factor on every constant part of a potential.
    scale: f64,
}

impl Rows {
    /// Writes `sum of factor·potential + constant = 0` into a row.
    fn equation(&mut self, row: Option<usize>, terms: &[(Place, f64)], constant: f64) {
        let Some(row) = row else { return };
        for &(place, factor) in terms {
            if let Some(variable) = place.variable {
                self.entries.push((row, variable));
                self.values.push(factor);
            }
            self.right[row] -= factor * place.offset * self.scale;
        }
        self.right[row] -= constant;
    }
}

/// A branch current as a place.
fn current(branch: usize) -> Place {
    Place {
        variable: Some(branch),
        offset: 0.0,
    }
}

impl Problem {
    /// Writes the island's equations, linearised at `states`, with all
    /// sources scaled by `scale` and `shunt` siemens from every node to the
    /// reference.
    pub(super) fn assemble(&self, states: &[State], scale: f64, shunt: f64) -> Rows {
        let mut rows = Rows {
            entries: Vec::with_capacity(4 * self.parts.len() + self.size),
            values: Vec::with_capacity(4 * self.parts.len() + self.size),
            right: vec![0.0; self.size],
            scale,
        };
        for variable in 0..self.potentials {
            rows.equation(Some(variable), &[(current(variable), shunt)], 0.0);
        }
        for (part, state) in self.parts.iter().zip(states) {
            self.stamp(part, state, &mut rows, scale);
        }
        rows
    }

    fn stamp(&self, part: &PlacedPart, state: &State, rows: &mut Rows, scale: f64) {
        let pins = &part.pins;
        match part.kind {
            Kind::Resistance { ohms, .. } => {
                let (a, b) = (pins[0], pins[1]);
                if let Some(branch) = part.branch {
                    let through = current(branch);
                    rows.equation(a.variable, &[(through, 1.0)], 0.0);
                    rows.equation(b.variable, &[(through, -1.0)], 0.0);
                    rows.equation(Some(branch), &[(a, 1.0), (b, -1.0), (through, -ohms)], 0.0);
                } else {
                    let siemens = ohms.recip();
                    rows.equation(a.variable, &[(a, siemens), (b, -siemens)], 0.0);
                    rows.equation(b.variable, &[(b, siemens), (a, -siemens)], 0.0);
                }
            }
            Kind::Current { amps } => {
                rows.equation(pins[0].variable, &[], amps * scale);
                rows.equation(pins[1].variable, &[], -amps * scale);
            }
            Kind::Junction {
                saturation,
                scale_volts,
                breakdown,
            } => {
                let (amps, slope) =
                    junction::diode(state.volts[0], saturation, scale_volts, breakdown);
                let constant = amps - slope * state.volts[0];
                let (anode, cathode) = (pins[0], pins[1]);
                rows.equation(
                    anode.variable,
                    &[(anode, slope), (cathode, -slope)],
                    constant,
                );
                rows.equation(
                    cathode.variable,
                    &[(cathode, slope), (anode, -slope)],
                    -constant,
                );
            }
            Kind::Bipolar { sign, .. } | Kind::Jfet { sign, .. } => {
                if let Some(currents) = two_junctions(part.kind, state.volts) {
                    stamp_two_junctions(pins, &currents, state.volts, sign, rows);
                }
            }
            Kind::Amplifier { .. } => {
                if let Some(branch) = part.branch {
                    stamp_amplifier(part, state, branch, rows, scale);
                }
            }
            Kind::Regulator {
                volts,
                dropout,
                common_current,
                sign,
            } => {
                let Some(branch) = part.branch else { return };
                let through = current(branch);
                let [input, common, output] = [pins[0], pins[1], pins[2]];
                let (slope, constant) =
                    common_branch(sign, common_current, dropout, state.volts[0]);
                let constant = constant * if slope == 0.0 { scale } else { 1.0 };
                rows.equation(
                    input.variable,
                    &[(through, 1.0), (input, slope), (common, -slope)],
                    constant,
                );
                rows.equation(
                    common.variable,
                    &[(common, slope), (input, -slope)],
                    -constant,
                );
                rows.equation(output.variable, &[(through, -1.0)], 0.0);
                let (of_input, of_common, of_output, of_current, rest) = match state.regime {
                    Regime::Dropout => (sign, 0.0, -sign, 0.0, -dropout * scale),
                    Regime::Off => (0.0, 0.0, 0.0, 1.0, 0.0),
                    _ => (0.0, -sign, sign, 0.0, -volts * scale),
                };
                rows.equation(
                    Some(branch),
                    &[
                        (input, of_input),
                        (common, of_common),
                        (output, of_output),
                        (through, of_current),
                    ],
                    rest,
                );
            }
        }
    }

    /// Current into each pin of a part at solved unknowns.
    pub(super) fn pin_currents(
        &self,
        part: &PlacedPart,
        unknowns: &[f64],
        state: &State,
    ) -> [f64; MOST_PINS] {
        let mut currents = [0.0; MOST_PINS];
        let volts = |pin: usize| self.volts(part.pins[pin], unknowns, 1.0);
        match part.kind {
            Kind::Resistance { ohms, .. } => {
                let amps = part
                    .branch
                    .map_or_else(|| (volts(0) - volts(1)) / ohms, |branch| unknowns[branch]);
                currents[0] = amps;
                currents[1] = -amps;
            }
            Kind::Current { amps } => {
                currents[0] = amps;
                currents[1] = -amps;
            }
            Kind::Junction {
                saturation,
                scale_volts,
                breakdown,
            } => {
                let across = self.controls(part, unknowns, 1.0)[0];
                let (amps, _) = junction::diode(across, saturation, scale_volts, breakdown);
                currents[0] = amps;
                currents[1] = -amps;
            }
            Kind::Bipolar { sign, .. } | Kind::Jfet { sign, .. } => {
                let controls = self.controls(part, unknowns, 1.0);
                if let Some(both) = two_junctions(part.kind, controls) {
                    currents[0] = sign * both.output[0];
                    currents[1] = sign * both.control[0];
                    currents[2] = -(currents[0] + currents[1]);
                }
            }
            Kind::Amplifier {
                supply_current,
                upper_rail,
                lower_rail,
                ..
            } => {
                let out = part.branch.map_or(0.0, |branch| unknowns[branch]);
                currents[2] = out;
                let supply = if upper_rail.is_some() && lower_rail.is_some() {
                    supply_current
                } else {
                    0.0
                };
                if let Some(rail) = upper_rail {
                    currents[rail] = supply + if state.sources { -out } else { 0.0 };
                }
                if let Some(rail) = lower_rail {
                    currents[rail] = -supply + if state.sources { 0.0 } else { -out };
                }
            }
            Kind::Regulator {
                dropout,
                common_current,
                sign,
                ..
            } => {
                let through = part.branch.map_or(0.0, |branch| unknowns[branch]);
                let across = volts(0) - volts(1);
                let (slope, constant) = common_branch(sign, common_current, dropout, across);
                let common = slope * across + constant;
                currents[0] = through + common;
                currents[1] = -common;
                currents[2] = -through;
            }
        }
        currents
    }
}

/// Current from a regulator's input to its common pin as slope and constant:
/// full from the dropout voltage on, in proportion below it.
fn common_branch(sign: f64, amps: f64, dropout: f64, across: f64) -> (f64, f64) {
    let knee = dropout.max(1e-3);
    if sign * across >= knee {
        (0.0, sign * amps)
    } else if sign * across > 0.0 {
        (amps / knee, 0.0)
    } else {
        (0.0, 0.0)
    }
}

fn two_junctions(kind: Kind, volts: [f64; 2]) -> Option<TwoJunctions> {
    match kind {
        Kind::Bipolar {
            saturation,
            forward_gain,
            reverse_gain,
            ..
        } => Some(junction::bipolar(
            volts[0],
            volts[1],
            saturation,
            forward_gain,
            reverse_gain,
        )),
        Kind::Jfet {
            threshold,
            beta,
            modulation,
            saturation,
            ..
        } => Some(junction::jfet(
            volts[0],
            volts[1],
            JfetParameters {
                threshold,
                beta,
                modulation,
                saturation,
            },
        )),
        _ => None,
    }
}

/// Pins are collector, base, emitter or drain, gate, source.
fn stamp_two_junctions(
    pins: &[Place; MOST_PINS],
    currents: &TwoJunctions,
    at: [f64; 2],
    sign: f64,
    rows: &mut Rows,
) {
    let [output, control, common] = [pins[0], pins[1], pins[2]];
    let terms = |[_, by_first, by_second]: [f64; 3]| {
        [
            (control, by_first + by_second),
            (common, -by_first),
            (output, -by_second),
        ]
    };
    let constant = |[amps, by_first, by_second]: [f64; 3]| {
        sign * (amps - by_first * at[0] - by_second * at[1])
    };
    let back = [
        -(currents.output[0] + currents.control[0]),
        -(currents.output[1] + currents.control[1]),
        -(currents.output[2] + currents.control[2]),
    ];
    for (pin, current) in [
        (output, currents.output),
        (control, currents.control),
        (common, back),
    ] {
        rows.equation(pin.variable, &terms(current), constant(current));
    }
}

fn stamp_amplifier(part: &PlacedPart, state: &State, branch: usize, rows: &mut Rows, scale: f64) {
    let Kind::Amplifier {
        gain,
        upper_headroom,
        lower_headroom,
        supply_current,
        upper_rail,
        lower_rail,
    } = part.kind
    else {
        return;
    };
    let [plus, minus, out] = [part.pins[0], part.pins[1], part.pins[2]];
    let rail = |pin: Option<usize>| pin.map_or(Place::default(), |pin| part.pins[pin]);
    let (upper, lower) = (rail(upper_rail), rail(lower_rail));
    let through = current(branch);
    // The unknown current flows into the output pin and out of a rail.
    let from_upper = if state.sources { -1.0 } else { 0.0 };
    let supply = if upper_rail.is_some() && lower_rail.is_some() {
        supply_current * scale
    } else {
        0.0
    };
    rows.equation(out.variable, &[(through, 1.0)], 0.0);
    rows.equation(upper.variable, &[(through, from_upper)], supply);
    rows.equation(lower.variable, &[(through, -1.0 - from_upper)], -supply);
    let half = if upper_rail.is_some() && lower_rail.is_some() {
        0.5
    } else {
        0.0
    };
    let (of_difference, of_upper, of_lower, rest) = match state.regime {
        Regime::UpperLimit => (0.0, 1.0, 0.0, -upper_headroom * scale),
        Regime::LowerLimit => (0.0, 0.0, 1.0, lower_headroom * scale),
        _ => (gain, half, half, 0.0),
    };
    rows.equation(
        Some(branch),
        &[
            (out, 1.0),
            (plus, -of_difference),
            (minus, of_difference),
            (upper, -of_upper),
            (lower, -of_lower),
        ],
        -rest,
    );
}
