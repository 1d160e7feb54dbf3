//! Cirris, wire resistance table: diameter in mils and ohms for 100 feet of copper
//! (published).

use retin::physics::units::Millimetres;
use retin::physics::wire::{Gauge, diameter, resistance};
use retin_tests::published::{Check, Mark, Source, Within};

/// Gauge, diameter in mils, ohms for 100 feet.
const WIRES: &[(i32, f64, f64)] = &[
    (12, 80.808, 0.1588),
    (13, 71.901, 0.2003),
    (14, 64.084, 0.2525),
    (15, 57.068, 0.3184),
    (16, 50.82, 0.4016),
    (17, 45.257, 0.5064),
    (18, 40.303, 0.6385),
    (19, 35.89, 0.8051),
    (20, 31.961, 1.015),
    (22, 25.347, 1.614),
    (23, 22.571, 2.036),
    (24, 20.1, 2.567),
    (25, 17.9, 3.237),
    (26, 15.94, 4.081),
    (27, 14.195, 5.147),
    (28, 12.641, 6.49),
    (29, 11.257, 8.183),
    (30, 10.025, 10.32),
];

pub fn source() -> Source {
    let mut checks = Vec::new();
    for &(number, mils, ohms) in WIRES {
        let gauge = Gauge::new(number);
        checks.push(Check::new(
            format!("AWG {number}, mils"),
            mils,
            Within::Percent(0.1),
            gauge
                .and_then(diameter)
                .map(|diameter| diameter.get() / 25.4 * 1000.0),
        ));
        checks.push(Check::new(
            format!("AWG {number}, ohms for 100 ft"),
            ohms,
            Within::Percent(0.2),
            gauge
                .and_then(|gauge| resistance(gauge, Millimetres::new(30_480.0)?))
                .map(|resistance| resistance.get()),
        ));
    }
    Source {
        name: "Cirris, wire resistance table",
        mark: Mark::Published,
        checks,
    }
}
