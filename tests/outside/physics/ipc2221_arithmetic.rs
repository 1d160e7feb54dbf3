//! IPC-2221 by independent arithmetic: the reported formula worked outside of this
//! program.

use retin::physics::trace::{Layer, area, current, width};
use retin::physics::units::{Amps, CopperOunces, Kelvins, Millimetres};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "IPC-2221 formula, independent arithmetic",
        mark: Mark::Computed,
        checks: vec![
            Check::of("1 A outer, mil²", 16.3, Within::LastDigit(0.01), || {
                Ok(area(Amps::new(1.0)?, Kelvins::new(10.0)?, Layer::Outer)?.get())
            }),
            Check::of("1 A inner, mil²", 42.39, Within::Absolute(0.01), || {
                Ok(area(Amps::new(1.0)?, Kelvins::new(10.0)?, Layer::Inner)?.get())
            }),
            Check::of("1 A outer, mil", 11.83, Within::LastDigit(0.01), || {
                Ok(width(
                    Amps::new(1.0)?,
                    CopperOunces::new(1.0)?,
                    Kelvins::new(10.0)?,
                    Layer::Outer,
                )?
                .get()
                    / 0.0254)
            }),
            Check::of("1 A inner, mil", 30.76, Within::LastDigit(0.01), || {
                Ok(width(
                    Amps::new(1.0)?,
                    CopperOunces::new(1.0)?,
                    Kelvins::new(10.0)?,
                    Layer::Inner,
                )?
                .get()
                    / 0.0254)
            }),
            Check::of("1 A inner, mm", 0.781, Within::LastDigit(0.001), || {
                Ok(width(
                    Amps::new(1.0)?,
                    CopperOunces::new(1.0)?,
                    Kelvins::new(10.0)?,
                    Layer::Inner,
                )?
                .get())
            }),
            Check::of("2 A outer, mm", 0.781, Within::LastDigit(0.001), || {
                Ok(width(
                    Amps::new(2.0)?,
                    CopperOunces::new(1.0)?,
                    Kelvins::new(10.0)?,
                    Layer::Outer,
                )?
                .get())
            }),
            Check::of("5 A outer, mm", 2.765, Within::Absolute(0.001), || {
                Ok(width(
                    Amps::new(5.0)?,
                    CopperOunces::new(1.0)?,
                    Kelvins::new(10.0)?,
                    Layer::Outer,
                )?
                .get())
            }),
            Check::of("5 A inner, mm", 7.194, Within::Absolute(0.001), || {
                Ok(width(
                    Amps::new(5.0)?,
                    CopperOunces::new(1.0)?,
                    Kelvins::new(10.0)?,
                    Layer::Inner,
                )?
                .get())
            }),
            Check::of(
                "0.5 mm, 20 K, outer, A",
                1.963,
                Within::LastDigit(0.001),
                || {
                    Ok(current(
                        Millimetres::new(0.5)?,
                        CopperOunces::new(1.0)?,
                        Kelvins::new(20.0)?,
                        Layer::Outer,
                    )?
                    .get())
                },
            ),
        ],
    }
}
