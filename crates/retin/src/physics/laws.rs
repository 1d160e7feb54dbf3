//! Laws that hold over whole ranges: directions, inverses, never a wrong number.

use proptest::prelude::*;

use super::catalogue::{Given, InputKind, Inputs, OutputValue, computations};
use super::corner::{capacitance_for, corner, corner_shift};
use super::decibel::{dbu, voltage_gain, volts_of_dbu};
use super::discharge::{bleeder_for, time_to_fall, voltage_after};
use super::electrolytic_life::{
    RatedLife, RippleStress, VoltageStress, jianghai, kendeil, rubycon, ten_kelvin,
};
use super::end_of_life::wear;
use super::leakage::{LeakageRule, leakage_limit};
use super::loss_factor::{loss_factor, series_resistance};
use super::preferred::{Joining, best_pair, nearest};
use super::regulator::{adjustable_output, r2_for};
use super::resistor::{derated_power, share_of_rating};
use super::ripple::{Rectifier, capacitance_for_ripple, reservoir_growth, ripple};
use super::slew::{full_power_frequency, slew_needed, slew_of_step};
use super::substitute::{
    back_to_back, balance_resistor, capacitors_in_series, resistors_in_parallel, series_share,
};
use super::timing::{astable, timing_shift};
use super::tolerance::{Tolerance, window};
use super::trace::{Layer, current, width};
use super::units::*;
use super::wire::{
    FuseMetal, Gauge, circular_mils, diameter, onderdonk_current, preece_current, preece_diameter,
    resistance,
};

const E12: &[u32] = &[10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82];

/// A number anyone might type: usual, extreme, or not a number at all.
fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => (-12.0..12.0_f64).prop_map(|exponent| 10_f64.powf(exponent)),
        2 => -200.0..200.0_f64,
        1 => (0_i32..200).prop_map(f64::from),
        1 => prop::sample::select(vec![
            0.0, -0.0, -1.0, 1e300, -1e300, f64::NAN, f64::INFINITY, f64::NEG_INFINITY,
            f64::MIN_POSITIVE, f64::MAX, 1e-300,
        ]),
    ]
}

fn near(first: f64, second: f64) -> bool {
    (first - second).abs() <= 1e-9 * first.abs().max(second.abs())
}

fn rated(life: f64, temperature: f64) -> RatedLife {
    RatedLife {
        life: Hours::new(life).unwrap(),
        temperature: Celsius::new(temperature).unwrap(),
    }
}

fn stress(actual: f64) -> RippleStress {
    RippleStress {
        actual: Amps::new(actual).unwrap(),
        rated: Amps::new(1.0).unwrap(),
        core_rise: Kelvins::new(5.0).unwrap(),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    #[test]
    fn no_computation_answers_with_a_wrong_number(
        numbers in prop::collection::vec(any_number(), 8),
        choice in 0_usize..5,
        leave_out in 0_usize..20,
    ) {
        for computation in computations() {
            let mut inputs = Inputs::new();
            for (index, input) in computation.inputs.iter().enumerate() {
                if index == leave_out {
                    continue;
                }
                inputs = match input.kind {
                    InputKind::Word(words) => inputs.word(input.name, words[choice % words.len()]),
                    _ => inputs.number(input.name, numbers[index]),
                };
            }
            match computation.run(&inputs) {
                Ok(outputs) => for output in outputs {
                    if let OutputValue::Number(number, _) = output.value {
                        prop_assert!(number.is_finite(), "{} {}", computation.name, output.name);
                    }
                },
                Err(refusal) => prop_assert!(!refusal.to_string().is_empty()),
            }
        }
    }

    #[test]
    fn one_odd_number_in_a_good_example_never_gives_a_wrong_one(
        odd in any_number(),
        place in 0_usize..8,
    ) {
        for computation in computations() {
            let input = &computation.inputs[place % computation.inputs.len()];
            if matches!(input.kind, InputKind::Word(_)) {
                continue;
            }
            let inputs = computation.example_inputs().with(input.name, Given::Number(odd));
            if let Ok(outputs) = computation.run(&inputs) {
                prop_assert!(odd.is_finite() && odd.abs() < 1e299, "{} took {odd}", computation.name);
                for output in outputs {
                    if let OutputValue::Number(number, _) = output.value {
                        prop_assert!(number.is_finite(), "{} {}", computation.name, output.name);
                    }
                }
            }
        }
    }

    #[test]
    fn life_falls_with_temperature(
        life in 500.0..20_000.0_f64, cool in 0.0..100.0_f64, more in 0.1..5.0_f64,
    ) {
        let part = rated(life, 105.0);
        let (cool, warm) = (Celsius::new(cool).unwrap(), Celsius::new(cool + more).unwrap());
        prop_assert!(ten_kelvin(part, warm).unwrap() < ten_kelvin(part, cool).unwrap());
        prop_assert!(kendeil(part, warm).unwrap() < kendeil(part, cool).unwrap());
        prop_assert!(rubycon(part, warm, stress(0.5)).unwrap() < rubycon(part, cool, stress(0.5)).unwrap());
    }

    #[test]
    fn ten_kelvins_double_life(life in 500.0..20_000.0_f64, working in 0.0..95.0_f64) {
        let part = rated(life, 105.0);
        let at = |temperature: f64| ten_kelvin(part, Celsius::new(temperature).unwrap()).unwrap().get();
        prop_assert!(near(at(working), 2.0 * at(working + 10.0)));
    }

    #[test]
    fn life_falls_with_ripple_and_voltage(
        ripple in 0.0..2.0_f64, more in 0.01..0.5_f64, volts in 15.0..24.0_f64,
    ) {
        let part = rated(2000.0, 105.0);
        let working = Celsius::new(65.0).unwrap();
        let on = |volts: f64| VoltageStress {
            actual: Volts::new(volts).unwrap(),
            rated: Volts::new(25.0).unwrap(),
        };
        prop_assert!(
            jianghai(part, working, stress(ripple + more), on(volts)).unwrap()
                < jianghai(part, working, stress(ripple), on(volts)).unwrap()
        );
        prop_assert!(
            rubycon(part, working, stress(ripple + more)).unwrap()
                < rubycon(part, working, stress(ripple)).unwrap()
        );
        prop_assert!(
            jianghai(part, working, stress(ripple), on(volts + 1.0)).unwrap()
                < jianghai(part, working, stress(ripple), on(volts)).unwrap()
        );
    }

    #[test]
    fn leakage_rises_with_capacitance_and_has_a_floor(
        exponent in -7.0..-2.0_f64, factor in 1.0..5.0_f64, volts in 16.0..100.0_f64,
    ) {
        let volts = Volts::new(volts).unwrap();
        for rule in LeakageRule::ALL {
            let limit = |farads: f64| leakage_limit(rule, Farads::new(farads).unwrap(), volts).unwrap();
            let small = limit(10_f64.powf(exponent));
            let large = limit(10_f64.powf(exponent) * factor);
            prop_assert!(small.current <= large.current);
            prop_assert!(small.current.get() >= 3e-6 - 1e-15);
        }
    }

    #[test]
    fn trace_width_and_current_undo_each_other(
        amps in 0.05..7.0_f64, rise in 5.0..60.0_f64, ounces in 0.5..3.0_f64, outer: bool,
    ) {
        let layer = if outer { Layer::Outer } else { Layer::Inner };
        let copper = CopperOunces::new(ounces).unwrap();
        let rise = Kelvins::new(rise).unwrap();
        // Wide traces beyond the charts are refused, not extrapolated.
        if let Ok(width) = width(Amps::new(amps).unwrap(), copper, rise, layer) {
            prop_assert!(near(current(width, copper, rise, layer).unwrap().get(), amps));
        }
    }

    #[test]
    fn a_wider_outer_warmer_trace_carries_more(
        millimetres in 0.1..5.0_f64, rise in 5.0..40.0_f64,
    ) {
        let copper = CopperOunces::new(1.0).unwrap();
        let amps = |millimetres: f64, rise: f64, layer| {
            current(Millimetres::new(millimetres).unwrap(), copper, Kelvins::new(rise).unwrap(), layer)
                .unwrap()
                .get()
        };
        let plain = amps(millimetres, rise, Layer::Inner);
        prop_assert!(near(amps(millimetres, rise, Layer::Outer), 2.0 * plain));
        prop_assert!(amps(millimetres * 1.1, rise, Layer::Inner) > plain);
        prop_assert!(amps(millimetres, rise * 1.1, Layer::Inner) > plain);
    }

    #[test]
    fn wires_order_by_gauge(number in -3_i32..50) {
        let (thick, thin) = (Gauge::new(number).unwrap(), Gauge::new(number + 1).unwrap());
        let length = Millimetres::new(100.0).unwrap();
        prop_assert!(diameter(thick).unwrap() > diameter(thin).unwrap());
        prop_assert!(resistance(thick, length).unwrap() < resistance(thin, length).unwrap());
    }

    #[test]
    fn melting_current_undoes_diameter_and_falls_with_time(
        amps in 0.1..300.0_f64, time in 0.01..5.0_f64,
    ) {
        let size = preece_diameter(FuseMetal::Copper, Amps::new(amps).unwrap()).unwrap();
        prop_assert!(near(preece_current(FuseMetal::Copper, size).unwrap().get(), amps));
        let section = circular_mils(size).unwrap();
        let ambient = Celsius::new(25.0).unwrap();
        let melts = |time: f64| onderdonk_current(section, ambient, Seconds::new(time).unwrap()).unwrap();
        prop_assert!(melts(time * 1.5) < melts(time));
    }

    #[test]
    fn ripple_undoes_capacitance(amps in 0.001..10.0_f64, volts in 0.01..10.0_f64, full: bool) {
        let rectifier = if full { Rectifier::FullWave } else { Rectifier::HalfWave };
        let (load, mains) = (Amps::new(amps).unwrap(), Hertz::new(50.0).unwrap());
        let farads =
            capacitance_for_ripple(load, Volts::new(volts).unwrap(), mains, rectifier).unwrap();
        prop_assert!(near(ripple(load, farads, mains, rectifier).unwrap().get(), volts));
    }

    #[test]
    fn discharge_time_bleeder_and_voltage_agree(
        microfarads in 0.1..10_000.0_f64, kilohms in 0.1..1000.0_f64,
        from in 10.0..600.0_f64, share in 0.01..0.99_f64,
    ) {
        let farads = Farads::new(microfarads * 1e-6).unwrap();
        let ohms = Ohms::new(kilohms * 1e3).unwrap();
        let (from, to) = (Volts::new(from).unwrap(), Volts::new(from * share).unwrap());
        let time = time_to_fall(ohms, farads, from, to).unwrap();
        prop_assert!(near(bleeder_for(farads, from, to, time).unwrap().get(), ohms.get()));
        prop_assert!(near(voltage_after(ohms, farads, from, time).unwrap().get(), to.get()));
    }

    #[test]
    fn corner_loss_slew_and_level_undo_each_other(
        exponent in -11.0..-3.0_f64, ohms in 1.0..1e6_f64, volts in 0.01..100.0_f64,
    ) {
        let farads = Farads::new(10_f64.powf(exponent)).unwrap();
        let resistance = Ohms::new(ohms).unwrap();
        let frequency = corner(resistance, farads).unwrap();
        prop_assert!(near(capacitance_for(frequency, resistance).unwrap().get(), farads.get()));
        // At the corner the loss factor of a resistor in series is one.
        let loss = loss_factor(resistance, farads, frequency).unwrap();
        prop_assert!(near(loss.get(), 1.0));
        prop_assert!(near(series_resistance(loss, farads, frequency).unwrap().get(), ohms));
        let peak = Volts::new(volts).unwrap();
        let slew = VoltsPerSecond::new(ohms + 1.0).unwrap();
        let fastest = full_power_frequency(slew, peak).unwrap();
        prop_assert!(near(slew_needed(fastest, peak).unwrap().get(), slew.get()));
        prop_assert!(near(volts_of_dbu(dbu(peak).unwrap()).unwrap().get(), volts));
        let one = Volts::new(1.0).unwrap();
        prop_assert!(
            (voltage_gain(peak, one).unwrap().get() + voltage_gain(one, peak).unwrap().get()).abs() < 1e-9
        );
    }

    #[test]
    fn regulator_resistor_undoes_output(volts in 1.3..39.0_f64, ohms in 100.0..500.0_f64) {
        let (r1, adjust) = (Ohms::new(ohms).unwrap(), Amps::new(46e-6).unwrap());
        let r2 = r2_for(Volts::new(volts).unwrap(), r1, adjust).unwrap();
        prop_assert!(near(adjustable_output(r1, r2, adjust).unwrap().get(), volts));
    }

    #[test]
    fn a_555_is_high_for_more_than_half(ra in 1e3..1e6_f64, rb in 1e3..1e6_f64) {
        let runs = astable(
            Ohms::new(ra).unwrap(), Ohms::new(rb).unwrap(), Farads::new(1e-7).unwrap(),
        ).unwrap();
        prop_assert!(runs.duty.get() > 50.0 && runs.duty.get() < 100.0);
        prop_assert!(near(runs.frequency.get() * (runs.high.get() + runs.low.get()), 1.0));
    }

    #[test]
    fn joined_parts_keep_their_sums(first in 1.0..1e6_f64, second in 1.0..1e6_f64, volts in 1.0..900.0_f64) {
        let pair = [Ohms::new(first).unwrap(), Ohms::new(second).unwrap()];
        let parallel = resistors_in_parallel(&pair).unwrap();
        prop_assert!(parallel < pair[0] && parallel < pair[1]);
        let caps = [Farads::new(first * 1e-9).unwrap(), Farads::new(second * 1e-9).unwrap()];
        prop_assert!(capacitors_in_series(&caps).unwrap() < caps[0]);
        let shares = series_share(Volts::new(volts).unwrap(), caps[0], caps[1]).unwrap();
        prop_assert!(near(shares.0.get() + shares.1.get(), volts));
    }

    #[test]
    fn a_window_holds_its_nominal_and_a_tighter_window(
        ohms in 1.0..1e6_f64, tight in 0.1..10.0_f64, wider in 0.1..10.0_f64,
    ) {
        let nominal = Ohms::new(ohms).unwrap();
        let around = |percent: f64| {
            window(nominal, Tolerance::symmetric(Percent::new(percent).unwrap()).unwrap()).unwrap()
        };
        prop_assert!(around(tight).holds(nominal));
        prop_assert!(around(tight + wider).encloses(&around(tight)));
        prop_assert!(!around(tight).encloses(&around(tight + wider)));
    }

    #[test]
    fn preferred_values_are_near_and_a_pair_is_no_worse(exponent in -1.0..7.0_f64) {
        let wished = Ohms::new(10_f64.powf(exponent)).unwrap();
        let single = nearest(wished, E12).unwrap();
        // Neighbours in E12 are at most 25 % apart.
        prop_assert!((single.get() / wished.get() - 1.0).abs() < 0.125);
        let distance = |ohms: f64| (ohms - wished.get()).abs();
        for joining in [Joining::Adding, Joining::Reciprocal] {
            let pair = best_pair(wished, E12, joining).unwrap();
            prop_assert!(pair.larger >= pair.smaller);
            prop_assert!(distance(pair.together.get()) <= wished.get() * 0.06);
        }
    }
}

#[test]
fn the_worked_out_numbers_of_bad_inputs_are_refusals() {
    let one = Ohms::new(1.0).unwrap();
    assert!(corner(Ohms::new(1e-9).unwrap(), Farads::new(1e-15).unwrap()).is_err());
    assert!(nearest(one, &[]).is_err());
    assert!(nearest(one, &[0, 10]).is_err());
    assert!(resistors_in_parallel(&[]).is_err());
    assert!(capacitors_in_series(&[]).is_err());
    assert!(Gauge::new(51).is_err());
    let negative = Volts::new(-1.0).unwrap();
    assert!(
        time_to_fall(one, Farads::new(1e-6).unwrap(), negative, negative).is_err(),
        "a negative start has no logarithm"
    );
    assert_eq!(
        window(
            Volts::new(0.0).unwrap(),
            Tolerance::symmetric(Percent::new(5.0).unwrap()).unwrap()
        )
        .unwrap_err()
        .to_string(),
        "nominal value: 0\u{a0}V has to be more than zero"
    );
}

#[test]
fn preferred_pairs_are_found() {
    // 5 kΩ is no E12 value: two times 10 kΩ in parallel give it exactly.
    let pair = best_pair(Ohms::new(5e3).unwrap(), E12, Joining::Reciprocal).unwrap();
    assert_eq!(
        [pair.larger, pair.smaller, pair.together].map(Ohms::get),
        [10e3, 10e3, 5e3]
    );
}

#[test]
fn two_back_to_back_make_half_and_need_balancing() {
    let farads = |value: f64| Farads::new(value).unwrap();
    assert!(near(back_to_back(farads(10e-6)).unwrap().get(), 5e-6));
    // A pair of 250 V parts on 400 V may be 100 V out of balance.
    let resistor = |volts: f64| {
        balance_resistor(
            2,
            Volts::new(250.0).unwrap(),
            Volts::new(volts).unwrap(),
            Amps::new(0.5e-3).unwrap(),
        )
    };
    assert!(near(resistor(400.0).unwrap().get(), 200e3));
    assert_eq!(
        resistor(600.0).unwrap_err().to_string(),
        "rated voltages together: 500\u{a0}V has to be more than the total voltage of 600\u{a0}V"
    );
}

#[test]
fn shifts_count_from_the_old_value() {
    let part = |ohms: f64, farads: f64| (Ohms::new(ohms).unwrap(), Farads::new(farads).unwrap());
    let (old, new) = (part(10e3, 10e-9), part(10e3, 12.5e-9));
    assert!(near(corner_shift(old, new).unwrap().get(), -20.0));
    assert!(near(timing_shift(old, new).unwrap().get(), 25.0));
    assert!(near(reservoir_growth(old.1, new.1).unwrap().get(), 25.0));
}

#[test]
fn a_part_is_worn_out_below_70_per_cent_or_above_twice_its_resistance() {
    let wear = |share: f64, ohms: f64| {
        let farads = |value: f64| Farads::new(value).unwrap();
        let ohms = Ohms::new(ohms).unwrap();
        let worn = wear(
            farads(1e-4),
            farads(1e-4 * share),
            Ohms::new(1.0).unwrap(),
            ohms,
        )
        .unwrap();
        (worn.capacitance_spent, worn.resistance_spent)
    };
    assert_eq!(wear(0.71, 1.9), (false, false));
    assert_eq!(wear(0.69, 1.9), (true, false));
    assert_eq!(wear(0.71, 2.1), (false, true));
}

#[test]
fn derating_is_level_then_falls_to_nothing() {
    let power = |ambient: f64| {
        let celsius = |value: f64| Celsius::new(value).unwrap();
        let rating = Watts::new(0.5).unwrap();
        derated_power(rating, celsius(70.0), celsius(170.0), celsius(ambient)).unwrap()
    };
    assert_eq!(
        [20.0, 70.0, 120.0, 170.0, 200.0].map(|at| power(at).get()),
        [0.5, 0.5, 0.25, 0.0, 0.0]
    );
    let share = share_of_rating(power(120.0), Watts::new(0.5).unwrap()).unwrap();
    assert!(near(share.get(), 50.0));
}

#[test]
fn a_one_sided_window_is_not_enclosed_when_it_reaches_higher() {
    let nominal = Farads::new(10e-6).unwrap();
    let around = |minus: f64, plus: f64| {
        let percent = |value: f64| Percent::new(value).unwrap();
        window(
            nominal,
            Tolerance::new(percent(minus), percent(plus)).unwrap(),
        )
        .unwrap()
    };
    assert!(around(10.0, 50.0).encloses(&around(5.0, 20.0)));
    assert!(!around(20.0, 20.0).encloses(&around(10.0, 50.0)));
    assert!(!around(10.0, 50.0).encloses(&around(20.0, 20.0)));
}

#[test]
fn a_falling_step_slews_as_fast_as_a_rising_one() {
    let time = Seconds::new(1e-6).unwrap();
    let rate = |volts: f64| slew_of_step(Volts::new(volts).unwrap(), time).unwrap();
    assert_eq!(rate(-5.0), rate(5.0));
}
