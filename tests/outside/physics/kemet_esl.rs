//! KEMET ESL data sheet (published): leakage rule.

use retin::physics::leakage::{LeakageRule, leakage_limit};
use retin::physics::units::{Farads, Volts};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "KEMET ESL data sheet",
        mark: Mark::Published,
        checks: vec![
            Check::of("1000 µF 25 V, µA", 250.0, Within::Percent(0.001), || {
                Ok(leakage_limit(
                    LeakageRule::KemetEsl,
                    Farads::new(1000e-6)?,
                    Volts::new(25.0)?,
                )?
                .current
                .get()
                    * 1e6)
            }),
            Check::of(
                "1 µF 50 V, µA (floor)",
                3.0,
                Within::Percent(0.001),
                || {
                    Ok(
                        leakage_limit(
                            LeakageRule::KemetEsl,
                            Farads::new(1e-6)?,
                            Volts::new(50.0)?,
                        )?
                        .current
                        .get()
                            * 1e6,
                    )
                },
            ),
            Check::of("10 µF 250 V, µA", 60.0, Within::Percent(0.001), || {
                Ok(leakage_limit(
                    LeakageRule::KemetEsl,
                    Farads::new(10e-6)?,
                    Volts::new(250.0)?,
                )?
                .current
                .get()
                    * 1e6)
            }),
            Check::of("100 µF 450 V, µA", 910.0, Within::Percent(0.001), || {
                Ok(leakage_limit(
                    LeakageRule::KemetEsl,
                    Farads::new(100e-6)?,
                    Volts::new(450.0)?,
                )?
                .current
                .get()
                    * 1e6)
            }),
        ],
    }
}
