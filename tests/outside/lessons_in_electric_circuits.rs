//! Operating points printed in Tony R. Kuphaldt, *Lessons In Electric
//! Circuits* (design science licence; the book's own source text).
//!
//! The book prints three or four figures; where it prints fewer than the
//! comparison needs, the same netlist run through a general circuit simulator
//! gives the rest (see `simulator.rs`).

use retin::circuit::{
    Circuit, Element, NodeId, Ohms, OpAmpModel, Ratio, Solution, Tag, Volts, solve,
};

fn volts(solution: &Solution, node: NodeId) -> f64 {
    solution.volts(node).expect("the node is tied").0
}

fn close(found: f64, printed: f64, within: f64) {
    assert!(
        (found - printed).abs() <= within,
        "found {found}, the book prints {printed}"
    );
}

/// Current into the first terminal of the element with a tag.
fn amps(solution: &Solution, tag: u32) -> f64 {
    let element = solution
        .elements
        .iter()
        .find(|element| element.tag == Tag(tag))
        .expect("the element is there");
    element.currents[0].expect("its current is known").0
}

#[test]
fn two_batteries_and_three_resistors() {
    let mut circuit = Circuit::new();
    let ground = circuit.ground();
    let [left, middle, right] = [circuit.node(), circuit.node(), circuit.node()];
    circuit.source(Tag(1), left, ground, Volts(24.0));
    circuit.source(Tag(2), right, ground, Volts(15.0));
    circuit.resistor(Tag(3), left, middle, Ohms(10e3));
    circuit.resistor(Tag(4), middle, right, Ohms(8.1e3));
    circuit.resistor(Tag(5), middle, ground, Ohms(4.7e3));
    let solution = solve(&circuit);
    close(volts(&solution, middle), 9.7470, 5e-5);
    // The exact value, 161868/16607 V.
    close(volts(&solution, middle), 161_868.0 / 16_607.0, 1e-9);
    close(amps(&solution, 1), -1.425e-3, 5e-7);
    close(amps(&solution, 2), -0.6485e-3, 5e-8);
    // Total power the book prints: delivered by both batteries.
    let delivered: f64 = solution.elements[..2]
        .iter()
        .map(|source| -source.dissipation.expect("known").0)
        .sum();
    close(delivered, 43.9e-3, 5e-5);
}

#[test]
fn two_nodes_between_two_batteries() {
    let mut circuit = Circuit::new();
    let ground = circuit.ground();
    let [left, one, two, right] = [
        circuit.node(),
        circuit.node(),
        circuit.node(),
        circuit.node(),
    ];
    circuit.source(Tag(1), left, ground, Volts(10.0));
    circuit.source(Tag(2), right, ground, Volts(-4.0));
    circuit.resistor(Tag(3), left, one, Ohms(2.0));
    circuit.resistor(Tag(4), one, ground, Ohms(4.0));
    circuit.resistor(Tag(5), one, two, Ohms(2.5));
    circuit.resistor(Tag(6), two, ground, Ohms(5.0));
    circuit.resistor(Tag(7), two, right, Ohms(1.0));
    let solution = solve(&circuit);
    close(volts(&solution, one), 3.809_524, 1e-6);
    close(volts(&solution, two), -1.547_619, 1e-6);
}

/// An amplifier with the book's open-loop gain and no rails.
fn amplifier(circuit: &mut Circuit, plus: NodeId, minus: NodeId, out: NodeId) {
    circuit.add(
        Tag(9),
        Element::OpAmp {
            plus,
            minus,
            out,
            rail_plus: None,
            rail_minus: None,
            model: OpAmpModel {
                gain: Ratio(999e3),
                ..OpAmpModel::ideal()
            },
        },
    );
}

#[test]
fn non_inverting_amplifier() {
    let mut circuit = Circuit::new();
    let ground = circuit.ground();
    let [input, inverting, out] = [circuit.node(), circuit.node(), circuit.node()];
    circuit.source(Tag(1), input, ground, Volts(5.0));
    circuit.resistor(Tag(2), out, inverting, Ohms(20e3));
    circuit.resistor(Tag(3), inverting, ground, Ohms(10e3));
    amplifier(&mut circuit, input, inverting, out);
    let solution = solve(&circuit);
    close(volts(&solution, inverting), 5.0, 5e-5);
    close(volts(&solution, out), 15.0, 1e-4);
    close(volts(&solution, out), 14.999_95, 1e-5);
}

#[test]
fn inverting_amplifier() {
    let mut circuit = Circuit::new();
    let ground = circuit.ground();
    let [input, inverting, out] = [circuit.node(), circuit.node(), circuit.node()];
    circuit.source(Tag(1), input, ground, Volts(1.0));
    circuit.resistor(Tag(2), input, inverting, Ohms(1.18e3));
    circuit.resistor(Tag(3), inverting, out, Ohms(3.29e3));
    amplifier(&mut circuit, ground, inverting, out);
    let solution = solve(&circuit);
    close(volts(&solution, out), -2.788, 5e-4);
    close(volts(&solution, out), -2.788_13, 5e-6);
}

#[test]
fn power_of_one_resistor() {
    for (ohms, volts, amps_printed, amps_within, watts_printed, watts_within) in [
        (5.0, 10.0, 2.0, 1e-9, 20.0, 1e-9),
        (5.0, 30.0, 6.0, 1e-9, 180.0, 1e-9),
        (5e3, 24.0, 4.8e-3, 1e-12, 0.115, 5e-4),
    ] {
        let mut circuit = Circuit::new();
        let ground = circuit.ground();
        let top = circuit.node();
        circuit.source(Tag(1), top, ground, Volts(volts));
        circuit.resistor(Tag(2), top, ground, Ohms(ohms));
        let solution = solve(&circuit);
        close(amps(&solution, 2), amps_printed, amps_within);
        let watts = solution.elements[1].dissipation.expect("known").0;
        close(watts, watts_printed, watts_within);
    }
}
