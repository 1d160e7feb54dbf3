//! Wire by independent arithmetic: ASTM B258 sizes with annealed copper, Preece and
//! Onderdonk worked outside of this program.

use retin::physics::units::{Celsius, Millimetres, Seconds};
use retin::physics::wire::{
    FuseMetal, Gauge, circular_mils, diameter, onderdonk_current, preece_current, resistance,
};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "Wire formulas, independent arithmetic",
        mark: Mark::Computed,
        checks: vec![
            Check::of("AWG 24, mm", 0.51056, Within::LastDigit(0.00001), || {
                Ok(diameter(Gauge::new(24)?)?.get())
            }),
            Check::of("AWG 26, mm", 0.40489, Within::LastDigit(0.00001), || {
                Ok(diameter(Gauge::new(26)?)?.get())
            }),
            Check::of("AWG 30, mm", 0.25464, Within::LastDigit(0.00001), || {
                Ok(diameter(Gauge::new(30)?)?.get())
            }),
            Check::of(
                "AWG 24, ohms for 1 km",
                84.21,
                Within::Percent(0.05),
                || Ok(resistance(Gauge::new(24)?, Millimetres::new(1e6)?)?.get()),
            ),
            Check::of(
                "AWG 26, ohms for 1 km",
                133.9,
                Within::Percent(0.05),
                || Ok(resistance(Gauge::new(26)?, Millimetres::new(1e6)?)?.get()),
            ),
            Check::of(
                "AWG 30, ohms for 1 km",
                338.5,
                Within::Percent(0.05),
                || Ok(resistance(Gauge::new(30)?, Millimetres::new(1e6)?)?.get()),
            ),
            Check::of("AWG 24, Preece A", 29.2, Within::Absolute(0.06), || {
                Ok(preece_current(FuseMetal::Copper, diameter(Gauge::new(24)?)?)?.get())
            }),
            Check::of("AWG 26, Preece A", 20.6, Within::Absolute(0.06), || {
                Ok(preece_current(FuseMetal::Copper, diameter(Gauge::new(26)?)?)?.get())
            }),
            Check::of("AWG 30, Preece A", 10.3, Within::Absolute(0.06), || {
                Ok(preece_current(FuseMetal::Copper, diameter(Gauge::new(30)?)?)?.get())
            }),
            Check::of(
                "AWG 24, Onderdonk 1 s 25 °C A",
                59.1,
                Within::Absolute(0.1),
                || {
                    Ok(onderdonk_current(
                        circular_mils(diameter(Gauge::new(24)?)?)?,
                        Celsius::new(25.0)?,
                        Seconds::new(1.0)?,
                    )?
                    .get())
                },
            ),
            Check::of(
                "AWG 26, Onderdonk 1 s 25 °C A",
                37.2,
                Within::Absolute(0.1),
                || {
                    Ok(onderdonk_current(
                        circular_mils(diameter(Gauge::new(26)?)?)?,
                        Celsius::new(25.0)?,
                        Seconds::new(1.0)?,
                    )?
                    .get())
                },
            ),
            Check::of(
                "AWG 30, Onderdonk 1 s 25 °C A",
                14.7,
                Within::Absolute(0.1),
                || {
                    Ok(onderdonk_current(
                        circular_mils(diameter(Gauge::new(30)?)?)?,
                        Celsius::new(25.0)?,
                        Seconds::new(1.0)?,
                    )?
                    .get())
                },
            ),
        ],
    }
}
