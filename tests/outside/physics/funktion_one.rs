//! Funktion-One SB10A manual, page 39, voltages in decibels (published); the volts are
//! rounded or cut to few figures.

use retin::physics::decibel::{dbu, dbv, volts_of_dbu};
use retin::physics::units::{Decibels, Volts};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "Funktion-One SB10A manual, levels",
        mark: Mark::Published,
        checks: vec![
            Check::of("230 V, dBu", 49.0, Within::Absolute(0.55), || {
                Ok(dbu(Volts::new(230.0)?)?.get())
            }),
            Check::of("230 V, dBV", 47.0, Within::Absolute(0.55), || {
                Ok(dbv(Volts::new(230.0)?)?.get())
            }),
            Check::of("4 V, dBu", 14.25, Within::Absolute(0.02), || {
                Ok(dbu(Volts::new(4.0)?)?.get())
            }),
            Check::of("4 V, dBV", 12.0, Within::Absolute(0.05), || {
                Ok(dbv(Volts::new(4.0)?)?.get())
            }),
            Check::of("1 V, dBu", 2.21, Within::Absolute(0.02), || {
                Ok(dbu(Volts::new(1.0)?)?.get())
            }),
            Check::of("1 V, dBV", 0.0, Within::Absolute(0.0001), || {
                Ok(dbv(Volts::new(1.0)?)?.get())
            }),
            Check::of("+24 dBu, V", 12.27, Within::Percent(0.1), || {
                Ok(volts_of_dbu(Decibels::new(24.0)?)?.get())
            }),
            Check::of("+4 dBu, V", 1.22, Within::Percent(1.0), || {
                Ok(volts_of_dbu(Decibels::new(4.0)?)?.get())
            }),
            Check::of("0 dBu, V", 0.775, Within::LastDigit(0.001), || {
                Ok(volts_of_dbu(Decibels::new(0.0)?)?.get())
            }),
            Check::of("−7.78 dBu, V", 0.316, Within::LastDigit(0.001), || {
                Ok(volts_of_dbu(Decibels::new(-7.78)?)?.get())
            }),
            Check::of("−43.8 dBu, V", 0.005, Within::LastDigit(0.001), || {
                Ok(volts_of_dbu(Decibels::new(-43.8)?)?.get())
            }),
        ],
    }
}
