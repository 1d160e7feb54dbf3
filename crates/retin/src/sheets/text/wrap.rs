//! Texts in columns of a terminal: how wide they are, and where they are broken.

use unicode_width::{UnicodeWidthChar as _, UnicodeWidthStr as _};

/// How many columns a text takes.
pub(super) fn width(text: &str) -> usize {
    text.width()
}

/// A text filled up with blanks to this many columns.
pub(super) fn padded(text: &str, columns: usize, is_right: bool) -> String {
    let blanks = " ".repeat(columns.saturating_sub(width(text)));
    if is_right {
        format!("{blanks}{text}")
    } else {
        format!("{text}{blanks}")
    }
}

/// Breaks a text between words into lines of at most `room` columns. A word
/// that is longer is broken within; nothing is cut. A no-break space is no place
/// to break at, and becomes a blank. An empty text is one empty line.
pub(super) fn wrapped(text: &str, room: usize) -> Vec<String> {
    let room = room.max(1);
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text
        .split([' ', '\t', '\n', '\r'])
        .filter(|word| !word.is_empty())
    {
        let word = word.replace('\u{a0}', " ");
        if !line.is_empty() && width(&line) + 1 + width(&word) > room {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        if width(&line) + width(&word) <= room {
            line.push_str(&word);
            continue;
        }
        for character in word.chars() {
            let is_full = width(&line) + character.width().unwrap_or(0) > room;
            if is_full && !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            line.push(character);
        }
    }
    if !line.is_empty() || lines.is_empty() {
        lines.push(line);
    }
    lines
}

/// A text as it may be shown: without characters that move the cursor or turn
/// the reading direction, and, where only plain signs are wanted, with arrows,
/// quotes and signs of measure spelled out.
pub(super) fn shown(text: &str, is_plain: bool) -> String {
    let mut shown = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '\t' | '\n' | '\r' => shown.push(' '),
            '\u{200b}'..='\u{200f}'
            | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}'
            | '\u{feff}' => shown.push('\u{fffd}'),
            character if character.is_control() => shown.push('\u{fffd}'),
            character if is_plain => match plain(character) {
                Some(plain) => shown.push_str(plain),
                None => shown.push(character),
            },
            character => shown.push(character),
        }
    }
    shown
}

/// How a sign is spelled in plain ones.
fn plain(sign: char) -> Option<&'static str> {
    Some(match sign {
        '→' => "->",
        '–' | '—' => "-",
        '“' | '”' => "\"",
        '‘' | '’' => "'",
        '…' => "...",
        '×' => "x",
        '±' => "+-",
        '≤' => "<=",
        '≥' => ">=",
        'µ' | 'μ' => "u",
        'Ω' => "ohm",
        // 105°C and 105C are the same to the language.
        '°' => "",
        '•' | '·' => "-",
        _ => return None,
    })
}
