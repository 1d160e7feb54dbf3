//! Readings outside what their target allows.

use super::{Judge, Rule, limits};
use crate::check::Answers;
use crate::finding::{Fault, Verdict};
use crate::meaning::{Case, NetId, Point, Reading, Target, Window};
use crate::stage::Stage;
use crate::time::PointReading;
use crate::time::accidents::board_of;
use crate::time::replay::{is_on_net, is_same_point};
use retin_syntax::Token;
use retin_syntax::tables::Property;
use retin_syntax::value::{Decimal, Dimension, Quantity};

pub(super) const RULE: Rule = Rule {
    name: "out-of-limits",
    at: Stage::Close,
    summary: "a reading outside the limits that its target sets, cold or warm",
    page: include_str!("out_of_limits.md"),
    judge: Judge::Case(judge),
};

fn judge(case: &Case<'_>, answers: &mut Answers<'_, '_>) {
    let Some(job) = &case.job else {
        return;
    };
    for target in &job.targets {
        for &point in &target.points {
            for verdict in one(case, target, point) {
                answers.answer(&[], verdict);
            }
        }
    }
}

/// Every reading of a target, of the right sort, at one of its points, in the order of the log.
pub(crate) fn readings_of<'c, 'a>(
    case: &'c Case<'a>,
    target: &'c Target<'a>,
    point: Point<'a>,
) -> impl Iterator<Item = &'c PointReading<'a>> + 'c {
    // A log has hundreds of readings: what is the same for all is looked at once.
    let (condition, sort, net) = (target.condition(), Sort::of(target), case.net_of(point));
    let there = board_of(case, point).map(|board| case.replay.readings_on(board));
    there.into_iter().flatten().filter(move |reading| {
        if !is_at(case, reading.point, point, net) {
            return false;
        }
        let is_right_state = match (condition, reading.reading.condition) {
            (Some(Token::Unpowered), Some(Token::Unpowered) | None) => true,
            (Some(wanted), Some(had)) => wanted == had,
            (Some(_), None) => false,
            (None, had) => had != Some(Token::Unpowered),
        };
        is_right_state && sort.takes(&reading.reading) && is_against(case, reading, target)
    })
}

/// What a target is about.
struct Sort {
    window: Option<Window>,
    nominal: Option<Quantity>,
    is_solved: bool,
    has_ripple: bool,
}

impl Sort {
    fn of(target: &Target<'_>) -> Self {
        Sort {
            window: target.window(),
            nominal: target.nominal(),
            is_solved: target.is_solved(),
            has_ripple: target.ripple().is_some(),
        }
    }

    /// Whether a reading is of what the target is about: volts for volts.
    fn takes(&self, reading: &Reading) -> bool {
        if reading.property == Some(Property::Ripple) {
            return self.has_ripple;
        }
        let Some(quantity) = reading.quantity() else {
            return false;
        };
        match (&self.window, self.nominal) {
            (Some(window), _) => window.holds(quantity).is_some(),
            (None, Some(nominal)) => nominal.dimension == quantity.dimension,
            (None, None) if self.is_solved => {
                reading.property.is_none() && quantity.dimension == Dimension::Voltage
            }
            (None, None) => true,
        }
    }
}

/// Whether a reading was taken at a point, or at another one of its net.
fn is_at(case: &Case<'_>, read: Point<'_>, wanted: Point<'_>, net: Option<(NetId, u16)>) -> bool {
    is_same_point(read, wanted) || net.is_some_and(|(net, copy)| is_on_net(case, read, net, copy))
}

/// Whether the black probe sat where the target has it; ground needs no word.
fn is_against(case: &Case<'_>, reading: &PointReading<'_>, target: &Target<'_>) -> bool {
    match reading.to.filter(|_| !target.to_points.is_empty()) {
        Some(to) => target
            .to_points
            .iter()
            .any(|wanted| is_at(case, to, *wanted, case.net_of(*wanted))),
        None => reading.is_against_ground(case) && target.is_against_ground(case),
    }
}

/// The limits of a target: as stated, else, where it says so, as they follow from
/// the circuit.
pub(crate) fn limits_of(case: &Case<'_>, target: &Target<'_>) -> Option<Window> {
    let solved = || target.is_solved().then(|| solved(case, target)).flatten();
    target.window().or_else(solved)
}

fn one<'a>(case: &Case<'a>, target: &Target<'a>, point: Point<'a>) -> Vec<Verdict> {
    let mut verdicts = Vec::new();
    let is_solved = target.window().is_none() && target.is_solved();
    let window = limits_of(case, target);
    if is_solved && window.is_none() {
        verdicts.push(Verdict::lacks(
            "the whole circuit around a target that says `expect solved`",
        ));
    }
    if let Some(window) = window {
        let is_plain =
            |reading: &Reading| matches!(reading.property, None | Some(Property::Resistance));
        // The last reading cold and the last one warm: what was adjusted since counts.
        for conditions in [
            &[None, Some(Token::Cold), Some(Token::Unpowered)][..],
            &[Some(Token::Warm)],
        ] {
            let last = readings_of(case, target, point)
                .filter(|reading| is_plain(&reading.reading))
                .filter(|reading| conditions.contains(&reading.reading.condition))
                .filter_map(|reading| Some((reading, reading.reading.quantity()?)))
                .filter_map(|(reading, quantity)| {
                    Some((reading, quantity, window.holds(quantity)?))
                })
                .last();
            if let Some((reading, quantity, holds)) = last {
                verdicts.push(if holds {
                    Verdict::Passed
                } else {
                    let fault = fault(case, target, point, reading, quantity, &window);
                    // What follows from the circuit is as good as what is written of it.
                    Verdict::failed(if is_solved { fault.question() } else { fault })
                });
            }
        }
    }
    if let Some(limit) = target.ripple() {
        let last = readings_of(case, target, point)
            .filter(|reading| reading.reading.property == Some(Property::Ripple))
            .filter_map(|reading| Some((reading, reading.reading.quantity()?)))
            .last();
        let window = Window {
            low: None,
            high: Some(limit),
        };
        if let Some((reading, quantity)) = last {
            verdicts.push(if quantity.number <= limit.number {
                Verdict::Passed
            } else {
                Verdict::failed(fault(case, target, point, reading, quantity, &window))
            });
        }
    }
    verdicts
}

/// The limits that follow from the circuit, over the tolerances of all parts.
fn solved(case: &Case<'_>, target: &Target<'_>) -> Option<Window> {
    let net = target.net?;
    let reach = match target.to {
        None => {
            let known = case.potentials.of(case, net)?;
            (known.low, known.high)
        }
        Some((_, to)) => {
            let reach = case.potentials.between(case, net, to?)?;
            (reach.low, reach.high)
        }
    };
    let volts = |number: Option<Decimal>| Some(Quantity::new(number?, Dimension::Voltage));
    Some(Window {
        low: volts(reach.0.checked_sub(limits::SOLVED_DOUBT)),
        high: volts(reach.1.checked_add(limits::SOLVED_DOUBT)),
    })
}

fn fault(
    case: &Case<'_>,
    target: &Target<'_>,
    point: Point<'_>,
    reading: &PointReading<'_>,
    quantity: Quantity,
    window: &Window,
) -> Fault {
    let what = match reading.reading.property {
        Some(Property::Ripple) => "the ripple at ",
        _ => "",
    };
    let state = match reading.reading.condition {
        Some(Token::Warm) => " warm",
        Some(Token::Cold) => " cold",
        Some(Token::Unpowered) => " unpowered",
        _ => "",
    };
    let consequence = match reading.reading.condition {
        Some(Token::Warm) => {
            "it holds on the bench and drifts off in use; what was trimmed cold only does that"
        }
        _ => "the stage works at the edge or beyond it, and will be back",
    };
    Fault::new(
            reading.reading.origin,
            format!(
                "{what}{} reads {quantity}{state}, and the target is {}",
                case.name_of_point(point),
                window.in_words()
            ),
            consequence,
            "look for the cause, adjust or repair it, and read it again; if the target is wrong, mend the target",
        )
        .with(target.origin, "the target")
}
