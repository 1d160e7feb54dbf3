//! Rubycon lifetime calculation note (published): what its formula says in plain cases.
//! At the rated ripple the last factor is one, so that only ten kelvins remain.

use retin::physics::electrolytic_life::{RatedLife, RippleStress, rubycon, ten_kelvin};
use retin::physics::units::{Amps, Celsius, Hours, Kelvins};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "Rubycon lifetime calculation note",
        mark: Mark::Published,
        checks: vec![
            Check::of(
                "2000 h, 105 to 65 °C, rated ripple, h",
                32000.0,
                Within::Percent(0.001),
                || {
                    Ok(rubycon(
                        RatedLife {
                            life: Hours::new(2000.0)?,
                            temperature: Celsius::new(105.0)?,
                        },
                        Celsius::new(65.0)?,
                        RippleStress {
                            actual: Amps::new(1.0)?,
                            rated: Amps::new(1.0)?,
                            core_rise: Kelvins::new(5.0)?,
                        },
                    )?
                    .get())
                },
            ),
            Check::of(
                "1000 h, 85 to 75 °C, h",
                2000.0,
                Within::Percent(0.001),
                || {
                    Ok(ten_kelvin(
                        RatedLife {
                            life: Hours::new(1000.0)?,
                            temperature: Celsius::new(85.0)?,
                        },
                        Celsius::new(75.0)?,
                    )?
                    .get())
                },
            ),
            Check::of(
                "USR, 10 K, rated ripple at rated temperature, h",
                2000.0,
                Within::Percent(0.001),
                || {
                    Ok(rubycon(
                        RatedLife {
                            life: Hours::new(2000.0)?,
                            temperature: Celsius::new(85.0)?,
                        },
                        Celsius::new(85.0)?,
                        RippleStress {
                            actual: Amps::new(0.3)?,
                            rated: Amps::new(0.3)?,
                            core_rise: Kelvins::new(10.0)?,
                        },
                    )?
                    .get())
                },
            ),
        ],
    }
}
