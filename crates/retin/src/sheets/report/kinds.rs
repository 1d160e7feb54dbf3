//! Kinds of part in words that an owner knows.

use retin_syntax::Token;
use retin_syntax::tables::Kind;

/// One of a kind, and several.
#[rustfmt::skip]
const WORDS: &[(Token, &str, &str)] = &[
    (Token::Electrolytic,      "electrolytic capacitor", "electrolytic capacitors"),
    (Token::Bipolar,           "bipolar electrolytic capacitor", "bipolar electrolytic capacitors"),
    (Token::Tantalum,          "tantalum capacitor", "tantalum capacitors"),
    (Token::Polymer,           "polymer capacitor", "polymer capacitors"),
    (Token::Film,              "film capacitor", "film capacitors"),
    (Token::Paper,             "paper capacitor", "paper capacitors"),
    (Token::Ceramic,           "ceramic capacitor", "ceramic capacitors"),
    (Token::Mica,              "mica capacitor", "mica capacitors"),
    (Token::MainsCapacitor,    "mains capacitor", "mains capacitors"),
    (Token::TrimmerCapacitor,  "trimmer capacitor", "trimmer capacitors"),
    (Token::Resistor,          "resistor", "resistors"),
    (Token::Network,           "resistor network", "resistor networks"),
    (Token::Thermistor,        "thermistor", "thermistors"),
    (Token::Varistor,          "varistor", "varistors"),
    (Token::Pot,               "rotary control", "rotary controls"),
    (Token::Trimmer,           "preset", "presets"),
    (Token::Fader,             "fader", "faders"),
    (Token::Inductor,          "coil", "coils"),
    (Token::Transformer,       "transformer", "transformers"),
    (Token::Diode,             "diode", "diodes"),
    (Token::Zener,             "zener diode", "zener diodes"),
    (Token::Bridge,            "rectifier", "rectifiers"),
    (Token::Led,               "light-emitting diode", "light-emitting diodes"),
    (Token::Npn,               "transistor", "transistors"),
    (Token::Pnp,               "transistor", "transistors"),
    (Token::NJfet,             "field-effect transistor", "field-effect transistors"),
    (Token::PJfet,             "field-effect transistor", "field-effect transistors"),
    (Token::NMosfet,           "field-effect transistor", "field-effect transistors"),
    (Token::PMosfet,           "field-effect transistor", "field-effect transistors"),
    (Token::Thyristor,         "thyristor", "thyristors"),
    (Token::Triac,             "triac", "triacs"),
    (Token::Opamp,             "amplifier chip", "amplifier chips"),
    (Token::Logic,             "logic chip", "logic chips"),
    (Token::Regulator,         "voltage regulator", "voltage regulators"),
    (Token::NegativeRegulator, "voltage regulator", "voltage regulators"),
    (Token::Optocoupler,       "optocoupler", "optocouplers"),
    (Token::Chip,              "chip", "chips"),
    (Token::Valve,             "valve", "valves"),
    (Token::Relay,             "relay", "relays"),
    (Token::Switch,            "switch", "switches"),
    (Token::Connector,         "connector", "connectors"),
    (Token::Socket,            "socket", "sockets"),
    (Token::Fuse,              "fuse", "fuses"),
    (Token::Lamp,              "lamp", "lamps"),
    (Token::Battery,           "battery", "batteries"),
    (Token::Crystal,           "crystal", "crystals"),
    (Token::Motor,             "motor", "motors"),
    (Token::Loudspeaker,       "loudspeaker", "loudspeakers"),
    (Token::Movement,          "meter", "meters"),
];

/// So many parts of some kinds, most first: "12 electrolytic capacitors and 2 fuses".
pub(super) fn counted(kinds: impl Iterator<Item = Option<Kind>>) -> String {
    let mut counts: Vec<((&str, &str), usize)> = Vec::new();
    for kind in kinds {
        let words = words(kind);
        match counts.iter_mut().find(|row| row.0 == words) {
            Some(row) => row.1 += 1,
            None => counts.push((words, 1)),
        }
    }
    counts.sort_by_key(|row| std::cmp::Reverse(row.1));
    let told: Vec<String> = counts
        .into_iter()
        .map(|((one, several), count)| crate::words::counted(count, one, several))
        .collect();
    crate::words::listed(&told)
}

/// One of a kind, in words that an owner knows.
pub(super) fn one(kind: Option<Kind>) -> &'static str {
    words(kind).0
}

fn words(kind: Option<Kind>) -> (&'static str, &'static str) {
    WORDS
        .iter()
        .find(|row| kind.is_some_and(|kind| kind.token() == row.0))
        .map_or(("part", "parts"), |row| (row.1, row.2))
}

#[cfg(test)]
mod tests {
    use super::{WORDS, words};
    use retin_syntax::tables::Kind;

    #[test]
    fn every_kind_has_its_words() {
        for kind in Kind::all() {
            assert_ne!(words(Some(kind)).0, "part", "{}", kind.word());
        }
        assert_eq!(WORDS.len(), Kind::all().count());
    }
}
