//! Bias points printed in two textbooks: A. P. Malvino and D. J. Bates,
//! *Electronic Principles*, and T. L. Floyd, *Electronic Devices*, as worked
//! in the FOSSEE companions of both.
//!
//! Both books take a base–emitter voltage of exactly 0.7 V. A junction does
//! not, so the junction is put through 0.7 V at the book's own current: then
//! book and solver describe the same thing at the operating point, and the
//! rest must agree within the book's rounding. Where the books leave the base
//! current out, the gain is made very large.
//!
//! The last figures of each circuit, with a real junction (IS 10 fA, gain as
//! stated), come from a run of ngspice 39.3.

use retin::circuit::{
    Amps, BipolarModel, Circuit, DiodeModel, Element, NodeId, Ohms, Polarity, Ratio, Solution,
    Spread, Tag, Volts, solve,
};

const NEGLIGIBLE_BASE_CURRENT: f64 = 1e6;

fn volts(solution: &Solution, node: NodeId) -> f64 {
    solution.volts(node).expect("the node is tied").0
}

fn close(found: f64, printed: f64, within: f64) {
    assert!(
        (found - printed).abs() <= within,
        "found {found}, printed {printed}"
    );
}

/// The book's transistor: 0.7 V at the given current.
fn book_transistor(at: f64, gain: f64) -> BipolarModel {
    BipolarModel {
        saturation: DiodeModel::through(Volts(0.7), Amps(at), Ratio(1.0)).saturation,
        forward_gain: Spread::exact(Ratio(gain)),
        reverse_gain: Ratio(1.0),
    }
}

struct Stage {
    solution: Solution,
    collector: NodeId,
    base: NodeId,
    emitter: NodeId,
}

impl Stage {
    fn collector_emitter(&self) -> f64 {
        volts(&self.solution, self.collector) - volts(&self.solution, self.emitter)
    }

    /// Current into a terminal of the transistor: 0 collector, 2 emitter.
    fn current(&self, terminal: usize) -> f64 {
        let transistor = self
            .solution
            .elements
            .iter()
            .find(|element| element.tag == Tag(9))
            .expect("the transistor is there");
        transistor.currents[terminal].expect("known").0
    }
}

/// Divider bias: supply, upper and lower divider, collector, emitter.
fn divider_bias(
    supply: f64,
    [upper, lower, at_collector, at_emitter]: [f64; 4],
    model: BipolarModel,
) -> Stage {
    let mut circuit = Circuit::new();
    let ground = circuit.ground();
    let [rail, base, collector, emitter] = [
        circuit.node(),
        circuit.node(),
        circuit.node(),
        circuit.node(),
    ];
    circuit.source(Tag(1), rail, ground, Volts(supply));
    circuit.resistor(Tag(2), rail, base, Ohms(upper));
    circuit.resistor(Tag(3), base, ground, Ohms(lower));
    circuit.resistor(Tag(4), rail, collector, Ohms(at_collector));
    circuit.resistor(Tag(5), emitter, ground, Ohms(at_emitter));
    circuit.add(
        Tag(9),
        Element::Bipolar {
            collector,
            base,
            emitter,
            polarity: Polarity::Positive,
            model,
        },
    );
    Stage {
        solution: solve(&circuit),
        collector,
        base,
        emitter,
    }
}

const MALVINO_8_1: [f64; 4] = [10e3, 2.2e3, 3.6e3, 1e3];

#[test]
fn malvino_example_8_1() {
    let stage = divider_bias(
        10.0,
        MALVINO_8_1,
        book_transistor(1.1e-3, NEGLIGIBLE_BASE_CURRENT),
    );
    close(stage.current(0), 1.1e-3, 0.01e-3);
    close(stage.collector_emitter(), 4.92, 0.03);
}

#[test]
fn malvino_example_8_1_with_a_real_junction() {
    let stage = divider_bias(10.0, MALVINO_8_1, BipolarModel::with_gain(Ratio(200.0)));
    close(volts(&stage.solution, stage.base), 1.793, 1e-3);
    close(volts(&stage.solution, stage.emitter), 1.135, 1e-3);
    close(volts(&stage.solution, stage.collector), 5.935, 1e-3);
}

#[test]
fn malvino_example_8_3_with_base_current() {
    let stage = divider_bias(10.0, MALVINO_8_1, book_transistor(1.09e-3, 200.0));
    close(-stage.current(2), 1.09e-3, 0.01e-3);
}

#[test]
fn malvino_example_8_5_with_two_supplies() {
    let mut circuit = Circuit::new();
    let ground = circuit.ground();
    let [upper, lower, collector, emitter] = [
        circuit.node(),
        circuit.node(),
        circuit.node(),
        circuit.node(),
    ];
    circuit.source(Tag(1), upper, ground, Volts(10.0));
    circuit.source(Tag(2), ground, lower, Volts(2.0));
    circuit.resistor(Tag(3), upper, collector, Ohms(3.6e3));
    circuit.resistor(Tag(4), emitter, lower, Ohms(1.8e3));
    circuit.add(
        Tag(9),
        Element::Bipolar {
            collector,
            base: ground,
            emitter,
            polarity: Polarity::Positive,
            model: book_transistor(0.72e-3, NEGLIGIBLE_BASE_CURRENT),
        },
    );
    let solution = solve(&circuit);
    let emitter_current = -solution.elements[4].currents[2].expect("known").0;
    close(emitter_current, 0.72e-3, 0.005e-3);
    close(volts(&solution, collector), 7.4, 0.05);
}

#[test]
fn floyd_example_5_1_base_bias() {
    let mut circuit = Circuit::new();
    let ground = circuit.ground();
    let [base_supply, supply, base, collector] = [
        circuit.node(),
        circuit.node(),
        circuit.node(),
        circuit.node(),
    ];
    circuit.source(Tag(1), base_supply, ground, Volts(10.0));
    circuit.source(Tag(2), supply, ground, Volts(20.0));
    circuit.resistor(Tag(3), base_supply, base, Ohms(47e3));
    circuit.resistor(Tag(4), supply, collector, Ohms(330.0));
    circuit.add(
        Tag(9),
        Element::Bipolar {
            collector,
            base,
            emitter: ground,
            polarity: Polarity::Positive,
            model: book_transistor(39.6e-3, 200.0),
        },
    );
    let solution = solve(&circuit);
    let collector_current = solution.elements[4].currents[0].expect("known").0;
    close(collector_current, 39.6e-3, 0.05e-3);
    close(volts(&solution, collector), 6.94, 0.02);
}

#[test]
fn floyd_example_5_3_divider_bias() {
    let stage = divider_bias(
        10.0,
        [10e3, 5.6e3, 1e3, 560.0],
        book_transistor(5.16e-3, NEGLIGIBLE_BASE_CURRENT),
    );
    close(stage.current(0), 5e-3, 0.5e-3);
    close(stage.collector_emitter(), 1.95, 0.01);
}

/// Common-collector example of a set of course notes, which stop before the
/// currents; the base network is theirs, the figures are runs of ngspice 39.3
/// and of the constant-voltage method.
#[test]
fn emitter_follower_between_two_supplies() {
    let follower = |model: BipolarModel| {
        let mut circuit = Circuit::new();
        let ground = circuit.ground();
        let [upper, lower, base, emitter] = [
            circuit.node(),
            circuit.node(),
            circuit.node(),
            circuit.node(),
        ];
        circuit.source(Tag(1), upper, ground, Volts(10.0));
        circuit.source(Tag(2), lower, ground, Volts(-10.0));
        circuit.resistor(Tag(3), upper, base, Ohms(100e3));
        circuit.resistor(Tag(4), base, lower, Ohms(120e3));
        circuit.resistor(Tag(5), emitter, lower, Ohms(2e3));
        circuit.add(
            Tag(9),
            Element::Bipolar {
                collector: upper,
                base,
                emitter,
                polarity: Polarity::Positive,
                model,
            },
        );
        let solution = solve(&circuit);
        (
            volts(&solution, base),
            volts(&solution, emitter),
            -solution.elements[5].currents[2].expect("known").0,
        )
    };
    let constant = BipolarModel {
        saturation: DiodeModel::through(Volts(0.65), Amps(4.03e-3), Ratio(1.0)).saturation,
        ..BipolarModel::with_gain(Ratio(99.0))
    };
    let (_, emitter, current) = follower(constant);
    close(emitter, -1.939, 2e-3);
    close(current, 4.030e-3, 0.002e-3);

    let (base, emitter, _) = follower(BipolarModel::with_gain(Ratio(99.0)));
    close(base, -1.281, 1e-3);
    close(emitter, -1.971, 1e-3);
}
