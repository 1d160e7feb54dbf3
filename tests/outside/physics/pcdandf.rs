//! PCD&F, Brooks on Preece and Onderdonk (reported): 0.0524 inch of copper melts at
//! 123 A by Preece.

use retin::physics::units::Millimetres;
use retin::physics::wire::{FuseMetal, preece_current};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "PCD&F, Brooks, Preece and Onderdonk",
        mark: Mark::Reported,
        checks: vec![Check::of(
            "0.0524 inch, A",
            123.0,
            Within::LastDigit(1.0),
            || Ok(preece_current(FuseMetal::Copper, Millimetres::new(0.0524 * 25.4)?)?.get()),
        )],
    }
}
