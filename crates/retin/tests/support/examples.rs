//! The examples on the pages of the rules.

/// The examples of a page: how each is marked, and its text.
pub fn examples(page: &str) -> Vec<(&str, String)> {
    let mut examples = Vec::new();
    let mut open: Option<(&str, String)> = None;
    for line in page.lines() {
        match (&mut open, line.strip_prefix("```")) {
            (None, Some(fence)) => {
                open = fence
                    .strip_prefix("retin ")
                    .map(|mark| (mark.trim(), String::new()));
            }
            (Some(_), Some(_)) => examples.extend(open.take()),
            (Some((_, text)), None) => {
                text.push_str(line);
                text.push('\n');
            }
            (None, None) => {}
        }
    }
    examples
}
