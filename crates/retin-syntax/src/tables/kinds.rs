//! The kinds of part, and what the trade knows of each.

use crate::token::Token;
use crate::value::Dimension;
use std::sync::LazyLock;

/// How the leads of a kind are named.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum LeadSet {
    /// `+` and `-`.
    Polar,
    /// `1` and `2`, alike.
    Plain,
    /// Anode and cathode: `A` and `K`.
    Diode,
    /// `+`, `-` and two that are alike, `~1` and `~2`.
    Bridge,
    /// `E`, `B`, `C`.
    Bipolar,
    /// `D`, `G`, `S`.
    FieldEffect,
    /// `in`, `common`, `out`, or `in`, `adjust`, `out`.
    Regulator,
    /// `A`, `K`, `G`.
    Thyristor,
    /// `1` to `3`, with `2` the wiper, and further gangs as sections.
    Wiper,
    /// Numbers from 1; a device may give them function names.
    Numbered,
}

impl LeadSet {
    /// The names of the leads where they are fixed; numbered leads have none.
    pub fn names(self) -> &'static [&'static str] {
        match self {
            LeadSet::Polar => &["+", "-"],
            LeadSet::Plain => &["1", "2"],
            LeadSet::Diode => &["A", "K"],
            LeadSet::Bridge => &["+", "-", "~1", "~2"],
            LeadSet::Bipolar => &["E", "B", "C"],
            LeadSet::FieldEffect => &["D", "G", "S"],
            LeadSet::Regulator => &["in", "common", "out", "adjust"],
            LeadSet::Thyristor => &["A", "K", "G"],
            LeadSet::Wiper => &["1", "2", "3"],
            LeadSet::Numbered => &[],
        }
    }

    /// The lead that must sit on the higher potential, and the one on the lower.
    pub fn polarity(self) -> Option<(&'static str, &'static str)> {
        match self {
            LeadSet::Polar => Some(("+", "-")),
            _ => None,
        }
    }
}

/// A kind of part, as an index into [`KINDS`].
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub struct Kind(u8);

/// What the trade knows of one kind of part.
#[derive(Clone, Copy, Debug)]
pub struct KindRow {
    /// The reserved word.
    pub token: Token,
    /// What a bare value of this kind is: capacitance for a capacitor, volts for a zener.
    pub value: Option<Dimension>,
    /// How its leads are named.
    pub leads: LeadSet,
    /// Whether a plan has to say what becomes of it: the kind ages, or fails with age.
    pub ages: bool,
    /// Tolerance assumed where nobody wrote one, as a fraction of one. *Common practice, no source.*
    pub usual_tolerance: Option<&'static str>,
    /// One line for the reference and for hover.
    pub doc: &'static str,
}

use Dimension as D;
use LeadSet as L;

const fn row(
    token: Token,
    value: Option<Dimension>,
    leads: LeadSet,
    ages: bool,
    usual_tolerance: Option<&'static str>,
    doc: &'static str,
) -> KindRow {
    KindRow {
        token,
        value,
        leads,
        ages,
        usual_tolerance,
        doc,
    }
}

/// Every kind of part.
#[rustfmt::skip]
pub const KINDS: &[KindRow] = &[
    row(Token::Electrolytic,     Some(D::Capacitance), L::Polar, true, Some("0.2"), "aluminium electrolytic capacitor, polar"),
    row(Token::Bipolar,          Some(D::Capacitance), L::Plain, true, Some("0.2"), "aluminium electrolytic capacitor without polarity"),
    row(Token::Tantalum,         Some(D::Capacitance), L::Polar, true, Some("0.2"), "tantalum capacitor, polar"),
    row(Token::Polymer,          Some(D::Capacitance), L::Polar, true, Some("0.2"), "polymer electrolytic capacitor, polar"),
    row(Token::Film,             Some(D::Capacitance), L::Plain, false, Some("0.1"), "plastic film capacitor"),
    row(Token::Paper,            Some(D::Capacitance), L::Plain, true, Some("0.2"), "paper capacitor"),
    row(Token::Ceramic,          Some(D::Capacitance), L::Plain, false, Some("0.2"), "ceramic capacitor"),
    row(Token::Mica,             Some(D::Capacitance), L::Plain, false, Some("0.05"), "mica capacitor"),
    row(Token::MainsCapacitor,   Some(D::Capacitance), L::Plain, true, Some("0.2"), "capacitor across the mains (X) or from line to earth (Y)"),
    row(Token::TrimmerCapacitor, Some(D::Capacitance), L::Plain, false, None, "adjustable capacitor"),
    row(Token::Resistor,         Some(D::Resistance), L::Plain, false, Some("0.05"), "fixed resistor"),
    row(Token::Network,          Some(D::Resistance), L::Numbered, false, Some("0.05"), "several resistors in one body"),
    row(Token::Thermistor,       Some(D::Resistance), L::Plain, false, Some("0.2"), "temperature-dependent resistor, NTC or PTC"),
    row(Token::Varistor,         Some(D::Voltage), L::Plain, true, Some("0.1"), "voltage-dependent resistor"),
    row(Token::Pot,              Some(D::Resistance), L::Wiper, true, Some("0.2"), "rotary control"),
    row(Token::Trimmer,          Some(D::Resistance), L::Wiper, true, Some("0.2"), "preset adjusted with a tool"),
    row(Token::Fader,            Some(D::Resistance), L::Wiper, true, Some("0.2"), "sliding control"),
    row(Token::Inductor,         Some(D::Inductance), L::Plain, false, Some("0.1"), "coil or choke"),
    row(Token::Transformer,      None, L::Numbered, false, None, "transformer"),
    row(Token::Diode,            None, L::Diode, false, None, "signal or rectifier diode"),
    row(Token::Zener,            Some(D::Voltage), L::Diode, false, Some("0.05"), "zener diode"),
    row(Token::Bridge,           None, L::Bridge, false, None, "bridge rectifier"),
    row(Token::Led,              None, L::Diode, false, None, "light-emitting diode"),
    row(Token::Npn,              None, L::Bipolar, false, None, "NPN transistor"),
    row(Token::Pnp,              None, L::Bipolar, false, None, "PNP transistor"),
    row(Token::NJfet,            None, L::FieldEffect, false, None, "N-channel junction FET"),
    row(Token::PJfet,            None, L::FieldEffect, false, None, "P-channel junction FET"),
    row(Token::NMosfet,          None, L::FieldEffect, false, None, "N-channel MOSFET"),
    row(Token::PMosfet,          None, L::FieldEffect, false, None, "P-channel MOSFET"),
    row(Token::Thyristor,        None, L::Thyristor, false, None, "thyristor"),
    row(Token::Triac,            None, L::Numbered, false, None, "triac"),
    row(Token::Opamp,            None, L::Numbered, false, None, "operational amplifier"),
    row(Token::Logic,            None, L::Numbered, false, None, "logic chip"),
    row(Token::Regulator,        Some(D::Voltage), L::Regulator, false, Some("0.05"), "voltage regulator for a rail above ground"),
    row(Token::NegativeRegulator, Some(D::Voltage), L::Regulator, false, Some("0.05"), "voltage regulator for a rail below ground"),
    row(Token::Optocoupler,      None, L::Numbered, true, None, "optocoupler"),
    row(Token::Chip,             None, L::Numbered, false, None, "any other integrated circuit"),
    row(Token::Valve,            None, L::Numbered, true, None, "valve"),
    row(Token::Relay,            Some(D::Voltage), L::Numbered, true, None, "relay; its value is the coil voltage"),
    row(Token::Switch,           None, L::Numbered, false, None, "switch"),
    row(Token::Connector,        None, L::Numbered, false, None, "plug, socket or terminal strip"),
    row(Token::Socket,           None, L::Numbered, false, None, "socket for a chip or valve"),
    row(Token::Fuse,             Some(D::Current), L::Plain, true, None, "fuse; its value is the rated current"),
    row(Token::Lamp,             Some(D::Voltage), L::Plain, true, None, "lamp"),
    row(Token::Battery,          Some(D::Voltage), L::Polar, true, None, "cell or battery"),
    row(Token::Crystal,          Some(D::Frequency), L::Plain, false, None, "crystal or resonator"),
    row(Token::Motor,            Some(D::Voltage), L::Plain, true, None, "motor"),
    row(Token::Loudspeaker,      Some(D::Resistance), L::Plain, false, None, "loudspeaker"),
    row(Token::Movement,         None, L::Polar, false, None, "moving-coil meter"),
];

/// A word that stands for several kinds in a selector.
#[derive(Clone, Copy, Debug)]
pub struct Family {
    /// The reserved word.
    pub token: Token,
    /// The kinds it covers.
    pub members: &'static [Token],
    /// One line for the reference and for hover.
    pub doc: &'static str,
}

/// Every family.
pub const FAMILIES: &[Family] = &[
    Family {
        token: Token::Capacitor,
        members: &[
            Token::Electrolytic,
            Token::Bipolar,
            Token::Tantalum,
            Token::Polymer,
            Token::Film,
            Token::Paper,
            Token::Ceramic,
            Token::Mica,
            Token::MainsCapacitor,
            Token::TrimmerCapacitor,
        ],
        doc: "every kind of capacitor",
    },
    Family {
        token: Token::Control,
        members: &[Token::Pot, Token::Trimmer, Token::Fader],
        doc: "every control: pots, trimmers and faders",
    },
    Family {
        token: Token::Transistor,
        members: &[
            Token::Npn,
            Token::Pnp,
            Token::NJfet,
            Token::PJfet,
            Token::NMosfet,
            Token::PMosfet,
        ],
        doc: "every transistor",
    },
    Family {
        token: Token::IntegratedCircuit,
        members: &[
            Token::Opamp,
            Token::Logic,
            Token::Regulator,
            Token::NegativeRegulator,
            Token::Optocoupler,
            Token::Chip,
        ],
        doc: "every integrated circuit, regulators among them",
    },
    Family {
        token: Token::Semiconductor,
        members: &[
            Token::Diode,
            Token::Zener,
            Token::Bridge,
            Token::Led,
            Token::Npn,
            Token::Pnp,
            Token::NJfet,
            Token::PJfet,
            Token::NMosfet,
            Token::PMosfet,
            Token::Thyristor,
            Token::Triac,
            Token::Opamp,
            Token::Logic,
            Token::Regulator,
            Token::NegativeRegulator,
            Token::Optocoupler,
            Token::Chip,
        ],
        doc: "every semiconductor",
    },
];

impl Kind {
    /// The kind a reserved word names.
    pub fn of(token: Token) -> Option<Kind> {
        static INDEX: LazyLock<[Option<u8>; Token::COUNT]> = LazyLock::new(|| {
            let mut table = [None; Token::COUNT];
            for (index, row) in KINDS.iter().enumerate() {
                table[row.token as usize] = Some(index as u8);
            }
            table
        });
        INDEX[token as usize].map(Kind)
    }

    /// Every kind, in the order of the table.
    pub fn all() -> impl Iterator<Item = Kind> {
        (0..KINDS.len()).map(|index| Kind(index as u8))
    }

    /// The kind's row in the table.
    pub fn row(self) -> &'static KindRow {
        &KINDS[self.0 as usize]
    }

    /// The reserved word for the kind.
    pub fn token(self) -> Token {
        self.row().token
    }

    /// The kind's name as text.
    pub fn word(self) -> &'static str {
        self.row().token.reserved_text().unwrap_or("")
    }

    /// The kind's name with the article that belongs before it.
    pub fn with_article(self) -> String {
        let word = self.word();
        let article = if word.starts_with(['a', 'e', 'i', 'o', 'u'])
            || word.starts_with("n-")
            || word.starts_with("npn")
        {
            "an"
        } else {
            "a"
        };
        format!("{article} {word}")
    }

    /// Whether `word`, a kind or a family, covers this kind.
    pub fn is_covered_by(self, word: Token) -> bool {
        word == self.token()
            || word == Token::Part
            || FAMILIES
                .iter()
                .any(|family| family.token == word && family.members.contains(&self.token()))
    }

    /// Whether the part has a plus and a minus that must not be exchanged.
    pub fn is_polar(self) -> bool {
        self.row().leads == LeadSet::Polar
    }
}

/// Whether the word names a kind.
pub fn is_kind(token: Token) -> bool {
    Kind::of(token).is_some()
}

/// Whether the word names a family of kinds.
pub fn is_family(token: Token) -> bool {
    token == Token::Part || FAMILIES.iter().any(|family| family.token == token)
}
