//! Check values that were printed by someone else, and how they are compared.

use retin::physics::units::OutOfValidity;

/// How a check value came to us.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// Read in the publisher's own text.
    Published,
    /// Read in someone else's page that reports it.
    Reported,
    /// Computed by an independent program, or by independent arithmetic.
    Computed,
    /// A fact of the trade without a source.
    CommonPractice,
    /// Remembered only; never to be asserted.
    FromMemory,
}

/// How near a computed value has to come to a printed one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Within {
    /// Half a unit of the last printed digit; the argument is that unit.
    LastDigit(f64),
    /// This much either way, in the unit of the printed value.
    Absolute(f64),
    /// A share of the printed value, in per cent.
    Percent(f64),
}

/// One check value beside what was computed for it.
#[derive(Clone, Debug)]
pub struct Check {
    /// What it is, to find it in the source.
    pub what: String,
    /// The value as printed, in the unit it was printed in.
    pub printed: f64,
    /// The value as computed, in the same unit; the refusal when there is none.
    pub computed: Result<f64, String>,
    /// How near they have to be.
    pub within: Within,
}

impl Check {
    /// A check from a computation that may refuse.
    pub fn new<Refusal: std::fmt::Display>(
        what: impl Into<String>,
        printed: f64,
        within: Within,
        computed: Result<f64, Refusal>,
    ) -> Self {
        Self {
            what: what.into(),
            printed,
            computed: computed.map_err(|refusal| refusal.to_string()),
            within,
        }
    }

    /// A check from a few lines of computation.
    pub fn of(
        what: &str,
        printed: f64,
        within: Within,
        compute: impl FnOnce() -> Result<f64, OutOfValidity>,
    ) -> Self {
        Self::new(what, printed, within, compute())
    }

    /// Whether the computed value agrees with the printed one.
    #[must_use]
    pub fn holds(&self) -> bool {
        let Ok(computed) = self.computed else {
            return false;
        };
        let allowed = match self.within {
            // A hair more than half, for printed values that were cut, not rounded
            // to even.
            Within::LastDigit(unit) => 0.501 * unit,
            Within::Absolute(amount) => amount * (1.0 + 1e-9),
            Within::Percent(percent) => self.printed.abs() * percent / 100.0,
        };
        (computed - self.printed).abs() <= allowed
    }
}

/// One source and its check values.
#[derive(Clone, Debug)]
pub struct Source {
    /// Author and title, or site.
    pub name: &'static str,
    /// How its values came to us.
    pub mark: Mark,
    /// The values.
    pub checks: Vec<Check>,
}
