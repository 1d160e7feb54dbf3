//! Names as they are typed: paths with dots, and ranges that bind tighter than the dot.

use retin_syntax::limits::RANGE_MEMBERS;

/// Why a range cannot be counted out.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum RangeProblem {
    /// The two ends have no common prefix, or no number or letter to count by.
    NotCountable,
    /// The first end lies behind the last.
    Backwards,
    /// It would stand for more names than the limit.
    TooMany,
}

/// Cuts `ch1..ch8.C1..C12` at its single dots: `ch1..ch8`, `C1..C12`.
pub fn segments(path: &str) -> Vec<&str> {
    let bytes = path.as_bytes();
    let mut parts = Vec::with_capacity(2);
    let mut start = 0;
    let mut at = 0;
    while at < bytes.len() {
        if bytes[at] == b'.' {
            if bytes.get(at + 1) == Some(&b'.') {
                at += 2;
                continue;
            }
            // A dot that opens or closes the text is part of a name.
            if at > start && at + 1 < bytes.len() {
                parts.push(&path[start..at]);
                start = at + 1;
            }
        }
        at += 1;
    }
    parts.push(&path[start..]);
    parts
}

/// Whether the text stands for several names.
pub fn is_range(segment: &str) -> bool {
    segment.contains("..")
}

/// Every name that `C1..C12`, `C7a..C7d` or a plain name stands for.
pub fn expand(segment: &str) -> Result<Vec<String>, RangeProblem> {
    let Some((first, last)) = segment.split_once("..") else {
        return Ok(vec![segment.to_owned()]);
    };
    let (prefix, from) = split_number(first)
        .ok_or(RangeProblem::NotCountable)
        .or_else(|problem| letters(first, last).map(|_| ("", "")).ok_or(problem))?;
    if from.is_empty() {
        return letters(first, last).ok_or(RangeProblem::Backwards);
    }
    let Some((last_prefix, to)) = split_number(last) else {
        return Err(RangeProblem::NotCountable);
    };
    // `C1..12` leaves the prefix out the second time.
    if prefix != last_prefix && !last_prefix.is_empty() {
        return Err(RangeProblem::NotCountable);
    }
    let (Ok(low), Ok(high)) = (from.parse::<u32>(), to.parse::<u32>()) else {
        return Err(RangeProblem::TooMany);
    };
    if low > high {
        return Err(RangeProblem::Backwards);
    }
    if (high - low) as usize >= RANGE_MEMBERS {
        return Err(RangeProblem::TooMany);
    }
    let width = if from.starts_with('0') { from.len() } else { 0 };
    Ok((low..=high)
        .map(|number| format!("{prefix}{number:0width$}"))
        .collect())
}

/// `C12` to `C` and `12`.
fn split_number(name: &str) -> Option<(&str, &str)> {
    let digits = name.bytes().rev().take_while(u8::is_ascii_digit).count();
    (digits > 0).then(|| name.split_at(name.len() - digits))
}

/// `C7a..C7d`, counted in the one trailing letter.
fn letters(first: &str, last: &str) -> Option<Vec<String>> {
    let from = first.chars().last().filter(char::is_ascii_alphabetic)?;
    let to = last.chars().last().filter(char::is_ascii_alphabetic)?;
    let prefix = &first[..first.len() - 1];
    if prefix != &last[..last.len() - 1]
        || from.is_ascii_lowercase() != to.is_ascii_lowercase()
        || from > to
    {
        return None;
    }
    Some(
        (from..=to)
            .map(|letter| format!("{prefix}{letter}"))
            .collect(),
    )
}

/// What names are sorted by, so that C2 comes before C10: their letters, their
/// number, and what follows it.
pub fn in_order(name: &str) -> (&str, u64, &str) {
    let start = name.find(|letter: char| letter.is_ascii_digit());
    let (letters, rest) = name.split_at(start.unwrap_or(name.len()));
    let end = rest.find(|letter: char| !letter.is_ascii_digit());
    let (digits, behind) = rest.split_at(end.unwrap_or(rest.len()));
    // More digits than any number has come last.
    (letters, digits.parse().unwrap_or(u64::MAX), behind)
}

/// Names that count on.
struct Run<'n> {
    first: &'n str,
    last: &'n str,
    /// The last one's letters and number, where it counts on.
    number: Option<(&'n str, u32)>,
    /// How many they are.
    count: usize,
}

fn runs<'a>(names: impl IntoIterator<Item = &'a str>) -> Vec<Run<'a>> {
    let mut runs: Vec<Run<'_>> = Vec::new();
    for name in names {
        let number =
            split_number(name).and_then(|(prefix, digits)| Some((prefix, digits.parse().ok()?)));
        if let (Some(run), Some((prefix, number))) = (runs.last_mut(), number)
            && let Some((run_prefix, run_number)) = &mut run.number
            && *run_prefix == prefix
            && *run_number + 1 == number
        {
            run.last = name;
            *run_number = number;
            run.count += 1;
            continue;
        }
        runs.push(Run {
            first: name,
            last: name,
            number,
            count: 1,
        });
    }
    runs
}

fn joined(runs: &[Run<'_>]) -> String {
    let mut text = String::new();
    for Run { first, last, .. } in runs {
        if !text.is_empty() {
            text.push_str(", ");
        }
        text.push_str(first);
        if first != last {
            text.push_str("..");
            text.push_str(last);
        }
    }
    text
}

/// Names as a technician would write them: `ch1..ch8`, `C1, C2, C9`.
pub fn compress<'a>(names: impl IntoIterator<Item = &'a str>) -> String {
    joined(&runs(names))
}

/// Most runs of names in a sentence, and how many stand there of more.
const MOST_RUNS: usize = 8;
const OF_MORE: usize = 5;

/// Names as a sentence has room for them: `C1, C5, C9, C13, C17 and 95 more`.
pub fn compress_briefly<'a>(names: impl IntoIterator<Item = &'a str>) -> String {
    let runs = runs(names);
    if runs.len() <= MOST_RUNS {
        return joined(&runs);
    }
    let (told, more) = runs.split_at(OF_MORE);
    let more: usize = more.iter().map(|run| run.count).sum();
    format!("{} and {more} more", joined(told))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn many_names_are_told_briefly() {
        let names: Vec<String> = (0..30).map(|at| format!("C{}", at * 2 + 1)).collect();
        let brief = compress_briefly(names.iter().map(String::as_str));
        assert_eq!(brief, "C1, C3, C5, C7, C9 and 25 more");
        let brief = compress_briefly(names[..8].iter().map(String::as_str));
        assert_eq!(brief, "C1, C3, C5, C7, C9, C11, C13, C15");
    }

    #[test]
    fn ranges_bind_tighter_than_the_dot() {
        assert_eq!(segments("ch1..ch8.C1..C12"), ["ch1..ch8", "C1..C12"]);
        assert_eq!(segments("ch3.C41.-"), ["ch3", "C41", "-"]);
        assert_eq!(segments("V5.3"), ["V5", "3"]);
        assert_eq!(segments("C1"), ["C1"]);
    }

    #[test]
    fn a_range_counts_in_numbers_or_one_letter_with_both_ends() {
        assert_eq!(
            expand("C1..C3"),
            Ok(vec!["C1".into(), "C2".into(), "C3".into()])
        );
        assert_eq!(
            expand("C7a..C7c"),
            Ok(vec!["C7a".into(), "C7b".into(), "C7c".into()])
        );
        assert_eq!(
            expand("R08..R11"),
            Ok(vec!["R08".into(), "R09".into(), "R10".into(), "R11".into()])
        );
        assert_eq!(expand("C9"), Ok(vec!["C9".into()]));
    }

    #[test]
    fn a_range_that_cannot_be_counted_says_why() {
        assert_eq!(expand("C1..R3"), Err(RangeProblem::NotCountable));
        assert_eq!(expand("C9..C3"), Err(RangeProblem::Backwards));
        assert_eq!(expand("C1..C99999999"), Err(RangeProblem::TooMany));
        assert_eq!(
            expand("C1..C99999999999999999999"),
            Err(RangeProblem::TooMany)
        );
        assert_eq!(expand("foo..bar"), Err(RangeProblem::NotCountable));
    }

    #[test]
    fn names_are_sorted_by_their_numbers() {
        let mut names = ["R1", "C10", "C2b", "C2", "K", "C2a"];
        names.sort_by_key(|name| in_order(name));
        assert_eq!(names, ["C2", "C2a", "C2b", "C10", "K", "R1"]);
    }

    #[test]
    fn neighbours_are_told_as_a_range() {
        assert_eq!(compress(["ch1", "ch2", "ch3", "ch5"]), "ch1..ch3, ch5");
        assert_eq!(compress(["psu"]), "psu");
    }
}
