//! VK6FH, power and voltage ratios in decibels, table I (published page).
//!
//! The row of 8 dB prints a voltage ratio of 2.515 where 2.512 is right: see the
//! bad examples.

use retin::physics::decibel::{power_ratio, voltage_ratio};
use retin::physics::units::Decibels;
use retin_tests::published::{Check, Mark, Source, Within};

/// Decibels, voltage ratio, power ratio.
const RATIOS: &[(f64, f64, f64)] = &[
    (0.0, 1.0, 1.0),
    (0.1, 1.012, 1.023),
    (0.3, 1.035, 1.072),
    (0.4, 1.047, 1.096),
    (0.5, 1.059, 1.122),
    (0.6, 1.072, 1.148),
    (0.7, 1.084, 1.175),
    (0.8, 1.096, 1.202),
    (0.9, 1.109, 1.23),
    (1.0, 1.122, 1.259),
    (1.2, 1.148, 1.318),
    (1.4, 1.175, 1.38),
    (1.6, 1.202, 1.445),
    (1.8, 1.23, 1.514),
    (2.0, 1.259, 1.585),
    (2.2, 1.288, 1.66),
    (2.4, 1.318, 1.738),
    (2.6, 1.349, 1.82),
    (2.8, 1.38, 1.905),
    (3.0, 1.413, 1.995),
    (3.5, 1.496, 2.239),
    (4.0, 1.585, 2.512),
    (4.5, 1.679, 2.818),
    (5.0, 1.778, 3.162),
    (5.5, 1.884, 3.548),
    (6.0, 1.995, 3.981),
    (7.0, 2.239, 5.012),
    (9.0, 2.818, 7.943),
    (10.0, 3.162, 10.0),
    (11.0, 3.548, 12.59),
    (12.0, 3.981, 15.85),
    (13.0, 4.467, 19.95),
    (14.0, 5.012, 25.12),
    (15.0, 5.623, 31.62),
    (16.0, 6.31, 39.81),
    (17.0, 7.079, 50.12),
    (18.0, 7.943, 63.1),
    (19.0, 8.913, 79.43),
];

pub fn source() -> Source {
    let mut checks = Vec::new();
    for &(decibels, voltage, power) in RATIOS {
        let level = Decibels::new(decibels);
        checks.push(Check::new(
            format!("{decibels} dB, voltage"),
            voltage,
            Within::Percent(0.06),
            level.and_then(voltage_ratio).map(|ratio| ratio.get()),
        ));
        checks.push(Check::new(
            format!("{decibels} dB, power"),
            power,
            Within::Percent(0.06),
            level.and_then(power_ratio).map(|ratio| ratio.get()),
        ));
    }
    Source {
        name: "VK6FH, power and voltage ratios in decibels",
        mark: Mark::Published,
        checks,
    }
}
