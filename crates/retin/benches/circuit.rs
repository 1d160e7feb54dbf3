//! How long operating points and ranges take.

use criterion::{Criterion, criterion_group, criterion_main};
use retin::circuit::{
    Amps, BipolarModel, Circuit, DiodeModel, Element, JfetModel, NodeId, Ohms, OpAmpModel,
    Polarity, Ratio, RegulatorModel, Solver, Spread, Tag, Volts, ZenerModel, solve, solve_range,
};
use std::hint::black_box;

/// A ladder of a thousand nodes: series and shunt resistors in turn.
fn ladder() -> Circuit {
    let mut circuit = Circuit::new();
    let ground = circuit.ground();
    let mut last = circuit.node();
    circuit.source(Tag(0), last, ground, Volts(10.0));
    for step in 0..1000 {
        let next = circuit.node();
        circuit.resistor(Tag(2 * step + 1), last, next, Ohms(100.0));
        circuit.resistor(Tag(2 * step + 2), next, ground, Ohms(100e3));
        last = next;
    }
    circuit
}

struct Strip {
    circuit: Circuit,
    ground: NodeId,
    upper: NodeId,
    lower: NodeId,
    tag: u32,
}

impl Strip {
    fn add(&mut self, element: Element) -> usize {
        self.tag += 1;
        self.circuit.add(Tag(self.tag), element)
    }

    fn resistor(&mut self, a: NodeId, b: NodeId, ohms: f64) -> usize {
        self.add(Element::Resistor {
            a,
            b,
            ohms: Spread::within(Ohms(ohms), Ratio(0.05)),
        })
    }

    fn coupled(&mut self, from: NodeId) -> NodeId {
        let to = self.circuit.node();
        self.add(Element::Capacitor { a: from, b: to });
        to
    }

    /// A transistor stage with divider bias, coupled in by a capacitor or
    /// by a large resistor.
    fn transistor_stage(&mut self, input: NodeId, coupled: bool) -> NodeId {
        let (ground, upper) = (self.ground, self.upper);
        let base = if coupled {
            self.coupled(input)
        } else {
            let base = self.circuit.node();
            self.resistor(input, base, 1e6);
            base
        };
        let [collector, emitter] = [self.circuit.node(), self.circuit.node()];
        self.resistor(upper, base, 100e3);
        self.resistor(base, ground, 22e3);
        self.resistor(upper, collector, 4.7e3);
        self.resistor(emitter, ground, 1e3);
        self.add(Element::Capacitor {
            a: emitter,
            b: ground,
        });
        self.add(Element::Bipolar {
            collector,
            base,
            emitter,
            polarity: Polarity::Positive,
            model: BipolarModel::with_gain(Spread::between(
                Ratio(120.0),
                Ratio(290.0),
                Ratio(800.0),
            )),
        });
        collector
    }

    /// An inverting amplifier with clipping diodes, directly coupled.
    fn amplifier_stage(&mut self, input: NodeId) -> NodeId {
        let [inverting, out] = [self.circuit.node(), self.circuit.node()];
        self.resistor(input, inverting, 10e3);
        self.resistor(inverting, out, 22e3);
        for (anode, cathode) in [(inverting, out), (out, inverting)] {
            self.add(Element::Diode {
                anode,
                cathode,
                model: DiodeModel::generic_silicon(),
            });
        }
        let (plus, rail_plus, rail_minus) = (self.ground, Some(self.upper), Some(self.lower));
        self.add(Element::OpAmp {
            plus,
            minus: inverting,
            out,
            rail_plus,
            rail_minus,
            model: OpAmpModel::ideal(),
        });
        out
    }

    /// A tone control: pot between two amplifiers.
    fn pot(&mut self, input: NodeId) -> NodeId {
        let wiper = self.circuit.node();
        let b = self.ground;
        self.add(Element::Potentiometer {
            a: input,
            wiper,
            b,
            ohms: Spread::within(Ohms(10e3), Ratio(0.2)),
            position: Spread::between(Ratio(0.0), Ratio(0.5), Ratio(1.0)),
        });
        wiper
    }

    fn mute(&mut self, node: NodeId) -> NodeId {
        let gate = self.circuit.node();
        let (ground, lower) = (self.ground, self.lower);
        self.resistor(gate, lower, 1e6);
        let out = self.circuit.node();
        self.resistor(node, out, 10e3);
        self.add(Element::Jfet {
            drain: out,
            gate,
            source: ground,
            polarity: Polarity::Positive,
            model: JfetModel::generic(),
        });
        out
    }
}

/// A channel strip of some two hundred parts with its own regulators. With
/// `coupled` false every stage hangs directly on the one before, so that all
/// of it is one island.
fn channel_strip(coupled: bool) -> (Circuit, usize) {
    let mut circuit = Circuit::new();
    let ground = circuit.ground();
    let [raw_upper, raw_lower, upper, lower] = std::array::from_fn(|_| circuit.node());
    let mut strip = Strip {
        circuit,
        ground,
        upper,
        lower,
        tag: 0,
    };
    for (raw, rail, volts, polarity) in [
        (raw_upper, upper, 23.0, Polarity::Positive),
        (raw_lower, lower, -23.0, Polarity::Negative),
    ] {
        strip.add(Element::Source {
            plus: raw,
            minus: ground,
            volts: Spread::within(Volts(volts), Ratio(0.1)),
        });
        strip.add(Element::Regulator {
            input: raw,
            common: ground,
            output: rail,
            polarity,
            model: RegulatorModel {
                volts: Spread::between(Volts(14.4), Volts(15.0), Volts(15.6)),
                dropout: Volts(2.0),
                common_current: Amps(5.2e-3),
            },
        });
    }
    let mut signal = strip.circuit.node();
    strip.resistor(signal, ground, 47e3);
    strip.add(Element::Zener {
        anode: ground,
        cathode: signal,
        volts: Spread::within(Volts(12.0), Ratio(0.05)),
        model: ZenerModel::generic(),
    });
    let mut edited = 0;
    for _ in 0..8 {
        signal = strip.transistor_stage(signal, coupled);
        if coupled {
            signal = strip.coupled(signal);
        }
        edited = strip.resistor(signal, ground, 100e3);
        signal = strip.amplifier_stage(signal);
        signal = strip.pot(signal);
        signal = strip.amplifier_stage(signal);
        signal = strip.mute(signal);
    }
    (strip.circuit, edited)
}

fn benches(criterion: &mut Criterion) {
    let ladder = ladder();
    assert!(solve(&ladder).faults.is_empty());
    criterion.bench_function("ladder of 1000 nodes", |bench| {
        bench.iter(|| solve(black_box(&ladder)));
    });

    for (name, coupled) in [
        ("channel strip", true),
        ("channel strip in one island", false),
    ] {
        let (mut strip, edited) = channel_strip(coupled);
        let solution = solve(&strip);
        assert!(solution.faults.is_empty(), "{:?}", solution.faults);
        println!(
            "{name}: {} parts, {} nodes, {} islands",
            strip.elements().len(),
            strip.node_count(),
            solution.islands.len()
        );
        criterion.bench_function(name, |bench| bench.iter(|| solve(black_box(&strip))));
        criterion.bench_function(&format!("{name}: ranges"), |bench| {
            bench.iter(|| solve_range(black_box(&strip)));
        });
        let mut solver = Solver::new();
        solver.solve(&strip);
        // The edit takes the value away from what was solved before it.
        let ends = strip.elements()[edited].1.terminals();
        let (a, b) = (ends[0], ends[1]);
        let ohms = Spread::exact(Ohms(90e3));
        strip.replace(edited, Element::Resistor { a, b, ohms });
        let again = solver.solve(&strip);
        let anew = again.islands.iter().filter(|island| !island.reused);
        let nodes: usize = anew.clone().map(|island| island.nodes.len()).sum();
        assert_eq!(anew.count(), 1);
        println!("{name}: an edit solves 1 island of {nodes} nodes again");
        let mut turn = 0_u32;
        criterion.bench_function(&format!("{name}: after one edit"), |bench| {
            bench.iter(|| {
                turn += 1;
                let ends = strip.elements()[edited].1.terminals();
                strip.replace(
                    edited,
                    Element::Resistor {
                        a: ends[0],
                        b: ends[1],
                        ohms: Spread::exact(Ohms(100e3 + f64::from(turn))),
                    },
                );
                solver.solve(black_box(&strip))
            });
        });
    }
}

criterion_group! {
    name = all;
    config = Criterion::default().sample_size(20);
    targets = benches
}
criterion_main!(all);
