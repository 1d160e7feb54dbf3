//! Examples that were published wrong. What is computed here has to differ from
//! the printed figure and agree with the formula.

use retin::physics::decibel::{power_ratio, voltage_ratio};
use retin::physics::loss_factor::{loss_factor, series_resistance};
use retin::physics::units::{
    Amps, Decibels, Farads, Hertz, Millimetres, Ohms, OutOfValidity, Ratio,
};
use retin::physics::wire::{FuseMetal, Gauge, preece_diameter, resistance};

/// What, the wrong figure, the right one, what is computed.
type BadExample = (&'static str, f64, f64, Result<f64, OutOfValidity>);

fn bad_examples() -> Vec<BadExample> {
    let esr = || {
        let frequency = Hertz::new(120.0)?;
        Ok(series_resistance(Ratio::new(0.05)?, Farads::new(0.1e-6)?, frequency)?.get())
    };
    let inverted = || {
        let frequency = Hertz::new(1000.0)?;
        Ok(loss_factor(Ohms::new(0.02)?, Farads::new(1e-6)?, frequency)?.get())
    };
    let gauge_10 = || Ok(resistance(Gauge::new(10)?, Millimetres::new(304_800.0)?)?.get());
    let aluminium = || Ok(preece_diameter(FuseMetal::Aluminium, Amps::new(250.0)?)?.get() / 25.4);
    let tin = || Ok(preece_diameter(FuseMetal::Tin, Amps::new(2.0)?)?.get() / 25.4);
    let eight_decibels = || Ok(voltage_ratio(Decibels::new(8.0)?)?.get());
    let two_decibels = || Ok(power_ratio(Decibels::new(2.0)?)?.get());
    vec![
        (
            "dilaurdimag.com, 0.1 µF, 5 %, 120 Hz, first figure, ohms",
            66.34,
            663.1,
            esr(),
        ),
        (
            "dilaurdimag.com, the same, second figure, ohms",
            6.6e-3,
            663.1,
            esr(),
        ),
        // The page divides by 2πfC where the definition multiplies.
        (
            "calculator.academy, 0.02 ohms, 1 µF, 1 kHz, loss factor",
            3.183,
            1.2566e-4,
            inverted(),
        ),
        (
            "aelinik chart, AWG 10, ohms for 1000 ft",
            0.8441,
            0.9989,
            gauge_10(),
        ),
        (
            "Ness Engineering, aluminium for 250 A, inch",
            0.1208,
            0.1028,
            aluminium(),
        ),
        (
            "Ness Engineering, tin for 2 A, inch",
            0.0113,
            0.011_405,
            tin(),
        ),
        (
            "VK6FH, 8 dB, voltage ratio",
            2.515,
            2.5119,
            eight_decibels(),
        ),
        ("wfrjr.com, 2 dB, power ratio", 1.54, 1.5849, two_decibels()),
    ]
}

#[test]
fn wrong_figures_are_not_reproduced() {
    let examples = bad_examples();
    assert_eq!(examples.len(), 8);
    for (what, wrong, right, computed) in examples {
        let computed = computed.unwrap_or_else(|refusal| panic!("{what}: {refusal}"));
        assert!(
            (computed / wrong - 1.0).abs() > 0.001,
            "{what}: computed the wrong {computed}"
        );
        assert!(
            (computed / right - 1.0).abs() < 0.0005,
            "{what}: computed {computed}, right is {right}"
        );
    }
}
