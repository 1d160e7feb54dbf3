//! How far a part may be off its value.

use std::fmt;

use rust_decimal::Decimal;

use super::dimension::Dimension;
use super::quantity::{self, Quantity};

/// How far a part may be off its value, each side not negative.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Tolerance {
    /// In fractions of the value: 0.2 is 20 %.
    Relative {
        /// How far below.
        minus: Decimal,
        /// How far above.
        plus: Decimal,
    },
    /// In the unit of the value, both sides of one dimension: `±0.25pF`.
    Absolute {
        /// How far below.
        minus: Quantity,
        /// How far above.
        plus: Quantity,
    },
}

impl Tolerance {
    /// The same fraction of the value on both sides: 0.2 is ±20 %.
    #[must_use]
    pub const fn relative(fraction: Decimal) -> Tolerance {
        Tolerance::Relative {
            minus: fraction,
            plus: fraction,
        }
    }

    /// The same amount on both sides.
    #[must_use]
    pub const fn absolute(amount: Quantity) -> Tolerance {
        Tolerance::Absolute {
            minus: amount,
            plus: amount,
        }
    }

    /// The least and the greatest value a sound part of `nominal` may have.
    ///
    /// `None` when the tolerance is of another dimension, or the arithmetic
    /// outgrows what is kept exactly.
    #[must_use]
    pub fn window(&self, nominal: Quantity) -> Option<(Quantity, Quantity)> {
        let (minus, plus) = match self {
            Tolerance::Relative { minus, plus } => {
                let size = nominal.abs();
                (size.checked_mul(*minus)?, size.checked_mul(*plus)?)
            }
            Tolerance::Absolute { minus, plus } => (*minus, *plus),
        };
        Some((nominal.checked_sub(minus)?, nominal.checked_add(plus)?))
    }
}

impl fmt::Display for Tolerance {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (minus, plus) = match self {
            Tolerance::Relative { minus, plus } => (
                Quantity::new(*minus, Dimension::Ratio),
                Quantity::new(*plus, Dimension::Ratio),
            ),
            Tolerance::Absolute { minus, plus } => (*minus, *plus),
        };
        if minus == plus {
            f.write_str("±")?;
            quantity::write_unsigned_ratio(f, &plus)
        } else {
            f.write_str("-")?;
            quantity::write_pair(f, &minus, "/+", &plus)
        }
    }
}
