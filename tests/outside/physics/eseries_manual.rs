//! The manual of the `eseries` package, worked examples (reported); the decades are
//! those of the E24 and E96 series as printed by qsl.net/g4usp.

use retin::physics::preferred::nearest;
use retin::physics::units::Ohms;
use retin_tests::published::{Check, Mark, Source, Within};

const E24: &[u32] = &[
    10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91,
];

pub fn source() -> Source {
    let check = |wished: f64, printed: f64| {
        Check::of(
            &format!("nearest E24 to {wished}"),
            printed,
            Within::Percent(1e-9),
            || Ok(nearest(Ohms::new(wished)?, E24)?.get()),
        )
    };
    Source {
        name: "eseries manual, as reported",
        mark: Mark::Reported,
        checks: vec![check(319.0, 330.0), check(5000.0, 5100.0)],
    }
}
