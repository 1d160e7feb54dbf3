use super::*;
use proptest::prelude::*;

fn understood(text: &str) -> Result<Asked, String> {
    let (name, said) = text.split_once(' ').unwrap_or((text, ""));
    ask(&named(name), said).map_err(|trouble| trouble.to_string())
}

fn numbers(text: &str) -> Vec<(&'static str, f64)> {
    understood(text)
        .unwrap_or_else(|trouble| panic!("{text}: {trouble}"))
        .taken
        .into_iter()
        .filter_map(|taken| match taken.value {
            Given::Number(number) => Some((taken.input.name, number)),
            Given::Word(_) => None,
        })
        .collect()
}

#[test]
fn every_example_is_understood_as_it_is_meant() {
    for computation in computations() {
        let asked = understood(&example(computation))
            .unwrap_or_else(|trouble| panic!("{}: {trouble}", example(computation)));
        for (name, value) in computation.example {
            let taken = asked.taken.iter().find(|taken| taken.input.name == *name);
            assert_eq!(
                taken.map(|taken| &taken.value),
                Some(value),
                "{}",
                example(computation)
            );
        }
        assert_eq!(
            asked.run(),
            computation.run(&computation.example_inputs()),
            "{}",
            computation.name
        );
    }
}

#[test]
fn the_same_is_understood_however_it_is_said() {
    let life = [
        ("life", 2000.0),
        ("rated-temperature", 105.0),
        ("working-temperature", 65.0),
    ];
    for text in [
        "life 2000h 105C at 65C",
        "life 2000 h 105 °C at 65 °C",
        "life at 65C, 105C, 2000h",
        "life 2000h 105C 65C",
        "life life=2000h rated=105C at=65C",
        "life 2000h rated temperature 105C and at working temperature 65C",
    ] {
        assert_eq!(numbers(text), life, "{text}");
    }
}

#[test]
fn kinds_that_share_a_letter_are_told_apart() {
    assert_eq!(numbers("trace 1A 10C")[2], ("rise", 10.0));
    assert_eq!(numbers("trace 1A 10K")[2], ("rise", 10.0));
    assert_eq!(numbers("corner 10K 10n")[0], ("resistance", 10e3));
    assert_eq!(numbers("trace 0.5mm 2oz")[1], ("copper", 2.0));
    for text in [
        "jumper 30AWG 120mm",
        "jumper awg 30 120mm",
        "jumper AWG30 120mm",
    ] {
        assert_eq!(numbers(text)[0], ("gauge", 30.0), "{text}");
    }
    assert_eq!(numbers("jumper 0.5mm 120mm 2A")[0], ("diameter", 0.5));
    assert_eq!(numbers("shelf 30 months")[0], ("stored", 2.5));
}

#[test]
fn an_alternating_voltage_is_never_taken_for_a_direct_one() {
    let asked = understood("touch 40VAC").unwrap();
    assert_eq!(asked.taken[1].value, Given::Word("ac-rms".into()));
    let trouble = understood("discharge 220uF 230VAC through 100k").unwrap_err();
    assert!(
        trouble.starts_with("230VAC: discharge has no use for an AC voltage"),
        "{trouble}"
    );
}

#[test]
fn what_was_not_said_clearly_is_asked_about() {
    let mut text = String::new();
    for said in [
        "life 2000h 105C",
        "life 2000h at 105C at 65C",
        "life 2000h 105C at",
        "life 2000h 105C beside 65C",
        "life 2000h 105C 65C 25C",
        "life 2000h 105C at 65V",
        "corner 10k 10nF 5V",
        "corner 10k",
        "corner 10k 10",
        "corner 10k 0,1uF",
        "corner",
        "headroom 20V",
        "wear 100uF",
        "trace 1A 0.5mm",
        "trace x",
        "preferred 319ohm E25",
    ] {
        let trouble = understood(said).expect_err(said);
        text.push_str(&format!("{said}\n  {trouble}\n"));
    }
    insta::assert_snapshot!(text);
}

#[test]
fn a_caution_comes_with_a_high_voltage_and_with_stored_charge() {
    let cautions = |text: &str| understood(text).unwrap().cautions();
    assert!(cautions("heat 10V 5ohm").is_empty());
    assert_eq!(cautions("heat 400V 5k"), [HIGH_VOLTAGE]);
    assert!(!cautions("discharge 220uF 12V 100k").is_empty());
}

proptest! {
    #[test]
    fn nothing_that_is_said_panics(index in 0_usize..42, said in "([0-9.]{0,5}[a-zA-ZµΩ%°=]{0,4} ?){0,6}") {
        let computation = computations().nth(index).expect("there are 42");
        if let Ok(asked) = ask(&[computation], &said) {
            let _ = asked.run();
        }
    }
}
