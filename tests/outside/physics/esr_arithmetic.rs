//! Series resistance by independent arithmetic from the published tables of tan δ.

use retin::physics::loss_factor::{LossSeries, series_resistance, series_resistance_limit};
use retin::physics::units::{Farads, Hertz, Ratio, Volts};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "ESR from tan δ, independent arithmetic",
        mark: Mark::Computed,
        checks: vec![
            Check::of(
                "1000 µF 16 V Lelon, ohms",
                0.212,
                Within::LastDigit(0.001),
                || {
                    Ok(series_resistance_limit(
                        LossSeries::LelonRga,
                        Volts::new(16.0)?,
                        Farads::new(1000e-6)?,
                    )?
                    .get())
                },
            ),
            Check::of(
                "100 µF 25 V Lelon, ohms",
                1.857,
                Within::LastDigit(0.001),
                || {
                    Ok(series_resistance_limit(
                        LossSeries::LelonRga,
                        Volts::new(25.0)?,
                        Farads::new(100e-6)?,
                    )?
                    .get())
                },
            ),
            Check::of(
                "1000 µF 25 V Keltron, ohms",
                0.191,
                Within::LastDigit(0.001),
                || {
                    Ok(series_resistance_limit(
                        LossSeries::KeltronRadial,
                        Volts::new(25.0)?,
                        Farads::new(1000e-6)?,
                    )?
                    .get())
                },
            ),
            Check::of(
                "0.1 µF, 5 %, 120 Hz, ohms",
                663.1,
                Within::LastDigit(0.1),
                || {
                    Ok(series_resistance(
                        Ratio::new(0.05)?,
                        Farads::new(0.1e-6)?,
                        Hertz::new(120.0)?,
                    )?
                    .get())
                },
            ),
        ],
    }
}
