//! The entries of a log, for those who make mistakes in them.

use crate::job::{At, Edit, JOB, Lines};

/// A log entry: its line, its time in minutes, its verb and the rest.
#[derive(Clone, Debug)]
pub struct Entry<'l> {
    pub at: At,
    pub minute: usize,
    pub verb: &'l str,
    pub words: &'l str,
}

impl Entry<'_> {
    /// What stands behind the time.
    pub fn body(&self) -> String {
        format!("{} {}", self.verb, self.words)
            .trim_end()
            .to_owned()
    }

    /// The line with these words instead.
    pub fn saying(&self, verb: &str, words: &str) -> String {
        at_minute(self.minute, &format!("{verb} {words}"))
    }
}

/// A line of the log.
pub fn at_minute(minute: usize, body: &str) -> String {
    format!("    {:02}:{:02} {body}", minute / 60, minute % 60)
}

/// The entries, in their order.
pub fn entries(lines: &Lines) -> Vec<Entry<'_>> {
    let mut entries = Vec::new();
    for (line, text) in lines.0[JOB].iter().enumerate() {
        let Some((time, rest)) = text.trim().split_once(' ') else {
            continue;
        };
        let Some((hours, minutes)) = time.split_once(':') else {
            continue;
        };
        let (Ok(hours), Ok(minutes)) = (hours.parse::<usize>(), minutes.parse::<usize>()) else {
            continue;
        };
        let (verb, words) = rest.split_once(' ').unwrap_or((rest, ""));
        entries.push(Entry {
            at: (JOB, line),
            minute: hours * 60 + minutes,
            verb,
            words,
        });
    }
    if let Some(last) = lines.0[JOB]
        .iter()
        .rposition(|line| line.ends_with(" returned"))
    {
        debug_assert!(entries.iter().any(|entry| entry.at == (JOB, last)));
    }
    entries
}

/// The entries with this verb.
pub fn of<'l>(lines: &'l Lines, verb: &str) -> Vec<Entry<'l>> {
    entries(lines)
        .into_iter()
        .filter(|entry| entry.verb == verb)
        .collect()
}

/// Moves what one entry says behind another; the times stay where they are.
pub fn moved(entries: &[Entry<'_>], from: usize, to: usize) -> Vec<Edit> {
    let mut bodies: Vec<String> = entries.iter().map(Entry::body).collect();
    let body = bodies.remove(from);
    bodies.insert(to, body);
    let (low, high) = (from.min(to), from.max(to));
    (low..=high)
        .map(|index| {
            let line = at_minute(entries[index].minute, &bodies[index]);
            if index == to {
                Edit::Put(entries[index].at, line)
            } else {
                Edit::Shift(entries[index].at, line)
            }
        })
        .collect()
}

/// A part that was fitted alone: the entry, its place, and what went in.
pub fn fitted(lines: &Lines) -> Vec<(Entry<'_>, &str, &str)> {
    of(lines, "fitted")
        .into_iter()
        .filter_map(|entry| {
            let (place, new) = entry.words.split_once(" with ")?;
            (!place.contains("..")).then_some((entry, place, new))
        })
        .collect()
}
