//! HyperPhysics (Georgia State University), wire gauge page, after Floyd, *Electric
//! Circuit Fundamentals* (reported).

use retin::physics::units::Millimetres;
use retin::physics::wire::{Gauge, chassis_current, diameter, resistance};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "HyperPhysics wire gauge table",
        mark: Mark::Reported,
        checks: vec![
            Check::of("AWG 24, inch", 0.0201, Within::Percent(0.06), || {
                Ok(diameter(Gauge::new(24)?)?.get() / 25.4)
            }),
            Check::of(
                "AWG 24, ohms for 1000 ft",
                25.67,
                Within::Percent(0.1),
                || Ok(resistance(Gauge::new(24)?, Millimetres::new(304_800.0)?)?.get()),
            ),
            Check::of("AWG 24, chassis A", 3.5, Within::Percent(0.001), || {
                Ok(chassis_current(Gauge::new(24)?).map_or(0.0, |amps| amps.get()))
            }),
            Check::of("AWG 26, inch", 0.01594, Within::Percent(0.06), || {
                Ok(diameter(Gauge::new(26)?)?.get() / 25.4)
            }),
            Check::of(
                "AWG 26, ohms for 1000 ft",
                40.81,
                Within::Percent(0.1),
                || Ok(resistance(Gauge::new(26)?, Millimetres::new(304_800.0)?)?.get()),
            ),
            Check::of("AWG 26, chassis A", 2.2, Within::Percent(0.001), || {
                Ok(chassis_current(Gauge::new(26)?).map_or(0.0, |amps| amps.get()))
            }),
            Check::of("AWG 30, inch", 0.01002, Within::Percent(0.06), || {
                Ok(diameter(Gauge::new(30)?)?.get() / 25.4)
            }),
            Check::of(
                "AWG 30, ohms for 1000 ft",
                103.2,
                Within::Percent(0.1),
                || Ok(resistance(Gauge::new(30)?, Millimetres::new(304_800.0)?)?.get()),
            ),
            Check::of("AWG 30, chassis A", 0.86, Within::Percent(0.001), || {
                Ok(chassis_current(Gauge::new(30)?).map_or(0.0, |amps| amps.get()))
            }),
        ],
    }
}
