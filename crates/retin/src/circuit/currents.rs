//! Currents of ideal sources and links, and what every element dissipates.
//!
//! The solve leaves a current at every pin of every part. What a tie carries
//! follows by Kirchhoff's current law: all that flows into the part of its
//! tree beyond it. Where ties close a loop nothing says how they share, and
//! where a part that cannot be solved hangs on a tree nothing says what it
//! draws; such currents stay unknown.

use super::element::Circuit;
use super::islands::Plan;
use super::lower::{Kind, Pin};
use super::units::{Amps, Watts};

/// Currents into the terminals of every element.
pub(super) struct TerminalCurrents {
    by_element: Vec<Vec<Option<f64>>>,
}

/// Adds two currents of which either may be unknown.
fn sum(a: Option<f64>, b: Option<f64>) -> Option<f64> {
    Some(a? + b?)
}

impl TerminalCurrents {
    fn add(&mut self, element: usize, pin: Pin, amps: Option<f64>) {
        if let Some(terminal) = pin.terminal
            && let Some(slot) = self.by_element[element].get_mut(terminal)
        {
            *slot = sum(*slot, amps);
        }
    }

    /// Currents in element order, as results give them.
    pub(super) fn of(&self, element: usize) -> Vec<Option<Amps>> {
        self.by_element[element]
            .iter()
            .map(|amps| amps.map(Amps))
            .collect()
    }

    /// Power taken by an element: the sum of current into it times potential
    /// over its terminals. A terminal that carries nothing may be at an
    /// unknown potential. Where the potentials themselves are unknown against
    /// the reference nothing is said.
    pub(super) fn dissipation(
        &self,
        element: usize,
        terminals: &[usize],
        volts: &[Option<f64>],
    ) -> Option<Watts> {
        let mut watts = 0.0;
        for (amps, &node) in self.by_element[element].iter().zip(terminals) {
            let amps = (*amps)?;
            if amps != 0.0 {
                watts += amps * volts.get(node).copied().flatten()?;
            }
        }
        Some(Watts(watts))
    }
}

/// Works out the current of every terminal. `pin_currents` holds, for each
/// part, the solved currents into its pins, `None` where it was not solved.
pub(super) fn of_terminals(
    circuit: &Circuit,
    plan: &Plan,
    pin_currents: &[Option<Vec<f64>>],
) -> TerminalCurrents {
    let mut currents = TerminalCurrents {
        by_element: circuit
            .elements()
            .iter()
            .map(|(_, element)| vec![Some(0.0); element.terminals().len()])
            .collect(),
    };
    for (place, _) in &plan.lowered.unusable {
        currents.by_element[*place].fill(None);
    }
    // Current drawn from each node by everything but ties.
    let mut drawn: Vec<Option<f64>> = vec![Some(0.0); plan.lowered.nodes];
    for (_, nodes) in &plan.lowered.unusable {
        for &node in nodes {
            drawn[node] = None;
        }
    }
    for (index, part) in plan.lowered.parts.iter().enumerate() {
        if plan.forest.held[index].is_some() {
            continue;
        }
        for (number, pin) in part.pins.iter().enumerate() {
            // An amplifier's inputs draw nothing, known or not.
            let is_input = matches!(part.kind, Kind::Amplifier { .. }) && number < 2;
            let amps = match &pin_currents[index] {
                _ if is_input => Some(0.0),
                Some(solved) => Some(solved[number]),
                None => None,
            };
            currents.add(part.element, *pin, amps);
            drawn[pin.node] = sum(drawn[pin.node], amps);
        }
    }
    let regulators = regulators_of_ties(plan);
    let carried = tie_currents(plan, &regulators, drawn, &mut currents);
    for (index, tie) in plan.forest.ties.iter().enumerate() {
        if regulators[index].is_none() {
            currents.add(tie.element, tie.plus, carried[index]);
            currents.add(tie.element, tie.minus, carried[index].map(|amps| -amps));
        }
    }
    currents
}

/// For every tie, the held regulator it stands for.
fn regulators_of_ties(plan: &Plan) -> Vec<Option<usize>> {
    let mut regulators = vec![None; plan.forest.ties.len()];
    for (part, held) in plan.forest.held.iter().enumerate() {
        if let Some(tie) = held {
            regulators[*tie] = Some(part);
        }
    }
    regulators
}

/// Current into the plus side of every tie that is a source or link; also
/// sets the terminals of held regulators.
fn tie_currents(
    plan: &Plan,
    regulators: &[Option<usize>],
    mut drawn: Vec<Option<f64>>,
    currents: &mut TerminalCurrents,
) -> Vec<Option<f64>> {
    let forest = &plan.forest;
    let mut shared = vec![false; forest.ties.len()];
    for &redundant in &forest.redundant {
        for tie in forest.way_round(redundant).ties {
            shared[tie] = true;
        }
    }
    // A held regulator draws at its input what its output delivers. It was
    // planted after whatever feeds it, so from the last to the first the sum
    // beyond each is complete.
    for (tie, part) in regulators.iter().enumerate().rev() {
        let Some(part) = part.map(|part| &plan.lowered.parts[part]) else {
            continue;
        };
        let Kind::Regulator {
            common_current,
            sign,
            ..
        } = part.kind
        else {
            continue;
        };
        let delivered = sums_beyond(plan, regulators, &drawn, &shared)[tie];
        let common = sign * common_current;
        let into = [
            delivered.map(|amps| amps + common),
            Some(-common),
            delivered.map(|amps| -amps),
        ];
        for (pin, amps) in part.pins.iter().zip(into) {
            currents.add(part.element, *pin, amps);
        }
        for (pin, amps) in part.pins.iter().zip(into).take(2) {
            drawn[pin.node] = sum(drawn[pin.node], amps);
        }
    }
    let beyond = sums_beyond(plan, regulators, &drawn, &shared);
    beyond
        .into_iter()
        .enumerate()
        .map(|(tie, amps)| {
            let plus_is_beyond =
                forest.branch[forest.ties[tie].plus.node].is_some_and(|branch| branch.tie == tie);
            amps.map(|amps| if plus_is_beyond { -amps } else { amps })
        })
        .collect()
}

/// For every tie of the forest, the current drawn by all nodes beyond it;
/// `None` for ties that share a loop. A held regulator's output is fed from
/// its input, so nothing beyond it reaches its common pin.
fn sums_beyond(
    plan: &Plan,
    regulators: &[Option<usize>],
    drawn: &[Option<f64>],
    shared: &[bool],
) -> Vec<Option<f64>> {
    let forest = &plan.forest;
    let mut total = drawn.to_vec();
    let mut sums = vec![None; forest.ties.len()];
    for &node in forest.order.iter().rev() {
        if let Some(branch) = forest.branch[node] {
            if !shared[branch.tie] {
                sums[branch.tie] = total[node];
            }
            if regulators[branch.tie].is_none() {
                total[branch.parent] = sum(total[branch.parent], total[node]);
            }
        }
    }
    sums
}
