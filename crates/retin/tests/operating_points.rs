//! Circuits written as model sheets: each kind of part comes to the right
//! potential, bad numbers never come to one, and nothing is solved unasked.
//!
//! The numbers are worked out beside each circuit, by the laws of Ohm and
//! Kirchhoff and the model of the part; printed ones are in the outside tests.

use retin::check::check;
use retin::finding::Severity;
use retin::meaning::{Case, NetId};
use retin::potentials::Known;
use retin::sources::{SourceFile, Sources};
use std::sync::Arc;

fn with_case<Answer>(text: &str, ask: impl FnOnce(&Case<'_>) -> Answer) -> Answer {
    let mut sources = Sources::new();
    let root = sources.add(Arc::new(SourceFile::new("unit.retin".into(), text.into())));
    let case = Case::build(&sources, root);
    ask(&case)
}

fn net(case: &Case<'_>, name: &str) -> NetId {
    let found = case.nets.iter().find(|(_, net)| net.name == name);
    found.map(|(id, _)| id).expect("the net is written")
}

/// What is known of a net, or why it is not.
fn known(text: &str, name: &str) -> Result<Known, String> {
    with_case(text, |case| {
        assert!(case.problems.is_empty(), "{:?}", case.problems);
        let known = case.potentials.known(case, net(case, name));
        known.map_err(|why| why.in_words(case))
    })
}

fn number(volts: retin_syntax::value::Decimal) -> f64 {
    volts.to_string().parse().expect("a number")
}

/// Least, nominal and most, in volts.
fn solved(text: &str, name: &str) -> [f64; 3] {
    let known = known(text, name).unwrap_or_else(|why| panic!("{name}: {why}"));
    [known.low, known.nominal, known.high].map(number)
}

fn close(found: f64, expected: f64, within: f64) {
    assert!(
        (found - expected).abs() <= within,
        "found {found}, expected {expected}"
    );
}

/// A board between 10 V, ground and these lines.
fn board(lines: &str) -> String {
    let mut text =
        String::from("model a \"Unit\"\n\nboard b \"Board\"\n  rail VCC 10V\n  rail GND 0V\n");
    for line in lines.trim_matches('\n').lines() {
        text.push_str("  ");
        text.push_str(line);
        text.push('\n');
    }
    text
}

/// 10 V over 200 ohm of winding and 800 ohm: 8 V. The other winding is open to
/// the first, so its far side follows ground.
#[test]
fn a_transformer_is_its_windings_and_open_between_them() {
    let text = board(
        "
transformer
  T1
    section first 200ohm (1 VCC, 2 LOW)
    section second 50ohm (1 GND, 2 FAR)
resistor 5%
  R1 800ohm (1 LOW, 2 GND)
  R2 1kohm (1 FAR, 2 END)
  R3 1kohm (1 END, 2 FAR)
",
    );
    close(solved(&text, "LOW")[1], 8.0, 1e-6);
    close(solved(&text, "FAR")[1], 0.0, 1e-6);
    let unwritten = text.replace(" 200ohm", "");
    let why = known(&unwritten, "LOW").expect_err("the winding is not known");
    assert_eq!(
        why,
        "it hangs on b.T1.first, and the resistance of its winding is not written"
    );
}

/// 10 V over 1 kohm of copper and 4 kohm: 8 V; without resistance, 10 V.
#[test]
fn an_inductor_is_the_resistance_of_its_winding() {
    let text = board(
        "
inductor
  L1 1H 1kohm (1 VCC, 2 OUT)
resistor 5%
  R1 4kohm (1 OUT, 2 GND)
",
    );
    close(solved(&text, "OUT")[1], 8.0, 1e-6);
    let shorted = text.replace(" 1kohm ", " 0ohm ");
    close(solved(&shorted, "OUT")[1], 10.0, 1e-9);
}

/// Half way 5 V, and all of it over the travel.
#[test]
fn a_pot_is_followed_over_its_travel() {
    let text = board(
        "
pot
  VR1 10kohm linear (1 VCC, 2 WIPER, 3 GND)
resistor 5%
  R1 1Mohm (1 WIPER, 2 GND)
",
    );
    let [low, nominal, high] = solved(&text, "WIPER");
    close(low, 0.0, 1e-6);
    close(nominal, 5.0, 0.02);
    close(high, 10.0, 1e-6);
}

/// With the usual part (2 V, 1 mA/V²) the current I in mA that 1 kohm at the
/// source lets through is (2 - I)² = I, so I = 1 mA.
#[test]
fn a_junction_fet_biases_itself() {
    let text = board(
        "
n-jfet
  Q1 (D DRAIN, G GATE, S SOURCE)
resistor 5%
  R1 1kohm (1 SOURCE, 2 GND)
  R2 2kohm (1 VCC, 2 DRAIN)
  R3 1Mohm (1 GATE, 2 GND)
",
    );
    let [low, nominal, high] = solved(&text, "SOURCE");
    close(nominal, 1.0, 1e-4);
    close(solved(&text, "DRAIN")[1], 8.0, 2e-4);
    // Any sound part of any type lies within: it is wide, and above ground.
    assert!(0.0 < low && low < 0.3 && 2.0 < high, "{low} to {high}");
}

const AMPLIFIER: &str = "model a \"Unit\"\n
board b \"Board\"
  rail +15 15V
  rail -15 -15V
  rail GND 0V
  rail IN 2V
  resistor 5%
    R1 10kohm (1 GND, 2 FEEDBACK)
    R2 20kohm (1 FEEDBACK, 2 OUT)
    R3 1kohm (1 OUT, 2 GND)
  opamp
    U1 TL071 (2 FEEDBACK, 3 IN, 4 -15, 6 OUT, 7 +15)
";

/// A gain of three; and at 8 V the rail would be the limit, which is not believed.
#[test]
fn an_amplifier_is_ideal_between_its_rails() {
    let [low, nominal, high] = solved(AMPLIFIER, "OUT");
    close(nominal, 6.0, 1e-4);
    // 1 + 2·0.95/1.05 and 1 + 2·1.05/0.95 times 2 V.
    close(low, 5.619, 1e-3);
    close(high, 6.4211, 1e-3);
    let over = AMPLIFIER.replace("rail IN 2V", "rail IN 8V");
    let why = known(&over, "OUT").expect_err("at its limit");
    assert_eq!(why, "it hangs on b.U1, which would stand at its limit");
}

const REGULATORS: &str = "model a \"Unit\"\n
board b \"Board\"
  rail RAW 24V ±10%
  rail -RAW -24V ±10%
  rail GND 0V
  regulator
    U1 LM7815 (in RAW, common GND, out PLUS)
    U3 LM317 (in RAW, adjust ADJ, out SET)
  negative-regulator
    U2 -15V (in -RAW, common GND, out MINUS)
  resistor 1%
    R1 1kohm (1 PLUS, 2 GND)
    R2 1kohm (1 MINUS, 2 GND)
    R3 240ohm (1 SET, 2 ADJ)
    R4 720ohm (1 ADJ, 2 GND)
";

/// The fixed ones hold their voltage; the adjustable one follows the formula of
/// its sheet, 1.25 V·(1 + 720/240) + 46 µA·720 ohm = 5.033 V.
#[test]
fn regulators_with_three_leads_hold_their_output() {
    let [low, nominal, high] = solved(REGULATORS, "PLUS");
    close(nominal, 15.0, 1e-6);
    assert!(14.0 < low && high < 16.0, "{low} to {high}");
    close(solved(REGULATORS, "MINUS")[1], -15.0, 1e-6);
    let [low, nominal, high] = solved(REGULATORS, "SET");
    close(nominal, 5.033, 1e-3);
    assert!(low < 4.84 && 5.22 < high, "{low} to {high}");
    let sagged = REGULATORS.replace("rail RAW 24V ±10%", "rail RAW 16V ±10%");
    let why = known(&sagged, "PLUS").expect_err("it drops out");
    assert_eq!(why, "it hangs on b.U1, which would stand at its limit");
}

/// Each bad line, the net that hangs on it, and the rule that tells of it.
const BAD: [(&str, &str); 12] = [
    ("resistor\n  X1 -10kohm (1 VCC, 2 N)", "impossible-value"),
    ("resistor\n  X1 1e300ohm (1 VCC, 2 N)", "unclear-value"),
    (
        "resistor\n  X1 1000000000000000Gohm (1 VCC, 2 N)",
        "impossible-value",
    ),
    ("resistor\n  X1 NaN (1 VCC, 2 N)", "unknown-name"),
    (
        "resistor\n  X1 0.0000000001ohm (1 VCC, 2 N)",
        "impossible-value",
    ),
    ("resistor 300%\n  X1 1kohm (1 VCC, 2 N)", "impossible-value"),
    ("inductor\n  X1 1mH -5ohm (1 VCC, 2 N)", "impossible-value"),
    ("zener\n  X1 0V (A N, K VCC)", "impossible-value"),
    ("zener\n  X1 -5V (A N, K VCC)", "impossible-value"),
    ("pot\n  X1 0ohm (1 VCC, 2 N, 3 GND)", "impossible-value"),
    (
        "regulator\n  X1 0V (in VCC, common GND, out N)",
        "impossible-value",
    ),
    (
        "rail FAR 9999999999V\nresistor\n  X1 1kohm (1 FAR, 2 N)",
        "impossible-value",
    ),
];

#[test]
fn a_bad_number_is_found_and_makes_no_potential() {
    for (lines, rule) in BAD {
        let text = board(&format!("{lines}\nresistor 5%\n  R9 1kohm (1 N, 2 GND)"));
        with_case(&text, |case| {
            let report = check(case);
            assert!(
                report.findings.iter().any(|finding| finding.rule == rule),
                "{lines}\n{:?}",
                report.findings
            );
            let known = case.potentials.of(case, net(case, "N"));
            assert!(known.is_none(), "{lines}\n{known:?}");
        });
    }
}

/// A link of no resistance is one, and a gain of nothing is not computed with.
#[test]
fn zero_ohms_is_a_link_and_no_gain_is_found() {
    let text = board("resistor\n  R1 0ohm (1 VCC, 2 N)\n  R2 1kohm (1 N, 2 GND)");
    close(solved(&text, "N")[1], 10.0, 1e-9);
    let text = board("npn\n  Q1 gain 0 (E GND, B N, C N)\nresistor\n  R1 1kohm (1 VCC, 2 N)");
    with_case(&text, |case| {
        let findings = check(case).findings;
        assert!(
            findings
                .iter()
                .any(|finding| finding.rule == "impossible-value"),
            "{findings:?}"
        );
    });
}

/// Two junctions straight across a supply have no operating point that is real.
const SHORTED: &str = "model a \"Unit\"\n
board b \"Board\"
  rail VCC 10V
  rail GND 0V
  diode
    D1 1N4148 (A VCC, K N)
    D2 1N4148 (A N, K GND)
  electrolytic
    C1 10uF (+ N, - GND)

shelf main \"Drawers\"
  electrolytic
    E-10-10 10uF 10V

job 1 \"Unit serial 5\"
  model a

plan
  replace b.C1 with E-10-10
";

#[test]
fn what_cannot_be_solved_is_not_checked_and_says_so() {
    with_case(SHORTED, |case| {
        let report = check(case);
        let is_error = |finding: &&retin::finding::Finding| finding.severity == Severity::Error;
        assert_eq!(report.findings.iter().filter(is_error).count(), 0);
        let facts: Vec<&str> = report
            .tallies
            .iter()
            .flat_map(|tally| &tally.missing)
            .map(|missing| missing.fact.as_str())
            .collect();
        for wanted in [
            "what the circuit puts there: as written, the circuit with b.D1, b.D2 has no single answer",
            "whether the sign can turn: as written, the circuit with b.D1, b.D2 has no single answer",
        ] {
            assert!(facts.contains(&wanted), "{facts:#?}");
        }
    });
}

/// Two stages that hang on one rail: what is between them moves less than each
/// does, since the rail stands at the same end for both.
#[test]
fn two_stages_on_one_rail_are_followed_together() {
    let text = "model a \"Unit\"\n
board b \"Board\"
  rail VCC 10V ±10%
  rail GND 0V
  resistor
    R1 1kohm 0% (1 VCC, 2 ONE)
    R2 1kohm 0% (1 ONE, 2 GND)
    R3 1kohm 0% (1 VCC, 2 TWO)
    R4 3kohm 0% (1 TWO, 2 GND)
";
    with_case(text, |case| {
        let [one, two] = ["ONE", "TWO"].map(|name| net(case, name));
        let between = case.potentials.between(case, two, one).expect("both known");
        // A quarter of the rail: 2.25 to 2.75 V. Apart it would be 1.25 to 3.75 V.
        close(number(between.low), 2.25, 1e-6);
        close(number(between.nominal), 2.5, 1e-6);
        close(number(between.high), 2.75, 1e-6);
    });
}

/// The answers do not depend on what was asked before.
#[test]
fn the_order_of_questions_does_not_matter() {
    let names = ["SOURCE", "DRAIN", "GATE"];
    let text = board(
        "
n-jfet
  Q1 (D DRAIN, G GATE, S SOURCE)
resistor 5%
  R1 1kohm (1 SOURCE, 2 GND)
  R2 2kohm (1 VCC, 2 DRAIN)
  R3 1Mohm (1 GATE, 2 GND)
  R4 10kohm (1 DRAIN, 2 SOURCE)
  R5 10kohm (1 VCC, 2 SOURCE)
",
    );
    let ask = |order: &[&str]| {
        with_case(&text, |case| {
            for name in order {
                case.potentials.of(case, net(case, name));
            }
            names.map(|name| case.potentials.of(case, net(case, name)))
        })
    };
    assert_eq!(ask(&["SOURCE", "DRAIN"]), ask(&["GATE", "DRAIN", "SOURCE"]));
}

/// Rails answer without a solve, and one question solves one piece.
#[test]
fn only_what_is_asked_for_is_solved() {
    let text = "model a \"Unit\"\n
board b \"Board\"
  rail VCC 10V
  rail GND 0V
  electrolytic
    C1 10uF 25V (+ VCC, - GND)
  resistor 5%
    R1 1kohm (1 VCC, 2 ONE)
    R2 1kohm (1 ONE, 2 GND)
    R3 1kohm (1 VCC, 2 TWO)
    R4 1kohm (1 TWO, 2 GND)
";
    with_case(text, |case| {
        check(case);
        assert_eq!(case.potentials.pieces_solved(), 0);
        case.potentials.of(case, net(case, "VCC"));
        assert_eq!(case.potentials.pieces_solved(), 0);
        case.potentials.of(case, net(case, "TWO"));
        case.potentials.of(case, net(case, "TWO"));
        assert_eq!(case.potentials.pieces_solved(), 1);
    });
}
