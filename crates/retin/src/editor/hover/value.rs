//! Values: their canonical spelling, their codes and their preferred neighbours.

use super::super::Snapshot;
use super::super::caret::Caret;
use super::Block;
use crate::sources::Origin;
use retin_syntax::tables::Property;
use retin_syntax::tables::properties::PROPERTIES;
use retin_syntax::tree::{Claim, Fact, Record};
use retin_syntax::value::{
    self, BandStatement, Colour, Decimal, Dimension, MarkingOf, Quantity, Series, Tolerance, Value,
    read_bands, read_marking,
};
use retin_syntax::{Span, Token};

/// The value under the caret.
pub(super) fn at(snapshot: &Snapshot<'_>, caret: &Caret<'_>) -> Option<(Origin, Vec<Block>)> {
    let span = word(caret)?;
    let facts = caret
        .line
        .map(|line| facts_of(&caret.tree.line(line).record))
        .unwrap_or_default();
    let fact = facts.iter().find(|fact| fact.span.touches(caret.offset));
    let text = span.of(caret.text);
    let origin = caret.origin(span);
    if let Some(fact) = fact
        && fact.property == Some(Property::Code)
    {
        return Some((origin, marking(text)?));
    }
    let value = value::read(text).ok()?;
    if matches!(value, Value::Number(_)) && fact.is_none() {
        return None;
    }
    let mut blocks = vec![
        Block::Title(value.to_string()),
        Block::Text(value.kind_in_words().to_owned()),
    ];
    let stated = stated_at(snapshot, origin);
    let property = stated.or_else(|| fact?.property);
    if let Some(doc) = property
        .filter(|known| *known != Property::Value)
        .and_then(doc)
    {
        blocks.push(Block::Row("says", doc.to_owned()));
    }
    match value {
        Value::Quantity(quantity) => {
            let tolerance =
                facts
                    .iter()
                    .find_map(|fact| match value::read(fact.span.of(caret.text)) {
                        Ok(Value::Tolerance(tolerance)) => Some(tolerance),
                        _ => None,
                    });
            blocks.extend(codes(quantity, tolerance));
            blocks.extend(neighbours(quantity));
        }
        Value::Tolerance(tolerance) => blocks.extend(window(&facts, caret, tolerance)),
        _ => {}
    }
    Some((origin, blocks))
}

/// The number under the caret, with a unit that stands apart.
fn word(caret: &Caret<'_>) -> Option<Span> {
    let lexemes = caret.lexemes();
    let at = lexemes.iter().rposition(|(token, span)| {
        span.touches(caret.offset) && matches!(token, Token::Number | Token::Unit | Token::Word)
    })?;
    let (token, span) = lexemes[at];
    Some(match token {
        Token::Unit => {
            let before = at.checked_sub(1).map(|before| lexemes[before])?;
            before.1.to(span)
        }
        Token::Number => match lexemes.get(at + 1) {
            Some((Token::Unit, unit)) => span.to(*unit),
            _ => span,
        },
        _ => span,
    })
}

/// The facts of a line.
pub(in crate::editor) fn facts_of(record: &Record) -> Vec<&Fact> {
    match record {
        Record::Setting { facts }
        | Record::Rail { facts, .. }
        | Record::Group { facts, .. }
        | Record::Part { facts, .. }
        | Record::Section { facts, .. }
        | Record::Exception { facts, .. }
        | Record::Step { facts, .. }
        | Record::Target { facts, .. }
        | Record::Claim {
            claim: Claim::Facts { facts, .. },
            ..
        }
        | Record::Survey {
            claim: Claim::Facts { facts, .. },
            ..
        } => facts.iter().collect(),
        Record::Entry(entry) => entry
            .with
            .iter()
            .flat_map(|part| &part.facts)
            .chain(&entry.facts)
            .collect(),
        Record::Plan(line) => line
            .with
            .iter()
            .flat_map(|part| &part.facts)
            .chain(&line.facts)
            .collect(),
        _ => Vec::new(),
    }
}

/// The property that the case took a value on a part line for.
fn stated_at(snapshot: &Snapshot<'_>, origin: Origin) -> Option<Property> {
    let case = snapshot.case;
    let contains = |line: Origin| {
        line.file == origin.file
            && line.span.start <= origin.span.start
            && origin.span.end <= line.span.end
    };
    let parts = case.parts.iter().map(|part| (part.line, &part.facts));
    let entries = case.entries.iter().map(|entry| (entry.line, &entry.facts));
    let (_, facts) = parts.chain(entries).find(|(line, _)| contains(*line))?;
    let fact = facts.iter().find(|fact| fact.origin == origin)?;
    Some(fact.property)
}

fn doc(property: Property) -> Option<&'static str> {
    let row = PROPERTIES.iter().find(|row| row.property == property)?;
    Some(row.doc)
}

/// A code printed on a part.
fn marking(text: &str) -> Option<Vec<Block>> {
    let mut blocks = vec![Block::Title(format!("code {text}"))];
    for (of, on) in [
        (MarkingOf::Capacitor, "on a capacitor"),
        (MarkingOf::Resistor, "on a resistor"),
    ] {
        if let Ok(marked) = read_marking(text, of) {
            let tolerance = marked
                .tolerance
                .map(|tolerance| format!(" {tolerance}"))
                .unwrap_or_default();
            blocks.push(Block::Row(on, format!("{}{tolerance}", marked.value)));
        }
    }
    (blocks.len() > 1).then_some(blocks)
}

/// How the value is printed on parts: letter code, digit code, colour bands.
/// Only what reads back as the same value is shown.
fn codes(quantity: Quantity, tolerance: Option<Tolerance>) -> Vec<Block> {
    let of = match quantity.dimension {
        Dimension::Capacitance => MarkingOf::Capacitor,
        Dimension::Resistance => MarkingOf::Resistor,
        _ => return Vec::new(),
    };
    let Some((figures, power)) = figures(quantity.number) else {
        return Vec::new();
    };
    let reads_back =
        |code: &String| read_marking(code, of).is_ok_and(|marked| marked.value == quantity);
    let mut blocks = Vec::new();
    let letter = letter_code(&figures, power, of).filter(reads_back);
    blocks.extend(letter.map(|code| Block::Row("letter code (IEC 60062)", code)));
    let digits = digit_code(&figures, power, of).filter(reads_back);
    blocks.extend(digits.map(|code| Block::Row("digit code", code)));
    if of == MarkingOf::Resistor {
        let bands = bands(&figures, power, tolerance)
            .filter(|bands| read_bands(bands).is_ok_and(|banded| banded.value == quantity));
        blocks.extend(bands.map(|bands| {
            let words: Vec<&str> = bands.iter().map(|colour| colour.word()).collect();
            Block::Row("colour bands", words.join(" "))
        }));
    }
    blocks
}

/// The significant figures of a positive number, and the power of ten they are
/// multiplied by: `47` and 2 for 4700.
fn figures(number: Decimal) -> Option<(String, i32)> {
    if number <= Decimal::ZERO {
        return None;
    }
    let number = number.normalize();
    let all = number.mantissa().to_string();
    let figures = all.trim_end_matches('0');
    let noughts = (all.len() - figures.len()) as i32;
    Some((figures.to_owned(), noughts - number.scale() as i32))
}

fn letter_code(figures: &str, power: i32, of: MarkingOf) -> Option<String> {
    let letters: &[(char, i32)] = match of {
        MarkingOf::Capacitor => &[('p', -12), ('n', -9), ('u', -6), ('m', -3)],
        MarkingOf::Resistor => &[('R', 0), ('K', 3), ('M', 6), ('G', 9)],
    };
    // Digits before the point, if the letter's power of ten is taken out.
    let before = |exponent: i32| figures.len() as i32 + power - exponent;
    let (letter, exponent) = letters
        .iter()
        .copied()
        .rfind(|(_, exponent)| before(*exponent) >= 1)
        .or(letters.first().copied())?;
    let whole = before(exponent);
    if !(0..=3).contains(&whole) {
        return None;
    }
    let whole = whole as usize;
    let mut code = String::new();
    for at in 0..whole {
        code.push(figures.chars().nth(at).unwrap_or('0'));
    }
    code.push(letter);
    code.extend(figures.chars().skip(whole));
    Some(code)
}

fn digit_code(figures: &str, power: i32, of: MarkingOf) -> Option<String> {
    let power = power
        + match of {
            MarkingOf::Capacitor => 12,
            MarkingOf::Resistor => 0,
        };
    let (figures, power) = match figures.len() {
        1 => (format!("{figures}0"), power - 1),
        2 => (figures.to_owned(), power),
        _ => return None,
    };
    (0..=9)
        .contains(&power)
        .then(|| format!("{figures}{power}"))
}

fn bands(figures: &str, power: i32, tolerance: Option<Tolerance>) -> Option<Vec<Colour>> {
    let (figures, power) = match figures.len() {
        1 => (format!("{figures}0"), power - 1),
        2 | 3 => (figures.to_owned(), power),
        _ => return None,
    };
    let colour = |figure: char| {
        let figure = figure.to_digit(10)?;
        Colour::ALL
            .into_iter()
            .find(|colour| colour.figure().map(u32::from) == Some(figure))
    };
    let mut bands: Vec<Colour> = figures.chars().map(colour).collect::<Option<_>>()?;
    bands.push(
        Colour::ALL
            .into_iter()
            .find(|colour| colour.multiplier_power() == power)?,
    );
    let with_tolerance = Colour::ALL.into_iter().find_map(|colour| {
        let mut all = bands.clone();
        all.push(colour);
        let banded = read_bands(&all).ok()?;
        (banded.tolerance == BandStatement::Sure(tolerance?)).then_some(all)
    });
    match with_tolerance {
        Some(all) => Some(all),
        // Five bands are no five bands without the tolerance.
        None => (bands.len() == 3).then_some(bands),
    }
}

/// The preferred values next to a value, of IEC 60063.
fn neighbours(quantity: Quantity) -> Vec<Block> {
    if !matches!(
        quantity.dimension,
        Dimension::Capacitance | Dimension::Resistance | Dimension::Inductance
    ) {
        return Vec::new();
    }
    let label = "preferred values (IEC 60063)";
    let Some(coarsest) = Series::coarsest_with(quantity) else {
        let near = Series::E24;
        let (Some(below), Some(above)) = (
            near.nearest_at_most(quantity),
            near.nearest_at_least(quantity),
        ) else {
            return Vec::new();
        };
        let text = format!("in no series; {near} has {below} below and {above} above");
        return vec![Block::Row(label, text)];
    };
    // Hardly anything is stocked in steps wider than those of E12.
    let series = coarsest.max(Series::E12);
    let shift = |by: Decimal| {
        let number = quantity.number.checked_mul(by)?;
        Some(Quantity::new(number, quantity.dimension))
    };
    // No two values of a series are nearer than these factors.
    let below = shift(Decimal::from_parts(9999, 0, 0, false, 4))
        .and_then(|less| series.nearest_at_most(less));
    let above = shift(Decimal::from_parts(10001, 0, 0, false, 4))
        .and_then(|more| series.nearest_at_least(more));
    let (Some(below), Some(above)) = (below, above) else {
        return Vec::new();
    };
    let text = format!("in {coarsest}; {series} has {below} below and {above} above");
    vec![Block::Row(label, text)]
}

/// What a tolerance makes of the value it stands beside.
fn window(facts: &[&Fact], caret: &Caret<'_>, tolerance: Tolerance) -> Vec<Block> {
    let nominal = facts
        .iter()
        .find_map(|fact| match value::read(fact.span.of(caret.text)) {
            Ok(Value::Quantity(quantity)) => Some(quantity),
            _ => None,
        });
    let Some((nominal, (low, high))) =
        nominal.and_then(|nominal| Some((nominal, tolerance.window(nominal)?)))
    else {
        return Vec::new();
    };
    vec![Block::Row("of", format!("{nominal}: {low} to {high}"))]
}

#[cfg(test)]
mod tests {
    use super::{codes, figures};
    use retin_syntax::value::{Value, read};

    fn quantity(text: &str) -> retin_syntax::value::Quantity {
        match read(text) {
            Ok(Value::Quantity(quantity)) => quantity,
            other => panic!("{text}: {other:?}"),
        }
    }

    #[test]
    fn figures_have_no_noughts_at_their_end() {
        let of = |text: &str| figures(quantity(text).number);
        assert_eq!(of("4.7kohm"), Some(("47".into(), 2)));
        assert_eq!(of("0.47ohm"), Some(("47".into(), -2)));
        assert_eq!(of("0V"), None);
        assert_eq!(of("-15V"), None);
    }

    #[test]
    fn every_code_reads_back() {
        for text in [
            "0.47ohm", "1ohm", "10ohm", "4.7kohm", "1Mohm", "22Mohm", "499ohm",
        ] {
            assert!(!codes(quantity(text), None).is_empty(), "{text}");
        }
        for text in ["1pF", "4.7pF", "100nF", "1uF", "2200uF"] {
            assert!(!codes(quantity(text), None).is_empty(), "{text}");
        }
        assert!(codes(quantity("24V"), None).is_empty());
    }
}
