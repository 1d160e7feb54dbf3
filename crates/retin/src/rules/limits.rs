//! The numbers that rules judge by, each with where it comes from.

use retin_syntax::Token;
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

/// The values that parts of a kind are made in, widely drawn: what lies outside
/// is a slip of the pen. A regulator's and a battery's sign is left aside.
/// *Common practice, no source.*
pub const VALUES_MADE: &[(Token, &str, &str)] = &[
    (Token::Electrolytic, "0.1uF", "1F"),
    (Token::Bipolar, "0.1uF", "47000uF"),
    (Token::Tantalum, "1nF", "47000uF"),
    (Token::Polymer, "0.1uF", "47000uF"),
    (Token::Film, "1pF", "200uF"),
    (Token::Paper, "10pF", "200uF"),
    (Token::Ceramic, "0.1pF", "1000uF"),
    (Token::Mica, "0.5pF", "2uF"),
    (Token::MainsCapacitor, "10pF", "200uF"),
    (Token::TrimmerCapacitor, "0.1pF", "10nF"),
    (Token::Resistor, "0ohm", "1000Gohm"),
    (Token::Network, "0ohm", "100Mohm"),
    (Token::Thermistor, "0.1ohm", "100Mohm"),
    (Token::Varistor, "3V", "20kV"),
    (Token::Pot, "0.1ohm", "100Mohm"),
    (Token::Trimmer, "0.1ohm", "100Mohm"),
    (Token::Fader, "1ohm", "10Mohm"),
    (Token::Inductor, "1nH", "1000H"),
    (Token::Zener, "0.5V", "1500V"),
    (Token::Regulator, "0.5V", "1000V"),
    (Token::NegativeRegulator, "0.5V", "1000V"),
    (Token::Relay, "1V", "1000V"),
    (Token::Fuse, "1mA", "1000A"),
    (Token::Lamp, "0.5V", "1000V"),
    (Token::Battery, "0.5V", "1000V"),
    (Token::Crystal, "100Hz", "10GHz"),
    (Token::Motor, "0.5V", "1000V"),
    (Token::Loudspeaker, "0.5ohm", "10kohm"),
];

/// The rated voltages that capacitors are made for, widely drawn.
/// *Common practice, no source.*
pub const RATED_VOLTAGES_MADE: (&str, &str) = ("1V", "100kV");

/// A resistor below this is asked about, since `m` is easily written for `M`;
/// shunts of instruments go lower now and then. *Common practice, no source.*
pub const LEAST_USUAL_RESISTANCE: Decimal = Decimal::from_parts(5, 0, 0, false, 3);

/// From this tolerance on, as a fraction, parts are made in the values of E24
/// and of coarser series only. *IEC 60063, from memory.*
pub const COARSE_TOLERANCE: Decimal = Decimal::from_parts(5, 0, 0, false, 2);
