//! TI NE555 data sheet, revision I (published): its formulas with 0.693, 1.44 and 1.1 on
//! round values.

use retin::physics::timing::{astable, monostable, supply_of_555};
use retin::physics::units::{Farads, Ohms, Volts};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "TI NE555 data sheet",
        mark: Mark::Published,
        checks: vec![
            Check::of(
                "high, 1 kΩ, 1 kΩ, 1 µF, µs",
                1386.0,
                Within::Percent(0.03),
                || {
                    Ok(
                        astable(Ohms::new(1e3)?, Ohms::new(1e3)?, Farads::new(1e-6)?)?
                            .high
                            .get()
                            * 1e6,
                    )
                },
            ),
            Check::of(
                "low, 1 kΩ, 1 kΩ, 1 µF, µs",
                693.0,
                Within::Percent(0.03),
                || {
                    Ok(
                        astable(Ohms::new(1e3)?, Ohms::new(1e3)?, Farads::new(1e-6)?)?
                            .low
                            .get()
                            * 1e6,
                    )
                },
            ),
            Check::of(
                "frequency, 1 kΩ, 1 kΩ, 1 µF, Hz",
                480.0,
                Within::Percent(0.3),
                || {
                    Ok(
                        astable(Ohms::new(1e3)?, Ohms::new(1e3)?, Farads::new(1e-6)?)?
                            .frequency
                            .get(),
                    )
                },
            ),
            Check::of(
                "pulse, 10 kΩ, 10 µF, s",
                0.11,
                Within::Percent(0.001),
                || Ok(monostable(Ohms::new(10e3)?, Farads::new(10e-6)?)?.get()),
            ),
            Check::of("lowest supply, V", 4.5, Within::Percent(0.001), || {
                Ok(supply_of_555(Volts::new(4.5)?)?.get())
            }),
            Check::of("highest supply, V", 16.0, Within::Percent(0.001), || {
                Ok(supply_of_555(Volts::new(16.0)?)?.get())
            }),
        ],
    }
}
