//! How wide text comes out: it has to be known what fits before it is set.
//!
//! The tables are of the fonts that sheets are set in; a test in `retin-paper` holds
//! them against these.

/// Parts of the font's size in which the tables count.
const UNITS: f64 = 2048.0;

/// Of a sign that is in no table.
const OTHER: u16 = 2150;

/// How far capitals reach above the base line, in parts of the font's size.
pub const CAPITAL: f64 = 0.73;

/// How far letters reach above the base line at most, in parts of the font's size.
pub const ASCENT: f64 = 0.77;

/// How far letters reach below the base line, in parts of the font's size.
pub const DESCENT: f64 = 0.24;

/// Of DejaVu Sans, from the space to the tilde. Read from the font.
#[rustfmt::skip]
const REGULAR: [u16; 95] = [
    651, 821, 942, 1716, 1303, 1946, 1597, 563, 799, 799, 1024, 1716,
    651, 739, 651, 690, 1303, 1303, 1303, 1303, 1303, 1303, 1303, 1303,
    1303, 1303, 690, 690, 1716, 1716, 1716, 1087, 2048, 1401, 1405, 1430,
    1577, 1294, 1178, 1587, 1540, 604, 604, 1343, 1141, 1767, 1532, 1612,
    1235, 1612, 1423, 1300, 1251, 1499, 1401, 2025, 1403, 1251, 1403, 799,
    690, 799, 1716, 1024, 1024, 1255, 1300, 1126, 1300, 1260, 721, 1300,
    1298, 569, 569, 1186, 569, 1995, 1298, 1253, 1300, 1300, 842, 1067,
    803, 1298, 1212, 1675, 1212, 1212, 1075, 1303, 690, 1303, 1716,
];

/// Of DejaVu Sans Bold, from the space to the tilde. Read from the font.
#[rustfmt::skip]
const BOLD: [u16; 95] = [
    713, 934, 1067, 1716, 1425, 2052, 1786, 627, 936, 936, 1071, 1716,
    778, 850, 778, 748, 1425, 1425, 1425, 1425, 1425, 1425, 1425, 1425,
    1425, 1425, 819, 819, 1716, 1716, 1716, 1188, 2048, 1585, 1561, 1503,
    1700, 1399, 1399, 1681, 1714, 762, 762, 1587, 1305, 2038, 1714, 1741,
    1501, 1741, 1577, 1475, 1397, 1663, 1585, 2259, 1579, 1483, 1485, 936,
    748, 936, 1716, 1024, 1024, 1382, 1466, 1214, 1466, 1389, 891, 1466,
    1458, 702, 702, 1362, 702, 2134, 1458, 1407, 1466, 1466, 1010, 1219,
    979, 1458, 1335, 1892, 1321, 1335, 1192, 1458, 748, 1458, 1716,
];

/// Of both, further signs. Read from the fonts.
const MORE: &[(char, u16, u16)] = &[
    ('\u{a0}', 651, 713),
    ('°', 1024, 1024),
    ('±', 1716, 1716),
    ('µ', 1303, 1507),
    ('·', 651, 778),
    ('×', 1716, 1716),
    ('Ä', 1401, 1585),
    ('Ö', 1612, 1741),
    ('Ü', 1499, 1663),
    ('ß', 1290, 1473),
    ('à', 1255, 1382),
    ('á', 1255, 1382),
    ('â', 1255, 1382),
    ('ã', 1255, 1382),
    ('ä', 1255, 1382),
    ('å', 1255, 1382),
    ('æ', 2011, 2146),
    ('ç', 1126, 1214),
    ('è', 1260, 1389),
    ('é', 1260, 1389),
    ('ê', 1260, 1389),
    ('ë', 1260, 1389),
    ('ì', 569, 702),
    ('í', 569, 702),
    ('î', 569, 702),
    ('ï', 569, 702),
    ('ñ', 1298, 1458),
    ('ò', 1253, 1407),
    ('ó', 1253, 1407),
    ('ô', 1253, 1407),
    ('õ', 1253, 1407),
    ('ö', 1253, 1407),
    ('ø', 1253, 1407),
    ('ù', 1298, 1458),
    ('ú', 1298, 1458),
    ('û', 1298, 1458),
    ('ü', 1298, 1458),
    ('Ω', 1565, 1741),
    ('μ', 1303, 1507),
    ('→', 1716, 1716),
    ('−', 1716, 1716),
];

/// How wide a text is at most, in the unit of `size`. A sign that is in no table
/// counts a little wider than the font is high.
pub fn width(text: &str, is_strong: bool, size: f64) -> f64 {
    let units: u32 = text
        .chars()
        .map(|sign| u32::from(units(sign, is_strong)))
        .sum();
    f64::from(units) / UNITS * size
}

/// Signs after which a word that is wider than its line may be broken.
pub const BREAKS: [char; 8] = ['-', '/', '.', ',', '_', ':', ';', '+'];

/// How many lines a text takes at most in a column of this width, broken between
/// words; a word that is wider than the column is broken after [`BREAKS`], else
/// before what would come to stand outside.
pub fn lines_of(text: &str, is_strong: bool, size: f64, column: f64) -> usize {
    let mut lines = 1;
    let mut here = 0.0;
    let mut put = |seen: f64, whole: f64| {
        if here > 0.0 && here + seen > column {
            lines += 1;
            here = 0.0;
        }
        here += whole;
    };
    let of = |text: &str| width(text, is_strong, size);
    for held in text.split_inclusive(' ') {
        let seen = held.trim_end_matches(' ');
        if of(seen) <= column {
            put(of(seen), of(held));
            continue;
        }
        for piece in held.split_inclusive('\u{a0}').flat_map(|word| {
            let is_whole = of(word.trim_end_matches([' ', '\u{a0}'])) <= column;
            let breaks: &[char] = if is_whole { &[] } else { &BREAKS };
            word.split_inclusive(breaks)
        }) {
            let seen = piece.trim_end_matches([' ', '\u{a0}']);
            if of(seen) <= column {
                put(of(seen), of(piece));
                continue;
            }
            for sign in piece.chars() {
                let sign = of(sign.encode_utf8(&mut [0; 4]));
                put(sign, sign);
            }
        }
    }
    lines
}

fn units(sign: char, is_strong: bool) -> u16 {
    let table = if is_strong { &BOLD } else { &REGULAR };
    let index = (sign as usize).checked_sub(32);
    if let Some(units) = index.and_then(|index| table.get(index)) {
        return *units;
    }
    MORE.iter()
        .find(|row| row.0 == sign)
        .map_or(OTHER, |row| if is_strong { row.2 } else { row.1 })
}
