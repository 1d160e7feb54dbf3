//! ASTM B258: the two sizes that define the gauge, by the comment in the definitions
//! of GNU units (reported); the standard itself was not read.

use retin::physics::wire::{Gauge, diameter};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "ASTM B258 by GNU units",
        mark: Mark::Reported,
        checks: vec![
            Check::of("4/0, inch", 0.46, Within::Percent(0.0001), || {
                Ok(diameter(Gauge::new(-3)?)?.get() / 25.4)
            }),
            Check::of("36, inch", 0.005, Within::Percent(0.0001), || {
                Ok(diameter(Gauge::new(36)?)?.get() / 25.4)
            }),
        ],
    }
}
