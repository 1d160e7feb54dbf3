//! Circuits on which Newton's method, or its bookkeeping, is known to fail.
//!
//! No outside figures: each answer is checked by a law (Kirchhoff's current
//! law at every node, a symmetry, a voltage that must appear).

use retin::circuit::{
    Amps, BipolarModel, Circuit, DiodeModel, Element, Fault, NodeId, Ohms, OpAmpModel, Polarity,
    Potential, Ratio, Regime, Solution, Spread, Tag, UnknownReason, ValueProblem, Volts,
    ZenerModel, solve,
};

fn nodes<const COUNT: usize>(circuit: &mut Circuit) -> [NodeId; COUNT] {
    std::array::from_fn(|_| circuit.node())
}

fn volts(solution: &Solution, node: NodeId) -> f64 {
    solution.volts(node).expect("the node is known").0
}

/// Kirchhoff's current law at every known node but the reference: currents
/// into all elements sum to nothing. Also: no number that is not one.
fn assert_balanced(circuit: &Circuit, solution: &Solution) {
    let mut sums = vec![(Some(0.0), 0.0); circuit.node_count()];
    for ((_, element), result) in circuit.elements().iter().zip(&solution.elements) {
        for (node, amps) in element.terminals().iter().zip(&result.currents) {
            let (sum, size) = &mut sums[node.0 as usize];
            if let Some(amps) = amps {
                assert!(amps.0.is_finite());
                *size += amps.0.abs();
            }
            *sum = sum.zip(*amps).map(|(sum, amps)| sum + amps.0);
        }
    }
    for (number, (sum, size)) in sums.iter().enumerate() {
        let node = NodeId(number as u32);
        if Some(node) == circuit.ground_node() || solution.volts(node).is_none() {
            continue;
        }
        if let Some(sum) = sum {
            assert!(
                sum.abs() <= 1e-6 * size + 1e-12,
                "node {number}: {sum} A left over of {size} A"
            );
        }
    }
}

fn diode(anode: NodeId, cathode: NodeId) -> Element {
    Element::Diode {
        anode,
        cathode,
        model: DiodeModel::generic_silicon(),
    }
}

fn npn(collector: NodeId, base: NodeId, emitter: NodeId) -> Element {
    Element::Bipolar {
        collector,
        base,
        emitter,
        polarity: Polarity::Positive,
        model: BipolarModel::generic(),
    }
}

fn zener(anode: NodeId, cathode: NodeId, volts: f64) -> Element {
    Element::Zener {
        anode,
        cathode,
        volts: Spread::exact(Volts(volts)),
        model: ZenerModel::generic(),
    }
}

#[test]
fn nodes_that_nothing_ties_are_unknown_and_not_zero() {
    let mut circuit = Circuit::new();
    let ground = circuit.ground();
    let [rail, coupled, far, lone] = nodes(&mut circuit);
    circuit.source(Tag(1), rail, ground, Volts(15.0));
    circuit.add(
        Tag(2),
        Element::Capacitor {
            a: rail,
            b: coupled,
        },
    );
    circuit.resistor(Tag(3), coupled, far, Ohms(10e3));
    circuit.source(Tag(4), far, lone, Volts(9.0));
    circuit.add(
        Tag(5),
        Element::CurrentSource {
            from: ground,
            to: coupled,
            amps: Spread::exact(Amps(1e-3)),
        },
    );
    let solution = solve(&circuit);
    assert_eq!(solution.volts(rail), Some(Volts(15.0)));
    for node in [coupled, far, lone] {
        assert_eq!(
            solution.potentials[node.0 as usize],
            Potential::Unknown {
                why: UnknownReason::NotTied
            }
        );
    }
    assert_eq!(solution.elements[2].currents, [None, None]);
}

#[test]
fn without_a_reference_nothing_is_known() {
    let mut circuit = Circuit::new();
    let [a, b] = nodes(&mut circuit);
    circuit.source(Tag(1), a, b, Volts(9.0));
    circuit.resistor(Tag(2), a, b, Ohms(1e3));
    let solution = solve(&circuit);
    assert_eq!(solution.faults, [Fault::NoReference]);
    assert_eq!(solution.volts(a), None);
    assert_eq!(solution.volts(b), None);
}

#[test]
fn back_to_back_zeners_both_ways() {
    for supply in [30.0, -30.0] {
        let mut circuit = Circuit::new();
        let ground = circuit.ground();
        let [rail, top, middle] = nodes(&mut circuit);
        circuit.source(Tag(1), rail, ground, Volts(supply));
        circuit.resistor(Tag(2), rail, top, Ohms(2.2e3));
        circuit.add(Tag(3), zener(middle, top, 9.1));
        circuit.add(Tag(4), zener(middle, ground, 9.1));
        let solution = solve(&circuit);
        assert!(solution.faults.is_empty(), "{:?}", solution.faults);
        let clamped = volts(&solution, top).abs();
        // One breaks down, the other conducts forward.
        assert!((9.7..9.95).contains(&clamped), "{clamped}");
        assert_balanced(&circuit, &solution);
    }
}

#[test]
fn zener_straight_across_a_stiff_supply() {
    let mut circuit = Circuit::new();
    let ground = circuit.ground();
    let [rail, cathode] = nodes(&mut circuit);
    circuit.source(Tag(1), rail, ground, Volts(50.0));
    circuit.resistor(Tag(2), rail, cathode, Ohms(0.1));
    circuit.add(Tag(3), zener(ground, cathode, 5.1));
    let solution = solve(&circuit);
    assert!((5.1..5.6).contains(&volts(&solution, cathode)));
    assert_balanced(&circuit, &solution);
}

/// Two cross-coupled transistors rest in either of two states, or in
/// principle balance between them. Any of the three is a valid operating
/// point; from its symmetrical start the solver finds the balanced one.
#[test]
fn transistor_latch_rests_in_one_valid_state() {
    let mut circuit = Circuit::new();
    let ground = circuit.ground();
    let [rail, left, right, left_base, right_base] = nodes(&mut circuit);
    circuit.source(Tag(1), rail, ground, Volts(12.0));
    circuit.resistor(Tag(2), rail, left, Ohms(1e3));
    circuit.resistor(Tag(3), rail, right, Ohms(1e3));
    circuit.resistor(Tag(4), left, right_base, Ohms(10e3));
    circuit.resistor(Tag(5), right, left_base, Ohms(10e3));
    circuit.add(Tag(6), npn(left, left_base, ground));
    circuit.add(Tag(7), npn(right, right_base, ground));
    let solution = solve(&circuit);
    assert!(solution.faults.is_empty(), "{:?}", solution.faults);
    assert_balanced(&circuit, &solution);
    let (left, right) = (volts(&solution, left), volts(&solution, right));
    let balanced = (left - right).abs() < 1e-6;
    let latched = left.min(right) < 0.3 && left.max(right) > 10.0;
    assert!(balanced || latched, "{left} and {right}");
}

#[test]
fn trigger_with_positive_feedback_sits_at_a_limit_and_says_so() {
    let mut circuit = Circuit::new();
    let ground = circuit.ground();
    let [upper, lower, plus, out] = nodes(&mut circuit);
    circuit.source(Tag(1), upper, ground, Volts(12.0));
    circuit.source(Tag(2), lower, ground, Volts(-12.0));
    circuit.resistor(Tag(3), plus, ground, Ohms(1e3));
    circuit.resistor(Tag(4), plus, out, Ohms(10e3));
    circuit.add(
        Tag(5),
        Element::OpAmp {
            plus,
            minus: ground,
            out,
            rail_plus: Some(upper),
            rail_minus: Some(lower),
            model: OpAmpModel::ideal(),
        },
    );
    let solution = solve(&circuit);
    assert_eq!(solution.faults, [Fault::SeveralStates { tag: Tag(5) }]);
    assert!((volts(&solution, out).abs() - 12.0).abs() < 1e-9);
    assert_ne!(solution.elements[4].regime, Some(Regime::InRange));
    assert_balanced(&circuit, &solution);
}

#[test]
fn fifteen_decades_between_resistances() {
    let mut circuit = Circuit::new();
    let ground = circuit.ground();
    let [rail, one, two, three] = nodes(&mut circuit);
    circuit.source(Tag(1), rail, ground, Volts(10.0));
    circuit.resistor(Tag(2), rail, one, Ohms(1e12));
    circuit.resistor(Tag(3), one, two, Ohms(1e-3));
    circuit.resistor(Tag(4), two, three, Ohms(1e-3));
    circuit.resistor(Tag(5), three, ground, Ohms(1e12));
    let solution = solve(&circuit);
    for node in [one, two, three] {
        assert!((volts(&solution, node) - 5.0).abs() < 1e-9);
    }
    let through = solution.elements[2].currents[0].expect("known").0;
    assert!((through - 5e-12).abs() < 1e-20, "{through}");
}

#[test]
fn disagreeing_sources_are_a_conflict_of_their_own() {
    let mut circuit = Circuit::new();
    let ground = circuit.ground();
    let [rail, linked, hanging, healthy, middle] = nodes(&mut circuit);
    circuit.source(Tag(1), rail, ground, Volts(15.0));
    circuit.add(Tag(2), Element::Conductor { a: rail, b: linked });
    circuit.source(Tag(3), linked, ground, Volts(12.0));
    circuit.resistor(Tag(4), linked, hanging, Ohms(1e3));
    circuit.source(Tag(5), healthy, ground, Volts(5.0));
    circuit.resistor(Tag(6), healthy, middle, Ohms(1e3));
    circuit.resistor(Tag(7), middle, ground, Ohms(1e3));
    let solution = solve(&circuit);
    let tags = vec![Tag(1), Tag(2), Tag(3)];
    assert_eq!(solution.faults, [Fault::Conflict { tags: tags.clone() }]);
    for node in [rail, linked, hanging] {
        assert_eq!(
            solution.potentials[node.0 as usize],
            Potential::Unknown {
                why: UnknownReason::Conflict { tags: tags.clone() }
            }
        );
    }
    assert!((volts(&solution, middle) - 2.5).abs() < 1e-12);
}

#[test]
fn agreeing_sources_share_a_current_nobody_can_know() {
    let mut circuit = Circuit::new();
    let ground = circuit.ground();
    let rail = circuit.node();
    circuit.source(Tag(1), rail, ground, Volts(15.0));
    circuit.source(Tag(2), rail, ground, Volts(15.0));
    circuit.resistor(Tag(3), rail, ground, Ohms(1e3));
    let solution = solve(&circuit);
    assert!(solution.faults.is_empty());
    assert_eq!(solution.volts(rail), Some(Volts(15.0)));
    assert_eq!(solution.elements[0].currents, [None, None]);
    assert_eq!(solution.elements[1].currents, [None, None]);
    assert!(solution.elements[2].dissipation.is_some());
}

#[test]
fn bad_values_are_faults_and_never_numbers() {
    for (ohms, problem) in [
        (0.0, ValueProblem::Zero),
        (-0.0, ValueProblem::Zero),
        (-47.0, ValueProblem::Negative),
        (f64::NAN, ValueProblem::NotFinite),
        (f64::INFINITY, ValueProblem::NotFinite),
        (1e300, ValueProblem::OutOfRange),
        (1e-300, ValueProblem::OutOfRange),
    ] {
        let mut circuit = Circuit::new();
        let ground = circuit.ground();
        let [rail, middle, other] = nodes(&mut circuit);
        circuit.source(Tag(1), rail, ground, Volts(10.0));
        circuit.resistor(Tag(2), rail, middle, Ohms(1e3));
        circuit.resistor(Tag(3), middle, ground, Ohms(ohms));
        circuit.resistor(Tag(4), rail, other, Ohms(1e3));
        circuit.resistor(Tag(5), other, ground, Ohms(1e3));
        let solution = solve(&circuit);
        assert!(
            matches!(
                solution.faults[..],
                [Fault::BadValue { tag: Tag(3), problem: found, .. }] if found == problem
            ),
            "{ohms}: {:?}",
            solution.faults
        );
        assert_eq!(
            solution.potentials[middle.0 as usize],
            Potential::Unknown {
                why: UnknownReason::DependsOn { tag: Tag(3) }
            }
        );
        assert!((volts(&solution, other) - 5.0).abs() < 1e-12);
        assert_eq!(solution.elements[0].currents[0], None);
    }
}

#[test]
fn an_unmodelled_chip_leaves_the_rest_known() {
    let mut circuit = Circuit::new();
    let ground = circuit.ground();
    let [rail, pin, beyond, other] = nodes(&mut circuit);
    circuit.source(Tag(1), rail, ground, Volts(5.0));
    circuit.add(
        Tag(2),
        Element::Unmodelled {
            terminals: vec![rail, ground, pin],
        },
    );
    circuit.resistor(Tag(3), pin, beyond, Ohms(1e3));
    circuit.resistor(Tag(4), beyond, rail, Ohms(1e3));
    circuit.resistor(Tag(5), rail, other, Ohms(1e3));
    circuit.resistor(Tag(6), other, ground, Ohms(1e3));
    let solution = solve(&circuit);
    assert!(solution.faults.is_empty());
    assert_eq!(solution.volts(pin), None);
    assert_eq!(solution.volts(beyond), None);
    assert!((volts(&solution, other) - 2.5).abs() < 1e-12);
}

#[test]
fn an_amplifier_with_an_input_in_the_air_has_no_known_output() {
    let mut circuit = Circuit::new();
    let ground = circuit.ground();
    let [upper, lower, input, out, next, buffered] = nodes(&mut circuit);
    circuit.source(Tag(1), upper, ground, Volts(15.0));
    circuit.source(Tag(2), lower, ground, Volts(-15.0));
    circuit.add(
        Tag(3),
        Element::Capacitor {
            a: ground,
            b: input,
        },
    );
    let follower = |plus, out| Element::OpAmp {
        plus,
        minus: out,
        out,
        rail_plus: Some(upper),
        rail_minus: Some(lower),
        model: OpAmpModel::ideal(),
    };
    circuit.add(Tag(4), follower(input, out));
    circuit.resistor(Tag(5), out, next, Ohms(1e3));
    circuit.add(Tag(6), follower(next, buffered));
    let solution = solve(&circuit);
    assert_eq!(
        solution.potentials[input.0 as usize],
        Potential::Unknown {
            why: UnknownReason::NotTied
        }
    );
    for (node, tag) in [(out, Tag(4)), (next, Tag(4)), (buffered, Tag(6))] {
        assert_eq!(
            solution.potentials[node.0 as usize],
            Potential::Unknown {
                why: UnknownReason::InputUnknown { tag }
            }
        );
    }
}

/// Single supply, inputs biased at half of it, capacitor in the gain leg:
/// every input and output rests at the middle (ngspice 39.3: 4.5000 V).
#[test]
fn single_supply_amplifier_rests_in_the_middle() {
    let mut circuit = Circuit::new();
    let ground = circuit.ground();
    let [rail, half, plus, minus, out, leg] = nodes(&mut circuit);
    circuit.source(Tag(1), rail, ground, Volts(9.0));
    circuit.resistor(Tag(2), rail, half, Ohms(100e3));
    circuit.resistor(Tag(3), half, ground, Ohms(100e3));
    circuit.resistor(Tag(4), half, plus, Ohms(1e6));
    circuit.resistor(Tag(5), out, minus, Ohms(10e3));
    circuit.resistor(Tag(6), minus, leg, Ohms(1e3));
    circuit.add(Tag(7), Element::Capacitor { a: leg, b: ground });
    circuit.add(
        Tag(8),
        Element::OpAmp {
            plus,
            minus,
            out,
            rail_plus: Some(rail),
            rail_minus: Some(ground),
            model: OpAmpModel::ideal(),
        },
    );
    let solution = solve(&circuit);
    for node in [half, plus, minus, out, leg] {
        assert!((volts(&solution, node) - 4.5).abs() < 5e-5);
    }
}

#[test]
fn forty_diodes_in_a_row() {
    for supply in [12.0, 60.0, -60.0] {
        let mut circuit = Circuit::new();
        let ground = circuit.ground();
        let rail = circuit.node();
        circuit.source(Tag(0), rail, ground, Volts(supply));
        let mut last = circuit.node();
        circuit.resistor(Tag(1), rail, last, Ohms(1e3));
        let first = last;
        for tag in 2..42 {
            let next = if tag == 41 { ground } else { circuit.node() };
            circuit.add(Tag(tag), diode(last, next));
            last = next;
        }
        let solution = solve(&circuit);
        assert!(solution.faults.is_empty(), "{:?}", solution.faults);
        assert_balanced(&circuit, &solution);
        let top = volts(&solution, first);
        match supply {
            12.0 => assert!((11.9..12.0).contains(&top), "{top}"),
            60.0 => assert!((27.0..32.0).contains(&top), "{top}"),
            _ => assert!((-60.0..-59.9).contains(&top), "{top}"),
        }
    }
}

/// A rectifier bridge on a winding that floats but for the bridge.
#[test]
fn bridge_on_a_floating_source() {
    for supply in [17.0, -17.0] {
        let mut circuit = Circuit::new();
        let ground = circuit.ground();
        let [left, right, out] = nodes(&mut circuit);
        circuit.source(Tag(1), left, right, Volts(supply));
        circuit.add(Tag(2), diode(left, out));
        circuit.add(Tag(3), diode(right, out));
        circuit.add(Tag(4), diode(ground, left));
        circuit.add(Tag(5), diode(ground, right));
        circuit.resistor(Tag(6), out, ground, Ohms(100.0));
        let solution = solve(&circuit);
        assert!(solution.faults.is_empty(), "{:?}", solution.faults);
        assert_balanced(&circuit, &solution);
        let found = volts(&solution, out);
        assert!((15.2..15.8).contains(&found), "{found}");
    }
}

/// Direct-coupled pair with feedback from the second emitter to the first
/// base, the classic two-transistor stage.
#[test]
fn direct_coupled_feedback_pair() {
    let mut circuit = Circuit::new();
    let ground = circuit.ground();
    let [rail, base, first, emitter, out] = nodes(&mut circuit);
    circuit.source(Tag(1), rail, ground, Volts(24.0));
    circuit.resistor(Tag(2), rail, first, Ohms(100e3));
    circuit.add(Tag(3), npn(first, base, ground));
    circuit.resistor(Tag(4), rail, out, Ohms(10e3));
    circuit.add(Tag(5), npn(out, first, emitter));
    circuit.resistor(Tag(6), emitter, ground, Ohms(1e3));
    circuit.resistor(Tag(7), emitter, base, Ohms(100e3));
    let solution = solve(&circuit);
    assert!(solution.faults.is_empty(), "{:?}", solution.faults);
    assert_balanced(&circuit, &solution);
    let first_volts = volts(&solution, first) - volts(&solution, emitter);
    assert!((0.5..0.8).contains(&first_volts), "{first_volts}");
}

/// A wiper at either end of its travel, and a rheostat turned to nothing.
#[test]
fn wiper_at_the_ends() {
    for (position, expected) in [(0.0, 10.0), (0.25, 7.5), (1.0, 0.0)] {
        let mut circuit = Circuit::new();
        let ground = circuit.ground();
        let [rail, wiper, load] = nodes(&mut circuit);
        circuit.source(Tag(1), rail, ground, Volts(10.0));
        circuit.add(
            Tag(2),
            Element::Potentiometer {
                a: rail,
                wiper,
                b: ground,
                ohms: Spread::exact(Ohms(10e3)),
                position: Spread::exact(Ratio(position)),
            },
        );
        circuit.add(
            Tag(3),
            Element::Potentiometer {
                a: wiper,
                wiper: load,
                b: load,
                ohms: Spread::exact(Ohms(10e3)),
                position: Spread::exact(Ratio(0.0)),
            },
        );
        let solution = solve(&circuit);
        assert!(solution.faults.is_empty(), "{:?}", solution.faults);
        for node in [wiper, load] {
            let found = volts(&solution, node);
            assert!((found - expected).abs() < 1e-6, "{found} for {expected}");
        }
        assert_balanced(&circuit, &solution);
    }
}

/// A regulator whose input is held up through a resistance by its own load,
/// one whose output is held above it, and one feeding another.
#[test]
fn regulators_in_awkward_places() {
    let regulator = |input, common, output, volts| Element::Regulator {
        input,
        common,
        output,
        polarity: Polarity::Positive,
        model: retin::circuit::RegulatorModel {
            volts: Spread::exact(Volts(volts)),
            dropout: Volts(2.0),
            common_current: Amps(5e-3),
        },
    };
    let mut circuit = Circuit::new();
    let ground = circuit.ground();
    let [raw, behind, out, backed, higher, lower] = nodes(&mut circuit);
    circuit.source(Tag(1), raw, ground, Volts(30.0));
    circuit.resistor(Tag(2), raw, behind, Ohms(100.0));
    circuit.add(Tag(3), regulator(behind, ground, out, 15.0));
    circuit.resistor(Tag(4), out, ground, Ohms(1e3));
    circuit.add(Tag(5), regulator(raw, ground, backed, 12.0));
    circuit.resistor(Tag(6), raw, backed, Ohms(10.0));
    circuit.resistor(Tag(7), backed, ground, Ohms(1e3));
    circuit.add(Tag(8), regulator(raw, ground, higher, 24.0));
    circuit.add(Tag(9), regulator(higher, ground, lower, 5.0));
    circuit.resistor(Tag(10), lower, ground, Ohms(50.0));
    let solution = solve(&circuit);
    assert!(solution.faults.is_empty(), "{:?}", solution.faults);
    assert_balanced(&circuit, &solution);
    assert!((volts(&solution, out) - 15.0).abs() < 1e-9);
    assert!((volts(&solution, behind) - (30.0 - 100.0 * 0.020)).abs() < 1e-6);
    assert!((volts(&solution, backed) - 30.0 * 1e3 / 1010.0).abs() < 1e-6);
    assert_eq!(solution.elements[4].regime, Some(Regime::Off));
    assert!((volts(&solution, lower) - 5.0).abs() < 1e-9);
    // 100 mA at 5 V, and both quiescent currents, come from the raw supply.
    let first = solution.elements[7].currents[0].expect("known").0;
    assert!((first - 0.110).abs() < 1e-9, "{first}");
}
