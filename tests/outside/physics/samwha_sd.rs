//! Samwha SD data sheet (published): leakage rule after one, two and five minutes.

use retin::physics::leakage::{LeakageRule, leakage_limit};
use retin::physics::units::{Farads, Volts};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "Samwha SD data sheet",
        mark: Mark::Published,
        checks: vec![
            Check::of(
                "1000 µF 25 V after 2 min, µA",
                250.0,
                Within::Percent(0.001),
                || {
                    Ok(leakage_limit(
                        LeakageRule::SamwhaSd,
                        Farads::new(1000e-6)?,
                        Volts::new(25.0)?,
                    )?
                    .current
                    .get()
                        * 1e6)
                },
            ),
            Check::of(
                "1000 µF 25 V after 1 min, µA",
                750.0,
                Within::Percent(0.001),
                || {
                    Ok(leakage_limit(
                        LeakageRule::SamwhaSdOneMinute,
                        Farads::new(1000e-6)?,
                        Volts::new(25.0)?,
                    )?
                    .current
                    .get()
                        * 1e6)
                },
            ),
            Check::of(
                "1 µF 50 V after 2 min, µA (floor)",
                3.0,
                Within::Percent(0.001),
                || {
                    Ok(
                        leakage_limit(
                            LeakageRule::SamwhaSd,
                            Farads::new(1e-6)?,
                            Volts::new(50.0)?,
                        )?
                        .current
                        .get()
                            * 1e6,
                    )
                },
            ),
            Check::of(
                "1 µF 50 V after 1 min, µA (floor)",
                4.0,
                Within::Percent(0.001),
                || {
                    Ok(leakage_limit(
                        LeakageRule::SamwhaSdOneMinute,
                        Farads::new(1e-6)?,
                        Volts::new(50.0)?,
                    )?
                    .current
                    .get()
                        * 1e6)
                },
            ),
            Check::of(
                "10 µF 250 V after 5 min, µA",
                65.0,
                Within::Percent(0.001),
                || {
                    Ok(leakage_limit(
                        LeakageRule::SamwhaSd,
                        Farads::new(10e-6)?,
                        Volts::new(250.0)?,
                    )?
                    .current
                    .get()
                        * 1e6)
                },
            ),
        ],
    }
}
