//! Hobby pages on re-forming (thoitrangredep.vn, konferencjaskd): common practice,
//! no source.

use retin::physics::reform::{hobby_hold, hobby_rejects};
use retin::physics::units::{Volts, Years};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "Hobby rule for re-forming",
        mark: Mark::CommonPractice,
        checks: vec![
            Check::of("one year stored, min", 17.0, Within::Percent(0.001), || {
                Ok(hobby_hold(Years::new(1.0)?)?.get() / 60.0)
            }),
            Check::of(
                "11 V of 100 V across the resistor: rejected",
                1.0,
                Within::Percent(0.001),
                || {
                    Ok(f64::from(u8::from(hobby_rejects(
                        Volts::new(100.0)?,
                        Volts::new(11.0)?,
                    )?)))
                },
            ),
        ],
    }
}
