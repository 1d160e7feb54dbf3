//! Laws of joining two versions, on the sound job with edits made up.

use proptest::prelude::*;
use proptest::sample::{Index, select};
use retin::merge::merge;
use std::collections::BTreeMap;

const JOB: &str = include_str!("../../../examples/jobs/26-014.retin");

/// What is done to one line.
#[derive(Clone, Debug)]
enum Edit {
    /// Another line takes its place.
    Become(String),
    /// It goes.
    Go,
    /// A new line follows it.
    Follow(String),
}

/// An edit of a line, by a side.
type Made = (usize, Edit, bool);

/// The lines that a section holds, heading left out.
fn lines_of(heading: &str) -> Vec<usize> {
    let all: Vec<&str> = JOB.lines().collect();
    let start = all
        .iter()
        .position(|line| *line == heading)
        .expect("the section is there")
        + 1;
    (start..all.len())
        .take_while(|at| all[*at].is_empty() || all[*at].starts_with(' '))
        .filter(|at| !all[*at].is_empty())
        .collect()
}

fn edit() -> impl Strategy<Value = Made> {
    let plan: Vec<usize> = lines_of("plan")
        .into_iter()
        .filter(|at| {
            let line = line(*at);
            !line.starts_with("    ") && !line.trim_start().starts_with("accept")
        })
        .collect();
    let log: Vec<usize> = lines_of("log")
        .into_iter()
        .filter(|at| line(*at).starts_with("    "))
        .collect();
    let targets = lines_of("targets");
    let of_plan = (select(plan), 0..4_u8, any::<u16>()).prop_map(|(at, what, number)| {
        let edit = match what {
            0 => Edit::Become(format!("{}  # said {number}", line(at))),
            1 => Edit::Go,
            2 => Edit::Follow(format!("  keep       psu.Z{at}x{number}")),
            _ => Edit::Become(format!("{} because \"reason {number}\"", line(at))),
        };
        (at, edit)
    });
    let of_log = (select(log), any::<bool>(), any::<u16>()).prop_map(|(at, is_timed, number)| {
        let time = if is_timed { &line(at)[4..9] } else { "?    " };
        (
            at,
            Edit::Follow(format!("    {time}  noted      \"entry {at} {number}\"")),
        )
    });
    let of_targets = (select(targets), 1..90_u16).prop_map(|(at, ripple)| {
        let line = format!("{} ripple below {ripple}mV", line(at));
        // In its canonical form, since the result is.
        let text = retin_syntax::format(&format!("job 1\n\ntargets\n{line}\n")).text;
        (
            at,
            Edit::Become(text.lines().last().expect("a line").to_owned()),
        )
    });
    let edit = prop_oneof![of_plan, of_log, of_targets];
    (edit, any::<bool>()).prop_map(|((at, edit), is_ours)| (at, edit, is_ours))
}

fn line(at: usize) -> &'static str {
    JOB.lines().nth(at).unwrap_or("")
}

/// The job with the edits made.
fn with<'e>(edits: impl Iterator<Item = &'e Made> + Clone) -> String {
    let mut text = String::new();
    for (at, line) in JOB.lines().enumerate() {
        let mut own = Some(line.to_owned());
        let mut after = String::new();
        for (_, edit, _) in edits.clone().filter(|made| made.0 == at) {
            match edit {
                Edit::Become(line) => own = Some(line.clone()),
                Edit::Go => own = None,
                Edit::Follow(line) => after.push_str(&format!("{line}\n")),
            }
        }
        if let Some(own) = own {
            text.push_str(&format!("{own}\n"));
        }
        text.push_str(&after);
    }
    text
}

/// How often each line stands in a text, blanks made single.
fn lines(text: &str) -> BTreeMap<String, i32> {
    let mut lines = BTreeMap::new();
    for line in text.lines().filter(|line| !line.trim().is_empty()) {
        let words: Vec<&str> = line.split_whitespace().collect();
        *lines.entry(words.join(" ")).or_default() += 1;
    }
    lines
}

/// The times of each day of the log, in the order written.
fn is_log_in_time(text: &str) -> bool {
    let log = text.split_once("\nlog\n").map_or("", |(_, log)| log);
    let mut last = "";
    log.lines().all(|line| {
        if !line.starts_with("    ") {
            last = "";
            return true;
        }
        let time = &line[4..9];
        if time.starts_with('?') {
            return true;
        }
        let is_sorted = last <= time;
        last = time;
        is_sorted
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn edits_of_different_lines_are_all_made(
        edits in proptest::collection::vec(edit(), 0..12),
    ) {
        let mut disjoint: BTreeMap<usize, Made> = BTreeMap::new();
        for edit in edits {
            disjoint.entry(edit.0).or_insert(edit);
        }
        let ours = with(disjoint.values().filter(|edit| edit.2));
        let theirs = with(disjoint.values().filter(|edit| !edit.2));
        let all = with(disjoint.values());
        let merged = merge(JOB, &ours, &theirs);
        prop_assert_eq!(&merged.conflicts, &[], "{}", merged.text);
        prop_assert_eq!(merged.plain, None);
        prop_assert_eq!(lines(&merged.text), lines(&all));
        prop_assert!(is_log_in_time(&merged.text), "{}", merged.text);
        let mirrored = merge(JOB, &theirs, &ours);
        prop_assert_eq!(&mirrored.conflicts, &[]);
        prop_assert_eq!(lines(&mirrored.text), lines(&merged.text));
        prop_assert!(is_log_in_time(&mirrored.text), "{}", mirrored.text);
    }

    #[test]
    fn a_side_that_did_nothing_is_not_in_the_way(
        edits in proptest::collection::vec(edit(), 1..6),
    ) {
        let changed = with(edits.iter());
        for (base, ours, theirs) in [
            (JOB, JOB, &*changed),
            (JOB, &changed, JOB),
            (JOB, &changed, &changed),
        ] {
            let merged = merge(base, ours, theirs);
            prop_assert_eq!(merged.text, &*changed);
            prop_assert_eq!(&merged.conflicts, &[]);
        }
    }

    /// Whatever both do, each line that a side wrote stands in the result, and
    /// what they contradict each other in is a conflict with both versions.
    #[test]
    fn nothing_that_a_side_wrote_is_lost(
        ours in proptest::collection::vec(edit(), 1..10),
        theirs in proptest::collection::vec(edit(), 1..10),
        crlf in any::<bool>(),
    ) {
        let end = |text: String| if crlf { text.replace('\n', "\r\n") } else { text };
        let base = end(JOB.to_owned());
        let ours = end(with(ours.iter()));
        let theirs = end(with(theirs.iter()));
        let merged = merge(&base, &ours, &theirs);
        let before = lines(&base);
        let after = lines(&merged.text);
        // A comment from one side may stand behind the other side's words.
        let pieces = |line: &str| -> Vec<String> {
            line.split('#').map(|piece| piece.trim().to_owned()).collect()
        };
        let stands = |piece: &String| after.keys().any(|line| line.contains(piece.as_str()));
        for side in [&ours, &theirs] {
            for line in lines(side).keys().filter(|line| !before.contains_key(*line)) {
                for piece in pieces(line) {
                    // The words before a new comment may be old, and changed by the other side.
                    let is_old = before.keys().any(|line| line.contains(&piece));
                    prop_assert!(
                        is_old || stands(&piece),
                        "{piece} is lost:\n{}",
                        merged.text
                    );
                }
            }
        }
        prop_assert_eq!(merged.text.contains("\r\n"), crlf);
        prop_assert_eq!(
            merged.text.matches("<<<<<<<").count(),
            merged.conflicts.len()
        );
    }

    /// Lines exchanged at random: the join answers, and answers alike twice.
    #[test]
    fn any_versions_are_joined(
        swaps in proptest::collection::vec((any::<Index>(), any::<Index>(), any::<bool>()), 0..8),
        cuts in proptest::collection::vec((any::<Index>(), any::<bool>()), 0..8),
    ) {
        let side = |is_ours: bool| {
            let mut lines: Vec<&str> = JOB.lines().collect();
            for (one, other, side) in &swaps {
                if *side == is_ours {
                    let (one, other) = (one.index(lines.len()), other.index(lines.len()));
                    lines.swap(one, other);
                }
            }
            for (at, side) in &cuts {
                if *side == is_ours {
                    let at = at.index(lines.len());
                    lines.remove(at);
                }
            }
            lines.join("\n")
        };
        let (ours, theirs) = (side(true), side(false));
        let merged = merge(JOB, &ours, &theirs);
        prop_assert_eq!(&merged, &merge(JOB, &ours, &theirs));
        prop_assert_eq!(merge(JOB, &ours, JOB).text, ours);
    }
}
