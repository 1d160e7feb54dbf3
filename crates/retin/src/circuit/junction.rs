//! Equations of junctions and transistors, with their slopes, and the
//! limiting of a junction's voltage from one Newton step to the next.

use super::lower::Breakdown;
use super::models::{JUNCTION_LEAK_SIEMENS, JUNCTION_TEMPERATURE};

/// Beyond this exponent a current is carried on along its tangent; it is
/// never met at an operating point and keeps trial steps finite.
const GREATEST_EXPONENT: f64 = 250.0;

/// Saturation current times `exp(volts / scale)`, with its slope.
fn exponential(saturation: f64, volts: f64, scale: f64) -> (f64, f64) {
    let exponent = volts / scale;
    if exponent > GREATEST_EXPONENT {
        let edge = saturation * GREATEST_EXPONENT.exp();
        (edge * (1.0 + exponent - GREATEST_EXPONENT), edge / scale)
    } else {
        let current = saturation * exponent.exp();
        (current, current / scale)
    }
}

/// Current and slope of a junction after Shockley, without leak.
fn shockley(saturation: f64, volts: f64, scale: f64) -> (f64, f64) {
    let (current, slope) = exponential(saturation, volts, scale);
    (current - saturation, slope)
}

/// Current from anode to cathode of a diode or zener, and its slope.
pub(super) fn diode(
    volts: f64,
    saturation: f64,
    scale: f64,
    breakdown: Option<Breakdown>,
) -> (f64, f64) {
    let (mut current, mut slope) = shockley(saturation, volts, scale);
    if let Some(branch) = breakdown {
        let thermal = JUNCTION_TEMPERATURE.thermal_voltage().0;
        let (reverse, reverse_slope) = exponential(branch.amps, -(volts + branch.volts), thermal);
        current -= reverse;
        slope += reverse_slope;
    }
    (
        current + JUNCTION_LEAK_SIEMENS * volts,
        slope + JUNCTION_LEAK_SIEMENS,
    )
}

/// Currents into two terminals and their slopes by two junction voltages.
#[derive(Debug, Clone, Copy)]
pub(super) struct TwoJunctions {
    /// Into collector or drain: current, and slopes by the first and second
    /// junction voltage.
    pub(super) output: [f64; 3],
    /// Into base or gate: the same.
    pub(super) control: [f64; 3],
}

/// Ebers–Moll transport equations by base–emitter and base–collector voltage.
pub(super) fn bipolar(
    base_emitter: f64,
    base_collector: f64,
    saturation: f64,
    forward_gain: f64,
    reverse_gain: f64,
) -> TwoJunctions {
    let thermal = JUNCTION_TEMPERATURE.thermal_voltage().0;
    let (forward, forward_slope) = shockley(saturation, base_emitter, thermal);
    let (reverse, reverse_slope) = shockley(saturation, base_collector, thermal);
    let leak = JUNCTION_LEAK_SIEMENS;
    TwoJunctions {
        output: [
            forward - reverse * (1.0 + 1.0 / reverse_gain) - leak * base_collector,
            forward_slope,
            -reverse_slope * (1.0 + 1.0 / reverse_gain) - leak,
        ],
        control: [
            forward / forward_gain
                + reverse / reverse_gain
                + leak * (base_emitter + base_collector),
            forward_slope / forward_gain + leak,
            reverse_slope / reverse_gain + leak,
        ],
    }
}

/// Channel current and its slopes by gate and drain voltage, for a drain at
/// or above the source.
fn channel(gate: f64, drain: f64, threshold: f64, beta: f64, modulation: f64) -> (f64, f64, f64) {
    let open = gate - threshold;
    if open <= 0.0 {
        return (0.0, 0.0, 0.0);
    }
    let lift = 1.0 + modulation * drain;
    if drain < open {
        let shape = drain * (2.0 * open - drain);
        (
            beta * lift * shape,
            2.0 * beta * lift * drain,
            beta * (modulation * shape + 2.0 * lift * (open - drain)),
        )
    } else {
        (
            beta * lift * open * open,
            2.0 * beta * lift * open,
            beta * modulation * open * open,
        )
    }
}

/// Parameters of a junction field-effect transistor.
#[derive(Debug, Clone, Copy)]
pub(super) struct JfetParameters {
    pub(super) threshold: f64,
    pub(super) beta: f64,
    pub(super) modulation: f64,
    pub(super) saturation: f64,
}

/// Shichman–Hodges equations by gate–source and gate–drain voltage.
pub(super) fn jfet(gate_source: f64, gate_drain: f64, model: JfetParameters) -> TwoJunctions {
    let thermal = JUNCTION_TEMPERATURE.thermal_voltage().0;
    let leak = JUNCTION_LEAK_SIEMENS;
    let (to_source, to_source_slope) = shockley(model.saturation, gate_source, thermal);
    let (to_drain, to_drain_slope) = shockley(model.saturation, gate_drain, thermal);
    let drain_source = gate_source - gate_drain;
    // Below zero the ends of the channel change places.
    let (drain, by_gate_source, by_gate_drain) = if drain_source >= 0.0 {
        let (current, by_gate, by_drain) = channel(
            gate_source,
            drain_source,
            model.threshold,
            model.beta,
            model.modulation,
        );
        (current, by_gate + by_drain, -by_drain)
    } else {
        let (current, by_gate, by_drain) = channel(
            gate_drain,
            -drain_source,
            model.threshold,
            model.beta,
            model.modulation,
        );
        (-current, by_drain, -(by_gate + by_drain))
    };
    TwoJunctions {
        output: [
            drain - to_drain - leak * gate_drain,
            by_gate_source,
            by_gate_drain - to_drain_slope - leak,
        ],
        control: [
            to_source + to_drain + leak * (gate_source + gate_drain),
            to_source_slope + leak,
            to_drain_slope + leak,
        ],
    }
}

/// The voltage above which a junction's step is limited: where its curve is
/// most bent.
pub(super) fn critical_volts(saturation: f64, scale: f64) -> f64 {
    scale * (scale / (std::f64::consts::SQRT_2 * saturation)).ln()
}

/// Keeps a trial junction voltage from overshooting: above the critical
/// voltage it moves by the logarithm of the step. Returns the voltage to
/// linearise at.
///
/// Source: L. W. Nagel, *SPICE2: A Computer Program to Simulate Semiconductor
/// Circuits*, ERL-M520, University of California, Berkeley, 1975 (junction
/// voltage limiting).
pub(super) fn limit_junction(trial: f64, old: f64, scale: f64, critical: f64) -> f64 {
    if trial <= critical || (trial - old).abs() <= 2.0 * scale {
        return trial;
    }
    if old > 0.0 {
        let argument = 1.0 + (trial - old) / scale;
        if argument > 0.0 {
            old + scale * argument.ln()
        } else {
            critical
        }
    } else {
        scale * (trial / scale).max(1.0).ln()
    }
}

/// The same for a junction that may also break down in reverse.
pub(super) fn limit_diode(
    trial: f64,
    old: f64,
    saturation: f64,
    scale: f64,
    breakdown: Option<Breakdown>,
) -> f64 {
    if let Some(branch) = breakdown {
        let thermal = JUNCTION_TEMPERATURE.thermal_voltage().0;
        // Seen from the breakdown side the zener is a junction whose
        // saturation current is its test current at the zener voltage.
        if trial < 0.0 {
            let mirrored = -(trial + branch.volts);
            let limited = limit_junction(
                mirrored,
                -(old + branch.volts),
                thermal,
                critical_volts(branch.amps, thermal).min(0.0),
            );
            return if limited == mirrored {
                trial
            } else {
                -(limited + branch.volts)
            };
        }
    }
    limit_junction(trial, old, scale, critical_volts(saturation, scale))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every slope against a difference quotient.
    #[test]
    fn slopes_are_those_of_the_currents() {
        let step = 1e-7;
        let close = |slope: f64, rise: f64| {
            assert!(
                (slope - rise / step).abs() <= 1e-5 * slope.abs() + 1e-9,
                "{slope} against {}",
                rise / step
            );
        };
        for volts in [-6.3_f64, -6.2, -0.3, 0.0, 0.4, 0.62] {
            let zener = Some(Breakdown {
                volts: 6.2,
                amps: 5e-3,
            });
            let (here, slope) = diode(volts, 1e-14, 0.02585, zener);
            let (there, _) = diode(volts + step, 1e-14, 0.02585, zener);
            close(slope, there - here);
        }
        let model = JfetParameters {
            threshold: -2.0,
            beta: 1e-3,
            modulation: 0.02,
            saturation: 1e-14,
        };
        for (first, second) in [
            (-1.0, -5.0),
            (-1.0, -1.3),
            (-1.0, -0.7),
            (-5.0, -1.0),
            (0.3, -4.0),
        ] {
            let both: [&dyn Fn(f64, f64) -> TwoJunctions; 2] =
                [&|a, b| jfet(a, b, model), &|a, b| {
                    bipolar(a + 1.6, b + 1.0, 1e-14, 150.0, 2.0)
                }];
            for device in both {
                let here = device(first, second);
                let by_first = device(first + step, second);
                let by_second = device(first, second + step);
                close(here.output[1], by_first.output[0] - here.output[0]);
                close(here.output[2], by_second.output[0] - here.output[0]);
                close(here.control[1], by_first.control[0] - here.control[0]);
                close(here.control[2], by_second.control[0] - here.control[0]);
            }
        }
    }
}
