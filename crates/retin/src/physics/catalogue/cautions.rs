//! What is said beside a result where the work can hurt (common practice, no
//! source). The codes of the place, and the people they allow, have the last word.

/// For work on capacitors that hold a charge.
pub const STORED_CHARGE: &str = "stored charge kills: unplug, discharge through a resistor, measure that the voltage is gone and measure again, under the local codes and by someone whom they allow to do it";
/// For work on what is connected to the mains.
pub const MAINS: &str = "mains kills: this is work on an unplugged and discharged unit, under the local codes and by someone whom they allow to do it";
/// For voltages at which a published caution starts.
pub const HIGH_VOLTAGE: &str = "a published caution starts below this voltage: treat it as one that kills, under the local codes and by someone whom they allow to do it";
/// For wires that run hot.
pub const HOT_WIRE: &str = "a wire near its melting current burns and sets fire: fuse the circuit far below it, and follow the local codes";
