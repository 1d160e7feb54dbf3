//! Mistakes in what is to go in.

use crate::Kind;
use crate::job::{At, Edit, JOB, Lines, SHELF};

const BODY: &[&str] = &["body-does-not-fit", "bodies-collide"];

pub const KINDS: &[Kind] = &[
    Kind {
        name: "decade slip in the plan",
        rules: &["value-mismatch", "impossible-value"],
        sites: decade,
    },
    Kind {
        name: "nF for uF, uF for nF in the plan",
        rules: &["value-mismatch", "impossible-value"],
        sites: unit,
    },
    Kind {
        name: "two values exchanged in the plan",
        rules: &["values-swapped"],
        sites: exchanged,
    },
    Kind {
        name: "voltage too low",
        rules: &["volts-too-low"],
        sites: volts,
    },
    Kind {
        name: "polar part in a bipolar place",
        rules: &["polar-where-bipolar", "wrong-kind"],
        sites: polar,
    },
    Kind {
        name: "wrong pitch",
        rules: &["body-does-not-fit"],
        sites: pitch,
    },
    Kind {
        name: "too tall for the lid",
        rules: &["body-does-not-fit"],
        sites: tall,
    },
    Kind {
        name: "too wide for its neighbours",
        rules: BODY,
        sites: wide,
    },
    Kind {
        name: "bears less heat than the old one",
        rules: &["too-hot"],
        sites: heat,
    },
    Kind {
        name: "wrong taper",
        rules: &["body-does-not-fit"],
        sites: taper,
    },
    Kind {
        name: "missing gang",
        rules: &["body-does-not-fit"],
        sites: gang,
    },
    Kind {
        name: "fuse of another current",
        rules: &["value-mismatch", "safety-class"],
        sites: fuse_current,
    },
    Kind {
        name: "fuse of another speed",
        rules: &["safety-class", "value-mismatch"],
        sites: fuse_speed,
    },
    Kind {
        name: "film capacitor without a safety class at the mains",
        rules: &["safety-class", "wrong-kind"],
        sites: safety_class,
    },
    Kind {
        name: "X class from line to earth",
        rules: &["safety-class"],
        sites: class_at_earth,
    },
    Kind {
        name: "leads in another order",
        rules: &["pin-order"],
        sites: lead_order,
    },
    Kind {
        name: "device of the opposite polarity",
        rules: &["wrong-kind", "pin-order"],
        sites: opposite_polarity,
    },
    Kind {
        name: "chip with other pins",
        rules: &["pin-order"],
        sites: chip_pins,
    },
    Kind {
        name: "supply above what the chip bears",
        rules: &["supply-range"],
        sites: supply,
    },
    Kind {
        name: "slower diode",
        rules: &["slower-part"],
        sites: diode,
    },
    Kind {
        name: "mains capacitor described without its class: not checked",
        rules: &[],
        sites: unstated_class,
    },
    Kind {
        name: "shelf one short",
        rules: &["shelf-short"],
        sites: short,
    },
];

/// The lines of the plan that replace a part: the line, the place, the entry.
pub fn planned(lines: &Lines) -> Vec<(At, &str, &str)> {
    lines
        .find(JOB, |line| line.starts_with("  replace "))
        .into_iter()
        .filter_map(|at| {
            let (place, entry) = lines
                .text(at)
                .trim_start()
                .strip_prefix("replace ")?
                .split_once(" with ")?;
            Some((at, place, entry))
        })
        .collect()
}

/// An entry's properties as the plan may describe it: its kind's, then its own.
fn described(lines: &Lines, entry: &str) -> Option<String> {
    let shelf = &lines.0[SHELF];
    let at = shelf
        .iter()
        .position(|line| line.trim_start().starts_with(&format!("{entry} ")))?;
    let kind = shelf[..at]
        .iter()
        .rev()
        .find(|line| !line.starts_with("    "))?;
    let own = shelf[at]
        .trim_start()
        .strip_prefix(entry)?
        .split(" have ")
        .next()?;
    let own = own.split(" lot ").next()?.replace(" risky", "");
    Some(format!("{} {}", kind.trim(), own.trim()))
}

/// A value with its number scaled: `10uF` by 10 is `100uF`.
pub fn scaled(value: &str, by: f64) -> Option<String> {
    let digits = value.find(|letter: char| !letter.is_ascii_digit() && letter != '.')?;
    let number: f64 = value[..digits].parse().ok()?;
    let scaled = format!("{:.4}", number * by);
    let scaled = scaled.trim_end_matches('0').trim_end_matches('.');
    Some(format!("{scaled}{}", &value[digits..]))
}

/// Every planned part of which the description can be changed so.
fn changed(
    lines: &Lines,
    wanted: impl Fn(&str, &str) -> bool,
    change: impl Fn(&str) -> Option<String>,
) -> Vec<Vec<Edit>> {
    let mut sites = Vec::new();
    for (at, place, entry) in planned(lines) {
        if !wanted(place, entry) || place == "channel.C8" {
            continue;
        }
        if let Some(text) = described(lines, entry).and_then(|text| change(&text)) {
            sites.push(vec![Edit::Put(at, lines.with(at, entry, &text))]);
        }
    }
    sites
}

/// One word of a description exchanged.
fn word(
    text: &str,
    is_wanted: impl Fn(&str) -> bool,
    change: impl Fn(&str) -> Option<String>,
) -> Option<String> {
    let words: Vec<&str> = text.split(' ').collect();
    let at = words.iter().position(|word| is_wanted(word))?;
    let other = change(words[at])?;
    let mut words: Vec<String> = words.into_iter().map(str::to_owned).collect();
    words[at] = other;
    Some(words.join(" "))
}

fn is_number_with(unit: &'static str) -> impl Fn(&str) -> bool {
    move |word| {
        word.strip_suffix(unit)
            .is_some_and(|number| number.parse::<f64>().is_ok())
    }
}

fn is_electrolytic(_: &str, entry: &str) -> bool {
    entry.starts_with("E-")
}

fn is_small_capacitor(_: &str, entry: &str) -> bool {
    ["E-", "B-", "T-"]
        .iter()
        .any(|start| entry.starts_with(start))
}

fn decade(lines: &Lines) -> Vec<Vec<Edit>> {
    let mut sites = Vec::new();
    for by in [10.0, 0.1] {
        for unit in ["uF", "nF", "kohm"] {
            sites.extend(changed(
                lines,
                |_, entry| !entry.starts_with("U-"),
                |text| word(text, is_number_with(unit), |value| scaled(value, by)),
            ));
        }
    }
    sites
}

fn unit(lines: &Lines) -> Vec<Vec<Edit>> {
    let mut sites = Vec::new();
    for (from, to) in [("uF", "nF"), ("nF", "uF")] {
        sites.extend(changed(
            lines,
            |_, _| true,
            |text| {
                word(text, is_number_with(from), |value| {
                    Some(value.replace(from, to))
                })
            },
        ));
    }
    sites
}

fn exchanged(lines: &Lines) -> Vec<Vec<Edit>> {
    let mut sites = Vec::new();
    let all = planned(lines);
    let board = |place: &str| place.split('.').next().map(str::to_owned);
    for (index, (at, place, entry)) in all.iter().enumerate() {
        for (other_at, other_place, other) in &all[index + 1..] {
            let is_pair = entry.starts_with("E-")
                && other.starts_with("E-")
                && entry != other
                && board(place) == board(other_place)
                && *place != "channel.C8"
                && *other_place != "channel.C8";
            if is_pair {
                sites.push(vec![
                    Edit::Put(*at, lines.with(*at, entry, other)),
                    Edit::Put(*other_at, lines.with(*other_at, other, entry)),
                ]);
            }
        }
    }
    sites
}

fn volts(lines: &Lines) -> Vec<Vec<Edit>> {
    changed(lines, is_small_capacitor, |text| {
        word(text, is_number_with("V"), |_| Some("10V".to_owned()))
    })
}

fn polar(lines: &Lines) -> Vec<Vec<Edit>> {
    let mut sites = Vec::new();
    for (at, _, entry) in planned(lines) {
        let polar = match entry {
            "B-10-50" => "E-10-50",
            "B-22-50" => "E-22-50",
            _ => continue,
        };
        sites.push(vec![Edit::Put(at, lines.with(at, entry, polar))]);
    }
    sites
}

fn is_pitch(word: &str) -> bool {
    word.strip_prefix('p')
        .is_some_and(|number| number.parse::<f64>().is_ok())
}

fn is_body(word: &str) -> bool {
    word.split('x').count() == 2 && word.split('x').all(|part| part.parse::<f64>().is_ok())
}

fn pitch(lines: &Lines) -> Vec<Vec<Edit>> {
    changed(lines, is_small_capacitor, |text| {
        word(text, is_pitch, |pitch| {
            let number: f64 = pitch.strip_prefix('p')?.parse().ok()?;
            Some(format!("p{}", number + 5.0))
        })
    })
}

fn tall(lines: &Lines) -> Vec<Vec<Edit>> {
    changed(lines, is_small_capacitor, |text| {
        word(text, is_body, |body| {
            Some(format!("{}x45", body.split('x').next()?))
        })
    })
}

fn wide(lines: &Lines) -> Vec<Vec<Edit>> {
    changed(lines, is_electrolytic, |text| {
        word(text, is_body, |body| {
            Some(format!("26x{}", body.split('x').nth(1)?))
        })
    })
}

fn heat(lines: &Lines) -> Vec<Vec<Edit>> {
    changed(
        lines,
        |_, entry| entry.starts_with("E-") || entry.starts_with("B-"),
        |text| word(text, |word| word == "105°C", |_| Some("70°C".to_owned())),
    )
}

fn taper(lines: &Lines) -> Vec<Vec<Edit>> {
    changed(
        lines,
        |_, entry| entry.starts_with("P-"),
        |text| {
            word(
                text,
                |word| word == "log" || word == "linear",
                |taper| Some(if taper == "log" { "linear" } else { "log" }.to_owned()),
            )
        },
    )
}

fn gang(lines: &Lines) -> Vec<Vec<Edit>> {
    changed(
        lines,
        |_, entry| entry == "P-10K-DUAL",
        |text| Some(text.replace("gangs 2", "gangs 1")),
    )
}

fn fuse_current(lines: &Lines) -> Vec<Vec<Edit>> {
    let mut sites = Vec::new();
    for to in ["4A", "2A"] {
        sites.extend(changed(
            lines,
            |_, entry| entry.starts_with("F-"),
            |text| {
                word(
                    text,
                    |word| word == "1A" || word == "500mA",
                    |_| Some(to.to_owned()),
                )
            },
        ));
    }
    sites
}

fn fuse_speed(lines: &Lines) -> Vec<Vec<Edit>> {
    changed(
        lines,
        |_, entry| entry.starts_with("F-"),
        |text| word(text, |word| word == "T", |_| Some("F".to_owned())),
    )
}

/// A mains capacitor described anew without its class.
fn without_class(lines: &Lines, kind: &str) -> Vec<Vec<Edit>> {
    changed(
        lines,
        |_, entry| entry.starts_with("X-") || entry.starts_with("Y-"),
        |text| {
            let text = text.replace(" X2", "").replace(" Y2", "");
            Some(text.replace("mains-capacitor", kind))
        },
    )
}

fn safety_class(lines: &Lines) -> Vec<Vec<Edit>> {
    without_class(lines, "film 630V")
}

fn unstated_class(lines: &Lines) -> Vec<Vec<Edit>> {
    without_class(lines, "mains-capacitor")
}

fn class_at_earth(lines: &Lines) -> Vec<Vec<Edit>> {
    changed(
        lines,
        |_, entry| entry.starts_with("Y-"),
        |text| Some(text.replace("Y2", "X2")),
    )
}

fn lead_order(lines: &Lines) -> Vec<Vec<Edit>> {
    changed(
        lines,
        |_, entry| entry.starts_with("Q-"),
        |text| {
            let text = text.replace("BC547", "2N3904");
            Some(text.replace("2N3906", "device \"AV-77\" leads C-B-E"))
        },
    )
}

fn opposite_polarity(lines: &Lines) -> Vec<Vec<Edit>> {
    let mut sites = Vec::new();
    for (at, _, entry) in planned(lines) {
        let other = match entry {
            "Q-547" => "Q-3906",
            "Q-3906" => "Q-547",
            "U-7815" => "U-7915",
            "U-7915" => "U-7815",
            _ => continue,
        };
        sites.push(vec![Edit::Put(at, lines.with(at, entry, other))]);
    }
    sites
}

fn chip_pins(lines: &Lines) -> Vec<Vec<Edit>> {
    changed(
        lines,
        |_, entry| entry == "U-074",
        |text| Some(text.replace("TL074", "RC4136")),
    )
}

fn supply(lines: &Lines) -> Vec<Vec<Edit>> {
    changed(
        lines,
        |_, entry| entry.starts_with("U-5532") || entry.starts_with("U-074"),
        |text| {
            let text = text.replace("NE5532", "device \"AV-12\" supply 6..18V");
            Some(text.replace("TL074", "device \"AV-14\" supply 6..18V"))
        },
    )
}

fn diode(lines: &Lines) -> Vec<Vec<Edit>> {
    let mut sites = Vec::new();
    for (at, _, entry) in planned(lines) {
        if entry == "D-FAST" {
            sites.push(vec![Edit::Put(at, lines.with(at, entry, "D-4004"))]);
        }
    }
    sites
}

fn short(lines: &Lines) -> Vec<Vec<Edit>> {
    let mut sites = Vec::new();
    for at in lines.find(SHELF, |line| line.contains(" have ")) {
        let Some((_, rest)) = lines.text(at).split_once(" have ") else {
            continue;
        };
        let count = rest.split(' ').next().unwrap_or_default();
        let Ok(number) = count.parse::<usize>() else {
            continue;
        };
        let less = format!("have {}", number.saturating_sub(1));
        let mut edits = vec![Edit::Put(
            at,
            lines.with(at, &format!("have {count}"), &less),
        )];
        // It is told at the first line of the plan that takes it.
        let name = lines.text(at).split_whitespace().next().unwrap_or_default();
        let plan = planned(lines)
            .into_iter()
            .filter(|(_, _, entry)| *entry == name);
        edits.extend(plan.map(|(at, ..)| Edit::Mark(at)));
        sites.push(edits);
    }
    sites
}
