//! Where published cautions about touchable voltages start.
//!
//! No entry says that a voltage below it does no harm: wet skin, stored energy
//! and burns are not covered, and the entries disagree with each other.

use super::units::{OutOfValidity, Quantity, Volts};

/// Kind of voltage a caution speaks of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum VoltageKind {
    /// Direct voltage.
    Direct,
    /// Alternating voltage, effective value.
    AlternatingEffective,
    /// Alternating voltage, peak value.
    AlternatingPeak,
}

/// One published caution.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VoltageCaution {
    /// Kind of voltage.
    pub kind: VoltageKind,
    /// Volts at which the caution starts.
    pub volts: f64,
    /// Whether the figure itself is already covered, or only what lies above it.
    pub from_figure_on: bool,
    /// What the source says, in short.
    pub caution: &'static str,
    /// The source, and whether it was read or only reported.
    pub source: &'static str,
}

/// Every caution known, by kind and rising.
pub const VOLTAGE_CAUTIONS: [VoltageCaution; 8] = [
    VoltageCaution {
        kind: VoltageKind::Direct,
        volts: 50.0,
        from_figure_on: true,
        caution: "live parts are to be guarded against touch",
        source: "OSHA 29 CFR 1910.303(g)(2)(i), published",
    },
    VoltageCaution {
        kind: VoltageKind::Direct,
        volts: 60.0,
        from_figure_on: false,
        caution: "shock hazard is taken to exist",
        source: "Keithley source-measure manual, reported",
    },
    VoltageCaution {
        kind: VoltageKind::Direct,
        volts: 1500.0,
        from_figure_on: false,
        caution: "counts as high voltage",
        source: "HSE INDG354, published text",
    },
    VoltageCaution {
        kind: VoltageKind::AlternatingEffective,
        volts: 30.0,
        from_figure_on: false,
        caution: "shock hazard is taken to exist",
        source: "Keithley source-measure manual, reported",
    },
    VoltageCaution {
        kind: VoltageKind::AlternatingEffective,
        volts: 50.0,
        from_figure_on: true,
        caution: "live parts are to be guarded against touch",
        source: "OSHA 29 CFR 1910.303(g)(2)(i), published",
    },
    VoltageCaution {
        kind: VoltageKind::AlternatingEffective,
        volts: 1000.0,
        from_figure_on: false,
        caution: "counts as high voltage",
        source: "HSE INDG354, published text",
    },
    VoltageCaution {
        kind: VoltageKind::AlternatingPeak,
        volts: 42.4,
        from_figure_on: false,
        caution: "shock hazard is taken to exist",
        source: "Keithley source-measure manual, reported",
    },
    VoltageCaution {
        kind: VoltageKind::AlternatingPeak,
        volts: 70.7,
        from_figure_on: false,
        caution: "pulses were of the third energy class in the 2014 edition; the table was removed in 2018",
        source: "UL Solutions questions and answers on IEC 62368-1, published",
    },
];

/// The cautions that a voltage has reached, in the order of the table.
///
/// An empty list means that no listed caution starts here; it does not mean that
/// the voltage is harmless.
///
/// # Errors
/// None beyond the range of [`Volts`]; the sign is ignored.
pub fn cautions_reached(
    kind: VoltageKind,
    voltage: Volts,
) -> Result<Vec<VoltageCaution>, OutOfValidity> {
    let magnitude = Volts::checked("voltage", voltage.get().abs())?.get();
    Ok(VOLTAGE_CAUTIONS
        .iter()
        .filter(|entry| entry.kind == kind)
        .filter(|entry| {
            magnitude > entry.volts || (entry.from_figure_on && magnitude >= entry.volts)
        })
        .copied()
        .collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_entry_calls_a_voltage_safe() {
        for entry in VOLTAGE_CAUTIONS {
            assert!(!entry.caution.contains("safe") && !entry.source.contains("safe"));
        }
    }
}
