//! Slew-rate examples of textbooks, as reported.

use retin::physics::slew::{full_power_frequency, slew_of_step};
use retin::physics::units::{Seconds, Volts, VoltsPerSecond};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "Slew-rate examples of textbooks, as reported",
        mark: Mark::Reported,
        checks: vec![
            Check::of(
                "0.25 V in 0.1 µs, V/µs",
                2.5,
                Within::Percent(0.001),
                || Ok(slew_of_step(Volts::new(0.25)?, Seconds::new(0.1e-6)?)?.get() / 1e6),
            ),
            Check::of("15 V/µs, 10 V, kHz", 239.0, Within::LastDigit(1.0), || {
                Ok(
                    full_power_frequency(VoltsPerSecond::new(15e6)?, Volts::new(10.0)?)?.get()
                        / 1e3,
                )
            }),
            Check::of(
                "0.5 V/µs, 8 V, kHz (rounded up)",
                10.0,
                Within::Percent(0.6),
                || {
                    Ok(
                        full_power_frequency(VoltsPerSecond::new(0.5e6)?, Volts::new(8.0)?)?.get()
                            / 1e3,
                    )
                },
            ),
            Check::of(
                "5 V/µs, 8 V, kHz (rounded up)",
                100.0,
                Within::Percent(0.6),
                || {
                    Ok(
                        full_power_frequency(VoltsPerSecond::new(5e6)?, Volts::new(8.0)?)?.get()
                            / 1e3,
                    )
                },
            ),
            Check::of(
                "50 V/µs, 8 V, kHz (rounded up)",
                1000.0,
                Within::Percent(0.6),
                || {
                    Ok(
                        full_power_frequency(VoltsPerSecond::new(50e6)?, Volts::new(8.0)?)?.get()
                            / 1e3,
                    )
                },
            ),
            Check::of(
                "5 V/µs, 10 V, kHz",
                79.5775,
                Within::LastDigit(0.0001),
                || {
                    Ok(
                        full_power_frequency(VoltsPerSecond::new(5e6)?, Volts::new(10.0)?)?.get()
                            / 1e3,
                    )
                },
            ),
            Check::of(
                "2 V at 15 V/µs: 0.133 µs (holooly.com), V/µs",
                15.0,
                Within::Percent(0.5),
                || Ok(slew_of_step(Volts::new(2.0)?, Seconds::new(0.133e-6)?)?.get() / 1e6),
            ),
        ],
    }
}
