//! Dijia (en.dgdijia.cn), a capacitor maker: worked life of a 1000 h, 105 °C part at
//! 55 °C (published).

use retin::physics::electrolytic_life::{RatedLife, ten_kelvin};
use retin::physics::units::{Celsius, Hours};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "Dijia life estimate example",
        mark: Mark::Published,
        checks: vec![Check::of(
            "1000 h, 105 to 55 °C, h",
            32000.0,
            Within::Percent(0.001),
            || {
                Ok(ten_kelvin(
                    RatedLife {
                        life: Hours::new(1000.0)?,
                        temperature: Celsius::new(105.0)?,
                    },
                    Celsius::new(55.0)?,
                )?
                .get())
            },
        )],
    }
}
