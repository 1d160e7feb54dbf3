//! Laws that hold for every circuit.

use proptest::prelude::*;

use super::*;

/// Nodes of a random circuit; 0 is the reference.
const NODES: u32 = 8;

fn node() -> impl Strategy<Value = NodeId> {
    (0..NODES).prop_map(NodeId)
}

fn ohms() -> impl Strategy<Value = Ohms> {
    (0.0..6.0_f64).prop_map(|decade| Ohms(10.0_f64.powf(decade)))
}

/// Values as they should not be, among some that are fine.
fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        Just(0.0),
        Just(-0.0),
        Just(f64::NAN),
        Just(f64::INFINITY),
        Just(f64::NEG_INFINITY),
        Just(1e300),
        Just(-1e300),
        Just(1e-300),
        Just(f64::MIN_POSITIVE / 2.0),
        -1e3..1e3_f64,
        1.0..1e6_f64,
    ]
}

fn any_spread<Unit: Quantity>() -> impl Strategy<Value = Spread<Unit>> {
    (any_number(), any_number(), any_number(), any::<bool>()).prop_map(|(a, b, c, exact)| {
        if exact {
            Spread::exact(Unit::of(a))
        } else {
            Spread::between(Unit::of(a), Unit::of(b), Unit::of(c))
        }
    })
}

fn linear_element() -> impl Strategy<Value = Element> {
    prop_oneof![
        6 => (node(), node(), ohms())
            .prop_map(|(a, b, ohms)| Element::Resistor { a, b, ohms: ohms.into() }),
        1 => (node(), node(), -20.0..20.0_f64).prop_map(|(plus, minus, volts)| {
            Element::Source { plus, minus, volts: Volts(volts).into() }
        }),
        1 => (node(), node(), -0.1..0.1_f64).prop_map(|(from, to, amps)| {
            Element::CurrentSource { from, to, amps: Amps(amps).into() }
        }),
        1 => (node(), node()).prop_map(|(a, b)| Element::Capacitor { a, b }),
        1 => (node(), node()).prop_map(|(a, b)| Element::Conductor { a, b }),
        1 => (node(), node(), node(), ohms(), 0.0..=1.0_f64).prop_map(
            |(a, wiper, b, ohms, position)| Element::Potentiometer {
                a,
                wiper,
                b,
                ohms: ohms.into(),
                position: Ratio(position).into(),
            }
        ),
    ]
}

fn polarity() -> impl Strategy<Value = Polarity> {
    prop_oneof![Just(Polarity::Positive), Just(Polarity::Negative)]
}

fn nonlinear_element() -> impl Strategy<Value = Element> {
    prop_oneof![
        (node(), node()).prop_map(|(anode, cathode)| Element::Diode {
            anode,
            cathode,
            model: DiodeModel::generic_germanium(),
        }),
        (node(), node(), 3.0..30.0_f64).prop_map(|(anode, cathode, volts)| Element::Zener {
            anode,
            cathode,
            volts: Volts(volts).into(),
            model: ZenerModel::generic(),
        }),
        (node(), node(), node(), polarity()).prop_map(|(collector, base, emitter, polarity)| {
            Element::Bipolar {
                collector,
                base,
                emitter,
                polarity,
                model: BipolarModel::generic(),
            }
        }),
        (node(), node(), node(), polarity()).prop_map(|(drain, gate, source, polarity)| {
            Element::Jfet {
                drain,
                gate,
                source,
                polarity,
                model: JfetModel::generic(),
            }
        }),
        (node(), node(), node(), node(), node()).prop_map(
            |(plus, minus, out, rail_plus, rail_minus)| Element::OpAmp {
                plus,
                minus,
                out,
                rail_plus: Some(rail_plus),
                rail_minus: Some(rail_minus),
                model: OpAmpModel::ideal(),
            }
        ),
        (node(), node(), node(), polarity(), 5.0..20.0_f64).prop_map(
            |(input, common, output, polarity, volts)| Element::Regulator {
                input,
                common,
                output,
                polarity,
                model: RegulatorModel {
                    volts: Volts(volts).into(),
                    dropout: Volts(2.0),
                    common_current: Amps(1e-3),
                },
            }
        ),
    ]
}

/// Elements with values, models and nodes that may be nonsense.
fn nonsense_element() -> impl Strategy<Value = Element> {
    let any_node = || (0..NODES + 2).prop_map(NodeId);
    prop_oneof![
        (any_node(), any_node(), any_spread()).prop_map(|(a, b, ohms)| Element::Resistor {
            a,
            b,
            ohms
        }),
        (any_node(), any_node(), any_spread()).prop_map(|(plus, minus, volts)| Element::Source {
            plus,
            minus,
            volts
        }),
        (any_node(), any_node(), any_spread())
            .prop_map(|(from, to, amps)| Element::CurrentSource { from, to, amps }),
        (any_node(), any_node(), any_spread(), any_number()).prop_map(
            |(anode, cathode, volts, amps)| Element::Zener {
                anode,
                cathode,
                volts,
                model: ZenerModel::stated_at(Amps(amps)),
            }
        ),
        (
            any_node(),
            any_node(),
            any_node(),
            any_spread(),
            any_number()
        )
            .prop_map(
                |(collector, base, emitter, gain, saturation)| Element::Bipolar {
                    collector,
                    base,
                    emitter,
                    polarity: Polarity::Positive,
                    model: BipolarModel {
                        saturation: Amps(saturation),
                        forward_gain: gain,
                        reverse_gain: Ratio(1.0),
                    },
                }
            ),
        (
            any_node(),
            any_node(),
            any_node(),
            any_spread(),
            any_spread()
        )
            .prop_map(|(a, wiper, b, ohms, position)| Element::Potentiometer {
                a,
                wiper,
                b,
                ohms,
                position,
            }),
    ]
}

fn circuit_of(elements: &[Element]) -> Circuit {
    let mut circuit = Circuit::new();
    circuit.ground();
    for _ in 1..NODES {
        circuit.node();
    }
    for (tag, element) in elements.iter().enumerate() {
        circuit.add(Tag(tag as u32), element.clone());
    }
    circuit
}

fn scaled(element: &Element, factor: f64) -> Element {
    let mut element = element.clone();
    match &mut element {
        Element::Source { volts, .. } => *volts = Volts(volts.nominal.0 * factor).into(),
        Element::CurrentSource { amps, .. } => *amps = Amps(amps.nominal.0 * factor).into(),
        _ => {}
    }
    element
}

fn renumbered(element: &Element, by: &[u32]) -> Element {
    let mut element = element.clone();
    let swap = |node: &mut NodeId| *node = NodeId(by[node.0 as usize]);
    match &mut element {
        Element::Resistor { a, b, .. }
        | Element::Capacitor { a, b }
        | Element::Conductor { a, b }
        | Element::Open { a, b }
        | Element::Winding { a, b, .. } => [a, b].map(swap).len(),
        Element::Source { plus, minus, .. } => [plus, minus].map(swap).len(),
        Element::CurrentSource { from, to, .. } => [from, to].map(swap).len(),
        Element::Potentiometer { a, wiper, b, .. } => [a, wiper, b].map(swap).len(),
        other => panic!("not a linear element: {other:?}"),
    };
    element
}

/// Every number of a solution.
fn numbers(solution: &Solution) -> Vec<f64> {
    let potentials = solution
        .potentials
        .iter()
        .filter_map(|potential| potential.volts().map(|volts| volts.0));
    let elements = solution.elements.iter().flat_map(|element| {
        element
            .currents
            .iter()
            .filter_map(|amps| amps.map(|amps| amps.0))
            .chain(element.dissipation.map(|watts| watts.0))
    });
    potentials.chain(elements).collect()
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-6 * (1.0 + a.abs().max(b.abs()))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn twice_the_sources_is_twice_the_potentials(
        elements in prop::collection::vec(linear_element(), 1..20)
    ) {
        let once = solve(&circuit_of(&elements));
        let doubled: Vec<Element> = elements.iter().map(|element| scaled(element, 2.0)).collect();
        let twice = solve(&circuit_of(&doubled));
        for (one, two) in once.potentials.iter().zip(&twice.potentials) {
            match (one.volts(), two.volts()) {
                (Some(one), Some(two)) => prop_assert!(close(2.0 * one.0, two.0)),
                (one, two) => prop_assert_eq!(one, two),
            }
        }
    }

    #[test]
    fn names_of_nodes_and_order_of_elements_do_not_matter(
        elements in prop::collection::vec(linear_element(), 1..20),
        by in Just((0..NODES).collect::<Vec<_>>()).prop_shuffle(),
    ) {
        let once = solve(&circuit_of(&elements));
        let mut swapped: Vec<Element> =
            elements.iter().map(|element| renumbered(element, &by)).collect();
        // Where sources disagree or share, the first written counts.
        if once.faults.is_empty() {
            swapped.reverse();
        }
        let mut circuit = circuit_of(&swapped);
        circuit.set_ground(NodeId(by[0]));
        let again = solve(&circuit);
        for (number, potential) in once.potentials.iter().enumerate() {
            match (potential.volts(), again.volts(NodeId(by[number]))) {
                (Some(one), Some(two)) => prop_assert!(close(one.0, two.0)),
                (one, two) => prop_assert_eq!(one, two),
            }
        }
    }

    #[test]
    fn currents_balance_at_every_known_node(
        elements in prop::collection::vec(
            prop_oneof![3 => linear_element(), 1 => nonlinear_element()], 1..20)
    ) {
        let solution = solve(&circuit_of(&elements));
        let mut sums = vec![(Some(0.0), 0.0); NODES as usize];
        for (element, result) in elements.iter().zip(&solution.elements) {
            for (node, amps) in element.terminals().iter().zip(&result.currents) {
                let (sum, size) = &mut sums[node.0 as usize];
                *sum = sum.zip(*amps).map(|(sum, amps)| sum + amps.0);
                *size += amps.map_or(0.0, |amps| amps.0.abs());
            }
        }
        for (number, (sum, size)) in sums.iter().enumerate().skip(1) {
            if let (Some(sum), Some(_)) = (sum, solution.volts(NodeId(number as u32))) {
                prop_assert!(sum.abs() <= 1e-5 * size + 1e-10, "node {}: {} of {}", number, sum, size);
            }
        }
    }

    #[test]
    fn no_number_that_is_not_one(
        elements in prop::collection::vec(
            prop_oneof![linear_element(), nonlinear_element(), nonsense_element()], 1..16)
    ) {
        let circuit = circuit_of(&elements);
        let solution = solve(&circuit);
        for number in numbers(&solution) {
            prop_assert!(number.is_finite());
        }
        for range in solve_range(&circuit).nodes {
            if let Some(interval) = range.interval() {
                prop_assert!(interval.low <= interval.nominal && interval.nominal <= interval.high);
                prop_assert!(interval.low.0.is_finite() && interval.high.0.is_finite());
            }
        }
    }

    #[test]
    fn memory_changes_nothing(
        elements in prop::collection::vec(
            prop_oneof![3 => linear_element(), 1 => nonlinear_element()], 1..20),
        at in any::<prop::sample::Index>(),
        value in ohms(),
    ) {
        let mut circuit = circuit_of(&elements);
        let mut solver = Solver::new();
        prop_assert_eq!(without_reuse(solver.solve(&circuit)), without_reuse(solve(&circuit)));
        let place = at.index(elements.len());
        let ends = elements[place].terminals();
        circuit.replace(place, Element::Resistor { a: ends[0], b: ends[1], ohms: value.into() });
        prop_assert_eq!(without_reuse(solver.solve(&circuit)), without_reuse(solve(&circuit)));
    }

    #[test]
    fn ranges_hold_what_they_say(
        values in prop::collection::vec((ohms(), 0.0..0.2_f64), 12),
        parts in prop::collection::vec(0.0..1.0_f64, 12),
    ) {
        // A ladder of twelve toleranced resistors: every choice of values
        // within tolerance stays within the interval.
        let ladder = |choose: &dyn Fn(usize) -> Spread<Ohms>| {
            let mut circuit = Circuit::new();
            let ground = circuit.ground();
            let mut last = circuit.node();
            circuit.source(Tag(99), last, ground, Volts(10.0));
            for step in 0..6 {
                let next = circuit.node();
                circuit.resistor(Tag(step), last, next, choose(2 * step as usize));
                circuit.resistor(Tag(step), next, ground, choose(2 * step as usize + 1));
                last = next;
            }
            circuit
        };
        let spread = |index: usize| Spread::within(values[index].0, Ratio(values[index].1));
        let ranges = solve_range(&ladder(&spread));
        let chosen = solve(&ladder(&|index| {
            let spread = spread(index);
            Ohms(spread.low.0 + parts[index] * (spread.high.0 - spread.low.0)).into()
        }));
        for (range, potential) in ranges.nodes.iter().zip(&chosen.potentials) {
            let (Some(interval), Some(volts)) = (range.interval(), potential.volts()) else {
                return Err(TestCaseError::fail("a ladder is known throughout"));
            };
            // Values that move a node by less than 0.1 µV are left out of its
            // worst case.
            let slack = 12.0 * 1e-7;
            prop_assert!(interval.low.0 - slack <= volts.0 && volts.0 <= interval.high.0 + slack);
        }
    }

    #[test]
    fn ranges_of_a_transistor_stage_hold_every_choice(
        parts in prop::collection::vec(0.0..=1.0_f64, 6),
    ) {
        let spreads = [
            Spread::within(10.0, Ratio(0.1)),
            Spread::within(10e3, Ratio(0.1)),
            Spread::within(2.2e3, Ratio(0.1)),
            Spread::within(3.6e3, Ratio(0.1)),
            Spread::within(1e3, Ratio(0.1)),
            Spread::between(80.0, 200.0, 600.0),
        ];
        let ranges = solve_range(&divider_bias(spreads));
        prop_assert_eq!(ranges.islands[0].method, RangeMethod::Vertices);
        prop_assert_eq!(ranges.islands[0].unsolved, 0);
        let mut index = 0;
        let chosen = solve(&divider_bias(spreads.map(|spread| {
            index += 1;
            Spread::exact(spread.low + parts[index - 1] * (spread.high - spread.low))
        })));
        for (range, potential) in ranges.nodes.iter().zip(&chosen.potentials) {
            let (Some(interval), Some(volts)) = (range.interval(), potential.volts()) else {
                return Err(TestCaseError::fail("the stage is known throughout"));
            };
            prop_assert!(interval.low.0 - 1e-6 <= volts.0 && volts.0 <= interval.high.0 + 1e-6);
        }
    }
}

/// Behind a wiper at the end of its travel nothing flows, whatever the rounding.
#[test]
fn nothing_flows_behind_a_wiper_at_its_end() {
    for scale in 1..200 {
        let mut circuit = Circuit::new();
        let ground = circuit.ground();
        let [fed, far, wiper, end] = std::array::from_fn(|_| circuit.node());
        circuit.resistor(Tag(1), fed, far, Ohms(1.0));
        let pot = |a, wiper, b, position| Element::Potentiometer {
            a,
            wiper,
            b,
            ohms: Ohms(1.0).into(),
            position: Ratio(position).into(),
        };
        circuit.add(Tag(2), pot(fed, end, end, 0.0));
        circuit.add(
            Tag(3),
            Element::CurrentSource {
                from: ground,
                to: wiper,
                amps: Amps(0.086_272_379_989_309_9 * f64::from(scale)).into(),
            },
        );
        circuit.resistor(Tag(4), ground, fed, Ohms(16_365.154_349_239_15));
        circuit.add(Tag(5), pot(fed, wiper, far, 0.007_524_567_744_092_088));
        let solution = solve(&circuit);
        let volts = [fed, end].map(|node| solution.volts(node).map(|volts| volts.0));
        let [Some(fed), Some(end)] = volts else {
            panic!("{scale}: {solution:?}");
        };
        assert!(close(fed, end), "{scale}: {fed} and {end}");
    }
}

/// Three stages between two rails are three islands; an edit of one solves that
/// one again and no other.
#[test]
fn an_edit_solves_its_own_island_only() {
    let mut circuit = Circuit::new();
    let ground = circuit.ground();
    let rail = circuit.node();
    circuit.source(Tag(0), rail, ground, Volts(24.0));
    let mut edited = 0;
    for stage in 0..3 {
        let base = circuit.node();
        let emitter = circuit.node();
        circuit.resistor(Tag(1), rail, base, Ohms(22e3 + f64::from(stage)));
        let b = ground;
        let ohms = Ohms(10e3).into();
        edited = circuit.add(Tag(2), Element::Resistor { a: base, b, ohms });
        circuit.resistor(Tag(3), emitter, ground, Ohms(1e3));
        circuit.add(
            Tag(4),
            Element::Bipolar {
                collector: rail,
                base,
                emitter,
                polarity: Polarity::Positive,
                model: BipolarModel::generic(),
            },
        );
    }
    let reused = |solution: &Solution| {
        let islands = solution.islands.iter();
        islands.map(|island| island.reused).collect::<Vec<_>>()
    };
    let mut solver = Solver::new();
    assert_eq!(reused(&solver.solve(&circuit)), [false; 3]);
    assert_eq!(reused(&solver.solve(&circuit)), [true; 3]);
    let ends = circuit.elements()[edited].1.terminals();
    let (a, b) = (ends[0], ends[1]);
    let ohms = Ohms(12e3).into();
    circuit.replace(edited, Element::Resistor { a, b, ohms });
    assert_eq!(reused(&solver.solve(&circuit)), [true, true, false]);
}

/// Supply, upper and lower divider, collector, emitter, gain.
fn divider_bias(values: [Spread<f64>; 6]) -> Circuit {
    fn as_unit<Unit: Quantity>(spread: Spread<f64>) -> Spread<Unit> {
        Spread::between(
            Unit::of(spread.low),
            Unit::of(spread.nominal),
            Unit::of(spread.high),
        )
    }
    let mut circuit = Circuit::new();
    let ground = circuit.ground();
    let [rail, base, collector, emitter] = std::array::from_fn(|_| circuit.node());
    circuit.source(Tag(1), rail, ground, as_unit::<Volts>(values[0]));
    for (tag, (a, b)) in [
        (rail, base),
        (base, ground),
        (rail, collector),
        (emitter, ground),
    ]
    .into_iter()
    .enumerate()
    {
        circuit.resistor(Tag(2), a, b, as_unit::<Ohms>(values[tag + 1]));
    }
    circuit.add(
        Tag(3),
        Element::Bipolar {
            collector,
            base,
            emitter,
            polarity: Polarity::Positive,
            model: BipolarModel::with_gain(as_unit::<Ratio>(values[5])),
        },
    );
    circuit
}

fn without_reuse(mut solution: Solution) -> Solution {
    for island in &mut solution.islands {
        island.reused = false;
    }
    solution
}
