//! Where published cautions about touchable voltages start: OSHA 29 CFR
//! 1910.303(g)(2)(i) with its letter of 4 September 2015, HSE INDG354 and UL
//! Solutions (published); a Keithley source-measure manual (reported).

use retin::physics::units::{OutOfValidity, Volts};
use retin::physics::voltage_limits::{VoltageKind, cautions_reached};
use retin_tests::published::{Check, Mark, Source, Within};

/// How many cautions of one source a voltage has reached.
fn reached(kind: VoltageKind, volts: f64, source: &str) -> Result<f64, OutOfValidity> {
    let reached = cautions_reached(kind, Volts::new(volts)?)?;
    let of_source = reached.iter().filter(|entry| entry.source.contains(source));
    Ok(f64::from(u8::from(of_source.count() > 0)))
}

/// Checks that a caution starts at a figure: there or just above, and not below.
fn starts_at(
    name: &'static str,
    mark: Mark,
    key: &str,
    figures: &[(VoltageKind, f64, f64)],
) -> Source {
    let mut checks = Vec::new();
    for &(kind, below, from) in figures {
        for (volts, printed) in [(below, 0.0), (from, 1.0), (-from, 1.0)] {
            checks.push(Check::of(
                &format!("{kind:?}, {volts} V"),
                printed,
                Within::Absolute(0.0),
                || reached(kind, volts, key),
            ));
        }
    }
    Source { name, mark, checks }
}

pub fn osha() -> Source {
    starts_at(
        "OSHA 29 CFR 1910.303(g)(2)(i)",
        Mark::Published,
        "OSHA",
        &[
            (VoltageKind::Direct, 49.9, 50.0),
            (VoltageKind::AlternatingEffective, 49.9, 50.0),
        ],
    )
}

pub fn hse() -> Source {
    starts_at(
        "HSE INDG354",
        Mark::Published,
        "HSE",
        &[
            (VoltageKind::Direct, 1500.0, 1500.1),
            (VoltageKind::AlternatingEffective, 1000.0, 1000.1),
        ],
    )
}

pub fn keithley() -> Source {
    starts_at(
        "Keithley source-measure manual, as reported",
        Mark::Reported,
        "Keithley",
        &[
            (VoltageKind::Direct, 60.0, 60.1),
            (VoltageKind::AlternatingEffective, 30.0, 30.1),
            (VoltageKind::AlternatingPeak, 42.4, 42.5),
        ],
    )
}

pub fn ul_solutions() -> Source {
    starts_at(
        "UL Solutions, questions on IEC 62368-1",
        Mark::Published,
        "UL Solutions",
        &[(VoltageKind::AlternatingPeak, 70.7, 70.8)],
    )
}
