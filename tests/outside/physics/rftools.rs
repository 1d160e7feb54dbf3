//! rftools.io, op-amp slew rate page (published): worked examples.

use retin::physics::slew::{full_power_frequency, slew_needed};
use retin::physics::units::{Hertz, Volts, VoltsPerSecond};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "rftools.io slew-rate page",
        mark: Mark::Published,
        checks: vec![
            Check::of(
                "9 V/µs, 13.5 V, kHz",
                106.0,
                Within::LastDigit(1.0),
                || {
                    Ok(
                        full_power_frequency(VoltsPerSecond::new(9e6)?, Volts::new(13.5)?)?.get()
                            / 1e3,
                    )
                },
            ),
            Check::of("9 V/µs, 5 V, Hz", 286479.0, Within::LastDigit(1.0), || {
                Ok(full_power_frequency(VoltsPerSecond::new(9e6)?, Volts::new(5.0)?)?.get() / 1.0)
            }),
            Check::of(
                "0.5 V/µs, 13.5 V, kHz",
                5.9,
                Within::LastDigit(0.1),
                || {
                    Ok(
                        full_power_frequency(VoltsPerSecond::new(0.5e6)?, Volts::new(13.5)?)?.get()
                            / 1e3,
                    )
                },
            ),
            Check::of(
                "20 kHz, 13.5 V, V/µs",
                1.7,
                Within::LastDigit(0.01),
                || Ok(slew_needed(Hertz::new(20e3)?, Volts::new(13.5)?)?.get() / 1e6),
            ),
            Check::of(
                "20 kHz, 5 V, V/µs",
                0.628,
                Within::LastDigit(0.001),
                || Ok(slew_needed(Hertz::new(20e3)?, Volts::new(5.0)?)?.get() / 1e6),
            ),
            Check::of("20 kHz, 10 V, V/µs", 1.26, Within::LastDigit(0.01), || {
                Ok(slew_needed(Hertz::new(20e3)?, Volts::new(10.0)?)?.get() / 1e6)
            }),
        ],
    }
}
