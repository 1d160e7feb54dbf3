//! Readings against a nominal value and its tolerance; windows inside windows.

use super::units::{OutOfValidity, Percent, Quantity};

/// Tolerance of a part, possibly one-sided: −10/+50 % is `minus` 10, `plus` 50.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tolerance {
    minus: Percent,
    plus: Percent,
}

impl Tolerance {
    /// A tolerance from how far below and above the nominal value it reaches.
    ///
    /// # Errors
    /// Refuses a lower part outside 0 to 100 % and an upper part outside 0 to 1000 %.
    pub fn new(minus: Percent, plus: Percent) -> Result<Self, OutOfValidity> {
        Ok(Self {
            minus: minus.within("lower tolerance", 0.0, 100.0)?,
            plus: plus.within("upper tolerance", 0.0, 1000.0)?,
        })
    }

    /// The same tolerance both ways: ±5 %.
    ///
    /// # Errors
    /// Refuses anything outside 0 to 100 %.
    pub fn symmetric(percent: Percent) -> Result<Self, OutOfValidity> {
        Self::new(percent, percent)
    }
}

/// Lowest and highest value a part may have.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window<Value> {
    /// Lowest value.
    pub low: Value,
    /// Highest value.
    pub high: Value,
}

impl<Value: Quantity> Window<Value> {
    /// Whether a reading lies inside, limits included.
    #[must_use]
    pub fn holds(&self, reading: Value) -> bool {
        self.low <= reading && reading <= self.high
    }

    /// Whether another window lies wholly inside this one.
    ///
    /// Answers whether a new part with its tolerance may stand in for an old one.
    #[must_use]
    pub fn encloses(&self, inner: &Self) -> bool {
        self.low <= inner.low && inner.high <= self.high
    }
}

/// The window around a nominal value.
///
/// # Errors
/// Refuses a nominal value of zero or less and −100 %, which leaves no part.
pub fn window<Value: Quantity>(
    nominal: Value,
    tolerance: Tolerance,
) -> Result<Window<Value>, OutOfValidity> {
    let nominal = nominal.positive("nominal value")?;
    Ok(Window {
        low: Value::checked(
            "lowest value",
            nominal.get() * (1.0 - tolerance.minus.get() / 100.0),
        )?,
        high: Value::checked(
            "highest value",
            nominal.get() * (1.0 + tolerance.plus.get() / 100.0),
        )?,
    })
}

/// How far a reading is from nominal, in per cent of nominal.
///
/// # Errors
/// Refuses a nominal value of zero or less.
pub fn deviation<Value: Quantity>(
    nominal: Value,
    reading: Value,
) -> Result<Percent, OutOfValidity> {
    let nominal = nominal.positive("nominal value")?;
    Percent::checked("deviation", (reading.get() / nominal.get() - 1.0) * 100.0)
}
