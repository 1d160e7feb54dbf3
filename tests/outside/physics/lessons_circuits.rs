//! Lessons in Electric Circuits (Kuphaldt), volumes DC, AC and Semiconductors (published):
//! power, decibels, reactance, corner and time.

use retin::physics::corner::{corner, reactance};
use retin::physics::decibel::{power_gain, power_ratio, voltage_gain, voltage_ratio};
use retin::physics::discharge::{time_to_fall, voltage_after};
use retin::physics::resistor::{current, dissipation_from_current, dissipation_from_voltage};
use retin::physics::units::{Amps, Decibels, Farads, Hertz, Ohms, Seconds, Volts, Watts};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "Kuphaldt, Lessons in Electric Circuits",
        mark: Mark::Published,
        checks: vec![
            Check::of("5 Ω on 10 V, A", 2.0, Within::Percent(0.001), || {
                Ok(current(Volts::new(10.0)?, Ohms::new(5.0)?)?.get())
            }),
            Check::of("5 Ω on 10 V, W", 20.0, Within::Percent(0.001), || {
                Ok(dissipation_from_voltage(Volts::new(10.0)?, Ohms::new(5.0)?)?.get())
            }),
            Check::of("5 Ω at 6 A, W", 180.0, Within::Percent(0.001), || {
                Ok(dissipation_from_current(Amps::new(6.0)?, Ohms::new(5.0)?)?.get())
            }),
            Check::of("5 kΩ on 24 V, mA", 4.8, Within::Percent(0.001), || {
                Ok(current(Volts::new(24.0)?, Ohms::new(5e3)?)?.get() * 1e3)
            }),
            Check::of("5 kΩ on 24 V, W", 0.115, Within::LastDigit(0.001), || {
                Ok(dissipation_from_voltage(Volts::new(24.0)?, Ohms::new(5e3)?)?.get())
            }),
            Check::of(
                "three times the power, dB",
                4.77,
                Within::LastDigit(0.01),
                || Ok(power_gain(Watts::new(3.0)?, Watts::new(1.0)?)?.get()),
            ),
            Check::of(
                "five times the power, dB",
                6.99,
                Within::LastDigit(0.01),
                || Ok(power_gain(Watts::new(5.0)?, Watts::new(1.0)?)?.get()),
            ),
            Check::of(
                "fifteen times the power, dB",
                11.76,
                Within::LastDigit(0.01),
                || Ok(power_gain(Watts::new(15.0)?, Watts::new(1.0)?)?.get()),
            ),
            Check::of("1 W to 10 W, dB", 10.0, Within::Percent(0.001), || {
                Ok(power_gain(Watts::new(10.0)?, Watts::new(1.0)?)?.get())
            }),
            Check::of(
                "20 dB of power, ratio",
                100.0,
                Within::Percent(0.001),
                || Ok(power_ratio(Decibels::new(20.0)?)?.get()),
            ),
            Check::of("10 mV to 1 V, dB", 40.0, Within::Percent(0.001), || {
                Ok(voltage_gain(Volts::new(1.0)?, Volts::new(10e-3)?)?.get())
            }),
            Check::of(
                "20 dB of voltage, ratio",
                10.0,
                Within::Percent(0.001),
                || Ok(voltage_ratio(Decibels::new(20.0)?)?.get()),
            ),
            Check::of(
                "100 µF at 60 Hz, ohms",
                26.5258,
                Within::LastDigit(0.0001),
                || Ok(reactance(Farads::new(100e-6)?, Hertz::new(60.0)?)?.get()),
            ),
            Check::of(
                "100 µF at 120 Hz, ohms",
                13.2629,
                Within::LastDigit(0.0001),
                || Ok(reactance(Farads::new(100e-6)?, Hertz::new(120.0)?)?.get()),
            ),
            Check::of(
                "100 µF at 2500 Hz, milliohms",
                636.6,
                Within::LastDigit(0.1),
                || Ok(reactance(Farads::new(100e-6)?, Hertz::new(2500.0)?)?.get() * 1e3),
            ),
            Check::of(
                "500 Ω, 7 µF, Hz",
                45.473,
                Within::LastDigit(0.001),
                || Ok(corner(Ohms::new(500.0)?, Farads::new(7e-6)?)?.get()),
            ),
            Check::of(
                "15 V, 10 kΩ, 100 µF, charged after 7.25 s, V",
                14.989,
                Within::LastDigit(0.001),
                || {
                    Ok(15.0
                        - voltage_after(
                            Ohms::new(10e3)?,
                            Farads::new(100e-6)?,
                            Volts::new(15.0)?,
                            Seconds::new(7.25)?,
                        )?
                        .get())
                },
            ),
            Check::of(
                "15 V, charged to 12.970 V, s",
                2.0,
                Within::Percent(0.1),
                || {
                    Ok(time_to_fall(
                        Ohms::new(10e3)?,
                        Farads::new(100e-6)?,
                        Volts::new(15.0)?,
                        Volts::new(15.0 - 12.970)?,
                    )?
                    .get())
                },
            ),
        ],
    }
}
