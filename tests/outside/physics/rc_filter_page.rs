//! bulkcalculator.com, RC filter page (published): worked example.

use retin::physics::corner::corner;
use retin::physics::units::{Farads, Ohms};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "bulkcalculator.com RC filter page",
        mark: Mark::Published,
        checks: vec![Check::of(
            "10 kΩ, 100 nF, Hz",
            159.0,
            Within::LastDigit(1.0),
            || Ok(corner(Ohms::new(10e3)?, Farads::new(100e-9)?)?.get()),
        )],
    }
}
