//! The one table of units; reading, printing and the reference derive from it.

use super::dimension::Dimension;
use super::money;
use rustc_hash::FxHashMap;
use std::sync::LazyLock;

/// One unit the trade writes.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Unit {
    /// The canonical spelling.
    pub symbol: &'static str,
    /// The name in words, for the reference and completion.
    pub name: &'static str,
    /// Other spellings, read with or without a space before them.
    pub spellings: &'static [&'static str],
    /// Spellings read only when they touch the number: on their own they are
    /// words or lead names (`in`, `C`, `R`).
    pub touching: &'static [&'static str],
    /// What it measures.
    pub dimension: Dimension,
    /// The prefixes that may stand before it, by [`Prefix::symbol`].
    pub prefixes: &'static str,
    /// One of this unit is `multiplier · 10^exponent` of the dimension's base unit.
    pub multiplier: u32,
    /// See [`multiplier`](Unit::multiplier).
    pub exponent: i32,
}

/// A prefix before a unit.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Prefix {
    /// The canonical letter.
    pub symbol: char,
    /// Other letters for it.
    pub spellings: &'static [char],
    /// The power of ten it stands for.
    pub exponent: i32,
}

/// The prefixes in use.
pub const PREFIXES: &[Prefix] = &[
    prefix('p', &[], -12),
    prefix('n', &[], -9),
    // The micro sign U+00B5 and the Greek letter U+03BC look alike; both are typed.
    prefix('u', &['\u{b5}', '\u{3bc}'], -6),
    prefix('m', &[], -3),
    prefix('c', &[], -2),
    prefix('k', &[], 3),
    // Kilo in upper case is IEC 60062 usage, for ohms only.
    prefix('K', &[], 3),
    prefix('M', &[], 6),
    prefix('G', &[], 9),
];

const fn prefix(symbol: char, spellings: &'static [char], exponent: i32) -> Prefix {
    Prefix {
        symbol,
        spellings,
        exponent,
    }
}

const fn unit(
    symbol: &'static str,
    name: &'static str,
    dimension: Dimension,
    prefixes: &'static str,
    spellings: &'static [&'static str],
) -> Unit {
    Unit {
        symbol,
        name,
        spellings,
        touching: &[],
        dimension,
        prefixes,
        multiplier: 1,
        exponent: 0,
    }
}

impl Unit {
    const fn also_touching(mut self, touching: &'static [&'static str]) -> Unit {
        self.touching = touching;
        self
    }

    const fn worth(mut self, multiplier: u32, exponent: i32) -> Unit {
        self.multiplier = multiplier;
        self.exponent = exponent;
        self
    }
}

/// Every unit, by dimension.
pub const UNITS: &[Unit] = &[
    unit("F", "farad", Dimension::Capacitance, "pnum", &[]),
    unit(
        "ohm",
        "ohm",
        Dimension::Resistance,
        "mkKMG",
        // The ohm sign U+2126 and the Greek letter U+03A9.
        &["ohms", "Ohm", "Ohms", "OHM", "OHMS", "\u{2126}", "\u{3a9}"],
    )
    .also_touching(&["R"]),
    unit("H", "henry", Dimension::Inductance, "num", &[]),
    unit(
        "V",
        "volt, direct or unsaid",
        Dimension::Voltage,
        "numk",
        &["VDC", "Vdc"],
    ),
    unit(
        "VAC",
        "volt, alternating",
        Dimension::AcVoltage,
        "umk",
        &["Vac", "V~", "Vrms", "VRMS"],
    ),
    unit("A", "ampere", Dimension::Current, "pnum", &[]),
    unit("W", "watt", Dimension::Power, "numk", &[]),
    unit("VA", "volt-ampere", Dimension::ApparentPower, "mk", &[]),
    unit("Hz", "hertz", Dimension::Frequency, "mkMG", &[]),
    unit(
        "°C",
        "degree Celsius",
        Dimension::Temperature,
        "",
        // U+2103, and the ordinal sign U+00BA that some keyboards offer instead.
        &["\u{2103}", "\u{ba}C", "degC"],
    )
    .also_touching(&["C"]),
    unit("s", "second", Dimension::Time, "num", &["sec"]),
    unit("min", "minute", Dimension::Time, "", &[]).worth(6, 1),
    unit(
        "h",
        "hour",
        Dimension::Time,
        "",
        &["hr", "hrs", "hour", "hours"],
    )
    .worth(36, 2),
    unit("m", "metre", Dimension::Length, "umc", &[]).worth(1, 3),
    unit("inch", "inch", Dimension::Length, "", &["inches"])
        .also_touching(&["in", "\""])
        .worth(254, -1),
    unit("%", "per cent", Dimension::Ratio, "", &["percent"]).worth(1, -2),
    unit("ppm", "part per million", Dimension::Ratio, "", &[]).worth(1, -6),
    unit("dB", "decibel", Dimension::Level, "", &[]),
    unit(
        "dBu",
        "decibel relative to 0.775 V",
        Dimension::LevelU,
        "",
        &[],
    ),
    unit("dBV", "decibel relative to 1 V", Dimension::LevelV, "", &[]),
    unit("J", "joule", Dimension::Energy, "umk", &[]),
    unit("Ah", "ampere-hour", Dimension::ChargeCapacity, "m", &["AH"]),
    unit(
        "V/us",
        "volt a microsecond",
        Dimension::SlewRate,
        "",
        &["V/\u{b5}s", "V/\u{3bc}s"],
    ),
    unit(
        "ppm/K",
        "part per million a kelvin",
        Dimension::TemperatureCoefficient,
        "",
        &["ppm/°C", "ppm/C"],
    ),
    unit(
        "K/W",
        "kelvin a watt",
        Dimension::ThermalResistance,
        "",
        &["°C/W", "C/W"],
    ),
];

/// A spelling that is asked about, since it has meant different things, or
/// means something else today.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct AskedSpelling {
    /// As it is written on old drawings and labels.
    pub written: &'static str,
    /// The units it may stand for, likeliest first, prefix included.
    pub meanings: &'static [&'static str],
    /// Asked about only when it touches the number.
    pub touching_only: bool,
}

const fn asked(written: &'static str, meanings: &'static [&'static str]) -> AskedSpelling {
    AskedSpelling {
        written,
        meanings,
        touching_only: false,
    }
}

/// The spellings of old drawings, lists and labels (common practice, no source).
pub const ASKED_SPELLINGS: &[AskedSpelling] = &[
    // Micro on nearly every old drawing, though milli is what it says today.
    asked("MF", &["uF", "mF"]),
    asked("mf", &["uF", "mF"]),
    asked("Mf", &["uF", "mF"]),
    asked("MFD", &["uF"]),
    asked("mfd", &["uF"]),
    asked("Mfd", &["uF"]),
    asked("mFd", &["uF"]),
    asked("MFd", &["uF"]),
    asked("ufd", &["uF"]),
    asked("uFd", &["uF"]),
    asked("UFD", &["uF"]),
    asked("uf", &["uF"]),
    asked("UF", &["uF"]),
    asked("MMF", &["pF"]),
    asked("mmf", &["pF"]),
    asked("mmF", &["pF"]),
    asked("MMFD", &["pF"]),
    asked("mmfd", &["pF"]),
    asked("Mmfd", &["pF"]),
    asked("uuF", &["pF"]),
    asked("uuf", &["pF"]),
    asked("UUF", &["pF"]),
    asked("\u{b5}\u{b5}F", &["pF"]),
    asked("\u{3bc}\u{3bc}F", &["pF"]),
    asked("pf", &["pF"]),
    asked("PF", &["pF"]),
    asked("nf", &["nF"]),
    asked("NF", &["nF"]),
    asked("MEG", &["Mohm"]),
    asked("Meg", &["Mohm"]),
    asked("meg", &["Mohm"]),
    AskedSpelling {
        written: "E",
        meanings: &["ohm"],
        touching_only: true,
    },
];

/// What a word after a number turned out to be.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Spelled {
    /// A unit; the exponent is that of its prefix.
    Known {
        unit: &'static Unit,
        prefix_exponent: i32,
    },
    /// An old spelling.
    Asked(&'static AskedSpelling),
    /// A unit after a prefix that nobody writes before it.
    WrongPrefix {
        unit: &'static Unit,
        prefix: &'static Prefix,
    },
}

/// The tables by spelling.
struct Spellings {
    /// Units without a prefix.
    apart: FxHashMap<&'static str, &'static Unit>,
    /// Units that have to touch their number.
    touching: FxHashMap<&'static str, &'static Unit>,
    asked: FxHashMap<&'static str, &'static AskedSpelling>,
}

static SPELLINGS: LazyLock<Spellings> = LazyLock::new(|| Spellings {
    apart: UNITS
        .iter()
        .flat_map(|unit| {
            let others = unit.spellings.iter().copied();
            others
                .chain([unit.symbol])
                .map(move |spelling| (spelling, unit))
        })
        .collect(),
    touching: UNITS
        .iter()
        .flat_map(|unit| unit.touching.iter().map(move |spelling| (*spelling, unit)))
        .collect(),
    asked: ASKED_SPELLINGS
        .iter()
        .map(|asked| (asked.written, asked))
        .collect(),
});

/// Finds the unit a whole word spells; `touches` says whether the number is
/// right before it.
pub(super) fn find(text: &str, touches: bool) -> Option<Spelled> {
    let spellings = &*SPELLINGS;
    let spelled = |text: &str| spellings.apart.get(text).copied();
    let touching = || spellings.touching.get(text).copied().filter(|_| touches);
    if let Some(unit) = spelled(text).or_else(touching) {
        return Some(Spelled::Known {
            unit,
            prefix_exponent: 0,
        });
    }
    let (prefix, prefixed) = match split_prefix(text) {
        Some((prefix, rest)) => (Some(prefix), spelled(rest)),
        None => (None, None),
    };
    if let (Some(prefix), Some(unit)) = (prefix, prefixed)
        && unit.prefixes.contains(prefix.symbol)
    {
        return Some(Spelled::Known {
            unit,
            prefix_exponent: prefix.exponent,
        });
    }
    let asked = spellings.asked.get(text).copied();
    if let Some(asked) = asked.filter(|asked| touches || !asked.touching_only) {
        return Some(Spelled::Asked(asked));
    }
    match (prefix, prefixed) {
        (Some(prefix), Some(unit)) if !unit.prefixes.is_empty() => {
            Some(Spelled::WrongPrefix { unit, prefix })
        }
        _ => None,
    }
}

/// The prefix a word begins with, and what follows it.
fn split_prefix(text: &str) -> Option<(&'static Prefix, &str)> {
    let letter = text.chars().next()?;
    let prefix = PREFIXES
        .iter()
        .find(|prefix| prefix.symbol == letter || prefix.spellings.contains(&letter))?;
    let rest = &text[letter.len_utf8()..];
    (!rest.is_empty()).then_some((prefix, rest))
}

/// Whether a whole word, standing after a number and a space, is its unit.
///
/// Currency codes count, and so do the spellings that are asked about, so that
/// `.01 MF` reaches [`read`](super::read) in one piece. Nothing is allocated.
#[must_use]
pub fn is_unit(text: &str) -> bool {
    /// The longest spelling in bytes; whatever is longer is no unit.
    const LONGEST: usize = 10;
    !text.is_empty()
        && text.len() <= LONGEST
        && (find(text, false).is_some() || money::is_code(text))
}

/// Every unit as it may be written, prefix included, in the canonical letters.
pub(super) fn canonical_spellings() -> impl Iterator<Item = String> {
    UNITS.iter().flat_map(|unit| {
        let bare = std::iter::once(unit.symbol.to_owned());
        bare.chain(
            unit.prefixes
                .chars()
                .map(|prefix| format!("{prefix}{}", unit.symbol)),
        )
    })
}
