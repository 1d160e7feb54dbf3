//! Grob, *Basic Electronics*, by its companions (reported). The book rounds e⁻¹ to 37 %.

use retin::physics::corner::{after_low_pass, corner, reactance};
use retin::physics::discharge::{charge, energy, time_to_fall, voltage_after};
use retin::physics::units::{Farads, Hertz, Ohms, Seconds, Volts};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "Grob, Basic Electronics, as reported",
        mark: Mark::Reported,
        checks: vec![
            Check::of(
                "0.01 µF, 1 MΩ, 200 V after one time constant, V",
                74.0,
                Within::Percent(0.7),
                || {
                    Ok(voltage_after(
                        Ohms::new(1e6)?,
                        Farads::new(0.01e-6)?,
                        Volts::new(200.0)?,
                        Seconds::new(0.01)?,
                    )?
                    .get())
                },
            ),
            Check::of(
                "RC 3 s, 40 V after 6 s, V",
                5.42,
                Within::Percent(0.3),
                || {
                    Ok(voltage_after(
                        Ohms::new(1e6)?,
                        Farads::new(3e-6)?,
                        Volts::new(40.0)?,
                        Seconds::new(6.0)?,
                    )?
                    .get())
                },
            ),
            Check::of(
                "10 kΩ, 0.05 µF, 36 V charged to 24 V, ms",
                0.549,
                Within::LastDigit(0.001),
                || {
                    Ok(time_to_fall(
                        Ohms::new(10e3)?,
                        Farads::new(0.05e-6)?,
                        Volts::new(36.0)?,
                        Volts::new(12.0)?,
                    )?
                    .get()
                        * 1e3)
                },
            ),
            Check::of("2 µF, 50 V, µC", 100.0, Within::Percent(0.001), || {
                Ok(charge(Farads::new(2e-6)?, Volts::new(50.0)?)?.get() * 1e6)
            }),
            Check::of("500 pF, 30 kV, J", 0.225, Within::Percent(0.001), || {
                Ok(energy(Farads::new(500e-12)?, Volts::new(30e3)?)?.get())
            }),
            Check::of(
                "10 kΩ, 0.01 µF, Hz",
                1591.55,
                Within::LastDigit(0.01),
                || Ok(corner(Ohms::new(10e3)?, Farads::new(0.01e-6)?)?.get()),
            ),
            Check::of(
                "10 kΩ, 0.1 µF, Hz",
                159.15,
                Within::Absolute(0.01),
                || Ok(corner(Ohms::new(10e3)?, Farads::new(0.1e-6)?)?.get()),
            ),
            Check::of(
                "10 V at the corner, V",
                7.07,
                Within::LastDigit(0.01),
                || {
                    Ok(after_low_pass(
                        Volts::new(10.0)?,
                        Ohms::new(10e3)?,
                        Farads::new(0.01e-6)?,
                        corner(Ohms::new(10e3)?, Farads::new(0.01e-6)?)?,
                    )?
                    .0
                    .get())
                },
            ),
            Check::of(
                "phase at the corner, degrees",
                -45.0,
                Within::Percent(0.001),
                || {
                    Ok(after_low_pass(
                        Volts::new(10.0)?,
                        Ohms::new(10e3)?,
                        Farads::new(0.01e-6)?,
                        corner(Ohms::new(10e3)?, Farads::new(0.01e-6)?)?,
                    )?
                    .1
                    .get())
                },
            ),
            Check::of(
                "0.1 µF, 1400 Hz, ohms",
                1136.8,
                Within::Absolute(0.1),
                || Ok(reactance(Farads::new(0.1e-6)?, Hertz::new(1400.0)?)?.get()),
            ),
            Check::of("47 pF, 1 MHz, ohms", 3386.0, Within::Absolute(1.0), || {
                Ok(reactance(Farads::new(47e-12)?, Hertz::new(1e6)?)?.get())
            }),
        ],
    }
}
