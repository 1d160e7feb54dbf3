//! Kendeil, useful life page (published): 10 000 h at 85 °C for a case 10 K hotter.

use retin::physics::electrolytic_life::{RatedLife, kendeil};
use retin::physics::units::{Celsius, Hours};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "Kendeil useful life page",
        mark: Mark::Published,
        checks: vec![
            Check::of(
                "10 000 h at 85 °C, case 95 °C, h",
                10000.0,
                Within::Percent(0.001),
                || {
                    Ok(kendeil(
                        RatedLife {
                            life: Hours::new(10_000.0)?,
                            temperature: Celsius::new(85.0)?,
                        },
                        Celsius::new(95.0)?,
                    )?
                    .get())
                },
            ),
            Check::of(
                "10 000 h at 85 °C, case 85 °C, h",
                20000.0,
                Within::Percent(0.001),
                || {
                    Ok(kendeil(
                        RatedLife {
                            life: Hours::new(10_000.0)?,
                            temperature: Celsius::new(85.0)?,
                        },
                        Celsius::new(85.0)?,
                    )?
                    .get())
                },
            ),
        ],
    }
}
