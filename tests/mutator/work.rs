//! Mistakes on the bench and in its log.

use crate::Kind;
use crate::job::{At, Edit, JOB, Lines};
use crate::log::{Entry, at_minute, entries, fitted, moved, of};
use crate::parts::planned;

pub const KINDS: &[Kind] = &[
    Kind {
        name: "fitted the wrong way round",
        rules: &["polarity-reversed"],
        sites: reversed,
    },
    Kind {
        name: "two parts exchanged as fitted",
        rules: &["values-swapped"],
        sites: exchanged,
    },
    Kind {
        name: "another value fitted than planned",
        rules: &["value-mismatch"],
        sites: another_value,
    },
    Kind {
        name: "fitted on the wrong strip",
        rules: &["impossible-entry"],
        sites: wrong_strip,
    },
    Kind {
        name: "fitted twice",
        rules: &["impossible-entry"],
        sites: |lines| twice(lines, "fitted"),
    },
    Kind {
        name: "removed twice",
        rules: &["impossible-entry"],
        sites: |lines| twice(lines, "removed"),
    },
    Kind {
        name: "fitted, and the old one never removed",
        rules: &["impossible-entry"],
        sites: never_removed,
    },
    Kind {
        name: "read at work after it was removed",
        rules: &["impossible-entry"],
        sites: read_when_out,
    },
    Kind {
        name: "entry out of the order of time",
        rules: &["impossible-entry"],
        sites: out_of_time,
    },
    Kind {
        name: "work after the unit went back",
        rules: &["impossible-entry"],
        sites: after_return,
    },
    Kind {
        name: "name that does not exist, in the log",
        rules: &["unknown-name"],
        sites: unknown_name,
    },
    Kind {
        name: "verb misspelt in the log",
        rules: &["cannot-read"],
        sites: misspelt,
    },
    Kind {
        name: "no photograph before the first part comes out",
        rules: &["not-photographed", "step-too-early"],
        sites: no_photograph,
    },
    Kind {
        name: "fitted before the wash",
        rules: &["solvent-on-new", "step-too-early"],
        sites: late_wash,
    },
    Kind {
        name: "washed again over new parts",
        rules: &["solvent-on-new"],
        sites: washed_again,
    },
    Kind {
        name: "wash left out",
        rules: &["step-too-early"],
        sites: no_wash,
    },
    Kind {
        name: "accident never repaired",
        rules: &["accident-open"],
        sites: no_repair,
    },
    Kind {
        name: "repair without proof",
        rules: &["accident-open"],
        sites: no_proof,
    },
    Kind {
        name: "repair proven on one side only",
        rules: &["accident-open"],
        sites: one_side,
    },
    Kind {
        name: "repair that reads too high",
        rules: &["accident-open"],
        sites: too_high,
    },
    Kind {
        name: "part powered reversed, turned and kept",
        rules: &["stressed-part-reused"],
        sites: stressed,
    },
    Kind {
        name: "board not inspected before power",
        rules: &["joint-not-inspected"],
        sites: not_inspected,
    },
    Kind {
        name: "plated board inspected on one side",
        rules: &["barrel-not-proven"],
        sites: seen_from_one_side,
    },
    Kind {
        name: "part never fitted",
        rules: &["left-over"],
        sites: never_fitted,
    },
    Kind {
        name: "no resistance of a rail before power",
        rules: &["rails-unproven"],
        sites: no_resistance,
    },
    Kind {
        name: "full power at once",
        rules: &["rails-unproven"],
        sites: full_power,
    },
    Kind {
        name: "chip in before its rails were read",
        rules: &["rails-unproven"],
        sites: early_chip,
    },
    Kind {
        name: "trimmer not at its minimum before power",
        rules: &["rails-unproven"],
        sites: trimmer,
    },
    Kind {
        name: "reading out of its limits",
        rules: &["out-of-limits"],
        sites: out_of_limits,
    },
    Kind {
        name: "target that nobody read",
        rules: &["reading-missing"],
        sites: unread,
    },
    Kind {
        name: "another part arrived than was ordered",
        rules: &["arrived-differs"],
        sites: arrived,
    },
    Kind {
        name: "pair that does not match",
        rules: &["matched-group"],
        sites: mismatched,
    },
    Kind {
        name: "reading far off where the circuit is not wholly written down: not checked",
        rules: &[],
        sites: unsolved,
    },
    Kind {
        name: "two equal parts exchanged as fitted",
        rules: &[],
        sites: equal_exchanged,
    },
    Kind {
        name: "reading of a pulled part left out",
        rules: &[],
        sites: pulled_unread,
    },
    Kind {
        name: "fitted the wrong way round where no source says which way",
        rules: &[],
        sites: reversed_unseen,
    },
];

/// What is written on the sheet of the capacitor at a place: its direction.
fn direction<'l>(lines: &'l Lines, place: &str) -> Option<&'l str> {
    let (board, name) = place.split_once('.')?;
    let board = if board.starts_with("ch") {
        "channel"
    } else {
        board
    };
    let (file, line) = crate::paper::on_the_sheet(lines, &format!("{board}.{name}"))?;
    let claims = lines.0[file].get(line + 1..line + 5)?;
    let silk = claims
        .iter()
        .find(|line| line.trim_start().starts_with("silk + "))?;
    silk.split_whitespace().last()
}

fn reversed(lines: &Lines) -> Vec<Vec<Edit>> {
    let mut sites = Vec::new();
    for (entry, place, _) in fitted(lines) {
        let opposite = match direction(lines, place) {
            Some("north") => "south",
            Some("south") => "north",
            Some("east") => "west",
            Some(_) => "east",
            None => continue,
        };
        let text = format!("{} + {opposite}", lines.text(entry.at));
        sites.push(vec![Edit::Put(entry.at, text)]);
    }
    sites
}

fn board_of(place: &str) -> &str {
    place.split('.').next().unwrap_or_default()
}

/// Electrolytics that were fitted, two and two on one board.
fn pairs(lines: &Lines, is_alike: bool) -> Vec<Vec<Edit>> {
    let all: Vec<_> = fitted(lines)
        .into_iter()
        .filter(|(_, place, new)| new.starts_with("E-") && !place.ends_with(".C8"))
        .collect();
    let mut sites = Vec::new();
    for (index, (one, place, new)) in all.iter().enumerate() {
        for (other, other_place, other_new) in &all[index + 1..] {
            if board_of(place) == board_of(other_place) && (new == other_new) == is_alike {
                let (mine, theirs) = if is_alike {
                    (
                        format!("{other_place} with {new}"),
                        format!("{place} with {new}"),
                    )
                } else {
                    (
                        format!("{place} with {other_new}"),
                        format!("{other_place} with {new}"),
                    )
                };
                sites.push(vec![
                    Edit::Put(one.at, one.saying("fitted", &mine)),
                    Edit::Put(other.at, other.saying("fitted", &theirs)),
                ]);
            }
        }
    }
    sites
}

fn exchanged(lines: &Lines) -> Vec<Vec<Edit>> {
    pairs(lines, false)
}

fn equal_exchanged(lines: &Lines) -> Vec<Vec<Edit>> {
    pairs(lines, true)
}

fn another_value(lines: &Lines) -> Vec<Vec<Edit>> {
    let entries = ["E-10-50", "E-22-50", "E-47-50", "E-100-50", "E-220-35"];
    let mut sites = Vec::new();
    for (entry, place, new) in fitted(lines) {
        let Some(at) = entries.iter().position(|entry| *entry == new) else {
            continue;
        };
        if place.ends_with(".C8") {
            continue;
        }
        let other = entries[(at + 2) % entries.len()];
        let text = entry.saying("fitted", &format!("{place} with {other}"));
        sites.push(vec![Edit::Put(entry.at, text)]);
    }
    sites
}

fn wrong_strip(lines: &Lines) -> Vec<Vec<Edit>> {
    let mut sites = Vec::new();
    for (entry, place, new) in fitted(lines) {
        let Some((strip, name)) = place
            .split_once('.')
            .filter(|(strip, _)| strip.starts_with("ch"))
        else {
            continue;
        };
        for other in ["ch1", "ch2", "ch3", "ch4"] {
            if other == strip {
                continue;
            }
            let text = entry.saying("fitted", &format!("{other}.{name} with {new}"));
            // Of two entries that say the same, either may be the wrong one.
            let twin = fitted(lines)
                .into_iter()
                .find(|(_, place, _)| *place == format!("{other}.{name}"));
            let mut edits = vec![Edit::Put(entry.at, text)];
            edits.extend(twin.map(|(twin, ..)| Edit::Mark(twin.at)));
            sites.push(edits);
        }
    }
    sites
}

fn twice(lines: &Lines, verb: &str) -> Vec<Vec<Edit>> {
    let all = entries(lines);
    let mut sites = Vec::new();
    for (index, entry) in all
        .iter()
        .enumerate()
        .filter(|(_, entry)| entry.verb == verb)
    {
        // The day goes on.
        let Some(next) = all
            .get(index + 1)
            .filter(|next| next.minute >= entry.minute)
        else {
            continue;
        };
        let text = at_minute(next.minute, &entry.body());
        sites.push(vec![Edit::After(next.at, text)]);
    }
    sites
}

fn never_removed(lines: &Lines) -> Vec<Vec<Edit>> {
    let mut sites = Vec::new();
    for removed in of(lines, "removed") {
        let fitted: Vec<_> = fitted(lines)
            .into_iter()
            .filter(|(_, place, _)| *place == removed.words)
            .collect();
        if fitted.is_empty() {
            continue;
        }
        let mut edits = vec![Edit::Take(removed.at)];
        edits.extend(fitted.iter().map(|(entry, ..)| Edit::Mark(entry.at)));
        sites.push(edits);
    }
    sites
}

fn read_when_out(lines: &Lines) -> Vec<Vec<Edit>> {
    let mut sites = Vec::new();
    for removed in of(lines, "removed") {
        if !removed.words.contains("..") {
            let text = at_minute(
                removed.minute,
                &format!("measured {} 14.9V cold", removed.words),
            );
            sites.push(vec![Edit::After(removed.at, text)]);
        }
    }
    sites
}

fn out_of_time(lines: &Lines) -> Vec<Vec<Edit>> {
    let all = entries(lines);
    let mut sites = Vec::new();
    for pair in all.windows(2) {
        if pair[1].minute > pair[0].minute && pair[0].minute > 9 * 60 {
            let text = at_minute(pair[0].minute - 30, &pair[1].body());
            sites.push(vec![Edit::Put(pair[1].at, text)]);
        }
    }
    sites
}

fn after_return(lines: &Lines) -> Vec<Vec<Edit>> {
    let mut sites = Vec::new();
    for returned in of(lines, "returned") {
        for body in [
            "powered psu",
            "adjusted psu.VR1 to 15V",
            "cleaned master with brush",
            "soldered psu.C5",
        ] {
            sites.push(vec![Edit::After(
                returned.at,
                at_minute(returned.minute + 10, body),
            )]);
        }
    }
    sites
}

fn unknown_name(lines: &Lines) -> Vec<Vec<Edit>> {
    fitted(lines)
        .into_iter()
        .map(|(entry, place, new)| {
            let text = entry.saying("fitted", &format!("{place}77 with {new}"));
            vec![Edit::Put(entry.at, text)]
        })
        .collect()
}

fn misspelt(lines: &Lines) -> Vec<Vec<Edit>> {
    let mut sites = Vec::new();
    for (verb, slip) in [
        ("fitted", "fited"),
        ("removed", "remvoed"),
        ("inspected", "inspcted"),
    ] {
        for entry in of(lines, verb) {
            sites.push(vec![Edit::Put(entry.at, entry.saying(slip, entry.words))]);
        }
    }
    sites
}

/// Whether an entry's words begin with this board.
fn is_on(entry: &Entry<'_>, board: &str) -> bool {
    entry.words.starts_with(&format!("{board}."))
}

/// Entries with this verb on a board, as the lines where a mistake is to be told.
fn marks(lines: &Lines, verb: &str, board: &str) -> Vec<Edit> {
    of(lines, verb)
        .into_iter()
        .filter(|entry| is_on(entry, board))
        .map(|entry| Edit::Mark(entry.at))
        .collect()
}

fn no_photograph(lines: &Lines) -> Vec<Vec<Edit>> {
    let mut sites = Vec::new();
    for photograph in of(lines, "photographed") {
        let mut edits = marks(lines, "removed", photograph.words);
        edits.push(Edit::Take(photograph.at));
        sites.push(edits);
    }
    sites
}

/// The boards that were washed; of wiring no step speaks, and nothing on it suffers.
fn is_of_boards(cleaned: &Entry<'_>) -> bool {
    !cleaned.words.starts_with("inlet")
}

fn late_wash(lines: &Lines) -> Vec<Vec<Edit>> {
    let all = entries(lines);
    let mut sites = Vec::new();
    for (from, cleaned) in all
        .iter()
        .enumerate()
        .filter(|(_, entry)| entry.verb == "cleaned" && is_of_boards(entry))
    {
        let board = cleaned.words.split(' ').next().unwrap_or_default();
        let fitted = all
            .iter()
            .enumerate()
            .filter(|(_, entry)| entry.verb == "fitted" && is_on(entry, board));
        for (to, _) in fitted.take(3) {
            sites.push(moved(&all, from, to));
        }
    }
    sites
}

fn washed_again(lines: &Lines) -> Vec<Vec<Edit>> {
    let mut sites = Vec::new();
    for inspected in of(lines, "inspected").into_iter().filter(is_of_boards) {
        let board = board_of(inspected.words.split(' ').next().unwrap_or_default());
        for means in ["isopropanol", "alcohol"] {
            let text = at_minute(inspected.minute, &format!("cleaned {board} with {means}"));
            sites.push(vec![Edit::After(inspected.at, text)]);
        }
    }
    sites
}

fn no_wash(lines: &Lines) -> Vec<Vec<Edit>> {
    let mut sites = Vec::new();
    for cleaned in of(lines, "cleaned").into_iter().filter(is_of_boards) {
        let board = cleaned.words.split(' ').next().unwrap_or_default();
        let mut edits = marks(lines, "fitted", board);
        edits.push(Edit::Take(cleaned.at));
        sites.push(edits);
    }
    sites
}

/// Each accident: where it is told, its repair, its proof.
fn accidents(lines: &Lines) -> Vec<(Entry<'_>, Entry<'_>, Entry<'_>)> {
    let all = entries(lines);
    let mut found = Vec::new();
    for damaged in all.iter().filter(|entry| entry.verb == "damaged") {
        let pad = damaged.words.split(' ').next().unwrap_or_default();
        let mended = all.windows(2).find(|pair| {
            pair[0].verb == "repaired" && pair[0].words.split(' ').next() == Some(pad)
        });
        if let Some([repaired, proof]) = mended {
            found.push((damaged.clone(), repaired.clone(), proof.clone()));
        }
    }
    found
}

fn no_repair(lines: &Lines) -> Vec<Vec<Edit>> {
    let mut sites = Vec::new();
    for (damaged, repaired, proof) in accidents(lines) {
        let only = vec![Edit::Mark(damaged.at), Edit::Take(repaired.at)];
        let mut both = only.clone();
        both.push(Edit::Take(proof.at));
        sites.extend([only, both]);
    }
    sites
}

fn no_proof(lines: &Lines) -> Vec<Vec<Edit>> {
    accidents(lines)
        .into_iter()
        .map(|(damaged, _, proof)| vec![Edit::Mark(damaged.at), Edit::Take(proof.at)])
        .collect()
}

fn one_side(lines: &Lines) -> Vec<Vec<Edit>> {
    accidents(lines)
        .into_iter()
        .filter(|(.., proof)| proof.words.ends_with(" both sides"))
        .map(|(damaged, _, proof)| {
            let words = proof.words.trim_end_matches(" both sides");
            vec![
                Edit::Mark(damaged.at),
                Edit::Put(proof.at, proof.saying("measured", words)),
            ]
        })
        .collect()
}

fn too_high(lines: &Lines) -> Vec<Vec<Edit>> {
    accidents(lines)
        .into_iter()
        .map(|(damaged, _, proof)| {
            let words = proof.words.replace(" 0.", " 4");
            vec![
                Edit::Mark(damaged.at),
                Edit::Put(proof.at, proof.saying("measured", &words)),
            ]
        })
        .collect()
}

/// The entry of full power.
fn full(lines: &Lines) -> Option<Entry<'_>> {
    of(lines, "powered")
        .into_iter()
        .find(|entry| entry.words == "everything")
}

fn stressed(lines: &Lines) -> Vec<Vec<Edit>> {
    let Some(full) = full(lines) else {
        return Vec::new();
    };
    let mut sites = Vec::new();
    for (_, place, new) in fitted(lines) {
        if new.starts_with("E-") || new.starts_with("T-") {
            let at = |body: String| Edit::After(full.at, at_minute(full.minute, &body));
            sites.push(vec![
                at(format!("damaged {place} powered reversed")),
                at(format!("repaired {place} turned")),
                at(format!("inspected {place} both sides")),
            ]);
        }
    }
    sites
}

fn inspections(lines: &Lines) -> Vec<(Entry<'_>, &str)> {
    of(lines, "inspected")
        .into_iter()
        .filter_map(|entry| {
            let board = entry.words.split(' ').next()?;
            (!board.contains('.')).then_some((entry, board))
        })
        .collect()
}

fn not_inspected(lines: &Lines) -> Vec<Vec<Edit>> {
    inspections(lines)
        .into_iter()
        .map(|(entry, board)| {
            let mut edits = marks(lines, "fitted", board);
            edits.push(Edit::Take(entry.at));
            edits
        })
        .collect()
}

fn seen_from_one_side(lines: &Lines) -> Vec<Vec<Edit>> {
    inspections(lines)
        .into_iter()
        .filter(|(entry, _)| entry.words.ends_with(" both sides"))
        .map(|(entry, board)| {
            let mut edits = marks(lines, "fitted", board);
            edits.push(Edit::Put(entry.at, entry.saying("inspected", board)));
            edits
        })
        .collect()
}

/// The line of the plan about a place.
fn plan_line(lines: &Lines, place: &str) -> Option<At> {
    let (board, name) = place.split_once('.')?;
    let board = if board.starts_with("ch") {
        "channel"
    } else {
        board
    };
    let wanted = format!("{board}.{name}");
    planned(lines)
        .into_iter()
        .find(|(_, place, _)| *place == wanted)
        .map(|(at, ..)| at)
}

fn never_fitted(lines: &Lines) -> Vec<Vec<Edit>> {
    fitted(lines)
        .into_iter()
        .filter_map(|(entry, place, _)| {
            Some(vec![
                Edit::Take(entry.at),
                Edit::Mark(plan_line(lines, place)?),
            ])
        })
        .collect()
}

fn no_resistance(lines: &Lines) -> Vec<Vec<Edit>> {
    let powered: Vec<At> = of(lines, "powered").iter().map(|entry| entry.at).collect();
    let mut sites = Vec::new();
    // A rail that links carry to other boards is read at any of them.
    for rail in ["RAW+", "RAW-", "+15", "-15"] {
        let mut edits: Vec<Edit> = powered.iter().map(|at| Edit::Mark(*at)).collect();
        for entry in of(lines, "measured") {
            if entry.words.contains(&format!(".{rail} to ")) {
                edits.push(Edit::Take(entry.at));
            }
        }
        sites.push(edits);
    }
    sites
}

fn full_power(lines: &Lines) -> Vec<Vec<Edit>> {
    of(lines, "powered")
        .into_iter()
        .filter_map(|entry| {
            let (boards, _) = entry.words.split_once(" with lamp")?;
            Some(vec![Edit::Put(entry.at, entry.saying("powered", boards))])
        })
        .collect()
}

fn early_chip(lines: &Lines) -> Vec<Vec<Edit>> {
    let all = entries(lines);
    let first = all.iter().position(|entry| entry.verb == "powered");
    let Some(first) = first else {
        return Vec::new();
    };
    let chips = all.iter().enumerate().filter(|(_, entry)| {
        entry.verb == "fitted" && entry.words.contains(".U") && !entry.words.starts_with("psu")
    });
    chips.map(|(from, _)| moved(&all, from, first)).collect()
}

fn trimmer(lines: &Lines) -> Vec<Vec<Edit>> {
    let adjusted = of(lines, "adjusted");
    let minimum = adjusted
        .iter()
        .find(|entry| entry.words.ends_with("minimum"));
    let later = adjusted
        .iter()
        .find(|entry| !entry.words.ends_with("minimum"));
    let (Some(minimum), Some(later)) = (minimum, later) else {
        return Vec::new();
    };
    vec![
        vec![Edit::Take(minimum.at), Edit::Mark(later.at)],
        vec![
            Edit::Shift(minimum.at, minimum.saying("adjusted", "psu.VR1 to maximum")),
            Edit::Mark(later.at),
        ],
    ]
}

fn out_of_limits(lines: &Lines) -> Vec<Vec<Edit>> {
    far_off(lines, |words| !words.starts_with(UNSOLVED))
}

fn unsolved(lines: &Lines) -> Vec<Vec<Edit>> {
    far_off(lines, |words| words.starts_with(UNSOLVED))
}

/// The target whose value the circuit would give, were all of it written down.
const UNSOLVED: &str = "master.C10.+ ";

fn far_off(lines: &Lines, is_wanted: impl Fn(&str) -> bool) -> Vec<Vec<Edit>> {
    let mut sites = Vec::new();
    for entry in of(lines, "measured") {
        let is_volts = entry.words.ends_with("V cold") || entry.words.ends_with("V warm");
        if !is_volts || entry.words.contains(" to ") || !is_wanted(entry.words) {
            continue;
        }
        let Some((point, value)) = entry.words.split_once(' ') else {
            continue;
        };
        let Some((number, state)) = value.split_once("V ") else {
            continue;
        };
        let Ok(volts) = number.parse::<f64>() else {
            continue;
        };
        for by in [1.25, 0.7] {
            let words = format!("{point} {:.2}V {state}", volts * by);
            sites.push(vec![Edit::Put(entry.at, entry.saying("measured", &words))]);
        }
    }
    sites
}

fn unread(lines: &Lines) -> Vec<Vec<Edit>> {
    let from = lines.0[JOB]
        .iter()
        .position(|line| line == "targets")
        .unwrap_or(0);
    let mut sites = Vec::new();
    for (line, text) in lines.0[JOB].iter().enumerate().skip(from + 1) {
        if text.is_empty() {
            break;
        }
        let point = text.split_whitespace().next().unwrap_or_default();
        let is_resistance = text.contains("ohm");
        let (boards, rail) = point.rsplit_once('.').unwrap_or((point, ""));
        let boards = if boards == "ch1..ch4" {
            vec!["ch1", "ch2", "ch3", "ch4"]
        } else {
            vec![boards]
        };
        for board in boards {
            let mut edits = vec![Edit::Mark((JOB, line))];
            for entry in of(lines, "measured") {
                let is_here = entry.words.starts_with(&format!("{board}.{rail} "));
                if is_here && entry.words.contains("ohm") == is_resistance {
                    edits.push(Edit::Take(entry.at));
                }
            }
            sites.push(edits);
        }
    }
    sites
}

fn arrived(lines: &Lines) -> Vec<Vec<Edit>> {
    let mut sites = Vec::new();
    for entry in of(lines, "arrived") {
        let name = entry.words.split(' ').nth(1).unwrap_or_default();
        let others: &[&str] = match name {
            "E-10-50" => &["10uF 6.3V 5x11 p2", "1uF 50V 5x11 p2"],
            "E-22-50" => &["22uF 6.3V 5x11 p2", "220uF 50V 5x11 p2"],
            "E-47-50" => &["47uF 10V 6.3x11 p2.5", "4.7uF 50V 6.3x11 p2.5"],
            "E-100-50" => &["100uF 10V 8x12 p3.5", "10uF 50V 8x12 p3.5"],
            "E-220-35" => &["220uF 10V 10x12 p5", "22uF 35V 10x12 p5"],
            "E-2200-50" => &["2200uF 25V 18x36 p7.5", "2200uF 50V 18x50 p7.5"],
            _ => &[],
        };
        for other in others {
            let words = format!("{} as {other}", entry.words);
            sites.push(vec![Edit::Put(entry.at, entry.saying("arrived", &words))]);
        }
    }
    sites
}

fn mismatched(lines: &Lines) -> Vec<Vec<Edit>> {
    let mut sites = Vec::new();
    for pair in entries(lines).windows(2) {
        let other = &pair[1];
        if pair[0].verb != "measured"
            || !other.words.contains(" gain ")
            || !other.words.contains(".Q2")
        {
            continue;
        }
        let marks = [Edit::Mark(pair[0].at)];
        for from in [" gain 2", " vbe 6"] {
            let to = if from == " gain 2" {
                " gain 4"
            } else {
                " vbe 7"
            };
            let words = other.words.replacen(from, to, 1);
            let mut edits = marks.to_vec();
            edits.push(Edit::Put(other.at, other.saying("measured", &words)));
            sites.push(edits);
        }
    }
    sites
}

fn pulled_unread(lines: &Lines) -> Vec<Vec<Edit>> {
    of(lines, "measured")
        .into_iter()
        .filter(|entry| entry.words.contains("uF, esr"))
        .map(|entry| vec![Edit::Take(entry.at)])
        .collect()
}

fn reversed_unseen(lines: &Lines) -> Vec<Vec<Edit>> {
    fitted(lines)
        .into_iter()
        .filter(|(_, _, new)| new.starts_with("T-"))
        .map(|(entry, ..)| {
            let text = format!("{} + north", lines.text(entry.at));
            vec![Edit::Put(entry.at, text)]
        })
        .collect()
}
