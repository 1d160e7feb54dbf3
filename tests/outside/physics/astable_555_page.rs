//! A second worked 555 (reported): two times 10 kΩ and 10 nF with ln 2.

use retin::physics::timing::astable;
use retin::physics::units::{Farads, Ohms};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "Worked 555 on a public page",
        mark: Mark::Reported,
        checks: vec![
            Check::of("high, µs", 138.629, Within::LastDigit(0.001), || {
                Ok(
                    astable(Ohms::new(10e3)?, Ohms::new(10e3)?, Farads::new(10e-9)?)?
                        .high
                        .get()
                        * 1e6,
                )
            }),
            Check::of("low, µs", 69.315, Within::LastDigit(0.001), || {
                Ok(
                    astable(Ohms::new(10e3)?, Ohms::new(10e3)?, Farads::new(10e-9)?)?
                        .low
                        .get()
                        * 1e6,
                )
            }),
            Check::of(
                "frequency, kHz",
                4.80898,
                Within::LastDigit(0.00001),
                || {
                    Ok(
                        astable(Ohms::new(10e3)?, Ohms::new(10e3)?, Farads::new(10e-9)?)?
                            .frequency
                            .get()
                            / 1e3,
                    )
                },
            ),
            Check::of("duty, per cent", 66.667, Within::LastDigit(0.001), || {
                Ok(
                    astable(Ohms::new(10e3)?, Ohms::new(10e3)?, Farads::new(10e-9)?)?
                        .duty
                        .get(),
                )
            }),
        ],
    }
}
