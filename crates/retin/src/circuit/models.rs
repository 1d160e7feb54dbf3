//! What a semiconductor or amplifier does at direct current.
//!
//! The equations are the textbook ones that general circuit simulators use
//! at their simplest level. The parameter values behind the `generic`
//! constructors are **Retin's own model**: round numbers of the right order
//! for a small-signal silicon part, taken from no datasheet. A potential
//! computed with them is good to a few tens of millivolts per junction, which
//! is what a polarity or rating check needs; it is no prediction of one
//! particular part.

use super::units::{Amps, AmpsPerSquareVolt, Celsius, Ohms, PerVolt, Ratio, Spread, Volts};

/// Temperature of every junction. 27 °C is the customary nominal temperature
/// of circuit simulators.
pub const JUNCTION_TEMPERATURE: Celsius = Celsius(27.0);

/// Leak across every junction, 1 pA per volt: it ties nodes that only
/// reverse-biased junctions touch, as general circuit simulators do.
pub(super) const JUNCTION_LEAK_SIEMENS: f64 = 1e-12;

/// A junction after Shockley: `i = IS·(exp(v/(N·Vt)) − 1)`, with a series
/// resistance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DiodeModel {
    /// IS, saturation current.
    pub saturation: Amps,
    /// N, emission coefficient.
    pub emission: Ratio,
    /// RS, series resistance; zero for none.
    pub series: Ohms,
}

impl DiodeModel {
    /// Small silicon diode (our model): 10 fA, N = 1, no series resistance,
    /// about 0.7 V at 10 mA.
    pub fn generic_silicon() -> Self {
        Self {
            saturation: Amps(1e-14),
            emission: Ratio(1.0),
            series: Ohms(0.0),
        }
    }

    /// Germanium point-contact diode (our model): 1 µA, N = 1, 10 Ω.
    pub fn generic_germanium() -> Self {
        Self {
            saturation: Amps(1e-6),
            emission: Ratio(1.0),
            series: Ohms(10.0),
        }
    }

    /// Red light-emitting diode (our model): N = 2 and 1.8 V at 10 mA.
    pub fn generic_red_led() -> Self {
        Self::through(Volts(1.8), Amps(0.01), Ratio(2.0))
    }

    /// The junction without series resistance that passes through one known
    /// point of the forward curve, such as a datasheet's forward voltage.
    pub fn through(forward: Volts, at: Amps, emission: Ratio) -> Self {
        let scale = emission.0 * JUNCTION_TEMPERATURE.thermal_voltage().0;
        Self {
            saturation: Amps(at.0 / (forward.0 / scale).exp_m1()),
            emission,
            series: Ohms(0.0),
        }
    }
}

/// A zener: a forward junction plus a breakdown branch
/// `i = −IZ·exp(−(v + VZ)/Vt)`, which passes IZ at VZ.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ZenerModel {
    /// The forward junction.
    pub forward: DiodeModel,
    /// IZ, the current at which the zener voltage is stated.
    pub test_current: Amps,
}

impl ZenerModel {
    /// Silicon zener whose voltage is stated at the given current.
    pub fn stated_at(test_current: Amps) -> Self {
        Self {
            forward: DiodeModel::generic_silicon(),
            test_current,
        }
    }

    /// Small zener stated at 5 mA (our model).
    pub fn generic() -> Self {
        Self::stated_at(Amps(5e-3))
    }
}

/// Which way current flows through a transistor or from a regulator.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Polarity {
    /// NPN, N-channel, or a regulator for positive voltage.
    Positive,
    /// PNP, P-channel, or a regulator for negative voltage.
    Negative,
}

impl Polarity {
    pub(super) fn sign(self) -> f64 {
        match self {
            Self::Positive => 1.0,
            Self::Negative => -1.0,
        }
    }
}

/// Bipolar transistor, Ebers–Moll in transport form (the level simulators
/// call Gummel–Poon without its corrections):
/// `iF = IS·(exp(vBE/Vt) − 1)`, `iR = IS·(exp(vBC/Vt) − 1)`,
/// `iC = iF − iR − iR/BR`, `iB = iF/BF + iR/BR`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BipolarModel {
    /// IS, transport saturation current.
    pub saturation: Amps,
    /// BF, forward current gain, with its spread.
    pub forward_gain: Spread<Ratio>,
    /// BR, reverse current gain.
    pub reverse_gain: Ratio,
}

impl BipolarModel {
    /// Small silicon transistor (our model): IS 10 fA, BF 200, BR 1. No
    /// spread of gain is assumed.
    pub fn generic() -> Self {
        Self {
            saturation: Amps(1e-14),
            forward_gain: Spread::exact(Ratio(200.0)),
            reverse_gain: Ratio(1.0),
        }
    }

    /// The same transistor with another gain.
    pub fn with_gain(gain: impl Into<Spread<Ratio>>) -> Self {
        Self {
            forward_gain: gain.into(),
            ..Self::generic()
        }
    }
}

/// Junction field-effect transistor after Shichman and Hodges (IEEE J.
/// Solid-State Circuits SC-3, 1968), with a junction of saturation current IS
/// from gate to either end of the channel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JfetModel {
    /// VTO, gate voltage at which the channel closes; negative for an
    /// N-channel depletion part, and given the same way for a P-channel one.
    pub threshold: Spread<Volts>,
    /// BETA; the drain current at zero gate voltage is BETA·VTO².
    pub beta: Spread<AmpsPerSquareVolt>,
    /// LAMBDA, channel-length modulation.
    pub modulation: PerVolt,
    /// IS of the gate junctions.
    pub saturation: Amps,
}

impl JfetModel {
    /// Small-signal part (our model): closes at −2 V, 4 mA at zero gate
    /// voltage. No spread is assumed.
    pub fn generic() -> Self {
        Self {
            threshold: Spread::exact(Volts(-2.0)),
            beta: Spread::exact(AmpsPerSquareVolt(1e-3)),
            modulation: PerVolt(0.0),
            saturation: Amps(1e-14),
        }
    }
}

/// Operational amplifier: `out = mid + A·(plus − minus)`, held between the
/// rails less their headroom. `mid` is the middle of the rails where both are
/// written down, else ground. Inputs draw nothing; the output current comes
/// from the rail it is nearer to in sign (sourced from the upper, sunk into
/// the lower).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OpAmpModel {
    /// A, open-loop gain at direct current.
    pub gain: Ratio,
    /// How far below the upper rail the output stops.
    pub upper_headroom: Volts,
    /// How far above the lower rail the output stops.
    pub lower_headroom: Volts,
    /// Current from the upper to the lower rail with no load; flows only
    /// where both rails are written down.
    pub supply_current: Amps,
}

impl OpAmpModel {
    /// Ideal but for its rails: gain a million, no headroom, no supply
    /// current (our model).
    pub fn ideal() -> Self {
        Self {
            gain: Ratio(1e6),
            upper_headroom: Volts(0.0),
            lower_headroom: Volts(0.0),
            supply_current: Amps(0.0),
        }
    }
}

/// Series regulator. The output is `volts` from the common pin while the
/// input is at least `dropout` further out; closer than that the output
/// follows the input less the dropout. It cannot take current back. An
/// adjustable regulator is the same thing with its adjustment pin as the
/// common pin, its reference as `volts` and its adjustment-pin current as
/// `common_current`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RegulatorModel {
    /// From output to common pin; a magnitude, positive for both polarities.
    pub volts: Spread<Volts>,
    /// Least difference between input and output; a magnitude.
    pub dropout: Volts,
    /// Current from input to common pin (quiescent or adjustment current);
    /// a magnitude.
    pub common_current: Amps,
}
