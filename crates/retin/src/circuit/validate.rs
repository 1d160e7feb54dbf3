//! Which values an element may have. A value outside these limits becomes a
//! fault and its element counts as unmodelled; it is never computed with.

use super::element::{Element, Tag};
use super::models::{BipolarModel, DiodeModel};
use super::result::{Fault, Parameter, ValueProblem};
use super::units::{Quantity, Spread};

/// Least and greatest resistance the solver vouches for, in ohms.
const OHMS: (f64, f64) = (1e-6, 1e15);
/// Greatest magnitude of a voltage, in volts.
const VOLTS: f64 = 1e6;
/// Greatest magnitude of a current, in amperes.
const AMPS: f64 = 1e6;
/// Limits of a saturation current, in amperes.
const SATURATION: (f64, f64) = (1e-30, 1.0);
/// Limits of an emission coefficient.
const EMISSION: (f64, f64) = (0.1, 100.0);
/// Limits of a transistor's gain.
const TRANSISTOR_GAIN: (f64, f64) = (1e-3, 1e7);
/// Limits of an amplifier's open-loop gain.
const AMPLIFIER_GAIN: (f64, f64) = (1.0, 1e9);

struct Check<'a> {
    tag: Tag,
    faults: &'a mut Vec<Fault>,
}

impl Check<'_> {
    fn report(&mut self, parameter: Parameter, problem: ValueProblem) {
        self.faults.push(Fault::BadValue {
            tag: self.tag,
            parameter,
            problem,
        });
    }

    /// A number that must lie within limits; `positive` says that zero and
    /// less have no meaning at all.
    fn number(&mut self, value: f64, limits: (f64, f64), positive: bool, parameter: Parameter) {
        if !value.is_finite() {
            self.report(parameter, ValueProblem::NotFinite);
        } else if positive && value == 0.0 {
            self.report(parameter, ValueProblem::Zero);
        } else if value < 0.0 && limits.0 >= 0.0 {
            self.report(parameter, ValueProblem::Negative);
        } else if value < limits.0 || value > limits.1 {
            self.report(parameter, ValueProblem::OutOfRange);
        }
    }

    fn spread<Unit: Quantity>(
        &mut self,
        spread: &Spread<Unit>,
        limits: (f64, f64),
        positive: bool,
        parameter: Parameter,
    ) {
        let before = self.faults.len();
        self.number(spread.nominal.number(), limits, positive, parameter);
        if self.faults.len() == before && spread.is_toleranced() {
            self.number(spread.low.number(), limits, positive, parameter);
            if self.faults.len() == before {
                self.number(spread.high.number(), limits, positive, parameter);
            }
        }
        let (low, nominal, high) = (
            spread.low.number(),
            spread.nominal.number(),
            spread.high.number(),
        );
        if self.faults.len() == before && !(low <= nominal && nominal <= high) {
            self.report(parameter, ValueProblem::SpreadOutOfOrder);
        }
    }

    fn diode(&mut self, model: &DiodeModel) {
        self.number(model.saturation.0, SATURATION, true, Parameter::Model);
        self.number(model.emission.0, EMISSION, true, Parameter::Model);
        if model.series.0 != 0.0 {
            self.number(model.series.0, OHMS, true, Parameter::Model);
        }
    }

    fn bipolar(&mut self, model: &BipolarModel) {
        self.number(model.saturation.0, SATURATION, true, Parameter::Model);
        self.spread(&model.forward_gain, TRANSISTOR_GAIN, true, Parameter::Gain);
        self.number(
            model.reverse_gain.0,
            TRANSISTOR_GAIN,
            true,
            Parameter::Model,
        );
    }
}

/// Adds a fault for every value of the element that cannot be used.
pub(super) fn check(tag: Tag, element: &Element, faults: &mut Vec<Fault>) {
    let mut check = Check { tag, faults };
    match element {
        Element::Resistor { ohms, .. } => check.spread(ohms, OHMS, true, Parameter::Resistance),
        Element::Winding { ohms, .. } => {
            if let Some(ohms) = ohms {
                check.spread(ohms, OHMS, true, Parameter::Resistance);
            }
        }
        Element::Source { volts, .. } => {
            check.spread(volts, (-VOLTS, VOLTS), false, Parameter::Voltage);
        }
        Element::CurrentSource { amps, .. } => {
            check.spread(amps, (-AMPS, AMPS), false, Parameter::Current);
        }
        Element::Diode { model, .. } | Element::Led { model, .. } => check.diode(model),
        Element::Zener { volts, model, .. } => {
            check.spread(volts, (1e-3, VOLTS), true, Parameter::Voltage);
            check.number(model.test_current.0, (1e-12, AMPS), true, Parameter::Model);
            check.diode(&model.forward);
        }
        Element::Bipolar { model, .. } => check.bipolar(model),
        Element::Jfet { model, .. } => {
            check.spread(&model.threshold, (-1e3, 1e3), false, Parameter::Model);
            check.spread(&model.beta, (1e-12, 1e3), true, Parameter::Model);
            check.number(model.modulation.0, (0.0, 1e2), false, Parameter::Model);
            check.number(model.saturation.0, SATURATION, true, Parameter::Model);
        }
        Element::OpAmp { model, .. } => {
            check.number(model.gain.0, AMPLIFIER_GAIN, true, Parameter::Gain);
            for headroom in [model.upper_headroom, model.lower_headroom] {
                check.number(headroom.0, (0.0, VOLTS), false, Parameter::Model);
            }
            check.number(model.supply_current.0, (0.0, AMPS), false, Parameter::Model);
        }
        Element::Regulator { model, .. } => {
            check.spread(&model.volts, (1e-3, VOLTS), true, Parameter::Voltage);
            check.number(model.dropout.0, (0.0, VOLTS), false, Parameter::Model);
            check.number(model.common_current.0, (0.0, AMPS), false, Parameter::Model);
        }
        Element::Potentiometer { ohms, position, .. } => {
            check.spread(ohms, OHMS, true, Parameter::Resistance);
            check.spread(position, (0.0, 1.0), false, Parameter::Position);
        }
        Element::Conductor { .. }
        | Element::Open { .. }
        | Element::Capacitor { .. }
        | Element::Unmodelled { .. } => {}
    }
}
