//! The numbers that rules judge by, each with where it comes from.

use retin_syntax::value::Decimal;

/// Share of its rated voltage that a capacitor is used at, where the job sets
/// no `margin`. *Common practice, no source.*
pub const VOLTAGE_MARGIN: Decimal = Decimal::from_parts(8, 0, 0, false, 1);

/// How many times its old value a reservoir or bypass capacitor may grow.
/// *Common practice, no source.*
pub const RESERVOIR_GROWTH: Decimal = Decimal::from_parts(15, 0, 0, false, 1);

/// How far apart the two values of a timing or filter part may be, as a
/// fraction of the old one. *Common practice, no source.*
pub const TIMING_SHIFT: Decimal = Decimal::from_parts(1, 0, 0, false, 2);
