//! Preferred values against IEC 60063.
//!
//! The standard's own text was not at hand. The tables are those printed at
//! qsl.net/g4usp (E6 to E96) and HandWiki, "E series of preferred numbers" (the
//! rule and its exceptions), and every one is compared with the Python package
//! eseries 1.2.1, run as a separate program.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use retin_syntax::value::{Decimal, Dimension, Quantity, Series, Value, read};
use retin_tests::python;

fn quantity(text: &str) -> Quantity {
    match read(text) {
        Ok(Value::Quantity(quantity)) => quantity,
        other => panic!("{text}: {other:?}"),
    }
}

fn ohms(number: Decimal) -> Quantity {
    Quantity::new(number, Dimension::Resistance)
}

/// The printed tables; E192 is in the rule below and in eseries.
const PRINTED: &[(Series, &str)] = &[
    (Series::E3, "10 22 47"),
    (Series::E6, "10 15 22 33 47 68"),
    (Series::E12, "10 12 15 18 22 27 33 39 47 56 68 82"),
    (
        Series::E24,
        "10 11 12 13 15 16 18 20 22 24 27 30 33 36 39 43 47 51 56 62 68 75 82 91",
    ),
    (
        Series::E48,
        "100 105 110 115 121 127 133 140 147 154 162 169 178 187 196 205 215 226 237 249 261 274 \
         287 301 316 332 348 365 383 402 422 442 464 487 511 536 562 590 619 649 681 715 750 787 \
         825 866 909 953",
    ),
    (
        Series::E96,
        "100 102 105 107 110 113 115 118 121 124 127 130 133 137 140 143 147 150 154 158 162 165 \
         169 174 178 182 187 191 196 200 205 210 215 221 226 232 237 243 249 255 261 267 274 280 \
         287 294 301 309 316 324 332 340 348 357 365 374 383 392 402 412 422 432 442 453 464 475 \
         487 499 511 523 536 549 562 576 590 604 619 634 649 665 681 698 715 732 750 768 787 806 \
         825 845 866 887 909 931 953 976",
    ),
];

#[test]
fn the_tables_are_those_printed() {
    for (series, printed) in PRINTED {
        let printed: Vec<u16> = printed
            .split_whitespace()
            .map(|value| value.parse().unwrap())
            .collect();
        assert_eq!(series.figures(), printed, "{series}");
    }
}

/// HandWiki: 10^(i/N) rounded to the figures of the series, with these exceptions.
#[test]
fn the_rule_gives_the_tables_with_the_published_exceptions() {
    let exceptions: &[(Series, &[(u16, u16)])] = &[
        (Series::E3, &[(47, 46)]),
        (Series::E6, &[(33, 32), (47, 46)]),
        (
            Series::E12,
            &[(27, 26), (33, 32), (39, 38), (47, 46), (82, 83)],
        ),
        (
            Series::E24,
            &[
                (27, 26),
                (30, 29),
                (33, 32),
                (36, 35),
                (39, 38),
                (43, 42),
                (47, 46),
                (82, 83),
            ],
        ),
        (Series::E48, &[]),
        (Series::E96, &[]),
        (Series::E192, &[(920, 919)]),
    ];
    assert_eq!(exceptions.len(), Series::ALL.len());
    for (series, exceptions) in exceptions {
        let figures = series.figures();
        let first = f64::from(figures[0]);
        let differing: Vec<(u16, u16)> = (0_u32..)
            .zip(figures)
            .map(|(index, value)| {
                let step = f64::from(index) / figures.len() as f64;
                (*value, (first * 10_f64.powf(step)).round() as u16)
            })
            .filter(|(value, rule)| value != rule)
            .collect();
        assert_eq!(differing, *exceptions, "{series}");
    }
}

#[test]
fn the_tables_are_those_of_eseries() {
    let program = "
import eseries
for key in eseries.series_keys():
    print(key.name, *eseries.series(key))
";
    let printed = python::run(program, "");
    let mut seen = BTreeSet::new();
    for line in printed.lines() {
        let (name, values) = line.split_once(' ').unwrap();
        let series = Series::ALL
            .into_iter()
            .find(|series| series.to_string() == name)
            .unwrap();
        let values: Vec<u16> = values
            .split_whitespace()
            .map(|value| value.parse().unwrap())
            .collect();
        assert_eq!(series.figures(), values, "{series}");
        seen.insert(series);
    }
    assert_eq!(seen.len(), Series::ALL.len());
}

/// The tolerances of electro-tech-online and eseries. E3 is left out: one says
/// 50 %, the other 40 %.
#[test]
fn each_series_has_the_published_tolerance() {
    let printed = python::run(
        "
import eseries
for key in eseries.series_keys():
    print(key.name, eseries.tolerance(key))
",
        "",
    );
    let mut compared = 0;
    for line in printed.lines() {
        let (name, tolerance) = line.split_once(' ').unwrap();
        let series = Series::ALL
            .into_iter()
            .find(|series| series.to_string() == name)
            .unwrap();
        if series == Series::E3 {
            assert_eq!(series.tolerance(), None);
            continue;
        }
        let tolerance: Decimal = tolerance.parse().unwrap();
        assert_eq!(series.tolerance(), Some(tolerance), "{series}");
        assert_eq!(Series::for_tolerance(tolerance), Some(series));
        compared += 1;
    }
    assert_eq!(compared, 6);
    let tighter: Decimal = "0.001".parse().unwrap();
    assert_eq!(Series::for_tolerance(tighter), Some(Series::E192));
    let between: Decimal = "0.03".parse().unwrap();
    assert_eq!(Series::for_tolerance(between), None);
}

/// The worked examples of the eseries manual.
#[test]
fn worked_examples() {
    assert_eq!(
        Series::E24.nearest(quantity("319ohm")),
        Some(quantity("330ohm"))
    );
    assert_eq!(
        Series::E96.nearest_at_least(quantity("184ohm")),
        Some(quantity("187ohm"))
    );
    // The three values of E24 nearest to 5000: 4700, 5100, 5600.
    assert_eq!(
        Series::E24.nearest_at_most(quantity("5kohm")),
        Some(quantity("4.7kohm"))
    );
    assert_eq!(
        Series::E24.nearest(quantity("5kohm")),
        Some(quantity("5.1kohm"))
    );
    assert_eq!(
        Series::E24.nearest_at_least(quantity("5.11kohm")),
        Some(quantity("5.6kohm"))
    );
}

#[test]
fn neighbours_are_those_of_eseries() {
    let mut questions = String::new();
    let mut asked = Vec::new();
    for series in Series::ALL {
        // Two decades in steps that meet values, gaps and the turn of a decade.
        for whole in (100_i64..1_200).step_by(7) {
            for places in [0, 3, 5] {
                let number = Decimal::new(whole, places);
                writeln!(questions, "{series} {number}").unwrap();
                asked.push((series, number));
            }
        }
    }
    let answers = python::run(
        "
import sys, eseries
keys = {key.name: key for key in eseries.series_keys()}
for line in sys.stdin:
    name, number = line.split()
    key, number = keys[name], float(number)
    answers = (
        eseries.find_less_than_or_equal(key, number),
        eseries.find_nearest(key, number),
        eseries.find_greater_than_or_equal(key, number),
    )
    print(*('%.6g' % answer for answer in answers))
",
        &questions,
    );
    let answers: Vec<&str> = answers.lines().collect();
    assert_eq!(answers.len(), asked.len());
    for ((series, number), answer) in asked.into_iter().zip(answers) {
        let answer: Vec<Decimal> = answer
            .split(' ')
            .map(|answer| answer.parse().unwrap())
            .collect();
        let here = ohms(number);
        let below = series.nearest_at_most(here).unwrap().number;
        let above = series.nearest_at_least(here).unwrap().number;
        let nearest = series.nearest(here).unwrap().number;
        assert_eq!((below, above), (answer[0], answer[2]), "{series} {number}");
        // Of two equally near the package takes either, by the last bit of a
        // binary fraction; here it is always the lower.
        let equally_near = number - below == above - number;
        assert_eq!(
            nearest,
            if equally_near { below } else { answer[1] },
            "{series} {number}"
        );
    }
}

#[test]
fn which_series_hold_which() {
    let in_three_figures = |series: Series| -> BTreeSet<u16> {
        let scale = if series.figure_count() == 2 { 10 } else { 1 };
        series.figures().iter().map(|value| value * scale).collect()
    };
    let [e24, e48, e96, e192] =
        [Series::E24, Series::E48, Series::E96, Series::E192].map(in_three_figures);
    assert!(e48.is_subset(&e96) && e96.is_subset(&e192));
    let shared: Vec<u16> = e24.intersection(&e96).copied().collect();
    assert_eq!(shared, [100, 110, 130, 150, 200, 750]);
    let foreign: Vec<u16> = e24.difference(&e192).copied().collect();
    assert_eq!(
        foreign,
        [
            220, 270, 300, 330, 360, 390, 430, 510, 560, 620, 680, 820, 910
        ]
    );
}

#[test]
fn a_quantity_knows_its_coarsest_series() {
    for (text, series) in [
        ("10uF", Some(Series::E3)),
        ("4.7kohm", Some(Series::E3)),
        ("3300uF", Some(Series::E6)),
        ("1.2Mohm", Some(Series::E12)),
        ("0.51ohm", Some(Series::E24)),
        ("105ohm", Some(Series::E48)),
        ("49.9kohm", Some(Series::E96)),
        ("9.2kohm", Some(Series::E192)),
        ("5kohm", None),
        ("50uF", None),
        ("4.701kohm", None),
    ] {
        assert_eq!(Series::coarsest_with(quantity(text)), series, "{text}");
    }
    // Legal stock at 1 %, and yet no value of E96.
    assert!(!Series::E96.contains(quantity("4.7kohm")));
    assert!(Series::E192.contains(quantity("4.7kohm")));
}
