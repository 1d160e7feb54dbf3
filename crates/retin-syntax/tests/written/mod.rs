//! Files as a careless hand would type them.

use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;
use proptest::strategy::Union;

/// A line: how deep it lies, and its words.
type Typed = (usize, String);

fn words(list: &'static [&'static str]) -> BoxedStrategy<String> {
    select(list).prop_map(str::to_owned).boxed()
}

/// Any of the alternatives.
fn any_of(alternatives: Vec<BoxedStrategy<String>>) -> BoxedStrategy<String> {
    Union::new(alternatives).boxed()
}

/// One after the other, with a blank between.
fn sequence(parts: Vec<BoxedStrategy<String>>) -> BoxedStrategy<String> {
    parts
        .prop_map(|parts| parts.join(" ").trim().to_owned())
        .boxed()
}

fn maybe(part: BoxedStrategy<String>) -> BoxedStrategy<String> {
    prop_oneof![Just(String::new()), part].boxed()
}

fn name() -> BoxedStrategy<String> {
    words(&[
        "C1",
        "C2..C9",
        "psu.C1",
        "ch1..ch8.R7",
        "\"V\"",
        "Q12",
        "U3",
        "-15",
        "B+",
        "6.3V",
        "C7a..C7d",
        "ch3.C41.-",
        "E-2200-50",
        "\"a, b\"",
        "power",
        "1",
    ])
}

fn names() -> BoxedStrategy<String> {
    vec(name(), 1..4)
        .prop_map(|names| names.join(" , "))
        .boxed()
}

fn text() -> BoxedStrategy<String> {
    words(&[
        "\"hum on both buses; 1 + 2\"",
        "\"\"",
        "\"a  # b | c\"",
        "\"10 µF, 25V\"",
    ])
}

fn value() -> BoxedStrategy<String> {
    words(&[
        "10uF",
        "10 µF",
        "4k7",
        "0R47",
        "R47",
        "100n",
        "±20%",
        "20 %",
        "-10/+50%",
        "+50/-10%",
        "25V",
        "25 V",
        "250 VAC",
        "85C",
        "105°C",
        "2000 hours",
        "0.25W",
        "1/4W",
        "5x11",
        "5 x 11",
        "5x11mm",
        "p2",
        "p7.5",
        "7..36V",
        "150",
        "?",
        ".01 MF",
        "10uf",
        "4,7uF",
        "315mA",
        "32.768kHz",
        "2 A",
        "15",
        "7805",
    ])
}

fn number() -> BoxedStrategy<String> {
    words(&[
        "25V", "10 mA", "2 A", "0.62ohm", "3", "1 h", "7..36 V", "5x11mm", "?", "90min",
    ])
}

fn fact() -> BoxedStrategy<String> {
    let point = words(&["at 30,40", "at 30 , 40", "at 3.50,04"]);
    let lead = words(&["+", "-", "A", "K", "1", "in"]);
    let direction = words(&["north", "east", "south-west"]);
    any_of(vec![
        value(),
        value(),
        value(),
        words(&[
            "radial",
            "axial",
            "linear",
            "log",
            "reservoir",
            "low-leakage",
            "NTC",
            "fast",
        ]),
        words(&[
            "2N3904", "TO-92", "TO-220", "NE5532", "BC547B", "F", "V", "T", "X2", "\"7805\"",
        ]),
        words(&["film", "electrolytic", "npn", "fuse", "regulator"]),
        words(&[
            "code 104J",
            "code 104",
            "device 7805",
            "package DIP-8",
            "leads E-B-C",
            "leads 3",
        ]),
        words(&[
            "life 5000 h",
            "ripple 2.4A",
            "esr 0.10ohm",
            "gangs 2",
            "supply 7..36 V",
        ]),
        words(&[
            "maker \"Ostbrand\"",
            "marked \"x\"",
            "solder-side",
            "unfitted",
            "mains across",
        ]),
        sequence(vec![words(&["matched with"]), names()]),
        sequence(vec![words(&["maker", "source", "because"]), text()]),
        point,
        sequence(vec![lead, direction]),
    ])
}

fn separated(fact: BoxedStrategy<String>, count: std::ops::Range<usize>) -> BoxedStrategy<String> {
    vec((fact, prop_oneof![4 => Just(""), 1 => Just(" ,")]), count)
        .prop_map(|facts| {
            facts
                .iter()
                .map(|(fact, comma)| format!("{fact}{comma}"))
                .collect::<Vec<_>>()
                .join(" ")
        })
        .boxed()
}

fn facts() -> BoxedStrategy<String> {
    separated(fact(), 0..6)
}

fn pins() -> BoxedStrategy<String> {
    words(&[
        "(+ RAW , - GND)",
        "( in RAW,common GND,out V24, )",
        "(1 A, 2 -15)",
        "(A B+)",
    ])
}

fn facts_and_pins() -> BoxedStrategy<String> {
    sequence(vec![facts(), maybe(pins()), facts()])
}

fn kind() -> BoxedStrategy<String> {
    words(&[
        "electrolytic",
        "film",
        "regulator",
        "npn",
        "fuse",
        "pot",
        "diode",
        "mains-capacitor",
    ])
}

fn selector() -> BoxedStrategy<String> {
    let every = sequence(vec![
        words(&["every"]),
        maybe(number()),
        vec(kind(), 1..3).prop_map(|kinds| kinds.join(",")).boxed(),
        maybe(number()),
    ]);
    sequence(vec![
        any_of(vec![every, words(&["everything"]), names()]),
        maybe(sequence(vec![words(&["on"]), names()])),
        maybe(sequence(vec![words(&["except"]), names()])),
    ])
}

fn claim() -> BoxedStrategy<String> {
    let source = words(&["schematic", "list", "silk", "found", "meter"]);
    any_of(vec![
        sequence(vec![source.clone(), facts_and_pins()]),
        words(&["beep - GND", "beep east -15"]),
        sequence(vec![
            source,
            words(&["+ to - 24 V", "east to west -0.50 V"]),
        ]),
    ])
}

fn below_part() -> BoxedStrategy<String> {
    any_of(vec![
        claim(),
        claim(),
        words(&["go  by found", "go by list", "| prose  # with a mark ", "|"]),
        sequence(vec![words(&["section a", "section b"]), facts_and_pins()]),
        sequence(vec![
            words(&["on"]),
            names(),
            facts(),
            words(&["because \"x\""]),
        ]),
    ])
}

fn price() -> BoxedStrategy<String> {
    words(&["1 at 2.1 EUR", "10 at 1.72EUR", "100 at 3 JPY"])
}

fn shelf_fact() -> BoxedStrategy<String> {
    any_of(vec![
        value(),
        value(),
        words(&[
            "have 3",
            "have 007",
            "coming 2",
            "spare 1",
            "bin A3",
            "lot \"24-11\"",
            "life 2000h",
        ]),
        price(),
        price(),
    ])
}

fn plan_line() -> BoxedStrategy<String> {
    let part = any_of(vec![
        words(&["E-47-25", "P-10KA-9"]),
        separated(value(), 1..4),
        words(&["+ west"]),
    ]);
    let with = vec(part, 1..3).prop_map(|parts| format!("with {}", parts.join(" and ")));
    let of_line = separated(
        any_of(vec![
            words(&[
                "+ west",
                "1 east",
                "K north",
                "in series",
                "in parallel",
                "because \"no\"",
            ]),
            words(&["+ west", "in  series", "because \"so\"", "10nF", "p5"]),
        ]),
        0..3,
    );
    any_of(vec![
        sequence(vec![
            words(&[
                "replace", "add", "remove", "keep", "leave", "absent", "socket",
            ]),
            selector(),
            maybe(sequence(vec![words(&["from"]), names()])),
            maybe(with.boxed()),
            maybe(pins()),
            of_line,
        ]),
        sequence(vec![
            words(&["accept value-mismatch on"]),
            selector(),
            maybe(words(&["because \"lower corner wanted\""])),
        ]),
    ])
}

fn step() -> BoxedStrategy<String> {
    sequence(vec![
        words(&["strip", "wash", "1", "a-long-step-name"]),
        words(&["remove", "clean", "measure", "power", "fit"]),
        maybe(selector()),
        maybe(words(&["with isopropanol", "with a , b"])),
        maybe(words(&["after strip", "after strip,wash"])),
        separated(words(&["90min", "2 h", "because \"x\"", "warm"]), 0..3),
    ])
}

fn target() -> BoxedStrategy<String> {
    let fact = words(&[
        "24V",
        "±2%",
        "ripple below 5 mV",
        "ripple 5mV",
        "above 200ohm",
        "below 1 V",
        "unpowered",
        "warm",
        "expect solved",
        "cold",
        "12",
    ]);
    sequence(vec![
        name(),
        maybe(sequence(vec![words(&["to"]), name()])),
        separated(fact, 1..5),
    ])
}

fn entry() -> BoxedStrategy<String> {
    let plain = vec(words(&["psu.C1..C6", "C9", "ch3.C41.-", "power"]), 1..3)
        .prop_map(|names| names.join(", "))
        .boxed();
    let what = any_of(vec![
        plain.clone(),
        sequence(vec![words(&["ch1", "ch1..ch8", "psu, ch2"]), plain]),
        words(&[
            "every electrolytic on psu",
            "every 10uF 25V film",
            "every board",
            "everything",
        ]),
    ]);
    let fact = words(&[
        "1840uF",
        "esr 0.62 ohm",
        "leakage 0.9mA",
        "vbe 640 mV",
        "pad",
        "lifted",
        "cold",
        "both  sides",
        "beep",
        "\"so\"",
        "by JB",
        "wire 0.50mm",
        "because \"x\"",
        "24 V",
        "5x11mm",
        "V",
        "± 2 %",
        "at 3 , 4",
        "+ east",
    ]);
    let when = || maybe(words(&["9:40", "09:40", "?", "12:05"]));
    let initials = || maybe(words(&["MK", "JB"]));
    let rest = || {
        sequence(vec![
            maybe(words(&["except C3", "except C3 , C4"])),
            separated(fact.clone(), 0..3),
            maybe(words(&[
                "with E-47-25",
                "with a, b",
                "with 100 uF 63V 10x12 and E-1 in series",
            ])),
            maybe(words(&[
                "to GND",
                "to ch3.C42.-, 15",
                "to minimum",
                "to 10 mV",
            ])),
            separated(fact.clone(), 0..3),
        ])
    };
    let verb = || {
        words(&[
            "removed",
            "fitted",
            "measured",
            "damaged",
            "noted",
            "photographed",
            "repaired",
        ])
    };
    any_of(vec![
        sequence(vec![
            when(),
            initials(),
            verb(),
            maybe(what.clone()),
            rest(),
        ]),
        sequence(vec![
            when(),
            initials(),
            words(&["ordered", "arrived"]),
            words(&["20 E-100-50", "main", "5 a, 007 b", "3 pcs E-1"]),
            maybe(words(&["as 100 uF 63V 10x12"])),
            separated(fact.clone(), 0..3),
        ]),
        sequence(vec![
            when(),
            words(&["corrected"]),
            maybe(words(&["9:40", "2026-11-03 09:40"])),
            maybe(sequence(vec![verb(), maybe(what), rest()])),
            maybe(words(&["because \"so\"", "\"it was C2\""])),
        ]),
    ])
}

fn broken() -> BoxedStrategy<String> {
    words(&[
        "((",
        "coper single-sided",
        "\"open",
        "C1 10uF )",
        "a \u{7} b",
        "x | y",
        "12:00 fited C1",
    ])
}

/// A line, and now and then a broken one in its stead.
fn at(level: usize, line: BoxedStrategy<String>) -> BoxedStrategy<Typed> {
    prop_oneof![20 => line, 1 => broken()]
        .prop_map(move |line| (level, line))
        .boxed()
}

/// A heading and lines at one level below it, each followed by lines one level deeper.
fn section(
    heading: BoxedStrategy<String>,
    line: BoxedStrategy<String>,
    deeper: BoxedStrategy<Vec<Typed>>,
) -> BoxedStrategy<Vec<Typed>> {
    (at(0, heading), vec((at(1, line), deeper), 0..6))
        .prop_map(|(heading, lines)| {
            let mut all = vec![heading];
            for (line, deeper) in lines {
                all.push(line);
                all.extend(deeper);
            }
            all
        })
        .boxed()
}

fn none() -> BoxedStrategy<Vec<Typed>> {
    Just(Vec::new()).boxed()
}

fn lines(level: usize, line: BoxedStrategy<String>) -> BoxedStrategy<Vec<Typed>> {
    vec(at(level, line), 0..4).boxed()
}

fn any_section() -> BoxedStrategy<Vec<Typed>> {
    let parts = vec(
        (
            at(2, sequence(vec![names(), facts_and_pins()])),
            lines(3, below_part()),
        ),
        0..4,
    )
    .prop_map(|parts| {
        parts
            .into_iter()
            .flat_map(|(part, below)| std::iter::once(part).chain(below))
            .collect::<Vec<_>>()
    })
    .boxed();
    let board_line = any_of(vec![
        words(&[
            "copper double-sided plated",
            "size 120x80",
            "size 120 x 80.0",
            "size 12 X 8",
            "rail GND 0V",
            "rail V24 ±5% 24 V",
            "rail -15 -15.0V ripple 5mV",
            "net BIAS \"output bias\"",
            "zone A 0,0 to 60.0,40",
            "headroom 3.8cm",
            "| prose",
        ]),
        sequence(vec![kind(), facts()]),
    ]);
    let part_with_kind = sequence(vec![names(), kind(), facts_and_pins()]);
    prop_oneof![
        section(
            words(&["model lm8 \"Pellworth LM-8\"", "model x"]),
            words(&[
                "revision 03",
                "built 1977..1981",
                "mains 230 V 50 Hz",
                "headroom 38.0mm",
                "changed 4 psu.C1 , psu.C2 \"list\"",
                "maker \"x\"",
                "| prose",
            ]),
            none(),
        ),
        section(
            words(&[
                "board psu",
                "board ch \"Strip\" as ch1..ch8",
                "wiring w \"x\""
            ]),
            board_line,
            parts.clone(),
        ),
        section(
            words(&["board psu", "wiring 1"]),
            part_with_kind,
            lines(2, below_part())
        ),
        section(
            words(&["shelf main \"A to F\""]),
            sequence(vec![kind(), facts()]),
            lines(2, sequence(vec![name(), separated(shelf_fact(), 0..6)])),
        ),
        section(
            words(&["devices d"]),
            sequence(vec![kind(), facts()]),
            parts
        ),
        section(
            words(&["packages p"]),
            words(&[
                "TO-92 leads 3 p1.27",
                "DIP-8 row 7.62mm p2.54",
                "A order E-B-C"
            ]),
            none(),
        ),
        section(
            words(&["link J2 \"x\" 09 joints", "link J2"]),
            sequence(vec![names(), words(&["to"]), names()]),
            none(),
        ),
        section(
            words(&["job 26-031 \"LM-8\""]),
            words(&[
                "model lm8 revision 03",
                "arrived 2026-10-02",
                "complaint \"hum\"",
                "agreed 450 EUR on 2026-10-05",
                "rate 60EUR",
                "margin 80 %",
                "life 10000h inside 45C",
            ]),
            none(),
        ),
        section(
            words(&["found"]),
            sequence(vec![names(), any_of(vec![claim(), facts_and_pins()])]),
            none(),
        ),
        section(
            words(&["plan"]),
            plan_line(),
            lines(
                2,
                words(&["for 22 uF in place of 10uF", "for 4k7, 5", "| prose"])
            ),
        ),
        section(
            words(&["steps"]),
            step(),
            lines(2, words(&["caution \"hot\"", "| prose  "])),
        ),
        section(words(&["targets"]), target(), none()),
        section(
            words(&["log"]),
            words(&["2026-11-03", "next  day"]),
            lines(2, entry()),
        ),
        section(words(&["use \"../shelf.retin\""]), broken(), none()),
    ]
    .boxed()
}

/// How one line is typed: its indentation, its blanks, what stands around it.
#[derive(Clone, Debug)]
struct Hand {
    slip: u8,
    gap: &'static str,
    before: &'static str,
    comment: &'static str,
    end: &'static str,
}

fn hand() -> impl Strategy<Value = Hand> {
    (
        0..24u8,
        select(&[" ", "  ", "\t", "      "][..]),
        prop_oneof![
            5 => Just(""),
            3 => select(&["\n", "\n \t\n\n", "# on its own  \n", "   # deeper\n", "\t\t# tabbed\n\n",
                "        #far\n#near\n"][..]),
        ],
        prop_oneof![3 => Just(""), 1 => select(&[" # behind", "\t# tab \t", "   #", " #x"][..])],
        prop_oneof![
            12 => Just("\n"),
            2 => Just("\r\n"),
            1 => select(&["  \n", "\t\n", "\r"][..]),
        ],
    )
        .prop_map(|(slip, gap, before, comment, end)| Hand {
            slip,
            gap,
            before,
            comment,
            end,
        })
}

/// A whole file.
pub fn file() -> impl Strategy<Value = String> {
    let lines = vec(any_section(), 0..5).prop_map(|sections| sections.concat());
    (lines, 1..5usize, any::<bool>(), any::<bool>()).prop_flat_map(|(lines, step, slips, mark)| {
        let count = lines.len();
        (Just(lines), vec(hand(), count)).prop_map(move |(lines, hands)| {
            let mut out = String::new();
            if mark && step == 3 {
                out.push('\u{feff}');
            }
            for ((level, line), hand) in lines.into_iter().zip(hands) {
                out.push_str(hand.before);
                let mut columns = level * step;
                if slips && hand.slip == 0 {
                    columns += 1;
                } else if slips && hand.slip == 1 {
                    columns = columns.saturating_sub(1);
                }
                if hand.slip % 4 == 2 {
                    out.push_str(&"\t".repeat(columns / 2));
                    out.push_str(&" ".repeat(columns % 2));
                } else {
                    out.push_str(&" ".repeat(columns));
                }
                // Blanks inside quotes are the writer's own.
                let mut quoted = false;
                for letter in line.chars() {
                    quoted ^= letter == '"';
                    if letter == ' ' && !quoted {
                        out.push_str(hand.gap);
                    } else {
                        out.push(letter);
                    }
                }
                out.push_str(hand.comment);
                out.push_str(hand.end);
            }
            out
        })
    })
}

/// A file with letters lost, letters put in, and lines shifted.
pub fn mutated(sample: &'static str) -> impl Strategy<Value = String> {
    let change = (
        any::<prop::sample::Index>(),
        0..4u8,
        prop_oneof![
            select(
                &[
                    " ", "\t", "\n", "\r", ",", "(", ")", "\"", "#", "|", "?", ".", "+", "-", "±",
                    "5", "V", " F ", " K ", "\u{a0}", "\u{7}", "é", " x ", " on ", " with ",
                    " east "
                ][..]
            )
            .prop_map(str::to_owned),
            any::<char>().prop_map(String::from),
        ],
        0..9usize,
    );
    vec(change, 1..12).prop_map(move |changes| {
        let mut text = sample.to_owned();
        for (place, how, letters, indent) in changes {
            let places: Vec<usize> = text.char_indices().map(|at| at.0).collect();
            let Some(at) = places.get(place.index(places.len().max(1))).copied() else {
                continue;
            };
            match how {
                0 => {
                    text.remove(at);
                }
                1 => text.insert_str(at, &letters),
                2 => {
                    let start = text[..at].rfind('\n').map_or(0, |at| at + 1);
                    let blanks =
                        text[start..].len() - text[start..].trim_start_matches([' ', '\t']).len();
                    text.replace_range(start..start + blanks, &" ".repeat(indent));
                }
                _ => {
                    let end = places.get(place.index(places.len()) + indent).copied();
                    text.replace_range(at..end.unwrap_or(at), "");
                }
            }
        }
        text
    })
}

/// Words of the language in no order at all.
pub fn word_salad() -> impl Strategy<Value = String> {
    let word = any_of(vec![
        fact(),
        name(),
        kind(),
        select(retin_syntax::token::RESERVED)
            .prop_map(|row| row.0.to_owned())
            .boxed(),
        words(&[
            "\n",
            "\n  ",
            "\n    ",
            "\n\t",
            "\r\n ",
            ",",
            "(",
            ")",
            "#",
            "|",
            "\"",
            "\nboard a\n",
        ]),
    ]);
    vec(word, 0..60).prop_map(|words| words.join(" "))
}
