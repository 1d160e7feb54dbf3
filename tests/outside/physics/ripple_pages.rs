//! Worked ripple examples on calculator and homework pages (reported):
//! calculator.7search.cc, homeworksource.com and one more.

use retin::physics::ripple::{Rectifier, capacitance_for_ripple, ripple};
use retin::physics::units::{Amps, Farads, Hertz, Volts};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "Ripple examples on public pages",
        mark: Mark::Reported,
        checks: vec![
            Check::of(
                "100 mA, 1000 µF, 60 Hz, full wave, V",
                0.833,
                Within::LastDigit(0.001),
                || {
                    Ok(ripple(
                        Amps::new(0.1)?,
                        Farads::new(1000e-6)?,
                        Hertz::new(60.0)?,
                        Rectifier::FullWave,
                    )?
                    .get())
                },
            ),
            Check::of(
                "2 A, 1000 µF, 60 Hz, full wave, V",
                16.67,
                Within::LastDigit(0.01),
                || {
                    Ok(ripple(
                        Amps::new(2.0)?,
                        Farads::new(1000e-6)?,
                        Hertz::new(60.0)?,
                        Rectifier::FullWave,
                    )?
                    .get())
                },
            ),
            Check::of(
                "0.154 A, 1 V, 60 Hz, full wave, µF",
                1283.0,
                Within::LastDigit(1.0),
                || {
                    Ok(capacitance_for_ripple(
                        Amps::new(0.154)?,
                        Volts::new(1.0)?,
                        Hertz::new(60.0)?,
                        Rectifier::FullWave,
                    )?
                    .get()
                        * 1e6)
                },
            ),
        ],
    }
}
