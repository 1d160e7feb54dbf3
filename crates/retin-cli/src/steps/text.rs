//! Steps as a person reads them.

use super::Steps;
use crate::terminal::{HEADING, NAME, harmless, styled};
use retin::meaning::{BoardCopy, PlaceId, names};
use retin::time::cautions::cautions;
use retin::time::minutes::{Duration, in_words};
use retin::time::order::{Circle, Why};
use retin::time::working_order::{Bag, new_parts, working_order};
use retin_syntax::value::Decimal;
use std::io::{self, Write};

/// Prints one line; what would move the cursor is replaced.
macro_rules! line {
    ($out:expr, $($format:tt)*) => {
        writeln!($out, "{}", harmless(&format!($($format)*)))?
    };
}

/// A time, with what is known of it.
fn time(duration: &Duration) -> String {
    let time = in_words(duration.seconds);
    match (duration.is_written, &duration.missing) {
        (true, _) => time,
        (false, None) => format!("about {time}"),
        (false, Some(_)) if duration.seconds.is_zero() => "?".to_owned(),
        (false, Some(_)) => format!("over {time}"),
    }
}

/// Prints all steps in their order.
pub(super) fn all(steps: &Steps<'_, '_>, colored: bool, out: &mut dyn Write) -> io::Result<()> {
    let (job, order) = (steps.job, &steps.order);
    if job.steps.is_empty() {
        line!(out, "job {} has no steps", job.number);
        return Ok(());
    }
    let heading = format!("{} {}", job.number, job.title);
    writeln!(out, "{}", styled(&harmless(&heading), HEADING, colored))?;
    let count = job.steps.len();
    line!(
        out,
        "{count} {}, {} of work by one pair of hands{}",
        if count == 1 { "step" } else { "steps" },
        in_words(order.total()),
        if steps.missing().is_empty() {
            ""
        } else {
            " at least"
        }
    );
    let wide = |text: &dyn Fn(usize) -> String| {
        let widths = (0..count).map(|step| text(step).chars().count());
        widths.max().unwrap_or(0)
    };
    let names_width = wide(&|step| steps.name(step).to_owned());
    let times_width = wide(&|step| time(steps.duration(step)));
    for (number, step) in order.sequence.iter().enumerate() {
        let name = format!("{:names_width$}", harmless(steps.name(*step)));
        let time = time(steps.duration(*step));
        writeln!(out)?;
        writeln!(
            out,
            "{:>3}  {}  {time:>times_width$}  {}",
            number + 1,
            styled(&name, NAME, colored),
            harmless(&steps.job.steps[*step].does()),
        )?;
        below(steps, *step, out)?;
    }
    writeln!(out)?;
    boards(steps, colored, out)?;
    chain(steps, colored, out)?;
    troubles(steps, colored, out)
}

/// What is said below a step.
fn below(steps: &Steps<'_, '_>, index: usize, out: &mut dyn Write) -> io::Result<()> {
    let step = &steps.job.steps[index];
    if let Some(because) = step.because {
        line!(out, "     because  {because}");
    }
    let (mut written, mut bench) = (Vec::new(), Vec::new());
    for edge in steps.order.waits_of(index) {
        match edge.why {
            Why::Written(_) => written.push(edge.earlier),
            Why::Bench(precedence) => bench.push((edge.earlier, precedence)),
        }
    }
    if !written.is_empty() {
        line!(out, "     after    {}", steps.names(&written).join(", "));
    }
    for (earlier, precedence) in bench {
        line!(
            out,
            "     after    {}: {} comes before {}, {}",
            steps.name(earlier),
            precedence.earlier,
            precedence.later,
            precedence.because
        );
    }
    if let Some(missing) = &steps.duration(index).missing {
        line!(out, "     missing  {missing}");
    }
    let meanwhile = steps.order.meanwhile(steps.job, index);
    if !meanwhile.is_empty() {
        let names = steps.names(&meanwhile).join(", ");
        line!(out, "     while it runs by itself: {names}");
    }
    for caution in &step.cautions {
        line!(out, "     caution  {caution}");
    }
    for caution in cautions(steps.case, step) {
        line!(out, "     caution  {caution}");
    }
    Ok(())
}

fn boards(steps: &Steps<'_, '_>, colored: bool, out: &mut dyn Write) -> io::Result<()> {
    let by_board = steps.by_board();
    if by_board.is_empty() {
        return Ok(());
    }
    writeln!(out, "{}", styled("hours by board", HEADING, colored))?;
    let width = by_board
        .keys()
        .map(|copy| steps.case.name_of_copy(*copy).chars().count())
        .max()
        .unwrap_or(0);
    let mut rest = steps.order.total();
    for (copy, seconds) in &by_board {
        rest = rest.saturating_sub(*seconds);
        line!(
            out,
            "  {:width$}  {}",
            steps.case.name_of_copy(*copy),
            in_words(*seconds)
        );
    }
    if rest >= Decimal::from(30) {
        line!(out, "  {} on no one board", in_words(rest));
    }
    writeln!(out)
}

fn chain(steps: &Steps<'_, '_>, colored: bool, out: &mut dyn Write) -> io::Result<()> {
    let order = &steps.order;
    let heading = format!("the longest chain, {}", in_words(order.critical_seconds()));
    writeln!(out, "{}", styled(&heading, HEADING, colored))?;
    line!(out, "  {}", steps.names(&order.critical).join(", "));
    Ok(())
}

/// A circle as a sentence: "wash waits for fill, fill waits for wash".
fn in_a_circle(steps: &Steps<'_, '_>, circle: &Circle) -> String {
    let next = circle.steps.iter().cycle().skip(1);
    let waits = circle
        .steps
        .iter()
        .zip(next)
        .map(|(step, next)| format!("{} waits for {}", steps.name(*step), steps.name(*next)));
    waits.collect::<Vec<_>>().join(", ")
}

fn troubles(steps: &Steps<'_, '_>, colored: bool, out: &mut dyn Write) -> io::Result<()> {
    let order = &steps.order;
    if order.circles.is_empty() && order.too_early.is_empty() {
        return Ok(());
    }
    writeln!(out)?;
    writeln!(out, "{}", styled("not in order", HEADING, colored))?;
    for circle in &order.circles {
        line!(out, "  {}", in_a_circle(steps, circle));
    }
    for early in &order.too_early {
        line!(
            out,
            "  {} is too early: {} comes before {}, {}",
            steps.name(early.step),
            early.because.earlier,
            early.because.later,
            early.because.because
        );
    }
    Ok(())
}

/// Prints the working order of one step.
pub(super) fn one(
    steps: &Steps<'_, '_>,
    step: usize,
    colored: bool,
    out: &mut dyn Write,
) -> io::Result<()> {
    let bags = working_order(
        steps.case,
        &new_parts(&steps.chosen),
        &steps.job.steps[step],
    );
    let heading = format!("{}: {}", steps.name(step), steps.job.steps[step].does());
    writeln!(out, "{}", styled(&harmless(&heading), HEADING, colored))?;
    let places: usize = bags.iter().map(|bag| bag.places.len()).sum();
    if places == 0 {
        line!(out, "{}, no part by itself", time(steps.duration(step)));
        return below(steps, step, out);
    }
    line!(
        out,
        "{}, {places} {} of {} {}, low ones first",
        time(steps.duration(step)),
        if places == 1 { "part" } else { "parts" },
        bags.len(),
        if bags.len() == 1 { "sort" } else { "sorts" }
    );
    below(steps, step, out)?;
    for bag in &bags {
        writeln!(out)?;
        let height = bag.height.map_or_else(
            || "height not known".to_owned(),
            |height| format!("{} mm high", height.normalize()),
        );
        let label = styled(&harmless(&bag.label), NAME, colored);
        writeln!(out, "{:>4}  {label}, {height}", bag.places.len())?;
        for (boards, parts) in by_boards(steps, bag) {
            line!(out, "      {boards}: {parts}");
        }
    }
    Ok(())
}

/// The places of a bag in their order, boards with the same ones taken together.
fn by_boards(steps: &Steps<'_, '_>, bag: &Bag) -> Vec<(String, String)> {
    let case = steps.case;
    let mut groups: Vec<(Vec<BoardCopy>, Vec<&str>)> = Vec::new();
    let one_board = |one: &PlaceId, other: &PlaceId| case.copy_of(*one) == case.copy_of(*other);
    for places in bag.places.chunk_by(one_board) {
        let copy = case.copy_of(places[0]);
        let parts: Vec<&str> = places
            .iter()
            .map(|place| case.part(place.part).name.as_str())
            .collect();
        match groups.last_mut() {
            Some((copies, same)) if *same == parts && copies[0].0 == copy.0 => copies.push(copy),
            _ => groups.push((vec![copy], parts)),
        }
    }
    groups
        .into_iter()
        .map(|(copies, parts)| {
            let boards = names::compress(copies.iter().map(|copy| case.name_of_copy(*copy)));
            (boards, names::compress(parts))
        })
        .collect()
}
