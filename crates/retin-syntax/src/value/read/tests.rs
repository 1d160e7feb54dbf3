use super::{Kind, read};

/// The canonical spelling of a text.
fn print(text: &str) -> String {
    match read(text) {
        Ok(value) => value.to_string(),
        Err(error) => panic!("{text:?}: {error} ({error:?})"),
    }
}

fn refusal(text: &str) -> Kind {
    match read(text) {
        Ok(value) => panic!("{text:?} reads as {value:?}"),
        Err(error) => error.kind,
    }
}

fn suggestions(text: &str) -> Vec<String> {
    refusal(text).suggestions().to_vec()
}

#[test]
fn every_spelling_of_a_quantity_has_one_print() {
    for (spellings, canonical) in [
        (
            &["10uF", "10 µF", "10 μF", "10u", "0.01mF", "10000nF"][..],
            "10uF",
        ),
        (&["2200uF", "2.2mF"], "2200uF"),
        (&["10000uF"], "10000uF"),
        (&["0.47uF", ".47 uF", "470nF", "470n", "u47"], "470nF"),
        (&[".01 uF", "10nF", "10n", "0.010uF", "10000pF"], "10nF"),
        (&["5000pF", "5nF", "5n0"], "5nF"),
        (&["2n2", "2.2nF", "2200pF"], "2.2nF"),
        (&["100n"], "100nF"),
        (&["10p", "10pF"], "10pF"),
        (&["1µ0", "1u0", "1uF"], "1uF"),
        (&["1F0", "1F"], "1F"),
        (
            &[
                "4k7",
                "4K7",
                "4.7k",
                "4.7kohm",
                "4.7kΩ",
                "4.7kΩ",
                "4700ohm",
                "4.7Kohm",
                "4.7 kohms",
            ],
            "4.7kohm",
        ),
        (&["47K", "47k", "47kohm"], "47kohm"),
        (&["470R", "470ohm", "470 Ω", "470 ohms"], "470ohm"),
        (&["R47", "0R47", ".47ohm", "470mohm"], "0.47ohm"),
        (&["L47"], "0.47mohm"),
        (&["0.062ohm"], "62mohm"),
        (&["1M0", "1M", "1Mohm", "1000k"], "1Mohm"),
        (&["3G3"], "3.3Gohm"),
        (&["R300"], "0.3ohm"),
        (&["47K3"], "47.3kohm"),
        (&["25V", "25 V", "25VDC", "+25V", "0.025kV"], "25V"),
        (&["-15V", "\u{2212}15 V"], "-15V"),
        (&["50mV", "0.05V"], "50mV"),
        (&["0.7V"], "0.7V"),
        (&["0V", "-0V", "0mV"], "0V"),
        (&["250VAC", "250Vac", "250 V~"], "250VAC"),
        (&["85°C", "85C", "85 °C", "85℃", "85ºC"], "85°C"),
        (&["2000h", "2000 hours", "7200000s"], "2000h"),
        (&["30min"], "30min"),
        (&["90min", "1.5h"], "1.5h"),
        (&["61min"], "61min"),
        (&["10s"], "10s"),
        (&["5ms"], "5ms"),
        (&["0.25W", "1/4W", "1/4 W", "250mW"], "0.25W"),
        (&["1/8W"], "0.125W"),
        (&["2.4A"], "2.4A"),
        (&["315mA", "0.315A"], "315mA"),
        (&["38mm", "3.8cm", "0.038m"], "38mm"),
        (&["0.1in", "0.1 inch", "0.1\"", "1/10in"], "2.54mm"),
        (&["35um"], "35um"),
        (&["10m"], "10m"),
        (&["50Hz"], "50Hz"),
        (&["1kHz", "1000 Hz"], "1kHz"),
        (&["30VA"], "30VA"),
        (&["-60dB"], "-60dB"),
        (&["+4dBu"], "4dBu"),
        (&["13V/us", "13 V/µs"], "13V/us"),
        (&["100ppm/K"], "100ppm/K"),
        (&["750mAh", "0.75Ah"], "750mAh"),
        (&["100uH"], "100uH"),
        (&["-12%"], "-12%"),
        (&["+5%"], "+5%"),
        (&["1.5e-6F"], "1.5uF"),
        (&["150"], "150"),
        (&["007.50"], "7.5"),
        (&["+15"], "15"),
        (&["?"], "?"),
    ] {
        for spelling in spellings {
            assert_eq!(print(spelling), canonical, "{spelling}");
        }
    }
}

#[test]
fn every_other_kind_of_value_has_one_print() {
    for (spellings, canonical) in [
        (
            &["±20%", "+-20%", "+/-20%", "20%", "± 20 %", "20 percent"][..],
            "±20%",
        ),
        (
            &["-10/+50%", "+50/-10%", "-10%/+50%", "+50-10%", "+50 -10 %"],
            "-10/+50%",
        ),
        (&["-0/+100%", "0/+100%", "+100-0%"], "-0/+100%"),
        (&["±0.25pF", "+-0.25 pF"], "±0.25pF"),
        (&["-0.1/+0.25pF"], "-0.1/+0.25pF"),
        (&["±100ppm"], "±0.01%"),
        (
            &["7..36V", "7V..36V", "7 .. 36 V", "7…36V", "7...36V"],
            "7..36V",
        ),
        (&["-55..105°C", "-55..+105C"], "-55..105°C"),
        (&["500mV..2V"], "0.5..2V"),
        (&["1..10k", "1k..10k"], "1..10kohm"),
        (&["0...36V"], "0..36V"),
        (&["4k7..10k"], "4.7..10kohm"),
        (&["5..10%"], "5..10%"),
        (&["90s..1h"], "0.025..1h"),
        (&["61s..1h"], "61s..1h"),
        (&["1977..1981"], "1977..1981"),
        (&["5x11", "5 x 11", "5×11", "5X11mm"], "5x11"),
        (&["7.2x2.5x6.5"], "7.2x2.5x6.5"),
        (&["p2", "p2.0", "p2mm"], "p2"),
        (&["p7.5"], "p7.5"),
        (&["p10"], "p10"),
        (&["p33.0"], "p33.0"),
        (&["2.10 EUR", "2.1EUR", "2.1 EUR"], "2.10 EUR"),
        (&["450 EUR"], "450.00 EUR"),
        (&["0.0213 EUR"], "0.0213 EUR"),
        (&["300 JPY"], "300 JPY"),
        (&["2026-10-02"], "2026-10-02"),
        (&["09:10", "9:10"], "09:10"),
    ] {
        for spelling in spellings {
            assert_eq!(print(spelling), canonical, "{spelling}");
        }
    }
}

#[test]
fn words_are_left_to_the_caller() {
    for word in [
        "",
        " ",
        "radial",
        "2N3904",
        "1N4148",
        "2SC1815",
        "TO-92",
        "TO-220",
        "NE5532",
        "4558D",
        "741C",
        "78L05",
        "79M12",
        "74F00",
        "1n4148",
        "2n3904",
        "1n914",
        "C1..C12",
        "ch1..ch8",
        "ch1..4",
        "1..ch8",
        "26-031",
        "2x15V",
        "K47",
        "n",
        "p",
        "R",
        "µ",
        "B+",
        "+",
        "-",
        "±",
        "..",
        "1..",
        "..5",
        "5x",
        "x5",
        "1N4728A",
        "1.5KE6.8A",
        "main",
        "p2x",
        "12/24",
        "1/4",
        "∞",
        "ch3.C41.-",
        "V5.3",
        "10uF/25V",
        "34V ±15%",
        "1:100",
    ] {
        assert_eq!(refusal(word), Kind::NotAValue, "{word}");
    }
}

#[test]
fn old_spellings_are_asked_about() {
    assert_eq!(suggestions(".01 MF"), ["10nF", "10uF"]);
    assert_eq!(suggestions("50 mfd"), ["50uF"]);
    assert_eq!(suggestions("100MMF"), ["100pF"]);
    assert_eq!(suggestions("250 uuF"), ["250pF"]);
    assert_eq!(suggestions("22E"), ["22ohm"]);
    assert_eq!(suggestions("4E7"), ["4.7ohm", "40000000"]);
    assert_eq!(suggestions("2.2MEG"), ["2.2Mohm"]);
    for text in [".01 MF", "22E", "4E7", "10uf", "10 PF"] {
        assert!(matches!(refusal(text), Kind::OldSpelling { .. }), "{text}");
    }
}

#[test]
fn slips_come_with_what_is_likely_meant() {
    assert_eq!(suggestions("5MA"), ["5mA"]);
    assert_eq!(suggestions("10KHz"), ["10kHz"]);
    assert_eq!(suggestions("10Mm"), ["10mm"]);
    assert_eq!(suggestions("25v"), ["25V"]);
    assert_eq!(suggestions("50hz"), ["50Hz"]);
    assert_eq!(suggestions("4.7komh"), ["4.7kohm"]);
    assert_eq!(suggestions("4,7uF"), ["4.7uF"]);
    assert_eq!(suggestions("4,7"), ["4.7"]);
    assert_eq!(suggestions("2,200uF"), ["2.2uF", "2200uF"]);
    assert_eq!(suggestions("±5"), ["±5%"]);
    assert_eq!(suggestions("±4,7uF"), ["±4.7uF"]);
    assert_eq!(suggestions("±10MF"), ["±10uF", "±10000uF"]);
    assert_eq!(suggestions("-10/+50"), ["-10/+50%"]);
    assert_eq!(suggestions("7V..36v"), ["7..36V"]);
    assert_eq!(suggestions("10MF..100uF"), ["10..100uF"]);
    assert_eq!(suggestions("7..36v"), ["7..36V"]);
    assert_eq!(suggestions("10..100MF"), ["10..100uF", "10000..100000uF"]);
    assert_eq!(suggestions("7V..36"), ["7..36V"]);
    assert_eq!(suggestions("p33"), ["0.33pF", "p33.0"]);
    assert_eq!(suggestions("2.10 eur"), ["2.10 EUR"]);
    assert_eq!(suggestions("€2.10"), ["2.10 EUR"]);
    assert_eq!(suggestions("2.10€"), ["2.10 EUR"]);
    assert_eq!(suggestions("2026-1-2"), ["2026-01-02"]);
    assert_eq!(suggestions("02.10.2026"), ["2026-10-02"]);
    assert_eq!(suggestions("2/10/2026"), ["2026-10-02", "2026-02-10"]);
}

#[test]
fn what_cannot_be_said_is_refused() {
    for (text, kind) in [
        ("36..7V", Kind::EmptyRange),
        ("1981..1977", Kind::EmptyRange),
        ("7V..36VAC", Kind::MixedEnds),
        ("-10%/+5pF", Kind::MixedEnds),
        ("1e300", Kind::OutOfRange),
        ("1e300V", Kind::OutOfRange),
        ("1e-40F", Kind::OutOfRange),
        ("1e99999999999999999999", Kind::OutOfRange),
        ("123456789012345678901234567890123", Kind::TooManyDigits),
        ("0.1234567890123456789012345678901V", Kind::TooManyDigits),
        ("12/24V", Kind::Fraction),
        ("3/5V", Kind::Fraction),
        ("1/3W", Kind::NotExact),
        ("1/0W", Kind::Fraction),
        ("0x5", Kind::NotPositive),
        ("p0", Kind::NotPositive),
        ("24:00", Kind::BadTime),
        ("24 AWG", Kind::WireGauge),
        ("24AWG", Kind::WireGauge),
        (
            "2026-02-30",
            Kind::BadDate {
                suggestions: vec![],
            },
        ),
    ] {
        assert_eq!(refusal(text), kind, "{text}");
    }
    assert!(matches!(refusal("2.10 XYZ"), Kind::BadCurrency { .. }));
    assert!(matches!(refusal("10 XAU"), Kind::BadCurrency { .. }));
    assert!(matches!(refusal("10 foo"), Kind::UnknownUnit { .. }));
    assert!(matches!(refusal("1.5zorks"), Kind::UnknownUnit { .. }));
}
