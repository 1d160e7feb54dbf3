//! Regulators against the figures of their makers' sheets.
//!
//! Sources: Fairchild, *LM78XX / LM78XXA 3-Terminal 1 A Positive Voltage
//! Regulator*; Fairchild, *KA317 / LM317 3-Terminal Positive Adjustable
//! Regulator*, 2013, with its formula Vo = 1.25·(1 + R2/R1) + IADJ·R2.

use retin::circuit::{
    Amps, Circuit, Element, NodeId, Ohms, Polarity, Regime, RegulatorModel, Spread, Tag, Volts,
    solve, solve_range,
};

fn adjustable(adjustment_current: f64) -> (Circuit, NodeId) {
    let mut circuit = Circuit::new();
    let ground = circuit.ground();
    let [input, adjust, output] = [circuit.node(), circuit.node(), circuit.node()];
    circuit.source(Tag(1), input, ground, Volts(12.0));
    circuit.add(
        Tag(2),
        Element::Regulator {
            input,
            common: adjust,
            output,
            polarity: Polarity::Positive,
            model: RegulatorModel {
                volts: Spread::between(Volts(1.2), Volts(1.25), Volts(1.3)),
                dropout: Volts(3.0),
                common_current: Amps(adjustment_current),
            },
        },
    );
    circuit.resistor(Tag(3), output, adjust, Ohms(240.0));
    circuit.resistor(Tag(4), adjust, ground, Ohms(720.0));
    (circuit, output)
}

#[test]
fn adjustable_regulator_follows_the_formula_of_its_sheet() {
    for (current, printed) in [(0.0, 5.000), (50e-6, 5.036)] {
        let (circuit, output) = adjustable(current);
        let found = solve(&circuit).volts(output).expect("known").0;
        assert!((found - printed).abs() < 1e-6, "{found} for {printed}");
    }
}

#[test]
fn spread_of_the_reference_reaches_the_output() {
    let (circuit, output) = adjustable(50e-6);
    let ranges = solve_range(&circuit);
    let interval = ranges.nodes[output.0 as usize].interval().expect("known");
    assert!(
        (interval.low.0 - (4.8 + 0.036)).abs() < 1e-6,
        "{interval:?}"
    );
    assert!(
        (interval.high.0 - (5.2 + 0.036)).abs() < 1e-6,
        "{interval:?}"
    );
}

/// A 7815 with its sheet's spread, dropout and quiescent current on a raw
/// supply that is high enough, and on one that is not.
#[test]
fn fixed_regulator_holds_and_drops_out() {
    for (raw, printed, regime) in [(23.0, 15.0, Regime::InRange), (16.0, 14.0, Regime::Dropout)] {
        let mut circuit = Circuit::new();
        let ground = circuit.ground();
        let [input, output] = [circuit.node(), circuit.node()];
        circuit.source(Tag(1), input, ground, Volts(raw));
        circuit.add(
            Tag(2),
            Element::Regulator {
                input,
                common: ground,
                output,
                polarity: Polarity::Positive,
                model: RegulatorModel {
                    volts: Spread::between(Volts(14.4), Volts(15.0), Volts(15.6)),
                    dropout: Volts(2.0),
                    common_current: Amps(5.2e-3),
                },
            },
        );
        circuit.resistor(Tag(3), output, ground, Ohms(1e3));
        let solution = solve(&circuit);
        let found = solution.volts(output).expect("known").0;
        assert!((found - printed).abs() < 1e-9, "{found} for {printed}");
        assert_eq!(solution.elements[1].regime, Some(regime));
        let drawn = solution.elements[1].currents[0].expect("known").0;
        assert!((drawn - (printed / 1e3 + 5.2e-3)).abs() < 1e-9, "{drawn}");
        let watts = solution.elements[1].dissipation.expect("known").0;
        let expected = (raw - printed) * printed / 1e3 + raw * 5.2e-3;
        assert!((watts - expected).abs() < 1e-9, "{watts} for {expected}");
    }
}
