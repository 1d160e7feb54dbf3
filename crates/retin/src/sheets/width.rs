//! How wide text comes out, reckoned without a font: never less than it is in the
//! fonts that sheets are set in, and seldom much more. What has to fit is fitted
//! by this; a test holds it against the fonts.

/// How wide a line of text is at most, in the unit of `size`, the font's em.
pub fn width(text: &str, is_strong: bool, size: f64) -> f64 {
    let usual: f64 = text.chars().map(advance).sum();
    usual * size * if is_strong { STRONG } else { 1.0 }
}

/// How much wider bold letters are at most.
const STRONG: f64 = 1.24;

/// How far a sign moves on at most, in parts of the em.
fn advance(sign: char) -> f64 {
    match sign {
        'f' | 'i' | 'j' | 'l' | 'r' | 't' | 'I' | 'J' | '\'' | ' ' | '\u{a0}' | '.' | ',' | ':'
        | ';' | '!' | '|' | '/' | '\\' | '(' | ')' | '[' | ']' | '-' => 0.42,
        'm' | '%' | '@' | 'W' | '—' | '…' => 1.01,
        '+' | '=' | '<' | '>' | '~' | '#' | '^' | '×' | '±' | '−' | 'w' | 'M' => 0.87,
        'A'..='Z' | '&' | 'Ω' => 0.79,
        'a'..='z' | '0'..='9' | '$' | '?' | '"' | '*' | '_' | '`' | '{' | '}' | 'µ' | '°' | '–' => {
            0.64
        }
        _ => 1.1,
    }
}
