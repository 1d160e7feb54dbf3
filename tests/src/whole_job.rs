//! One whole job from the first photograph to the return of the unit: a mixer of
//! some two hundred parts, made up by rule. The same seed always gives the same text.
//!
//! Nothing in it is to be found. The unit is invented; no number in it is a fact
//! about real equipment.

use std::fmt::Write as _;

/// The three files of a job.
#[derive(Clone, Debug)]
pub struct WholeJob {
    /// The model sheet, `model.retin`.
    pub model: String,
    /// The shelf, `shelf.retin`.
    pub shelf: String,
    /// The job, which uses both.
    pub job: String,
}

/// Numbers that follow from a seed: the same on every machine.
#[derive(Clone, Debug)]
pub struct Seeded(u64);

impl Seeded {
    /// Begins at a seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15).wrapping_add(1))
    }

    /// The next number below `limit`; 0 where `limit` is 0.
    pub fn below(&mut self, limit: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let high = (self.0 >> 33) as usize;
        high.checked_rem(limit).unwrap_or(0)
    }
}

/// How many strips the unit has.
const STRIPS: usize = 4;

/// A capacitor of the unit, and what goes in for it.
struct Capacitor {
    name: &'static str,
    /// Value, old rating, body and pitch.
    old: &'static str,
    /// Role and nets.
    place: &'static str,
    /// The new part on the shelf.
    new: &'static str,
}

const fn capacitor(
    name: &'static str,
    old: &'static str,
    place: &'static str,
    new: &'static str,
) -> Capacitor {
    Capacitor {
        name,
        old,
        place,
        new,
    }
}

const POSITIVE: &str = "bypass (+ +15, - GND)";
const NEGATIVE: &str = "bypass (+ GND, - -15)";

const PSU: &[Capacitor] = &[
    capacitor(
        "C1",
        "2200uF 40V 18x36 p7.5",
        "reservoir (+ RAW+, - GND)",
        "E-2200-50",
    ),
    capacitor(
        "C2",
        "2200uF 40V 18x36 p7.5",
        "reservoir (+ GND, - RAW-)",
        "E-2200-50",
    ),
    capacitor(
        "C3",
        "10uF 35V 5x11 p2",
        "bypass (+ RAW+, - GND)",
        "E-10-50",
    ),
    capacitor(
        "C4",
        "10uF 35V 5x11 p2",
        "bypass (+ GND, - RAW-)",
        "E-10-50",
    ),
    capacitor("C5", "100uF 25V 8x12 p3.5", POSITIVE, "E-100-50"),
    capacitor("C6", "100uF 25V 8x12 p3.5", NEGATIVE, "E-100-50"),
    capacitor("C7", "47uF 25V 6.3x11 p2.5", POSITIVE, "E-47-50"),
    capacitor("C8", "47uF 25V 6.3x11 p2.5", NEGATIVE, "E-47-50"),
    capacitor("C9", "220uF 25V 10x12 p5", POSITIVE, "E-220-35"),
    capacitor("C10", "220uF 25V 10x12 p5", NEGATIVE, "E-220-35"),
];

const CHANNEL: &[Capacitor] = &[
    capacitor(
        "C1",
        "47uF 25V 6.3x11 p2.5",
        "coupling (+ IN, - BASE)",
        "E-47-50",
    ),
    capacitor(
        "C2",
        "10uF 25V 5x11 p2",
        "coupling (+ MID, - EQ)",
        "E-10-50",
    ),
    capacitor("C3", "100uF 25V 8x12 p3.5", POSITIVE, "E-100-50"),
    capacitor("C4", "100uF 25V 8x12 p3.5", NEGATIVE, "E-100-50"),
    capacitor("C5", "10uF 25V 5x11 p2", POSITIVE, "E-10-50"),
    capacitor("C6", "10uF 25V 5x11 p2", NEGATIVE, "E-10-50"),
    capacitor("C7", "22uF 25V 5x11 p2", POSITIVE, "E-22-50"),
    // Larger than the old one, and overruled in the plan.
    capacitor("C8", "22uF 25V 5x11 p2", NEGATIVE, "E-47-50"),
];

const MASTER: &[Capacitor] = &[
    capacitor("C1", "220uF 25V 10x12 p5", POSITIVE, "E-220-35"),
    capacitor("C2", "220uF 25V 10x12 p5", NEGATIVE, "E-220-35"),
    capacitor("C3", "100uF 25V 8x12 p3.5", POSITIVE, "E-100-50"),
    capacitor("C4", "100uF 25V 8x12 p3.5", NEGATIVE, "E-100-50"),
    capacitor("C5", "47uF 25V 6.3x11 p2.5", POSITIVE, "E-47-50"),
    capacitor("C6", "47uF 25V 6.3x11 p2.5", NEGATIVE, "E-47-50"),
    capacitor("C7", "22uF 25V 5x11 p2", POSITIVE, "E-22-50"),
    capacitor("C8", "22uF 25V 5x11 p2", NEGATIVE, "E-22-50"),
    capacitor(
        "C9",
        "10uF 25V 5x11 p2",
        "coupling (+ MIX, - OUT1)",
        "E-10-50",
    ),
    capacitor(
        "C10",
        "10uF 25V 5x11 p2",
        "bypass (+ REF, - GND)",
        "E-10-50",
    ),
];

const BIPOLAR: &[Capacitor] = &[
    capacitor(
        "C11",
        "22uF 25V 8x12 p3.5",
        "coupling (1 LEFT, 2 TAPL)",
        "B-22-50",
    ),
    capacitor(
        "C12",
        "10uF 25V 6.3x11 p2.5",
        "coupling (1 RIGHT, 2 TAPR)",
        "B-10-50",
    ),
];

/// What else goes in, beside the capacitors: the places as the plan names them,
/// as the log names them, and the entry on the shelf.
const OTHERS: &[(&str, &str)] = &[
    ("inlet.C1", "X-100N"),
    ("inlet.C2", "Y-2N2"),
    ("inlet.C3", "Y-2N2"),
    ("inlet.F1", "F-500T"),
    ("psu.F1", "F-1T"),
    ("psu.F2", "F-1T"),
    ("psu.C13", "T-2U2-35"),
    ("psu.C14", "T-2U2-35"),
    ("psu.D1", "D-4004"),
    ("psu.D2", "D-4004"),
    ("psu.D3", "D-4004"),
    ("psu.D4", "D-4004"),
    ("psu.D7", "D-FAST"),
    ("psu.D8", "D-FAST"),
    ("psu.U1", "U-7815"),
    ("psu.U2", "U-7915"),
    ("channel.Q1", "Q-547"),
    ("channel.Q2", "Q-547"),
    ("channel.U1", "U-5532"),
    ("channel.VR1", "P-10K-LOG"),
    ("channel.VR2", "P-100K-LIN"),
    ("channel.VR3", "P-10K-DUAL"),
    ("master.Q1", "Q-3906"),
    ("master.Q2", "Q-3906"),
    ("master.U1", "U-5532"),
    ("master.U2", "U-074"),
    ("master.VR1", "P-10K-DUAL"),
];

/// The entries of the shelf: the line of the kind, then entries.
const SHELF: &[(&str, &[&str])] = &[
    (
        "electrolytic ±20% 105°C radial",
        &[
            "E-10-50 10uF 50V 5x11 p2 life 5000h",
            "E-22-50 22uF 50V 5x11 p2 life 5000h",
            "E-47-50 47uF 50V 6.3x11 p2.5 life 5000h",
            "E-100-50 100uF 50V 8x12 p3.5 life 5000h",
            "E-220-35 220uF 35V 10x12 p5 life 5000h",
            "E-2200-50 2200uF 50V 18x36 p7.5 life 5000h ripple 2.4A",
        ],
    ),
    (
        "bipolar ±20% 105°C radial",
        &[
            "B-10-50 10uF 50V 6.3x11 p2.5 life 2000h",
            "B-22-50 22uF 50V 8x12 p3.5 life 2000h",
        ],
    ),
    (
        "tantalum ±10% 125°C radial",
        &["T-2U2-35 2.2uF 35V 5x8 p2.5"],
    ),
    (
        "mains-capacitor ±20%",
        &[
            "X-100N 100nF 305VAC X2 18x8x14 p15",
            "Y-2N2 2.2nF 300VAC Y2 13x5x9 p10",
        ],
    ),
    ("fuse 250VAC 5x20", &["F-500T 500mA T", "F-1T 1A T"]),
    (
        "diode",
        &["D-4004 1N4004", "D-FAST DO-41 fast reverse 400V"],
    ),
    ("regulator", &["U-7815 7815 TO-220"]),
    ("negative-regulator", &["U-7915 7915 TO-220"]),
    ("npn TO-92", &["Q-547 BC547"]),
    ("pnp TO-92", &["Q-3906 2N3906"]),
    (
        "opamp",
        &[
            "U-5532 NE5532 DIP-8 risky lot \"9417\" sampled 3",
            "U-074 TL074 DIP-14 risky lot \"9402\" sampled 2",
        ],
    ),
    (
        "pot splined",
        &[
            "P-10K-LOG 10kohm log shaft 6mm",
            "P-100K-LIN 100kohm linear shaft 6mm",
            "P-10K-DUAL 10kohm log gangs 2 shaft 6mm",
        ],
    ),
];

/// The whole job that follows from a seed.
#[must_use]
pub fn whole_job(seed: u64) -> WholeJob {
    let mut seeded = Seeded::new(seed);
    WholeJob {
        model: model(&mut seeded),
        shelf: shelf(),
        job: job(&mut seeded),
    }
}

/// How many of one entry the job takes.
fn needed(entry: &str) -> usize {
    let copies = |place: &str| {
        if place.starts_with("channel") {
            STRIPS
        } else {
            1
        }
    };
    replacements()
        .iter()
        .filter(|(_, new)| *new == entry)
        .map(|(place, _)| copies(place))
        .sum()
}

/// Every place that gets a new part, as the plan names it, and what goes in.
fn replacements() -> Vec<(String, &'static str)> {
    let mut all = Vec::new();
    let boards = [
        ("psu", PSU),
        ("channel", CHANNEL),
        ("master", MASTER),
        ("master", BIPOLAR),
    ];
    for (board, capacitors) in boards {
        all.extend(
            capacitors
                .iter()
                .map(|one| (format!("{board}.{}", one.name), one.new)),
        );
    }
    all.extend(
        OTHERS
            .iter()
            .map(|(place, new)| ((*place).to_owned(), *new)),
    );
    all
}

fn shelf() -> String {
    let mut text = String::from("shelf main \"Drawers A to F\"\n");
    for (kind, entries) in SHELF {
        let _ = writeln!(text, "  {kind}");
        for entry in *entries {
            let name = entry.split(' ').next().unwrap_or_default();
            let _ = writeln!(text, "    {entry} have {} 1 at 0.40 EUR", needed(name));
        }
    }
    text
}

/// The lines of capacitors, in rows of six on the board, with what the silkscreen
/// and the old parts show of some.
fn capacitors(text: &mut String, seeded: &mut Seeded, all: &[Capacitor]) {
    for (index, one) in all.iter().enumerate() {
        let (x, y) = (15 + 20 * (index % 6), 15 + 26 * (index / 6));
        let _ = writeln!(
            text,
            "    {} {} {} at {x},{y}",
            one.name, one.old, one.place
        );
        let direction = ["north", "east", "south", "west"][seeded.below(4)];
        let opposite = |direction: &str| match direction {
            "north" => "south",
            "south" => "north",
            "east" => "west",
            _ => "east",
        };
        let plus_is_ground = one.place.contains("(+ GND");
        let value: Vec<&str> = one.old.split(' ').take(2).collect();
        let value = value.join(" ");
        // Where the sheet ties a direction to a net, the way the new part lies can be judged.
        let _ = writeln!(text, "      silk + {direction}");
        let _ = writeln!(text, "      list {value}");
        let _ = writeln!(text, "      found {value} + {direction}");
        if one.place.contains("GND") {
            let on_ground = if plus_is_ground {
                direction
            } else {
                opposite(direction)
            };
            let _ = writeln!(text, "      beep {on_ground} GND");
        }
    }
}

/// Resistors, each from a net of its own to ground.
fn resistors(text: &mut String, count: usize) {
    const VALUES: [&str; 5] = ["1kohm", "4.7kohm", "10kohm", "47kohm", "100kohm"];
    text.push_str("  resistor 0.25W ±5%\n");
    for index in 1..=count {
        let value = VALUES[index % VALUES.len()];
        let _ = writeln!(text, "    R{index} {value} (1 S{index}, 2 GND)");
    }
}

fn model(seeded: &mut Seeded) -> String {
    let mut text = String::from(
        "model mx4 \"Averley MX-4 field mixer\"\n  revision 3\n  built 1976..1981\n  mains 230V 50Hz\n  headroom 42mm\n  maker \"Averley Instruments\"\n  changed 2 channel.C7 \"22uF by the parts list\"\n  changed 3 psu.C9 \"220uF by the parts list and two units\"\n",
    );
    text.push_str(
        "\nwiring inlet \"Mains inlet and transformer\"\n  net L\n  net N\n  rail PE 0V\n  J1 connector (1 LIN, 2 N, 3 PE)\n  F1 fuse 500mA 250VAC T 5x20 mains live (1 LIN, 2 LF)\n  S1 switch mains live (1 LF, 2 L)\n  mains-capacitor\n    C1 100nF 275VAC X2 18x8x14 p15 mains across (1 L, 2 N)\n    C2, C3 2.2nF 250VAC Y2 13x5x9 p10 mains earth\n  resistor\n    R1 1Mohm 0.5W mains live (1 L, 2 N)\n  T1 transformer (1 L, 2 N, 3 AC1, 4 AC0, 5 AC2)\n",
    );
    text.push_str(
        "\nboard psu \"Power supply\"\n  copper single-sided\n  size 160 x 100\n  rail RAW+ 24V ±15%\n  rail RAW- -24V ±15%\n  rail +15 15V ±5% ripple 5mV\n  rail -15 -15V ±5% ripple 5mV\n  rail GND 0V\n\n  electrolytic 85°C radial\n",
    );
    capacitors(&mut text, seeded, PSU);
    text.push_str(
        "    C12 220uF 35V 10x16 p5 unfitted at 140,80\n  tantalum radial\n    C13 2.2uF 35V 5x8 p2.5 (+ +15, - GND) at 130,15\n    C14 2.2uF 35V 5x8 p2.5 (+ GND, - -15) at 142,15\n  film\n    C15, C16 100nF 63V ±10% 7.2x2.5x6.5 p5\n    C17, C18 10nF 100V ±10% 7.2x2.5x6.5 p5\n  diode\n    D1 1N4004 (A AC1, K RAW+)\n    D2 1N4004 (A AC2, K RAW+)\n    D3 1N4004 (A RAW-, K AC1)\n    D4 1N4004 (A RAW-, K AC2)\n    D5 1N4004 (A GND, K +15)\n    D6 1N4004 (A -15, K GND)\n    D7, D8 DO-41 fast reverse 200V\n  regulator\n    U1 7815 TO-220 (in RAW+, common GND, out +15)\n  negative-regulator\n    U2 7915 TO-220 (in RAW-, common GND, out -15)\n  trimmer\n    VR1 1kohm p5 linear\n  fuse 250VAC 5x20\n    F1, F2 1A T\n  connector\n    J1, J2\n",
    );
    resistors(&mut text, 6);
    let _ = write!(
        text,
        "\nboard channel \"Channel strip\" as ch1..ch{STRIPS}\n  copper double-sided plated\n  size 240 x 60\n  rail +15 15V ±5%\n  rail -15 -15V ±5%\n  rail GND 0V\n  net BUS\n\n  electrolytic 85°C radial\n"
    );
    capacitors(&mut text, seeded, CHANNEL);
    text.push_str(
        "  film ±10%\n    C9 100nF 63V 7.2x2.5x6.5 p5\n    C10 47nF 63V 7.2x2.5x6.5 p5\n    C11, C12 10nF 63V 7.2x2.5x6.5 p5\n    C13 4.7nF 63V 7.2x2.5x6.5 p5\n  ceramic 50V p5\n    C14, C15 22pF ±5%\n  npn TO-92\n    Q1 BC547 gain 200..450 matched with Q2 (E TAIL, B BASE)\n    Q2 BC547 gain 200..450 (E TAIL, B EQ)\n  diode\n    D1, D2 1N4148\n  opamp DIP-8 socketed\n    U1 NE5532 (4 -15, 8 +15)\n  pot splined\n    VR1 10kohm log shaft 6mm\n    VR2 100kohm linear shaft 6mm\n    VR3 10kohm log gangs 2 shaft 6mm\n  fader\n    VR4 10kohm log travel 100mm\n  connector\n    J1, J2\n",
    );
    resistors(&mut text, 14);
    text.push_str(
        "\nboard master \"Master board\"\n  copper double-sided plated\n  size 240 x 120\n  rail +15 15V ±5%\n  rail -15 -15V ±5%\n  rail RAW+ 24V ±15%\n  rail GND 0V\n\n  electrolytic 85°C radial\n",
    );
    capacitors(&mut text, seeded, MASTER);
    text.push_str("  bipolar 85°C radial\n");
    for (index, one) in BIPOLAR.iter().enumerate() {
        let _ = writeln!(
            text,
            "    {} {} {} at {},80",
            one.name,
            one.old,
            one.place,
            15 + 20 * index
        );
    }
    text.push_str(
        "  film ±10%\n    C13, C14 1uF 63V 7.2x5x10 p5\n    C15..C18 100nF 63V 7.2x2.5x6.5 p5\n  pnp TO-92\n    Q1 2N3906 gain 100..300 matched with Q2\n    Q2 2N3906 gain 100..300\n  diode\n    D1 1N4148 (A COIL, K RAW+)\n  opamp socketed\n    U1 NE5532 DIP-8 (4 -15, 8 +15)\n    U2 TL074 DIP-14 (4 +15, 11 -15)\n  pot splined\n    VR1 10kohm log gangs 2 shaft 6mm\n  relay\n    K1 24V (1 RAW+, 2 COIL)\n  connector\n    J1..J3\n  resistor 0.25W ±5%\n    R21 10kohm (1 +15, 2 REF)\n    R22 4.7kohm (1 REF, 2 GND)\n",
    );
    resistors(&mut text, 14);
    let _ = write!(
        text,
        "\nlink W1 \"transformer to supply\" 3 joints\n  inlet.AC1 to psu.AC1\n  inlet.AC2 to psu.AC2\n  inlet.AC0 to psu.GND\n\nlink W2 \"supply to strips\" 12 joints\n  psu.+15 to ch1..ch{STRIPS}.+15\n  psu.-15 to ch1..ch{STRIPS}.-15\n  psu.GND to ch1..ch{STRIPS}.GND\n\nlink W3 \"supply to master\" 4 joints\n  psu.+15 to master.+15\n  psu.-15 to master.-15\n  psu.RAW+ to master.RAW+\n  psu.GND to master.GND\n"
    );
    text
}

/// The log while it is written: each entry some minutes after the one before.
struct Log<'s> {
    text: String,
    minute: usize,
    seeded: &'s mut Seeded,
}

impl Log<'_> {
    fn day(&mut self, date: &str) {
        let _ = writeln!(self.text, "  {date}");
        self.minute = 9 * 60;
    }

    fn entry(&mut self, verb: &str, words: &str) {
        let _ = writeln!(
            self.text,
            "    {:02}:{:02} {verb} {words}",
            self.minute / 60,
            self.minute % 60
        );
        self.minute += 1 + self.seeded.below(3);
    }

    fn say(&mut self, line: &str) {
        let (verb, words) = line.split_once(' ').unwrap_or((line, ""));
        self.entry(verb, words);
    }

    /// A part that is removed and read on the meter.
    fn pulled(&mut self, place: &str, nominal: usize) {
        let share = 70 + self.seeded.below(25);
        let ohms = 3 + self.seeded.below(9);
        self.entry(
            "measured",
            &format!(
                "{place} {}uF, esr 0.{ohms}ohm",
                (nominal * share).div_ceil(100)
            ),
        );
    }
}

fn strips() -> Vec<String> {
    (1..=STRIPS).map(|strip| format!("ch{strip}")).collect()
}

/// Microfarads in an old part's line.
fn microfarads(old: &str) -> usize {
    old.split("uF")
        .next()
        .and_then(|number| number.parse().ok())
        .unwrap_or(10)
}

/// An accident, with its repair and the proof of it.
struct Accident {
    damaged: String,
    repaired: String,
    proof: String,
}

/// Accidents at pads on ground or a rail, which have another pad on their net.
fn accidents(seeded: &mut Seeded) -> Vec<Accident> {
    let mut all = Vec::new();
    let boards: [(&str, &[&str], bool); 6] = [
        ("psu", &["C5", "C7", "C9"], false),
        ("ch1", &["C3", "C5", "C7"], true),
        ("ch2", &["C3", "C5", "C7"], true),
        ("ch3", &["C4", "C6", "C8"], true),
        ("ch4", &["C4", "C6", "C8"], true),
        ("master", &["C1", "C3", "C5", "C7"], true),
    ];
    for (board, places, is_plated) in boards {
        let at = seeded.below(places.len());
        let (one, other) = (places[at], places[(at + 1) % places.len()]);
        let lead = ["+", "-"][seeded.below(2)];
        let (from, to) = (
            format!("{board}.{one}.{lead}"),
            format!("{board}.{other}.{lead}"),
        );
        let sides = if is_plated { " both sides" } else { "" };
        let kind = seeded.below(if is_plated { 4 } else { 3 });
        let (damaged, repaired) = match kind {
            0 => (
                format!("{from} pad lifted"),
                format!("{from} wire 0.5mm to {to}"),
            ),
            1 => (
                format!("{from} to {to} trace broken"),
                format!("{from} to {to} trace doubled"),
            ),
            2 => (format!("{from} pad lifted"), format!("{from} lead folded")),
            _ => (
                format!("{from} barrel torn"),
                format!("{from} barrel wired"),
            ),
        };
        all.push(Accident {
            damaged,
            repaired,
            proof: format!("{from} to {to} 0.{}ohm{sides}", 1 + seeded.below(4)),
        });
    }
    all
}

fn plan(text: &mut String) {
    text.push_str("\nplan\n");
    for (place, new) in replacements() {
        let _ = writeln!(text, "  replace {place} with {new}");
    }
    text.push_str(
        "  keep every fader, relay\n  leave psu.VR1 because \"sealed, and works\"\n  accept value-mismatch on channel.C8 because \"less ripple wanted on the lower rail\"\n    for 47uF in place of 22uF\n",
    );
}

const STEPS: &str = "\nsteps\n  photos photograph everything\n  empty discharge psu.C1..C2 after photos\n    caution \"the reservoirs hold their charge for minutes\"\n  strip remove every electrolytic, bipolar, tantalum, mains-capacitor, fuse after empty\n  bare remove every opamp, pot, transistor, regulator after strip\n  wash clean every board with isopropanol after bare\n  fill fit every electrolytic, bipolar, tantalum, mains-capacitor after wash\n  look inspect every board after fill\n  ohms measure every rail after look unpowered\n  first power psu with lamp after ohms\n  chips fit every opamp after first\n  listen test channel after chips\n";

const TARGETS: &str = "\ntargets\n  psu.RAW+ 20..28V\n  psu.RAW- -28..-20V\n  psu.+15 15V ±4% ripple below 5mV\n  psu.-15 -15V ±4% ripple below 5mV\n  psu.+15 to psu.GND above 200ohm, unpowered\n  psu.-15 to psu.GND above 200ohm, unpowered\n  ch1..ch4.+15 15V ±5%\n  ch1..ch4.-15 -15V ±5%\n  master.+15 15V ±5%\n  master.-15 -15V ±5%\n  master.RAW+ 20..28V\n  master.C10.+ expect solved\n";

fn job(seeded: &mut Seeded) -> String {
    let mut text = String::from(
        "use \"model.retin\"\nuse \"shelf.retin\"\n\njob 26-040 \"MX-4 serial 0188\"\n  model mx4 revision 3\n  serial \"0188\"\n  owner \"Radio Merrin\"\n  arrived 2026-09-07\n  complaint \"hum, strip 2 crackles\"\n  agreed 1900.00 EUR on 2026-09-10\n  rate 42.00 EUR\n",
    );
    plan(&mut text);
    text.push_str(STEPS);
    text.push_str(TARGETS);
    text.push_str("\nlog\n");
    let mut log = Log {
        text,
        minute: 0,
        seeded,
    };
    coming_in(&mut log);
    let accidents = stripping(&mut log);
    mending(&mut log, &accidents);
    fitting(&mut log);
    powering(&mut log);
    log.text
}

fn coming_in(log: &mut Log<'_>) {
    log.day("2026-09-10");
    log.say("photographed inlet");
    log.say("photographed psu");
    for strip in strips() {
        log.entry("photographed", &strip);
    }
    log.say("photographed master");
    log.say("approved 1900.00 EUR");
    let entries: Vec<&str> = SHELF
        .iter()
        .flat_map(|(_, entries)| entries.iter())
        .filter_map(|entry| entry.split(' ').next())
        .collect();
    for entry in &entries {
        log.entry("ordered", &format!("{} {entry}", needed(entry)));
    }
    log.day("2026-09-14");
    for entry in &entries {
        log.entry("arrived", &format!("{} {entry}", needed(entry)));
    }
}

fn stripping(log: &mut Log<'_>) -> Vec<Accident> {
    log.day("2026-09-15");
    log.say("discharged psu.C1..C2");
    log.say("measured psu.C1 0.1V");
    log.say("measured psu.C2 0.1V");
    log.say("removed inlet.C1..C3, inlet.F1");
    log.say("removed psu.F1..F2");
    for one in PSU {
        log.entry("removed", &format!("psu.{}", one.name));
        log.pulled(&format!("psu.{}", one.name), microfarads(one.old));
    }
    log.say("removed psu.C13..C14");
    log.say("removed psu.D1..D4");
    log.say("removed psu.D7..D8");
    log.say("removed psu.U1..U2");
    for strip in strips() {
        log.entry("removed", &format!("{strip}.C1..C8"));
        for one in CHANNEL {
            log.pulled(&format!("{strip}.{}", one.name), microfarads(one.old));
        }
        log.entry(
            "removed",
            &format!("{strip}.Q1..Q2, {strip}.U1, {strip}.VR1..VR3"),
        );
    }
    for one in MASTER.iter().chain(BIPOLAR) {
        log.entry("removed", &format!("master.{}", one.name));
        log.pulled(&format!("master.{}", one.name), microfarads(one.old));
    }
    log.say("removed master.Q1..Q2, master.U1..U2, master.VR1");
    let accidents = accidents(log.seeded);
    for accident in &accidents {
        log.entry("damaged", &accident.damaged);
    }
    accidents
}

fn mending(log: &mut Log<'_>, accidents: &[Accident]) {
    log.day("2026-09-16");
    for board in ["inlet".to_owned(), "psu".to_owned()]
        .into_iter()
        .chain(strips())
        .chain(["master".to_owned()])
    {
        log.entry("cleaned", &format!("{board} with isopropanol"));
    }
    for accident in accidents {
        log.entry("repaired", &accident.repaired);
        log.entry("measured", &accident.proof);
    }
}

/// Gain and base-emitter voltage of two that are alike.
fn pair(log: &mut Log<'_>, board: &str) {
    let gain = 210 + log.seeded.below(40);
    let volts = 640 + log.seeded.below(10);
    log.entry(
        "measured",
        &format!("{board}.Q1 gain {gain}, vbe {volts}mV"),
    );
    log.entry(
        "measured",
        &format!("{board}.Q2 gain {}, vbe {}mV", gain + 8, volts + 3),
    );
}

fn fitting(log: &mut Log<'_>) {
    log.day("2026-09-17");
    for (place, new) in OTHERS
        .iter()
        .filter(|(place, _)| place.starts_with("inlet"))
    {
        log.entry("fitted", &format!("{place} with {new}"));
    }
    for one in PSU {
        log.entry("fitted", &format!("psu.{} with {}", one.name, one.new));
    }
    for (place, new) in OTHERS.iter().filter(|(place, _)| place.starts_with("psu")) {
        log.entry("fitted", &format!("{place} with {new}"));
    }
    log.say("inspected inlet");
    log.say("inspected psu");
    log.day("2026-09-18");
    for strip in strips() {
        for one in CHANNEL {
            log.entry("fitted", &format!("{strip}.{} with {}", one.name, one.new));
        }
        log.entry("fitted", &format!("{strip}.Q1..Q2 with Q-547"));
        pair(log, &strip);
        log.entry("fitted", &format!("{strip}.VR1 with P-10K-LOG"));
        log.entry("fitted", &format!("{strip}.VR2 with P-100K-LIN"));
        log.entry("fitted", &format!("{strip}.VR3 with P-10K-DUAL"));
        log.entry("inspected", &format!("{strip} both sides"));
    }
    log.day("2026-09-21");
    for one in MASTER.iter().chain(BIPOLAR) {
        log.entry("fitted", &format!("master.{} with {}", one.name, one.new));
    }
    log.say("fitted master.Q1..Q2 with Q-3906");
    pair(log, "master");
    log.say("fitted master.VR1 with P-10K-DUAL");
    log.say("inspected master both sides");
}

fn powering(log: &mut Log<'_>) {
    log.day("2026-09-22");
    let resistance = |log: &mut Log<'_>, point: &str, ground: &str| {
        let ohms = 800 + 10 * log.seeded.below(90);
        log.entry(
            "measured",
            &format!("{point} to {ground} {ohms}ohm unpowered"),
        );
    };
    for rail in ["RAW+", "RAW-", "+15", "-15"] {
        resistance(log, &format!("psu.{rail}"), "psu.GND");
    }
    for board in strips() {
        resistance(log, &format!("{board}.+15"), &format!("{board}.GND"));
        resistance(log, &format!("{board}.-15"), &format!("{board}.GND"));
    }
    for rail in ["RAW+", "+15", "-15"] {
        resistance(log, &format!("master.{rail}"), "master.GND");
    }
    let rails = |log: &mut Log<'_>, board: &str, state: &str| {
        for (rail, sign) in [("+15", ""), ("-15", "-")] {
            let millivolts = 950 + log.seeded.below(100);
            let volts = if millivolts < 1000 {
                format!("14.{millivolts}")
            } else {
                format!("15.{:03}", millivolts - 1000)
            };
            log.entry(
                "measured",
                &format!("{board}.{rail} {sign}{volts}V {state}"),
            );
        }
    };
    let raw = |log: &mut Log<'_>, point: &str, sign: &str, state: &str| {
        let tenths = log.seeded.below(9);
        log.entry("measured", &format!("{point} {sign}24.{tenths}V {state}"));
    };
    log.say("adjusted psu.VR1 to minimum");
    log.say("powered psu with lamp 100mA");
    raw(log, "psu.RAW+", "", "cold");
    raw(log, "psu.RAW-", "-", "cold");
    rails(log, "psu", "cold");
    log.say("powered ch1..ch4, master with lamp 200mA");
    for board in strips().into_iter().chain(["master".to_owned()]) {
        rails(log, &board, "cold");
    }
    raw(log, "master.RAW+", "", "cold");
    for strip in strips() {
        log.entry("fitted", &format!("{strip}.U1 with U-5532"));
    }
    log.say("fitted master.U1 with U-5532");
    log.say("fitted master.U2 with U-074");
    for strip in strips() {
        log.entry("inspected", &format!("{strip}.U1 both sides"));
    }
    log.say("inspected master.U1..U2 both sides");
    log.say("powered everything");
    raw(log, "psu.RAW+", "", "warm");
    raw(log, "psu.RAW-", "-", "warm");
    rails(log, "psu", "warm");
    log.say("measured psu.+15 ripple 2mV");
    log.say("measured psu.-15 ripple 2mV");
    for board in strips().into_iter().chain(["master".to_owned()]) {
        rails(log, &board, "warm");
    }
    raw(log, "master.RAW+", "", "warm");
    log.say("measured master.C10.+ 4.8V warm");
    log.say("adjusted psu.VR1 to 15V");
    log.say("tested ch1..ch4");
    log.say("tested master");
    log.day("2026-09-23");
    log.say("returned");
}
