//! Fairchild KA317 data sheet, 2013 (published): Vo = 1.25(1 + R2/R1) + IADJ·R2,
//! reference 1.25 V.

use retin::physics::regulator::adjustable_output;
use retin::physics::units::{Amps, Ohms};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "Fairchild KA317 data sheet",
        mark: Mark::Published,
        checks: vec![
            Check::of(
                "240 Ω, 720 Ω, no adjust current, V",
                5.0,
                Within::Percent(0.001),
                || {
                    Ok(
                        adjustable_output(Ohms::new(240.0)?, Ohms::new(720.0)?, Amps::new(0.0)?)?
                            .get(),
                    )
                },
            ),
            Check::of(
                "240 Ω, 720 Ω, 50 µA, V",
                5.036,
                Within::Percent(0.001),
                || {
                    Ok(
                        adjustable_output(Ohms::new(240.0)?, Ohms::new(720.0)?, Amps::new(50e-6)?)?
                            .get(),
                    )
                },
            ),
            Check::of(
                "R2 bridged: the reference, V",
                1.25,
                Within::Percent(0.01),
                || {
                    Ok(
                        adjustable_output(Ohms::new(240.0)?, Ohms::new(1e-3)?, Amps::new(0.0)?)?
                            .get(),
                    )
                },
            ),
        ],
    }
}
