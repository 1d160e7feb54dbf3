//! Vishay Sprague 515D data sheet (published): lead pitch by case diameter.

use retin::physics::case_pitch::lead_pitch;
use retin::physics::units::Millimetres;
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "Vishay Sprague 515D data sheet",
        mark: Mark::Published,
        checks: vec![
            Check::of("case 4 mm, mm", 1.5, Within::Percent(0.001), || {
                Ok(lead_pitch(Millimetres::new(4.0)?)?.get())
            }),
            Check::of("case 5 mm, mm", 2.0, Within::Percent(0.001), || {
                Ok(lead_pitch(Millimetres::new(5.0)?)?.get())
            }),
            Check::of("case 6.3 mm, mm", 2.5, Within::Percent(0.001), || {
                Ok(lead_pitch(Millimetres::new(6.3)?)?.get())
            }),
            Check::of("case 8 mm, mm", 3.5, Within::Percent(0.001), || {
                Ok(lead_pitch(Millimetres::new(8.0)?)?.get())
            }),
            Check::of("case 10 mm, mm", 5.0, Within::Percent(0.001), || {
                Ok(lead_pitch(Millimetres::new(10.0)?)?.get())
            }),
            Check::of("case 12.5 mm, mm", 5.0, Within::Percent(0.001), || {
                Ok(lead_pitch(Millimetres::new(12.5)?)?.get())
            }),
            Check::of("case 16 mm, mm", 7.5, Within::Percent(0.001), || {
                Ok(lead_pitch(Millimetres::new(16.0)?)?.get())
            }),
            Check::of("case 18 mm, mm", 7.5, Within::Percent(0.001), || {
                Ok(lead_pitch(Millimetres::new(18.0)?)?.get())
            }),
        ],
    }
}
