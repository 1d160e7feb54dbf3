//! NPTEL (IIT), Linear Integrated Circuits, lecture 7 (published).

use retin::physics::opamp_offset::{InputErrors, output_offset};
use retin::physics::slew::full_power_frequency;
use retin::physics::units::{Amps, Ohms, Ratio, Volts, VoltsPerSecond};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "NPTEL lecture 7",
        mark: Mark::Published,
        checks: vec![
            Check::of("2 V/µs, 12 V, kHz", 26.5, Within::LastDigit(0.1), || {
                Ok(full_power_frequency(VoltsPerSecond::new(2e6)?, Volts::new(12.0)?)?.get() / 1e3)
            }),
            Check::of(
                "20 nA of offset current into 1 kΩ, gain 100 000, V",
                2.0,
                Within::Percent(0.001),
                || {
                    let kilohm = Ohms::new(1e3)?;
                    let errors = InputErrors {
                        bias: Amps::new(0.0)?,
                        offset_current: Amps::new(20e-9)?,
                        offset_voltage: Volts::new(0.0)?,
                    };
                    Ok(output_offset(Ratio::new(1e5)?, kilohm, kilohm, errors)?.get())
                },
            ),
        ],
    }
}
