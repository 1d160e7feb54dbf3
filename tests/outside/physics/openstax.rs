//! OpenStax, *College Physics*, chapter 21, problem 71, by the answers on
//! collegephysicsanswers.com (reported): a bleeder of
//! 250 kΩ on 80 µF.

use retin::physics::discharge::{time_constant, time_to_fall};
use retin::physics::units::{Farads, Ohms, Volts};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "OpenStax, College Physics, problem 21.71",
        mark: Mark::Reported,
        checks: vec![
            Check::of("time constant, s", 20.0, Within::Percent(0.001), || {
                Ok(time_constant(Ohms::new(250e3)?, Farads::new(80e-6)?)?.get())
            }),
            Check::of("down to 0.250 %, s", 120.0, Within::LastDigit(1.0), || {
                Ok(time_to_fall(
                    Ohms::new(250e3)?,
                    Farads::new(80e-6)?,
                    Volts::new(100.0)?,
                    Volts::new(0.25)?,
                )?
                .get())
            }),
            Check::of(
                "through 100 Ω to 0.865, ms",
                16.0,
                Within::LastDigit(1.0),
                || {
                    Ok(time_to_fall(
                        Ohms::new(100.0)?,
                        Farads::new(80e-6)?,
                        Volts::new(1.0)?,
                        Volts::new(0.135)?,
                    )?
                    .get()
                        * 1e3)
                },
            ),
        ],
    }
}
