//! Panasonic on stored electrolytics, as reported by allpcb.com.

use retin::physics::reform::{ReformSource, reform_guide};
use retin::physics::units::Volts;
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "Panasonic re-forming, as reported",
        mark: Mark::Reported,
        checks: vec![
            Check::of("ohms", 1000.0, Within::Percent(0.001), || {
                Ok(reform_guide(ReformSource::Panasonic, Volts::new(100.0)?)?
                    .resistor
                    .get())
            }),
            Check::of("hold, min", 30.0, Within::Percent(0.001), || {
                Ok(reform_guide(ReformSource::Panasonic, Volts::new(100.0)?)?
                    .hold
                    .get()
                    / 60.0)
            }),
        ],
    }
}
