//! Snippets as an editor inserts them, with what they suggest.

use serde_json::Value;

/// The lines that a snippet belongs below, by its prefix.
fn above(prefix: &str) -> &'static [&'static str] {
    match prefix {
        "part" => &["board psu", "  electrolytic"],
        "day" => &["log"],
        "accept" => &["plan"],
        _ => &[],
    }
}

/// A file that holds the snippet where it belongs.
///
/// # Panics
/// When it is not a snippet.
pub fn placed(snippet: &Value) -> String {
    let prefix = snippet["prefix"].as_str().expect("a snippet has a prefix");
    let above = above(prefix);
    let indent = "  ".repeat(above.len());
    let mut lines: Vec<String> = above.iter().map(|line| (*line).to_owned()).collect();
    for line in snippet["body"].as_array().expect("a snippet has lines") {
        let line = filled(line.as_str().expect("a line is text"));
        lines.push(format!("{indent}{line}"));
    }
    lines.join("\n") + "\n"
}

/// A line with the first suggestion of each place.
fn filled(line: &str) -> String {
    let mut text = String::new();
    let mut rest = line;
    while let Some(at) = rest.find('$') {
        text.push_str(&rest[..at]);
        rest = &rest[at + 1..];
        let Some(inner) = rest.strip_prefix('{') else {
            rest = rest.trim_start_matches(|letter: char| letter.is_ascii_digit());
            continue;
        };
        let end = inner.find('}').expect("a place is closed");
        text.push_str(suggestion(&inner[..end]));
        rest = &inner[end + 1..];
    }
    text + rest
}

fn suggestion(place: &str) -> &str {
    if let Some((_, suggested)) = place.split_once(':') {
        return suggested;
    }
    if let Some((_, choices)) = place.split_once('|') {
        return choices.split(',').next().unwrap_or("");
    }
    match place {
        "CURRENT_YEAR" => "2026",
        "CURRENT_MONTH" => "11",
        "CURRENT_DATE" => "03",
        "CURRENT_HOUR" => "09",
        "CURRENT_MINUTE" => "10",
        _ => "",
    }
}
