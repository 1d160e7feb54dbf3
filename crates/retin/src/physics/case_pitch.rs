//! Lead pitch of radial electrolytics by case diameter.

use super::units::{Millimetres, OutOfValidity, Quantity, ValidityRule};

/// Case diameter and lead pitch in millimetres: Vishay Sprague 515D (published).
const PITCHES: [(f64, f64); 8] = [
    (4.0, 1.5),
    (5.0, 2.0),
    (6.3, 2.5),
    (8.0, 3.5),
    (10.0, 5.0),
    (12.5, 5.0),
    (16.0, 7.5),
    (18.0, 7.5),
];

/// Lead pitch of a straight-leaded radial can.
///
/// Cans up to 8 mm are also sold with leads formed to 5 mm or 2.5 mm.
/// Source: Vishay Sprague 515D (published).
///
/// # Errors
/// Refuses diameters the table does not list, with 0.2 mm of play for sleeves
/// and callipers.
pub fn lead_pitch(diameter: Millimetres) -> Result<Millimetres, OutOfValidity> {
    let row = PITCHES
        .iter()
        .find(|(case, _)| (case - diameter.get()).abs() <= 0.2 + 1e-9)
        .ok_or(OutOfValidity {
            input: "case diameter",
            value: diameter.get(),
            unit: "mm",
            rule: ValidityRule::Listed {
                list: "4, 5, 6.3, 8, 10, 12.5, 16 and 18 mm",
            },
        })?;
    Millimetres::checked("lead pitch", row.1)
}
