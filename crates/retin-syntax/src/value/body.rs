//! The outline of a part and the pitch of its leads.

use std::fmt;

use rust_decimal::Decimal;

use super::exact::Exact;

/// The outline of a part, in millimetres, every side above zero.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Body {
    /// A round can: `5x11`.
    Round {
        /// Diameter.
        diameter: Decimal,
        /// Length along the axis; the height of a can that stands.
        length: Decimal,
    },
    /// A box: `7.2x2.5x6.5`.
    Box {
        /// Along the row of leads.
        length: Decimal,
        /// Across it.
        width: Decimal,
        /// Above the board.
        height: Decimal,
    },
}

impl fmt::Display for Body {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Body::Round { diameter, length } => {
                write!(f, "{}x{}", Exact::from(*diameter), Exact::from(*length))
            }
            Body::Box {
                length,
                width,
                height,
            } => write!(
                f,
                "{}x{}x{}",
                Exact::from(*length),
                Exact::from(*width),
                Exact::from(*height)
            ),
        }
    }
}

/// Writes a lead pitch in millimetres: `p7.5`.
///
/// A pitch that would look like the letter code of a capacitor below 1 pF
/// (`p33`) keeps a decimal, `p33.0`.
///
/// # Errors
/// When the formatter fails.
pub(super) fn write_pitch(f: &mut fmt::Formatter<'_>, pitch: Decimal) -> fmt::Result {
    f.write_str("p")?;
    let exact = Exact::from(pitch);
    if looks_like_a_letter_code(&exact.to_string()) {
        exact.write_with_places(f, 1)
    } else {
        write!(f, "{exact}")
    }
}

/// Whether the digits after `p` are as likely IEC 60062 (`p33` = 0.33 pF) as a
/// pitch: two figures of the E24 series that are no multiple of 2.5 mm.
pub(super) fn looks_like_a_letter_code(digits: &str) -> bool {
    const FIGURES: &[&str] = &[
        "11", "12", "13", "16", "18", "22", "24", "27", "33", "36", "39", "43", "47", "51", "56",
        "62", "68", "82", "91",
    ];
    FIGURES.contains(&digits)
}
