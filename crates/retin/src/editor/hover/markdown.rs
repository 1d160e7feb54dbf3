//! A hover as Markdown. All text may come from a file, so all of it is escaped.

use super::{Block, Hover};

/// The hover as CommonMark.
pub fn markdown(hover: &Hover) -> String {
    let mut out = String::new();
    for block in &hover.blocks {
        // Rows that follow one another are lines of one paragraph.
        let goes_on = matches!(block, Block::Row(..)) && out.ends_with(ROW_END);
        if !out.is_empty() && !goes_on {
            out.push('\n');
        }
        match block {
            Block::Title(title) => out.push_str(&format!("**{}**\n", escaped(title))),
            Block::Text(text) => out.push_str(&format!("{}\n", escaped(text))),
            Block::Row(label, text) => {
                out.push_str(&format!("{label}: {}{ROW_END}", escaped(text)));
            }
            Block::Rows(label, texts) => {
                out.push_str(&format!("{label}:\n\n"));
                for text in texts {
                    out.push_str(&format!("- {}\n", escaped(text)));
                }
            }
            Block::Code(code) => out.push_str(&fenced(code)),
        }
    }
    out.trim_end().to_owned()
}

/// A line break within a paragraph.
const ROW_END: &str = "  \n";

/// Text in which nothing is markup.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '\n' | '\r' => out.push(' '),
            letter if letter.is_control() => {}
            '\\' | '`' | '*' | '_' | '{' | '}' | '[' | ']' | '(' | ')' | '<' | '>' | '#' | '!'
            | '|' | '~' | '&' | '$' => {
                out.push('\\');
                out.push(letter);
            }
            // At the start of a line these open a list.
            '+' | '-' if out.is_empty() => {
                out.push('\\');
                out.push(letter);
            }
            letter => out.push(letter),
        }
    }
    out
}

/// Code between fences that are longer than any in it.
fn fenced(code: &str) -> String {
    let longest = code
        .split(|letter| letter != '`')
        .map(str::len)
        .max()
        .unwrap_or(0);
    let fence = "`".repeat(longest.max(2) + 1);
    format!("{fence}retin\n{code}\n{fence}\n")
}

#[cfg(test)]
mod tests {
    use super::{escaped, fenced};

    #[test]
    fn nothing_in_a_text_is_markup() {
        assert_eq!(escaped("- <i>a</i> `b`"), "\\- \\<i\\>a\\</i\\> \\`b\\`");
        assert_eq!(escaped("one\ntwo\u{7}"), "one two");
    }

    #[test]
    fn a_fence_is_longer_than_any_in_the_code() {
        assert!(fenced("a ````` b").starts_with("``````retin\n"));
    }
}
