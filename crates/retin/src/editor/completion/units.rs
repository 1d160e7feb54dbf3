//! Units after a number that has none.

use super::{Completion, Insert, List, What};
use retin_syntax::tables::Kind;
use retin_syntax::value::unit::UNITS;
use retin_syntax::value::{Dimension, Value, read};
use retin_syntax::{Span, Token};

impl List<'_, '_> {
    /// Units for a bare value of a kind; whether a number is being typed.
    pub(super) fn units_of(&mut self, kind: Option<Kind>) -> bool {
        let mut dimensions: Vec<Dimension> =
            kind.and_then(|kind| kind.row().value).into_iter().collect();
        let rated: &[Dimension] = match kind.map(Kind::token) {
            Some(Token::Resistor) => &[Dimension::Power],
            Some(Token::Fuse | Token::MainsCapacitor) => &[Dimension::AcVoltage],
            Some(Token::Relay | Token::Inductor) => &[Dimension::Resistance],
            _ => &[Dimension::Voltage],
        };
        dimensions.extend(
            rated
                .iter()
                .filter(|rated| !dimensions.contains(rated))
                .copied()
                .collect::<Vec<_>>(),
        );
        dimensions.extend([Dimension::Ratio, Dimension::Temperature]);
        self.units_for(&dimensions)
    }

    /// Units of these dimensions; whether a number without a unit is being typed.
    pub(super) fn units_for(&mut self, dimensions: &[Dimension]) -> bool {
        let typed = self.caret.typed();
        let text = typed.of(self.caret.text);
        let digits = text
            .find(|letter: char| {
                !letter.is_ascii_digit() && !matches!(letter, '.' | '+' | '-' | '±')
            })
            .unwrap_or(text.len());
        if digits == 0 || !text[..digits].ends_with(|last: char| last.is_ascii_digit()) {
            return false;
        }
        if !matches!(
            read(text),
            Ok(Value::Number(_) | Value::Quantity(_) | Value::Tolerance(_)) | Err(_)
        ) {
            return false;
        }
        let replaces = self
            .caret
            .origin(Span::new(typed.start + digits as u32, typed.end));
        for dimension in dimensions {
            for spelling in spellings(*dimension) {
                self.put(Completion {
                    label: spelling.clone(),
                    what: What::Unit,
                    detail: dimension.name().to_owned(),
                    doc: String::new(),
                    replaces,
                    insert: Insert::Text(spelling),
                    rank: 0,
                });
            }
        }
        true
    }
}

/// The units of a dimension, prefixes included, the usual ones first.
fn spellings(dimension: Dimension) -> Vec<String> {
    // *Common practice, no source.*
    let usual: &[&str] = match dimension {
        Dimension::Capacitance => &["uF", "pF", "nF"],
        Dimension::Resistance => &["kohm", "ohm", "Mohm"],
        Dimension::Inductance => &["mH", "uH", "H"],
        Dimension::Current => &["mA", "A", "uA"],
        Dimension::Frequency => &["kHz", "Hz", "MHz"],
        Dimension::Time => &["h", "min", "ms"],
        Dimension::Length => &["mm"],
        _ => &[],
    };
    let mut all: Vec<String> = usual.iter().map(|unit| (*unit).to_owned()).collect();
    for unit in UNITS.iter().filter(|unit| unit.dimension == dimension) {
        let prefixed = unit.prefixes.chars().filter(|prefix| *prefix != 'K');
        let spelled = prefixed.map(|prefix| format!("{prefix}{}", unit.symbol));
        for spelling in std::iter::once(unit.symbol.to_owned()).chain(spelled) {
            if !all.contains(&spelling) {
                all.push(spelling);
            }
        }
    }
    all
}
