//! Power supplies: ripple, inrush, discharge, regulators, touchable voltages.

use super::{
    Alternating, Computation, Inputs, Output, Refusal, alternating, cautions, choice, defaulted,
    field, led, number, required, word, words,
};
use crate::physics::regulator;
use crate::physics::ripple::{self, Rectifier};
use crate::physics::units::Dimension;
use crate::physics::voltage_limits::{self, VoltageKind};
use crate::physics::{discharge, resistor};

const RECTIFIERS: &[&str] = &["full", "half"];
const KINDS: &[&str] = &["dc", "ac-rms", "ac-peak"];

pub(super) const COMPUTATIONS: &[Computation] = &[
    Computation {
        name: "ripple",
        summary: "Ripple on a reservoir capacitor, peak to peak",
        inputs: &[
            required("load-current", Dimension::Current),
            required("capacitance", Dimension::Capacitance),
            defaulted("mains-frequency", Dimension::Frequency, 50.0),
            choice("rectifier", RECTIFIERS, "full"),
        ],
        outputs: &[field("ripple", Dimension::Voltage)],
        formula: "ΔV = I/(f·C), f = mains (half wave) or twice mains (full wave)",
        source: "Malvino and Bates, Electronic Principles, reported",
        validity: "overstates ripple that is a large part of the voltage",
        example: &[
            ("load-current", number(0.1)),
            ("capacitance", number(1000e-6)),
        ],
        cautions: &[cautions::MAINS],
        compute: |inputs| {
            let ripple = ripple::ripple(
                inputs.quantity("load-current")?,
                inputs.quantity("capacitance")?,
                inputs.quantity("mains-frequency")?,
                rectifier(inputs)?,
            )?;
            Ok(vec![Output::number("ripple", ripple)])
        },
    },
    Computation {
        name: "reservoir",
        summary: "Reservoir capacitor for a wished ripple",
        inputs: &[
            required("load-current", Dimension::Current),
            required("ripple", Dimension::Voltage),
            defaulted("mains-frequency", Dimension::Frequency, 50.0),
            choice("rectifier", RECTIFIERS, "full"),
        ],
        outputs: &[field("capacitance", Dimension::Capacitance)],
        formula: "C = I/(f·ΔV)",
        source: "Malvino and Bates, Electronic Principles, reported",
        validity: "ripple small against the voltage",
        example: &[("load-current", number(0.5)), ("ripple", number(1.0))],
        cautions: &[cautions::MAINS],
        compute: |inputs| {
            let capacitance = ripple::capacitance_for_ripple(
                inputs.quantity("load-current")?,
                inputs.quantity("ripple")?,
                inputs.quantity("mains-frequency")?,
                rectifier(inputs)?,
            )?;
            Ok(vec![Output::number("capacitance", capacitance)])
        },
    },
    Computation {
        name: "inrush",
        summary: "Worst surge into an empty reservoir at switch-on",
        inputs: &[
            alternating(
                Alternating::Effective,
                required("rms-voltage", Dimension::Voltage),
            ),
            required("source-resistance", Dimension::Resistance),
        ],
        outputs: &[
            field("peak-voltage", Dimension::Voltage),
            field("inrush-current", Dimension::Current),
        ],
        formula: "I = √2·V/R",
        source: "Ohm's law",
        validity: "mains at its peak, reservoir empty, only the stated resistance in the way",
        example: &[
            ("rms-voltage", number(24.0)),
            ("source-resistance", number(0.5)),
        ],
        cautions: &[cautions::MAINS, cautions::STORED_CHARGE],
        compute: |inputs| {
            let peak = ripple::peak_of_sine(inputs.quantity("rms-voltage")?)?;
            let inrush = ripple::worst_inrush(peak, inputs.quantity("source-resistance")?)?;
            Ok(vec![
                Output::number("peak-voltage", peak),
                Output::number("inrush-current", inrush),
            ])
        },
    },
    Computation {
        name: "discharge",
        summary: "Time for a capacitor to fall to a voltage through a resistor",
        inputs: &[
            required("capacitance", Dimension::Capacitance),
            led("from", required("from", Dimension::Voltage)),
            led("through", required("resistance", Dimension::Resistance)),
            led("to", defaulted("to", Dimension::Voltage, 5.0)),
        ],
        outputs: &[
            field("time", Dimension::Time),
            field("time-constant", Dimension::Time),
            field("energy", Dimension::Energy),
            field("charge", Dimension::Charge),
            field("first-dissipation", Dimension::Power),
        ],
        formula: "t = RC·ln(V0/V); E = ½CV0²; Q = CV0; P = V0²/R",
        source: "Grob, Basic Electronics, reported",
        validity: "the end voltage is above zero; measure again, capacitors regain voltage",
        example: &[
            ("capacitance", number(220e-6)),
            ("from", number(350.0)),
            ("resistance", number(100e3)),
            ("to", number(50.0)),
        ],
        cautions: &[cautions::STORED_CHARGE],
        compute: |inputs| {
            let resistance = inputs.quantity("resistance")?;
            let capacitance = inputs.quantity("capacitance")?;
            let from = inputs.quantity("from")?;
            let time =
                discharge::time_to_fall(resistance, capacitance, from, inputs.quantity("to")?)?;
            Ok(vec![
                Output::number("time", time),
                Output::number(
                    "time-constant",
                    discharge::time_constant(resistance, capacitance)?,
                ),
                Output::number("energy", discharge::energy(capacitance, from)?),
                Output::number("charge", discharge::charge(capacitance, from)?),
                Output::number(
                    "first-dissipation",
                    resistor::dissipation_from_voltage(from, resistance)?,
                ),
            ])
        },
    },
    Computation {
        name: "bleeder",
        summary: "Greatest bleeder that empties a capacitor within a time",
        inputs: &[
            required("capacitance", Dimension::Capacitance),
            led("from", required("from", Dimension::Voltage)),
            led("to", defaulted("to", Dimension::Voltage, 5.0)),
            led("within", required("time", Dimension::Time)),
        ],
        outputs: &[
            field("bleeder", Dimension::Resistance),
            field("first-dissipation", Dimension::Power),
        ],
        formula: "R = t/(C·ln(V0/V)); P = V0²/R",
        source: "inverse of the discharge law; Grob, Basic Electronics, reported",
        validity: "the end voltage is below the start and above zero",
        example: &[
            ("capacitance", number(220e-6)),
            ("from", number(350.0)),
            ("time", number(60.0)),
        ],
        cautions: &[cautions::STORED_CHARGE],
        compute: |inputs| {
            let from = inputs.quantity("from")?;
            let bleeder = discharge::bleeder_for(
                inputs.quantity("capacitance")?,
                from,
                inputs.quantity("to")?,
                inputs.quantity("time")?,
            )?;
            Ok(vec![
                Output::number("bleeder", bleeder),
                Output::number(
                    "first-dissipation",
                    resistor::dissipation_from_voltage(from, bleeder)?,
                ),
            ])
        },
    },
    Computation {
        name: "regulator",
        summary: "Output of an LM317-like regulator from its two resistors",
        inputs: &[
            led("r1", required("r1", Dimension::Resistance)),
            led("r2", required("r2", Dimension::Resistance)),
            defaulted("adjust-current", Dimension::Current, 46e-6),
        ],
        outputs: &[field("output", Dimension::Voltage)],
        formula: "V = 1.25·(1 + R2/R1) + IADJ·R2",
        source: "Fairchild KA317 data sheet, 2013, published",
        validity: "R1 10 Ω to 10 kΩ, output up to 40 V; reference 1.20 to 1.30 V from part to part",
        example: &[("r1", number(240.0)), ("r2", number(720.0))],
        cautions: &[],
        compute: |inputs| {
            let output = regulator::adjustable_output(
                inputs.quantity("r1")?,
                inputs.quantity("r2")?,
                inputs.quantity("adjust-current")?,
            )?;
            Ok(vec![Output::number("output", output)])
        },
    },
    Computation {
        name: "headroom",
        summary: "What a regulator has left at its lowest input, and its heat",
        inputs: &[
            led("input", required("input", Dimension::Voltage)),
            led("output", required("output", Dimension::Voltage)),
            defaulted("dropout", Dimension::Voltage, 2.0),
            defaulted("load-current", Dimension::Current, 0.0),
        ],
        outputs: &[
            field("headroom", Dimension::Voltage),
            field("dissipation", Dimension::Power),
        ],
        formula: "Vin − Vout − dropout; P = (Vin − Vout)·I",
        source: "Fairchild LM78XX and Contek 79xx sheets (2 V typical at 1 A), published",
        validity: "magnitudes for negative regulators; input not below output",
        example: &[
            ("input", number(20.0)),
            ("output", number(15.0)),
            ("load-current", number(0.5)),
        ],
        cautions: &[],
        compute: |inputs| {
            let input = inputs.quantity("input")?;
            let output = inputs.quantity("output")?;
            let headroom = regulator::headroom(input, output, inputs.quantity("dropout")?)?;
            let load = inputs.quantity("load-current")?;
            Ok(vec![
                Output::number("headroom", headroom),
                Output::number("dissipation", regulator::dissipation(input, output, load)?),
            ])
        },
    },
    Computation {
        name: "touch",
        summary: "Published cautions that a touchable voltage has reached",
        inputs: &[
            alternating(
                Alternating::Chooses {
                    input: "kind",
                    word: "ac-rms",
                },
                required("voltage", Dimension::Voltage),
            ),
            choice("kind", KINDS, "dc"),
        ],
        outputs: &[words("caution")],
        formula: "table of published figures",
        source: "OSHA 29 CFR 1910.303, HSE INDG354, UL Solutions (published); Keithley (reported)",
        validity: "says where cautions start, never that a voltage is harmless",
        example: &[("voltage", number(75.0)), ("kind", word("ac-rms"))],
        cautions: &[cautions::MAINS],
        compute: |inputs| {
            let kind = match inputs.chosen("kind")? {
                "ac-rms" => VoltageKind::AlternatingEffective,
                "ac-peak" => VoltageKind::AlternatingPeak,
                _ => VoltageKind::Direct,
            };
            let reached = voltage_limits::cautions_reached(kind, inputs.quantity("voltage")?)?;
            if reached.is_empty() {
                return Ok(vec![Output::text(
                    "caution",
                    "no listed caution starts here; that does not make the voltage harmless",
                )]);
            }
            Ok(reached
                .into_iter()
                .map(|entry| {
                    Output::text(
                        "caution",
                        format!("{} V: {} ({})", entry.volts, entry.caution, entry.source),
                    )
                })
                .collect())
        },
    },
];

fn rectifier(inputs: &Inputs) -> Result<Rectifier, Refusal> {
    Ok(match inputs.chosen("rectifier")? {
        "half" => Rectifier::HalfWave,
        _ => Rectifier::FullWave,
    })
}
