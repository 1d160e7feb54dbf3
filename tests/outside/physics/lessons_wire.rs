//! Lessons in Electric Circuits (Kuphaldt), volume DC, table of solid round copper
//! wire (published).

use retin::physics::wire::{Gauge, circular_mils, diameter};
use retin_tests::published::{Check, Mark, Source, Within};

/// Gauge (4/0 is −3), diameter in inches, circular mils.
const WIRES: &[(i32, f64, f64)] = &[
    (-3, 0.46, 211600.0),
    (-2, 0.4096, 167800.0),
    (-1, 0.3648, 133100.0),
    (0, 0.3249, 105500.0),
    (1, 0.2893, 83690.0),
    (2, 0.2576, 66370.0),
    (3, 0.2294, 52630.0),
    (4, 0.2043, 41740.0),
    (5, 0.1819, 33100.0),
    (6, 0.162, 26250.0),
    (7, 0.1443, 20820.0),
    (8, 0.1285, 16510.0),
    (9, 0.1144, 13090.0),
    (10, 0.1019, 10380.0),
    (11, 0.09074, 8234.0),
    (12, 0.08081, 6530.0),
    (13, 0.07196, 5178.0),
    (14, 0.06408, 4107.0),
    (15, 0.05707, 3257.0),
    (16, 0.05082, 2583.0),
    (17, 0.04526, 2048.0),
    (18, 0.0403, 1624.0),
    (19, 0.03589, 1288.0),
    (20, 0.03196, 1022.0),
    (21, 0.02846, 810.1),
    (22, 0.02535, 642.5),
    (23, 0.02257, 509.5),
    (24, 0.0201, 404.0),
    (25, 0.0179, 320.4),
    (26, 0.01594, 254.1),
    (27, 0.0142, 201.5),
    (28, 0.01264, 159.8),
    (29, 0.01126, 126.7),
    (30, 0.01003, 100.5),
    (31, 0.008928, 79.7),
    (32, 0.00795, 63.21),
    (33, 0.00708, 50.13),
    (34, 0.006305, 39.75),
    (35, 0.005615, 31.52),
    (36, 0.005, 25.0),
    (37, 0.004453, 19.83),
    (38, 0.003965, 15.72),
    (39, 0.003531, 12.47),
    (40, 0.003145, 9.888),
    (41, 0.0028, 7.842),
    (42, 0.002494, 6.219),
    (43, 0.002221, 4.932),
    (44, 0.001978, 3.911),
];

pub fn source() -> Source {
    let mut checks = Vec::new();
    for &(number, inches, section) in WIRES {
        let size = Gauge::new(number).and_then(diameter);
        checks.push(Check::new(
            format!("AWG {number}, diameter"),
            inches,
            Within::Percent(0.1),
            size.map(|size| size.get() / 25.4),
        ));
        checks.push(Check::new(
            format!("AWG {number}, circular mils"),
            section,
            Within::Percent(0.2),
            size.and_then(circular_mils).map(|section| section.get()),
        ));
    }
    Source {
        name: "Kuphaldt, Lessons in Electric Circuits, DC, wire table",
        mark: Mark::Published,
        checks,
    }
}
