//! Lelon RGA data sheet (published): leakage rule and table of tan δ at 120 Hz.

use retin::physics::leakage::{LeakageRule, leakage_limit};
use retin::physics::loss_factor::{LossSeries, loss_limit};
use retin::physics::units::{Farads, Volts};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "Lelon RGA data sheet",
        mark: Mark::Published,
        checks: vec![
            Check::of("tan δ at 6.3 V", 0.23, Within::Percent(0.001), || {
                Ok(loss_limit(LossSeries::LelonRga, Volts::new(6.3)?, Farads::new(100e-6)?)?.get())
            }),
            Check::of("tan δ at 10 V", 0.2, Within::Percent(0.001), || {
                Ok(loss_limit(
                    LossSeries::LelonRga,
                    Volts::new(10.0)?,
                    Farads::new(100e-6)?,
                )?
                .get())
            }),
            Check::of("tan δ at 16 V", 0.16, Within::Percent(0.001), || {
                Ok(loss_limit(
                    LossSeries::LelonRga,
                    Volts::new(16.0)?,
                    Farads::new(100e-6)?,
                )?
                .get())
            }),
            Check::of("tan δ at 25 V", 0.14, Within::Percent(0.001), || {
                Ok(loss_limit(
                    LossSeries::LelonRga,
                    Volts::new(25.0)?,
                    Farads::new(100e-6)?,
                )?
                .get())
            }),
            Check::of("tan δ at 35 V", 0.12, Within::Percent(0.001), || {
                Ok(loss_limit(
                    LossSeries::LelonRga,
                    Volts::new(35.0)?,
                    Farads::new(100e-6)?,
                )?
                .get())
            }),
            Check::of("tan δ at 50 V", 0.1, Within::Percent(0.001), || {
                Ok(loss_limit(
                    LossSeries::LelonRga,
                    Volts::new(50.0)?,
                    Farads::new(100e-6)?,
                )?
                .get())
            }),
            Check::of("tan δ at 63 V", 0.09, Within::Percent(0.001), || {
                Ok(loss_limit(
                    LossSeries::LelonRga,
                    Volts::new(63.0)?,
                    Farads::new(100e-6)?,
                )?
                .get())
            }),
            Check::of("tan δ at 100 V", 0.08, Within::Percent(0.001), || {
                Ok(loss_limit(
                    LossSeries::LelonRga,
                    Volts::new(100.0)?,
                    Farads::new(100e-6)?,
                )?
                .get())
            }),
            Check::of("tan δ at 160 V", 0.12, Within::Percent(0.001), || {
                Ok(loss_limit(
                    LossSeries::LelonRga,
                    Volts::new(160.0)?,
                    Farads::new(100e-6)?,
                )?
                .get())
            }),
            Check::of("tan δ at 200 V", 0.14, Within::Percent(0.001), || {
                Ok(loss_limit(
                    LossSeries::LelonRga,
                    Volts::new(200.0)?,
                    Farads::new(100e-6)?,
                )?
                .get())
            }),
            Check::of("tan δ at 250 V", 0.17, Within::Percent(0.001), || {
                Ok(loss_limit(
                    LossSeries::LelonRga,
                    Volts::new(250.0)?,
                    Farads::new(100e-6)?,
                )?
                .get())
            }),
            Check::of("tan δ at 350 V", 0.2, Within::Percent(0.001), || {
                Ok(loss_limit(
                    LossSeries::LelonRga,
                    Volts::new(350.0)?,
                    Farads::new(100e-6)?,
                )?
                .get())
            }),
            Check::of("tan δ at 400 V", 0.25, Within::Percent(0.001), || {
                Ok(loss_limit(
                    LossSeries::LelonRga,
                    Volts::new(400.0)?,
                    Farads::new(100e-6)?,
                )?
                .get())
            }),
            Check::of("tan δ at 450 V", 0.25, Within::Percent(0.001), || {
                Ok(loss_limit(
                    LossSeries::LelonRga,
                    Volts::new(450.0)?,
                    Farads::new(100e-6)?,
                )?
                .get())
            }),
            Check::of(
                "tan δ, 2000 µF 16 V",
                0.18,
                Within::Percent(0.001),
                || {
                    Ok(loss_limit(
                        LossSeries::LelonRga,
                        Volts::new(16.0)?,
                        Farads::new(2000e-6)?,
                    )?
                    .get())
                },
            ),
            Check::of(
                "leakage 1000 µF 25 V, µA",
                250.0,
                Within::Percent(0.001),
                || {
                    Ok(leakage_limit(
                        LeakageRule::LelonRga,
                        Farads::new(1000e-6)?,
                        Volts::new(25.0)?,
                    )?
                    .current
                    .get()
                        * 1e6)
                },
            ),
            Check::of(
                "leakage 1 µF 50 V, µA (floor)",
                3.0,
                Within::Percent(0.001),
                || {
                    Ok(
                        leakage_limit(
                            LeakageRule::LelonRga,
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
                "leakage 100 µF 400 V, µA",
                825.0,
                Within::Percent(0.001),
                || {
                    Ok(leakage_limit(
                        LeakageRule::LelonRga,
                        Farads::new(100e-6)?,
                        Volts::new(400.0)?,
                    )?
                    .current
                    .get()
                        * 1e6)
                },
            ),
            Check::of(
                "leakage 2.2 µF 450 V, µA",
                44.7,
                Within::Percent(0.001),
                || {
                    Ok(leakage_limit(
                        LeakageRule::LelonRga,
                        Farads::new(2.2e-6)?,
                        Volts::new(450.0)?,
                    )?
                    .current
                    .get()
                        * 1e6)
                },
            ),
        ],
    }
}
