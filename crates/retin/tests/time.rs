//! Times, orders of work and working orders, over whole jobs and over any input.

use proptest::prelude::*;
use retin::meaning::{BoardId, Case, PartId, PlaceId};
use retin::replacement::replacements;
use retin::sources::{SourceFile, Sources};
use retin::time::minutes::{duration, in_words};
use retin::time::order::order;
use retin::time::working_order::{Item, bags};
use retin_syntax::value::Decimal;
use std::fmt::Write as _;
use std::sync::Arc;

fn with_case<T>(text: &str, look: impl FnOnce(&Case<'_>) -> T) -> T {
    let mut sources = Sources::new();
    let root = sources.add(Arc::new(SourceFile::new("job.retin".into(), text.into())));
    let case = Case::build(&sources, root);
    assert_eq!(case.problems, []);
    look(&case)
}

/// Minutes of the first step.
fn minutes(text: &str) -> Decimal {
    with_case(text, |case| {
        let job = case.job.as_ref().expect("the file holds a job");
        let duration = duration(case, &job.steps[0]);
        assert_eq!(duration.missing, None);
        duration.seconds / Decimal::from(60)
    })
}

/// Two boards with a hundred leaded parts that come out.
fn two_boards(minutes: &str) -> String {
    let board = |name: &str| {
        format!(
            "board {name} \"Board {name}\"\n  electrolytic\n    C1..C38 10uF 25V\n  npn\n    Q1..Q8 2N3904\n  diode\n    D1..D2 1N4148\n  opamp\n    U1, U2 TL072\n\n"
        )
    };
    format!(
        "model a \"Amplifier\"\n\n{}{}{minutes}\njob 1 \"Amplifier serial 5\"\n  model a\n\nsteps\n  strip remove every electrolytic, npn, diode, opamp\n",
        board("left"),
        board("right")
    )
}

/// *Common practice, no source:* on the order of a hundred leaded parts come out of
/// two boards, by iron alone, in an hour and a half to two hours.
#[test]
fn a_hundred_parts_come_out_of_two_boards_in_an_hour_and_a_half_to_two() {
    let taken = minutes(&two_boards(""));
    assert!(
        (Decimal::from(90)..=Decimal::from(120)).contains(&taken),
        "{taken} min"
    );
}

#[test]
fn the_shop_knows_better_and_a_kind_goes_before_a_family() {
    let own = "minutes\n  remove part 10min\n  remove capacitor 5min\n  remove electrolytic 30s\n  remove integrated-circuit 30s per lead\n";
    // 76 electrolytics at 30 s, 20 other parts at 10 min, 4 chips of 8 leads.
    assert_eq!(minutes(&two_boards(own)), Decimal::from(38 + 200 + 16));
}

#[test]
fn times_read_as_they_are_said() {
    let said = |seconds: i64| in_words(Decimal::from(seconds));
    assert_eq!(said(45), "45 s");
    assert_eq!(said(1200), "20 min");
    assert_eq!(said(5400), "1 h 30 min");
    assert_eq!(said(7200), "2 h");
}

fn steps_of(after: &[Vec<usize>]) -> String {
    let mut text = String::from("job 1 \"Amplifier serial 5\"\n\nsteps\n");
    for (step, after) in after.iter().enumerate() {
        let _ = write!(text, "  s{step} inspect");
        let names: Vec<String> = after.iter().map(|step| format!("s{step}")).collect();
        if !names.is_empty() {
            let _ = write!(text, " after {}", names.join(", "));
        }
        let _ = writeln!(text, " {}min", step + 1);
    }
    text
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Every step stands once in the order; where nothing is circular, behind what
    /// it waits for; and the longest chain waits step by step.
    #[test]
    fn any_steps_are_put_in_order(
        after in (1_usize..12).prop_flat_map(|count| {
            prop::collection::vec(prop::collection::vec(0..count, 0..3), count)
        })
    ) {
        let text = steps_of(&after);
        with_case(&text, |case| {
            let job = case.job.as_ref().unwrap();
            let order = order(case, job, &replacements(case)).unwrap();
            let mut all = order.sequence.clone();
            all.sort_unstable();
            prop_assert_eq!(all, (0..after.len()).collect::<Vec<_>>());
            let at = |step: usize| order.sequence.iter().position(|other| *other == step);
            for edge in &order.edges {
                prop_assert!(at(edge.earlier) < at(edge.later));
            }
            let waits: usize = after.iter().map(Vec::len).sum();
            prop_assert_eq!(waits, order.edges.len() + order.circles.len());
            for circle in &order.circles {
                for pair in circle.steps.windows(2) {
                    prop_assert!(after[pair[0]].contains(&pair[1]));
                }
                let ends = (circle.steps[circle.steps.len() - 1], circle.steps[0]);
                prop_assert!(after[ends.0].contains(&ends.1));
            }
            for pair in order.critical.windows(2) {
                prop_assert!(after[pair[1]].contains(&pair[0]));
            }
            prop_assert!(order.critical_seconds() <= order.total());
            Ok(())
        })?;
    }

    /// One bag is open at a time, low before tall, and the order of the input is nothing.
    #[test]
    fn any_parts_are_worked_on_bag_by_bag(
        parts in prop::collection::vec(
            (0_u8..5, prop::option::of(1_i64..6), 0_u32..3, 0_u16..2, prop::option::of(0_usize..2), prop::option::of((0_i64..9, 0_i64..9))),
            0..40,
        )
    ) {
        let items: Vec<Item> = parts
            .iter()
            .enumerate()
            .map(|(index, (bag, height, board, copy, zone, at))| Item {
                place: PlaceId { part: PartId(index as u32), copy: *copy },
                bag: format!("bag {bag}"),
                height: height.map(Decimal::from),
                board: (BoardId(*board), *copy),
                zone: *zone,
                at: at.map(|(x, y)| (Decimal::from(x), Decimal::from(y))),
            })
            .collect();
        let sorted = bags(items.clone());
        let mut backwards = items.clone();
        backwards.reverse();
        prop_assert_eq!(&sorted, &bags(backwards));
        let item = |place: &PlaceId| &items[place.part.0 as usize];
        let count: usize = sorted.iter().map(|bag| bag.places.len()).sum();
        prop_assert_eq!(count, items.len());
        for (index, bag) in sorted.iter().enumerate() {
            prop_assert!(bag.places.iter().all(|place| item(place).bag == bag.label));
            prop_assert!(!sorted[index + 1..].iter().any(|other| other.label == bag.label));
            prop_assert!(bag.places.iter().map(|place| item(place).board).is_sorted());
        }
        let key = |height: Option<Decimal>| (height.is_none(), height);
        prop_assert!(sorted.iter().map(|bag| key(bag.height)).is_sorted());
    }
}
