//! Worked discharge examples on public pages (reported): theprimecalculator.com,
//! assignmentexpert.com and an answer on quantarchive.com.

use retin::physics::discharge::{charge, time_constant, time_to_fall, voltage_after};
use retin::physics::units::{Farads, Ohms, Seconds, Volts};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "Discharge examples on public pages",
        mark: Mark::Reported,
        checks: vec![
            Check::of(
                "100 µF, 10 kΩ, 12 V to 1 V, s",
                2.485,
                Within::LastDigit(0.001),
                || {
                    Ok(time_to_fall(
                        Ohms::new(10e3)?,
                        Farads::new(100e-6)?,
                        Volts::new(12.0)?,
                        Volts::new(1.0)?,
                    )?
                    .get())
                },
            ),
            Check::of(
                "1.5 mF, 100 Ω, 24 V to 20 V, s",
                0.027,
                Within::LastDigit(0.001),
                || {
                    Ok(time_to_fall(
                        Ohms::new(100.0)?,
                        Farads::new(1.5e-3)?,
                        Volts::new(24.0)?,
                        Volts::new(20.0)?,
                    )?
                    .get())
                },
            ),
            Check::of("5 µF, 0.8 MΩ, s", 4.0, Within::Percent(0.001), || {
                Ok(time_constant(Ohms::new(0.8e6)?, Farads::new(5e-6)?)?.get())
            }),
            Check::of("5 µF, 12 V, µC", 60.0, Within::Percent(0.001), || {
                Ok(charge(Farads::new(5e-6)?, Volts::new(12.0)?)?.get() * 1e6)
            }),
            Check::of(
                "12 V after one time constant, V",
                4.41,
                Within::LastDigit(0.01),
                || {
                    Ok(voltage_after(
                        Ohms::new(0.8e6)?,
                        Farads::new(5e-6)?,
                        Volts::new(12.0)?,
                        Seconds::new(4.0)?,
                    )?
                    .get())
                },
            ),
        ],
    }
}
