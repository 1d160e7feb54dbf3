//! IPC-2221 conductor width, as reported: k, b and c by Qorvo and LCSC calculator
//! pages, the numbers by Fab Academy (Kannai). The standard itself was not read.

use retin::physics::trace::{Layer, width};
use retin::physics::units::{Amps, CopperOunces, Kelvins};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "IPC-2221 as reported by Fab Academy",
        mark: Mark::Reported,
        checks: vec![
            Check::of(
                "1 A, 10 K, 1 oz, outer, mm",
                0.3,
                Within::LastDigit(0.01),
                || {
                    Ok(width(
                        Amps::new(1.0)?,
                        CopperOunces::new(1.0)?,
                        Kelvins::new(10.0)?,
                        Layer::Outer,
                    )?
                    .get())
                },
            ),
            Check::of(
                "2 A, 10 K, 1 oz, outer, mm",
                0.78,
                Within::LastDigit(0.01),
                || {
                    Ok(width(
                        Amps::new(2.0)?,
                        CopperOunces::new(1.0)?,
                        Kelvins::new(10.0)?,
                        Layer::Outer,
                    )?
                    .get())
                },
            ),
            Check::of(
                "1.23 A, 10 K, 1 oz, outer, mm",
                0.3996,
                Within::Percent(0.5),
                || {
                    Ok(width(
                        Amps::new(1.23)?,
                        CopperOunces::new(1.0)?,
                        Kelvins::new(10.0)?,
                        Layer::Outer,
                    )?
                    .get())
                },
            ),
        ],
    }
}
