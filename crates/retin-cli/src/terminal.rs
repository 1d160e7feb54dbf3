//! What is written to a person: whether in colour, and without surprises.

use clap::ValueEnum;
use clap::builder::styling::{AnsiColor, Style};
use std::env;
use std::io::{self, IsTerminal as _, Write as _};

/// When to use colour.
#[derive(ValueEnum, Clone, Copy, PartialEq, Eq, Debug)]
pub enum Color {
    /// On a terminal, unless the variable NO_COLOR is set.
    Auto,
    /// Always, also into a file.
    Always,
    /// Never.
    Never,
}

impl Color {
    /// Whether standard output is to be coloured.
    pub fn on_output(self) -> bool {
        match self {
            Color::Always => true,
            Color::Never => false,
            Color::Auto => {
                let is_set = |name| env::var_os(name).is_some_and(|value| !value.is_empty());
                io::stdout().is_terminal()
                    && !is_set("NO_COLOR")
                    && env::var_os("TERM").is_none_or(|kind| kind != "dumb")
            }
        }
    }
}

/// How many characters a line of standard output holds; none where it is no terminal.
pub fn width_of_output() -> Option<usize> {
    let (width, _) = terminal_size::terminal_size_of(io::stdout())?;
    Some(usize::from(width.0))
}

/// Whether the terminal is set to show every character, and not the plain ones only.
pub fn shows_every_character() -> bool {
    // The first of these that is set decides, as POSIX has it.
    ["LC_ALL", "LC_CTYPE", "LANG"]
        .into_iter()
        .filter_map(env::var_os)
        .find(|value| !value.is_empty())
        .is_some_and(|value| {
            let value = value.to_string_lossy().to_ascii_uppercase();
            value.contains("UTF-8") || value.contains("UTF8")
        })
}

/// Headings on a terminal.
pub const HEADING: Style = Style::new().bold();
/// Names that can be typed.
pub const NAME: Style = AnsiColor::Cyan.on_default();

/// A text in a style, where colour is wanted.
pub fn styled(text: &str, style: Style, colored: bool) -> String {
    if colored {
        format!("{style}{text}{style:#}")
    } else {
        text.to_owned()
    }
}

/// Says on standard error what went wrong.
pub fn complain(message: &str) {
    // Nothing can be done where standard error is gone as well.
    let _ = writeln!(io::stderr(), "retin: {}", harmless(message));
}

/// A text whose control characters cannot move the cursor, change colours or
/// turn the reading direction. Every character is replaced by one of the same
/// length in bytes, so that places in the text stay right; line ends and tabs
/// are kept.
pub fn harmless(text: &str) -> String {
    text.chars()
        .map(|character| match character {
            '\n' | '\r' | '\t' => character,
            '\u{0}'..='\u{1f}' | '\u{7f}' => '?',
            '\u{80}'..='\u{9f}' => '¿',
            '\u{200b}'..='\u{200f}'
            | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}'
            | '\u{feff}' => '\u{fffd}',
            _ => character,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::harmless;

    #[test]
    fn control_characters_are_replaced_byte_for_byte() {
        let hostile = "a\u{1b}[31mb\u{9b}c\u{202e}d\u{2028}e\tf\r\n";
        let shown = harmless(hostile);
        assert_eq!(shown, "a?[31mb¿c\u{fffd}d\u{fffd}e\tf\r\n");
        assert_eq!(shown.len(), hostile.len());
    }
}
