//! Seeded random circuits against ngspice, the general circuit simulator of
//! Debian, run in batch mode on the same equations and parameters.
//!
//! Linear circuits must agree to one part in a million, circuits with
//! junctions and transistors within a millivolt.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::process::Command;

use retin::circuit::{
    Amps, AmpsPerSquareVolt, BipolarModel, Circuit, DiodeModel, Element, JfetModel, NodeId, Ohms,
    OpAmpModel, PerVolt, Polarity, Ratio, Solution, Spread, Tag, Volts, ZenerModel, solve,
};

const CIRCUITS_OF_A_KIND: u64 = 100;
const MISSING: &str = "ngspice is missing: run tests/outside/install.sh \
                       (apt-get update && apt-get install ngspice)";

/// SplitMix64 (Steele, Lea, Flood, OOPSLA 2014): the same circuits for ever.
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    fn below(&mut self, count: usize) -> usize {
        (self.next() % count as u64) as usize
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Evenly spread over decades.
    fn decades(&mut self, low: f64, high: f64) -> f64 {
        self.between(low.ln(), high.ln()).exp()
    }

    fn pick(&mut self, nodes: &[NodeId]) -> NodeId {
        nodes[self.below(nodes.len())]
    }
}

/// A circuit being grown: every node stays tied to the rest by resistors.
struct Growth {
    dice: Dice,
    circuit: Circuit,
    ground: NodeId,
    nodes: Vec<NodeId>,
    next_tag: u32,
}

impl Growth {
    fn new(seed: u64) -> Self {
        let mut circuit = Circuit::new();
        let ground = circuit.ground();
        Self {
            dice: Dice(seed),
            circuit,
            ground,
            nodes: vec![ground],
            next_tag: 0,
        }
    }

    fn tag(&mut self) -> Tag {
        self.next_tag += 1;
        Tag(self.next_tag)
    }

    fn add(&mut self, element: Element) {
        let tag = self.tag();
        self.circuit.add(tag, element);
    }

    fn resistor(&mut self, a: NodeId, b: NodeId, low: f64, high: f64) {
        let ohms = Spread::exact(Ohms(self.dice.decades(low, high)));
        self.add(Element::Resistor { a, b, ohms });
    }

    fn source(&mut self, plus: NodeId, minus: NodeId, volts: f64) {
        self.add(Element::Source {
            plus,
            minus,
            volts: Spread::exact(Volts(volts)),
        });
    }

    fn rail(&mut self, low: f64, high: f64) -> NodeId {
        let rail = self.circuit.node();
        let volts = self.dice.between(low, high);
        self.source(rail, self.ground, volts);
        self.nodes.push(rail);
        rail
    }

    /// A node tied by a resistor to one that was there.
    fn tied_node(&mut self) -> NodeId {
        let node = self.circuit.node();
        let other = self.dice.pick(&self.nodes);
        self.resistor(node, other, 100.0, 1e6);
        self.nodes.push(node);
        node
    }

    fn some_resistors(&mut self, count: usize) {
        for _ in 0..count {
            let (a, b) = (self.dice.pick(&self.nodes), self.dice.pick(&self.nodes));
            if a != b {
                self.resistor(a, b, 100.0, 1e6);
            }
        }
    }
}

fn linear(seed: u64) -> Circuit {
    let mut growth = Growth::new(seed);
    growth.rail(5.0, 50.0);
    growth.rail(-50.0, -5.0);
    for _ in 0..3 + growth.dice.below(15) {
        growth.tied_node();
    }
    let more = growth.dice.below(20);
    growth.some_resistors(more);
    for _ in 0..growth.dice.below(3) {
        let (from, to) = (
            growth.dice.pick(&growth.nodes),
            growth.dice.pick(&growth.nodes),
        );
        let amps = Spread::exact(Amps(growth.dice.between(-5e-3, 5e-3)));
        growth.add(Element::CurrentSource { from, to, amps });
    }
    for _ in 0..growth.dice.below(3) {
        // A battery in the air, between a tied node and a new one.
        let (minus, plus) = (growth.dice.pick(&growth.nodes), growth.circuit.node());
        let volts = growth.dice.between(-9.0, 9.0);
        growth.source(plus, minus, volts);
        growth.resistor(plus, growth.ground, 1e3, 1e6);
        growth.nodes.push(plus);
    }
    for _ in 0..growth.dice.below(3) {
        let [a, wiper, b] = [0; 3].map(|_| growth.dice.pick(&growth.nodes));
        if a == wiper || wiper == b || a == b {
            continue;
        }
        let ohms = Spread::exact(Ohms(growth.dice.decades(1e3, 1e6)));
        let position = Spread::exact(Ratio(growth.dice.between(0.01, 0.99)));
        growth.add(Element::Potentiometer {
            a,
            wiper,
            b,
            ohms,
            position,
        });
    }
    for _ in 0..growth.dice.below(4) {
        // An inverting stage without rails.
        let (input, inverting, out) = (
            growth.dice.pick(&growth.nodes),
            growth.circuit.node(),
            growth.circuit.node(),
        );
        growth.resistor(input, inverting, 1e3, 1e5);
        growth.resistor(inverting, out, 1e3, 1e5);
        growth.add(Element::OpAmp {
            plus: growth.ground,
            minus: inverting,
            out,
            rail_plus: None,
            rail_minus: None,
            model: OpAmpModel {
                gain: Ratio(1e5),
                ..OpAmpModel::ideal()
            },
        });
        growth.nodes.push(out);
    }
    growth.circuit
}

fn with_diodes(seed: u64) -> Circuit {
    let mut growth = Growth::new(seed);
    growth.rail(5.0, 40.0);
    growth.rail(-40.0, -5.0);
    for _ in 0..4 + growth.dice.below(10) {
        growth.tied_node();
    }
    let more = growth.dice.below(12);
    growth.some_resistors(more);
    for _ in 0..1 + growth.dice.below(8) {
        // Between nodes behind resistors, so that no rail is shorted.
        let inner = growth.nodes[3..].to_vec();
        let mut choice = inner.clone();
        choice.push(growth.ground);
        let (anode, cathode) = (growth.dice.pick(&inner), growth.dice.pick(&choice));
        if anode == cathode {
            continue;
        }
        let (anode, cathode) = if growth.dice.below(2) == 0 {
            (anode, cathode)
        } else {
            (cathode, anode)
        };
        let element = match growth.dice.below(4) {
            0 => Element::Zener {
                anode,
                cathode,
                volts: Spread::exact(Volts(growth.dice.between(3.0, 24.0))),
                model: ZenerModel::generic(),
            },
            1 => Element::Led {
                anode,
                cathode,
                model: DiodeModel::generic_red_led(),
            },
            2 => Element::Diode {
                anode,
                cathode,
                model: DiodeModel {
                    series: Ohms(growth.dice.decades(0.1, 50.0)),
                    saturation: Amps(growth.dice.decades(1e-15, 1e-7)),
                    emission: Ratio(growth.dice.between(1.0, 2.0)),
                },
            },
            _ => Element::Diode {
                anode,
                cathode,
                model: DiodeModel::generic_silicon(),
            },
        };
        growth.add(element);
    }
    growth.circuit
}

/// A few transistor stages as they are built, with stray resistors between.
fn with_transistors(seed: u64) -> Circuit {
    let mut growth = Growth::new(seed);
    let upper = growth.rail(9.0, 30.0);
    let lower = growth.rail(-30.0, -9.0);
    for _ in 0..1 + growth.dice.below(6) {
        let polarity = if growth.dice.below(2) == 0 {
            Polarity::Positive
        } else {
            Polarity::Negative
        };
        let (near, far) = match polarity {
            Polarity::Positive => (lower, upper),
            Polarity::Negative => (upper, lower),
        };
        let [output, control, common] = [0; 3].map(|_| growth.circuit.node());
        growth.resistor(far, output, 470.0, 22e3);
        growth.resistor(common, near, 470.0, 22e3);
        let drive = growth.dice.pick(&growth.nodes);
        growth.resistor(control, drive, 1e3, 470e3);
        growth.resistor(control, near, 10e3, 1e6);
        if growth.dice.below(2) == 0 {
            growth.resistor(control, far, 10e3, 1e6);
        }
        let element = if growth.dice.below(3) == 0 {
            Element::Jfet {
                drain: output,
                gate: control,
                source: common,
                polarity,
                model: JfetModel {
                    threshold: Volts(growth.dice.between(-4.0, -0.5)).into(),
                    beta: AmpsPerSquareVolt(growth.dice.decades(1e-4, 1e-2)).into(),
                    modulation: PerVolt(growth.dice.between(0.0, 0.03)),
                    saturation: Amps(1e-14),
                },
            }
        } else {
            Element::Bipolar {
                collector: output,
                base: control,
                emitter: common,
                polarity,
                model: BipolarModel {
                    saturation: Amps(growth.dice.decades(1e-16, 1e-12)),
                    forward_gain: Spread::exact(Ratio(growth.dice.between(30.0, 600.0))),
                    reverse_gain: Ratio(growth.dice.between(0.5, 5.0)),
                },
            }
        };
        growth.add(element);
        growth.nodes.extend([output, common]);
    }
    let more = growth.dice.below(3);
    growth.some_resistors(more);
    growth.circuit
}

/// Amplifiers on rails round diodes and a resistor network, some of them
/// driven into their limits.
fn with_amplifiers(seed: u64) -> Circuit {
    let mut growth = Growth::new(seed);
    let upper = growth.rail(9.0, 18.0);
    let lower = growth.rail(-18.0, -9.0);
    for _ in 0..1 + growth.dice.below(5) {
        let input = growth.dice.pick(&growth.nodes);
        let [inverting, plus, out] = [0; 3].map(|_| growth.circuit.node());
        growth.resistor(input, inverting, 1e3, 1e5);
        growth.resistor(inverting, out, 1e3, 1e5);
        let bias = growth.dice.pick(&growth.nodes);
        growth.resistor(plus, bias, 1e3, 1e6);
        growth.resistor(plus, growth.ground, 1e3, 1e6);
        if growth.dice.below(2) == 0 {
            growth.add(Element::Diode {
                anode: inverting,
                cathode: out,
                model: DiodeModel::generic_silicon(),
            });
        }
        growth.add(Element::OpAmp {
            plus,
            minus: inverting,
            out,
            rail_plus: Some(upper),
            rail_minus: Some(lower),
            model: OpAmpModel {
                gain: Ratio(1e5),
                upper_headroom: Volts(1.5),
                lower_headroom: Volts(2.0),
                ..OpAmpModel::ideal()
            },
        });
        growth.nodes.push(out);
    }
    growth.circuit
}

fn name(node: NodeId) -> String {
    match node.0 {
        0 => "0".to_owned(),
        number => format!("n{number}"),
    }
}

/// The circuit as the simulator reads it, with the same parameters.
fn netlist(circuit: &Circuit) -> String {
    let mut deck = String::from("operating point\n");
    for (place, (_, element)) in circuit.elements().iter().enumerate() {
        let line = match element {
            Element::Resistor { a, b, ohms } => {
                format!("R{place} {} {} {:e}", name(*a), name(*b), ohms.nominal.0)
            }
            Element::Source { plus, minus, volts } => {
                format!("V{place} {} {} DC {:e}", name(*plus), name(*minus), volts.nominal.0)
            }
            Element::CurrentSource { from, to, amps } => {
                format!("I{place} {} {} DC {:e}", name(*from), name(*to), amps.nominal.0)
            }
            Element::Potentiometer {
                a,
                wiper,
                b,
                ohms,
                position,
            } => format!(
                "R{place}a {} {} {:e}\nR{place}b {} {} {:e}",
                name(*a),
                name(*wiper),
                ohms.nominal.0 * position.nominal.0,
                name(*wiper),
                name(*b),
                ohms.nominal.0 * (1.0 - position.nominal.0)
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
            } => format!(
                "D{place} {} {} d{place}\n.model d{place} d(is={:e} n={:e} rs={:e})",
                name(*anode),
                name(*cathode),
                model.saturation.0,
                model.emission.0,
                model.series.0
            ),
            Element::Zener {
                anode,
                cathode,
                volts,
                model,
            } => format!(
                "D{place} {} {} d{place}\n.model d{place} d(is={:e} n={:e} rs={:e} bv={:e} ibv={:e})",
                name(*anode),
                name(*cathode),
                model.forward.saturation.0,
                model.forward.emission.0,
                model.forward.series.0,
                volts.nominal.0,
                model.test_current.0
            ),
            Element::Bipolar {
                collector,
                base,
                emitter,
                polarity,
                model,
            } => format!(
                "Q{place} {} {} {} q{place}\n.model q{place} {}(is={:e} bf={:e} br={:e})",
                name(*collector),
                name(*base),
                name(*emitter),
                match polarity {
                    Polarity::Positive => "npn",
                    Polarity::Negative => "pnp",
                },
                model.saturation.0,
                model.forward_gain.nominal.0,
                model.reverse_gain.0
            ),
            Element::Jfet {
                drain,
                gate,
                source,
                polarity,
                model,
            } => format!(
                "J{place} {} {} {} j{place}\n.model j{place} {}(vto={:e} beta={:e} lambda={:e} is={:e})",
                name(*drain),
                name(*gate),
                name(*source),
                match polarity {
                    Polarity::Positive => "njf",
                    Polarity::Negative => "pjf",
                },
                model.threshold.nominal.0,
                model.beta.nominal.0,
                model.modulation.0,
                model.saturation.0
            ),
            Element::OpAmp {
                plus,
                minus,
                out,
                rail_plus: Some(upper),
                rail_minus: Some(lower),
                model,
            } => format!(
                "B{place} {} 0 V=min(max(0.5*(v({u})+v({l}))+{:e}*(v({p})-v({m})), v({l})+{:e}), v({u})-{:e})",
                name(*out),
                model.gain.0,
                model.lower_headroom.0,
                model.upper_headroom.0,
                u = name(*upper),
                l = name(*lower),
                p = name(*plus),
                m = name(*minus)
            )
            .replace("v(0)", "0"),
            Element::OpAmp {
                plus,
                minus,
                out,
                model,
                ..
            } => format!(
                "E{place} {} 0 {} {} {:e}",
                name(*out),
                name(*plus),
                name(*minus),
                model.gain.0
            ),
            other => panic!("the generator makes no {other:?}"),
        };
        writeln!(deck, "{line}").expect("writing to a string");
    }
    deck.push_str(".options reltol=1e-9 abstol=1e-15 vntol=1e-10 gmin=1e-12 itl1=500\n");
    deck.push_str(".control\nset numdgt=15\nop\n");
    for number in 1..circuit.node_count() {
        writeln!(deck, "print v(n{number})").expect("writing to a string");
    }
    deck.push_str("quit\n.endc\n.end\n");
    deck
}

/// Node potentials by the simulator; `None` where it reached no operating
/// point.
fn simulate(circuit: &Circuit, name: &str) -> Option<BTreeMap<u32, f64>> {
    let folder = std::env::temp_dir();
    let file = folder.join(format!("retin-{}-{name}.cir", std::process::id()));
    std::fs::write(&file, netlist(circuit)).expect("the temporary folder is writable");
    let output = Command::new("ngspice")
        .arg("-b")
        .arg(&file)
        // Without a home folder this version of the simulator crashes.
        .env("HOME", &folder)
        .env_remove("DISPLAY")
        .output()
        .expect(MISSING);
    std::fs::remove_file(&file).expect("it was just written");
    let text = String::from_utf8_lossy(&output.stdout);
    let found: BTreeMap<u32, f64> = text
        .lines()
        .filter_map(|line| {
            let (node, volts) = line.strip_prefix("v(n")?.split_once(") = ")?;
            Some((node.parse().ok()?, volts.trim().parse().ok()?))
        })
        .collect();
    (found.len() + 1 == circuit.node_count()).then_some(found)
}

/// The greatest disagreement over all nodes, each relative to its tolerance.
fn disagreement(
    solution: &Solution,
    simulated: &BTreeMap<u32, f64>,
    tolerance: impl Fn(f64) -> f64,
) -> f64 {
    simulated
        .iter()
        .map(|(&node, &volts)| match solution.volts(NodeId(node)) {
            Some(found) => (found.0 - volts).abs() / tolerance(volts),
            None => f64::INFINITY,
        })
        .fold(0.0, f64::max)
}

/// Grows circuits of a kind and compares every node. The simulator may reach
/// no operating point on a few; `least` says how many it must.
fn compare(kind: &str, grow: fn(u64) -> Circuit, tolerance: impl Fn(f64) -> f64, least: u64) {
    let mut compared = 0;
    let mut wrong = String::new();
    for number in 0..CIRCUITS_OF_A_KIND {
        let circuit = grow(number * 7919 + 17);
        let solution = solve(&circuit);
        assert!(
            solution.faults.is_empty(),
            "{kind} {number}: {:?}\n{}",
            solution.faults,
            netlist(&circuit)
        );
        let Some(simulated) = simulate(&circuit, &format!("{kind}-{number}")) else {
            continue;
        };
        compared += 1;
        let off = disagreement(&solution, &simulated, &tolerance);
        if off > 1.0 {
            writeln!(wrong, "{kind} {number}: {off} times the tolerance").expect("a string");
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
    assert!(
        compared >= least,
        "the simulator solved only {compared} of {CIRCUITS_OF_A_KIND} {kind} circuits"
    );
}

fn part_in_a_million(volts: f64) -> f64 {
    1e-6 * volts.abs().max(1e-3)
}

fn millivolt(_: f64) -> f64 {
    1e-3
}

#[test]
fn linear_circuits() {
    compare("linear", linear, part_in_a_million, 100);
}

#[test]
fn circuits_with_diodes() {
    compare("diode", with_diodes, millivolt, 90);
}

#[test]
fn circuits_with_transistors() {
    compare("transistor", with_transistors, millivolt, 90);
}

#[test]
fn circuits_with_amplifiers() {
    compare("amplifier", with_amplifiers, millivolt, 60);
}
