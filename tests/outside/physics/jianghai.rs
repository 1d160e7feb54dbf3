//! Jianghai (Albertsen) life paper, as reported: constant below 0.6 of the rated
//! voltage, base two or four for the ripple.

use retin::physics::electrolytic_life::{
    RippleStress, VoltageStress, ripple_factor, voltage_factor,
};
use retin::physics::units::{Amps, Celsius, Kelvins, Volts};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "Jianghai (Albertsen) life paper, as reported",
        mark: Mark::Reported,
        checks: vec![
            Check::of(
                "voltage factor at 0.6",
                3.59,
                Within::LastDigit(0.01),
                || {
                    Ok(voltage_factor(VoltageStress {
                        actual: Volts::new(15.0)?,
                        rated: Volts::new(25.0)?,
                    })?
                    .get())
                },
            ),
            Check::of(
                "voltage factor below 0.6",
                3.59,
                Within::Percent(0.001),
                || {
                    Ok(voltage_factor(VoltageStress {
                        actual: Volts::new(5.0)?,
                        rated: Volts::new(25.0)?,
                    })?
                    .get())
                },
            ),
            Check::of(
                "voltage factor at the rating",
                1.0,
                Within::Percent(0.001),
                || {
                    Ok(voltage_factor(VoltageStress {
                        actual: Volts::new(25.0)?,
                        rated: Volts::new(25.0)?,
                    })?
                    .get())
                },
            ),
            Check::of(
                "ripple factor at the rating",
                1.0,
                Within::Percent(0.001),
                || {
                    Ok(ripple_factor(
                        Celsius::new(105.0)?,
                        RippleStress {
                            actual: Amps::new(1.0)?,
                            rated: Amps::new(1.0)?,
                            core_rise: Kelvins::new(5.0)?,
                        },
                    )?
                    .get())
                },
            ),
            Check::of(
                "85 °C part, no ripple, 10 K: twice",
                2.0,
                Within::Percent(0.001),
                || {
                    Ok(ripple_factor(
                        Celsius::new(85.0)?,
                        RippleStress {
                            actual: Amps::new(0.0)?,
                            rated: Amps::new(1.0)?,
                            core_rise: Kelvins::new(10.0)?,
                        },
                    )?
                    .get())
                },
            ),
            Check::of(
                "105 °C part, √2 times its ripple, 5 K: base four gives a half",
                0.5,
                Within::Percent(0.001),
                || {
                    Ok(ripple_factor(
                        Celsius::new(105.0)?,
                        RippleStress {
                            actual: Amps::new(std::f64::consts::SQRT_2)?,
                            rated: Amps::new(1.0)?,
                            core_rise: Kelvins::new(5.0)?,
                        },
                    )?
                    .get())
                },
            ),
        ],
    }
}
