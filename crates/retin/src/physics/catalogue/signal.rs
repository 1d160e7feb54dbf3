//! Signal circuits: corners, timers, levels, slew, offset.

use super::{Alternating, Computation, Output, alternating, field, led, number, required};
use crate::physics::opamp_offset::{self, InputErrors};
use crate::physics::units::Dimension;
use crate::physics::{corner, decibel, discharge, slew, timing};

pub(super) const COMPUTATIONS: &[Computation] = &[
    Computation {
        name: "corner",
        summary: "Corner frequency of a resistor with a capacitor",
        inputs: &[
            required("resistance", Dimension::Resistance),
            required("capacitance", Dimension::Capacitance),
        ],
        outputs: &[
            field("corner", Dimension::Frequency),
            field("time-constant", Dimension::Time),
        ],
        formula: "f = 1/(2πRC); τ = RC",
        source: "Grob, Basic Electronics, reported",
        validity: "nothing else loads the pair",
        example: &[("resistance", number(10e3)), ("capacitance", number(10e-9))],
        cautions: &[],
        compute: |inputs| {
            let resistance = inputs.quantity("resistance")?;
            let capacitance = inputs.quantity("capacitance")?;
            let constant = discharge::time_constant(resistance, capacitance)?;
            Ok(vec![
                Output::number("corner", corner::corner(resistance, capacitance)?),
                Output::number("time-constant", constant),
            ])
        },
    },
    Computation {
        name: "corner-shift",
        summary: "How far a corner and a time move when a part is changed",
        inputs: &[
            led("old", required("old-resistance", Dimension::Resistance)),
            led("old", required("old-capacitance", Dimension::Capacitance)),
            led("new", required("new-resistance", Dimension::Resistance)),
            led("new", required("new-capacitance", Dimension::Capacitance)),
        ],
        outputs: &[
            field("corner-shift", Dimension::Percent),
            field("time-shift", Dimension::Percent),
        ],
        formula: "(RC)old/(RC)new − 1; (RC)new/(RC)old − 1",
        source: "from f = 1/(2πRC); Grob, Basic Electronics, reported",
        validity: "nothing else loads the pair",
        example: &[
            ("old-resistance", number(10e3)),
            ("old-capacitance", number(10e-9)),
            ("new-resistance", number(10e3)),
            ("new-capacitance", number(12e-9)),
        ],
        cautions: &[],
        compute: |inputs| {
            let old = (
                inputs.quantity("old-resistance")?,
                inputs.quantity("old-capacitance")?,
            );
            let new = (
                inputs.quantity("new-resistance")?,
                inputs.quantity("new-capacitance")?,
            );
            Ok(vec![
                Output::number("corner-shift", corner::corner_shift(old, new)?),
                Output::number("time-shift", timing::timing_shift(old, new)?),
            ])
        },
    },
    Computation {
        name: "reactance",
        summary: "Reactance of a capacitor at a frequency",
        inputs: &[
            required("capacitance", Dimension::Capacitance),
            required("frequency", Dimension::Frequency),
        ],
        outputs: &[field("reactance", Dimension::Resistance)],
        formula: "X = 1/(2πfC)",
        source: "Grob, Basic Electronics, reported",
        validity: "below the self-resonance of the part",
        example: &[
            ("capacitance", number(0.1e-6)),
            ("frequency", number(1400.0)),
        ],
        cautions: &[],
        compute: |inputs| {
            let reactance = corner::reactance(
                inputs.quantity("capacitance")?,
                inputs.quantity("frequency")?,
            )?;
            Ok(vec![Output::number("reactance", reactance)])
        },
    },
    Computation {
        name: "astable",
        summary: "Frequency and duty of a free-running 555",
        inputs: &[
            led("ra", required("ra", Dimension::Resistance)),
            led("rb", required("rb", Dimension::Resistance)),
            required("capacitance", Dimension::Capacitance),
        ],
        outputs: &[
            field("frequency", Dimension::Frequency),
            field("duty", Dimension::Percent),
            field("high", Dimension::Time),
            field("low", Dimension::Time),
        ],
        formula: "tH = ln2·(RA + RB)·C; tL = ln2·RB·C; f = 1/(tH + tL)",
        source: "TI NE555 data sheet, published",
        validity: "RA and RB 1 Ω to 1 GΩ; supply 4.5 to 16 V",
        example: &[
            ("ra", number(2.2e3)),
            ("rb", number(4.7e3)),
            ("capacitance", number(22e-9)),
        ],
        cautions: &[],
        compute: |inputs| {
            let astable = timing::astable(
                inputs.quantity("ra")?,
                inputs.quantity("rb")?,
                inputs.quantity("capacitance")?,
            )?;
            Ok(vec![
                Output::number("frequency", astable.frequency),
                Output::number("duty", astable.duty),
                Output::number("high", astable.high),
                Output::number("low", astable.low),
            ])
        },
    },
    Computation {
        name: "monostable",
        summary: "Pulse of a triggered 555",
        inputs: &[
            required("ra", Dimension::Resistance),
            required("capacitance", Dimension::Capacitance),
        ],
        outputs: &[field("pulse", Dimension::Time)],
        formula: "t = 1.1·RA·C",
        source: "TI NE555 data sheet, published",
        validity: "RA 1 Ω to 1 GΩ; supply 4.5 to 16 V",
        example: &[("ra", number(10e3)), ("capacitance", number(10e-6))],
        cautions: &[],
        compute: |inputs| {
            let pulse =
                timing::monostable(inputs.quantity("ra")?, inputs.quantity("capacitance")?)?;
            Ok(vec![Output::number("pulse", pulse)])
        },
    },
    Computation {
        name: "gain",
        summary: "Gain in decibels from two voltages",
        inputs: &[
            led(
                "out",
                alternating(
                    Alternating::Effective,
                    required("output", Dimension::Voltage),
                ),
            ),
            led(
                "in",
                alternating(
                    Alternating::Effective,
                    required("input", Dimension::Voltage),
                ),
            ),
        ],
        outputs: &[
            field("gain", Dimension::Level),
            field("output-dbu", Dimension::Level),
        ],
        formula: "20·log10(Vout/Vin); dBu against 0.775 V",
        source: "definition",
        validity: "both voltages above zero, of one kind (rms or peak), dBu for rms",
        example: &[("output", number(1.0)), ("input", number(0.01))],
        cautions: &[],
        compute: |inputs| {
            let output = inputs.quantity("output")?;
            let gain = decibel::voltage_gain(output, inputs.quantity("input")?)?;
            Ok(vec![
                Output::number("gain", gain),
                Output::number("output-dbu", decibel::dbu(output)?),
            ])
        },
    },
    Computation {
        name: "level",
        summary: "Voltage and power ratio of a level, and its voltage in dBu",
        inputs: &[required("level", Dimension::Level)],
        outputs: &[
            field("voltage-ratio", Dimension::Ratio),
            field("power-ratio", Dimension::Ratio),
            field("voltage-at-dbu", Dimension::Voltage),
        ],
        formula: "10^(dB/20); 10^(dB/10); 0.775 V·10^(dB/20)",
        source: "definition",
        validity: "within 120 dB either way",
        example: &[("level", number(4.0))],
        cautions: &[],
        compute: |inputs| {
            let level = inputs.quantity("level")?;
            Ok(vec![
                Output::number("voltage-ratio", decibel::voltage_ratio(level)?),
                Output::number("power-ratio", decibel::power_ratio(level)?),
                Output::number("voltage-at-dbu", decibel::volts_of_dbu(level)?),
            ])
        },
    },
    Computation {
        name: "slew",
        summary: "Highest sine of a peak that an amplifier can follow",
        inputs: &[
            required("slew-rate", Dimension::SlewRate),
            required("peak", Dimension::Voltage),
        ],
        outputs: &[field("full-power-frequency", Dimension::Frequency)],
        formula: "f = SR/(2π·Vp)",
        source: "definition of full-power bandwidth; Malvino and Bates, reported",
        validity: "peak 1 mV to 1 kV",
        example: &[("slew-rate", number(13e6)), ("peak", number(10.0))],
        cautions: &[],
        compute: |inputs| {
            let frequency = slew::full_power_frequency(
                inputs.quantity("slew-rate")?,
                inputs.quantity("peak")?,
            )?;
            Ok(vec![Output::number("full-power-frequency", frequency)])
        },
    },
    Computation {
        name: "offset",
        summary: "Worst direct voltage at an op-amp's output with no signal",
        inputs: &[
            required("gain", Dimension::Ratio),
            led("plus", required("at-plus", Dimension::Resistance)),
            led("minus", required("at-minus", Dimension::Resistance)),
            led("bias", required("bias-current", Dimension::Current)),
            led("difference", required("offset-current", Dimension::Current)),
            required("offset-voltage", Dimension::Voltage),
        ],
        outputs: &[field("output-offset", Dimension::Voltage)],
        formula: "A·(|RB1 − RB2|·Ibias + (RB1 + RB2)·Ioff/2 + Voff)",
        source: "Malvino and Bates, Electronic Principles, reported",
        validity: "errors added without sign: the worst case",
        example: &[
            ("gain", number(50.0)),
            ("at-plus", number(1e-3)),
            ("at-minus", number(1470.6)),
            ("bias-current", number(80e-9)),
            ("offset-current", number(20e-9)),
            ("offset-voltage", number(2e-3)),
        ],
        cautions: &[],
        compute: |inputs| {
            let errors = InputErrors {
                bias: inputs.quantity("bias-current")?,
                offset_current: inputs.quantity("offset-current")?,
                offset_voltage: inputs.quantity("offset-voltage")?,
            };
            let offset = opamp_offset::output_offset(
                inputs.quantity("gain")?,
                inputs.quantity("at-plus")?,
                inputs.quantity("at-minus")?,
                errors,
            )?;
            Ok(vec![Output::number("output-offset", offset)])
        },
    },
];
