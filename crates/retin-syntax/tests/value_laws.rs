//! What holds of every value: reading its print gives it back, and no text
//! makes reading fail in any way but by saying why.

use proptest::prelude::*;
use retin_syntax::value::{
    Body, Currency, Date, Decimal, Dimension, MarkingOf, Money, Quantity, Series, TimeOfDay,
    Tolerance, UNITS, Value, ValueErrorKind, is_unit, read, read_marking, unit,
};

fn magnitude(places: impl Strategy<Value = u32>) -> impl Strategy<Value = Decimal> {
    (any::<[u32; 3]>(), 0_u32..96, places).prop_map(|([low, middle, high], shift, places)| {
        // Short numbers are the common ones, so the width is drawn too.
        let whole = (u128::from(high) << 64 | u128::from(middle) << 32 | u128::from(low)) >> shift;
        Decimal::from_i128_with_scale(whole.cast_signed(), places)
    })
}

/// Any number that can be kept, not negative.
fn not_negative() -> impl Strategy<Value = Decimal> {
    prop_oneof![
        magnitude(0_u32..=28),
        (0_i64..100_000, 0_u32..=14).prop_map(|(n, places)| Decimal::new(n, places))
    ]
}

fn positive() -> impl Strategy<Value = Decimal> {
    not_negative().prop_filter("above zero", |number| !number.is_zero())
}

fn number() -> impl Strategy<Value = Decimal> {
    (not_negative(), any::<bool>()).prop_map(
        |(number, negative)| {
            if negative { -number } else { number }
        },
    )
}

fn dimension() -> impl Strategy<Value = Dimension> {
    proptest::sample::select(Dimension::ALL)
}

fn quantity() -> impl Strategy<Value = Quantity> {
    (number(), dimension()).prop_map(|(number, dimension)| Quantity::new(number, dimension))
}

fn tolerance() -> impl Strategy<Value = Tolerance> {
    let absolute = (not_negative(), not_negative(), dimension())
        .prop_filter("a share of the value is relative", |(_, _, dimension)| {
            *dimension != Dimension::Ratio
        })
        .prop_map(|(minus, plus, dimension)| Tolerance::Absolute {
            minus: Quantity::new(minus, dimension),
            plus: Quantity::new(plus, dimension),
        });
    prop_oneof![
        not_negative().prop_map(Tolerance::relative),
        (not_negative(), not_negative())
            .prop_map(|(minus, plus)| Tolerance::Relative { minus, plus }),
        absolute,
    ]
}

fn currency() -> impl Strategy<Value = Currency> {
    proptest::sample::select(vec![
        Currency::EUR,
        Currency::USD,
        Currency::GBP,
        Currency::JPY,
        Currency::CHF,
        Currency::BHD,
        Currency::ALL,
        Currency::CLP,
    ])
}

fn date() -> impl Strategy<Value = Date> {
    (0_i16..=9999, 1_i8..=12, 1_i8..=31).prop_filter_map("in the calendar", |(year, month, day)| {
        jiff::civil::Date::new(year, month, day).ok().map(Date)
    })
}

fn value() -> impl Strategy<Value = Value> {
    prop_oneof![
        quantity().prop_map(Value::Quantity),
        (number(), number(), dimension()).prop_map(|(one, other, dimension)| Value::Range {
            low: Quantity::new(one.min(other), dimension),
            high: Quantity::new(one.max(other), dimension),
        }),
        number().prop_map(Value::Number),
        (number(), number()).prop_map(|(one, other)| Value::NumberRange {
            low: one.min(other),
            high: one.max(other),
        }),
        tolerance().prop_map(Value::Tolerance),
        (positive(), positive())
            .prop_map(|(diameter, length)| Value::Body(Body::Round { diameter, length })),
        (positive(), positive(), positive()).prop_map(|(length, width, height)| {
            Value::Body(Body::Box {
                length,
                width,
                height,
            })
        }),
        positive().prop_map(Value::Pitch),
        (1_i64..100).prop_map(|pitch| Value::Pitch(pitch.into())),
        (number(), currency())
            .prop_map(|(amount, currency)| Value::Money(Money { amount, currency })),
        date().prop_map(Value::Date),
        (0_u8..24, 0_u8..60).prop_map(|(hour, minute)| Value::Time(TimeOfDay { hour, minute })),
        Just(Value::Unreadable),
    ]
}

/// Text that looks like values, so that the rare branches are reached.
fn value_like() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        "[0-9]{1,5}",
        "[0-9]{28,40}",
        proptest::sample::select(vec![
            ".", "..", "...", "…", ",", "/", "+", "-", "−", "±", "+-", "%", "e", "E", "x", "×",
            "p", "?", ":", " ", "\u{a0}", "€", "AWG", "EUR", "eur", "µ", "μ", "Ω", "°", "°C", "C",
            "\"", "mm", "V", "VAC", "V~", "uF", "MF", "mfd", "kohm", "R", "K", "L", "n", "m", "h",
            "min", "ppm", "Mm", "ohn", "1e300", "٣", "é",
        ])
        .prop_map(str::to_owned),
    ];
    proptest::collection::vec(piece, 0..7).prop_map(|pieces| pieces.concat())
}

/// Checks what must hold of any text whatever.
fn check_text(text: &str) -> Result<(), TestCaseError> {
    match read(text) {
        Ok(value) => {
            let print = value.to_string();
            prop_assert_eq!(read(&print), Ok(value), "{:?} printed {}", text, print);
        }
        Err(error) => {
            let (start, end) = (error.start as usize, error.end as usize);
            prop_assert!(start <= end && end <= text.len(), "{:?}: {:?}", text, error);
            prop_assert!(text.is_char_boundary(start) && text.is_char_boundary(end));
            prop_assert!(!error.to_string().is_empty());
            for suggestion in error.suggestions() {
                let value = read(suggestion);
                prop_assert!(value.is_ok(), "{:?} suggests {:?}", text, suggestion);
                prop_assert_eq!(value.map(|value| value.to_string()), Ok(suggestion.clone()));
            }
        }
    }
    for of in [MarkingOf::Capacitor, MarkingOf::Resistor] {
        if let Err(error) = read_marking(text, of) {
            prop_assert!(error.start <= error.end && error.end as usize <= text.len());
        }
    }
    let _ = is_unit(text);
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn reading_the_print_gives_the_value_back(value in value()) {
        let print = value.to_string();
        prop_assert_eq!(read(&print), Ok(value), "{}", print);
    }

    #[test]
    fn spaces_around_a_value_change_nothing(value in value()) {
        prop_assert_eq!(read(&format!("  {value}\u{a0}")), Ok(value));
    }

    #[test]
    fn any_text_reads_or_says_why(text in any::<String>()) {
        check_text(&text)?;
    }

    #[test]
    fn text_that_looks_like_a_value_reads_or_says_why(text in value_like()) {
        check_text(&text)?;
    }

    #[test]
    fn a_word_taken_for_a_unit_makes_no_name_after_a_number(word in "[a-zA-Zµ°/]{1,4}") {
        if is_unit(&word) {
            let read = read(&format!("10 {word}"));
            prop_assert!(
                !matches!(&read, Err(error) if error.kind == ValueErrorKind::NotAValue),
                "{}: {:?}", word, read
            );
        }
    }

    #[test]
    fn every_spelling_of_a_unit_measures_the_same(number in 1_u32..100, which in 0..UNITS.len()) {
        let unit = UNITS[which];
        let expected = read(&format!("{number}{}", unit.symbol));
        prop_assert!(expected.is_ok());
        for spelling in unit.spellings {
            prop_assert!(is_unit(spelling), "{}", spelling);
            prop_assert_eq!(read(&format!("{number}{spelling}")), expected.clone());
            prop_assert_eq!(read(&format!("{number} {spelling}")), expected.clone());
        }
        for spelling in unit.touching {
            prop_assert!(!is_unit(spelling), "{}", spelling);
            prop_assert_eq!(read(&format!("{number}{spelling}")), expected.clone());
        }
        for prefix in unit.prefixes.chars() {
            let word = format!("{prefix}{}", unit.symbol);
            prop_assert!(is_unit(&word), "{}", word);
            let read = read(&format!("{number} {word}"));
            prop_assert!(
                matches!(&read, Ok(Value::Quantity(quantity)) if quantity.dimension == unit.dimension),
                "{}: {:?}", word, read
            );
        }
    }

    #[test]
    fn preferred_values_enclose_every_quantity(number in positive(), which in 0_usize..7) {
        let series = Series::ALL[which];
        let quantity = Quantity::new(number, Dimension::Resistance);
        if let (Some(below), Some(above)) = (
            series.nearest_at_most(quantity),
            series.nearest_at_least(quantity),
        ) {
            prop_assert!(below <= quantity && quantity <= above);
            prop_assert!(series.contains(below) && series.contains(above));
            prop_assert_eq!(series.contains(quantity), below == above);
            let nearest = series.nearest(quantity);
            prop_assert!(nearest == Some(below) || nearest == Some(above));
        }
    }
}

#[test]
fn no_spelling_stands_for_two_units() {
    let mut spellings: Vec<&str> = UNITS
        .iter()
        .flat_map(|unit| {
            std::iter::once(unit.symbol)
                .chain(unit.spellings.iter().copied())
                .chain(unit.touching.iter().copied())
        })
        .chain(unit::ASKED_SPELLINGS.iter().map(|asked| asked.written))
        .collect();
    let all = spellings.len();
    spellings.sort_unstable();
    spellings.dedup();
    assert_eq!(spellings.len(), all);
}

#[test]
fn every_prefixed_unit_is_one_unit_only() {
    // A prefix and a unit must never spell another unit: `min` is no milli-inch.
    for unit in UNITS {
        for prefix in unit.prefixes.chars() {
            let word = format!("{prefix}{}", unit.symbol);
            let taken = UNITS
                .iter()
                .any(|other| other.symbol == word || other.spellings.contains(&word.as_str()));
            assert!(!taken, "{word}");
        }
    }
}

#[test]
fn every_asked_spelling_offers_what_it_may_mean() {
    for asked in unit::ASKED_SPELLINGS {
        let error = read(&format!("2.2{}", asked.written)).unwrap_err();
        assert_eq!(
            error.suggestions().len(),
            asked.meanings.len(),
            "{}",
            asked.written
        );
        assert_eq!(is_unit(asked.written), !asked.touching_only);
    }
}
