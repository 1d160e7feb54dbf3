//! The fonts: DejaVu Sans, regular and bold. Their licence is in `fonts/LICENSE`.

use std::sync::LazyLock;
use ttf_parser::Face;

/// The regular font, as a file.
pub(crate) const REGULAR: &[u8] = include_bytes!("../fonts/DejaVuSans.ttf");

/// The bold font, as a file.
pub(crate) const BOLD: &[u8] = include_bytes!("../fonts/DejaVuSans-Bold.ttf");

/// The name both go by.
pub(crate) const FAMILY: &str = "DejaVu Sans";

/// How far a line of text is taken to reach above its base line, in parts of the
/// font's size: the ascender of both fonts, which do not say how high their capitals
/// are.
pub(crate) const ASCENDER: f64 = 1556.0 / 2048.0;

static FACES: LazyLock<[Option<Advances>; 2]> =
    LazyLock::new(|| [Advances::of(REGULAR), Advances::of(BOLD)]);

/// How far each sign moves on, read from a font once.
struct Advances {
    face: Face<'static>,
    units: f64,
    /// Of the first 256 signs, which most text is made of.
    usual: [f64; 256],
}

impl Advances {
    fn of(file: &'static [u8]) -> Option<Self> {
        let face = Face::parse(file, 0).ok()?;
        let mut advances = Advances {
            units: f64::from(face.units_per_em()),
            face,
            usual: [0.0; 256],
        };
        for code in 0..=255_u8 {
            advances.usual[usize::from(code)] = advances.read(char::from(code));
        }
        Some(advances)
    }

    fn read(&self, sign: char) -> f64 {
        // A sign that the font lacks is set as an empty frame, the first glyph.
        let glyph = self.face.glyph_index(sign).unwrap_or_default();
        let units = self.face.glyph_hor_advance(glyph).unwrap_or_default();
        f64::from(units) / self.units
    }

    fn advance(&self, sign: char) -> f64 {
        match self.usual.get(sign as usize) {
            Some(advance) => *advance,
            None => self.read(sign),
        }
    }
}

/// How far a sign moves on, in parts of the font's size.
pub(crate) fn advance(sign: char, is_strong: bool) -> f64 {
    if is_without_width(sign) {
        return 0.0;
    }
    FACES[usize::from(is_strong)]
        .as_ref()
        .map_or(0.6, |font| font.advance(sign))
}

/// Whether one of the fonts has a sign.
pub(crate) fn has(sign: char) -> bool {
    FACES
        .iter()
        .flatten()
        .any(|font| font.face.glyph_index(sign).is_some())
}

/// Signs that steer what stands beside them and are not seen themselves: soft
/// hyphen, joiners, directions of writing, variation selectors (Unicode,
/// `Default_Ignorable_Code_Point`).
pub(crate) fn is_without_width(sign: char) -> bool {
    matches!(sign,
        '\u{ad}' | '\u{61c}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}'
        | '\u{2060}'..='\u{206f}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}')
}

/// Whether a sign is set as itself whatever stands beside it: no letter of a script
/// whose letters join or change places.
pub(crate) fn is_set_sign_by_sign(sign: char) -> bool {
    matches!(sign, '\0'..='\u{58f}' | '\u{2010}'..='\u{2027}' | '\u{2030}'..='\u{205e}' | '\u{2070}'..='\u{27ff}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_as_high_as_the_fonts_say() {
        for font in FACES.iter() {
            let font = font.as_ref().expect("the font can be read");
            assert_eq!(font.face.capital_height(), None);
            let ascender = font.face.typographic_ascender();
            assert_eq!(
                f64::from(ascender.expect("the font says it")) / font.units,
                ASCENDER
            );
        }
    }

    #[test]
    fn the_signs_of_the_trade_are_there() {
        for sign in "Ωµμ°±−→←↑↓×÷≤≥≈√∞½⅓‰€£¥§…–—•·“”‘’★☐☑✓△□○∅⌀²³⁰".chars()
        {
            assert!(has(sign), "{sign}");
            assert!(advance(sign, false) > 0.2, "{sign}");
        }
        assert!(!has('⏚'));
    }

    #[test]
    fn the_core_knows_how_wide_letters_are() {
        let usual = (' '..='~').chain("\u{a0}°±µ·×ÄÖÜßéñΩμ→−".chars());
        for sign in usual {
            for is_strong in [false, true] {
                let known = retin::sheets::width::width(&sign.to_string(), is_strong, 1.0);
                let read = advance(sign, is_strong);
                assert!((known - read).abs() < 1e-9, "{sign}: {known}, not {read}");
            }
        }
    }

    #[test]
    fn bold_is_wider() {
        assert!(advance('m', true) > advance('m', false));
    }
}
