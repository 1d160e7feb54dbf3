//! Malvino and Bates, *Electronic Principles*, by its FOSSEE companion (reported).
//! The book takes a peak as the effective value over 0.707.

use retin::physics::opamp_offset::{InputErrors, output_offset};
use retin::physics::resistor::current;
use retin::physics::ripple::{Rectifier, peak_of_sine, ripple};
use retin::physics::substitute::resistors_in_parallel;
use retin::physics::units::{Amps, Farads, Hertz, Ohms, Ratio, Volts};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "Malvino and Bates, Electronic Principles, as reported",
        mark: Mark::Reported,
        checks: vec![
            Check::of("4-6, peak of 24 V, V", 33.95, Within::Percent(0.1), || {
                Ok(peak_of_sine(Volts::new(24.0)?)?.get())
            }),
            Check::of(
                "4-6, load current, mA",
                6.79,
                Within::LastDigit(0.01),
                || Ok(current(Volts::new(33.95)?, Ohms::new(5e3)?)?.get() * 1e3),
            ),
            Check::of("4-6, ripple, V", 1.13, Within::LastDigit(0.01), || {
                Ok(ripple(
                    Amps::new(6.79e-3)?,
                    Farads::new(100e-6)?,
                    Hertz::new(60.0)?,
                    Rectifier::HalfWave,
                )?
                .get())
            }),
            Check::of("4-7, peak of 12 V, V", 16.97, Within::Percent(0.1), || {
                Ok(peak_of_sine(Volts::new(12.0)?)?.get())
            }),
            Check::of(
                "4-7, load current, mA",
                3.39,
                Within::Absolute(0.01),
                || Ok(current(Volts::new(16.97)?, Ohms::new(5e3)?)?.get() * 1e3),
            ),
            Check::of("4-7, ripple, V", 0.28, Within::LastDigit(0.01), || {
                Ok(ripple(
                    Amps::new(3.39e-3)?,
                    Farads::new(100e-6)?,
                    Hertz::new(60.0)?,
                    Rectifier::FullWave,
                )?
                .get())
            }),
            Check::of(
                "18-8, output offset, mV",
                106.62,
                Within::LastDigit(0.01),
                || {
                    let minus = resistors_in_parallel(&[Ohms::new(1.5e3)?, Ohms::new(75e3)?])?;
                    let errors = InputErrors {
                        bias: Amps::new(80e-9)?,
                        offset_current: Amps::new(20e-9)?,
                        offset_voltage: Volts::new(2e-3)?,
                    };
                    Ok(
                        output_offset(Ratio::new(50.0)?, Ohms::new(1e-9)?, minus, errors)?.get()
                            * 1e3,
                    )
                },
            ),
        ],
    }
}
