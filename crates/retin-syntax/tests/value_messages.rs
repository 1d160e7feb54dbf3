//! The messages about values, as the technician reads them.

use std::fmt::Write as _;

use retin_syntax::value::{MarkingOf, read, read_marking};

#[test]
fn messages() {
    let mut page = String::new();
    for text in [
        "radial",
        "10 foo",
        "4.7komh",
        "25v",
        ".01 MF",
        "50 mfd",
        "22E",
        "4E7",
        "5MA",
        "10kF",
        "10KHz",
        "p33",
        "4,7uF",
        "2,200uF",
        "±5",
        "7V..36",
        "123456789012345678901234567890123V",
        "1e300V",
        "1/3W",
        "12/24V",
        "0x5",
        "7V..36VAC",
        "36..7V",
        "2026-02-30",
        "02.10.2026",
        "2/10/2026",
        "25:00",
        "2.10 XYZ",
        "€2.10",
        "24 AWG",
    ] {
        if let Err(error) = read(text) {
            let blamed = &text[error.start as usize..error.end as usize];
            writeln!(page, "{text}\n    {blamed}: {error}").unwrap();
        } else {
            panic!("{text} reads");
        }
    }
    for (text, of) in [
        ("hello", MarkingOf::Capacitor),
        ("104N", MarkingOf::Capacitor),
        ("104C", MarkingOf::Capacitor),
        ("473K", MarkingOf::Resistor),
    ] {
        let error = read_marking(text, of).unwrap_err();
        writeln!(page, "marking {text}\n    {error}").unwrap();
    }
    insta::assert_snapshot!(page);
}
