//! Databook text on electrolytics on wungiel.pl, publisher not proven (reported).

use retin::physics::reform::{ReformSource, reform_guide};
use retin::physics::units::Volts;
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "Electrolytic databook, as reported",
        mark: Mark::Reported,
        checks: vec![
            Check::of("100 V, ohms", 100.0, Within::Percent(0.001), || {
                Ok(reform_guide(ReformSource::Databook, Volts::new(100.0)?)?
                    .resistor
                    .get())
            }),
            Check::of("160 V, ohms", 1000.0, Within::Percent(0.001), || {
                Ok(reform_guide(ReformSource::Databook, Volts::new(160.0)?)?
                    .resistor
                    .get())
            }),
            Check::of("hold, h", 1.0, Within::Percent(0.001), || {
                Ok(reform_guide(ReformSource::Databook, Volts::new(160.0)?)?
                    .hold
                    .get()
                    / 3600.0)
            }),
            Check::of("longest rest, h", 48.0, Within::Percent(0.001), || {
                Ok(reform_guide(ReformSource::Databook, Volts::new(160.0)?)?
                    .rest
                    .map_or(0.0, |rest| rest.1.get()))
            }),
        ],
    }
}
