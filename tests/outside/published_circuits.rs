//! Printed operating points, reached through the language: the circuits are
//! written as model sheets, and the potentials are asked of the case.
//!
//! Sources: Tony R. Kuphaldt, *Lessons In Electric Circuits*, and A. P. Malvino
//! and D. J. Bates, *Electronic Principles*, as worked in its FOSSEE companion;
//! see `lessons_in_electric_circuits.rs` and `textbook_bias.rs` for the same
//! circuits given to the solver itself.

use retin::meaning::Case;
use retin::operating_point::{Expected, readings, rows};
use retin::potentials::Basis;
use retin::sources::{SourceFile, Sources};
use std::fmt::Write as _;
use std::sync::Arc;

fn with_case<Answer>(text: &str, ask: impl FnOnce(&Case<'_>) -> Answer) -> Answer {
    let mut sources = Sources::new();
    let root = sources.add(Arc::new(SourceFile::new("model.retin".into(), text.into())));
    let case = Case::build(&sources, root);
    assert!(case.problems.is_empty(), "{:?}", case.problems);
    ask(&case)
}

/// The solved potential of a net in volts; nominal.
fn solved(text: &str, net: &str) -> f64 {
    with_case(text, |case| {
        let rows = rows(case);
        let row = rows.iter().find(|row| row.net == net).expect("the net");
        let (reach, basis) = row
            .potential
            .clone()
            .unwrap_or_else(|why| panic!("{net}: {}", why.in_words(case)));
        assert_eq!(basis, Basis::Solved, "{net}");
        assert!(reach.low <= reach.nominal && reach.nominal <= reach.high);
        reach.nominal.to_string().parse().expect("a number")
    })
}

fn close(found: f64, printed: f64, within: f64) {
    assert!(
        (found - printed).abs() <= within,
        "found {found}, printed {printed}"
    );
}

const TWO_BATTERIES: &str = r#"
model book "Two batteries and three resistors"

board net "Network"
  rail LEFT 24V
  rail RIGHT 15V
  rail GND 0V
  resistor
    R1 10kohm (1 LEFT, 2 MIDDLE)
    R2 8.1kohm (1 MIDDLE, 2 RIGHT)
    R3 4.7kohm (1 MIDDLE, 2 GND)
"#;

#[test]
fn two_batteries_and_three_resistors() {
    close(solved(TWO_BATTERIES, "MIDDLE"), 9.7470, 5e-5);
}

const TWO_NODES: &str = r#"
model book "Two nodes between two batteries"

board net "Network"
  rail LEFT 10V
  rail RIGHT -4V
  rail GND 0V
  resistor
    R1 2ohm (1 LEFT, 2 ONE)
    R2 4ohm (1 ONE, 2 GND)
    R3 2.5ohm (1 ONE, 2 TWO)
    R4 5ohm (1 TWO, 2 GND)
    R5 1ohm (1 TWO, 2 RIGHT)
"#;

#[test]
fn two_nodes_between_two_batteries() {
    close(solved(TWO_NODES, "ONE"), 3.809_524, 2e-6);
    close(solved(TWO_NODES, "TWO"), -1.547_619, 2e-6);
}

/// The rails of the amplifier are ours: the book draws none.
const NON_INVERTING: &str = r#"
model book "Non-inverting amplifier"

board net "Network"
  rail IN 5V
  rail V+ 20V
  rail V- -20V
  rail GND 0V
  resistor
    R1 20kohm (1 OUT, 2 INVERTING)
    R2 10kohm (1 INVERTING, 2 GND)
  opamp
    U1 TL071 (2 INVERTING, 3 IN, 4 V-, 6 OUT, 7 V+)
"#;

#[test]
fn non_inverting_amplifier_by_pin_numbers() {
    close(solved(NON_INVERTING, "OUT"), 15.0, 1e-4);
    close(solved(NON_INVERTING, "INVERTING"), 5.0, 5e-5);
}

const DIVIDER_BIAS: &str = r#"
model book "Example 8-1, one transistor"

board stage "Stage"
  rail VCC 10V
  rail GND 0V
  resistor
    R1 10kohm (1 VCC, 2 BASE)
    R2 2.2kohm (1 BASE, 2 GND)
    R3 3.6kohm (1 VCC, 2 COLLECTOR)
    R4 1kohm (1 EMITTER, 2 GND)
  Q1 npn (E EMITTER, B BASE, C COLLECTOR)

job 1 "Stage"
  model book

targets
  stage.COLLECTOR to stage.EMITTER expect solved
  stage.Q1.B expect solved
  stage.VCC 10V ±2%
"#;

/// The book prints 4.92 V for 0.7 V at the junction and no base current; with a
/// real junction and a gain of 200 a run of ngspice 39.3 gives the others.
#[test]
fn malvino_example_8_1() {
    close(solved(DIVIDER_BIAS, "BASE"), 1.793, 1e-3);
    close(solved(DIVIDER_BIAS, "EMITTER"), 1.135, 1e-3);
    close(solved(DIVIDER_BIAS, "COLLECTOR"), 5.935, 1e-3);
    with_case(DIVIDER_BIAS, |case| {
        let readings = readings(case);
        let Expected::Solved(across) = &readings[0].expected else {
            panic!("{:?}", readings[0]);
        };
        let nominal: f64 = across.nominal.to_string().parse().expect("a number");
        close(nominal, 4.92, 0.03 * 4.92);
        let number = |text: String| text.parse::<f64>().expect("a number");
        let (low, high) = (
            number(across.low.to_string()),
            number(across.high.to_string()),
        );
        assert!(low < 4.92 && 4.92 < high, "{low} to {high}");
        assert!(matches!(&readings[1].expected, Expected::Solved(_)));
        assert!(matches!(&readings[2].expected, Expected::Stated(text) if text == "10V ±2%"));
    });
}

/// What is missing is said in words, and no number is given.
#[test]
fn a_value_that_nobody_knows_leaves_its_nets_unknown() {
    let text = DIVIDER_BIAS.replace("2.2kohm", "?");
    with_case(&text, |case| {
        let mut told = String::new();
        for row in rows(case) {
            match row.potential {
                Ok((reach, _)) => {
                    let _ = writeln!(told, "{}: {}", row.net, reach.nominal);
                }
                Err(why) => {
                    let _ = writeln!(told, "{}: {}", row.net, why.in_words(case));
                }
            }
        }
        assert_eq!(
            told,
            "VCC: 10\nGND: 0\nBASE: it hangs on stage.R2, whose value is not known\nCOLLECTOR: it hangs on stage.R2, whose value is not known\nEMITTER: it hangs on stage.R2, whose value is not known\n"
        );
    });
}

/// A generated job of this many parts has nothing wrong, and no rule asks for a
/// potential that would have to be solved.
#[test]
fn a_sound_job_stays_sound() {
    let text = format!(
        "{}\n{}",
        retin_tests::generate::shelf(),
        retin_tests::generate::single_file(200, 1).replacen("use \"shelf.retin\"\n", "", 1)
    );
    with_case(&text, |case| {
        let found = retin::check::check(case).findings;
        assert!(found.is_empty(), "{found:?}");
        assert_eq!(case.potentials.pieces_solved(), 0, "nobody asks");
    });
}
