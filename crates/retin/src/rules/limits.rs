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

/// Most that wire leads are bent together or apart, in mm: makers sell cans
/// with 1.5 mm pitch formed to 5 mm. Published KEMET leaded sheets, from their
/// straight and formed pitches.
pub const LEAD_FORMING: Decimal = Decimal::from_parts(35, 0, 0, false, 1);

/// How far apart two pitches of stiff pins may be, in mm: 2.5 for 2.54.
/// *Common practice, no source.*
pub const STIFF_PITCH_PLAY: Decimal = Decimal::from_parts(3, 0, 0, false, 1);

/// How much two bodies of one size differ by sleeve and calliper, in mm.
/// *Common practice, no source.*
pub const BODY_PLAY: Decimal = Decimal::from_parts(5, 0, 0, false, 1);

/// Where no `room` is written, a body this many times the old one's width is
/// taken not to fit, if it is also wider by [`BODY_EXCESS`].
/// *Common practice, no source.*
pub const BODY_GROWTH: Decimal = Decimal::from_parts(125, 0, 0, false, 2);

/// See [`BODY_GROWTH`]; in mm. *Common practice, no source.*
pub const BODY_EXCESS: Decimal = Decimal::from_parts(2, 0, 0, false, 0);

/// How far apart two shafts may be that take the same knob, in mm: 6.1 and
/// 6.35 mm do not. *Common practice, no source.*
pub const SHAFT_PLAY: Decimal = Decimal::from_parts(1, 0, 0, false, 1);

/// Most of a resistor's power rating that is used without a question, as a
/// share. *Common practice, no source.*
pub const RESISTOR_SHARE: Decimal = Decimal::from_parts(7, 0, 0, false, 1);

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

/// Least difference between the input and the output of a regulator whose sheet
/// is not at hand, in volts. *Common practice, no source.*
pub const REGULATOR_DROPOUT_VOLTS: f64 = 2.0;

/// What a regulator with a fixed voltage takes for itself, in amperes.
/// *Common practice, no source.*
pub const REGULATOR_OWN_AMPERES: f64 = 5e-3;

/// Current gain of a small transistor of which nothing is stated: the least, the
/// usual and the most. *Common practice, no source.*
pub const USUAL_GAIN: (f64, f64, f64) = (50.0, 200.0, 600.0);

/// Most that the current gains of a matched group may be apart, as a share of the
/// lowest. *Common practice, no source.*
pub const MATCHED_GAIN: Decimal = Decimal::from_parts(1, 0, 0, false, 1);

/// Most that the base-emitter voltages of a matched group may be apart, in volts.
/// *Common practice, no source.*
pub const MATCHED_VBE: Decimal = Decimal::from_parts(20, 0, 0, false, 3);

/// Most that the values of a matched group may be apart, as a share of the lowest.
/// *Common practice, no source.*
pub const MATCHED_VALUE: Decimal = Decimal::from_parts(1, 0, 0, false, 2);

/// What a board is washed with that creeps into parts.
/// *Common practice, no source.*
pub const SOLVENTS: &[&str] = &[
    "isopropanol",
    "alcohol",
    "ethanol",
    "spirit",
    "acetone",
    "petrol",
    "thinner",
    "flux-remover",
    "contact-cleaner",
    "vinegar",
    "water",
    "detergent",
];

/// What a board is cleaned with that creeps nowhere.
/// *Common practice, no source.*
pub const DRY_MEANS: &[&str] = &["brush", "air", "cloth", "vacuum", "pencil", "wick"];

/// Kinds of part that a washing harms: their seals and sleeves hold what creeps
/// in, or their contacts and tracks lose their grease.
/// *Common practice, no source.*
pub const SUFFER_FROM_SOLVENTS: &[Token] = &[
    Token::Electrolytic,
    Token::Bipolar,
    Token::Polymer,
    Token::TrimmerCapacitor,
    Token::Pot,
    Token::Trimmer,
    Token::Fader,
    Token::Switch,
    Token::Relay,
    Token::Transformer,
    Token::Loudspeaker,
    Token::Movement,
    Token::Motor,
];

/// Most that a repaired connection reads from end to end, in ohms, the meter's
/// own leads included. *Common practice, no source.*
pub const CONTINUITY: Decimal = Decimal::ONE;

/// How far two potentials have to be apart before a solved one decides a sign,
/// in volts: a generic junction is out by some tens of millivolts, and an
/// amplifier's input currents move its output by as much.
/// *Common practice, no source.*
pub const SOLVED_DOUBT: Decimal = Decimal::from_parts(1, 0, 0, false, 1);
