//! Floyd, *Electronic Devices*, 555 example (reported); the book uses 1.44.

use retin::physics::timing::astable;
use retin::physics::units::{Farads, Ohms};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "Floyd, Electronic Devices, as reported",
        mark: Mark::Reported,
        checks: vec![
            Check::of(
                "2.2 kΩ, 4.7 kΩ, 0.022 µF, Hz",
                5642.6,
                Within::Percent(0.3),
                || {
                    Ok(
                        astable(Ohms::new(2.2e3)?, Ohms::new(4.7e3)?, Farads::new(0.022e-6)?)?
                            .frequency
                            .get(),
                    )
                },
            ),
            Check::of("duty, per cent", 59.48, Within::LastDigit(0.01), || {
                Ok(
                    astable(Ohms::new(2.2e3)?, Ohms::new(4.7e3)?, Farads::new(0.022e-6)?)?
                        .duty
                        .get(),
                )
            }),
        ],
    }
}
