//! UliEngineering 1.1.3, an independent program: values as printed by
//! `outside/python/physics_uliengineering.py`.

use retin::physics::corner::{corner, reactance};
use retin::physics::decibel::{voltage_gain, voltage_ratio};
use retin::physics::discharge::{charge, energy, time_constant, time_to_fall};
use retin::physics::electrolytic_life::{RatedLife, ten_kelvin};
use retin::physics::regulator::adjustable_output;
use retin::physics::resistor::{dissipation_from_current, dissipation_from_voltage, divider};
use retin::physics::substitute::resistors_in_parallel;
use retin::physics::units::{
    Amps, Celsius, Decibels, Farads, Hertz, Hours, Ohms, OutOfValidity, Volts,
};
use retin_tests::published::{Check, Mark, Source, Within};

fn life(working: f64) -> Result<f64, OutOfValidity> {
    let rated = RatedLife {
        life: Hours::new(2000.0)?,
        temperature: Celsius::new(105.0)?,
    };
    Ok(ten_kelvin(rated, Celsius::new(working)?)?.get())
}

fn fall(ohms: f64, farads: f64, from: f64, to: f64) -> Result<f64, OutOfValidity> {
    let (from, to) = (Volts::new(from)?, Volts::new(to)?);
    Ok(time_to_fall(Ohms::new(ohms)?, Farads::new(farads)?, from, to)?.get())
}

fn parallel(ohms: &[f64]) -> Result<f64, OutOfValidity> {
    let parts: Result<Vec<Ohms>, OutOfValidity> = ohms.iter().copied().map(Ohms::new).collect();
    Ok(resistors_in_parallel(&parts?)?.get())
}

pub fn source() -> Source {
    let check = |what: &str, printed: f64, computed: Result<f64, OutOfValidity>| {
        Check::new(what, printed, Within::Percent(1e-6), computed)
    };
    let reservoir = Farads::new(220e-6);
    let high = Volts::new(350.0);
    Source {
        name: "UliEngineering 1.1.3",
        mark: Mark::Computed,
        checks: vec![
            check("life 2000 h, 105 to 105 °C", 2000.0, life(105.0)),
            check("life 2000 h, 105 to 85 °C", 8000.0, life(85.0)),
            check("life 2000 h, 105 to 65 °C", 32_000.0, life(65.0)),
            check("life 2000 h, 105 to 40 °C", 181_019.336, life(40.0)),
            check(
                "energy 220 µF 350 V",
                13.475,
                reservoir.and_then(|farads| Ok(energy(farads, high?)?.get())),
            ),
            check(
                "charge 220 µF 350 V",
                0.077,
                reservoir.and_then(|farads| Ok(charge(farads, high?)?.get())),
            ),
            Check::of(
                "corner 10 kΩ 10 nF",
                1_591.549_43,
                Within::Percent(1e-6),
                || Ok(corner(Ohms::new(10e3)?, Farads::new(10e-9)?)?.get()),
            ),
            Check::of(
                "corner 4.7 kΩ 220 nF",
                153.921_608,
                Within::Percent(1e-6),
                || Ok(corner(Ohms::new(4.7e3)?, Farads::new(220e-9)?)?.get()),
            ),
            Check::of(
                "time constant 47 kΩ 2.2 µF",
                0.1034,
                Within::Percent(1e-6),
                || Ok(time_constant(Ohms::new(47e3)?, Farads::new(2.2e-6)?)?.get()),
            ),
            check(
                "discharge 100 kΩ 220 µF 350 to 50 V",
                42.810_023_3,
                fall(100e3, 220e-6, 350.0, 50.0),
            ),
            check(
                "discharge 220 kΩ 47 µF 325 to 5 V",
                43.163_164_4,
                fall(220e3, 47e-6, 325.0, 5.0),
            ),
            Check::of(
                "reactance 100 nF 1400 Hz",
                1_136.821_02,
                Within::Percent(1e-6),
                || Ok(reactance(Farads::new(100e-9)?, Hertz::new(1400.0)?)?.get()),
            ),
            Check::of(
                "reactance 4.7 µF 50 Hz",
                677.255_077,
                Within::Percent(1e-6),
                || Ok(reactance(Farads::new(4.7e-6)?, Hertz::new(50.0)?)?.get()),
            ),
            check(
                "parallel 1.5 kΩ 75 kΩ",
                1_470.588_24,
                parallel(&[1500.0, 75_000.0]),
            ),
            check(
                "parallel 100 220 470 Ω",
                59.976_798_1,
                parallel(&[100.0, 220.0, 470.0]),
            ),
            Check::of(
                "divider 24 V 47 kΩ 10 kΩ",
                4.210_526_32,
                Within::Percent(1e-6),
                || Ok(divider(Volts::new(24.0)?, Ohms::new(47e3)?, Ohms::new(10e3)?)?.get()),
            ),
            Check::of(
                "heat 15 V on 680 Ω",
                0.330_882_353,
                Within::Percent(1e-6),
                || Ok(dissipation_from_voltage(Volts::new(15.0)?, Ohms::new(680.0)?)?.get()),
            ),
            Check::of(
                "heat 1.5 A in 0.22 Ω",
                0.495,
                Within::Percent(1e-6),
                || Ok(dissipation_from_current(Amps::new(1.5)?, Ohms::new(0.22)?)?.get()),
            ),
            Check::of("gain of 50", 33.979_400_1, Within::Percent(1e-6), || {
                Ok(voltage_gain(Volts::new(50.0)?, Volts::new(1.0)?)?.get())
            }),
            Check::of(
                "ratio of −10 dB",
                0.316_227_766,
                Within::Percent(1e-6),
                || Ok(voltage_ratio(Decibels::new(-10.0)?)?.get()),
            ),
            Check::of(
                "regulator 240 Ω 720 Ω",
                5.0,
                Within::Percent(1e-6),
                || {
                    let none = Amps::new(0.0)?;
                    Ok(adjustable_output(Ohms::new(240.0)?, Ohms::new(720.0)?, none)?.get())
                },
            ),
        ],
    }
}
