//! Electrolytic life by independent arithmetic: no source prints a full worked example
//! of these forms.

use retin::physics::electrolytic_life::{
    RatedLife, RippleStress, VoltageStress, jianghai, ripple_factor, rubycon, voltage_factor,
};
use retin::physics::units::{Amps, Celsius, Hours, Kelvins, Volts};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "Life formulas, independent arithmetic",
        mark: Mark::Computed,
        checks: vec![
            Check::of(
                "Rubycon, half ripple, h",
                43484.0,
                Within::LastDigit(1.0),
                || {
                    Ok(rubycon(
                        RatedLife {
                            life: Hours::new(2000.0)?,
                            temperature: Celsius::new(105.0)?,
                        },
                        Celsius::new(65.0)?,
                        RippleStress {
                            actual: Amps::new(0.5)?,
                            rated: Amps::new(1.0)?,
                            core_rise: Kelvins::new(5.0)?,
                        },
                    )?
                    .get())
                },
            ),
            Check::of(
                "Jianghai, half ripple, 80 % volts, h",
                72496.0,
                Within::Absolute(2.0),
                || {
                    Ok(jianghai(
                        RatedLife {
                            life: Hours::new(2000.0)?,
                            temperature: Celsius::new(105.0)?,
                        },
                        Celsius::new(65.0)?,
                        RippleStress {
                            actual: Amps::new(0.5)?,
                            rated: Amps::new(1.0)?,
                            core_rise: Kelvins::new(5.0)?,
                        },
                        VoltageStress {
                            actual: Volts::new(20.0)?,
                            rated: Volts::new(25.0)?,
                        },
                    )?
                    .get())
                },
            ),
            Check::of(
                "Jianghai, ripple factor",
                1.2968,
                Within::LastDigit(0.0001),
                || {
                    Ok(ripple_factor(
                        Celsius::new(105.0)?,
                        RippleStress {
                            actual: Amps::new(0.5)?,
                            rated: Amps::new(1.0)?,
                            core_rise: Kelvins::new(5.0)?,
                        },
                    )?
                    .get())
                },
            ),
            Check::of(
                "Jianghai, voltage factor",
                1.7469,
                Within::LastDigit(0.0001),
                || {
                    Ok(voltage_factor(VoltageStress {
                        actual: Volts::new(20.0)?,
                        rated: Volts::new(25.0)?,
                    })?
                    .get())
                },
            ),
        ],
    }
}
