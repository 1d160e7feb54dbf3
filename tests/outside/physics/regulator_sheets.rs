//! Fairchild LM78XX and Contek 79xx data sheets (published): input ranges and a
//! dropout of 2 V at 1 A.

use retin::physics::regulator::headroom;
use retin::physics::units::Volts;
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "Fairchild LM78XX and Contek 79xx data sheets",
        mark: Mark::Published,
        checks: vec![Check::of(
            "7815 at its lowest specified input, V left",
            0.5,
            Within::Percent(0.001),
            || Ok(headroom(Volts::new(17.5)?, Volts::new(15.0)?, Volts::new(2.0)?)?.get()),
        )],
    }
}
