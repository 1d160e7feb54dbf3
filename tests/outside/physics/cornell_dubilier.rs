//! Cornell Dubilier, October 1993, on stored electrolytics, as reported by wa4bpj.com.

use retin::physics::reform::{ReformSource, reform_guide, shelf_line};
use retin::physics::units::{Volts, Years};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "Cornell Dubilier 1993, as reported",
        mark: Mark::Reported,
        checks: vec![
            Check::of("63 V, ohms", 10000.0, Within::Percent(0.001), || {
                Ok(
                    reform_guide(ReformSource::CornellDubilier, Volts::new(63.0)?)?
                        .resistor
                        .get(),
                )
            }),
            Check::of("75 V, ohms", 10000.0, Within::Percent(0.001), || {
                Ok(
                    reform_guide(ReformSource::CornellDubilier, Volts::new(75.0)?)?
                        .resistor
                        .get(),
                )
            }),
            Check::of("100 V, ohms", 100000.0, Within::Percent(0.001), || {
                Ok(
                    reform_guide(ReformSource::CornellDubilier, Volts::new(100.0)?)?
                        .resistor
                        .get(),
                )
            }),
            Check::of("hold, h", 4.0, Within::Percent(0.001), || {
                Ok(
                    reform_guide(ReformSource::CornellDubilier, Volts::new(63.0)?)?
                        .hold
                        .get()
                        / 3600.0,
                )
            }),
            Check::of("greatest current, mA", 1.0, Within::Percent(0.001), || {
                Ok(
                    reform_guide(ReformSource::CornellDubilier, Volts::new(63.0)?)?
                        .current_limit
                        .map_or(0.0, |limit| limit.get() * 1e3),
                )
            }),
            Check::of(
                "one year stored: line of 1 year",
                1.0,
                Within::Percent(0.001),
                || Ok(f64::from(shelf_line(Years::new(1.0)?).years)),
            ),
            Check::of(
                "twelve years stored: line of 10 years",
                10.0,
                Within::Percent(0.001),
                || Ok(f64::from(shelf_line(Years::new(12.0)?).years)),
            ),
        ],
    }
}
