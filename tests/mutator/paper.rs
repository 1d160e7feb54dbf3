//! Mistakes on the model sheet, on the shelf and in the plan, wherever no new part
//! is to blame.

use crate::Kind;
use crate::job::{At, Edit, JOB, Lines, MODEL, SHELF};
use crate::parts::{planned, scaled};

pub const KINDS: &[Kind] = &[
    Kind {
        name: "plus and minus exchanged on the sheet",
        rules: &["polarity-reversed"],
        sites: leads_exchanged,
    },
    Kind {
        name: "silkscreen copied the wrong way round",
        rules: &["polarity-reversed"],
        sites: |lines| turned(lines, "silk"),
    },
    Kind {
        name: "the way the old part sat noted the wrong way round",
        rules: &["polarity-reversed"],
        sites: |lines| turned(lines, "found"),
    },
    Kind {
        name: "lead that sounds to ground mistaken",
        rules: &["polarity-reversed"],
        sites: |lines| turned(lines, "beep"),
    },
    Kind {
        name: "both leads written on one net",
        rules: &["both-leads-on-one-net"],
        sites: |lines| bracketed(lines, |plus, _| format!("(+ {plus}, - {plus})")),
    },
    Kind {
        name: "one lead written twice",
        rules: &["duplicate-name"],
        sites: |lines| bracketed(lines, |plus, minus| format!("(+ {plus}, + {minus})")),
    },
    Kind {
        name: "position off its board",
        rules: &["impossible-value"],
        sites: off_the_board,
    },
    Kind {
        name: "decade slip on the sheet",
        rules: &["claims-disagree"],
        sites: decade_on_the_sheet,
    },
    Kind {
        name: "ohms for farads on the sheet",
        rules: &["wrong-dimension", "cannot-read"],
        sites: wrong_dimension,
    },
    Kind {
        name: "the same name twice on the sheet",
        rules: &["duplicate-name"],
        sites: duplicate_name,
    },
    Kind {
        name: "name that does not exist, in the plan",
        rules: &["unknown-name"],
        sites: unknown_in_the_plan,
    },
    Kind {
        name: "shelf entry that does not exist",
        rules: &["unknown-name"],
        sites: unknown_entry,
    },
    Kind {
        name: "verb misspelt in the plan",
        rules: &["cannot-read"],
        sites: misspelt_plan,
    },
    Kind {
        name: "part that the plan forgets",
        rules: &["not-dealt-with"],
        sites: not_dealt_with,
    },
    Kind {
        name: "part planned twice, differently",
        rules: &["planned-twice"],
        sites: planned_twice,
    },
    Kind {
        name: "one strip planned unlike the others",
        rules: &["copies-differ"],
        sites: one_copy_kept,
    },
    Kind {
        name: "one strip said to differ, without a reason",
        rules: &["copies-differ"],
        sites: exception_without_reason,
    },
    Kind {
        name: "place the maker left empty gets a part",
        rules: &["empty-place-filled"],
        sites: empty_place,
    },
    Kind {
        name: "overruling whose values have moved",
        rules: &["accept-stale"],
        sites: stale_overruling,
    },
    Kind {
        name: "overruling that silences nothing",
        rules: &["accept-unused"],
        sites: unused_overruling,
    },
    Kind {
        name: "overruling without a reason",
        rules: &["because-missing"],
        sites: reasonless_overruling,
    },
    Kind {
        name: "job pinned to an old revision",
        rules: &["revision-moved"],
        sites: revision,
    },
    Kind {
        name: "approval a decade too small",
        rules: &["over-approval"],
        sites: approval,
    },
    Kind {
        name: "risky part without lot or sample",
        rules: &["doubtful-source"],
        sites: doubtful,
    },
    Kind {
        name: "step left out that others wait for",
        rules: &["unknown-name"],
        sites: step_left_out,
    },
    Kind {
        name: "step planned too early",
        rules: &["step-too-early"],
        sites: step_too_early,
    },
    Kind {
        name: "steps that wait for one another",
        rules: &["steps-in-a-circle"],
        sites: circle,
    },
    Kind {
        name: "look or resistances planned after power: the bench's order does not have them",
        rules: &[],
        sites: step_after_power,
    },
    Kind {
        name: "last step left out",
        rules: &[],
        sites: last_step,
    },
    Kind {
        name: "note of a value left out on the sheet",
        rules: &[],
        sites: claim_left_out,
    },
];

/// The lines of the sheet's electrolytics.
fn electrolytics(lines: &Lines) -> Vec<At> {
    lines.find(MODEL, |line| {
        line.starts_with("    C") && line.contains("(+ ") && line.contains("uF")
    })
}

/// Electrolytics with other brackets, made of their nets.
fn bracketed(lines: &Lines, other: impl Fn(&str, &str) -> String) -> Vec<Vec<Edit>> {
    let sites = electrolytics(lines).into_iter().filter_map(|at| {
        let (_, rest) = lines.text(at).split_once("(+ ")?;
        let (nets, _) = rest.split_once(')')?;
        let (plus, minus) = nets.split_once(", - ")?;
        let text = lines.with(at, &format!("(+ {nets})"), &other(plus, minus));
        Some(vec![Edit::Put(at, text)])
    });
    sites.collect()
}

fn off_the_board(lines: &Lines) -> Vec<Vec<Edit>> {
    let sites = electrolytics(lines).into_iter().filter_map(|at| {
        let (_, rest) = lines.text(at).split_once(" at ")?;
        let (across, _) = rest.split_once(',')?;
        let text = lines.with(at, &format!(" at {across},"), &format!(" at {across}00,"));
        Some(vec![Edit::Put(at, text)])
    });
    sites.collect()
}

fn leads_exchanged(lines: &Lines) -> Vec<Vec<Edit>> {
    let rails = [
        "(+ +15, - GND)",
        "(+ GND, - -15)",
        "(+ RAW+, - GND)",
        "(+ GND, - RAW-)",
        "(+ REF, - GND)",
    ];
    let mut sites = Vec::new();
    for at in electrolytics(lines) {
        let found = rails.iter().find(|nets| lines.text(at).contains(**nets));
        let Some((plus, minus)) = found.and_then(|nets| {
            nets.trim_matches(['(', ')'])
                .strip_prefix("+ ")?
                .split_once(", - ")
        }) else {
            continue;
        };
        let text = lines.with(
            at,
            &format!("(+ {plus}, - {minus})"),
            &format!("(+ {minus}, - {plus})"),
        );
        sites.push(vec![Edit::Put(at, text)]);
    }
    sites
}

fn opposite(direction: &str) -> Option<&'static str> {
    Some(match direction {
        "north" => "south",
        "south" => "north",
        "east" => "west",
        "west" => "east",
        _ => return None,
    })
}

/// Claims of one source, each with its direction turned round.
fn turned(lines: &Lines, source: &str) -> Vec<Vec<Edit>> {
    let claims = lines.find(MODEL, |line| line.trim_start().starts_with(source));
    let turned = |at: At| {
        let words: Vec<&str> = lines.text(at).split(' ').collect();
        let direction = words
            .iter()
            .find_map(|word| Some((*word, opposite(word)?)))?;
        Some(vec![Edit::Put(
            at,
            lines.with(at, direction.0, direction.1),
        )])
    };
    claims.into_iter().filter_map(turned).collect()
}

fn decade_on_the_sheet(lines: &Lines) -> Vec<Vec<Edit>> {
    let mut sites = Vec::new();
    for at in electrolytics(lines) {
        let value = lines.text(at).split_whitespace().nth(1).unwrap_or_default();
        // Tantalums have no second source for their value.
        if lines.0[MODEL]
            .get(at.1 + 1)
            .is_none_or(|next| !next.contains("silk"))
        {
            continue;
        }
        for by in [10.0, 0.1] {
            if let Some(slipped) = scaled(value, by) {
                sites.push(vec![Edit::Put(at, lines.with(at, value, &slipped))]);
            }
        }
    }
    sites
}

fn wrong_dimension(lines: &Lines) -> Vec<Vec<Edit>> {
    let put = |at: At| vec![Edit::Put(at, lines.with(at, "uF", "ohm"))];
    electrolytics(lines).into_iter().map(put).collect()
}

fn duplicate_name(lines: &Lines) -> Vec<Vec<Edit>> {
    let all = electrolytics(lines);
    let mut sites = Vec::new();
    for pair in all.windows(2) {
        let name = |at: At| lines.text(at).split_whitespace().next().unwrap_or_default();
        let (one, other) = (name(pair[0]), name(pair[1]));
        // Two boards have names of their own.
        if other == "C1" {
            continue;
        }
        let put = Edit::Put(pair[1], lines.with(pair[1], other, one));
        sites.push(vec![Edit::Mark(pair[0]), put]);
    }
    sites
}

fn unknown_in_the_plan(lines: &Lines) -> Vec<Vec<Edit>> {
    planned(lines)
        .into_iter()
        .map(|(at, place, _)| vec![Edit::Put(at, lines.with(at, place, &format!("{place}77")))])
        .collect()
}

fn unknown_entry(lines: &Lines) -> Vec<Vec<Edit>> {
    planned(lines)
        .into_iter()
        .map(|(at, _, entry)| vec![Edit::Put(at, lines.with(at, entry, &format!("{entry}0")))])
        .collect()
}

fn misspelt_plan(lines: &Lines) -> Vec<Vec<Edit>> {
    planned(lines)
        .into_iter()
        .map(|(at, ..)| vec![Edit::Put(at, lines.with(at, "replace", "repalce"))])
        .collect()
}

/// The line of the sheet that a place of the plan names.
pub fn on_the_sheet(lines: &Lines, place: &str) -> Option<At> {
    let (board, name) = place.split_once('.')?;
    let sheet = &lines.0[MODEL];
    let heading = sheet.iter().position(|line| {
        line.starts_with(&format!("board {board} "))
            || line.starts_with(&format!("wiring {board} "))
    })?;
    let names = |line: &String| {
        let names = line.trim_start();
        let first = names.split(' ').next().unwrap_or_default();
        first.trim_end_matches(',') == name || names.contains(&format!(", {name} "))
    };
    let line = sheet.iter().skip(heading).position(names)?;
    Some((MODEL, heading + line))
}

fn not_dealt_with(lines: &Lines) -> Vec<Vec<Edit>> {
    let ages = |place: &str| {
        let name = place.rsplit('.').next().unwrap_or_default();
        name.starts_with('C') || name.starts_with("VR") || name.starts_with('F')
    };
    planned(lines)
        .into_iter()
        .filter(|(_, place, _)| ages(place) && *place != "channel.C8")
        .filter_map(|(at, place, _)| {
            // What the plan lacks is told at its heading, and names the sheet.
            let heading = lines.find(JOB, |line| line == "plan");
            let mut edits = vec![Edit::Take(at), Edit::Mark(on_the_sheet(lines, place)?)];
            edits.extend(heading.into_iter().map(Edit::Mark));
            Some(edits)
        })
        .collect()
}

fn planned_twice(lines: &Lines) -> Vec<Vec<Edit>> {
    let all = planned(lines);
    let with = |at: At, place: &str, entry: &str| {
        vec![
            Edit::Mark(at),
            Edit::After(at, format!("  replace {place} with {entry}")),
        ]
    };
    all.windows(2)
        .filter(|pair| pair[0].2 != pair[1].2 && pair[0].1 != "channel.C8")
        .map(|pair| with(pair[0].0, pair[0].1, pair[1].2))
        .collect()
}

fn of_strips(lines: &Lines) -> Vec<(At, &str, &str)> {
    planned(lines)
        .into_iter()
        .filter(|(_, place, _)| place.starts_with("channel.") && *place != "channel.C8")
        .collect()
}

fn one_copy_kept(lines: &Lines) -> Vec<Vec<Edit>> {
    let mut sites = Vec::new();
    for (at, place, _) in of_strips(lines) {
        for strip in ["ch1", "ch2", "ch3", "ch4"] {
            let place = place.replacen("channel", strip, 1);
            sites.push(vec![Edit::After(at, format!("  keep {place}"))]);
        }
    }
    sites
}

fn exception_without_reason(lines: &Lines) -> Vec<Vec<Edit>> {
    let mut sites = Vec::new();
    for (_, place, _) in of_strips(lines) {
        let Some(at) = on_the_sheet(lines, place) else {
            continue;
        };
        if lines.text(at).contains("uF") {
            sites.push(vec![Edit::After(at, "      on ch3 33uF".to_owned())]);
        }
    }
    sites
}

fn empty_place(lines: &Lines) -> Vec<Vec<Edit>> {
    let first = lines.find(JOB, |line| line == "plan");
    let add = |at: At| {
        vec![Edit::After(
            at,
            "  replace psu.C12 with E-220-35".to_owned(),
        )]
    };
    first.into_iter().map(add).collect()
}

fn stale_overruling(lines: &Lines) -> Vec<Vec<Edit>> {
    let mut sites = Vec::new();
    for at in lines.find(JOB, |line| line.trim_start().starts_with("for ")) {
        let above = (at.0, at.1 - 1);
        for (from, to) in [
            ("47uF", "33uF"),
            ("22uF", "10uF"),
            ("47uF", "470uF"),
            ("22uF", "2.2uF"),
        ] {
            sites.push(vec![
                Edit::Mark(above),
                Edit::Put(at, lines.with(at, from, to)),
            ]);
        }
    }
    sites
}

fn after_the_plan(lines: &Lines, written: impl Fn(&str) -> String) -> Vec<Vec<Edit>> {
    let last = lines.find(JOB, |line| line.trim_start().starts_with("leave "));
    let mut sites = Vec::new();
    for (_, place, _) in planned(lines)
        .into_iter()
        .filter(|(_, place, _)| *place != "channel.C8")
    {
        sites.extend(last.iter().map(|at| vec![Edit::After(*at, written(place))]));
    }
    sites
}

fn unused_overruling(lines: &Lines) -> Vec<Vec<Edit>> {
    after_the_plan(lines, |place| {
        format!("  accept value-mismatch on {place} because \"more was wanted\"")
    })
}

fn reasonless_overruling(lines: &Lines) -> Vec<Vec<Edit>> {
    let accepts = lines.find(JOB, |line| line.trim_start().starts_with("accept "));
    let mut sites = Vec::new();
    for at in accepts {
        let bare = lines.text(at).split(" because ").next().unwrap_or_default();
        sites.push(vec![Edit::Put(at, bare.to_owned())]);
    }
    for at in lines.find(JOB, |line| line.trim_start().starts_with("leave ")) {
        let bare = lines.text(at).split(" because ").next().unwrap_or_default();
        sites.push(vec![Edit::Put(at, bare.to_owned())]);
    }
    sites
}

fn revision(lines: &Lines) -> Vec<Vec<Edit>> {
    let mut sites = Vec::new();
    for at in lines.find(JOB, |line| line.contains("mx4 revision 3")) {
        for old in ["revision 2", "revision 1"] {
            sites.push(vec![Edit::Put(at, lines.with(at, "revision 3", old))]);
        }
    }
    sites
}

fn approval(lines: &Lines) -> Vec<Vec<Edit>> {
    let mut edits = Vec::new();
    for at in lines.find(JOB, |line| line.contains("1900.00 EUR")) {
        edits.push(Edit::Put(at, lines.with(at, "1900.00", "190.00")));
    }
    vec![edits]
}

fn doubtful(lines: &Lines) -> Vec<Vec<Edit>> {
    let risky = lines.find(SHELF, |line| line.contains(" risky "));
    let mut sites = Vec::new();
    for at in risky {
        let text = lines.text(at);
        let (Some(from), Some(to)) = (text.find(" lot "), text.find(" have ")) else {
            continue;
        };
        let bare = format!("{}{}", &text[..from], &text[to..]);
        let name = text
            .split_whitespace()
            .next()
            .unwrap_or_default()
            .to_owned();
        // It is told where the plan takes it, as every fault of a new part is.
        let mut edits = vec![Edit::Put(at, bare)];
        let plan = planned(lines)
            .into_iter()
            .filter(|(_, _, entry)| *entry == name);
        edits.extend(plan.map(|(at, ..)| Edit::Mark(at)));
        sites.push(edits);
    }
    sites
}

/// The lines of the steps, with their names.
fn steps(lines: &Lines) -> Vec<(At, &str)> {
    let from = lines.0[JOB]
        .iter()
        .position(|line| line == "steps")
        .unwrap_or(0);
    let mut steps = Vec::new();
    for (line, text) in lines.0[JOB].iter().enumerate().skip(from + 1) {
        if text.is_empty() {
            break;
        }
        if !text.starts_with("    ") {
            steps.push((
                (JOB, line),
                text.split_whitespace().next().unwrap_or_default(),
            ));
        }
    }
    steps
}

fn step_left_out(lines: &Lines) -> Vec<Vec<Edit>> {
    let all = steps(lines);
    let mut sites = Vec::new();
    for pair in all.windows(2) {
        let mut edits = vec![Edit::Take(pair[0].0), Edit::Mark(pair[1].0)];
        let caution = (JOB, pair[0].0.1 + 1);
        if lines.text(caution).contains("caution") {
            edits.push(Edit::Take(caution));
        }
        sites.push(edits);
    }
    sites
}

fn step_too_early(lines: &Lines) -> Vec<Vec<Edit>> {
    let photographs = exchanged(lines, "photos", "strip", None);
    let wash = exchanged(lines, "wash", "fill", Some("bare"));
    let chips = exchanged(lines, "first", "chips", Some("ohms"));
    [photographs, wash, chips].into_iter().flatten().collect()
}

fn step_after_power(lines: &Lines) -> Vec<Vec<Edit>> {
    let look = exchanged(lines, "look", "first", Some("fill"));
    let resistances = exchanged(lines, "ohms", "first", Some("look"));
    [look, resistances].into_iter().flatten().collect()
}

/// A step written to come after one that waits for it; that one waits for what the
/// first one waited for.
fn exchanged(lines: &Lines, early: &str, late: &str, before: Option<&str>) -> Option<Vec<Edit>> {
    let all = steps(lines);
    let line_of = |name: &str| all.iter().find(|step| step.1 == name).map(|step| step.0);
    let waits = |at: At, before: Option<&str>| {
        let (text, rest) = lines
            .text(at)
            .split_once(" after ")
            .unwrap_or((lines.text(at), ""));
        let condition = if rest.ends_with(" unpowered") {
            " unpowered"
        } else {
            ""
        };
        let after = before.map_or_else(String::new, |name| format!(" after {name}"));
        Edit::Put(at, format!("{text}{after}{condition}"))
    };
    Some(vec![
        waits(line_of(early)?, Some(late)),
        waits(line_of(late)?, before),
    ])
}

fn circle(lines: &Lines) -> Vec<Vec<Edit>> {
    let all = steps(lines);
    let mut sites = Vec::new();
    for (index, (at, _)) in all.iter().enumerate() {
        for (_, later) in all.iter().skip(index + 1) {
            let text = lines.text(*at);
            let text = if let Some(steps) = text.strip_suffix(" unpowered") {
                format!("{steps}, {later} unpowered")
            } else if text.contains(" after ") {
                format!("{text}, {later}")
            } else {
                format!("{text} after {later}")
            };
            let mut edits = vec![Edit::Put(*at, text)];
            edits.extend(all.iter().skip(index + 1).map(|(at, _)| Edit::Mark(*at)));
            sites.push(edits);
        }
    }
    sites
}

fn last_step(lines: &Lines) -> Vec<Vec<Edit>> {
    let last = steps(lines).last().map(|step| vec![Edit::Take(step.0)]);
    last.into_iter().collect()
}

fn claim_left_out(lines: &Lines) -> Vec<Vec<Edit>> {
    let claims = lines.find(MODEL, |line| line.trim_start().starts_with("list "));
    claims.into_iter().map(|at| vec![Edit::Take(at)]).collect()
}
